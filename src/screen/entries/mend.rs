//! From an entry to the record that takes it back or puts it right: what it is to say, why, what
//! follows, and only then it is recorded.

use crate::checklist::Grade;
use crate::defects::admit::Fault;
use crate::logbook::book::Book;
use crate::logbook::entries::{Deed, Entry, Fate};
use crate::logbook::mend::{Field, as_it_says, close, fields, foresee, put_back, put_right, stays};
use crate::logbook::read_then::read_then;
use crate::logbook::record::Record;
use crate::screen::entries::{EntriesScreen, reason, taken_back};
use crate::screen::kind::{Cx, in_one};
use crate::screen::layers::Layer;

type Turn<'a> = Cx<'a, EntriesScreen>;

/// So many items are named where a name fits several.
const NAMED: usize = 5;

/// The entry a question is about.
#[derive(Clone, Debug)]
pub struct Whose {
    /// Id of its record.
    pub id: String,
    /// Walk id, where it begins one.
    pub begins: Option<String>,
}

/// What is picked from a list.
#[derive(Clone)]
pub enum Ask {
    /// What to do with an entry.
    Menu(Whose, Vec<Do>),
    /// One of these values for a field.
    Value(Whose, Changes, String, Vec<String>),
    /// Whether to record this; what is told then.
    Sure(Vec<Record>, &'static str),
}

/// What a line is typed for.
#[derive(Clone)]
pub enum Line {
    /// What a field is to say.
    Value(Whose, Changes, String),
    /// Why fields say something else.
    WhyRight(Whose, Changes),
    /// Why an entry is taken back.
    WhyBack(Whose),
}

/// Fields with what they are to say.
type Changes = Vec<(String, String)>;

/// What can be done with an entry.
#[derive(Clone)]
pub enum Do {
    TakeBack,
    PutBack,
    Close(String),
    Field(Field),
}

/// Shows an entry in full, with what can be done.
pub fn show(entry: &Entry, cx: &mut Turn<'_>) {
    let Some(w) = cx.book.written().get(entry.place) else {
        return;
    };
    let record = as_it_says(cx.book, w);
    let mut lead = about(entry, cx.book);
    for read in read_then(cx.book, entry.place) {
        let name = cx.book.boat().name_among(&read.machine);
        lead.extend(read.sentences(name));
    }
    if let Some(why) = stays(&record) {
        lead.push(why.to_owned());
        return cx.ask(Layer::page(entry.words.clone(), lead));
    }
    let mut does = Vec::new();
    let whose = whose(entry);
    match entry.counts() {
        true => does.push(Do::TakeBack),
        false => does.push(Do::PutBack),
    }
    if let Fate::PutRight { .. } = entry.fate {
        does.push(Do::PutBack);
    }
    let open = entry
        .walk
        .as_deref()
        .and_then(|id| cx.book.history().walk(id));
    if let Some(walk) = open.filter(|walk| walk.finished.is_none() && whose.begins.is_some()) {
        does.push(Do::Close(walk.id.clone()));
    }
    let (fixed, mut said): (Vec<_>, Vec<_>) = fields(&record).into_iter().partition(|f| f.is_fixed);
    // Its walk is told already, and by what it was asked is a name for no eye.
    let fixed = fixed
        .iter()
        .filter(|f| !["walk", "asked"].contains(&f.name.as_str()));
    let fixed: Vec<String> = fixed.map(|f| format!("{} = {}", f.name, f.value)).collect();
    lead.extend((!fixed.is_empty()).then(|| fixed.join(" · ")));
    let several = cx.book.boat().machines.len() > 1;
    if matches!(record, Record::Look(_)) && several {
        said.push(Field {
            name: "machine".into(),
            value: entry.machine.clone().unwrap_or_default(),
            is_fixed: false,
        });
    }
    does.extend(said.into_iter().map(Do::Field));
    let lines = does.iter().map(|what| in_words(what, &whose)).collect();
    cx.ask(Layer::told(
        entry.words.clone(),
        lead,
        lines,
        Ask::Menu(whose, does),
    ));
}

fn whose(entry: &Entry) -> Whose {
    Whose {
        id: entry.id.clone(),
        begins: entry.walk.clone().filter(|_| entry.kind == "walk"),
    }
}

fn in_words(what: &Do, whose: &Whose) -> String {
    match what {
        Do::TakeBack if whose.begins.is_some() => "set this walk aside, its looks with it".into(),
        Do::TakeBack => "take it back".into(),
        Do::PutBack => "let it count as it did before".into(),
        Do::Close(_) => "close the walk as it stands".into(),
        Do::Field(field) if field.value.is_empty() => format!("add: {}", field.name),
        Do::Field(field) => format!("put right: {} = {}", field.name, field.value),
    }
}

/// When, by whom, in which walk, and what became of it.
pub fn about(entry: &Entry, book: &Book) -> Vec<String> {
    let mut told = vec![format!("{}", entry.at.format("%a %-d %b %Y, %H:%M"))];
    if entry.written - entry.at > chrono::Duration::minutes(2) {
        told.push(format!(
            "typed {}",
            entry.written.format("%-d %b %Y, %H:%M")
        ));
    }
    let machine = entry.machine.as_ref();
    let machine = machine.and_then(|id| book.boat().machines.iter().find(|m| m.id == *id));
    told.extend(machine.map(|m| m.name.clone()));
    told.extend(entry.by.as_ref().map(|by| format!("by {by}")));
    told.extend(entry.walk.as_ref().map(|walk| format!("walk {walk}")));
    let mut lines = vec![told.join(" · ")];
    match &entry.fate {
        Fate::Stands => {}
        Fate::PutRight { was, by } => {
            lines.push(format!("{}. It said first: {was}", done("put right", by)));
        }
        Fate::TakenBack(by) => lines.push(done("taken back", by)),
        Fate::SetAside(by) => lines.push(done("its walk was set aside", by)),
    }
    lines
}

fn done(what: &str, deed: &Deed) -> String {
    let by = deed
        .who
        .as_ref()
        .map_or(String::new(), |who| format!(" by {who}"));
    let why = deed
        .why
        .as_ref()
        .map_or(String::new(), |why| format!(": {why}"));
    format!("{what} on {}{by}{why}", deed.at.format("%-d %b %Y, %H:%M"))
}

/// Asks why an entry is taken back.
pub fn ask_why(entry: &Entry, cx: &mut Turn<'_>) {
    let record = cx.book.written().get(entry.place);
    if let Some(why) = record.and_then(|w| stays(&w.record)) {
        return cx.warn(why);
    }
    let whose = whose(entry);
    ask_why_back(whose, &entry.words, cx);
}

fn ask_why_back(whose: Whose, words: &str, cx: &mut Turn<'_>) {
    let hint = match whose.begins {
        Some(_) => "a few words: why does the walk not count? its looks go with it",
        None => "a few words: why was it wrong? needed where a stop goes with it",
    };
    cx.ask(Layer::line(
        format!("Take back: {words}"),
        hint,
        Line::WhyBack(whose),
    ));
}

/// A line of a list was picked.
pub fn picked(ask: Ask, at: usize, cx: &mut Turn<'_>) {
    match ask {
        Ask::Menu(whose, does) => match does.get(at) {
            Some(Do::TakeBack) => ask_why_back(whose, "this entry", cx),
            Some(Do::PutBack) => {
                let records = put_back(cx.book, &whose.id);
                confirm(records, "it counts as it did before", cx);
            }
            Some(Do::Close(walk)) => {
                let records = close(cx.book, walk);
                confirm(records, "the walk is closed as it stands", cx);
            }
            Some(Do::Field(field)) => ask_value(whose, Vec::new(), field, cx),
            None => {}
        },
        Ask::Value(whose, mut changes, field, values) => {
            if let Some(value) = values.get(at) {
                changes.push((field, value.clone()));
                if let Err(told) = go_on(whose, changes, cx) {
                    cx.warn(told);
                }
            }
        }
        Ask::Sure(records, told) => {
            if at == 1 && cx.record(records).is_some() {
                cx.tell(told);
                cx.renew_all();
            }
        }
    }
}

/// A line was typed.
///
/// # Errors
/// What is wrong with it; the line stays with what was typed.
pub fn typed(ask: Line, text: &str, cx: &mut Turn<'_>) -> Result<(), String> {
    match ask {
        Line::Value(whose, mut changes, field) => {
            let text = match field.as_str() {
                "item" => item_named(text, cx.book)?,
                _ => text.to_owned(),
            };
            changes.push((field, text));
            go_on(whose, changes, cx)?;
        }
        Line::WhyRight(whose, changes) => {
            let records = put_right(cx.book, &whose.id, &changes, &reason(text, cx));
            confirm(Ok(records.map_err(in_one)?), "put right", cx);
        }
        Line::WhyBack(whose) => {
            let records = taken_back(cx.book, &whose, &reason(text, cx));
            confirm(
                Ok(records.map_err(in_one)?),
                "taken back; it stays on record",
                cx,
            );
        }
    }
    Ok(())
}

/// A walk on another machine asks what that one's meter showed.
fn asks_hours(faults: &[Fault], changes: &Changes) -> bool {
    let moved = changes.last().is_some_and(|(field, _)| field == "machine");
    moved && faults.iter().any(|(field, _)| field == "hours")
}

/// After a field: what has to be said besides, then why.
///
/// # Errors
/// Why it cannot say that.
fn go_on(whose: Whose, changes: Changes, cx: &mut Turn<'_>) -> Result<(), String> {
    let tried = put_right(cx.book, &whose.id, &changes, &reason("as typed", cx));
    match tried {
        Err(faults) if asks_hours(&faults, &changes) => {
            let hint = "what its hour meter showed; empty where it was not read";
            let ask = Line::Value(whose, changes, "hours".to_owned());
            cx.ask(Layer::line("The meter of that machine", hint, ask));
        }
        Err(faults) => return Err(in_one(faults)),
        Ok(_) => cx.ask(Layer::line(
            "Why was it wrong?",
            "a few words; both stay on record",
            Line::WhyRight(whose, changes),
        )),
    }
    Ok(())
}

/// Asks what a field is to say.
fn ask_value(whose: Whose, changes: Changes, field: &Field, cx: &mut Turn<'_>) {
    let title = format!("{}: what is right?", field.name);
    let name = field.name.clone();
    let values: Option<(Vec<String>, Vec<String>)> = match name.as_str() {
        "grade" => Some(rungs(&whose.id, cx.book)),
        "machine" => {
            let machines = cx.book.boat().machines.iter();
            Some(machines.map(|m| (m.id.clone(), m.name.clone())).unzip())
        }
        _ => None,
    };
    match values {
        Some((values, lines)) => {
            cx.ask(Layer::choice(
                title,
                lines,
                Ask::Value(whose, changes, name, values),
            ));
        }
        None => {
            let hint = match name.as_str() {
                "item" => "a part of the right item's name, or its id",
                "at" => "a time such as 14:10, or 2026-05-03 14:10",
                _ => "empty takes it out",
            };
            let ask = Line::Value(whose, changes, name);
            cx.ask(Layer::typed(title, hint, &field.value, ask));
        }
    }
}

/// The rungs of the item an entry speaks of, in its own words.
fn rungs(id: &str, book: &Book) -> (Vec<String>, Vec<String>) {
    let w = book.written().iter().find(|w| *w.id == *id);
    let item = w.and_then(|w| match as_it_says(book, w) {
        Record::Look(made) => {
            let item = book.library().catalogue.item(&made.look.item)?;
            let walk = book.history().walk(&made.walk);
            let list = walk.and_then(|walk| {
                let asked = walk.asked.as_deref();
                book.library().checklist_of(&walk.checklist, asked)
            });
            Some(match list.is_some_and(|list| list.is_first_look()) {
                true => item.at_first_look(),
                false => item.clone(),
            })
        }
        _ => None,
    });
    let line = |grade: &Grade| {
        let words = item.as_ref().and_then(|item| item.ladder.get(grade.rung()));
        let words = words.map_or(String::new(), |words| format!(": {words}"));
        (
            grade.to_string(),
            format!("{} {grade}{words}", grade.rung()),
        )
    };
    Grade::ALL.iter().map(line).unzip()
}

/// The item that a text names, by its id or by words of its title.
fn item_named(text: &str, book: &Book) -> Result<String, String> {
    let catalogue = &book.library().catalogue;
    if let Some(item) = catalogue.item(text.trim()) {
        return Ok(item.id.clone());
    }
    let text = text.trim().to_lowercase();
    let has = |title: &str| title.to_lowercase().contains(&text);
    let found = catalogue.items().iter().filter(|item| has(&item.title));
    let found: Vec<_> = found.collect();
    match found.as_slice() {
        [only] => Ok(only.id.clone()),
        [] => Err("no item is called so".to_owned()),
        several => {
            let titles = several.iter().take(NAMED).map(|item| item.title.as_str());
            let titles: Vec<&str> = titles.collect();
            Err(format!("it fits several: {}", titles.join("; ")))
        }
    }
}

/// Tells what follows and asks whether to record it.
pub fn confirm(records: Result<Vec<Record>, Vec<Fault>>, told: &'static str, cx: &mut Turn<'_>) {
    let records = match records {
        Ok(records) => records,
        Err(faults) => return cx.warn(in_one(faults)),
    };
    let mut follows = foresee(cx.book, &records);
    if follows.is_empty() {
        follows.push("no stop, list or verdict becomes another by it".to_owned());
    }
    let options = ["leave it as it is", "record it"]
        .map(str::to_owned)
        .to_vec();
    let title = "This follows from it. Record it?";
    cx.ask(Layer::told(
        title,
        follows,
        options,
        Ask::Sure(records, told),
    ));
}
