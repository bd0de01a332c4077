//! How answers follow from causes: a leaky noisy-OR for each question, and every way in which none, one or
//! two of the causes hold, or one that is not on the list.

use super::file::CausesFile;
use super::words::Alone;

/// The chance that a walk with findings hides any of the causes (*judgement*; it nearly cancels).
const ANY: f64 = 0.30;
/// The weight of what is not on the list, set against none (*judgement*).
const UNLISTED: f64 = 0.1 * ANY / 0.9;
/// No answer is rarer than this with none of the causes (*judgement*).
const RAREST: f64 = 1e-4;
/// The same of what happened lately (*judgement*): it happens to sound boats.
const RAREST_EVENT: f64 = 0.05;
/// How often a part that is the cause is failing or failed when it is looked at (*judgement*).
const PART_SHOWS: f64 = 0.90;

/// What holds, causes by their place in the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Held {
    /// None of the causes: each finding stands alone.
    Nothing,
    /// One cause.
    One(usize),
    /// Two, the earlier first.
    Two(usize, usize),
    /// Something that is not on the list.
    Unlisted,
}

impl Held {
    /// Whether a cause is among it.
    pub fn has(self, cause: usize) -> bool {
        match self {
            Held::One(one) => one == cause,
            Held::Two(one, two) => one == cause || two == cause,
            Held::Nothing | Held::Unlisted => false,
        }
    }
}

/// What was said to a question, as far as the model knows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// This answer, by its place; the normal one comes last.
    Answer(usize),
    /// Not normal, and not said how.
    Abnormal,
}

/// The chance that something shows, where it shows by itself so often and each of these brings it about so
/// often, independently: a leaky noisy-OR.
pub fn shows(leak: f64, strengths: impl IntoIterator<Item = f64>) -> f64 {
    let hidden = |hidden: f64, strength: f64| hidden * (1.0 - strength);
    1.0 - strengths.into_iter().fold(1.0 - leak, hidden)
}

/// The chances of the answers from how often each alone would show; the normal one comes last. They sum
/// to 1, and with one answer this is the noisy-OR itself.
pub fn answers(shown: &[f64]) -> Vec<f64> {
    let ok: f64 = shown.iter().map(|s| 1.0 - s).product();
    let sum: f64 = shown.iter().sum();
    let share = |s: &f64| if sum > 0.0 { (1.0 - ok) * s / sum } else { 0.0 };
    shown.iter().map(share).chain([ok]).collect()
}

/// The chances of a question's answers under everything that can hold.
#[derive(Clone, Debug)]
pub(super) struct Table {
    /// For each cause 0 where it has no sign here, else its row, from 1.
    rows: Vec<usize>,
    /// Rows with the one of no sign.
    wide: usize,
    /// The answers, the normal one included.
    pub outcomes: usize,
    /// By row of the one cause, row of the other, answer.
    chances: Vec<f64>,
    unlisted: Vec<f64>,
}

impl Table {
    /// From the strength of each sign (cause, answer, chance), how often each answer stands alone, and the
    /// chance of each cause.
    pub fn of(signs: &[(usize, usize, f64)], leaks: &[f64], causes: &[f64]) -> Table {
        let mut rows = vec![0; causes.len()];
        let mut strengths = vec![vec![0.0; leaks.len()]];
        for &(cause, answer, strength) in signs {
            if rows[cause] == 0 {
                rows[cause] = strengths.len();
                strengths.push(vec![0.0; leaks.len()]);
            }
            strengths[rows[cause]][answer] = strength;
        }
        let wide = strengths.len();
        let mut chances = Vec::with_capacity(wide * wide * (leaks.len() + 1));
        for one in &strengths {
            for two in &strengths {
                let shown = |n: usize| shows(leaks[n], [one[n], two[n]]);
                let shown: Vec<f64> = (0..leaks.len()).map(shown).collect();
                chances.extend(answers(&shown));
            }
        }
        let mut table = Table {
            rows,
            wide,
            outcomes: leaks.len() + 1,
            chances,
            unlisted: Vec::new(),
        };
        table.unlisted = table.average(causes);
        table
    }

    /// The answers of a single cause, averaged over the causes by their chances.
    fn average(&self, causes: &[f64]) -> Vec<f64> {
        let mut average = vec![0.0; self.outcomes];
        let all: f64 = causes.iter().sum();
        for (cause, chance) in causes.iter().enumerate() {
            let of = self.all(Held::One(cause));
            average
                .iter_mut()
                .zip(of)
                .for_each(|(a, c)| *a += c * chance / all);
        }
        average
    }

    /// The rows of what holds; the same for all that brings about the same answers. None for what is not
    /// on the list.
    pub fn cell(&self, held: Held) -> Option<(usize, usize)> {
        match held {
            Held::Nothing => Some((0, 0)),
            Held::One(one) => Some((self.rows[one], 0)),
            Held::Two(one, two) => Some((self.rows[one], self.rows[two])),
            Held::Unlisted => None,
        }
    }

    /// The chances of all answers, the normal one last.
    pub fn all(&self, held: Held) -> &[f64] {
        let Some((one, two)) = self.cell(held) else {
            return &self.unlisted;
        };
        let from = (one * self.wide + two) * self.outcomes;
        &self.chances[from..from + self.outcomes]
    }

    /// The chance of what was said.
    pub fn given(&self, held: Held, said: Outcome) -> f64 {
        let all = self.all(held);
        match said {
            Outcome::Answer(n) => all[n],
            Outcome::Abnormal => 1.0 - all[self.outcomes - 1],
        }
    }

    /// Whether a cause has a sign here.
    pub fn has_sign_of(&self, cause: usize) -> bool {
        self.rows[cause] > 0
    }
}

/// All that follows from a table of causes before anything is seen.
#[derive(Debug)]
pub(super) struct Model {
    /// Chance of each cause beforehand.
    pub chances: Vec<f64>,
    /// Everything that can hold.
    pub held: Vec<Held>,
    /// Its weight beforehand.
    pub priors: Vec<f64>,
    /// One for each question.
    pub tables: Vec<Table>,
}

impl Model {
    pub fn of(file: &CausesFile) -> Model {
        let all: f64 = file.causes.iter().map(|cause| cause.weight).sum();
        let chances = file.causes.iter().map(|cause| cause.weight / all * ANY);
        let chances: Vec<f64> = chances.collect();
        let held = every_way(chances.len());
        let none: f64 = chances.iter().map(|chance| 1.0 - chance).product();
        let odds = |cause: usize| chances[cause] / (1.0 - chances[cause]);
        let prior = |held: &Held| match *held {
            Held::Nothing => none,
            Held::One(one) => none * odds(one),
            Held::Two(one, two) => none * odds(one) * odds(two),
            Held::Unlisted => UNLISTED,
        };
        let priors = held.iter().map(prior).collect();
        let tables = file.questions.iter().map(|question| {
            let signs = file.causes.iter().enumerate().flat_map(|(n, cause)| {
                let here = cause
                    .signs
                    .iter()
                    .filter(|sign| sign.question == question.id);
                here.filter_map(move |sign| {
                    let answer = question.answers.iter().position(|a| a.id == sign.answer)?;
                    Some((n, answer, sign.strength.chance()))
                })
            });
            let signs: Vec<_> = signs.collect();
            let rarest = if question.event { RAREST_EVENT } else { RAREST };
            let leaks = question
                .answers
                .iter()
                .enumerate()
                .map(|(n, reply)| leak(&signs, n, reply.alone, &chances, rarest));
            Table::of(&signs, &leaks.collect::<Vec<_>>(), &chances)
        });
        Model {
            tables: tables.collect(),
            chances,
            held,
            priors,
        }
    }

    /// The table of a part that was looked at, for the causes whose part it is: its one answer beside sound
    /// is that it is failing or failed.
    pub fn part(&self, causes: impl Iterator<Item = usize>) -> Table {
        let signs: Vec<_> = causes.map(|cause| (cause, 0, PART_SHOWS)).collect();
        let leak = leak(&signs, 0, Alone::Middling, &self.chances, RAREST);
        Table::of(&signs, &[leak], &self.chances)
    }
}

/// How often an answer is given with none of the causes: set against how often a cause brings it about.
fn leak(
    signs: &[(usize, usize, f64)],
    answer: usize,
    alone: Alone,
    causes: &[f64],
    rarest: f64,
) -> f64 {
    let here = signs.iter().filter(|(_, n, _)| *n == answer);
    let brought: f64 = here
        .map(|(cause, _, strength)| causes[*cause] * strength)
        .sum();
    (alone.share() * brought).clamp(rarest, 1.0 - rarest)
}

/// None, each cause, each pair, and what is not on the list.
fn every_way(causes: usize) -> Vec<Held> {
    let pairs = (0..causes).flat_map(|one| (one + 1..causes).map(move |two| Held::Two(one, two)));
    [Held::Nothing]
        .into_iter()
        .chain((0..causes).map(Held::One))
        .chain(pairs)
        .chain([Held::Unlisted])
        .collect()
}
