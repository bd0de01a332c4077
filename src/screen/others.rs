//! What others wrote, another window, a command or a copy brought from another computer, in words.

use std::collections::HashSet;

use crate::checklist::Grade;
use crate::logbook::book::{Book, News};
use crate::logbook::record::Record;
use crate::screen::shared::Notice;

/// What came, as it is told.
pub fn told(book: &Book, news: &News, lost: bool, blind: bool) -> Option<Notice> {
    let bad = |text: String| Some(Notice { text, bad: true });
    if lost {
        return bad("this walk is on record no more; the next look begins it again".into());
    }
    if news.gone > 0 {
        return bad(format!(
            "{} record(s) that were read are not in the folder any more; see: handlamp logbook check",
            news.gone
        ));
    }
    words(book, news, blind).map(|text| Notice { text, bad: false })
}

/// What came, in one line; none for what is half typed elsewhere.
fn words(book: &Book, news: &News, blind: bool) -> Option<String> {
    let came: HashSet<&str> = news.came.iter().map(String::as_str).collect();
    let records = book.written().iter().filter(|w| came.contains(&*w.id));
    let mut said: Vec<(Option<Grade>, String)> = Vec::new();
    let mut from_here = false;
    for written in records {
        if let Some(phrase) = phrase(book, &written.record) {
            said.push(phrase);
            from_here |= book.is_of_this_computer(&written.id);
        }
    }
    let who = if from_here {
        "another window"
    } else {
        "another computer"
    };
    let count = said.len();
    if blind && count > 0 {
        return Some(format!("{who} recorded {count} thing(s)"));
    }
    // The worst grade says most; of what is equal, the last.
    let Some((_, first)) = said.into_iter().max_by_key(|(grade, _)| *grade) else {
        return news
            .profile
            .then(|| "the boat's profile was changed".to_owned());
    };
    let more = match count {
        1 => String::new(),
        n => format!(", and recorded {} more", n - 1),
    };
    Some(format!("{who} {first}{more}"))
}

fn phrase(book: &Book, record: &Record) -> Option<(Option<Grade>, String)> {
    let title = |id: &str| {
        let item = book.library().catalogue.item(id);
        item.map_or(id.to_owned(), |item| item.title.to_lowercase())
    };
    let grade = match record {
        Record::Look(made) => made.look.grade(),
        _ => None,
    };
    record.deed(&title).map(|deed| (grade, deed))
}
