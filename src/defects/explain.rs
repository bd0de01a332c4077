//! The whole arithmetic behind one row, step by step, as a reader with a calculator could follow it.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::life::Subject;
use super::list::{Outset, Stretch, Wait, percent};
use crate::assess::appraise::EffectAppraisal;
use crate::assess::chance::Decay;
use crate::assess::span::Course;
use crate::checklist::{Grade, Kind};

/// What `explain` says. Its fields are part of the outside surface, in this order.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Explanation {
    /// Catalogue id.
    pub item: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// Kind.
    pub kind: Kind,
    /// The rung that counts; null where nobody looked yet.
    pub grade: Option<Grade>,
    /// When it was seen.
    pub last_look: Option<DateTime<FixedOffset>>,
    /// Time since then.
    pub elapsed: Option<Stretch>,
    /// What was asked.
    pub exposure: Stretch,
    /// Mean dwell on each rung, wear hours; null for kinds without a chain.
    pub dwell_means: Option<[f64; 4]>,
    /// Standing wear per day; null for kinds without a chain.
    pub standing: Option<f64>,
    /// What the boat's own looks have taught, rung by rung.
    pub learned: Vec<Learned>,
    /// Chance of each rung at the end of the exposure; null for kinds without a chain.
    pub distribution: Option<[f64; 5]>,
    /// Chance of failure before beta.
    pub chance: f64,
    /// Each effect.
    pub effects: Vec<EffectAppraisal>,
    /// How long the repair may wait.
    pub fix_within: Option<Wait>,
    /// How long the next look may wait.
    pub look_again_within: Option<Wait>,
    /// The steps in words.
    pub steps: Vec<String>,
}

/// What looks at one kind have taught about one rung.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Learned {
    /// The rung left.
    pub rung: usize,
    /// Moves seen.
    pub moves: f64,
    /// Wear hours watched.
    pub time: f64,
}

impl Condition {
    /// Explains an item of a machine (or of the boat); none where the boat does not have it.
    pub fn explain(&self, subject: &Subject, outset: Outset) -> Option<Explanation> {
        let (item, life) = (self.item(subject)?, self.lives.get(subject)?);
        let known = self.known(subject, item, life);
        let stakes = self.stakes(subject, item, life, outset.waters);
        let outlook = known.outlook(outset.exposure);
        let appraisal = stakes.appraise(outlook.chance);
        let rule = self.stop_rule(item, life, outset.waters);
        let rate = self.rate(subject.machine.as_deref()).per_day;
        let course = Course {
            known,
            stakes,
            stopped: rule.is_some(),
            rate_of_use: rate,
        };
        let since = life.standing.since;
        let elapsed = since.map(|since| self.elapsed(subject, since));
        let dwell = match known.decay {
            Decay::Chain(dwell) => Some(dwell),
            Decay::Rungs { .. } => None,
        };
        let standing = known.decay.standing();
        let exposure = Stretch {
            hours: outset.exposure.hours,
            days: outset.exposure.days,
            wear_hours: outset.exposure.wear(standing),
        };
        let mut steps = Vec::new();
        match (life.standing.grade, since) {
            (Some(grade), Some(since)) => {
                let rung = item.ladder.get(grade.rung()).map_or("", String::as_str);
                let made = if life.standing.unconfirmed { "made sound by a repair" } else { "seen" };
                steps.push(format!("{} {made} {}: {rung}", grade.as_str(), since.format("%Y-%m-%d %H:%M")));
            }
            _ => steps.push("nobody has graded it yet: the rungs are taken as a mixture of 0.80, 0.12, 0.05, 0.025 and 0.005 (judgement)".into()),
        }
        if known.past_life {
            steps.push("past its life, so it counts as worn at best".into());
        }
        if let (Some(elapsed), Some(dwell)) = (&elapsed, &dwell) {
            let about = if elapsed.estimated {
                " (hours estimated at the rate of use)"
            } else {
                ""
            };
            steps.push(format!(
                "elapsed wear: {:.1} h run + {} × {:.2} d standing = {:.2} wear hours{about}",
                elapsed.exposure.hours,
                dwell.standing(),
                elapsed.exposure.days,
                elapsed.wear_hours
            ));
            steps.push(format!(
                "ahead: {:.1} h + {} × {:.1} d = {:.2} wear hours",
                outset.exposure.hours,
                dwell.standing(),
                outset.exposure.days,
                exposure.wear_hours
            ));
            let m = dwell.means();
            steps.push(format!(
                "mean dwell of a {} on its rungs (judgement): {}, {}, {}, {} wear hours",
                item.kind, m[0], m[1], m[2], m[3]
            ));
        }
        match (&outlook.distribution, dwell) {
            (Some(d), Some(_)) => steps.push(format!(
                "at the end of {:.2} wear hours: sound {:.4}, early {:.4}, worn {:.4}, failing {:.4}, failed {:.3e}",
                elapsed.map_or(0.0, |e| e.wear_hours) + exposure.wear_hours, d[0], d[1], d[2], d[3], d[4]
            )),
            _ => steps.push(format!(
                "no chain for a {}: nominal chance of its rung{} = {:.0e} (judgement)",
                item.kind,
                if known.look_is_old() { ", ten times that as the look is older than its interval" } else { "" },
                outlook.chance
            )),
        }
        for effect in &appraisal.effects {
            steps.push(format!(
                "{}: {:.3e} × beta {} = {:.3e} → level {}, severity {} in {} waters → {} {}",
                effect.effect.as_str().replace('-', " "),
                outlook.chance,
                effect.beta,
                effect.chance,
                effect.level.letter(),
                effect.severity,
                outset.waters,
                effect.code,
                effect.risk
            ));
        }
        let deciding = &appraisal.effects[appraisal.rating.deciding];
        steps.push(format!(
            "{} decides: {} {}",
            deciding.effect.as_str().replace('-', " "),
            appraisal.computed.code(),
            appraisal.computed.risk
        ));
        if let Some(o) = &life.standing.overridden {
            steps.push(format!(
                "set by hand to {} {}: {}",
                appraisal.rating.code(),
                appraisal.rating.risk,
                o.why
            ));
        }
        if let Some(rule) = rule {
            steps.push(format!("stop rule in force: {rule}"));
        }
        let wait = |what: &str, wait: &Option<Wait>| match wait {
            None => format!("{what}: no limit follows from the risk"),
            Some(w) => format!(
                "{what}: {:.1} wear hours = {:.1} h at {rate:.2} h a day{} (threshold: {})",
                w.wear_hours,
                w.hours,
                w.date.map(|d| format!(", {d}")).unwrap_or_default(),
                w.threshold
            ),
        };
        let waits = course.waits();
        let fix_within = waits.fix_within.map(|s| self.wait(&s));
        let look_again_within = waits.look_again_within.map(|s| self.wait(&s));
        steps.push(wait("fix within", &fix_within));
        steps.push(wait("look again within", &look_again_within));
        steps.push(format!(
            "chance of failure over the exposure: {}",
            percent(outlook.chance)
        ));
        Some(Explanation {
            item: subject.item.clone(),
            machine: subject.machine.clone(),
            kind: item.kind,
            grade: self.counted_grade(subject, item, life),
            last_look: life.standing.look.as_ref().map(|t| t.at),
            elapsed: elapsed.map(|e| e.stretch()),
            exposure,
            dwell_means: dwell.as_ref().map(|d| *d.means()),
            standing: dwell.as_ref().map(|d| d.standing()),
            learned: Vec::new(),
            distribution: outlook.distribution,
            chance: outlook.chance,
            effects: appraisal.effects,
            fix_within,
            look_again_within,
            steps,
        })
    }
}
