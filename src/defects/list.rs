//! The ranked defect list, and what nobody has looked at yet.

use std::cell::OnceCell;

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use super::acts::Deferral;
use super::condition::{Condition, Elapsed, signs};
use super::life::{Defect, Life, State};
use super::subject::Subject;
use super::usage::Wearing;
use super::wait::Wait;
use crate::assess::appraise::{Appraisal, Consequences, Override as Set};
use crate::assess::chance::Known;
use crate::assess::exposure::Exposure;
use crate::assess::rank::RankKey;
use crate::assess::span::{Waits, WearCourse, WearSpan, Whole};
use crate::assess::words::{Level, Risk, Severity};
use crate::boat::Waters;
use crate::checklist::{EffectKind, Grade, Item, Kind, Remedy};
use crate::text::capital;

/// Over what the list is ranked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scenario {
    /// Hours and days ahead.
    pub exposure: Exposure,
    /// The waters the severities are taken for.
    pub waters: Waters,
    /// Running hours a day of a plan that says so, more than 0; spans and dates go by it. None for the
    /// rate of use.
    pub hours_per_day: Option<f64>,
}

impl Scenario {
    /// At the rate of use.
    pub const fn new(exposure: Exposure, waters: Waters) -> Scenario {
        Scenario {
            exposure,
            waters,
            hours_per_day: None,
        }
    }

    /// A wait of an item that wears so many wear hours in a day at rest, at the hours a day of this plan.
    pub(super) fn wait(
        &self,
        wait: Option<Wait>,
        standing: f64,
        now: DateTime<FixedOffset>,
    ) -> Option<Wait> {
        match self.hours_per_day {
            Some(per_day) => wait.map(|wait| wait.at(per_day, standing, now)),
            None => wait,
        }
    }
}

/// Hours and days, with the wear hours they are for an item. Part of the outside surface.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Stretch {
    /// Running hours, 0 or more.
    pub hours: f64,
    /// Calendar days, 0 or more.
    pub days: f64,
    /// Running hours plus standing wear.
    pub wear_hours: f64,
}

/// A deferral in force. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Deferred {
    /// Until which meter reading or day it may wait.
    pub until: super::acts::Until,
    /// Why it may wait, as written.
    pub why: String,
}

/// One row of the list. Its fields are part of the outside surface, in this order.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Row {
    /// Place in the list, from 1, the worst.
    pub rank: usize,
    /// A stop rule is in force.
    pub stop: bool,
    /// Where the defect stands.
    pub state: State,
    /// The deferral in force.
    pub deferred: Option<Deferred>,
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// Where it is, by the id of the station in the catalogue.
    pub station: String,
    /// The kind of thing it is, from which it has its dwells.
    pub kind: Kind,
    /// The rung that counts.
    pub grade: Grade,
    /// When it was seen.
    pub last_look: Option<DateTime<FixedOffset>>,
    /// Running hours and days since the look it stands on.
    pub elapsed: Stretch,
    /// Chance that it has failed or fails within the exposure, before beta.
    pub chance: f64,
    /// The effect that decides: worst risk, then severity, then chance × beta.
    pub effect: EffectKind,
    /// Chance that the effect follows the failure.
    pub beta: f64,
    /// Severity of the deciding effect, an override included.
    pub severity: Severity,
    /// Probability level of the deciding effect, an override included.
    pub level: Level,
    /// Severity digit and level letter.
    pub code: String,
    /// Risk of the deciding effect: the cell of MIL-STD-882E Table III at that severity and level.
    pub risk: Risk,
    /// When the finding was made that opened it.
    pub opened: DateTime<FixedOffset>,
    /// Graded looks at the item since the finding opened.
    pub looks: u32,
    /// When it last became worse.
    pub worse_since: Option<DateTime<FixedOffset>>,
    /// How long the repair may wait.
    pub fix_within: Option<Wait>,
    /// How long the next look may wait.
    pub look_again_within: Option<Wait>,
    /// What puts it right.
    pub remedy: Remedy,
    /// Parts the remedy takes, in plain words.
    pub parts: Vec<String>,
    /// Why it stands here, one sentence.
    pub why: String,
    /// As shown.
    #[serde(skip)]
    pub title: String,
    /// The stop rule in words.
    #[serde(skip)]
    pub stop_rule: Option<String>,
    /// Every effect with its figures, of which the fields above are the deciding one.
    #[serde(skip)]
    pub appraisal: Appraisal,
    /// Hours since the look were estimated.
    #[serde(skip)]
    pub estimated: bool,
    /// Repaired and not yet looked at.
    #[serde(skip)]
    pub unconfirmed: bool,
    /// It has served longer than it may, so that it counts as worn at best.
    #[serde(skip)]
    pub past_life: bool,
    /// What makes it a concern by itself, or worth watching, in words.
    #[serde(skip)]
    pub care: Option<String>,
    /// It is a concern without a living defect.
    #[serde(skip)]
    pub is_kept: bool,
    /// How often it came back after a repair.
    #[serde(skip)]
    pub reopened: u32,
    /// Why a rating set by hand does not hold for it now, in words.
    #[serde(skip)]
    pub set_suspended: Option<String>,
}

impl Row {
    /// True while it is to be put right, now or by and by.
    pub fn waits(&self) -> bool {
        matches!(self.state, State::Open | State::Deferred)
    }

    /// Whose row it is.
    pub fn subject(&self) -> Subject {
        Subject {
            item: self.item.clone(),
            machine: self.machine.clone(),
        }
    }
}

/// An item nobody has graded yet. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Unseen {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// The machine, by its id in the profile; none for what the boat has once.
    pub machine: Option<String>,
    /// Where it is, by the id of the station in the catalogue.
    pub station: String,
    /// Chance over the exposure, from the mixture over the rungs.
    pub chance: f64,
    /// Worst severity of its effects.
    pub severity: Severity,
    /// What it could hide.
    pub risk: Risk,
}

/// The ranked list over one exposure, with what nobody has looked at apart.
#[derive(Clone, Debug)]
pub struct DefectList {
    /// What it was ranked over.
    pub scenario: Scenario,
    /// The rows, worst first.
    pub rows: Vec<Row>,
    /// Never graded, worst risk first.
    pub unseen: Vec<Unseen>,
}

impl Condition {
    /// The list over an exposure in some waters. With `all`, confirmed and withdrawn defects come
    /// too, after the living ones.
    pub fn list(&self, scenario: Scenario, all: bool) -> DefectList {
        let mut rows: Vec<Row> = self
            .lives
            .iter()
            .zip(&self.waits)
            .filter_map(|((subject, life), waits)| {
                let waits = &waits[scenario.waters as usize];
                self.row(subject, life, waits, scenario, all)
            })
            .collect();
        rows.sort_by(|a, b| a.over().cmp(&b.over()).then_with(|| a.key().cmp(&b.key())));
        for (index, row) in rows.iter_mut().enumerate() {
            row.rank = index + 1;
        }
        let mut unseen: Vec<Unseen> = self
            .lives
            .iter()
            .filter_map(|(s, life)| self.unseen(s, life, scenario))
            .collect();
        unseen.sort_by(|a, b| {
            let words = (a.risk, a.severity).cmp(&(b.risk, b.severity));
            words
                .then(b.chance.total_cmp(&a.chance))
                .then_with(|| a.item.cmp(&b.item))
        });
        DefectList {
            scenario,
            rows,
            unseen,
        }
    }

    /// The row of one item, without its place in the list.
    pub(super) fn row_of(&self, subject: &Subject, scenario: Scenario) -> Option<Row> {
        let all = self.lives.iter().zip(&self.waits);
        let ((_, life), waits) = all.into_iter().find(|((of, _), _)| *of == subject)?;
        let waits = &waits[scenario.waters as usize];
        self.row(subject, life, waits, scenario, false)
    }

    fn unseen(&self, subject: &Subject, life: &Life, scenario: Scenario) -> Option<Unseen> {
        let told = life.status.is_sound_as_told();
        if life.status.grade.is_some() && !told || life.status.removed {
            return None;
        }
        let item = self.item(subject)?;
        // What is worn by its age has its row.
        if self.past_life(subject, item, life).is_some() && told {
            return None;
        }
        let known = self.known(subject, item, life);
        let prognosis = known.prognosis(scenario.exposure);
        let unknown = Known {
            last: None,
            ..known
        }
        .prognosis(scenario.exposure);
        // Sound by word alone is no better than what nobody has looked at.
        let prognosis = match told && unknown.chance > prognosis.chance {
            true => unknown,
            false => prognosis,
        };
        let rating = self
            .consequences(subject, item, life, scenario.waters)
            .rate(&prognosis.reach);
        Some(Unseen {
            item: subject.item.clone(),
            machine: subject.machine.clone(),
            station: item.station.clone(),
            chance: prognosis.chance,
            severity: Severity::worst_of(self.effects(subject, item), scenario.waters),
            risk: rating.risk,
        })
    }

    /// What is at stake with an item, a person's override included.
    pub fn consequences<'a>(
        &'a self,
        subject: &Subject,
        item: &'a Item,
        life: &Life,
        waters: Waters,
    ) -> Consequences<'a> {
        let set = life.status.overridden.as_ref();
        let set = set
            .and_then(|o| {
                let set = Set::new(o.rec.severity, o.rec.level).ok()?;
                Some(set.suspended(o.suspended(&life.status).is_some()))
            })
            .unwrap_or(Set::NONE);
        Consequences {
            effects: self.effects(subject, item),
            signs: signs(item, life),
            waters,
            set,
            removed: life.status.removed,
        }
    }

    /// What the waits of an item are found from.
    pub(super) fn course<'a>(
        &'a self,
        subject: &Subject,
        item: &'a Item,
        life: &Life,
        waters: Waters,
        stopped: bool,
    ) -> WearCourse<'a> {
        WearCourse {
            known: self.known(subject, item, life),
            consequences: self.consequences(subject, item, life, waters),
            stopped,
            rate_of_use: self.rate(subject.machine.as_deref()).per_day,
        }
    }

    fn row(
        &self,
        subject: &Subject,
        life: &Life,
        waits: &OnceCell<[Option<Wait>; 2]>,
        scenario: Scenario,
        all: bool,
    ) -> Option<Row> {
        let item = self.item(subject)?;
        let grade = self.counted_grade(subject, item, life)?;
        let past_life = self.past_life(subject, item, life);
        let rule = self.stop_rule(subject, item, life, scenario.waters);
        let defect = life
            .current()
            .or_else(|| life.defects.last().filter(|_| all));
        let state = defect.map(|d| self.state(subject, d));
        let care = self.care(subject, item, life);
        // An item past its life, or one that a stop rule holds though it was graded sound (oil that
        // rose), or a level about to be low, is a concern without a finding.
        let found = past_life.is_some() || rule.is_some() || care.is_some();
        if defect.is_none() && !found {
            return None;
        }
        let living = state.is_some_and(State::is_living);
        if !living && defect.is_some() && !all && !found {
            return None;
        }
        let state = state.unwrap_or(State::Open);
        let since = life.status.since?;
        let elapsed = self.elapsed(subject, since);
        let course = self.course(subject, item, life, scenario.waters, rule.is_some());
        let prognosis = course.known.prognosis(scenario.exposure);
        let appraisal = course.consequences.appraise(&prognosis.reach);
        let deferral = defect
            .and_then(|d| d.deferral.as_ref())
            .filter(|_| state == State::Deferred);
        let rating = appraisal.rating;
        let deciding = appraisal.effects.get(rating.deciding)?.clone();
        let waits = waits.get_or_init(|| self.told(subject, &course));
        let standing = course.known.decay.standing();
        let [fix_within, look_again_within] = waits.map(|w| scenario.wait(w, standing, self.now));
        let mut row = Row {
            rank: 0,
            stop: rule.is_some(),
            state: if rule.is_some() && state == State::Deferred {
                State::Open
            } else {
                state
            },
            deferred: deferral
                .filter(|_| rule.is_none())
                .map(|d| Deferred::of(&d.rec)),
            item: subject.item.clone(),
            machine: subject.machine.clone(),
            station: item.station.clone(),
            kind: item.kind,
            grade,
            last_look: life.status.look.as_ref().map(|t| t.at),
            elapsed: elapsed.stretch(),
            chance: prognosis.chance,
            effect: deciding.effect,
            beta: deciding.beta,
            severity: rating.severity,
            level: rating.level,
            code: rating.code(),
            risk: rating.risk,
            opened: defect.map(|d| d.opened).or(past_life).unwrap_or(since),
            looks: defect.map_or(life.status.looks, |d| d.looks),
            worse_since: defect.and_then(|d| d.worse_since),
            fix_within,
            look_again_within,
            remedy: item.remedy.clone(),
            parts: item.parts.clone(),
            why: String::new(),
            title: item.title.clone(),
            stop_rule: rule,
            estimated: elapsed.estimated,
            unconfirmed: life.status.unconfirmed,
            past_life: past_life.is_some(),
            care: care.or_else(|| {
                let falling = self.falling(subject, item, life);
                self.level_watch(subject, life, falling.as_ref())
            }),
            is_kept: found,
            reopened: defect.map_or(0, |d| d.reopened),
            set_suspended: life.status.set_suspended(),
            appraisal,
        };
        row.why = row.sentence(scenario, defect);
        Some(row)
    }

    /// How long an item may wait, for its repair and for the next look, as hours and days.
    pub(super) fn told(&self, subject: &Subject, course: &WearCourse) -> [Option<Wait>; 2] {
        let waits = course.waits();
        let ageless = course.known.past_life.then(|| course.ageless_waits());
        let wait = |of: fn(&Waits) -> Option<WearSpan>| {
            let ageless = ageless.as_ref().and_then(of);
            of(&waits).map(|span| self.wait(subject, &span, ageless))
        };
        [wait(|w| w.fix_within), wait(|w| w.look_again_within)]
    }

    fn wait(&self, subject: &Subject, span: &WearSpan, ageless: Option<WearSpan>) -> Wait {
        let at = self.end_of(subject, span, ageless);
        Wait {
            wear_hours: span.wear_hours,
            hours: span.hours,
            date: at.map(|at| at.date_naive()),
            threshold: span.threshold,
            over: span.is_over(),
            idle: span.days.is_none(),
            at,
        }
    }

    /// When a span of an item ends or ended. What only its age made due came due when its life ended,
    /// unless it would have been due before at any age.
    fn end_of(
        &self,
        subject: &Subject,
        span: &WearSpan,
        ageless: Option<WearSpan>,
    ) -> Option<DateTime<FixedOffset>> {
        let (item, life) = (self.item(subject)?, self.life_of(subject)?);
        let since = life.status.since?;
        let moment = |span: &WearSpan| self.moment_of(subject, (item, life), since, span);
        let end = moment(span)?;
        let aged = self.past_life(subject, item, life);
        let aged = aged.filter(|aged| span.is_over() && *aged > end);
        let before = ageless.and_then(|span| moment(&span));
        let end = aged.map_or(end, |aged| before.map_or(aged, |before| before.min(aged)));
        Some(end.with_timezone(self.now.offset()))
    }

    /// What wears an item.
    pub(super) fn wearing(&self, subject: &Subject, item: &Item, life: &Life) -> Wearing<'_> {
        Wearing {
            usage: self.usage(subject),
            standing: self.decay(item, life).standing(),
        }
    }

    /// The end of a span, counted from the look, or from the repair, that it follows from.
    fn moment_of(
        &self,
        subject: &Subject,
        (item, life): (&Item, &Life),
        since: DateTime<FixedOffset>,
        span: &WearSpan,
    ) -> Option<DateTime<FixedOffset>> {
        match span.whole? {
            Whole::Wear(wear) => self.wearing(subject, item, life).reached(since, wear),
            Whole::Days(days) => {
                let whole = chrono::Duration::try_milliseconds((days * 86_400_000.0) as i64)?;
                since.checked_add_signed(whole)
            }
        }
    }
}

impl Deferred {
    fn of(deferral: &Deferral) -> Deferred {
        Deferred {
            until: deferral.until,
            why: deferral.why.clone(),
        }
    }
}

impl Elapsed {
    /// In the shape answers have it.
    pub fn stretch(&self) -> Stretch {
        Stretch {
            hours: self.exposure.hours,
            days: self.exposure.days,
            wear_hours: self.wear_hours,
        }
    }
}

impl Row {
    fn over(&self) -> bool {
        !self.state.is_living() && !self.is_kept
    }

    fn key(&self) -> RankKey<'_> {
        RankKey {
            stop: self.stop,
            rating: self.appraisal.rating,
            opened: Some(self.opened),
            item: &self.item,
            machine: self.machine.as_deref().unwrap_or(""),
        }
    }

    /// What was seen, when, how the chance came about, which effect decided.
    fn sentence(&self, scenario: Scenario, defect: Option<&Defect>) -> String {
        let about = if self.estimated { "about " } else { "" };
        let seen = if self.unconfirmed {
            "Repaired and not yet looked at".to_owned()
        } else {
            let word = self.grade.as_str();
            let life = match self.past_life {
                true if self.grade == Grade::Worn => ", past its life and so worn at best",
                true => " and past its life",
                false => "",
            };
            format!("{}{life}", capital(word))
        };
        let chance = if self.grade == Grade::Failed {
            "failed already".to_owned()
        } else {
            let (hours, days) = (scenario.exposure.hours, scenario.exposure.days);
            format!(
                "{} to fail within {hours:.0} h and {days:.0} d",
                percent(self.chance)
            )
        };
        let computed = self.appraisal.computed;
        let is_set = self.appraisal.rating != computed;
        let set = match (&self.set_suspended, is_set) {
            (Some(why), true) => format!(
                ", set by hand and kept as the worse (computed {}): {why}",
                computed.code()
            ),
            (Some(why), false) => {
                format!(", as computed; what was set by hand does not hold: {why}")
            }
            (None, true) => format!(", set by hand (computed {})", computed.code()),
            (None, false) => String::new(),
        };
        let care = self.care.as_ref().map(|care| format!("{care}; "));
        let care = care.unwrap_or_default();
        let stop = self
            .stop_rule
            .as_ref()
            .map(|rule| format!(" Stops the engine: {rule}."));
        let again = match defect.map_or(0, |d| d.reopened) {
            0 => String::new(),
            1 => " It came back after a repair.".to_owned(),
            n => format!(" It came back {n} times after a repair."),
        };
        format!(
            "{seen}, {about}{:.1} h and {:.0} d ago; {care}{chance}; {} decides: {} {}{set}.{}{again}",
            self.elapsed.hours,
            self.elapsed.days,
            self.effect.as_str().replace('-', " "),
            self.code,
            self.risk,
            stop.unwrap_or_default(),
        )
    }
}

/// A chance as a person reads it.
pub fn percent(chance: f64) -> String {
    match chance {
        c if c >= 0.0995 => format!("{:.0} %", c * 100.0),
        c if c >= 0.00995 => format!("{:.1} %", c * 100.0),
        c if c >= 0.000_1 => format!("{:.2} %", c * 100.0),
        c if c > 0.0 => format!("1 in {:.0e}", 1.0 / c).replace('e', "·10^"),
        _ => "0 %".to_owned(),
    }
}
