//! The questions and causes together, with all that follows from them alone.

use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock};

use super::file::{Cause, CausesFile, Question, Says};
use super::model::Model;
use crate::checklist::Grade;

/// How many imaginary repairs the weights of the table stand for (*judgement*).
const IMAGINED: f64 = 50.0;

/// Questions and causes: ours, with an owner's on top.
#[derive(Clone, Debug)]
pub struct Causes {
    file: Arc<CausesFile>,
    pub(super) model: Arc<Model>,
}

impl Causes {
    /// What is compiled into the program, read once.
    pub fn built_in() -> &'static Causes {
        static BUILT_IN: LazyLock<Causes> = LazyLock::new(|| {
            #[expect(
                clippy::expect_used,
                reason = "the text is part of the program; tests read all of it"
            )]
            let file =
                serde_json::from_str(super::BUILT_IN).expect("the built-in causes are whole");
            Causes::of(file)
        });
        &BUILT_IN
    }

    /// These questions and causes alone.
    pub fn of(file: CausesFile) -> Causes {
        Causes {
            model: Arc::new(Model::of(&file)),
            file: Arc::new(file),
        }
    }

    /// With a checked file on top: an id known already is replaced.
    #[must_use]
    pub fn with(&self, file: &CausesFile) -> Causes {
        Causes::of(self.merged(file))
    }

    /// With what repairs have confirmed, times by cause: each counts beside fifty imaginary cases shared
    /// out by the weights (Dirichlet).
    #[must_use]
    pub fn learned(&self, confirmed: &BTreeMap<String, u32>) -> Causes {
        let all: f64 = self.causes().iter().map(|cause| cause.weight).sum();
        let mut file = CausesFile::clone(&self.file);
        for cause in &mut file.causes {
            let times = confirmed.get(&cause.id).copied().unwrap_or(0);
            cause.weight = IMAGINED * cause.weight / all + f64::from(times);
        }
        Causes::of(file)
    }

    pub(super) fn merged(&self, file: &CausesFile) -> CausesFile {
        let mut all = CausesFile::clone(&self.file);
        for new in &file.questions {
            match all.questions.iter_mut().find(|known| known.id == new.id) {
                Some(known) => known.clone_from(new),
                None => all.questions.push(new.clone()),
            }
        }
        for new in &file.causes {
            match all.causes.iter_mut().find(|known| known.id == new.id) {
                Some(known) => known.clone_from(new),
                None => all.causes.push(new.clone()),
            }
        }
        all
    }

    /// The questions, in the order of the file.
    pub fn questions(&self) -> &[Question] {
        &self.file.questions
    }

    /// The causes, in the order of the file.
    pub fn causes(&self) -> &[Cause] {
        &self.file.causes
    }

    /// The questions that a look at an item leaves open: its rung is one of several answers.
    pub fn asked_at<'c>(&'c self, item: &str, grade: Grade) -> impl Iterator<Item = &'c Question> {
        self.questions().iter().filter(move |question| {
            let by = question.by_item(item);
            by.is_some_and(|by| by.says(grade) == Says::Which)
        })
    }

    /// The question of an id, with its place in the file.
    pub fn question(&self, id: &str) -> Option<(usize, &Question)> {
        let mut questions = self.questions().iter().enumerate();
        questions.find(|(_, question)| question.id == id)
    }
}
