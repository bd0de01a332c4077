//! The whole arithmetic behind one row, step by step, as a reader with a calculator could follow it.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::history::History;
use super::ladder_in_time::LadderInTime;
use super::learned::{ItemTaught, RungLearned};
use super::learning_start::PooledRate;
use super::list::{Scenario, Stretch};
use super::steps::Explained;
use super::subject::Subject;
use super::wait::Wait;
use crate::assess::appraise::EffectAppraisal;
use crate::assess::chance::Decay;
use crate::checklist::{Grade, Kind};

/// What `explain` says. Its fields are part of the outside surface, in this order.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Explanation {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// The kind of thing it is, from which it has its dwells.
    pub kind: Kind,
    /// The rung that counts; null where nobody looked yet.
    pub grade: Option<Grade>,
    /// When it was seen.
    pub last_look: Option<DateTime<FixedOffset>>,
    /// Running hours and days since the look it stands on.
    pub elapsed: Option<Stretch>,
    /// The exposure asked about.
    pub exposure: Stretch,
    /// Mean dwell on each rung, wear hours; null for kinds without a chain.
    pub dwell_means: Option<[f64; 4]>,
    /// Standing wear per day; null for kinds without a chain.
    pub standing: Option<f64>,
    /// Mean dwell of judgement on each rung, wear hours; null for kinds without a chain.
    pub judgement_means: Option<[f64; 4]>,
    /// What the boat's own looks have taught, rung by rung; empty for kinds without a chain.
    pub learned: Vec<Learned>,
    /// What other boats taught of this kind and what counts in place of the judgement; missing where
    /// nothing does.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub starts: Vec<PooledRate>,
    /// The items of this kind whose looks taught it.
    pub taught_by: Vec<ItemTaught>,
    /// Chance of each rung at the end of the exposure; null for kinds without a chain.
    pub distribution: Option<[f64; 5]>,
    /// Chance of failure before beta.
    pub chance: f64,
    /// Each effect with its severity, level and risk; the deciding one is the row's.
    pub effects: Vec<EffectAppraisal>,
    /// How long the repair may wait.
    pub fix_within: Option<Wait>,
    /// How long the next look may wait.
    pub look_again_within: Option<Wait>,
    /// What was seen of it in time, and by when each worse rung is likely to be met.
    pub in_time: LadderInTime,
    /// The steps in words.
    pub steps: Vec<String>,
}

/// What looks at one kind have taught about one rung.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Learned {
    /// The rung things move away from, 0 (sound) to 3 (failing).
    pub rung: usize,
    /// Moves past this rung between two looks, each boundary crossed counted once.
    pub moves: f64,
    /// Wear hours that things were known to spend on this rung.
    pub time: f64,
}

impl Condition {
    /// Explains an item of a machine (or of the boat); none where the boat does not have it.
    pub fn explain(
        &self,
        history: &History,
        subject: &Subject,
        scenario: Scenario,
    ) -> Option<Explanation> {
        let (item, life) = (self.item(subject)?, self.life_of(subject)?);
        let rule = self.stop_rule(subject, item, life, scenario.waters);
        let course = self.course(subject, item, life, scenario.waters, rule.is_some());
        let known = course.known;
        let prognosis = known.prognosis(scenario.exposure);
        let appraisal = course.consequences.appraise(&prognosis.reach);
        let since = life.status.since;
        let elapsed = since.map(|since| self.elapsed(subject, since));
        let dwell = match known.decay {
            Decay::Chain(dwell) => Some(dwell),
            Decay::Rungs { .. } => None,
        };
        let standing = known.decay.standing();
        let exposure = Stretch {
            hours: scenario.exposure.hours,
            days: scenario.exposure.days,
            wear_hours: scenario.exposure.wear(standing),
        };
        let waits = self.told(subject, &course);
        let [fix_within, look_again_within] =
            waits.map(|wait| scenario.wait(wait, standing, self.now));
        let rungs = self.learned_of(item.kind).filter(|_| dwell.is_some());
        let told = Explained {
            subject,
            item,
            life,
            known: &known,
            elapsed: elapsed.as_ref(),
            exposure,
            rungs: rungs.as_ref(),
            shares: prognosis.distribution.as_ref(),
            appraisal: &appraisal,
            scenario,
            rule: rule.as_deref(),
            rate: scenario.hours_per_day.unwrap_or(course.rate_of_use),
            breach: course.first_breach(),
            fix_within,
            look_again_within,
        };
        let mut steps = self.steps(&told);
        steps.extend(self.oil_used(history, subject).map(|oil| oil.words()));
        let learned = |r: &RungLearned| Learned {
            rung: r.rung,
            moves: f64::from(r.moves),
            time: r.time,
        };
        Some(Explanation {
            item: subject.item.clone(),
            machine: subject.machine.clone(),
            kind: item.kind,
            grade: self.counted_grade(subject, item, life),
            last_look: life.status.look.as_ref().map(|t| t.at),
            elapsed: elapsed.map(|e| e.stretch()),
            exposure,
            dwell_means: dwell.as_ref().map(|d| *d.means()),
            standing: dwell.as_ref().map(|d| d.standing()),
            judgement_means: rungs.as_ref().map(|r| r.each_ref().map(|r| r.judgement)),
            learned: rungs.iter().flatten().map(learned).collect(),
            starts: rungs
                .iter()
                .flatten()
                .filter_map(|r| r.start.clone())
                .collect(),
            taught_by: self.items_that_taught_of(item.kind),
            distribution: prognosis.distribution,
            chance: prognosis.chance,
            effects: appraisal.effects,
            fix_within,
            look_again_within,
            in_time: self.ladder_in_time(history, subject, scenario.waters)?,
            steps,
        })
    }
}
