//! What was seen is judged by the text it was asked with.

use std::collections::HashMap;
use std::sync::Arc;

use super::story::{Story, Told, day, look};
use crate::assess::words::Verdict;
use crate::checklist::item::{Band, Versus};
use crate::checklist::{Asked, Grade, Item, Library, Texts};
use crate::defects::condition::Condition;
use crate::defects::verdicts::verdicts;
use crate::defects::view::WalkView;
use crate::logbook::fold::fold;
use crate::logbook::record::Record;

pub(super) struct Shelf(pub(super) HashMap<String, Arc<Asked>>);

impl Texts for Shelf {
    fn asked(&self, name: &str) -> Result<Arc<Asked>, String> {
        let found = self.0.get(name).cloned();
        found.ok_or_else(|| "the text is not there".to_owned())
    }
}

/// The built-in library of today, and the text `then` with one item changed.
fn library(item: &str, change: impl Fn(&mut Item)) -> Arc<Library> {
    let today = Library::built_in();
    let daily = today.checklist("daily").expect("built in");
    let mut catalogue = today.catalogue.to_file();
    let item = catalogue.items.iter_mut().find(|i| i.id == item);
    change(item.expect("built in"));
    let asked = Asked {
        checklist: daily.clone(),
        catalogue: crate::checklist::Catalogue::of([catalogue]),
    };
    let shelf = Shelf([("then".to_owned(), Arc::new(asked))].into());
    Arc::new(today.with_texts(Arc::new(shelf)))
}

/// The same story with the text each walk was asked with.
pub(super) fn asked(mut story: Story, by: &[(&str, &str)]) -> Story {
    for written in &mut story.written {
        if let Record::WalkStarted(started) = &mut written.record
            && let Some((_, name)) = by.iter().find(|(walk, _)| *walk == started.walk)
        {
            started.asked = Some((*name).to_owned());
        }
    }
    story
}

pub(super) fn now(story: &Story, library: &Arc<Library>, on: f64) -> Condition {
    Condition::of(
        &story.boat,
        Arc::clone(library),
        &fold(&story.written),
        day(on),
    )
}

pub(super) fn stops(condition: &Condition, item: &str) -> bool {
    let subject = condition.subject(item, "main");
    let (item, life) = (condition.item(&subject), &condition.lives[&subject]);
    let rule = condition.stop_rule(&subject, item.expect("known"), life, condition.boat.waters);
    rule.is_some()
}

#[test]
fn a_stop_of_the_text_holds_until_the_item_is_looked_at_again() {
    let library = library("drive-belt", |belt| belt.stop_at = Some(Grade::Worn));
    let story = || Story::new().daily(1.0, [look("drive-belt", Grade::Worn)]);
    assert!(!stops(&now(&story(), &library, 2.0), "drive-belt"));
    let strict = asked(story(), &[("daily-1", "then")]);
    let condition = now(&strict, &library, 2.0);
    assert!(stops(&condition, "drive-belt"));
    assert_eq!(condition.notes().len(), 1, "{:?}", condition.notes());
    assert!(condition.doubts.is_empty());
    let again = strict.daily(3.0, [look("drive-belt", Grade::Worn)]);
    let condition = now(&again, &library, 4.0);
    assert!(!stops(&condition, "drive-belt"));
    assert!(condition.notes().is_empty());
    // The other way round today's stop counts too.
    let lax = self::library("drive-belt", |belt| belt.stop_at = Some(Grade::Failed));
    let story = Story::new().daily(1.0, [look("drive-belt", Grade::Failing)]);
    let condition = now(&asked(story, &[("daily-1", "then")]), &lax, 2.0);
    assert!(stops(&condition, "drive-belt"));
}

#[test]
fn a_lost_text_is_said_and_forbids_clear_only_where_something_was_amiss() {
    let library = library("drive-belt", |_| {});
    for (grade, blocks) in [(Grade::Sound, false), (Grade::Early, true)] {
        let story = Story::new().daily(1.0, [look("drive-belt", grade)]);
        let story = asked(story, &[("daily-1", "gone")]);
        let condition = now(&story, &library, 2.0);
        assert_eq!(condition.doubts.len(), 1);
        assert_eq!(condition.doubts[0].blocks(), blocks);
        let why = condition.doubts[0].told.sentence();
        assert!(
            why.contains("drive-belt") && why.contains("walk daily-1"),
            "{why}"
        );
        let again = story.daily(3.0, [look("drive-belt", grade)]);
        assert!(now(&again, &library, 4.0).doubts.is_empty());
    }
}

#[test]
fn a_limit_made_tighter_since_raises_the_grade_and_a_look_after_filling_does_not() {
    let library = library("engine-oil-level", |level| {
        let reading = level.reading.as_mut().expect("a level");
        assert_eq!(reading.versus, Versus::Absolute);
        reading.by_phase.clear();
        reading.bands = vec![Band {
            grade: Grade::Sound,
            from: None,
            to: None,
        }];
    });
    let grade = |story: Story| {
        let condition = now(&asked(story, &[("daily-1", "then")]), &library, 2.0);
        let subject = condition.subject("engine-oil-level", "main");
        let item = condition.item(&subject).expect("known");
        let life = &condition.lives[&subject];
        assert_eq!(life.status.grade, Some(Grade::Sound));
        condition.counted_grade(&subject, item, life)
    };
    let low = || {
        look("engine-oil-level", Grade::Sound)
            .percent(-40.0)
            .during("cold")
    };
    let story = Story::new().daily(1.0, [low()]);
    assert!(grade(story) > Some(Grade::Sound));
    let filled = Story::new().daily(1.0, [low().added("1 L")]);
    assert_eq!(grade(filled), Some(Grade::Sound));
    let good = look("engine-oil-level", Grade::Sound)
        .percent(80.0)
        .during("cold");
    assert_eq!(grade(Story::new().daily(1.0, [good])), Some(Grade::Sound));
}

#[test]
fn all_verdicts_in_one_pass_are_those_of_each_walk_whatever_it_was_asked_with() {
    let library = library("drive-belt", |belt| belt.stop_at = Some(Grade::Worn));
    let texts = ["then", "gone", ""];
    let mut seen = Vec::new();
    for n in (0..27_usize).step_by(2) {
        let mut story = Story::new();
        let names = ["daily-1", "daily-4", "daily-7", "daily-10"];
        let mut by = Vec::new();
        for (w, name) in names.iter().enumerate() {
            let on = 1.0 + 3.0 * w as f64;
            let grade = if w == 3 { Grade::Early } else { Grade::Worn };
            let other = look("alternator", Grade::Early);
            let belt = look("drive-belt", grade).better(crate::walk::Better::Misjudged);
            // The last walk looks at something else, and the belt stands as it was asked before.
            story = story.daily(on, if w == 2 { vec![other] } else { vec![belt] });
            let text = texts[(n / 3_usize.pow(w as u32)) % 3];
            by.extend(Some((*name, text)).filter(|(_, text)| !text.is_empty()));
        }
        let story = asked(story, &by);
        let history = fold(&story.written);
        let pass = verdicts(&story.boat, &library, &history);
        let each: Vec<_> = history
            .walks
            .iter()
            .map(|walk| {
                let end = walk.finished.expect("an end");
                WalkView::of(&story.boat, &library, &history, walk, end).verdict()
            })
            .collect();
        assert_eq!(pass, each, "{by:?}");
        seen.extend(pass);
    }
    assert!(seen.contains(&Some(Verdict::DoNotRun)));
    assert!(seen.contains(&Some(Verdict::RunWithCare)));
}

#[test]
fn an_item_no_text_describes_is_named_from_its_first_look_on() {
    let library = library("drive-belt", |_| {});
    let story = Story::new()
        .daily(1.0, [look("drive-belt", Grade::Sound)])
        .daily(3.0, [look("sail-drive-seal", Grade::Sound)]);
    assert!(now(&story, &library, 4.0).doubts[0].blocks());
    let history = fold(&story.written).as_of(day(2.0));
    let before = Condition::of(&story.boat, Arc::clone(&library), &history, day(2.0));
    assert!(before.doubts.is_empty());
}

#[test]
fn a_generator_drives_no_boat_by_any_text() {
    let library = library("drive-belt", |belt| belt.effects[0].beta = 0.99);
    let mut story = Story::new().daily(1.0, [look("drive-belt", Grade::Worn)]);
    story.boat.machines[0].role = crate::boat::Role::Generator;
    let condition = now(&asked(story, &[("daily-1", "then")]), &library, 2.0);
    let subject = condition.subject("drive-belt", "main");
    let effects = condition.effects(&subject, condition.item(&subject).expect("known"));
    use crate::checklist::EffectKind::{LossOfPropulsion, LossOfStarting};
    assert!(effects.iter().all(|e| e.effect != LossOfPropulsion));
    let starting = effects.iter().find(|e| e.effect == LossOfStarting);
    assert_eq!(starting.map(|e| e.beta), Some(0.99));
}
