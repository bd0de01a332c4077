//! Which look tells most for the time it takes, and what may not be done for it now.

use super::belief::gain;
use super::file::{Cause, Question};
use super::looks::{Counted, Seen};
use super::model::Held;
use super::reckon::Reckoned;
use super::words::{Act, Now};

/// The most causes that looks are weighed between.
const MOST_CANDIDATES: usize = 8;
/// A candidate has this chance at least.
const LEAST_CHANCE: f64 = 0.03;
/// And so many times its chance beforehand.
const RAISED: f64 = 2.0;
/// So many looks are offered.
const OFFERED: usize = 3;
/// A look offered tells this much at least, bits.
const LEAST_BITS: f64 = 0.05;
/// Added to the seconds of every look: going there and back (*judgement*).
const ON_THE_WAY: f64 = 20.0;

/// A look that would tell something.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer<'c> {
    /// What is looked at.
    pub question: &'c Question,
    /// How much it tells on average, bits.
    pub bits: f64,
    /// What each answer would point to, in the order of the question, the normal one last.
    pub meanings: Vec<Meaning<'c>>,
}

impl Offer<'_> {
    fn worth(&self) -> f64 {
        self.bits / (f64::from(self.question.seconds) + ON_THE_WAY)
    }
}

/// What an answer would point to.
#[derive(Clone, Debug, PartialEq)]
pub struct Meaning<'c> {
    /// The answer in words.
    pub words: &'c str,
    /// The causes it would leave in front, the likeliest first; none where none would be.
    pub causes: Vec<&'c Cause>,
}

/// A look that would be offered and may not be made now.
#[derive(Clone, Debug, PartialEq)]
pub struct Withheld<'c> {
    /// What would be looked at.
    pub question: &'c Question,
    /// Why not now, a sentence without a full stop.
    pub why: String,
}

/// What can be looked at next.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Offers<'c> {
    /// The best looks for their time, best first; under way those from helm and hatch before all.
    pub best: Vec<Offer<'c>>,
    /// The look that tells most whatever it takes, where it is not among them.
    pub surest: Option<Offer<'c>>,
    /// Those that are left out, and why.
    pub withheld: Vec<Withheld<'c>>,
}

impl<'c> Offers<'c> {
    /// Puts a look among those offered, however much it tells.
    pub(super) fn add(&mut self, of: &Reckoned<'c>, candidates: &[usize], look: &Question) {
        let known = self.best.iter().any(|offer| offer.question.id == look.id);
        self.surest.take_if(|surest| surest.question.id == look.id);
        let place = of.causes.question(&look.id).filter(|_| !known);
        self.best
            .extend(place.map(|(n, _)| weighed(of, candidates, n)));
    }
}

/// The causes worth telling apart, by their places, likeliest first.
pub(super) fn candidates(of: &Reckoned<'_>) -> Vec<usize> {
    let before = &of.causes.model.chances;
    let mut all: Vec<usize> = (0..of.chances.len())
        .filter(|n| of.chances[*n] >= LEAST_CHANCE && of.chances[*n] >= RAISED * before[*n])
        .collect();
    all.sort_by(|a, b| of.chances[*b].total_cmp(&of.chances[*a]));
    all.truncate(MOST_CANDIDATES);
    all
}

/// Weighs every look that was not made.
pub(super) fn offers<'c>(of: &Reckoned<'c>, seen: &Seen) -> Offers<'c> {
    let candidates = candidates(of);
    if candidates.is_empty() {
        return Offers::default();
    }
    let mut found = Vec::new();
    let mut withheld = Vec::new();
    for (n, question) in of.causes.questions().iter().enumerate() {
        if question.event || of.looks.iter().any(|look| look.question == Some(n)) {
            continue;
        }
        let offer = weighed(of, &candidates, n);
        if offer.bits < LEAST_BITS {
            continue;
        }
        match forbidden(of, &candidates, question, seen) {
            None => found.push(offer),
            Some(why) => withheld.push((offer.worth(), Withheld { question, why })),
        }
    }
    let helm_first = seen.now == Some(Now::UnderWay);
    found.sort_by(|a: &Offer<'_>, b| {
        let far = |offer: &Offer<'_>| helm_first && !offer.question.at_helm;
        far(a).cmp(&far(b)).then(b.worth().total_cmp(&a.worth()))
    });
    let most = found
        .iter()
        .enumerate()
        .max_by(|a, b| a.1.bits.total_cmp(&b.1.bits));
    let surest = most
        .filter(|(n, _)| *n >= OFFERED)
        .map(|(_, offer)| offer.clone());
    let least = found
        .iter()
        .take(OFFERED)
        .map(Offer::worth)
        .fold(f64::INFINITY, f64::min);
    let least = if found.len() < OFFERED { 0.0 } else { least };
    found.truncate(OFFERED);
    withheld.retain(|(worth, _)| *worth >= least);
    withheld.sort_by(|a, b| b.0.total_cmp(&a.0));
    withheld.truncate(OFFERED);
    Offers {
        best: found,
        surest,
        withheld: withheld.into_iter().map(|(_, withheld)| withheld).collect(),
    }
}

/// What a look would tell.
fn weighed<'c>(of: &Reckoned<'c>, candidates: &[usize], n: usize) -> Offer<'c> {
    let joint = joint(of, candidates, n);
    let question = &of.causes.questions()[n];
    let words = question
        .answers
        .iter()
        .map(|reply| &reply.words)
        .chain([&question.ok]);
    let meanings = words.enumerate().map(|(answer, words)| Meaning {
        words,
        causes: pointed(of, candidates, &joint, answer),
    });
    Offer {
        question,
        bits: gain(&joint),
        meanings: meanings.collect(),
    }
}

/// How many groups there are: none, not on the list, and every set of at most two candidates.
fn groups(candidates: usize) -> usize {
    2 + (candidates + 1) * (candidates + 1)
}

/// The group of what holds: by which candidates are among it. `rank` is 0 for what is no candidate.
fn group(held: Held, rank: &[usize], candidates: usize) -> usize {
    let of = |one: usize, two: usize| 2 + one.min(two) * (candidates + 1) + one.max(two);
    match held {
        Held::Nothing => 0,
        Held::Unlisted => 1,
        Held::One(one) => of(rank[one], 0),
        Held::Two(one, two) => of(rank[one], rank[two]),
    }
}

/// Weights of group and answer together.
pub(super) fn joint(of: &Reckoned<'_>, candidates: &[usize], question: usize) -> Vec<Vec<f64>> {
    let model = &of.causes.model;
    let table = &model.tables[question];
    let mut rank = vec![0; model.chances.len()];
    candidates
        .iter()
        .enumerate()
        .for_each(|(n, cause)| rank[*cause] = n + 1);
    let mut joint = vec![vec![0.0; table.outcomes]; groups(candidates.len())];
    // Most of what can hold has no sign here, and is added up first.
    let mut without = vec![0.0; joint.len()];
    for (held, chance) in model.held.iter().zip(of.belief.chances()) {
        let group = group(*held, &rank, candidates.len());
        if table.cell(*held) == Some((0, 0)) {
            without[group] += chance;
            continue;
        }
        let answers = table.all(*held);
        joint[group]
            .iter_mut()
            .zip(answers)
            .for_each(|(sum, answer)| *sum += chance * answer);
    }
    for (sums, chance) in joint.iter_mut().zip(without) {
        let answers = table.all(Held::Nothing);
        sums.iter_mut()
            .zip(answers)
            .for_each(|(sum, answer)| *sum += chance * answer);
    }
    joint
}

/// The candidates that an answer would leave in front.
fn pointed<'c>(
    of: &Reckoned<'c>,
    candidates: &[usize],
    joint: &[Vec<f64>],
    answer: usize,
) -> Vec<&'c Cause> {
    let side = candidates.len() + 1;
    let all: f64 = joint.iter().map(|sums| sums[answer]).sum();
    let mut chances: Vec<(f64, usize)> = candidates
        .iter()
        .enumerate()
        .map(|(n, cause)| {
            let rank = n + 1;
            let cells = (0..side).map(|other| (rank.min(other), rank.max(other)));
            let sum: f64 = cells.map(|(a, b)| joint[2 + a * side + b][answer]).sum();
            (sum / all, *cause)
        })
        .collect();
    chances.sort_by(|a, b| b.0.total_cmp(&a.0));
    let shown = chances
        .iter()
        .take(2)
        .filter(|(chance, _)| *chance >= super::POSSIBLE);
    shown
        .map(|(_, cause)| &of.causes.causes()[*cause])
        .collect()
}

/// Why a look may not be made now; none where it may.
pub(super) fn forbidden(
    of: &Reckoned<'_>,
    candidates: &[usize],
    question: &Question,
    seen: &Seen,
) -> Option<String> {
    let now = seen.now;
    let is_running = matches!(now, Some(Now::Running | Now::UnderWay));
    if question.asks_for(Act::CapOff) && now.is_some_and(|now| now != Now::Cold) {
        return Some("the cap stays on until the engine was still for four hours".to_owned());
    }
    if question.asks_for(Act::SeaSideOpen) && now == Some(Now::UnderWay) {
        return Some("under way only with a plug at hand and a second person".to_owned());
    }
    if question.asks_for(Act::UnderBoat) && is_running {
        let why = "nobody goes under the boat unless she is at rest, the key is with whoever goes, and no exhaust runs near";
        return Some(why.to_owned());
    }
    let acts = [
        (Act::Starting, "she is not cranked or started"),
        (Act::FullSpeed, "she is not run at full speed"),
    ];
    for (act, not) in acts {
        if !question.asks_for(act) || (act == Act::Starting && is_running) {
            continue;
        }
        if let Some(item) = seen.holds.as_ref().filter(|_| act == Act::Starting) {
            return Some(format!("{not} while a stop holds her: {item}"));
        }
        if let Some(look) = of.looks.iter().find(|look| forbids(of, look, act)) {
            return Some(format!("{not} after what was seen here: {}", look.what));
        }
        let causes = candidates.iter().map(|n| &of.causes.causes()[*n]);
        if let Some(cause) = causes
            .into_iter()
            .find(|cause| cause.forbids.contains(&act))
        {
            return Some(format!("{not} while it can be that {}", cause.title));
        }
    }
    None
}

fn forbids(of: &Reckoned<'_>, look: &Counted, act: Act) -> bool {
    let reply = of.reply(look);
    reply.is_some_and(|reply| reply.forbids.contains(&act))
}
