//! Answers compared, and what broke the law.

use std::collections::BTreeMap;
use std::time::Instant;

use super::oracle::Answer;

/// Breaches shown in full; the rest are counted.
const SHOWN: usize = 12;

/// What came of many answers.
pub struct Count {
    name: &'static str,
    began: Instant,
    pub compared: usize,
    /// Not as the intact ones, and said.
    differed: usize,
    /// By kind, of losses of which nothing on the disk can tell.
    pub undetectable: BTreeMap<&'static str, usize>,
    breaches: Vec<String>,
}

impl Count {
    pub fn new(name: &'static str) -> Count {
        Count {
            name,
            began: Instant::now(),
            compared: 0,
            differed: 0,
            undetectable: BTreeMap::new(),
            breaches: Vec::new(),
        }
    }

    /// Holds an answer against the intact one. `untold` names the kind of loss of which nothing
    /// here can tell; nothing where the law has to hold.
    pub fn law(
        &mut self,
        answer: &Answer,
        intact: &Answer,
        untold: Option<&'static str>,
        what: impl Fn() -> String,
    ) {
        self.compared += 1;
        self.differed += usize::from(answer.says_so());
        match (answer.breach(intact), untold) {
            (Some(_), Some(kind)) => *self.undetectable.entry(kind).or_default() += 1,
            (Some(breach), None) => self.breaches.push(format!("{}: {breach}", what())),
            (None, _) => {}
        }
    }

    /// Two answers that have to be one.
    pub fn equal(&mut self, answer: &Answer, intact: &Answer, what: impl Fn() -> String) {
        self.compared += 1;
        if answer != intact {
            let other = format!("{}: {answer:?}\n  is not\n  {intact:?}", what());
            self.breaches.push(other);
        }
    }

    /// Something else that has to hold of an answer.
    pub fn holds(&mut self, holds: bool, what: impl Fn() -> String) {
        self.compared += 1;
        if !holds {
            self.breaches.push(what());
        }
    }

    /// The counts in one line, and no breach.
    pub fn tell(self, at_least: usize) {
        let seconds = self.began.elapsed().as_secs_f32();
        let undetectable: usize = self.undetectable.values().sum();
        println!(
            "{}: {} answers compared, {} differed and said so, {undetectable} undetectable {:?}, {} broke the law, {seconds:.1} s",
            self.name,
            self.compared,
            self.differed,
            self.undetectable,
            self.breaches.len()
        );
        let shown: Vec<&str> = self
            .breaches
            .iter()
            .take(SHOWN)
            .map(String::as_str)
            .collect();
        assert!(
            self.breaches.is_empty(),
            "{}: {} breaches:\n{}",
            self.name,
            self.breaches.len(),
            shown.join("\n")
        );
        assert!(
            self.compared >= at_least,
            "{}: {} are too few",
            self.name,
            self.compared
        );
    }
}
