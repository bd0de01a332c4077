//! What others wrote is taken in: another window, a command, a copy brought from another computer.
//! The screen in front is made anew around its cursor; what is half typed, and every question over
//! it, stays.

use std::collections::HashSet;

use crate::checklist::Grade;
use crate::logbook::book::{Book, News};
use crate::logbook::record::Record;
use crate::screen::app::{App, Notice, Screen};
use crate::screen::boat::BoatScreen;
use crate::screen::verdict::VerdictScreen;
use crate::screen::walks::WalksScreen;

impl App {
    /// Takes in what others wrote since, and says what came.
    pub(super) fn take_in_others(&mut self) -> Option<Notice> {
        let begun = self
            .walking()
            .is_some_and(|(walk, book)| walk.is_begun(book));
        let book = self.book.as_mut()?;
        let was_cut_off = book.is_cut_off();
        // That it cannot be read says the line of what is not counted, and stays.
        let news = book.refresh().unwrap_or_default();
        let turned = book.is_cut_off() != was_cut_off;
        let Some(news) = news else {
            if turned {
                self.renew();
            }
            return None;
        };
        self.renew();
        let lost = begun
            && self
                .walking()
                .is_some_and(|(walk, book)| !walk.is_begun(book));
        let book = self.book.as_ref()?;
        if lost {
            return Some(Notice {
                text: "this walk is on record no more; the next look begins it again".into(),
                bad: true,
            });
        }
        if news.gone > 0 {
            return Some(Notice {
                text: format!(
                    "{} record(s) that were read are not in the folder any more; see: handlamp logbook check",
                    news.gone
                ),
                bad: true,
            });
        }
        let blind = self
            .walking()
            .is_some_and(|(walk, book)| walk.walk(book).blind);
        words(book, &news, blind).map(|text| Notice { text, bad: false })
    }

    /// Told beside what is told already.
    pub(super) fn tell_also(&mut self, news: Option<Notice>) {
        let Some(news) = news else { return };
        self.notice = Some(match self.notice.take() {
            Some(told) => Notice {
                text: format!("{}; {}", news.text, told.text),
                bad: news.bad || told.bad,
            },
            None => news,
        });
    }

    /// Makes the screen in front anew from the book.
    pub(super) fn renew(&mut self) {
        let Some(book) = &self.book else { return };
        let front = std::mem::replace(&mut self.screen, Screen::Start);
        self.screen = renewed(book, front);
        if matches!(self.screen, Screen::Start) {
            self.go_home();
        }
    }
}

/// A screen as it is with what the book says now; the start, where there is nothing left to show.
fn renewed(book: &Book, front: Screen) -> Screen {
    match front {
        Screen::Start => Screen::Start,
        Screen::Boat(old) => {
            let mut boat = BoatScreen::new(book, old.machine);
            let entry = old.entries.get(old.cursor);
            let same = |e: &crate::screen::boat::Entry| {
                entry.is_some_and(|o| (&o.walk, &o.checklist) == (&e.walk, &e.checklist))
            };
            let last = boat.entries.len().saturating_sub(1);
            let place = boat.entries.iter().position(same);
            boat.cursor = place.unwrap_or(old.cursor.min(last));
            Screen::Boat(Box::new(boat))
        }
        Screen::Walk(mut walk) => {
            walk.take_in(book);
            Screen::Walk(walk)
        }
        Screen::Verdict(old) => match VerdictScreen::new(book, &old.walk.id, old.pace) {
            Some(mut verdict) => {
                verdict.scroll = old.scroll;
                Screen::Verdict(Box::new(verdict))
            }
            None => Screen::Start,
        },
        Screen::Defects(mut defects) => {
            defects.take_in(book);
            Screen::Defects(defects)
        }
        Screen::Walks(old) => {
            let id = old.rows.get(old.cursor).map(|row| row.id.clone());
            let mut walks = WalksScreen::new(book);
            let place = walks
                .rows
                .iter()
                .position(|row| Some(&row.id) == id.as_ref());
            let last = walks.rows.len().saturating_sub(1);
            walks.cursor = place.unwrap_or(old.cursor.min(last));
            Screen::Walks(Box::new(walks))
        }
        Screen::Readings(old) => Screen::Readings(Box::new(old.renewed(book, renewed))),
        Screen::Service(mut service) => {
            service.refresh(book);
            Screen::Service(service)
        }
    }
}

/// What came, in one line; none for what is half typed elsewhere.
fn words(book: &Book, news: &News, blind: bool) -> Option<String> {
    let came: HashSet<&str> = news.came.iter().map(String::as_str).collect();
    let records = book
        .written()
        .iter()
        .filter(|w| came.contains(w.id.as_str()));
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
