//! The ladder of an item lying along time: what each look found, what was done about it, how it
//! stands now, and by when each worse rung is likely to be met.
//!
//! Data alone, for a terminal, a page and a machine to show. What happened comes from the fold that
//! gives the item its standing, event by event, so that the picture is never better than the record;
//! what is expected comes from the chain that gives its chance of failure. Linear in the looks.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::events::Event;
use super::history::{Done, History};
use super::life::{Life, RungChange, State};
use super::subject::Subject;
use super::wait::Wait;
use crate::assess::fan::{CHANCES, FirstPassage};
use crate::boat::Waters;
use crate::checklist::{Grade, Item};
use crate::walk::{Outcome, TimedLook, Wear, When};

/// The ladder of an item in time. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct LadderInTime {
    /// The moment it is told at.
    pub now: DateTime<FixedOffset>,
    /// The rung that counts now; null where nobody looked yet.
    pub stands: Option<Grade>,
    /// The rungs below that one, the next first; empty where nothing is projected.
    pub ahead: Vec<RungAhead>,
    /// What that rests on, or why nothing is projected: a sentence.
    pub rests_on: String,
    /// What happened, in order.
    #[serde(skip)]
    pub marks: Vec<Mark>,
    /// It was put right and nobody has looked since: sound for the chance alone.
    #[serde(skip)]
    pub unconfirmed: bool,
    /// When the finding was made that is open.
    #[serde(skip)]
    pub opened: Option<DateTime<FixedOffset>>,
    /// By when it is to be put right; none where no limit follows, or it is put right.
    #[serde(skip)]
    pub fix_within: Option<Wait>,
    /// By when it is to be looked at again.
    #[serde(skip)]
    pub look_again_within: Option<Wait>,
}

/// When a rung below the present one is likely to be met. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct RungAhead {
    /// The rung.
    pub rung: Grade,
    /// When it, or a worse one, is met with 5, 50 and 95 chances in a hundred.
    pub met: [Met; 3],
}

/// When the chance of a rung or a worse one reaches a figure. Part of the outside surface.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Met {
    /// The chance, 0 to 1.
    pub chance: f64,
    /// Wear hours from the last look, or the repair after it, until then; null beyond twenty years.
    pub wear_hours: Option<f64>,
    /// The moment at the rate of use, which can lie behind; null where no use and no ageing give
    /// one, and beyond twenty years.
    pub at: Option<DateTime<FixedOffset>>,
}

/// Something that happened to the item.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// The rung that counted after it: what lives by a temporary repair is worn at best. None where
    /// nobody had graded it.
    pub rung: Option<Grade>,
    /// What it was.
    pub what: Happened,
    /// What was noted or done, in words of people where they said it; empty where nothing was.
    pub says: String,
    /// The same, each part with whose words it is.
    pub told: Vec<MarkPart>,
}

/// A part of what a mark says.
#[derive(Clone, Debug, PartialEq)]
pub enum MarkPart {
    /// What somebody wrote.
    ByPeople(String),
    /// A mark of wear.
    Wear(Wear),
    /// Words of the program.
    Ours(String),
}

impl MarkPart {
    fn words(&self) -> String {
        match self {
            MarkPart::ByPeople(words) | MarkPart::Ours(words) => words.clone(),
            MarkPart::Wear(wear) => wear.words(),
        }
    }

    /// All of it, in one text.
    fn joined(told: &[MarkPart]) -> String {
        let words: Vec<String> = told.iter().map(MarkPart::words).collect();
        words.join("; ")
    }
}

/// A deed as a step on the ladder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Deed {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// The rung that counted before it; that after it where nobody had graded the item.
    pub from: Grade,
    /// The rung that counts after it.
    pub to: Grade,
    /// True for a repair that lasts; a temporary one, and what is closed by word, is none.
    pub lasts: bool,
}

impl LadderInTime {
    /// What was done, each as a step from the rung before it.
    pub fn deeds(&self) -> Vec<Deed> {
        let mut before = None;
        let mut deeds = Vec::new();
        for mark in &self.marks {
            let rung = mark.rung.filter(|_| mark.what.is_deed());
            deeds.extend(rung.map(|to| Deed {
                at: mark.at,
                from: before.unwrap_or(to),
                to,
                lasts: mark.what == Happened::PutRight,
            }));
            before = mark.rung.or(before);
        }
        deeds
    }
}

/// What can happen to an item, by what tells the most of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Happened {
    /// It was looked at and graded.
    Look,
    /// It was asked and not seen: it may have stood on any rung.
    NotSeen,
    /// A look with a note.
    Noted,
    /// A look that names marks of wear.
    WearSeen,
    /// A look that counts for nothing, since a guest or a changed record makes nothing better.
    NotTaken,
    /// It was put right.
    PutRight,
    /// It was put right for a while.
    Temporary,
    /// The finding was withdrawn.
    Withdrawn,
    /// It was taken out of the boat.
    TakenOut,
    /// The boat was given on: all before it is a former owner's word.
    GivenOn,
}

impl Happened {
    /// The letter that stands for it; none for a look that says no more than its rung, and for one
    /// not made.
    pub const fn sign(self) -> Option<&'static str> {
        match self {
            Happened::Look | Happened::NotSeen => None,
            Happened::WearSeen => Some("w"),
            Happened::Noted => Some("n"),
            Happened::NotTaken => Some("?"),
            Happened::PutRight => Some("R"),
            Happened::Temporary => Some("T"),
            Happened::Withdrawn => Some("W"),
            Happened::TakenOut => Some("X"),
            Happened::GivenOn => Some("G"),
        }
    }

    /// What the letter means.
    pub const fn words(self) -> &'static str {
        match self {
            Happened::Look => "look",
            Happened::WearSeen => "wear mark",
            Happened::Noted => "note",
            Happened::NotSeen => "not seen",
            Happened::NotTaken => "look not taken",
            Happened::PutRight => "put right",
            Happened::Temporary => "temporary repair",
            Happened::Withdrawn => "withdrawn",
            Happened::TakenOut => "taken out",
            Happened::GivenOn => "given on, before it a former owner's word",
        }
    }

    /// True where something was done about the item, or said to close it.
    pub const fn is_deed(self) -> bool {
        matches!(
            self,
            Happened::PutRight | Happened::Temporary | Happened::Withdrawn | Happened::TakenOut
        )
    }

    /// True where it is a look that gave the item a rung.
    pub const fn is_look(self) -> bool {
        matches!(self, Happened::Look | Happened::WearSeen | Happened::Noted)
    }
}

impl Condition {
    /// The ladder of an item in time; none where the boat does not have it.
    pub fn ladder_in_time(
        &self,
        history: &History,
        subject: &Subject,
        waters: Waters,
    ) -> Option<LadderInTime> {
        let (item, life) = (self.item(subject)?, self.life_of(subject)?);
        let rule = self.stop_rule(subject, item, life, waters);
        let course = self.course(subject, item, life, waters, rule.is_some());
        let unknown = self.why_not_ahead(subject, item, life);
        let ahead = match unknown {
            Some(_) => Vec::new(),
            None => self.rungs_ahead(subject, (item, life), &course.fan()),
        };
        let [fix_within, look_again_within] = self.told(subject, &course);
        let current = life.current();
        let repaired = current.is_some_and(|d| self.state(subject, d) == State::Repaired);
        Some(LadderInTime {
            now: self.now,
            stands: self.counted_grade(subject, item, life),
            rests_on: unknown.unwrap_or_else(|| self.what_it_rests_on(item, life, &ahead)),
            ahead,
            marks: self.marks(history, subject),
            unconfirmed: life.status.unconfirmed,
            opened: current.map(|defect| defect.opened),
            fix_within: fix_within.filter(|_| !repaired),
            look_again_within,
        })
    }

    fn rungs_ahead(
        &self,
        subject: &Subject,
        (item, life): (&Item, &Life),
        fan: &[FirstPassage],
    ) -> Vec<RungAhead> {
        let wearing = self.wearing(subject, item, life);
        let at = |wear: f64| {
            let at = wearing.reached(life.status.since?, wear)?;
            Some(at.with_timezone(self.now.offset()))
        };
        let rung = |passage: &FirstPassage| RungAhead {
            rung: passage.rung,
            met: [0, 1, 2].map(|n| Met {
                chance: CHANCES[n],
                wear_hours: passage.wear[n],
                at: passage.wear[n].and_then(at),
            }),
        };
        fan.iter().map(rung).collect()
    }

    /// Everything that happened to an item, in order.
    fn marks(&self, history: &History, subject: &Subject) -> Vec<Mark> {
        let repairs = history.repairs.iter();
        let repairs =
            repairs.filter(|r| (&r.rec.item, &r.rec.machine) == (&subject.item, &subject.machine));
        let done: Vec<(When, &str)> = repairs.map(|r| (r.when(), r.rec.done.as_str())).collect();
        let mut marks: Vec<Mark> = Vec::new();
        let mut known = 0;
        self.replay(subject, history, |when, event, life| {
            let trail = &life.status.trail;
            let new = trail.get(known..).unwrap_or_default();
            known = trail.len();
            let mark = |what, told: Vec<MarkPart>| Mark {
                at: when.at,
                rung: life.status.counted(),
                what,
                says: MarkPart::joined(&told),
                told,
            };
            let by_people = |words: &str| match words {
                "" => Vec::new(),
                words => vec![MarkPart::ByPeople(words.to_owned())],
            };
            match event {
                Event::Look(_, timed) => {
                    let before = marks.iter().rev().find(|m: &&Mark| m.what.is_look());
                    let signs = self.sign_lines(&timed.look.signs);
                    let new = of_look(timed, new, (life, before), signs);
                    marks.extend(new);
                }
                Event::Done(Done::Repaired) => {
                    let done = done.iter().find(|(at, _)| *at == when);
                    let done = by_people(done.map_or("", |(_, done)| done));
                    marks.push(mark(Happened::PutRight, done));
                }
                Event::Done(Done::Renewed) => {
                    let how = MarkPart::Ours("renewed by a service".to_owned());
                    marks.push(mark(Happened::PutRight, vec![how]));
                }
                Event::Patched(repair) => {
                    let until = repair.rec.temporary.as_ref();
                    let mut told = by_people(&repair.rec.done);
                    let says = until.map_or_else(String::new, |until| format!(", until {until}"));
                    let says = format!("{}{says}", repair.rec.done);
                    told.extend(until.map(|until| MarkPart::Ours(format!("until {until}"))));
                    let temporary = mark(Happened::Temporary, told);
                    marks.push(Mark { says, ..temporary });
                }
                // One that was refused closes nothing and is no step.
                Event::Withdrawal(why) if life.current().is_none() => {
                    marks.push(mark(Happened::Withdrawn, by_people(why)));
                }
                Event::Removed if life.status.removed => {
                    marks.push(mark(Happened::TakenOut, Vec::new()))
                }
                Event::GivenOn => marks.push(mark(Happened::GivenOn, Vec::new())),
                _ => {}
            }
        });
        marks
    }
}

/// The marks of a look, and of the repair it tells of. What the look before it said in the same words
/// is not said again.
fn of_look(
    timed: &TimedLook,
    new: &[RungChange],
    (life, before): (&Life, Option<&Mark>),
    signs: Vec<String>,
) -> Vec<Mark> {
    let look = &timed.look;
    let mark = |rung, what, told: Vec<MarkPart>| Mark {
        at: timed.at,
        rung,
        what,
        says: MarkPart::joined(&told),
        told,
    };
    if let Outcome::NotSeen { why, .. } = &look.outcome {
        let why = vec![MarkPart::ByPeople(why.clone())];
        return vec![mark(life.status.counted(), Happened::NotSeen, why)];
    }
    if new.is_empty() {
        let says = look
            .grade()
            .map(|g| MarkPart::Ours(format!("{g} seen, not taken")));
        let says = says.into_iter().collect();
        return vec![mark(life.status.counted(), Happened::NotTaken, says)];
    }
    let wear = look.wear.iter().cloned().map(MarkPart::Wear);
    let told = wear.chain(signs.into_iter().map(MarkPart::Ours));
    let told: Vec<MarkPart> = told
        .chain(look.note.iter().cloned().map(MarkPart::ByPeople))
        .collect();
    let says = MarkPart::joined(&told);
    let what = match look.wear.is_empty() {
        _ if says.is_empty() || before.is_some_and(|before| before.says == says) => Happened::Look,
        true => Happened::Noted,
        false => Happened::WearSeen,
    };
    let step = |step: &RungChange| match step.repair {
        true => mark(
            Some(step.grade),
            Happened::PutRight,
            vec![MarkPart::Ours("told at the look".to_owned())],
        ),
        false => mark(Some(as_it_counts(step.grade, life)), what, told.clone()),
    };
    new.iter().map(step).collect()
}

/// The rung of a look as it counts: what lives by a temporary repair is worn at best.
fn as_it_counts(grade: Grade, life: &Life) -> Grade {
    match life.status.patch {
        Some(_) => grade.max(Grade::Worn),
        None => grade,
    }
}
