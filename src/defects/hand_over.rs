//! What is told of her to somebody who takes her out: stops, temporary repairs, levels, and what is
//! normal on her.

use chrono::{DateTime, FixedOffset, NaiveDate};
use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::finding::Answer;
use super::history::History;
use super::life::{ItemStatus, Life};
use super::oil_use::OilUseRow;
use super::subject::Subject;
use super::trends::TrendQuery;
use crate::assess::trend::Direction;
use crate::boat::{Quantity, Unit};
use crate::checklist::{Grade, Item, Kind, Leak};
use crate::text::digits;

/// A stop in force. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct StopNow {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// As it is called.
    pub title: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// The rule, in words.
    pub rule: String,
    /// What it orders, in sentences.
    pub orders: Vec<String>,
    /// What can hurt someone there.
    pub cautions: Vec<String>,
    /// What puts it right; null where nobody can tell.
    pub remedy: Option<String>,
}

/// A repair that is not for good. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Patched {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// As it is called.
    pub title: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// When it was made.
    pub at: DateTime<FixedOffset>,
    /// Until when, in words.
    pub until: String,
    /// That has come.
    pub over: bool,
    /// Somebody has looked at it since.
    pub seen: bool,
}

/// What was put right and nobody has looked at since. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Unconfirmed {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// As it is called.
    pub title: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// When it was put right.
    pub at: Option<DateTime<FixedOffset>>,
}

/// A level between marks, as it was last seen. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LevelNow {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// As it is called.
    pub title: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// When it was last looked at; null where nobody ever did.
    pub at: Option<DateTime<FixedOffset>>,
    /// What was seen then, in words; null where nobody ever looked.
    pub seen: Option<String>,
    /// What is to be said of it besides, in words: that it falls, that it was filled.
    pub said: Option<String>,
    /// It is to be read again now.
    pub due: bool,
    /// By when it is to be read again (judgement); null where no day is known.
    pub read_by: Option<NaiveDate>,
}

/// What a gauge, a count or a measure usually shows on her. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct UsualReading {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// As it is called.
    pub title: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// Her usual values, by part of the walk; none while fewer than three sound readings are known.
    pub shows: Vec<UsualValue>,
    /// What the maker's handbook gives, with its page; null where nobody typed it.
    pub handbook: Option<String>,
    /// Where its readings are going, named only where that is sure and near.
    pub moves: Direction,
}

/// One of them. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct UsualValue {
    /// The part of the walk, as the checklist titles it; null where none was named.
    pub phase: Option<String>,
    /// The median of the sound readings since it was last put right, in the unit.
    pub value: f64,
    /// Unit a person reads.
    pub unit: Unit,
    /// How many sound readings it is the median of.
    pub readings: usize,
}

/// Oil that one engine uses. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OilUsed {
    /// Machine id.
    pub machine: Option<String>,
    /// As `trend` answers.
    #[serde(flatten)]
    pub used: OilUseRow,
}

/// What comes out, is known, and stops nothing. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct KnownDrip {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// As it is called.
    pub title: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// How much came out at the last look.
    pub leak: Leak,
    /// The rung that counts.
    pub grade: Grade,
    /// When it was seen.
    pub at: DateTime<FixedOffset>,
}

impl KnownDrip {
    /// How much comes out, in words.
    pub const fn words(&self) -> &'static str {
        match self.leak {
            Leak::None => "dry",
            Leak::I => "damp, no drop",
            Leak::Ii => "drops hang, none falls",
            Leak::Iii => "drops fall",
            Leak::Stream => "it runs",
        }
    }
}

impl UsualValue {
    /// The value with its unit.
    pub fn words(&self) -> String {
        format!("{} {}", digits(self.value, 3), self.unit)
    }
}

impl Condition {
    /// Every stop in force on any machine and the boat, in the order of the items.
    pub fn stops_now(&self) -> Vec<StopNow> {
        let stop = |(subject, life): (&Subject, &Life)| {
            let item = self.item(subject)?;
            let rule = self.stop_rule(subject, item, life, self.boat.waters)?;
            let answer = self.answer(subject, None);
            Some(StopNow {
                item: subject.item.clone(),
                title: item.title.clone(),
                machine: subject.machine.clone(),
                rule,
                orders: answer.as_ref().map_or_else(Vec::new, Answer::order_words),
                cautions: item.cautions.clone(),
                remedy: answer.and_then(|answer| answer.remedy_words()),
            })
        };
        self.lives.iter().filter_map(stop).collect()
    }

    /// Every repair that is not for good, whether anybody has looked at it since or not.
    pub fn patched(&self) -> Vec<Patched> {
        let patched = self.aboard().filter_map(|(subject, item, status)| {
            let patch = status.patch.as_ref()?;
            Some(Patched {
                item: subject.item.clone(),
                title: item.title.clone(),
                machine: subject.machine.clone(),
                at: patch.at,
                until: patch.until.to_string(),
                over: self.is_over(subject, patch),
                seen: !status.unconfirmed,
            })
        });
        patched.collect()
    }

    /// What was put right for good, as it is told, and nobody has looked at since.
    pub fn unconfirmed(&self) -> Vec<Unconfirmed> {
        let waits = |s: &&ItemStatus| s.unconfirmed && s.patch.is_none();
        let here = self.aboard().filter(|(.., status)| waits(status));
        let here = here.map(|(subject, item, status)| Unconfirmed {
            item: subject.item.clone(),
            title: item.title.clone(),
            machine: subject.machine.clone(),
            at: status.since,
        });
        here.collect()
    }

    /// Every level between marks that she has, seen or not.
    pub fn levels_now(&self) -> Vec<LevelNow> {
        let looks = self.next_looks(self.boat.waters);
        let lives = self.lives.iter().filter(|(_, l)| !l.status.removed);
        let levels = lives.filter_map(|(subject, life)| {
            let item = self.item(subject).filter(|i| i.is_between_marks())?;
            let mut looks = looks.iter();
            let next = looks.find(|l| l.item == subject.item && l.machine == subject.machine);
            let said = self
                .falling(subject, item, life)
                .map(|falling| self.fall_in_words(&falling));
            let said = self.care(subject, item, life).or(said);
            Some(LevelNow {
                item: subject.item.clone(),
                title: item.title.clone(),
                machine: subject.machine.clone(),
                at: life.status.look.as_ref().map(|look| look.at),
                seen: seen(item, &life.status),
                said: said.or_else(|| self.watch(subject, item, life)),
                due: next.is_some_and(|next| next.due),
                read_by: next.and_then(|next| next.within.date),
            })
        });
        levels.collect()
    }

    /// What readings usually show on her, and the gauges of which that is not known yet; no levels
    /// between marks.
    pub fn usual_readings(&self, history: &History) -> Vec<UsualReading> {
        let usual = self.aboard().filter_map(|(subject, item, status)| {
            let reading = item.reading.as_ref().filter(|_| !item.is_between_marks())?;
            let shows = self.usual_values(subject, item, status);
            if shows.is_empty() && !is_gauge(item.kind, reading.quantity) {
                return None;
            }
            let mut machines = self.boat.machines.iter();
            let machine = machines.find(|m| Some(&m.id) == subject.machine.as_ref());
            let mut limits = machine.iter().flat_map(|m| &m.handbook);
            let limit = limits.find(|limit| limit.item == item.id);
            let trend = self.trend(history, subject, TrendQuery::default()).ok();
            Some(UsualReading {
                item: subject.item.clone(),
                title: item.title.clone(),
                machine: subject.machine.clone(),
                shows,
                handbook: limit.map(|limit| format!("{} ({})", limit.range(), limit.source)),
                moves: trend.map_or(Direction::None, |t| match t.named {
                    true => t.trend,
                    false => Direction::None,
                }),
            })
        });
        usual.collect()
    }

    fn usual_values(&self, subject: &Subject, item: &Item, status: &ItemStatus) -> Vec<UsualValue> {
        let machine = subject.machine.as_deref().unwrap_or_default();
        let mut phases: Vec<Option<&str>> = Vec::new();
        for taken in &status.readings {
            let phase = taken.phase.as_deref();
            if !phases.contains(&phase) {
                phases.push(phase);
            }
        }
        let values = phases.into_iter().filter_map(|phase| {
            let kept = item.reading.as_ref()?.unit;
            let unit = kept.preferred(self.boat.units);
            let value = kept.convert(self.usual(item, machine, phase)?, unit)?;
            let sound = status.readings.iter().filter(|r| r.grade == Grade::Sound);
            Some(UsualValue {
                phase: phase.map(|phase| self.phase_title(phase)),
                value,
                unit,
                readings: sound.filter(|r| r.phase.as_deref() == phase).count(),
            })
        });
        values.collect()
    }

    /// What a part of a walk is called; its id where no checklist has it.
    fn phase_title(&self, phase: &str) -> String {
        let lists = self.library.checklists().iter();
        let mut phases = lists.flat_map(|list| &list.phases);
        let known = phases.find(|p| p.id == phase);
        known.map_or_else(|| phase.to_owned(), |p| p.title.clone())
    }

    /// The oil that each engine uses, where that is known.
    pub fn oil_used_now(&self, history: &History) -> Vec<OilUsed> {
        let used = self.lives.keys().filter_map(|subject| {
            Some(OilUsed {
                machine: subject.machine.clone(),
                used: self.oil_used(history, subject)?,
            })
        });
        used.collect()
    }

    /// What came out at the last look, is not put right, and stops nothing.
    pub fn known_drips(&self) -> Vec<KnownDrip> {
        let drips = self.lives.iter().filter_map(|(subject, life)| {
            let status = &life.status;
            let leak = status.leak.filter(|leak| *leak != Leak::None)?;
            let item = self.item(subject)?;
            let stops = self.stop_rule(subject, item, life, self.boat.waters);
            if status.removed || status.unconfirmed || stops.is_some() {
                return None;
            }
            Some(KnownDrip {
                item: subject.item.clone(),
                title: item.title.clone(),
                machine: subject.machine.clone(),
                leak,
                grade: status.judged()?,
                at: status.look.as_ref()?.at,
            })
        });
        drips.collect()
    }

    fn aboard(&self) -> impl Iterator<Item = (&Subject, &Item, &ItemStatus)> {
        let lives = self.lives.iter().filter(|(_, l)| !l.status.removed);
        lives.filter_map(|(subject, life)| Some((subject, self.item(subject)?, &life.status)))
    }
}

/// What everybody at the helm or the gland can read, so that it is missed where it is not known.
const fn is_gauge(kind: Kind, quantity: Quantity) -> bool {
    match quantity {
        Quantity::Pressure
        | Quantity::Temperature
        | Quantity::Voltage
        | Quantity::RotationalSpeed => matches!(kind, Kind::Reading),
        Quantity::DropRate => true,
        _ => false,
    }
}

/// What was last seen of a level, in words: its reading, else its rung.
fn seen(item: &Item, status: &ItemStatus) -> Option<String> {
    let look = status.look.as_ref()?;
    let reading = item.reading.as_ref()?;
    let read = look.look.reading.and_then(|r| r.value_in(reading.unit));
    if let Some(value) = read {
        return Some(match value {
            value if value < 0.0 => "below the low mark".to_owned(),
            value if value > 100.0 => "above the high mark".to_owned(),
            value => format!("{} % of the way up between the marks", digits(value, 3)),
        });
    }
    let grade = look.look.grade()?;
    let rung = item.ladder.get(grade.rung())?;
    Some(format!("{grade} ({rung}), without a reading"))
}
