//! What a passage calls for of each spare: how often an item it serves fails, and how often that stops her.

use super::carry::CarryAsked;
use super::condition::{Condition, signs};
use super::leaving_jobs::{paced, rungs, sound_again};
use super::leaving_rows::is_trouble;
use super::locker::LockerRow;
use super::subject::Subject;
use crate::assess::chance::Known;
use crate::checklist::{Grade, KnownSpare, SpareUnit};
use crate::passage::poisson::demand;
use crate::passage::trouble::{Follows, chance};

/// What is called for of a spare.
pub(super) struct Want {
    pub(super) spare: String,
    pub(super) machine: Option<String>,
    pub(super) title: String,
    /// Whose failing calls for it.
    pub(super) subjects: Vec<Subject>,
    /// Expected demand as judged, and in the other worlds.
    pub(super) demand: [f64; 3],
    /// Chance that a demand that is not met stops her, in each world.
    pub(super) beta: [f64; 3],
    /// So many count already.
    pub(super) counts: f64,
    /// So many are aboard.
    pub(super) aboard: f64,
    /// Litres, kilograms and money of one.
    pub(super) takes: [Option<f64>; 3],
    /// Minutes to fit one in harbour.
    pub(super) minutes: Option<u32>,
    /// Minutes of cooling.
    pub(super) cooling: u32,
    /// What is wanting before it counts.
    pub(super) only_once: Vec<String>,
}

/// What is called for of all spares.
pub(super) struct Wants {
    pub(super) all: Vec<Want>,
    /// Items served that nobody has looked at.
    pub(super) unseen: usize,
    /// Items that stand failed and are taken as mended.
    pub(super) failed: usize,
}

impl Want {
    /// Chance that the passage stops her for want of it where none is there.
    pub(super) fn stops(&self) -> f64 {
        self.beta[0] * -(-self.demand[0]).exp_m1()
    }

    /// The items whose failing calls for it, each once.
    pub(super) fn items(&self) -> Vec<String> {
        let mut items: Vec<String> = self.subjects.iter().map(|s| s.item.clone()).collect();
        items.dedup();
        items
    }
}

impl Condition {
    /// What is called for of every spare that is known or on record, at three paces of wear.
    pub(super) fn wants(&self, locker: &[LockerRow], asked: &CarryAsked, paces: [f64; 3]) -> Wants {
        let mut wants = Wants {
            all: Vec::new(),
            unseen: 0,
            failed: 0,
        };
        let mut served: Vec<(Subject, Vec<usize>)> = Vec::new();
        let mut candidates = self.candidates(locker, asked);
        // A safeguard is carried whatever this says, and a litre mends nothing that fails: oil and coolant
        // go by what she uses.
        let is_weighed = |known: &KnownSpare| !known.safeguard && known.unit != SpareUnit::Litre;
        candidates.retain(|row| KnownSpare::of(&row.spare).is_none_or(is_weighed));
        for row in candidates {
            let at = wants.all.len();
            let is_its = |s: &&Subject| {
                let own = row.machine.is_none() || s.machine.is_none() || row.machine == s.machine;
                row.items.contains(&s.item) && own && self.has(&s.item, s.machine.as_deref())
            };
            let subjects: Vec<Subject> = self.lives.keys().filter(is_its).cloned().collect();
            for subject in &subjects {
                match served.iter_mut().find(|(known, _)| known == subject) {
                    Some((_, by)) => by.push(at),
                    None => served.push((subject.clone(), vec![at])),
                }
            }
            wants.all.push(want(&row));
        }
        for (subject, by) in &served {
            self.called_for(subject, by, asked, paces, &mut wants);
        }
        for want in &mut wants.all {
            for (beta, demand) in want.beta.iter_mut().zip(want.demand) {
                *beta = if demand > 0.0 {
                    (*beta / demand).clamp(0.0, 1.0)
                } else {
                    0.0
                };
            }
        }
        wants.all.retain(|want| want.demand[0] > 0.0);
        wants
    }

    /// The spares that can be taken: those on record, and of the built-in list those that are not, for each
    /// machine by itself.
    fn candidates(&self, locker: &[LockerRow], asked: &CarryAsked) -> Vec<LockerRow> {
        let is_asked = |machine: Option<&str>| {
            let wanted = asked.machine.as_deref();
            wanted.is_none_or(|wanted| machine.is_none_or(|own| own == wanted))
        };
        let mut all: Vec<LockerRow> = Vec::new();
        let on_record = locker.iter().filter(|row| row.is_on_record());
        all.extend(
            on_record
                .filter(|row| is_asked(row.machine.as_deref()))
                .cloned(),
        );
        for known in KnownSpare::all() {
            let of = |row: &&LockerRow| row.spare == known.id && row.is_on_record();
            let own: Vec<&LockerRow> = locker.iter().filter(of).collect();
            if own.iter().any(|row| row.machine.is_none()) {
                continue;
            }
            let machines = self.boat.machines.iter().map(|m| m.id.as_str());
            for id in machines.filter(|id| is_asked(Some(id))) {
                if own.iter().all(|row| row.machine.as_deref() != Some(id)) {
                    all.push(self.not_on_record(known, id, asked.scenario.waters));
                }
            }
        }
        all
    }

    /// Adds up what the failing of an item calls for, shared between the spares that serve it.
    fn called_for(
        &self,
        subject: &Subject,
        by: &[usize],
        asked: &CarryAsked,
        paces: [f64; 3],
        wants: &mut Wants,
    ) {
        let Some((item, life)) = self.item(subject).zip(self.life_of(subject)) else {
            return;
        };
        let Some(grade) = self.counted_grade(subject, item, life) else {
            wants.unseen += 1;
            return;
        };
        let failed = grade == Grade::Failed;
        wants.failed += usize::from(failed);
        let (known, signs) = match failed {
            true => (
                sound_again(self.known(subject, item, life)),
                Default::default(),
            ),
            false => (self.known(subject, item, life), signs(item, life)),
        };
        let effects = self.effects(subject, item).iter();
        let counts = effects.filter(|e| {
            let shortens = !KnownSpare::never_shortens(e.effect);
            shortens && e.counts(&signs) && is_trouble(e.effect, &asked.scenario)
        });
        let follows: Vec<_> = counts
            .map(|e| Follows {
                effect: e.effect,
                from: e.rung().rung(),
                beta: e.beta,
            })
            .collect();
        for (world, pace) in paces.into_iter().enumerate() {
            let known = Known {
                decay: paced(known.decay, pace),
                ..known
            };
            let prognosis = known.prognosis(asked.scenario.exposure);
            let stops = chance(rungs(&prognosis.reach), &follows);
            let fails = prognosis.chance.max(stops);
            let share = demand(fails) / by.len() as f64;
            for at in by {
                let want = &mut wants.all[*at];
                want.demand[world] += share;
                if fails > 0.0 {
                    want.beta[world] += share * stops / fails;
                }
            }
        }
        for at in by {
            wants.all[*at].subjects.push(subject.clone());
        }
    }
}

fn want(row: &LockerRow) -> Want {
    let known = KnownSpare::of(&row.spare);
    let said = &row.said;
    Want {
        spare: row.spare.clone(),
        machine: row.machine.clone(),
        title: row.title.clone(),
        subjects: Vec::new(),
        demand: [0.0; 3],
        beta: [0.0; 3],
        counts: row.counts,
        aboard: row.count,
        takes: [
            said.litres.or(known.map(|k| k.litres)),
            said.kilos.or(known.map(|k| k.kilos)),
            said.price,
        ],
        minutes: said.minutes.or(known.map(|k| k.minutes)),
        cooling: known.map_or(0, |k| k.cooling),
        only_once: row.wanting.clone(),
    }
}
