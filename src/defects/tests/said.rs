//! What was said when a walk ended, held against what is reckoned of that moment today.

use super::story::{Story, all_but, day, look};
use crate::assess::words::Verdict::{ClearToRun, DoNotRun};
use crate::checklist::Grade::{Failing, Sound};
use crate::defects::said::{BUILD, Said};
use crate::logbook::placed::Written;
use crate::logbook::record::{LookMade, Record};

const BELT: &str = "drive-belt";

/// A morning check whose end keeps what was said of it then.
fn told(belt: crate::checklist::Grade) -> Story {
    let mut story = Story::new()
        .of_known_age()
        .daily(1.0, all_but([look(BELT, belt)]));
    let history = story.history();
    let walk = history.walks.last().expect("a walk");
    let said = Said::of(&story.on(1.0), &history, walk);
    let end = story.written.last_mut().expect("an end");
    assert!(matches!(end.record, Record::WalkFinished(_)), "{end:?}");
    if let Record::WalkFinished(finished) = &mut end.record {
        finished.said = said;
    }
    story
}

fn belt_of(story: &Story) -> String {
    let looks = &story.history().walks[0].looks;
    let timed = looks.iter().rfind(|t| t.look.item == BELT);
    timed.expect("looked at").id.to_string()
}

#[test]
fn with_nothing_new_what_was_said_is_what_is_reckoned() {
    for (belt, verdict) in [(Sound, ClearToRun), (Failing, DoNotRun)] {
        let story = told(belt).repair(2.0, BELT);
        let judged = story.judged_walk(3.0, "daily-1");
        let said = judged.said.expect("kept");
        assert_eq!((said.verdict, said.build.as_str()), (verdict, BUILD));
        assert_eq!(judged.at_walk, Some(verdict));
        assert_eq!(judged.said_differs, None, "{belt}");
    }
    let old = Story::new()
        .of_known_age()
        .daily(1.0, all_but([look(BELT, Sound)]));
    assert_eq!(old.judged(2.0).said, None, "an old walk");
}

#[test]
fn a_look_merged_in_before_the_end_is_named() {
    let mut story = told(Sound);
    let made = LookMade {
        walk: "daily-1".into(),
        at: day(1.0),
        look: look(BELT, Failing).into(),
    };
    let merged = Written::new("merged".to_owned(), day(1.0), Record::Look(made));
    story.written.insert(story.written.len() - 1, merged);
    let judged = story.judged_walk(3.0, "daily-1");
    assert_eq!(judged.said.as_ref().expect("kept").verdict, ClearToRun);
    assert_eq!(judged.at_walk, Some(DoNotRun));
    let differs = judged.said_differs.as_ref().expect("it differs");
    assert_eq!(differs.counts_now, ["merged"]);
    assert!(differs.counts_no_longer.is_empty() && !differs.profile && !differs.program);
    let words = judged.said_in_words();
    assert!(
        words[0].contains("clear to run") && words[1].contains("merged"),
        "{words:?}"
    );
}

#[test]
fn a_look_taken_back_since_is_named() {
    let story = told(Failing);
    let belt = belt_of(&story);
    let undo = crate::logbook::record::Undo::of(belt.clone());
    let story = story.write(2.0, Record::from(undo));
    let judged = story.judged_walk(3.0, "daily-1");
    assert_eq!(judged.said.as_ref().expect("kept").verdict, DoNotRun);
    assert_ne!(judged.at_walk, Some(DoNotRun));
    let differs = judged.said_differs.expect("it differs");
    assert_eq!(differs.counts_no_longer, [belt]);
}

#[test]
fn what_a_later_version_said_in_new_words_refuses_no_end() {
    let end = |said: &str| {
        let line = format!(r#"{{"walk":"w","at":"2026-05-01T08:00:00+02:00","said":{said}}}"#);
        let record = Record::read("walk-finished", &line)
            .expect("an event")
            .expect("a record");
        assert!(matches!(record, Record::WalkFinished(_)), "{record:?}");
        match record {
            Record::WalkFinished(finished) => finished.said,
            _ => None,
        }
    };
    assert_eq!(
        end(r#"{"verdict":"sleep-on-it","method":9,"build":"later"}"#),
        None
    );
    let known = end(r#"{"verdict":"clear-to-run","method":9,"build":"later","mood":"fair"}"#);
    assert_eq!(known.expect("kept").method, 9);
}
