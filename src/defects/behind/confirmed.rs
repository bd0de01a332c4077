//! What repairs say of causes: a repair that names one is a claim, and time is its proof.
//!
//! A repair names its cause; what the cause explained are the items whose last look before it was a finding
//! that is a sign of that cause. It is confirmed only where each of them was seen sound afterwards, with the
//! engine in the same state, after at least as many running hours by the meter as the fault took to show, and
//! not less than five. Until then it has not come back in so many hours, which says nothing of the cause.
//! Work done together confirms none of it alone. No grade, risk, stop or verdict asks any of this.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, FixedOffset};

use super::says::{Level, Spoken};
use crate::causes::{ABNORMAL, ByItem, Cause, Causes, OK, Question};
use crate::checklist::{Grade, PhaseState};
use crate::defects::acts::Repair;
use crate::defects::condition::Condition;
use crate::defects::events::Event;
use crate::defects::history::{History, Stamped};
use crate::defects::life::Rise;
use crate::defects::subject::Subject;
use crate::text::{nearest, safe_line, words};
use crate::walk::{TimedLook, When};

/// A fault is not taken to be gone before she has run so long (*judgement*).
pub const LEAST_HOURS: f64 = 5.0;

words! {
    /// What a repair says of the cause it named.
    Stands, "standing of a cause named by a repair" {
        /// What it explained stayed away and was seen sound.
        Confirmed = "confirmed",
        /// It has not come back yet.
        Waiting = "waiting",
        /// It came back.
        CameBack = "came_back",
        /// Other work was done on it at the same time.
        NotAlone = "not_alone",
        /// Nothing that was found was a sign of it.
        NothingFound = "nothing_found",
    }
}

/// A repair that named a cause, and what it says of it by now.
#[derive(Clone, Debug, PartialEq)]
pub struct Proof {
    /// Id of the record of the repair.
    pub repair: String,
    /// The cause.
    pub cause: String,
    /// When it was done.
    pub at: DateTime<FixedOffset>,
    /// What it says of the cause.
    pub stands: Stands,
    /// Running hours by the meter since then.
    pub hours_run: f64,
    /// Running hours after which a sound look confirms it.
    pub hours_needed: f64,
    /// The looks that found what it explained, by their ids.
    pub explains: BTreeSet<String>,
}

impl Proof {
    /// What it says of the cause, one sentence without capital and full stop.
    pub fn words(&self) -> String {
        let left = (self.hours_needed - self.hours_run).ceil();
        match self.stands {
            Stands::Confirmed => {
                "what it explained stayed away and was seen sound: the cause is confirmed"
                    .to_owned()
            }
            Stands::Waiting if left > 0.0 => {
                format!(
                    "says nothing of the cause until she has run {left} h more and is seen sound"
                )
            }
            Stands::Waiting => format!(
                "not come back in {} h; says nothing of the cause until she is seen sound",
                self.hours_run.floor()
            ),
            Stands::CameBack => "it came back: this was not the cause, or not all of it".to_owned(),
            Stands::NotAlone => {
                "other work was done on it at the same time, so it says nothing of the cause"
                    .to_owned()
            }
            Stands::NothingFound => {
                "nothing that was found is a sign of this cause, so nothing can confirm it"
                    .to_owned()
            }
        }
    }
}

/// How often repairs confirmed each cause; two repairs of one finding count once.
pub(super) fn confirmed(proofs: &[Proof]) -> BTreeMap<String, u32> {
    let proven = proofs.iter().filter(|p| p.stands == Stands::Confirmed);
    let cases: BTreeSet<_> = proven.map(|p| (&p.cause, &p.explains)).collect();
    let mut times = BTreeMap::new();
    for (cause, _) in cases {
        *times.entry(cause.clone()).or_insert(0) += 1;
    }
    times
}

/// A look at an item, as it was made.
struct Made {
    timed: TimedLook,
    grade: Grade,
    state: Option<PhaseState>,
    rise: Option<Rise>,
    level: Option<Level>,
}

impl Made {
    fn when(&self) -> When {
        self.timed.when()
    }

    fn is_finding(&self) -> bool {
        self.grade > Grade::Sound
    }

    /// What it says to a question.
    fn says<'m>(&'m self, question: &Question, by: &'m ByItem) -> Option<&'m str> {
        let spoken = Spoken {
            look: &self.timed.look,
            grade: self.grade,
            rise: self.rise,
            level: self.level,
        };
        spoken.says(question, by)
    }
}

/// Something found that a cause explains, and what became of it.
struct Explained {
    question: String,
    answer: String,
    item: String,
    /// The last look before the repair.
    found: (String, When),
    needed: f64,
    /// Seen sound long enough after the repair.
    held: Option<When>,
    /// Found again after it.
    again: Option<When>,
}

/// One repair on its way to be a proof.
struct Claim<'a> {
    repair: &'a Stamped<Repair>,
    cause: &'a Cause,
    machine: &'a str,
}

type LooksAt = BTreeMap<Subject, Vec<Made>>;

impl Condition {
    /// What is wrong with the id of a cause, one sentence without a full stop; none where it is known.
    pub fn unknown_cause(&self, id: &str) -> Option<String> {
        let causes = self.causes().causes();
        let ids = || causes.iter().map(|cause| cause.id.as_str());
        let is_known = ids().any(|known| known == id);
        let near = || nearest(id, ids()).map(|near| format!("; nearest is '{near}'"));
        (!is_known).then(|| {
            format!(
                "there is no cause '{}'{}; all are told by: handlamp causes list",
                safe_line(id),
                near().unwrap_or_default()
            )
        })
    }

    /// The repairs of a machine, and of the boat around it, that named a cause, by time, and what each
    /// says of it by now. One whose cause nobody knows here says nothing.
    pub fn proofs(&self, history: &History, machine: &str) -> Vec<Proof> {
        let here = |own: &Option<String>| own.as_deref().is_none_or(|own| own == machine);
        let repairs = history.repairs.iter();
        let naming = repairs.filter(|r| r.rec.cause.is_some() && here(&r.rec.machine));
        let mut looks = LooksAt::new();
        let proofs = naming.filter_map(|repair| {
            let id = repair.rec.cause.as_ref()?;
            let cause = self.causes().causes().iter().find(|c| c.id == *id)?;
            let claim = Claim {
                repair,
                cause,
                machine,
            };
            Some(self.proof(&claim, history, &mut looks))
        });
        proofs.collect()
    }

    fn proof(&self, claim: &Claim<'_>, history: &History, looks: &mut LooksAt) -> Proof {
        let explained = self.explained(claim, history, looks);
        let held: Option<Vec<When>> = explained.iter().map(|e| e.held).collect();
        let in_doubt = explained.iter().any(|e| self.is_in_doubt(&e.item));
        let held = held.and_then(|all| all.into_iter().max());
        let until = held.unwrap_or_else(|| When::last_at(self.now));
        let again = explained.iter().filter_map(|e| e.again);
        let stands = match held {
            _ if explained.is_empty() => Stands::NothingFound,
            _ if again.min().is_some_and(|again| again <= until) => Stands::CameBack,
            _ if self.is_beside_other_work(claim, &explained, until, history) => Stands::NotAlone,
            Some(_) if !in_doubt => Stands::Confirmed,
            _ => Stands::Waiting,
        };
        let needed = explained.iter().map(|e| e.needed);
        Proof {
            repair: claim.repair.id.clone(),
            cause: claim.cause.id.clone(),
            at: claim.repair.at,
            stands,
            hours_run: self.run_since(claim, self.now),
            hours_needed: needed.fold(LEAST_HOURS, f64::max),
            explains: explained.into_iter().map(|e| e.found.0).collect(),
        }
    }

    /// Running hours by the meter from a repair to a time: what no reading shows she has not run.
    fn run_since(&self, claim: &Claim<'_>, to: DateTime<FixedOffset>) -> f64 {
        let usage = self.machine_usage(Some(claim.machine));
        let read = usage.last().map(|(last, _)| last.min(to));
        let read = read.filter(|last| *last > claim.repair.at);
        read.map_or(0.0, |last| usage.between(claim.repair.at, last).hours)
    }

    fn explained(
        &self,
        claim: &Claim<'_>,
        history: &History,
        looks: &mut LooksAt,
    ) -> Vec<Explained> {
        let questions = self.causes().questions().iter();
        let asked = questions.filter(|q| claim.cause.signs.iter().any(|s| s.question == q.id));
        let mut explained = Vec::new();
        for (question, by) in asked.flat_map(|q| q.from.iter().map(move |by| (q, by))) {
            let subject = self.subject(&by.item, claim.machine);
            if !self.lives.contains_key(&subject) {
                continue;
            }
            let made = looks
                .entry(subject)
                .or_insert_with_key(|subject| self.looks_made(subject, history));
            explained.extend(self.what_became_of(claim, (question, by), made));
        }
        explained
    }

    /// Every graded look at an item, by time.
    fn looks_made(&self, subject: &Subject, history: &History) -> Vec<Made> {
        let item = self.library.catalogue.item(&subject.item);
        let mut made = Vec::new();
        self.replay(subject, history, |_, event, life| {
            let Event::Look(walk, timed) = event else {
                return;
            };
            let Some(grade) = timed
                .look
                .grade()
                .filter(|_| timed.look.item == subject.item)
            else {
                return;
            };
            let walk = history.walks.get(*walk);
            let phase = walk.zip(timed.look.phase.as_deref());
            made.push(Made {
                timed: TimedLook::clone(timed),
                grade,
                state: phase.and_then(|(walk, phase)| self.state_in(walk, phase)),
                rise: life.status.rise,
                level: item.and_then(Level::of),
            });
        });
        made
    }

    /// What a cause explained of an item, and what became of it; none where its last look before the
    /// repair found no sign of the cause.
    fn what_became_of(
        &self,
        claim: &Claim<'_>,
        (question, by): (&Question, &ByItem),
        made: &[Made],
    ) -> Option<Explained> {
        let repaired = claim.repair.when();
        let (before, after) = made.split_at(made.partition_point(|m| m.when() < repaired));
        let last = before.last()?;
        let answer = last.says(question, by)?;
        let is_sign = |answer: &str| {
            let signs = claim.cause.signs.iter();
            let mut signs = signs.filter(|sign| sign.question == question.id);
            signs.any(|sign| sign.answer == answer || answer == ABNORMAL)
        };
        if !is_sign(answer) {
            return None;
        }
        let same_state = |m: &Made| last.state.is_none() || m.state == last.state;
        let is_sound =
            |m: &Made| !m.is_finding() && m.timed.lifts() && m.says(question, by) == Some(OK);
        let sound = before.iter().rposition(|m| is_sound(m) && same_state(m));
        let sound = sound.or_else(|| before.iter().rposition(is_sound));
        let shown = before.get(sound.map_or(0, |n| n + 1)..)?;
        let shown = shown
            .iter()
            .find(|m| m.says(question, by).is_some_and(is_sign));
        let usage = self.machine_usage(Some(claim.machine));
        let took = sound.and_then(|n| before.get(n)).zip(shown);
        // Nobody knows how long it took to show where nobody saw it sound.
        let took = took.map_or(0.0, |(sound, shown)| {
            usage.between(sound.when().at, shown.when().at).hours
        });
        let needed = took.max(LEAST_HOURS);
        let counts = |m: &&Made| {
            let ours = self.given_on.is_none_or(|given_on| m.when() > given_on);
            ours && is_sound(m)
                && same_state(m)
                && self.run_since(claim, m.when().at) >= needed - 1e-9
        };
        let again = |m: &&Made| m.is_finding() && m.says(question, by) != Some(OK);
        Some(Explained {
            question: question.id.clone(),
            answer: answer.to_owned(),
            item: by.item.clone(),
            found: (last.timed.id.to_string(), last.when()),
            needed,
            held: after.iter().find(counts).map(Made::when),
            again: after.iter().find(again).map(Made::when),
        })
    }

    /// True where between a finding and its confirmation something else was done that can have put it
    /// right as well.
    fn is_beside_other_work(
        &self,
        claim: &Claim<'_>,
        explained: &[Explained],
        until: When,
        history: &History,
    ) -> bool {
        let own = &claim.repair.rec;
        let here = |of: &Option<String>| of.as_deref().is_none_or(|of| of == claim.machine);
        let within = |when: When| {
            let found = explained.iter().filter(move |e| e.found.1 < when);
            found.filter(move |_| when <= until)
        };
        let causes = self.causes();
        let repairs = history.repairs.iter().filter(|r| {
            let other = (&r.rec.item, &r.rec.machine) != (&own.item, &own.machine);
            other && here(&r.rec.machine) && r.rec.cause != own.cause
        });
        let mut repairs = repairs.map(|r| (r.when(), &r.rec.item, r.rec.cause.as_deref()));
        let services = history.services.iter().filter(|s| here(&s.rec.machine));
        let mut renewed = services.flat_map(|s| {
            let items = s.rec.renewed.iter().filter(|item| **item != own.item);
            items.map(|item| (s.when(), item, None))
        });
        let mut bears = |(when, item, cause): (When, &String, Option<&str>)| {
            within(when).any(|found| can_bear_on(causes, found, item, cause))
        };
        repairs.any(&mut bears) || renewed.any(&mut bears)
    }
}

/// True where work on an item, for a cause or for none that was named, can have put a finding right: it
/// answers the same question, or is the part of a cause that has it for a sign.
fn can_bear_on(causes: &Causes, found: &Explained, item: &str, cause: Option<&str>) -> bool {
    let asked = causes.question(&found.question);
    let answers = asked.is_some_and(|(_, question)| question.by_item(item).is_some());
    let shows = |known: &Cause| {
        let signs = known.signs.iter();
        let mut signs = signs.filter(|sign| sign.question == found.question);
        signs.any(|sign| sign.answer == found.answer || found.answer == ABNORMAL)
    };
    let mut showing = causes.causes().iter().filter(|known| shows(known));
    answers
        || showing.any(|known| {
            cause == Some(known.id.as_str()) || known.parts.iter().any(|part| part == item)
        })
}
