//! What a look may say beside its rung: answers to the questions that the rung leaves open.

use crate::causes::{OK, Question};
use crate::checklist::Grade;
use crate::defects::admit::Fault;
use crate::defects::condition::Condition;
use crate::text::safe_line;
use crate::walk::Look;

impl Condition {
    /// The questions that a look leaves open: its rung is one of several answers, and it gave none.
    pub fn left_open_by<'c>(&'c self, look: &Look) -> Vec<&'c Question> {
        let Some(grade) = look.grade() else {
            return Vec::new();
        };
        let asked = self.causes().asked_at(&look.item, grade);
        asked.filter(|q| !look.signs.contains_key(&q.id)).collect()
    }

    /// Faults of what a look says beside its rung.
    pub(in crate::defects) fn sign_faults(&self, look: &Look) -> Vec<Fault> {
        // Most looks say nothing, and the causes are not even read for them.
        let signs = look.signs.iter();
        let faults = signs.filter_map(|(question, answer)| {
            let why = self.sign_fault(look, question, answer)?;
            Some((format!("signs.{}", safe_line(question)), why))
        });
        faults.collect()
    }

    fn sign_fault(&self, look: &Look, question: &str, answer: &str) -> Option<String> {
        let causes = self.causes();
        let item = safe_line(&look.item);
        let asked = || {
            let of_item = causes.questions().iter();
            let of_item = of_item.filter(|q| q.by_item(&look.item).is_some());
            let ids: Vec<&str> = of_item.map(|q| q.id.as_str()).collect();
            match ids.is_empty() {
                true => format!("nothing more is asked at {item}"),
                false => format!("at {item} is asked {}", ids.join(", ")),
            }
        };
        let of_item = causes.question(question).map(|(_, q)| q);
        let Some(asks) = of_item.filter(|q| q.by_item(&look.item).is_some()) else {
            return Some(format!("no such question; {}", asked()));
        };
        if answer == OK {
            return None;
        }
        if asks.reply(answer).is_none() {
            let known = asks.answers.iter().map(|reply| reply.id.as_str());
            let known: Vec<&str> = [OK].into_iter().chain(known).collect();
            let known = known.join(", ");
            return Some(format!(
                "'{}' is no answer to it; known are {known}",
                safe_line(answer)
            ));
        }
        let says_ok = asks.by_item(&look.item).is_some_and(|by| by.sound);
        let sound = look.grade() == Some(Grade::Sound) && says_ok;
        sound.then(|| {
            format!("it was graded sound, and '{answer}' is not normal; mend one of the two")
        })
    }
}
