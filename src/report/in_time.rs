//! A ladder in time in the words of a report: how often it was looked at, the rungs it took, what is
//! expected, and what was noted and done. The screens say the same (`defects/ladder_words`); a test
//! holds the English of both together.

use chrono::{DateTime, FixedOffset};

use super::words::{Said, Words, told};
use crate::checklist::Grade;
use crate::defects::ladder_in_time::{Happened, LadderInTime, Mark, MarkPart, Met, RungAhead};
use crate::defects::ladder_words::{BY_DAY, TURNS};
use crate::text::{ELLIPSIS, safe_line};

/// What people noted or did is told by so many letters.
const LETTERS: usize = 80;

/// The messages of a chance: where it has come, where it will, where it does in more than twenty years.
type Chance = [&'static str; 3];
const CHANCES: [Chance; 3] = [
    [
        "met-perhaps-already",
        "met-perhaps-from",
        "met-perhaps-decades",
    ],
    ["met-likely-already", "met-likely-by", "met-likely-decades"],
    ["met-sure-already", "met-sure-by", "met-sure-decades"],
];

/// A ladder in time, and the words for it.
#[derive(Clone, Copy)]
pub struct InTime<'a> {
    /// What is told.
    pub ladder: &'a LadderInTime,
    /// By which words.
    pub w: Words,
}

impl InTime<'_> {
    /// How often it was looked at, and the rungs it took.
    pub fn past(&self) -> Vec<Said> {
        let mut words = vec![self.looks()];
        words.extend(self.turns());
        words
    }

    /// What is expected of every rung; none where nothing is projected.
    pub fn ahead(&self) -> Option<Said> {
        self.expected(self.ladder.ahead.iter())
    }

    /// The same of the next rung and the last one alone.
    pub fn next_and_last(&self) -> Option<Said> {
        let ahead = &self.ladder.ahead;
        let last = ahead.get(1..).and_then(<[RungAhead]>::last);
        self.expected(ahead.first().into_iter().chain(last))
    }

    /// What that rests on, or why nothing is projected.
    pub fn rests_on(&self) -> Said {
        self.w.english(&*self.ladder.rests_on)
    }

    /// A mark that has something to say, with its day, as a sentence.
    pub fn mark(&self, mark: &Mark) -> Option<Said> {
        let (w, sign) = (self.w, mark.what.sign()?);
        let told = mark.told.iter().map(|told| match told {
            MarkPart::ByPeople(words) => Said::people(safe_line(words)),
            MarkPart::Wear(wear) => w.wear(wear),
            MarkPart::Ours(words) => w.english(&**words),
        });
        let says = match mark.told.is_empty() {
            true => w.say(happened(mark.what)).into(),
            false => Said::join(told, "; ").fit(LETTERS),
        };
        let ends = !says.ends_with(ELLIPSIS);
        let mut said = told!(
            w,
            "mark-said",
            sign = sign,
            day = self.day(mark.at),
            says = says
        );
        if ends {
            said.push(".");
        }
        Some(said)
    }

    fn day(&self, at: DateTime<FixedOffset>) -> String {
        self.w.date(at.date_naive())
    }

    fn expected<'a>(&self, rungs: impl Iterator<Item = &'a RungAhead>) -> Option<Said> {
        let rungs: Vec<Said> = rungs.map(|rung| self.rung(rung)).collect();
        let rungs = (!rungs.is_empty()).then(|| Said::join(rungs, "; "))?;
        Some(told!(self.w, "expected", rungs = rungs))
    }

    fn looks(&self) -> Said {
        let (w, marks) = (self.w, &self.ladder.marks);
        let count = |of: fn(&Mark) -> bool| marks.iter().filter(|m| of(m)).count();
        let looks = count(|m| m.what.is_look());
        let not_seen = count(|m| m.what == Happened::NotSeen);
        let Some(first) = marks.iter().find(|m| m.what.is_look()) else {
            return w.say("graded-never").into();
        };
        let times = |n: usize| told!(w, "times", n = n);
        let (looks, since) = (times(looks), self.day(first.at));
        match not_seen {
            0 => told!(w, "graded", times = looks, day = since),
            n => told!(
                w,
                "graded-not-seen",
                times = looks,
                day = since,
                unseen = times(n)
            ),
        }
    }

    /// The rungs it took, one after another, and what was done in between.
    fn turns(&self) -> Option<Said> {
        let w = self.w;
        let mut turns = Vec::new();
        let mut stood = None;
        for mark in &self.ladder.marks {
            let turned = match mark.what {
                what if what.is_look() => (stood != mark.rung)
                    .then(|| mark.rung.map_or_else(|| "".into(), |rung| w.word(rung))),
                Happened::NotSeen | Happened::NotTaken => None,
                what => Some(w.say(happened(what))),
            };
            // After something was done a look is told again, whatever it found.
            stood = if mark.what.is_look() {
                mark.rung
            } else {
                turned.as_ref().map_or(stood, |_| None)
            };
            turns.extend(turned.map(|what| told!(w, "turn", what = what, day = self.day(mark.at))));
        }
        let earlier = turns.len().saturating_sub(TURNS);
        let told = Said::join(turns.split_off(earlier), ", ");
        let said = match earlier {
            _ if told.is_empty() => return None,
            0 => told,
            n => told!(w, "turns-before", n = n, turns = told),
        };
        Some(said.sentence())
    }

    fn rung(&self, ahead: &RungAhead) -> Said {
        let [early, middle, late] = &ahead.met;
        let met = [
            self.met(CHANCES[0], early),
            self.met(CHANCES[1], middle),
            self.met(CHANCES[2], late),
        ];
        let (w, met) = (self.w, Said::join(met, ", "));
        match ahead.rung {
            Grade::Failed => told!(w, "ahead-failed", rung = w.word(ahead.rung), met = met),
            rung => told!(w, "ahead-rung", rung = w.word(rung), met = met),
        }
    }

    /// When a chance has come.
    fn met(&self, [already, will, decades]: Chance, met: &Met) -> Said {
        let w = self.w;
        let by = |when: String| w.told(will, &[("when", when.into())]);
        match (met.at, met.wear_hours) {
            (Some(at), _) if at <= self.ladder.now => w.say(already).into(),
            (Some(at), _) if (at - self.ladder.now).num_days() > BY_DAY => {
                by(w.month(at.date_naive()))
            }
            (Some(at), _) => by(self.day(at)),
            (None, Some(wear)) => {
                by(told!(w, "hours-of-running", hours = w.number(wear, 0)).to_string())
            }
            (None, None) => w.say(decades).into(),
        }
    }
}

/// The message of what happened.
const fn happened(what: Happened) -> &'static str {
    match what {
        Happened::Look => "happened-look",
        Happened::WearSeen => "happened-wear",
        Happened::Noted => "happened-note",
        Happened::NotSeen => "happened-not-seen",
        Happened::NotTaken => "happened-not-taken",
        Happened::PutRight => "happened-put-right",
        Happened::Temporary => "happened-temporary",
        Happened::Withdrawn => "happened-withdrawn",
        Happened::TakenOut => "happened-taken-out",
        Happened::GivenOn => "happened-given-on",
    }
}
