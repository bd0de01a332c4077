//! The time of a phase. That of a leak run: begun by the first look in it or by a key, kept in the record,
//! counted down in the title line. That of any other walk: from its first look, or the key, how long it has
//! run, how long it is to, and until when that is, as it stands at each key: nothing wakes for it. Within a
//! session it is counted by the clock that never jumps.

use std::time::Duration;

use chrono::{DateTime, FixedOffset, TimeDelta};

use crate::logbook::book::Book;
use crate::logbook::record::{Record, WalkNoted};
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::walk::timing::{minutes, said};
use crate::walk::{PlanPhase, Spot, Walk};

/// A wall clock further off than this was set, not corrected.
const JUMP: TimeDelta = TimeDelta::seconds(2);
/// In the last seconds tenths are shown.
const TENTHS_BELOW: TimeDelta = TimeDelta::seconds(10);

/// Wall time and monotonic time at one moment.
#[derive(Clone, Copy, Debug)]
pub struct Anchor {
    wall: DateTime<FixedOffset>,
    monotonic: Duration,
}

impl Anchor {
    /// Of this moment.
    pub fn now(book: &Book) -> Anchor {
        Anchor {
            wall: book.now(),
            monotonic: book.monotonic(),
        }
    }

    /// What the wall clock would show now had nobody set it since.
    fn steady(&self, book: &Book) -> DateTime<FixedOffset> {
        let passed = book.monotonic().saturating_sub(self.monotonic);
        let passed = TimeDelta::from_std(passed).unwrap_or(TimeDelta::MAX);
        self.wall.checked_add_signed(passed).unwrap_or(self.wall)
    }
}

/// How the time of a phase stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Count {
    /// Not begun; this much is asked.
    Waiting(TimeDelta),
    /// So much is left of so much.
    Running(TimeDelta, TimeDelta),
    /// So much was left to look, of so much.
    Looking(TimeDelta, TimeDelta),
    /// All of it has passed.
    Up(TimeDelta),
    /// The time meant for looking has passed.
    Late(TimeDelta),
    /// It began by a clock that was ahead of this one.
    Unknown,
    /// It has run so long, is to run so long, and has done so by then; where nothing counts down.
    Ran(TimeDelta, TimeDelta, DateTime<FixedOffset>),
}

impl Count {
    /// Until the figure shown changes; none where it stands.
    pub fn next(self) -> Option<Duration> {
        let (Count::Running(left, _) | Count::Looking(left, _)) = self else {
            return None;
        };
        let step = if left > TENTHS_BELOW { 1000 } else { 100 };
        let ms = left.num_milliseconds().max(0);
        let rest = u64::try_from(ms % step).unwrap_or(0);
        Some(Duration::from_millis(if rest == 0 {
            step as u64
        } else {
            rest
        }))
    }

    /// As shown where there is little room: of what is drawn at keys alone, what holds until the next.
    pub fn short(self, key: &str) -> String {
        match self {
            Count::Ran(ran, all, until) if ran < all => {
                format!("{} to {}", said(all), until.format("%H:%M"))
            }
            other => other.words(key),
        }
    }

    /// As shown in the title line; `key` begins the time.
    pub fn words(self, key: &str) -> String {
        match self {
            Count::Waiting(all) => format!("{key} begins {}", said(all)),
            Count::Running(left, all) => format!("{} of {}", clock(left), said(all)),
            Count::Looking(left, all) => format!("look {} of {}", clock(left), said(all)),
            Count::Up(all) => format!("{} are up", said(all)),
            Count::Late(all) => format!("past its {}", said(all)),
            Count::Unknown => format!("time unknown, {key} begins it"),
            Count::Ran(ran, all, until) if ran < all => {
                let until = until.format("%H:%M");
                format!("ran {} of {}, to {until}", said(ran), said(all))
            }
            Count::Ran(ran, all, _) => format!("ran {}, asked {}", said(ran), said(all)),
        }
    }
}

/// `4:12`, `1:05:30`; tenths in the last seconds. Rounded up, so that it ends as it shows nought.
fn clock(left: TimeDelta) -> String {
    let ms = left.num_milliseconds().max(0);
    if left <= TENTHS_BELOW {
        let tenths = (ms + 99) / 100;
        return format!("{}.{} s", tenths / 10, tenths % 10);
    }
    let s = (ms + 999) / 1000;
    match s / 3600 {
        0 => format!("{}:{:02}", s / 60, s % 60),
        h => format!("{h}:{:02}:{:02}", s / 60 % 60, s % 60),
    }
}

impl WalkScreen {
    fn phase(&self) -> Option<&PlanPhase> {
        self.plan.phases.get(self.at.phase)
    }

    /// How the time of the phase one is in stands; none where it is not timed.
    pub fn count(&self, book: &Book) -> Option<Count> {
        let phase = self.phase()?;
        let walk = self.walk(book);
        let all = phase.timing.minutes.or(phase.timing.within).map(minutes)?;
        if walk.entered_after {
            return None;
        }
        if !self.is_leak_run() {
            return self.has_run(phase, walk, self.anchor.steady(book));
        }
        let Some(began) = walk.begun_by_clock(phase.clock()) else {
            return Some(Count::Waiting(all));
        };
        let elapsed = self.anchor.steady(book) - began;
        let left = all - elapsed;
        let over = left <= TimeDelta::zero();
        Some(match (phase.timing.minutes.is_some(), over) {
            _ if elapsed < -JUMP => Count::Unknown,
            (true, false) => Count::Running(left.min(all), all),
            (true, true) => Count::Up(all),
            (false, false) => Count::Looking(left.min(all), all),
            (false, true) => Count::Late(all),
        })
    }

    /// How long a phase that is not counted down has run: from the key, or its first look, until a later
    /// one began.
    fn has_run(&self, phase: &PlanPhase, walk: &Walk, now: DateTime<FixedOffset>) -> Option<Count> {
        let all = phase.timing.minutes.map(minutes)?;
        let began = |phase: &PlanPhase| {
            let mut looks = walk.looks.iter();
            let first = looks.find(|t| t.look.phase.as_deref() == Some(&phase.id));
            let noted = walk.begun_by_clock(phase.clock());
            noted.or_else(|| first.map(|t| t.at))
        };
        let later = self.plan.phases.iter().skip(self.at.phase + 1);
        let later: Vec<_> = later.filter_map(began).collect();
        let Some(began) = began(phase) else {
            return Some(Count::Waiting(all));
        };
        let left = later.into_iter().filter(|at| *at >= began).min();
        let ran = left.map_or(now, |left| left.min(now)) - began;
        Some(match ran < -JUMP {
            true => Count::Unknown,
            false => Count::Ran(
                ran.max(TimeDelta::zero()),
                all,
                began.checked_add_signed(all)?,
            ),
        })
    }

    /// True where a place belongs to the next morning and the night is not over.
    pub(crate) fn is_for_tomorrow(&self, book: &Book, spot: Spot) -> bool {
        use crate::checklist::PhaseState::NextMorning;
        let Some(phase) = self.plan.phases.get(spot.phase) else {
            return false;
        };
        if phase.state != NextMorning || !self.is_leak_run() {
            return false;
        }
        let began = self.walk(book).begun_by_clock(phase.clock());
        let night = phase.timing.minutes.map(minutes).unwrap_or_default();
        began.is_none_or(|began| self.anchor.steady(book) - began < night)
    }

    /// The first look of a phase begins its time, where nobody did before.
    pub(crate) fn first_look_begins(&self, book: &Book, records: &[Record]) -> Vec<Record> {
        let walk = self.walk(book);
        if !self.is_leak_run() || walk.entered_after {
            return Vec::new();
        }
        let mut begun: Vec<&str> = Vec::new();
        for record in records {
            if let Record::Look(made) = record
                && let Some(phase) = made.look.phase.as_deref()
                && walk.begun(phase).is_none()
                && !begun.contains(&phase)
            {
                begun.push(phase);
            }
        }
        let begins = begun.into_iter().map(|p| self.begins(p, book.now()));
        begins.collect()
    }

    fn begins(&self, phase: &str, at: DateTime<FixedOffset>) -> Record {
        Record::from(WalkNoted {
            walk: self.started.walk.clone(),
            phase: Some(phase.to_owned()),
            begun_at: Some(at),
            ..WalkNoted::default()
        })
    }
}

impl WalkScreen {
    /// The time of the phase begins now, or anew.
    pub fn begin_phase(&mut self, cx: &mut Turn<'_>) {
        let book = &*cx.book;
        let leak_run = self.is_leak_run();
        let timed = |p: &&PlanPhase| p.timing.minutes.is_some() || (leak_run && p.is_timed());
        let phase = self.phase().filter(timed);
        let Some(phase) = phase else {
            return cx.tell("nothing is timed here");
        };
        if self.walk(book).entered_after {
            return cx.tell("entered after walking: nothing is timed");
        }
        let from = if phase.timing.since.is_some() {
            "counted as if the engine stopped just now"
        } else {
            "counted from now"
        };
        let record = self.begins(phase.clock(), book.now());
        if self.walk_record(vec![record], true, cx) {
            cx.tell(format!("{from}; common practice, the handbook outranks it"));
        }
    }

    /// Notices a wall clock that was set while the time of a phase is counted, says so, and keeps
    /// the beginning in the record right by the clock as it stands now.
    pub fn watch_clock(&mut self, cx: &mut Turn<'_>) {
        let book = &*cx.book;
        let jump = book.now() - self.anchor.steady(book);
        let anchor = Anchor::now(book);
        if jump.abs() <= JUMP {
            return;
        }
        let counted = matches!(
            self.count(book),
            Some(Count::Running(..) | Count::Looking(..) | Count::Up(_) | Count::Late(_))
        );
        let clock = self.phase().map(|p| p.clock().to_owned());
        let began = clock.and_then(|c| self.walk(book).begun_by_clock(&c).map(|began| (c, began)));
        let moved = began
            .filter(|_| counted)
            .and_then(|(c, began)| Some(self.begins(&c, began.checked_add_signed(jump)?)));
        self.anchor = anchor;
        let Some(moved) = moved else { return };
        self.walk_record(vec![moved], false, cx);
        let way = if jump < TimeDelta::zero() {
            "back"
        } else {
            "ahead"
        };
        cx.warn(format!(
            "the computer's clock was set {} {way}; the time of this phase is counted as it passed",
            said(jump.abs())
        ));
    }

    /// The figure in the title line changed; says so when the time is up.
    pub fn counted(&mut self, cx: &mut Turn<'_>) {
        self.watch_clock(cx);
        let book = &*cx.book;
        if let Some(Count::Up(all)) = self.count(book)
            && let Some(phase) = self.phase()
        {
            let told = format!("{}: its {} are up", phase.title, said(all));
            cx.tell(told);
        }
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    #[test]
    fn a_countdown_reads_as_a_clock_and_ends_in_tenths() {
        let ms = TimeDelta::milliseconds;
        assert_eq!(clock(ms(300_000)), "5:00");
        assert_eq!(clock(ms(299_001)), "5:00");
        assert_eq!(clock(ms(10_001)), "0:11");
        assert_eq!(clock(ms(10_000)), "10.0 s");
        assert_eq!(clock(ms(9_401)), "9.5 s");
        assert_eq!(clock(ms(1)), "0.1 s");
        assert_eq!(clock(ms(-5)), "0.0 s");
        assert_eq!(clock(ms(21_600_000)), "6:00:00");
    }

    /// What is drawn at keys alone may be old, so that it says until when as well.
    #[test]
    fn a_phase_that_is_not_counted_down_says_how_long_it_ran_and_until_when_it_is_to() {
        let noon = DateTime::parse_from_rfc3339("2026-05-03T12:00:00+02:00").expect("a time");
        let ran = |m| Count::Ran(minutes(m), minutes(20.0), noon);
        assert_eq!(ran(3.0).words("z"), "ran 3 min of 20 min, to 12:00");
        assert_eq!(ran(3.0).short("z"), "20 min to 12:00");
        assert_eq!(ran(21.0).words("z"), "ran 21 min, asked 20 min");
    }

    #[test]
    fn it_is_drawn_once_a_second_and_ten_times_in_the_last_ten() {
        let all = minutes(5.0);
        let next = |ms| Count::Running(TimeDelta::milliseconds(ms), all).next();
        assert_eq!(next(300_000), Some(Duration::from_secs(1)));
        assert_eq!(next(299_250), Some(Duration::from_millis(250)));
        assert_eq!(next(9_990), Some(Duration::from_millis(90)));
        assert_eq!(next(100), Some(Duration::from_millis(100)));
        for still in [
            Count::Up(all),
            Count::Waiting(all),
            Count::Late(all),
            Count::Unknown,
            Count::Ran(all, all, DateTime::default()),
        ] {
            assert_eq!(still.next(), None, "nothing moves, so nothing wakes");
        }
    }
}
