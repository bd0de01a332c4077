//! The rows: everything that can be known of her, in groups.

use crate::boat::facts::{Fact, NOT_KNOWN, Of, Place};
use crate::boat::{Boat, Machine};
use crate::checklist::own_item::not_own;
use crate::checklist::own_list::is_own;
use crate::checklist::{Library, Sort};
use crate::defects::condition::Condition;
use crate::defects::{History, WhenLast};
use crate::logbook::book::Book;
use crate::text::capital;
use crate::walk::Photo;

/// One line of the screen.
#[derive(Clone, Debug)]
pub enum Row {
    /// What follows is under this head.
    Head(String),
    /// A fact of a thing aboard.
    Fact(Place, &'static Fact),
    /// The items a machine does not have.
    Lacks(String),
    /// What the handbook gives for an item of a machine: machine, item.
    Limit(String, String),
    /// One more handbook limit of a machine.
    NewLimit(String),
    /// It has left her.
    Out(Place),
    /// One more of them.
    New(Of),
    /// Where the intervals and ages stand.
    Due,
    /// Where the numbers and measures of parts stand.
    Parts,
    /// When work was last done on a machine, or something fitted there.
    Last(Last),
    /// An item of one's own.
    Item(String),
    /// One more item of one's own.
    NewItem,
    /// A checklist of one's own.
    List(String),
    /// One more checklist of one's own.
    NewList,
}

/// Work, or something that ages, on a machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Last {
    /// The task; none for the life of an item.
    pub task: Option<String>,
    /// The item; none for a task.
    pub item: Option<String>,
    /// The machine, by its id.
    pub machine: String,
}

/// All rows of a profile.
pub fn rows(boat: &Boat, library: &Library) -> Vec<Row> {
    let mut rows = Vec::new();
    for place in Place::all(boat) {
        let mut head = None;
        for fact in place.facts() {
            if head.replace(fact.head) != Some(fact.head) {
                rows.push(Row::Head(heading(boat, &place, fact)));
            }
            rows.push(Row::Fact(place.clone(), fact));
        }
        match place.of {
            Of::Boat => {}
            Of::Machine => rows.extend(lists(boat, &place)),
            Of::Tank | Of::Bank => rows.push(Row::Out(place)),
        }
    }
    rows.push(Row::Head("More of hers".to_owned()));
    rows.extend([Of::Machine, Of::Tank, Of::Bank].map(Row::New));
    rows.push(Row::Head(
        "Looked at beside what the program asks".to_owned(),
    ));
    let own = library.own().into_iter();
    let own = own.filter(|(sort, id, ..)| *sort == Sort::Item && not_own(library, id).is_none());
    rows.extend(own.map(|(_, id, ..)| Row::Item(id.to_owned())));
    rows.push(Row::NewItem);
    let lists = library.checklists().iter();
    let lists = lists.filter(|list| is_own(library, &list.id));
    rows.extend(lists.map(|list| Row::List(list.id.clone())));
    rows.push(Row::NewList);
    rows.push(Row::Head("How often, and how old".to_owned()));
    rows.push(Row::Due);
    rows.push(Row::Parts);
    rows
}

fn heading(boat: &Boat, place: &Place, fact: &Fact) -> String {
    let name = place.name(boat).unwrap_or_default();
    match place.of {
        Of::Boat => fact.head.to_string(),
        Of::Machine => format!("{name} [{}]: {}", place.id, lower(fact.head.as_str())),
        Of::Tank | Of::Bank => format!("{}: {name} [{}]", capital(place.of.words()), place.id),
    }
}

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_lowercase().to_string());
    format!("{}{}", first.unwrap_or_default(), letters.as_str())
}

fn lists(boat: &Boat, place: &Place) -> Vec<Row> {
    let id = &place.id;
    let name = place.name(boat).unwrap_or_default();
    let machine = boat.machines.iter().find(|m| m.id == *id);
    let limits = machine.into_iter().flat_map(|m| &m.handbook);
    let limits = limits.map(|limit| Row::Limit(id.clone(), limit.item.clone()));
    let mut rows = vec![
        Row::Head(format!("{name} [{id}]: what she lacks, and the handbook")),
        Row::Lacks(id.clone()),
    ];
    rows.extend(limits);
    rows.push(Row::NewLimit(id.clone()));
    rows.push(Row::Out(place.clone()));
    rows
}

/// The answers that sharpen the most on a machine, of those that can be asked there.
pub fn ten(condition: &Condition, id: &str) -> Vec<Row> {
    let place = Place::new(Of::Machine, id);
    let fact = |name| Some(Row::Fact(place.clone(), Fact::named(name, Of::Machine)?));
    let asked = |item: &str| condition.life(item, id).is_some();
    let last = |task: Option<&str>, item: Option<&str>| {
        Row::Last(Last {
            task: task.map(str::to_owned),
            item: item.map(str::to_owned),
            machine: id.to_owned(),
        })
    };
    let done = |task: &str| {
        let of = &condition.library.task(task)?.item;
        asked(of).then(|| last(Some(task), None))
    };
    let fitted = |item: &str| asked(item).then(|| last(None, Some(item)));
    let packed = asked("stuffing-box").then(|| fact("packing")).flatten();
    let all = [
        fact("sump"),
        fact("between_marks"),
        fact("fuel_per_hour"),
        packed,
        done("oil-and-filter"),
        done("raw-water-impeller"),
        done("drive-belts"),
        done("fuel-fine-filter"),
        fitted("raw-water-inlet-hose"),
        fitted("fuel-hoses"),
    ];
    all.into_iter().flatten().collect()
}

/// True where nothing of what a row asks is on record.
pub fn is_open(row: &Row, boat: &Boat, history: &History) -> bool {
    match row {
        Row::Fact(place, fact) => fact.of(boat, place).is_none(),
        Row::Last(last) => {
            let machine = Some(&last.machine);
            let told = history.when_last.iter().any(|told| last.is_of(&told.rec));
            let done = history.services.iter();
            let mut done = done.filter(|s| s.rec.machine.as_ref() == machine);
            !told && !done.any(|s| Some(&s.rec.task) == last.task.as_ref())
        }
        _ => false,
    }
}

impl Last {
    /// True for what was told of it.
    pub fn is_of(&self, told: &WhenLast) -> bool {
        (&self.task, &self.item) == (&told.task, &told.item)
            && told.machine.as_ref() == Some(&self.machine)
    }

    /// What it is called.
    pub fn title<'a>(&'a self, library: &'a Library) -> &'a str {
        match (&self.task, &self.item) {
            (Some(task), _) => library.task(task).map_or(task, |t| &t.title),
            (_, Some(item)) => title(library, item),
            _ => "",
        }
    }

    /// What is asked of it.
    pub const fn asks(&self) -> &'static str {
        match self.task {
            Some(_) => "when last done?",
            None => "when fitted?",
        }
    }

    /// The last word on it: a day, or that nobody knows.
    pub fn shown(&self, history: &History) -> Option<String> {
        let mut told = history.when_last.iter().rev();
        let last = told.find(|told| self.is_of(&told.rec))?.rec.last;
        let day = last.map(|at| at.format("%Y-%m-%d").to_string());
        Some(day.unwrap_or_else(|| "nobody knows".to_owned()))
    }
}

impl Row {
    /// True where it can be answered.
    pub fn can_be_answered(&self) -> bool {
        !matches!(self, Row::Head(_))
    }

    /// True where it says where something is.
    pub fn is_place(&self) -> bool {
        matches!(self, Row::Fact(_, fact) if fact.is_place())
    }

    /// True for the same line of another state of the profile.
    pub fn is_same(&self, other: &Row) -> bool {
        match (self, other) {
            (Row::Fact(place, fact), Row::Fact(other, of)) => {
                place == other && fact.name == of.name
            }
            (Row::Lacks(id), Row::Lacks(other)) | (Row::NewLimit(id), Row::NewLimit(other)) => {
                id == other
            }
            (Row::Limit(id, item), Row::Limit(other, of)) => (id, item) == (other, of),
            (Row::Out(place), Row::Out(other)) => place == other,
            (Row::New(of), Row::New(other)) => of == other,
            (Row::Due, Row::Due)
            | (Row::Parts, Row::Parts)
            | (Row::NewItem, Row::NewItem)
            | (Row::NewList, Row::NewList) => true,
            (Row::Item(id), Row::Item(other)) | (Row::List(id), Row::List(other)) => id == other,
            (Row::Last(last), Row::Last(other)) => last == other,
            _ => false,
        }
    }

    /// What it is, and what is known of it; no value where nothing is to be known.
    pub fn words(&self, book: &Book) -> (String, Option<String>) {
        let (boat, library) = (book.profile(), book.library());
        match self {
            Row::Last(last) => {
                let value = last.shown(book.history());
                let words = format!("{}, {}", last.title(library), last.asks());
                (words, Some(value.unwrap_or_else(|| NOT_KNOWN.to_owned())))
            }
            Row::Head(head) => (head.clone(), None),
            Row::Fact(place, fact) => {
                let unit = fact.form.unit(boat.units);
                let value = fact.shown(boat, place).unwrap_or_else(|| match unit {
                    "" => NOT_KNOWN.to_owned(),
                    unit => format!("{NOT_KNOWN}, in {unit}"),
                });
                let photo = photo(book, place, fact).map(Photo::words);
                let photo = photo.map(|photo| format!("; photograph {photo}"));
                let value = format!("{value}{}", photo.unwrap_or_default());
                (fact.words.to_owned(), Some(value))
            }
            Row::Lacks(id) => {
                let without = machine(boat, id).map(|m| m.without.as_slice());
                let without = without.unwrap_or_default();
                let titles: Vec<&str> = without.iter().map(|i| title(library, i)).collect();
                let value = match titles.as_slice() {
                    [] => "nothing of what is asked".to_owned(),
                    titles => titles.join("; "),
                };
                ("Does not have".to_owned(), Some(value))
            }
            Row::Limit(id, item) => {
                let limits = machine(boat, id).into_iter().flat_map(|m| &m.handbook);
                let limit = limits.into_iter().find(|limit| limit.item == *item);
                let value = limit.map(|l| format!("{} ({})", l.range(), l.source));
                (title(library, item).to_owned(), value)
            }
            Row::Item(id) => {
                let asked = library.own_rows().filter(|row| row.item == *id).count();
                let told = match asked {
                    0 => "asked by no row of your own".to_owned(),
                    1 => "asked in 1 place".to_owned(),
                    many => format!("asked in {many} places"),
                };
                (title(library, id).to_owned(), Some(told))
            }
            Row::NewItem => ("Add an item of your own".to_owned(), None),
            Row::List(id) => {
                let list = library.checklist(id);
                let rows = list
                    .into_iter()
                    .flat_map(|l| &l.phases)
                    .flat_map(|p| &p.rows);
                let away = list.is_some_and(|l| l.put_away);
                let away = if away { ", not offered" } else { "" };
                let told = format!("a check of {} rows{away}", rows.count());
                (
                    list.map_or(id.as_str(), |l| &l.title).to_owned(),
                    Some(told),
                )
            }
            Row::NewList => ("Add a check of your own".to_owned(), None),
            Row::NewLimit(_) => ("Add a handbook limit".to_owned(), None),
            Row::Out(place) => (format!("This {} has left her", place.of.words()), None),
            Row::New(of) => (format!("Add a {}", of.words()), None),
            Row::Parts => (
                "Parts: numbers, measures".to_owned(),
                Some("on the parts page".to_owned()),
            ),
            Row::Due => (
                "Intervals, and when fitted".to_owned(),
                Some("on the list of what is due".to_owned()),
            ),
        }
    }

    /// Why it is asked, and what changes when it is known.
    pub fn why(&self) -> (&'static str, &'static str) {
        match self {
            Row::Head(_) => ("", ""),
            Row::Fact(_, fact) => (fact.why, fact.then),
            Row::Lacks(_) => (
                "What is not there need not be asked on every walk.",
                "It is asked no more, and is as easily brought back. Where a stop would go out of sight, it asks first.",
            ),
            Row::Limit(..) | Row::NewLimit(_) => (
                "The maker's handbook outranks the bands here.",
                "A reading inside it proposes sound, outside it failing; the page stands beside it.",
            ),
            Row::Out(place) if place.of == Of::Machine => (
                "Sold, taken out, or never there.",
                "It is asked no more; its records stay. Where a stop would go out of sight, it asks first.",
            ),
            Row::Out(_) => ("Taken out, or never there.", "It stands here no more."),
            Row::New(Of::Machine) => (
                "A second engine, a generator, an outboard.",
                "It is walked and served by itself. Records follow its id, which stays as it is.",
            ),
            Row::New(_) => ("What she carries.", "Kept with the boat."),
            Row::Last(_) => (
                "What nobody knows the age of is due now, or due to be looked at.",
                "It falls due by its age instead. A year is enough; Enter alone says that nobody knows.",
            ),
            Row::Item(_) | Row::NewItem => (
                "What only she has: a davit pump, a second filter, a bracket that cracks.",
                "It is graded, ranked and remembered as every other, in your own words, and goes with every copy of the logbook.",
            ),
            Row::List(_) | Row::NewList => (
                "Before a lock, before a passage, after the yard: your own rows in your own order.",
                "It stands among what can be walked. It says what was seen and what it did not ask, never that all is clear.",
            ),
            Row::Parts => (
                "At a counter the number or the measures are asked for, not the name.",
                "Enter goes there. What is fitted is held against the maker's number and the equivalents; the list of parts to buy shows the numbers.",
            ),
            Row::Due => (
                "Every part has its own age and its own interval.",
                "Enter goes there; for the row under the arrow I sets how often, A says when last or when fitted, or that it is not known.",
            ),
        }
    }
}

/// The photograph of a place.
pub fn photo<'a>(book: &'a Book, place: &Place, fact: &Fact) -> Option<&'a Photo> {
    book.history().place_photo(fact.name, place.machine())
}

/// Every photograph of a place that stands.
pub fn photos(book: &Book) -> impl Iterator<Item = &Photo> {
    let places = Place::all(book.profile()).into_iter();
    places.flat_map(move |place| {
        place
            .facts()
            .filter_map(move |fact| photo(book, &place, fact))
    })
}

/// A machine of the profile.
pub fn machine<'a>(boat: &'a Boat, id: &str) -> Option<&'a Machine> {
    boat.machines.iter().find(|m| m.id == id)
}

/// The title of an item, its id where it is not known.
pub fn title<'a>(library: &'a Library, item: &'a str) -> &'a str {
    let known = library.catalogue.item(item);
    known.map_or(item, |i| &i.title)
}
