//! A boat whose people walk, repair and defer, each sitting a session of its own.

use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::Duration;

use chrono::{DateTime, FixedOffset};
use handlamp::boat::Boat;
use handlamp::checklist::{Scope, UnknownAge};
use handlamp::logbook::FixedClock;
use handlamp::logbook::book::Book;
use handlamp::logbook::import::import;
use handlamp::logbook::input::read_documents;
use handlamp::logbook::record::Record;
use serde_json::{Value, json};

use super::harness::record_files;
use super::oracle::library;

/// A short morning check, and a hose of the boat's own in it.
pub const SHORT: &str = "short";
pub const HOSE: &str = "deck-wash-hose";
pub const BELT: &str = "drive-belt";
/// What the short check asks.
pub const ITEMS: [&str; 6] = [
    "bilge-water",
    "engine-seacock",
    BELT,
    "engine-oil-level",
    "raw-water-pump-seal",
    HOSE,
];
/// The one among them that the boat has once; the others are each engine's.
pub const BOAT_ITEM: &str = ITEMS[0];

pub fn time(text: &str) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(text).expect("a time")
}

fn own_files() -> Vec<(String, String)> {
    let hose = json!({"type":"catalogue","items":[{
        "id":HOSE,"title":"Deck wash hose","scope":"machine","kind":"hose","station":"bilge",
        "look":"Bend it at both clips.","ladder":["supple, dry","stiff","cracked","wet at a clip","burst"],
        "effects":[{"effect":"nuisance","beta":0.5}],"stop_at":"failing",
        "remedy":{"do":"new hose","who":"owner","where":"in-port"},"seconds":5,"source":"judgement"}]});
    let row = |station: &str, item: &str| json!({"title":item,"station":station,"must_see":true,"items":[item]});
    let stations = [
        "bilge",
        "sea-inlet",
        "front",
        "service-side",
        "front",
        "bilge",
    ];
    let rows = stations
        .iter()
        .zip(ITEMS)
        .map(|(station, item)| row(station, item));
    let short = json!({"type":"checklist","id":SHORT,"title":"Short check","purpose":"Is she as she was?",
        "closes_with":"daily","phases":[{"id":"cold","title":"Cold","state":"cold",
        "rows":rows.collect::<Vec<_>>()}]});
    vec![
        ("hose.json".to_owned(), hose.to_string()),
        ("short.json".to_owned(), short.to_string()),
    ]
}

/// Her machines have nothing that no verdict is clear beside while nobody knows its age: one line
/// tells that of the boat, see [`Aboard::tells_age`], so that a record lost can make an answer clear.
pub fn profile(machines: &[&str]) -> Boat {
    let tasks = library().tasks().to_owned();
    let aging = tasks.iter().filter(|t| t.unknown_age == UnknownAge::Due);
    let aging = aging.filter(|t| t.scope == Scope::Machine && !t.every.is_never());
    let without: Vec<&str> = aging.map(|t| t.item.as_str()).collect();
    let machines: Vec<Value> = machines
        .iter()
        .map(|id| json!({"id":id,"name":format!("The {id} engine"),"sump":"7 L","between_marks":"1.5 L","without":without}))
        .collect();
    let boat = json!({"type":"boat","name":"Grey Plover","waters":"inshore","units":"metric",
        "usual_hours_per_month":15,"day_ahead":{"hours":10,"days":2},"machines":machines});
    serde_json::from_value(boat).expect("a profile")
}

/// A logbook and who writes in it.
pub struct Aboard {
    pub root: PathBuf,
    pub clock: Rc<FixedClock>,
    pub book: Book,
    /// Where the computer keeps its marks.
    marks: Option<PathBuf>,
    seed: u64,
    walks: usize,
    /// Its walks name the text of what they asked. Reading that costs most of an answer, so where
    /// many are compared they do not, as those of an early version.
    pub keeps_asked: bool,
}

impl Aboard {
    /// Begins a logbook with what the boat has of her own.
    pub fn begin(root: &Path, at: &str, machines: &[&str], seed: u64) -> Aboard {
        let clock = Rc::new(FixedClock::new(time(at)));
        let book = Book::create(
            root,
            profile(machines),
            Rc::clone(&clock) as Rc<_>,
            library(),
            Some(seed),
        );
        let mut book = book.expect("a logbook");
        let (_, own) = book.library().with_files(&own_files()).expect("own files");
        book.put_own(own).expect("put");
        Aboard::with(root, clock, book, seed)
    }

    /// The one thing left is told to have been done now.
    pub fn tells_age(&mut self) {
        let at = self.now();
        self.take(&[json!({"type":"when-last","task":"fire-extinguisher","at":at,"last":at})]);
    }

    /// A copy of the logbook is opened, by a computer of that seed.
    pub fn on(root: &Path, at: DateTime<FixedOffset>, seed: u64) -> Aboard {
        let clock = Rc::new(FixedClock::new(at));
        let book = Book::open(root, Rc::clone(&clock) as Rc<_>, library(), Some(seed));
        Aboard::with(root, clock, book.expect("a logbook"), seed)
    }

    fn with(root: &Path, clock: Rc<FixedClock>, book: Book, seed: u64) -> Aboard {
        Aboard {
            root: root.to_owned(),
            clock,
            book,
            marks: None,
            seed,
            walks: 0,
            keeps_asked: false,
        }
    }

    /// From now on the computer keeps marks.
    pub fn minds(&mut self, marks: &Path) {
        self.marks = Some(marks.to_owned());
        self.book.mind(Some(marks));
    }

    /// The program ends and is started again.
    pub fn session(&mut self, at: &str) -> &mut Aboard {
        self.session_at(time(at))
    }

    pub fn session_at(&mut self, at: DateTime<FixedOffset>) -> &mut Aboard {
        self.book.finish();
        self.killed(at)
    }

    /// The program is killed and started again.
    pub fn killed(&mut self, at: DateTime<FixedOffset>) -> &mut Aboard {
        self.seed += 1000;
        self.clock = Rc::new(FixedClock::new(at));
        let clock = Rc::clone(&self.clock);
        let book = Book::open_to_record(&self.root, clock, library(), Some(self.seed));
        self.book = book.expect("a logbook");
        self.book.mind(self.marks.as_deref());
        self
    }

    pub fn now(&self) -> String {
        self.book.now().to_rfc3339()
    }

    /// Time passes.
    pub fn after(&self, seconds: u64) {
        self.clock.advance(Duration::from_secs(seconds));
    }

    /// Records something; its ids.
    pub fn record(&mut self, ev: &str, rec: &Value) -> Vec<String> {
        let record = Record::read(ev, &rec.to_string()).expect("an event");
        let ids = self.book.record(vec![record.expect("a record")]);
        assert!(self.book.trouble().is_none());
        ids.expect("recorded")
    }

    /// Begins a short check; its id.
    pub fn begin_walk(&mut self, machine: &str) -> String {
        self.walks += 1;
        let id = format!("{}-{}", self.seed, self.walks);
        let library = std::sync::Arc::clone(self.book.library());
        let list = library.checklist(SHORT).expect("the short check");
        let at = self.now();
        let mut walk = json!({"walk":id,"checklist":SHORT,"machine":machine,"at":at});
        if self.keeps_asked {
            walk["asked"] = self.book.keep_asked(list).expect("kept").into();
        }
        self.record("walk", &walk);
        id
    }

    /// A look made now; the id of its record.
    pub fn look(&mut self, walk: &str, item: &str, grade: &str) -> String {
        self.after(20);
        let look = json!({"item":item,"phase":"cold","grade":grade});
        let rec = json!({"walk":walk,"at":self.now(),"look":look});
        self.record("look", &rec).remove(0)
    }

    pub fn finish_walk(&mut self, walk: &str) {
        self.after(20);
        self.record("walk-finished", &json!({"walk":walk,"at":self.now()}));
    }

    /// A whole short check: all sound but what is named.
    pub fn walk(&mut self, machine: &str, found: &[(&str, &str)]) -> String {
        let id = self.begin_walk(machine);
        for item in ITEMS {
            let found = found.iter().find(|(named, _)| *named == item);
            self.look(&id, item, found.map_or("sound", |(_, grade)| grade));
        }
        self.finish_walk(&id);
        id
    }

    /// Takes documents in as `record` does.
    pub fn take(&mut self, documents: &[Value]) {
        let text = Value::from(documents.to_vec()).to_string();
        let documents = read_documents("sheet.json", &text).expect("documents");
        import(&mut self.book, &documents).expect("taken");
    }
}

/// The record files of a logbook, relative to its folder, by name.
pub fn files(root: &Path) -> Vec<PathBuf> {
    let mut found = record_files(root);
    found.retain(|path| path.extension().is_some_and(|e| e == "jsonl"));
    let inside = |path: PathBuf| path.strip_prefix(root).expect("inside").to_owned();
    found.into_iter().map(inside).collect()
}
