//! The steps of an explanation in words, each with its figures, so that a reader with a calculator
//! can follow them.

use super::condition::{Condition, Elapsed};
use super::learned::{RungLearned, figure};
use super::learning_set::LearningState;
use super::life::Life;
use super::list::{Scenario, Stretch, percent};
use super::subject::Subject;
use super::wait::Wait;
use crate::assess::appraise::Appraisal;
use crate::assess::chain::Distribution;
use crate::assess::chance::{Decay, Known, UNSEEN};
use crate::assess::span::Breach;
use crate::checklist::{Grade, Item, Reading, WearMark};

/// What an explanation is made of.
pub(super) struct Explained<'a> {
    pub subject: &'a Subject,
    pub item: &'a Item,
    pub life: &'a Life,
    pub known: &'a Known,
    pub elapsed: Option<&'a Elapsed>,
    pub exposure: Stretch,
    /// Rung by rung, where there is a chain.
    pub rungs: Option<&'a [RungLearned; 4]>,
    pub shares: Option<&'a Distribution>,
    pub appraisal: &'a Appraisal,
    pub scenario: Scenario,
    pub rule: Option<&'a str>,
    /// Running hours a day.
    pub rate: f64,
    /// From where on it is to be put right.
    pub breach: Option<Breach>,
    pub fix_within: Option<Wait>,
    pub look_again_within: Option<Wait>,
}

impl Condition {
    /// The steps, in order.
    pub(super) fn steps(&self, told: &Explained<'_>) -> Vec<String> {
        let look = told.life.status.look.as_ref();
        let signs = look.map_or_else(Vec::new, |timed| self.sign_lines(&timed.look.signs));
        let seen = [told.seen()].into_iter().chain(signs);
        let mut steps = vec![seen.collect::<Vec<_>>().join("; ")];
        if told.known.past_life {
            steps.push("past its life, so it counts as worn at best".into());
        }
        if let Some(patch) = &told.life.status.patch {
            steps.push(format!(
                "lives by a temporary repair (until {}), so it counts as worn at best",
                patch.until
            ));
        }
        match told.rungs {
            Some(rungs) => self.chain_steps(told, rungs, &mut steps),
            None => {
                steps.push(told.nominal());
                self.fall_steps(told, &mut steps);
            }
        }
        told.rating_steps(&mut steps);
        told.wait_steps(&mut steps);
        steps.push(format!(
            "chance of failure over the exposure: {}",
            percent(told.appraisal.chance)
        ));
        steps
    }

    fn fall_steps(&self, told: &Explained<'_>, steps: &mut Vec<String>) {
        let Some(falling) = self.falling(told.subject, told.item, told.life) else {
            return;
        };
        let (low, high) = falling.interval;
        steps.push(format!(
            "its readings fall: least squares over {} of them, {} % of the span an hour (90 %: {} to {}) where one reading errs by {} % (judgement); {}",
            falling.ahead.fall.n,
            figure(falling.ahead.fall.per_hour),
            figure(low),
            figure(high),
            told.item.reading.as_ref().map_or(0.0, Reading::error),
            self.fall_in_words(&falling)
        ));
        let chance = falling.ahead.chance(told.exposure.hours);
        steps.push(format!(
            "chance that it has passed its low mark by then, from the errors of slope and reading: {}; the larger of the two counts",
            share_of_one(chance)
        ));
    }

    fn chain_steps(&self, told: &Explained<'_>, rungs: &[RungLearned; 4], steps: &mut Vec<String>) {
        let standing = figure(told.known.decay.standing());
        if let Some(elapsed) = told.elapsed {
            let about = if elapsed.estimated {
                " (hours estimated at the rate of use)"
            } else {
                ""
            };
            steps.push(format!(
                "elapsed wear: {:.2} h run + {standing} × {:.2} d standing = {:.2} wear hours{about}",
                elapsed.exposure.hours, elapsed.exposure.days, elapsed.wear_hours
            ));
        }
        let since = told.elapsed.map_or(0.0, |e| e.wear_hours);
        let wear = since + told.exposure.wear_hours;
        steps.push(format!(
            "ahead: {:.2} h + {standing} × {:.2} d = {:.2} wear hours",
            told.exposure.hours, told.exposure.days, told.exposure.wear_hours
        ));
        let from = told.first_rung();
        let kind = told.item.kind;
        steps.push(format!(
            "mean wear hours that a thing of the kind {kind} stays on its rungs: judgement, brought up to date by what the looks at every {kind} aboard have shown{}",
            self.exception()
        ));
        steps.extend(rungs[from..].iter().map(RungLearned::sentence));
        if let Decay::Chain(dwell) = told.known.decay
            && told.life.status.marks.contains(&WearMark::Chafe)
        {
            let means = dwell.means()[from..].iter().map(|mean| figure(*mean));
            let means: Vec<String> = means.collect();
            steps.push(format!(
                "something rubs on it: on each rung the shorter of its own stay and that of a chafe-point counts, {} wear hours",
                means.join(", ")
            ));
        }
        let own = self.items_that_taught_of(kind);
        let own = own
            .iter()
            .find(|t| t.item == told.subject.item && t.machine == told.subject.machine);
        if let Some(own) = own {
            let moves: u32 = own.moves.iter().sum();
            let plural = if moves == 1 { "" } else { "s" };
            let time: f64 = own.time.iter().sum();
            steps.push(format!(
                "of that this item alone: {moves} move{plural} in {} h",
                figure(time)
            ));
        }
        if rungs[3].moves > 0 {
            steps.push("looks far apart make the last of these look longer than it is: by about 6 % at 50 wear hours between looks, 26 % at 100".into());
        }
        let Decay::Chain(dwell) = told.known.decay else {
            return;
        };
        let fastest = dwell.means().iter().copied().fold(f64::INFINITY, f64::min);
        steps.push(format!(
            "an item leaves a rung at the rate 1 / mean and goes one rung down; over {since:.2} + {:.2} = {wear:.2} wear hours, at the fastest rate λ = 1 / {} a mean of λt = {:.4} jumps: the shares are the sum over k of e^-λt (λt)^k / k! times where k jumps lead (uniformization)",
            told.exposure.wear_hours,
            figure(fastest),
            wear / fastest
        ));
        if let Some(shares) = told.shares {
            let each = Grade::ALL.iter().zip(shares);
            let each: Vec<_> = each
                .map(|(grade, share)| format!("{grade} {}", share_of_one(*share)))
                .collect();
            steps.push(format!(
                "at the end of {wear:.2} wear hours: {}",
                each.join(", ")
            ));
        }
    }

    /// Why not every look counts, where not every one does.
    fn exception(&self) -> &'static str {
        match self.learning.window.state {
            LearningState::Off => " (learning is off)",
            LearningState::Frozen => " (learning is frozen)",
            _ if self.learning.window.from.is_some() => " since the last reset",
            _ => "",
        }
    }
}

impl Explained<'_> {
    fn seen(&self) -> String {
        let standing = &self.life.status;
        let Some((grade, since)) = standing.grade.zip(standing.since) else {
            let shares = UNSEEN.map(|share| share.to_string());
            return format!(
                "nobody has graded it yet: the rungs are taken as a mixture of {} (judgement)",
                shares.join(", ")
            );
        };
        let rung = self
            .item
            .ladder
            .get(grade.rung())
            .map_or("", String::as_str);
        let made = if standing.unconfirmed {
            "made sound by a repair"
        } else {
            "seen"
        };
        format!("{grade} {made} {}: {rung}", since.format("%Y-%m-%d %H:%M"))
    }

    /// The uppermost rung whose dwell still matters.
    fn first_rung(&self) -> usize {
        let seen = self.known.last.map_or(0, |look| look.grade.rung());
        let worn = if self.known.past_life {
            Grade::Worn.rung()
        } else {
            0
        };
        seen.max(worn).min(Grade::Failing.rung())
    }

    fn nominal(&self) -> String {
        let old = if self.known.look_is_old() {
            ", ten times that as the look is older than its interval"
        } else {
            ""
        };
        format!(
            "no chain for a {}: nominal chance of its rung{old} = {:.0e} (judgement)",
            self.item.kind,
            self.known.nominal().at(Grade::Failed)
        )
    }

    fn rating_steps(&self, steps: &mut Vec<String>) {
        let appraisal = self.appraisal;
        for effect in &appraisal.effects {
            steps.push(format!(
                "{}: {} × beta {} = {} → level {}, severity {} in {} waters → {} {}",
                effect.effect.as_str().replace('-', " "),
                reached(effect.from, effect.reached),
                effect.beta,
                share_of_one(effect.chance),
                effect.level.letter(),
                effect.severity,
                self.scenario.waters,
                effect.code,
                effect.risk
            ));
        }
        if let Some(deciding) = appraisal.effects.get(appraisal.computed.deciding) {
            steps.push(format!(
                "{} decides: {} {}",
                deciding.effect.as_str().replace('-', " "),
                appraisal.computed.code(),
                appraisal.computed.risk
            ));
        }
        if let Some(set) = &self.life.status.overridden {
            let (code, risk) = (appraisal.rating.code(), appraisal.rating.risk);
            steps.push(match set.suspended(&self.life.status) {
                None => format!("set by hand to {code} {risk}: {}", set.rec.why),
                Some(why) => format!(
                    "what was set by hand ({}) does not hold: {why}; the worse of it and the computed rating counts: {code} {risk}",
                    set.rec.why
                ),
            });
        }
        if let Some(rule) = self.rule {
            steps.push(format!("stop rule in force: {rule}"));
        }
    }

    fn wait_steps(&self, steps: &mut Vec<String>) {
        if let Some(breach) = self.breach.filter(|_| self.rungs.is_some()) {
            let of = match breach.rung {
                Grade::Failed => "failure".to_owned(),
                rung => format!("{rung} or worse"),
            };
            steps.push(format!(
                "the risk becomes {} where the chance of {of} reaches {}; fix within is the wear until then, look again within half of it, at most until the chance passes 0.01 (judgement), both counted from the look",
                breach.by,
                share_of_one(breach.chance)
            ));
        }
        let rate = self.rate;
        let wait = |what: &str, wait: &Option<Wait>| match wait {
            None => format!("{what}: no limit follows from the risk"),
            Some(w) => {
                let hours = match w.hours {
                    Some(hours) if w.idle => format!("{hours:.1} h of running, no limit"),
                    Some(hours) => format!("{hours:.1} h"),
                    None => "no limit in hours".to_owned(),
                };
                let date = match (w.date, w.over) {
                    (Some(date), true) => format!(", now, since {date}"),
                    (Some(date), false) => format!(", {date}"),
                    (None, _) => String::new(),
                };
                format!(
                    "{what}: {:.2} wear hours = {hours} at {rate:.2} h a day{date} (threshold: {})",
                    w.wear_hours, w.threshold
                )
            }
        };
        steps.push(wait("fix within", &self.fix_within));
        steps.push(wait("look again within", &self.look_again_within));
    }
}

/// The chance of the rung an effect follows from, named where it is not the failure.
fn reached(from: Grade, chance: f64) -> String {
    match from {
        Grade::Failed => share_of_one(chance),
        rung => format!("{} ({rung} or worse)", share_of_one(chance)),
    }
}

/// A chance with at least three figures that count.
fn share_of_one(share: f64) -> String {
    match share {
        s if s == 0.0 || s == 1.0 => format!("{s:.0}"),
        s if s >= 1e-3 => format!("{s:.6}"),
        s => format!("{s:.3e}"),
    }
}
