//! The published troubles as logbooks: what was seen is recorded as looks at items, and the looks of the
//! logbook say what was told, with the same chances.

use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

use handlamp::causes::{Causes, Look, OK, Question, Says, Seen};
use handlamp::checklist::{Grade, Library};
use handlamp::logbook::FixedClock;
use handlamp::logbook::book::Book;
use handlamp::logbook::input::read_documents;
use handlamp::logbook::take::take;
use serde_json::json;

use crate::troubles::TROUBLES;

const CLOSE: f64 = 1e-9;
const BOAT: &str = r#"{"type":"boat","name":"Grey Plover","waters":"inshore","units":"metric",
    "usual_hours_per_month":15,"machines":[{"id":"main","name":"Main engine"}]}"#;
const SEEN: &str = "2026-05-03T08:00:00+02:00";
const NOW: &str = "2026-05-03T09:00:00+02:00";

type Told<'t> = BTreeMap<&'t str, &'t str>;

/// Looks to be recorded: the rung of each item, and what is said beside it.
#[derive(Default)]
struct Sheet<'t> {
    told: Told<'t>,
    looks: BTreeMap<String, (Grade, BTreeMap<String, String>)>,
}

const BAD: [Grade; 4] = [Grade::Early, Grade::Worn, Grade::Failing, Grade::Failed];

impl<'t> Sheet<'t> {
    fn of(told: &[(&'t str, &'t str)]) -> Sheet<'t> {
        let mut sheet = Sheet {
            told: told.iter().copied().collect(),
            ..Sheet::default()
        };
        for (id, answer) in told {
            let (_, question) = Causes::built_in().question(id).expect("a question");
            match *answer {
                OK => sheet.sound(question),
                _ => sheet.bad(question, answer),
            }
        }
        sheet
    }

    /// True where a rung of an item says nothing but what was told; `sign` says which question is answered
    /// beside it.
    fn is_clean(&self, item: &str, grade: Grade) -> bool {
        let free = self.looks.get(item).is_none_or(|(rung, _)| *rung == grade);
        let mut questions = Causes::built_in().questions().iter();
        free && questions.all(|question| {
            let told = self.told.get(question.id.as_str());
            match question.by_item(item).map(|by| by.says(grade)) {
                None | Some(Says::Nothing) => true,
                Some(Says::Ok) => told == Some(&OK),
                Some(Says::Answer(answer)) => told == Some(&answer),
                Some(Says::Which) => told.is_some_and(|told| *told != OK),
            }
        })
    }

    fn put(&mut self, item: &str, grade: Grade, sign: Option<(&str, &str)>) {
        let (_, signs) = self
            .looks
            .entry(item.to_owned())
            .or_insert((grade, BTreeMap::new()));
        signs.extend(sign.map(|(question, answer)| (question.to_owned(), answer.to_owned())));
    }

    /// Every item that has to be sound for it.
    fn sound(&mut self, question: &Question) {
        for by in question.from.iter().filter(|by| by.sound) {
            assert!(self.is_clean(&by.item, Grade::Sound), "{}", by.item);
            self.put(&by.item, Grade::Sound, None);
        }
    }

    /// The first item and rung that say the answer; else those of several answers, where it is said beside
    /// the rung; else those that leave the question open.
    fn bad(&mut self, question: &Question, answer: &str) {
        let rungs = question.from.iter();
        let rungs = rungs.flat_map(|by| BAD.map(|grade| (by, grade)));
        let clean: Vec<_> = rungs
            .filter(|(by, grade)| self.is_clean(&by.item, *grade))
            .collect();
        let named = |says: Says<'_>| says == Says::Answer(answer);
        let asked = |says: Says<'_>| says == Says::Which;
        let open = |says: Says<'_>| says == Says::Nothing;
        let find = |fits: &dyn Fn(Says<'_>) -> bool| {
            let mut all = clean.iter();
            all.find(|(by, grade)| fits(by.says(*grade))).copied()
        };
        let found = find(&named).map(|found| (found, None));
        let sign = Some((question.id.as_str(), answer));
        let beside = || {
            find(&asked)
                .or_else(|| find(&open))
                .map(|found| (found, sign))
        };
        let ((by, grade), sign) = found.or_else(beside).unwrap_or_else(|| {
            panic!("no item says {answer} to {}", question.id);
        });
        self.put(&by.item, grade, sign);
    }

    /// As the program takes it.
    fn document(&self) -> String {
        let looks = self.looks.iter().map(|(item, (grade, signs))| {
            let mut look = json!({"item": item, "grade": grade.as_str()});
            if !signs.is_empty() {
                look["signs"] = json!(signs);
            }
            look
        });
        let looks: Vec<_> = looks.collect();
        json!({"type": "walk", "id": "w1", "checklist": "daily", "machine": "main", "at": SEEN,
            "by": "R. Quay", "looks": looks})
        .to_string()
    }
}

fn recorded(sheet: &Sheet<'_>) -> (tempfile::TempDir, Book) {
    let dir = tempfile::tempdir().expect("a folder");
    let now = chrono::DateTime::parse_from_rfc3339(NOW).expect("a time");
    let clock = Rc::new(FixedClock::new(now));
    let library = Arc::new(Library::built_in().clone());
    let boat = serde_json::from_str(BOAT).expect("a boat");
    let mut book = Book::create(dir.path(), boat, clock, library, Some(7)).expect("a logbook");
    let documents = read_documents("w1.json", &sheet.document()).expect("documents");
    take(&mut book, &documents).expect("taken");
    (dir, book)
}

#[test]
fn published_troubles_come_out_of_a_logbook_as_they_were_told() {
    let causes = Causes::built_in();
    let mut without_part = 0;
    for (whose, told, _) in TROUBLES {
        let sheet = Sheet::of(told);
        let (_dir, book) = recorded(&sheet);
        let behind = book.condition().behind(book.history(), "main");
        let said: BTreeMap<&str, &str> = behind
            .seen
            .looks
            .iter()
            .map(|look| (look.question.as_str(), look.answer.as_str()))
            .collect();
        assert_eq!(said, sheet.told, "{whose}: {}", sheet.document());
        // What was told alone; and with the parts, where an item is one.
        let looks = told
            .iter()
            .map(|(question, answer)| Look::of(question, answer));
        let plain = Seen {
            looks: looks.collect(),
            ..Seen::default()
        };
        let with_parts = Seen {
            parts: behind.seen.parts.clone(),
            ..plain.clone()
        };
        let of_logbook = behind.judge().reckoned;
        let of_words = causes.judge(&with_parts).reckoned;
        let mut all = vec![of_words];
        if behind.seen.parts.is_empty() {
            without_part += 1;
            all.push(causes.judge(&plain).reckoned);
        }
        for of_words in all {
            let near = |a: f64, b: f64| (a - b).abs() <= CLOSE;
            let pairs = of_logbook.chances.iter().zip(&of_words.chances);
            assert!(pairs.clone().all(|(a, b)| near(*a, *b)), "{whose}");
            assert_eq!(pairs.len(), causes.causes().len());
            assert!(near(of_logbook.alone, of_words.alone), "{whose}");
            assert!(near(of_logbook.unlisted, of_words.unlisted), "{whose}");
        }
    }
    println!(
        "{without_part} of {} with no part looked at",
        TROUBLES.len()
    );
    assert!(without_part >= 5, "{without_part}");
}
