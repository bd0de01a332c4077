//! A worse live look never loses to one placed before it, whatever times stand in the lines and
//! whatever was told in between.

use std::sync::{Arc, LazyLock};

use chrono::Duration;
use handlamp::checklist::Grade;
use handlamp::defects::condition::Condition;
use handlamp::logbook::fold::fold;
use handlamp::logbook::placed::{Trust, Written};
use handlamp::logbook::record::Record;
use proptest::prelude::*;
use serde_json::json;

use super::aboard::{BELT, profile, time};
use super::oracle::library;

/// A look in the order of the log: its rung, minutes by which its clock is wrong, whether that is
/// believed, and how long before the line it was made; none where it was made with its line.
type Made = (usize, i64, bool, Option<Duration>);

fn written(made: &[Made]) -> Vec<Written> {
    // A log has a record of the profile, and of all its clocks one is believed.
    let first = time("2046-05-01T07:00:00+02:00");
    let repair =
        json!({"item":"coolant-level","machine":"main","done":"filled","at":first}).to_string();
    let repair = Record::read("repair", &repair)
        .expect("an event")
        .expect("a record");
    let mut log = vec![Written::new("first".to_owned(), first, repair)];
    for (n, (rung, wrong, believed, told)) in made.iter().enumerate() {
        let line = time("2046-05-01T08:00:00+02:00") + Duration::minutes(n as i64 * 30 + wrong);
        let own = line - told.unwrap_or_default();
        let walk = format!("w{n}");
        let begun = json!({"walk":walk,"checklist":"daily","machine":"main","at":own});
        let look = json!({"item":BELT,"phase":"cold","grade":Grade::ALL[*rung]});
        let look = json!({"walk":walk,"at":own,"look":look});
        for (ev, rec) in [("walk", begun), ("look", look)] {
            let record = Record::read(ev, &rec.to_string())
                .expect("an event")
                .expect("a record");
            let trust = Trust {
                believed: *believed,
                ..Trust::FULL
            };
            log.push(Written {
                trust,
                ..Written::new(format!("{n}-{ev}"), line, record)
            });
        }
    }
    log
}

fn standing(made: &[Made]) -> Option<Grade> {
    static BOAT: LazyLock<handlamp::boat::Boat> = LazyLock::new(|| profile(&["main"]));
    let history = fold(&written(made));
    let now = time("2046-06-01T08:00:00+02:00");
    let condition = Condition::of(&BOAT, Arc::clone(&library()), &history, now);
    condition
        .life(BELT, "main")
        .and_then(|life| life.status.judged())
}

proptest! {
    #[test]
    fn a_worse_live_look_never_loses_to_one_before_it(
        made in prop::collection::vec(
            (0..5usize, -60_000..60_000i64, any::<bool>(), prop::option::weighted(0.3, (3..20_000i64).prop_map(Duration::minutes))),
            1..9,
        ),
        last in (1..5usize, -60_000..60_000i64, any::<bool>()),
    ) {
        let mut made = made;
        for look in &mut made {
            look.0 = look.0.min(last.0 - 1);
        }
        made.push((last.0, last.1, last.2, None));
        prop_assert_eq!(standing(&made), Some(Grade::ALL[last.0]));
    }

    #[test]
    fn among_live_looks_the_last_counts(
        made in prop::collection::vec((0..5usize, -60_000..60_000i64, any::<bool>()), 1..9),
    ) {
        let made: Vec<Made> = made.into_iter().map(|(rung, wrong, is)| (rung, wrong, is, None)).collect();
        prop_assert_eq!(standing(&made), Some(Grade::ALL[made[made.len() - 1].0]));
    }
}

/// The first look is worse, the second is written a minute later and speaks of a time before the
/// first: two minutes before its line it is live and stands behind the first, a second more and it is
/// told of then.
#[test]
fn a_look_two_minutes_before_its_line_is_live_and_one_second_more_is_told() {
    let (failing, sound) = (3, 0);
    let counts = |before: i64| {
        let first = (failing, 0, true, None);
        let second = (sound, -29, true, Some(Duration::seconds(before)));
        standing(&[first, second])
    };
    assert_eq!(counts(120), Some(Grade::Sound));
    assert_eq!(counts(121), Some(Grade::Failing));
}
