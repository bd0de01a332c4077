//! What forbids running now, and what is named to watch.

use super::acts::HoldsUntil;
use std::borrow::Cow;
use std::sync::Arc;

use super::condition::{Condition, looks_at, signs, undriven};
use super::doubt::{Doubt, NotCounted};
use super::falls::Falling;
use super::gate::{Gate, InForce, order};
use super::history::{History, LooksBySubject};
use super::life::{Filled, Life, Patch, Rise};
use super::still_open::LeftOpen;
use super::stricter::stricter;
use super::subject::Subject;
use super::taken_back::TakenBack;
use crate::assess::stop::{stop_rung, stops};
use crate::boat::{Waters, units::Quantity};
use crate::checklist::{
    Effect, Forbids, Grade, Item, Kind, Leak, Order, PhaseState, Signs, Then, fuel_leak,
};
use crate::walk::{Look, TimedLook, Walk, When};

/// Said in a blind walk of what holds her and was found before it.
const LOOK_FIRST: &str = "look at this before starting";
/// A rise of an oil level by more than this share of the span between the marks stops.
const LEVEL_RISE: f64 = 10.0;
/// A rise from this share on is named (judgement: a dipstick is read to a twentieth).
pub(super) const LEVEL_NOTICE: f64 = 5.0;

impl Condition {
    /// The rule by which an item forbids running now, in words. It asks the same effects as the
    /// rating, see [`Condition::effects`].
    pub fn stop_rule(
        &self,
        subject: &Subject,
        item: &Item,
        life: &Life,
        waters: Waters,
    ) -> Option<String> {
        let standing = &life.status;
        let effects = self.effects(subject, item);
        let counting = |signs: Signs| effects.iter().filter(move |e| e.counts(&signs));
        let then = |leak: Option<Leak>| Signs {
            fluid: leak.and(item.fluid),
            marks: standing.marks.clone(),
        };
        let patch = standing.patch.as_ref().filter(|_| !standing.removed);
        if let Some((patch, seen)) = patch.and_then(|p| Some((p, p.stop?)))
            && let Some(rule) = rule_of(item, counting(then(seen.1)), seen, waters)
        {
            return Some(format!(
                "{rule}; a temporary repair (until {}) lifts no stop here: run only to reach help",
                patch.until
            ));
        }
        // A repair nobody has looked at holds none, until one that confirms nothing sees worse again.
        let mended = standing.unconfirmed && standing.grade == Some(Grade::Sound);
        if mended || standing.removed {
            return None;
        }
        let counts = counting(signs(item, life));
        let seen = rule_of(item, counts, (standing.judged()?, standing.leak), waters);
        // What was low and was filled waits for a reading, which is no stop.
        let seen =
            seen.filter(|_| !(item.is_between_marks() && self.is_filled(subject, item, life)));
        if let Some(rule) = seen {
            return Some(match &standing.kept_stop {
                Some(acts) => {
                    format!("{rule}; that it was {acts} lifts no stop, looking at it again does")
                }
                None => rule,
            });
        }
        let rise = risen(item, effects, life, waters).filter(|r| r.by > LEVEL_RISE)?;
        (rise.filled != Filled::Unknown).then(|| rise_in_words(rise))
    }

    /// The rule by which what a look says forbids running at once, in words.
    pub fn stop_seen(&self, item: &Item, machine: &str, look: &Look) -> Option<String> {
        let subject = self.subject(&item.id, machine);
        let seen = (look.grade()?, look.leak);
        let signs = Signs {
            fluid: look.leak.filter(|l| *l != Leak::None).and(item.fluid),
            marks: look.wear.iter().map(|w| w.mark).collect(),
        };
        let effects = self.effects(&subject, item).iter();
        let counts = effects.filter(|e| e.counts(&signs));
        rule_of(item, counts, seen, self.boat.waters)
    }

    /// The rung that a level's own ladder names for a rise, where the reading of a look is one that
    /// stops, and the rise in words.
    pub(super) fn risen_to(
        &self,
        item: &Item,
        machine: &str,
        look: &Look,
        state: Option<PhaseState>,
    ) -> Option<(Grade, String)> {
        let subject = self.subject(&item.id, machine);
        let effects = self.effects(&subject, item);
        let reading = item.reading.as_ref()?;
        let value = look.reading?.value_in(reading.unit)?;
        let course = &self.lives.get(&subject)?.status.course;
        let litres = look.added.map_or(0.0, |added| added.litres());
        let marks = self.between_marks(&subject, item);
        let by = course.rise_to(value, state, litres, marks)?;
        let tells = by > LEVEL_RISE && tells_by_rising(item, effects, self.boat.waters);
        let grade = reading.grade_of(f64::MAX, None, None).filter(|_| tells)?;
        let filled = match course.is_filled() || litres > 0.0 {
            true => "more than what was added raises it",
            false => "with nothing added",
        };
        Some((grade, format!("a rise of {by:.0} % of the span {filled}")))
    }

    /// True where what is known of an item, last seen in a walk, forbids running, by today's text or
    /// by that of the walk.
    pub(super) fn stopped_then(&self, subject: &Subject, walk: Option<&Walk>, life: &Life) -> bool {
        let Some(grade) = life.status.grade else {
            return false;
        };
        let Some(now) = self.library.catalogue.item(&subject.item) else {
            return false;
        };
        let strict = walk.and_then(|w| self.as_asked(subject, (&w.checklist, w.asked.as_deref())));
        let item = strict.as_deref().unwrap_or(now);
        let undriven = self
            .is_of_a_generator(subject)
            .then(|| undriven(&item.effects));
        let effects = undriven.as_deref().unwrap_or(&item.effects);
        let signs = signs(item, life);
        let counts = effects.iter().filter(|e| e.counts(&signs));
        let seen = (grade, life.status.leak);
        rule_of(item, counts, seen, self.boat.waters).is_some()
    }

    /// An item by the stricter of today's text and that of a walk, named by its checklist and what it
    /// was asked with.
    pub(super) fn as_asked(
        &self,
        subject: &Subject,
        (checklist, asked): (&str, Option<&str>),
    ) -> Option<Cow<'_, Item>> {
        let now = self.library.catalogue.item(&subject.item)?;
        let Then::Other(other) = self.library.then(checklist, asked) else {
            return Some(Cow::Borrowed(now));
        };
        let then = other.item(&subject.item).and_then(Result::ok);
        Some(then.map_or(Cow::Borrowed(now), |then| Cow::Owned(stricter(then, now))))
    }

    /// What is a concern by itself though no rung says so, in words: a level that meets its low mark
    /// inside the day ahead, coolant filled again and again, a level filled and not read since,
    /// a temporary repair.
    pub fn care(&self, subject: &Subject, item: &Item, life: &Life) -> Option<String> {
        let falling = self.falling(subject, item, life);
        self.care_beside(subject, item, life, falling.as_ref())
    }

    /// The same beside the fall of the level, where it falls.
    pub(super) fn care_beside(
        &self,
        subject: &Subject,
        item: &Item,
        life: &Life,
        falling: Option<&Falling>,
    ) -> Option<String> {
        if life.status.removed {
            return None;
        }
        let patch = life
            .status
            .patch
            .as_ref()
            .filter(|_| !life.status.unconfirmed);
        if let Some(patch) = patch {
            return Some(self.patch_in_words(subject, patch));
        }
        if !item.is_between_marks() {
            return None;
        }
        let filled = || self.is_filled(subject, item, life);
        let unread = || filled().then(|| "filled: read it again before starting".to_owned());
        let soon = falling.and_then(|falling| self.low_soon(subject, falling));
        soon.or_else(unread)
            .or_else(|| self.lost(subject, item, life))
    }

    /// True where the time or the meter reading has come until which a temporary repair was to hold.
    pub(super) fn is_over(&self, subject: &Subject, patch: &Patch) -> bool {
        let machine = subject.machine.as_deref();
        match &patch.until {
            HoldsUntil::Hours(hours) => self.has_run_to(machine, (*hours, patch.at), self.now),
            HoldsUntil::Date(date) => self.now.date_naive() > *date,
            HoldsUntil::Words(_) => false,
        }
    }

    fn patch_in_words(&self, subject: &Subject, patch: &Patch) -> String {
        let over = match self.is_over(subject, patch) {
            true => ", which has come",
            false => "",
        };
        format!(
            "temporary repair, until {}{over}: it is not mended for good",
            patch.until
        )
    }

    /// A level that rose a little, or by what nobody can tell, that falls towards its low mark, or that
    /// was filled often: named to watch.
    pub fn watch(&self, subject: &Subject, item: &Item, life: &Life) -> Option<String> {
        let falling = self.falling(subject, item, life);
        self.watch_beside(subject, item, life, falling.as_ref())
    }

    /// The same beside the fall of the level, where it falls.
    pub(super) fn watch_beside(
        &self,
        subject: &Subject,
        item: &Item,
        life: &Life,
        falling: Option<&Falling>,
    ) -> Option<String> {
        let small = |r: &Rise| r.by <= LEVEL_RISE || r.filled == Filled::Unknown;
        let rise = risen(item, self.effects(subject, item), life, self.boat.waters)
            .filter(|r| r.by >= LEVEL_NOTICE && small(r));
        let rise = rise.map(|r| format!("{}: watch it", rise_in_words(r)));
        rise.or_else(|| self.level_watch(subject, life, falling))
    }
}

impl Condition {
    /// What holds a walk on a machine and on the boat: the stops in force, what was left open, a level
    /// outside its marks. In a blind walk what was found before it has no grade until it is looked at
    /// again.
    pub fn in_force(&self, walk: &Walk) -> Vec<InForce> {
        let lives = self.lives.iter();
        let here = |subject: &Subject| subject.machine.as_ref().is_none_or(|m| *m == walk.machine);
        let lives = lives.filter(|(subject, _)| here(subject));
        let found = lives.flat_map(|(subject, life)| {
            let open = life.status.left_open.iter();
            let open = open.filter_map(|left| self.open_of(subject, left, walk));
            open.chain(self.stop_of(subject, life, walk))
                .collect::<Vec<_>>()
        });
        found.collect()
    }

    /// What was left open holds whatever may be said of the item.
    fn open_of(&self, subject: &Subject, left: &LeftOpen, walk: &Walk) -> Option<InForce> {
        let item = self.item(subject)?;
        Some(InForce {
            subject: subject.clone(),
            title: item.title.clone(),
            grade: None,
            rule: match walk.blind && !walk.saw(&subject.item) {
                true => LOOK_FIRST.to_owned(),
                false => left.words(),
            },
            order: match left.forbids() {
                Forbids::Leave => Order::DoNotLeave,
                Forbids::Float | Forbids::Start => Order::DoNotStart,
            },
            cautions: item.cautions.clone(),
            remedy: "put it back as it belongs, and say so".to_owned(),
            left_open: Some(left.opened.id.clone()),
            before_key: item.before_key,
        })
    }

    fn stop_of(&self, subject: &Subject, life: &Life, walk: &Walk) -> Option<InForce> {
        let item = self.item(subject)?;
        let stop = self.stop_rule(subject, item, life, self.boat.waters);
        let rule = stop.or_else(|| self.outside_marks(subject, item, life))?;
        let hidden = walk.blind && !walk.saw(&subject.item);
        Some(InForce {
            subject: subject.clone(),
            title: item.title.clone(),
            grade: life.status.judged().filter(|_| !hidden),
            rule: match hidden {
                true => LOOK_FIRST.to_owned(),
                false => rule,
            },
            order: order(item, life.status.leak, false),
            cautions: item.cautions.clone(),
            remedy: item.remedy.action.clone(),
            left_open: None,
            before_key: item.before_key || life.status.leak.is_some_and(|l| fuel_leak(item, l)),
        })
    }
}

/// The same with the first look that answers it.
pub(super) struct StopTakenBack<'a> {
    taken: &'a TakenBack,
    seen: Option<When>,
}

impl StopTakenBack<'_> {
    /// True where no look at its item was made since.
    pub(super) fn is_open(&self) -> bool {
        self.seen.is_none()
    }
}

/// The stops that were taken back or put right, each with the first look at its item since.
pub(super) fn owed<'a>(
    condition: &Condition,
    history: &'a History,
    looks: &LooksBySubject<'_>,
) -> Vec<StopTakenBack<'a>> {
    let taken = history.taken_back.iter();
    taken
        .filter(|taken| condition.stopped(taken))
        .map(|taken| StopTakenBack {
            taken,
            seen: seen_since(condition, history, looks, taken),
        })
        .collect()
}

/// The first look, by its place, that answers for one taken back: a later one in another walk, in its
/// own one made since it was taken back, or one that says why it is better.
fn seen_since(
    condition: &Condition,
    history: &History,
    looks: &LooksBySubject<'_>,
    taken: &TakenBack,
) -> Option<When> {
    let subject = condition.subject(&taken.look.item, &taken.machine);
    let made = looks_at(looks, &subject).iter().filter_map(|(w, l)| {
        let walk = history.walks.get(*w)?;
        Some((walk, walk.looks.get(*l)?))
    });
    let answers = |walk: &Walk, timed: &TimedLook| {
        timed.lifts()
            && timed.look.grade().is_some()
            && *timed.id != *taken.id
            && timed.when() > taken.when
            && (walk.id != taken.walk || timed.place > taken.deed || timed.look.better.is_some())
    };
    let answering = made.filter(|(walk, timed)| answers(walk, timed));
    let answering = answering.map(|(_, timed)| timed.when());
    answering.min_by_key(|when| when.place)
}

/// Whoever takes back a look that held a stop says why, and still nobody has seen the item sound: until
/// it is looked at again every answer says so, and no verdict is clear. Before the engine is turned in
/// the very walk the look was made in nothing is owed: the item is in front.
impl Condition {
    /// What is owed by a moment for stops that were taken back.
    pub(super) fn stops_taken_back(
        &self,
        history: &History,
        owed: &[StopTakenBack<'_>],
        cut: When,
    ) -> Vec<Doubt> {
        let open = owed.iter().filter(|owed| {
            owed.taken.when.is_known_at(cut) && !owed.seen.is_some_and(|seen| seen.is_known_at(cut))
        });
        let stops = open.filter(|owed| self.lifts_a_stop(history, owed.taken, cut));
        stops
            .map(|owed| self.taken_back_in_words(owed.taken))
            .collect()
    }

    /// True where a look held a stop, and no look stands in its place that holds one.
    fn lifts_a_stop(&self, history: &History, taken: &TakenBack, cut: When) -> bool {
        let instead = history.walks.iter().find_map(|walk| {
            let mut looks = walk.looks.iter();
            Some((walk, looks.find(|timed| *timed.id == *taken.id)?))
        });
        let holds = instead.is_some_and(|(walk, timed)| {
            let here = TakenBack {
                look: Arc::clone(&timed.look),
                machine: walk.machine.clone(),
                ..taken.clone()
            };
            let same = self.subject(&timed.look.item, &walk.machine)
                == self.subject(&taken.look.item, &taken.machine);
            same && timed.when() >= taken.when && self.stopped(&here)
        });
        let before_the_gate =
            || taken.early && taken.at_once && !self.ran_between(history, taken, cut);
        !holds && !before_the_gate()
    }

    /// True where what a look says forbids running, by the stricter of today's text and its own.
    fn stopped(&self, taken: &TakenBack) -> bool {
        let subject = self.subject(&taken.look.item, &taken.machine);
        let asked = (taken.checklist.as_str(), taken.asked.as_deref());
        let item = self.as_asked(&subject, asked);
        item.is_some_and(|item| self.stop_seen(&item, &taken.machine, &taken.look).is_some())
    }

    /// True where the engine was turned in the walk between a look and its taking back.
    fn ran_between(&self, history: &History, taken: &TakenBack, cut: When) -> bool {
        let Some(walk) = history.walk(&taken.walk) else {
            return true;
        };
        let between = |timed: &&TimedLook| {
            timed.place > taken.when.place
                && timed.place < taken.deed
                && timed.when().is_known_at(cut)
        };
        let mut looks = walk.looks.iter().filter(between);
        looks.any(|timed| {
            let phase = timed.look.phase.as_deref();
            let state = phase.and_then(|phase| self.state_in(walk, phase));
            state.and_then(Gate::before) == Some(Gate::Start)
        })
    }

    fn taken_back_in_words(&self, taken: &TakenBack) -> Doubt {
        let day = taken.deed_at.format("%Y-%m-%d");
        let by = taken
            .by
            .as_ref()
            .map_or(String::new(), |by| format!(" by {by}"));
        let why = taken
            .why
            .as_ref()
            .map_or(String::new(), |why| format!(", {why}"));
        let grade = taken
            .look
            .grade()
            .map_or(String::new(), |grade| format!(" ({grade})"));
        let told = NotCounted {
            item: Some(taken.look.item.clone()),
            ..NotCounted::because(format!(
                "a stop{grade} was taken back on {day}{by}{why}; it is owed a look"
            ))
        };
        Doubt {
            place: Some(taken.when.place),
            ..Doubt::blocking(told)
        }
    }
}

/// The moment a walk first turned or ran the engine: its first grade in such a phase.
pub fn first_run(condition: &Condition, walk: &Walk) -> Option<When> {
    let starts = |timed: &&TimedLook| {
        let phase = timed.look.phase.as_deref();
        let state = phase.and_then(|phase| condition.state_in(walk, phase));
        state.and_then(Gate::before) == Some(Gate::Start)
    };
    let looks = walk.looks.iter().filter(starts);
    let graded = looks.filter(|timed| timed.look.grade().is_some());
    graded.map(TimedLook::when).min()
}

/// The rule by which a grade and a leak class of an item forbid running.
fn rule_of<'e>(
    item: &Item,
    effects: impl Iterator<Item = &'e Effect>,
    (grade, leak): (Grade, Option<Leak>),
    waters: Waters,
) -> Option<String> {
    if leak.is_some_and(|leak| fuel_leak(item, leak)) {
        return Some("fuel comes out; no class of fuel leak is allowed".to_owned());
    }
    let rung = stop_rung(item, effects, waters).filter(|rung| grade >= *rung)?;
    let seen = item.ladder.get(grade.rung())?;
    Some(format!("{grade} ({seen}); it stops at {rung}"))
}

/// True for a level between marks whose rising is a sign: where standing above the high mark stops
/// the engine.
pub(super) fn tells_by_rising(item: &Item, effects: &[Effect], waters: Waters) -> bool {
    let reading = item.reading.as_ref().filter(|_| item.kind == Kind::Level);
    let reading = reading.filter(|r| r.quantity == Quantity::Level);
    let above = reading.and_then(|r| r.grade_of(f64::MAX, None, None));
    above.is_some_and(|above| stops(item, effects, above, waters))
}

fn rise_in_words(Rise { by, filled }: Rise) -> String {
    match filled {
        Filled::Nothing => format!("the level rose by {by:.0} % of the span with nothing added"),
        Filled::Known => {
            format!("the level rose by {by:.0} % of the span more than what was added raises it")
        }
        Filled::Unknown => format!(
            "the level rose by {by:.0} % of the span since it was filled, and how far that raises it is not known, for the litres between the marks are not in the profile"
        ),
    }
}

/// How far a level between marks rose, where rising is a sign at all: where
/// standing above the high mark stops the engine (oil, which only water or fuel makes rise).
fn risen(item: &Item, effects: &[Effect], life: &Life, waters: Waters) -> Option<Rise> {
    let rise = life.status.rise;
    rise.filter(|_| tells_by_rising(item, effects, waters))
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use chrono::DateTime;

    use super::*;
    use crate::checklist::Catalogue;

    fn risen(item: &str, by: f64) -> (bool, bool) {
        let item = Catalogue::built_in().item(item).expect("in the catalogue");
        let mut life = Life::default();
        life.status.grade = Some(Grade::Sound);
        life.status.rise = Some(Rise {
            by,
            filled: Filled::Nothing,
        });
        let library = Arc::new(crate::checklist::Library::built_in().clone());
        let boat = serde_json::from_str(
            r#"{"type":"boat","name":"A","waters":"inshore","units":"metric","usual_hours_per_month":10,"machines":[]}"#,
        )
        .expect("a boat");
        let now = DateTime::UNIX_EPOCH.fixed_offset();
        let condition = Condition::of(&boat, library, &Default::default(), now);
        let subject = condition.subject(&item.id, "main");
        let stop = condition.stop_rule(&subject, item, &life, Waters::Inshore);
        let watch = condition.watch(&subject, item, &life);
        (stop.is_some(), watch.is_some())
    }

    #[test]
    fn oil_that_rises_by_itself_is_watched_and_then_stops() {
        for item in ["engine-oil-level", "gearbox-oil-level"] {
            assert_eq!(risen(item, 4.0), (false, false), "{item}");
            assert_eq!(risen(item, 5.0), (false, true), "{item}");
            assert_eq!(risen(item, 15.0), (true, false), "{item}");
        }
        for item in ["coolant-level", "bilge-water"] {
            assert_eq!(risen(item, 15.0), (false, false), "{item}");
        }
    }
}
