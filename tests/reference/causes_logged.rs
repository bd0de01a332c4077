//! The published troubles as logbooks: what was seen is recorded as looks at items, and the looks of the
//! logbook say what was told, with the same chances.

use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

use handlamp::causes::{Causes, Look, OK, PartLook, Question, Reckoned, Says, Seen};
use handlamp::checklist::{Grade, Library};
use handlamp::logbook::FixedClock;
use handlamp::logbook::book::Book;
use handlamp::logbook::import::import;
use handlamp::logbook::input::read_documents;
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
        let found = found.or_else(beside);
        assert!(found.is_some(), "no item says {answer} to {}", question.id);
        let ((by, grade), sign) = found.expect("an item");
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
    import(&mut book, &documents).expect("taken");
    (dir, book)
}

/// What was told, as words.
fn in_words(told: &[(&str, &str)], part: Option<PartLook>) -> Seen {
    let looks = told
        .iter()
        .map(|(question, answer)| Look::of(question, answer));
    Seen {
        looks: looks.collect(),
        parts: part.into_iter().collect(),
        ..Seen::default()
    }
}

#[track_caller]
fn same(a: &Reckoned<'_>, b: &Reckoned<'_>, whose: &str) {
    let near = |a: f64, b: f64| (a - b).abs() <= CLOSE;
    assert_eq!(a.chances.len(), b.chances.len(), "{whose}");
    let mut pairs = a.chances.iter().zip(&b.chances);
    assert!(pairs.all(|(a, b)| near(*a, *b)), "{whose}");
    assert!(near(a.alone, b.alone), "{whose}");
    assert!(near(a.unlisted, b.unlisted), "{whose}");
}

#[test]
fn published_troubles_come_out_of_a_logbook_as_they_were_told() {
    let causes = Causes::built_in();
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
        let of_logbook = behind.judge().reckoned;
        same(
            &of_logbook,
            &causes.judge(&in_words(told, None)).reckoned,
            whose,
        );
    }
}

/// A trouble, a part that answers no question looked at as well, and the cause whose part it is.
const WITH_A_PART: [(&str, &str, Grade, &str); 5] = [
    (
        "owners' group 12481",
        "gearbox-oil-cooler",
        Grade::Failing,
        "gear-cooler",
    ),
    (
        "owners' group 12481",
        "gearbox-oil-cooler",
        Grade::Sound,
        "gear-cooler",
    ),
    (
        "sentoa.org, gear cooler",
        "gearbox-oil-cooler",
        Grade::Failed,
        "gear-cooler",
    ),
    (
        "sailboat owners' forum 110276",
        "engine-loom",
        Grade::Failing,
        "false-alarm",
    ),
    (
        "iboats.com 379399",
        "helm-lever-and-interlock",
        Grade::Failing,
        "start-circuit",
    ),
];

#[test]
fn a_part_that_was_graded_as_well_counts_as_it_does_in_words() {
    let causes = Causes::built_in();
    for (whose, item, grade, cause) in WITH_A_PART {
        let told = TROUBLES.iter().find(|(told, ..)| *told == whose);
        let (_, told, _) = told.expect("a trouble");
        let mut sheet = Sheet::of(told);
        sheet.put(item, grade, None);
        let (_dir, book) = recorded(&sheet);
        let behind = book.condition().behind(book.history(), "main");
        let graded = PartLook {
            item: item.to_owned(),
            grade,
            on: None,
        };
        let without = causes.judge(&in_words(told, None)).reckoned;
        let in_words = causes.judge(&in_words(told, Some(graded))).reckoned;
        let of_logbook = behind.judge().reckoned;
        same(&of_logbook, &in_words, whose);
        let place = causes.causes().iter().position(|c| c.id == cause);
        let place = place.expect("a cause");
        let (was, is) = (without.chances[place], of_logbook.chances[place]);
        assert_eq!(is > was, grade > Grade::Sound, "{whose}: {was} {is}");
    }
}
