//! Which looks count, and what each of them says.
//!
//! A finding counts while it stands: until the item is looked at again or put right, however old it is.
//! A sound look counts for as long as a look there holds; one taken back, of a former owner, or of an item
//! that lives by a temporary repair does not. A question that several items answer is answered as normal
//! only by all of them that the machine has; what is looked at only when it is called for has to agree
//! once it was looked at.

use chrono::Duration;

use super::says::{Level, Spoken};
use crate::causes::{ByItem, Look, Now, OK, PartLook, Question, Seen};
use crate::checklist::{Grade, Order};
use crate::defects::condition::Condition;
use crate::defects::gate::order;
use crate::defects::history::History;
use crate::defects::subject::Subject;
use crate::walk::TimedLook;

/// A sound look at what has no time of its own holds for so many days (*judgement*).
const HOLDS_DAYS: f64 = 90.0;
/// For so long after she ran she counts as warm (*judgement*).
const WARM: Duration = Duration::hours(4);

/// A look that counts.
struct Known<'a> {
    look: &'a TimedLook,
    spoken: Spoken<'a>,
    /// A sound grade is still believed.
    fresh: bool,
}

impl Known<'_> {
    /// The answer to a question; none where it says nothing to it, or what was normal is so no more.
    fn says<'s>(&'s self, question: &Question, by: &'s ByItem) -> Option<&'s str> {
        let told = self.spoken.says(question, by);
        told.filter(|answer| *answer != OK || self.fresh)
    }
}

impl Condition {
    /// What is known of a machine and of the boat around it, as answers.
    pub(super) fn seen(&self, history: &History, machine: &str) -> Seen {
        let causes = self.causes();
        let questions = causes.questions().iter();
        let looks = questions.flat_map(|question| self.answers(question, machine));
        let looks = looks.chain(self.lately(history, machine));
        let mut parts: Vec<&str> = causes
            .causes()
            .iter()
            .flat_map(|cause| cause.parts.iter().map(String::as_str))
            .collect();
        parts.sort_unstable();
        parts.dedup();
        let parts = parts.into_iter().filter_map(|item| {
            let known = self.known_look(item, machine)?;
            let grade = known.spoken.grade;
            let counts = grade > Grade::Sound || known.fresh;
            counts.then(|| PartLook {
                item: item.to_owned(),
                grade,
                on: Some(known.look.at.date_naive()),
            })
        });
        let here = |subject: &Subject| subject.machine.as_deref().is_none_or(|own| own == machine);
        let stops = self.open_stops().into_iter();
        let stops: Vec<_> = stops.filter(|stop| here(&stop.subject)).collect();
        let starts = |subject: &Subject| {
            let item = self.item(subject).zip(self.lives.get(subject));
            let leaves = item.map(|(item, life)| order(item, life.status.leak, false));
            leaves == Some(Order::DoNotLeave)
        };
        let holds = stops.iter().find(|stop| !starts(&stop.subject));
        Seen {
            holds: holds.map(|stop| self.name_of(&stop.subject)),
            looks: looks.collect(),
            parts: parts.collect(),
            stops: stops.into_iter().map(|stop| stop.subject.item).collect(),
            now: self.lies_now(history, machine),
        }
    }

    /// What the looks of a machine say to a question: every finding; else the normal answer where each of
    /// its items was seen sound.
    fn answers(&self, question: &Question, machine: &str) -> Vec<Look> {
        let fitted = |by: &&ByItem| self.has(&by.item, Some(machine));
        let fitted: Vec<&ByItem> = question.from.iter().filter(fitted).collect();
        let looked: Vec<(&ByItem, Option<Known<'_>>)> = fitted
            .iter()
            .map(|by| (*by, self.known_look(&by.item, machine)))
            .collect();
        let told = |by: &ByItem, known: &Known<'_>| {
            let answer = known.says(question, by)?;
            Some(Look {
                question: question.id.clone(),
                answer: answer.to_owned(),
                on: Some(known.look.at.date_naive()),
                by: Some(by.item.clone()),
            })
        };
        let each = looked.iter();
        let told: Vec<Option<Look>> = each
            .map(|(by, known)| known.as_ref().and_then(|known| told(by, known)))
            .collect();
        let is_ok = |look: &Look| look.answer == OK;
        let said = || told.iter().flatten();
        let findings: Vec<Look> = said().filter(|look| !is_ok(look)).cloned().collect();
        if !findings.is_empty() {
            return findings;
        }
        // Told in so many words it is normal, whatever the items beside it.
        let in_words = looked.iter().zip(&told).find_map(|((_, known), told)| {
            let known = known.as_ref()?;
            known
                .look
                .look
                .signs
                .contains_key(&question.id)
                .then_some(told.clone()?)
        });
        let called_for = |by: &ByItem| {
            let item = self.library.catalogue.item(&by.item);
            item.is_some_and(|item| item.called_for)
        };
        let asked = looked.iter().zip(&told);
        let asked = asked.filter(|((by, _), told)| by.sound && (told.is_some() || !called_for(by)));
        let mut asked = asked.map(|(_, told)| told.clone()).collect::<Vec<_>>();
        let all = !asked.is_empty() && asked.iter().all(Option::is_some);
        let last = || {
            asked
                .iter_mut()
                .filter_map(Option::take)
                .min_by_key(|look| look.on)
        };
        in_words
            .or_else(|| all.then(last).flatten())
            .into_iter()
            .collect()
    }

    /// The look at an item that counts: graded, not put right since, and not in doubt.
    fn known_look(&self, item: &str, machine: &str) -> Option<Known<'_>> {
        let wanted = self.subject(item, machine);
        let known = self.lives.get_key_value(&wanted);
        let (subject, life) = known.or_else(|| self.quiet.get_key_value(&wanted))?;
        let status = &life.status;
        if status.removed || status.unconfirmed {
            return None;
        }
        let look = status.look.as_ref()?;
        let grade = status.judged()?;
        let (item, since) = (self.item(subject)?, status.since?);
        let days = self.elapsed(subject, since).exposure.days;
        let holds = item.look_every_days.map_or(HOLDS_DAYS, f64::from);
        let lifts = look.lifts() && !status.as_told && status.patch.is_none();
        let spoken = Spoken {
            look: &look.look,
            grade,
            rise: status.rise,
            level: Level::of(item),
        };
        Some(Known {
            look,
            spoken,
            fresh: lifts && days <= holds && !self.is_in_doubt(&subject.item),
        })
    }

    /// How she lies, as far as the record tells: warm for four hours after a look at her running.
    fn lies_now(&self, history: &History, machine: &str) -> Option<Now> {
        let walks = history.walks.iter().rev();
        let mut ran = walks
            .filter(|walk| walk.machine == machine)
            .take_while(|walk| self.now - walk.at < WARM + Duration::days(1))
            .filter_map(|walk| self.seen_running(walk));
        ran.any(|at| self.now - at < WARM).then_some(Now::Warm)
    }
}
