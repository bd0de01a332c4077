//! A ladder in time in words, for whoever cannot see it drawn, and for a page without drawings.

use chrono::{DateTime, FixedOffset};

use super::condition::Condition;
use super::ladder_in_time::{Happened, LadderInTime, Mark, Met, RungAhead};
use super::learned::RungLearned;
use super::life::Life;
use super::subject::Subject;
use crate::assess::chance::Decay;
use crate::checklist::{Grade, Item};
use crate::text::capital;

/// The most turns told one by one.
pub const TURNS: usize = 8;
/// Up to so many days away a moment is told by its day, else by its month.
pub const BY_DAY: i64 = 90;

impl LadderInTime {
    /// All of it: how often it was looked at, the rungs it took, what is expected.
    pub fn words(&self) -> Vec<String> {
        let mut words = vec![self.looks_in_words()];
        words.extend(self.turns_in_words());
        words.extend(self.ahead_in_words());
        words
    }

    /// What is expected, rung by rung, and what that rests on.
    pub fn ahead_in_words(&self) -> Vec<String> {
        self.expected(&self.ahead.iter().collect::<Vec<_>>())
    }

    /// As [`LadderInTime::ahead_in_words`], of the next rung and the last one alone.
    pub fn next_and_last_in_words(&self) -> Vec<String> {
        let last = self.ahead.get(1..).and_then(<[RungAhead]>::last);
        self.expected(
            &self
                .ahead
                .first()
                .into_iter()
                .chain(last)
                .collect::<Vec<_>>(),
        )
    }

    fn expected(&self, rungs: &[&RungAhead]) -> Vec<String> {
        let rungs: Vec<String> = rungs.iter().map(|r| self.rung_in_words(r)).collect();
        let ahead = (!rungs.is_empty()).then(|| {
            format!(
                "Expected, at 5, 50 and 95 chances in a hundred: {}.",
                rungs.join("; ")
            )
        });
        ahead.into_iter().chain([self.rests_on.clone()]).collect()
    }

    /// A mark that has something to say, with its day; in words of people where they said any.
    pub fn mark_in_words(&self, mark: &Mark) -> Option<String> {
        let sign = mark.what.sign()?;
        let says = match mark.says.as_str() {
            "" => mark.what.words(),
            says => says,
        };
        Some(format!("{sign} {}: {says}", date(mark.at)))
    }

    /// What stands for what, of the signs that are there.
    pub fn key(&self) -> Vec<String> {
        let mut there: Vec<Happened> = self.marks.iter().map(|m| m.what).collect();
        there.sort_unstable();
        there.dedup();
        let of = |what: Happened| Some(format!("{} {}", what.sign()?, what.words()));
        there.into_iter().filter_map(of).collect()
    }

    fn looks_in_words(&self) -> String {
        let count = |of: fn(&Mark) -> bool| self.marks.iter().filter(|m| of(m)).count();
        let looks = count(|m| m.what.is_look());
        let not_seen = count(|m| m.what == Happened::NotSeen);
        let Some(first) = self.marks.iter().find(|m| m.what.is_look()) else {
            return "Nobody has graded it yet.".to_owned();
        };
        let not_seen = match not_seen {
            0 => String::new(),
            n => format!(", asked and not seen {}", times(n)),
        };
        format!(
            "Graded {} since {}{not_seen}.",
            times(looks),
            date(first.at)
        )
    }

    /// The rungs it took, one after another, and what was done in between.
    fn turns_in_words(&self) -> Option<String> {
        let mut turns = Vec::new();
        let mut stood = None;
        for mark in &self.marks {
            let turned = match mark.what {
                what if what.is_look() => (stood != mark.rung)
                    .then(|| mark.rung.map_or("", Grade::as_str))
                    .map(str::to_owned),
                Happened::NotSeen | Happened::NotTaken => None,
                what => Some(what.words().to_owned()),
            };
            // After something was done a look is told again, whatever it found.
            stood = if mark.what.is_look() {
                mark.rung
            } else {
                turned.as_ref().map_or(stood, |_| None)
            };
            turns.extend(turned.map(|turned| format!("{turned} {}", date(mark.at))));
        }
        let earlier = turns.len().saturating_sub(TURNS);
        let told = turns.split_off(earlier);
        let before = match earlier {
            0 => String::new(),
            n => format!("after {n} turns before: "),
        };
        (!told.is_empty()).then(|| capital(&format!("{before}{}.", told.join(", "))))
    }

    fn rung_in_words(&self, ahead: &RungAhead) -> String {
        let [early, middle, late] = &ahead.met;
        let worse = if ahead.rung == Grade::Failed {
            ""
        } else {
            " or worse"
        };
        format!(
            "{}{worse} {}, {}, {}",
            ahead.rung,
            self.met_in_words(("perhaps", "from"), early),
            self.met_in_words(("likelier than not", "likelier than not by"), middle),
            self.met_in_words(("all but sure", "all but sure by"), late)
        )
    }

    /// When a chance has come: said by the first word where it has, by the second where it will.
    fn met_in_words(&self, (has, will): (&str, &str), met: &Met) -> String {
        match (met.at, met.wear_hours) {
            (Some(at), _) if at <= self.now => format!("{has} already"),
            (Some(at), _) if (at - self.now).num_days() > BY_DAY => {
                format!("{will} {}", at.format("%b %Y"))
            }
            (Some(at), _) => format!("{will} {}", date(at)),
            (None, Some(wear)) => format!("{will} {wear:.0} h of running"),
            (None, None) => format!("{has} in more than 20 years"),
        }
    }
}

impl Condition {
    /// Why no course ahead can be told of an item; none where one can.
    pub(super) fn why_not_ahead(
        &self,
        subject: &Subject,
        item: &Item,
        life: &Life,
    ) -> Option<String> {
        let why = match self.counted_grade(subject, item, life) {
            None => "nobody has looked at it yet".to_owned(),
            Some(Grade::Failed) => "it has failed".to_owned(),
            Some(_) if life.status.removed => "it was taken out".to_owned(),
            Some(_) if life.status.is_sound_as_told() => {
                "it is sound by a former owner's word alone".to_owned()
            }
            Some(_) => match self.decay(item, life) {
                Decay::Chain(_) => return None,
                Decay::Rungs { .. } if item.reading.is_some() => format!(
                    "what is of the kind {} comes and goes, and has no course down its ladder; its readings may show where it goes",
                    item.kind
                ),
                Decay::Rungs { .. } => format!(
                    "what is of the kind {} comes and goes, and has no course down its ladder",
                    item.kind
                ),
            },
        };
        Some(format!("Nothing is projected: {why}."))
    }

    /// What a course ahead rests on.
    pub(super) fn what_it_rests_on(&self, item: &Item, life: &Life, ahead: &[RungAhead]) -> String {
        let from = match life.status.unconfirmed {
            true => "the repair, at which nobody has looked yet,",
            false => "the last look",
        };
        let first = ahead
            .first()
            .map_or(0, |next| next.rung.rung().saturating_sub(1));
        let rungs = self.learned_of(item.kind);
        let rungs = rungs
            .as_ref()
            .and_then(|rungs| rungs.get(first..))
            .unwrap_or_default();
        let moves: u32 = rungs.iter().map(|rung: &RungLearned| rung.moves).sum();
        let taught = match moves {
            0 => String::new(),
            1 => ", and the one move seen aboard".to_owned(),
            n => format!(", and {n} moves seen aboard"),
        };
        format!(
            "Reckoned from {from} and how long things of the kind {} stay on each rung, which is {}{taught}.",
            item.kind,
            match rungs.iter().any(|rung| rung.start.is_some()) {
                true => "what other boats taught, or judgement",
                false => "judgement",
            }
        )
    }
}

fn times(n: usize) -> String {
    match n {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        n => format!("{n} times"),
    }
}

fn date(at: DateTime<FixedOffset>) -> String {
    at.format("%-d %b %Y").to_string()
}
