//! What a look may say beside its rung: answers to the questions that the rung leaves open.

use super::says::by_figure;
use crate::causes::{ByItem, Causes, OK, Question, Says};
use crate::checklist::Grade;
use crate::defects::admit::Fault;
use crate::defects::condition::Condition;
use crate::text::safe_line;
use crate::walk::{Look, Signs};

/// What signs say, in words: what each question looks at, and the answer without its full stop. Of a
/// question or an answer not known here the id.
pub fn in_words(causes: &Causes, signs: &Signs) -> Vec<(String, String)> {
    let told = signs.iter().map(|(id, answer)| {
        let Some((_, question)) = causes.question(id) else {
            return (safe_line(id).into_owned(), safe_line(answer).into_owned());
        };
        let words = match question.reply(answer) {
            Some(reply) => bare(&reply.words),
            None if answer == OK => bare(&question.ok),
            None => answer,
        };
        (
            safe_line(&question.title).into_owned(),
            safe_line(words).into_owned(),
        )
    });
    told.collect()
}

/// The same, each in one line.
pub fn lines(causes: &Causes, signs: &Signs) -> Vec<String> {
    let told = in_words(causes, signs).into_iter();
    told.map(|(what, words)| format!("{what}: {words}"))
        .collect()
}

/// A sentence without its full stop.
pub fn bare(sentence: &str) -> &str {
    sentence.trim_end_matches('.')
}

/// True where an answer goes with a rung that was given after it. The normal answer goes with no rung that
/// calls for a kind, and no other one with sound.
pub fn fits(by: &ByItem, grade: Grade, answer: &str) -> bool {
    match by.says(grade) {
        _ if grade == Grade::Sound => answer == OK,
        Says::Nothing => true,
        Says::Ok => answer == OK,
        Says::Answer(own) => answer == own,
        Says::Which => answer != OK,
    }
}

/// Takes out of signs what does not go with an item at a rung; what went, in words.
pub fn keep_fitting(causes: &Causes, item: &str, grade: Grade, signs: &mut Signs) -> Vec<String> {
    let fitting = |question: &String, answer: &String| {
        let asks = causes.question(question).map(|(_, asks)| asks);
        let asks = asks.filter(|asks| answer == OK || asks.reply(answer).is_some());
        let by = asks.and_then(|asks| asks.by_item(item));
        by.is_some_and(|by| fits(by, grade, answer))
    };
    let (kept, gone): (Signs, Signs) = std::mem::take(signs)
        .into_iter()
        .partition(|(question, answer)| fitting(question, answer));
    *signs = kept;
    lines(causes, &gone)
}

impl Condition {
    /// The questions that a look leaves open: its rung is one of several answers, and it gave none. What
    /// the figure of a level says by itself is not asked.
    pub fn left_open_by<'c>(&'c self, look: &Look) -> Vec<&'c Question> {
        // Most looks are sound, and the causes are not even read for them.
        let grade = look.grade().filter(|grade| *grade > Grade::Sound);
        let Some(grade) = grade else {
            return Vec::new();
        };
        let says_itself = |q: &Question| {
            let by = q.by_item(&look.item);
            by.is_some_and(|by| by_figure(by, look, true).is_some())
        };
        let asked = self.causes().asked_at(&look.item, grade);
        asked
            .filter(|q| !look.signs.contains_key(&q.id) && !says_itself(q))
            .collect()
    }

    /// True where some rung of an item is one of several answers.
    pub fn asks_kind_of(&self, item: &str) -> bool {
        let mut asked = self.causes().questions().iter();
        asked.any(|asks| {
            let by = asks.by_item(item);
            by.is_some_and(|by| Grade::ALL.iter().any(|g| by.says(*g) == Says::Which))
        })
    }

    /// What signs say, each in one line of words.
    pub fn sign_lines(&self, signs: &Signs) -> Vec<String> {
        match signs.is_empty() {
            true => Vec::new(),
            false => lines(self.causes(), signs),
        }
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
