//! One thing looked at for the sake of a question.

use std::rc::Rc;
use std::sync::Arc;

use ratatui::Terminal;
use ratatui::backend::TestBackend;

use super::begin;
use crate::causes::{Causes, Says};
use crate::checklist::{Grade, Library};
use crate::demo;
use crate::keys::{Action, KeyTable};
use crate::logbook::book::Book;
use crate::logbook::{Clock, SystemClock};
use crate::paint::glyphs::Glyphs;
use crate::paint::theme::{Theme, ThemeName};
use crate::screen::kind::{Cx, Finder, Screen, Shown, View};
use crate::screen::layers::{Choice, Layer};
use crate::screen::shared::{Setup, Shared};
use crate::screen::walk::ask::{Asked, Pick};
use crate::screen::walk::state::WalkScreen;

struct Scene {
    _dir: tempfile::TempDir,
    shared: Shared,
    book: Book,
    screen: WalkScreen,
}

/// At an item for the sake of a question.
fn looking_for(question: &str, item: &str) -> Scene {
    let dir = tempfile::tempdir().expect("a folder");
    let clock: Rc<dyn Clock> = Rc::new(SystemClock::new());
    let library = Arc::new(Library::built_in().clone());
    demo::write_to(dir.path(), Rc::clone(&clock), &library).expect("the demo boat");
    let shared = Shared::new(Setup {
        root: dir.path().to_owned(),
        clock,
        library,
        keys: KeyTable::built_in(),
        theme: Theme {
            name: ThemeName::Plain,
            glyphs: Glyphs::Unicode,
        },
        by: None,
        report_language: crate::report::words::Language::English,
        seed: Some(3),
        late_bell: false,
        pictures: dir.path().to_owned(),
        marks: None,
    });
    let mut book = shared.setup.open_book().expect("it opens");
    let finder = Finder {
        machine: "main".to_owned(),
        blind: false,
        guest: None,
        asks: Some(question.to_owned()),
    };
    let screen = begin(&shared, &mut book, item, finder).expect("the boat has it");
    Scene {
        _dir: dir,
        shared,
        book,
        screen,
    }
}

impl Scene {
    /// Lets the screen act; what it asks last, if it is which of several answers a rung is.
    fn turn(
        &mut self,
        act: impl FnOnce(&mut WalkScreen, &mut Cx<'_, WalkScreen>),
    ) -> Option<(Choice, Box<Asked>)> {
        let mut cx = Cx::new(&mut self.shared, &mut self.book);
        act(&mut self.screen, &mut cx);
        match cx.asked.pop() {
            Some(Layer::Choice(choice, Pick::Sign(asked))) => Some((choice, asked)),
            _ => None,
        }
    }

    /// The answers on record with the look.
    fn signs(&self) -> Vec<(String, String)> {
        let look = self
            .screen
            .look(&self.book, self.screen.at)
            .expect("a look");
        look.look.signs.clone().into_iter().collect()
    }

    fn text(&self, columns: u16, rows: u16) -> String {
        let mut terminal = Terminal::new(TestBackend::new(columns, rows)).expect("a terminal");
        let view = View {
            setup: &self.shared.setup,
            book: &self.book,
            covered: false,
        };
        terminal
            .draw(|frame| self.screen.draw(&view, frame, frame.area()))
            .expect("drawn");
        terminal.backend().to_string()
    }
}

fn pair(question: &str, answer: &str) -> Vec<(String, String)> {
    vec![(question.to_owned(), answer.to_owned())]
}

#[test]
fn what_to_look_at_stands_before_the_ladder_its_caution_first() {
    let scene = looking_for("plume", "exhaust-smoke");
    for (columns, rows) in [(80, 20), (60, 16)] {
        let text = scene.text(columns, rows);
        let at = |words: &str| {
            text.find(words)
                .unwrap_or_else(|| panic!("{words}:\n{text}"))
        };
        let (caution, look) = (at("Stand upwind"), at("Look at: What does the exhaust"));
        assert!(caution < look && look < at("sound"), "{text}");
        assert!(text.contains("(about"), "{text}");
    }
}

#[test]
fn it_is_asked_after_any_rung_that_is_no_answer_with_its_normal_one_where_the_rung_says_nothing() {
    let (_, plume) = Causes::built_in().question("plume").expect("known");
    let by = plume.by_item("exhaust-smoke").expect("answered there");
    let mut asked_at = 0;
    for grade in Grade::ALL {
        let mut scene = looking_for("plume", "exhaust-smoke");
        let asked = scene.turn(|screen, cx| screen.grade(*grade, cx));
        let says = by.says(*grade);
        let Some((choice, asked)) = asked else {
            assert!(matches!(says, Says::Ok | Says::Answer(_)), "{grade}");
            continue;
        };
        asked_at += 1;
        assert_eq!(asked.question, "plume", "{grade}");
        let normal = asked.answers[0] == "ok";
        assert_eq!(normal, says == Says::Nothing, "{grade}");
        let first = asked.answers[0].clone();
        let next = scene.turn(|screen, cx| screen.picked(Pick::Sign(asked), 1, &choice, cx));
        assert!(next.is_none(), "{grade}: asked twice");
        assert_eq!(scene.signs(), pair("plume", &first), "{grade}");
    }
    assert!(asked_at >= 2, "{asked_at}");
}

/// An item that two questions are about, one of which some rung leaves open, and that rung.
fn asked_twice() -> (&'static str, &'static str, &'static str, Grade) {
    let questions = Causes::built_in().questions();
    let mut found = questions.iter().flat_map(|open| {
        open.from.iter().filter_map(move |by| {
            let which = |grade: &&Grade| by.says(**grade) == Says::Which;
            let grade = Grade::ALL.iter().find(which)?;
            let mut others = questions.iter().filter(|other| other.id != open.id);
            let sought = others.find(|other| other.by_item(&by.item).is_some())?;
            let parts = (by.item.as_str(), sought.id.as_str(), open.id.as_str());
            Some((parts.0, parts.1, parts.2, *grade))
        })
    });
    // Of what the demo boat has.
    let item = found.find(|(item, ..)| ["vibration-and-noise", "cold-start"].contains(item));
    item.expect("two questions about one of them")
}

#[test]
fn several_are_asked_one_after_the_other_and_leaving_one_leaves_the_rest() {
    let (item, sought, open, grade) = asked_twice();
    let mut scene = looking_for(sought, item);
    let (choice, first) = scene
        .turn(|screen, cx| screen.grade(grade, cx))
        .expect("the first");
    assert_eq!(
        (first.question.as_str(), first.rest.as_slice()),
        (sought, &[open.to_owned()][..])
    );
    let answer = first.answers.last().expect("an answer").clone();
    let at = first.answers.len();
    let next = scene.turn(|screen, cx| screen.picked(Pick::Sign(first.clone()), at, &choice, cx));
    let (_, second) = next.expect("the second");
    assert_eq!(second.question, open);
    assert_eq!(scene.signs(), pair(sought, &answer));
    let left = scene.turn(|screen, cx| screen.left_list(Pick::Sign(second), cx));
    assert!(left.is_none());

    let mut scene = looking_for(sought, item);
    let first = scene.turn(|screen, cx| screen.grade(grade, cx));
    let (choice, first) = first.expect("the first");
    let next = scene.turn(|screen, cx| screen.picked(Pick::Sign(first), 0, &choice, cx));
    assert!(next.is_none(), "left open, nothing more is asked");
    assert_eq!(scene.signs(), []);
}

#[test]
fn what_is_not_normal_does_not_stand_beside_sound() {
    let mut scene = looking_for("plume", "exhaust-smoke");
    let asked = scene.turn(|screen, cx| screen.grade(Grade::Sound, cx));
    assert!(asked.is_none(), "sound says it");
    let asked = scene.turn(|screen, cx| screen.walk_act(Action::Kind, cx));
    let (choice, asked) = asked.expect("it is asked");
    let sweet = asked.answers.iter().position(|answer| answer == "sweet");
    let sweet = sweet.expect("an answer") + 1;
    let next = scene.turn(|screen, cx| screen.picked(Pick::Sign(asked), sweet, &choice, cx));
    assert!(next.is_none());
    assert_eq!(scene.signs(), []);
    let told = scene
        .shared
        .notice
        .as_ref()
        .map(|notice| notice.text.as_str());
    assert!(
        told.is_some_and(|told| told.contains("press the rung you see")),
        "{told:?}"
    );
}

/// The order stands over the question that one came for: the boat comes first.
#[test]
fn where_she_is_to_be_stopped_the_order_stands_above_it() {
    let mut scene = looking_for("temp", "coolant-temperature");
    let asked = scene.turn(|screen, cx| screen.grade(Grade::Failing, cx));
    let (choice, _) = asked.expect("it is asked");
    assert!(
        choice.lead[0].contains("stop the engine"),
        "{:?}",
        choice.lead
    );
}
