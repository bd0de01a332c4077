//! What is said of findings: causes in order, what is dangerous, which look is next, and when to be silent.

use super::belief::trying_order;
use super::file::{Cause, Question, Reply, Sign};
use super::looks::{Counted, Seen};
use super::model::{Held, Outcome};
use super::offers::{Offers, candidates, forbidden, offers};
use super::reckon::Reckoned;
use super::table::Causes;
use super::words::{Alone, Standing, Strength};
use super::{LIKELY, POSSIBLE, REMAINS, STRONG};
use crate::checklist::Catalogue;

/// Nothing is said unasked of a cause with a smaller chance (*judgement*).
const SPEAKS_FROM: f64 = 0.35;
/// Nor of one that was not raised so many times (*judgement*).
const SPEAKS_RAISED: f64 = 5.0;
/// Two causes at once are told from this chance of the pair (*judgement*).
const PAIR: f64 = 0.25;
/// Or from this chance of each, where the pair is likelier than either alone (*judgement*).
const EITHER: f64 = 0.40;

/// What was seen, judged.
#[derive(Clone, Debug)]
pub struct Judged<'c> {
    /// The chances and the arithmetic.
    pub reckoned: Reckoned<'c>,
    /// All causes, likeliest first.
    pub candidates: Vec<Candidate<'c>>,
    /// What is said first.
    pub headline: Headline,
    /// Two causes that seem to hold at once.
    pub both: Option<(&'c Cause, &'c Cause)>,
    /// Dangerous causes that are not ruled out, likeliest first.
    pub dangers: Vec<Danger<'c>>,
    /// What answers order by themselves, whatever is behind them.
    pub orders: Vec<&'c str>,
    /// What to look at next.
    pub offers: Offers<'c>,
    /// Where no look is left that tells them apart: the causes whose parts are to be looked at themselves,
    /// in the order that takes least time.
    pub trying: Vec<&'c Cause>,
    /// True where it is worth saying unasked.
    pub speaks: bool,
}

/// A cause and how it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate<'c> {
    /// The cause.
    pub cause: &'c Cause,
    /// Its place in the table.
    pub place: usize,
    /// Its chance.
    pub chance: f64,
    /// The same in the words that are shown.
    pub standing: Standing,
    /// Looks that speak for it, by their place among those that count.
    pub speaks_for: Vec<usize>,
    /// Looks that speak against it.
    pub speaks_against: Vec<usize>,
    /// True where its stop words are said: a stop of its own part or of a sign of it is in force.
    pub in_force: bool,
}

/// What the findings come to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Headline {
    /// Each may stand alone.
    Alone,
    /// Nothing on the list explains all of it.
    Unlisted,
    /// The first candidate, as its standing says.
    First,
    /// So many candidates are near each other.
    Among(usize),
}

/// A dangerous cause that is not ruled out.
#[derive(Clone, Debug, PartialEq)]
pub struct Danger<'c> {
    /// The cause.
    pub cause: &'c Cause,
    /// How it stands.
    pub standing: Standing,
    /// The look that can rule it out; none where there is none that may be made now.
    pub look: Option<&'c Question>,
    /// True where its stop words are said.
    pub in_force: bool,
    /// True where it is said unasked: two findings speak for it, or one that hardly ever stands alone. One
    /// everyday sign makes nobody afraid of a morning.
    pub unasked: bool,
}

impl<'c> Judged<'c> {
    /// The dangers that are said unasked.
    pub fn unasked(&self) -> impl Iterator<Item = &Danger<'c>> {
        self.dangers.iter().filter(|danger| danger.unasked)
    }
}

impl Causes {
    /// Judges what was seen.
    pub fn judge(&self, seen: &Seen) -> Judged<'_> {
        let reckoned = Reckoned::of(self, seen);
        let mut all: Vec<Candidate<'_>> = self
            .causes()
            .iter()
            .enumerate()
            .map(|(place, cause)| candidate(&reckoned, seen, place, cause))
            .collect();
        all.sort_by(|a, b| b.chance.total_cmp(&a.chance));
        let (offers, dangers) = with_dangers(&reckoned, seen, &all);
        Judged {
            headline: headline(&reckoned, &all),
            both: both(&reckoned, &all),
            trying: if offers.best.is_empty() {
                trying(&reckoned)
            } else {
                Vec::new()
            },
            orders: orders(&reckoned),
            speaks: speaks(&reckoned, &all),
            dangers,
            offers,
            candidates: all,
            reckoned,
        }
    }
}

impl<'c> Reckoned<'c> {
    /// What was answered, where it is an answer of the question's own.
    pub(super) fn reply(&self, look: &Counted) -> Option<&'c Reply> {
        let question = &self.causes.questions()[look.question?];
        match look.said {
            Outcome::Answer(n) => question.answers.get(n),
            Outcome::Abnormal => None,
        }
    }

    /// True for what was found; what happened lately speaks for a cause and is no finding.
    fn is_found(&self, look: &Counted) -> bool {
        let question = look.question.map(|n| &self.causes.questions()[n]);
        look.is_finding && question.is_none_or(|question| !question.event)
    }

    /// How strongly a cause has what was answered as its sign; none where it has not.
    fn strength(&self, look: &Counted, cause: &Cause) -> Option<Strength> {
        let question = &self.causes.questions()[look.question?];
        let reply = self.reply(look)?;
        let is_it = |s: &&Sign| s.question == question.id && s.answer == reply.id;
        cause.signs.iter().find(is_it).map(|sign| sign.strength)
    }

    /// Whether one of the looks that tell a cause apart was made and showed its sign, or showed nothing.
    fn told_apart(&self, cause: &Cause, shown: bool) -> bool {
        self.looks.iter().any(|look| {
            let question = look
                .question
                .map(|n| self.causes.questions()[n].id.as_str());
            let tells = question.is_some_and(|id| cause.looks.iter().any(|look| look == id));
            let fits = match shown {
                true => self.strength(look, cause).is_some(),
                false => !look.is_finding,
            };
            tells && fits
        })
    }
}

fn candidate<'c>(of: &Reckoned<'c>, seen: &Seen, place: usize, cause: &'c Cause) -> Candidate<'c> {
    let chance = of.chances[place];
    let (speaks_for, speaks_against) = of.speaking(place);
    let stopped = |look: &Counted| {
        of.strength(look, cause).is_some() && of.reply(look).is_some_and(|r| r.stop.is_some())
    };
    let in_force = cause.order.is_some()
        && (cause.parts.iter().any(|part| seen.stops.contains(part))
            || of.looks.iter().any(stopped));
    let is_seen = |look: &Counted| of.strength(look, cause) == Some(Strength::AlmostAlways);
    let part = seen
        .parts
        .iter()
        .any(|look| cause.parts.contains(&look.item));
    let sure = part || of.looks.iter().any(is_seen);
    let standing = match chance {
        _ if chance < REMAINS => Standing::Unlikely,
        _ if chance < POSSIBLE => Standing::NotRuledOut,
        // Only taking apart proves it: no more is said before its own look was made.
        _ if chance < LIKELY || (cause.stripping && !of.told_apart(cause, true)) => Standing::MayBe,
        _ if chance >= STRONG && sure => Standing::PointsStrongly,
        _ => Standing::MostLikely,
    };
    Candidate {
        cause,
        place,
        chance,
        standing,
        speaks_for,
        speaks_against,
        in_force,
    }
}

fn headline(of: &Reckoned<'_>, all: &[Candidate<'_>]) -> Headline {
    let first = all.first();
    let chance = first.map_or(0.0, |first| first.chance);
    if of.alone >= chance && of.alone >= of.unlisted {
        return Headline::Alone;
    }
    if of.unlisted > chance {
        return Headline::Unlisted;
    }
    let is_likely = first.is_some_and(|first| first.standing <= Standing::MostLikely);
    match all.iter().filter(|near| near.chance >= POSSIBLE).count() {
        _ if is_likely => Headline::First,
        near @ 2.. => Headline::Among(near),
        _ if chance >= SPEAKS_FROM => Headline::First,
        _ => Headline::Unlisted,
    }
}

/// Two causes at once: the pair is likely by itself; or both are, and the pair is likelier than either
/// alone, so that they do not stand for one another.
fn both<'c>(of: &Reckoned<'c>, all: &[Candidate<'c>]) -> Option<(&'c Cause, &'c Cause)> {
    let (one, two, chance) = of.best_pair()?;
    let alone = of
        .chance_of(Held::One(one))
        .max(of.chance_of(Held::One(two)));
    let likely = all.iter().filter(|c| c.chance >= EITHER).map(|c| c.place);
    let likely: Vec<usize> = likely.collect();
    let overlap = likely.contains(&one) && likely.contains(&two) && chance > alone;
    let named = |n: usize| &of.causes.causes()[n];
    (chance >= PAIR || overlap).then(|| (named(one), named(two)))
}

/// The candidates with parts, in the order of chance for each second of looking at the parts.
fn trying<'c>(of: &Reckoned<'c>) -> Vec<&'c Cause> {
    let catalogue = Catalogue::built_in();
    let all = of.causes.causes();
    let seconds = |cause: &Cause| -> u32 {
        let parts = cause.parts.iter().filter_map(|part| catalogue.item(part));
        parts.map(|item| item.seconds).sum()
    };
    let parts = candidates(of).into_iter().map(|n| (of.chances[n], &all[n]));
    let parts: Vec<_> = parts.filter(|(_, cause)| seconds(cause) > 0).collect();
    let worth: Vec<_> = parts
        .iter()
        .map(|(chance, cause)| (*chance, f64::from(seconds(cause))))
        .collect();
    trying_order(&worth)
        .into_iter()
        .map(|n| parts[n].1)
        .collect()
}

fn orders<'c>(of: &Reckoned<'c>) -> Vec<&'c str> {
    let replies = of.looks.iter().filter_map(|look| of.reply(look));
    replies.filter_map(|reply| reply.stop.as_deref()).collect()
}

/// Two findings, or one that a cause almost always shows and that hardly ever stands alone; and a cause
/// that is likely enough and was raised enough.
fn speaks(of: &Reckoned<'_>, all: &[Candidate<'_>]) -> bool {
    let findings = of.looks.iter().filter(|look| of.is_found(look));
    let telling = |look: &Counted| {
        let by_itself = of
            .reply(look)
            .is_some_and(|reply| reply.alone == Alone::HardlyEver);
        let causes = of.causes.causes().iter();
        let mut strengths = causes.map(|cause| of.strength(look, cause));
        by_itself && strengths.any(|strength| strength == Some(Strength::AlmostAlways))
    };
    let enough = findings.clone().count() >= 2 || findings.clone().any(telling);
    let raised = all.first().is_some_and(|first| {
        let before = of.causes.model.chances[first.place];
        first.chance >= SPEAKS_FROM && first.chance >= SPEAKS_RAISED * before
    });
    enough && raised
}

/// Whether so much speaks for a dangerous cause that it is said unasked.
fn is_weighty(of: &Reckoned<'_>, candidate: &Candidate<'_>) -> bool {
    let looks = candidate.speaks_for.iter().map(|n| &of.looks[*n]);
    let findings: Vec<_> = looks.filter(|look| of.is_found(look)).collect();
    let rare = |look: &&Counted| match of.reply(look) {
        Some(reply) => reply.alone == Alone::HardlyEver,
        // The part itself is failing.
        None => look.question.is_none(),
    };
    findings.len() >= 2 || findings.iter().any(rare)
}

/// The looks offered, with the one that can rule out what is dangerous among them.
fn with_dangers<'c>(
    of: &Reckoned<'c>,
    seen: &Seen,
    all: &[Candidate<'c>],
) -> (Offers<'c>, Vec<Danger<'c>>) {
    let mut offers = offers(of, seen);
    let raised = candidates(of);
    let dangerous = all.iter().filter(|candidate| {
        let possible = candidate.chance >= REMAINS && raised.contains(&candidate.place);
        candidate.cause.order.is_some() && possible && !of.told_apart(candidate.cause, false)
    });
    let mut dangers = Vec::new();
    for candidate in dangerous {
        let mut looks = candidate.cause.looks.iter();
        let look = looks.find_map(|id| {
            let (n, question) = of.causes.question(id)?;
            let open = of.looks.iter().all(|look| look.question != Some(n));
            let free = forbidden(of, &raised, question, seen).is_none();
            (open && free).then_some(question)
        });
        dangers.push(Danger {
            cause: candidate.cause,
            standing: candidate.standing,
            look,
            in_force: candidate.in_force,
            unasked: is_weighty(of, candidate),
        });
    }
    for look in dangers.iter().filter_map(|danger| danger.look) {
        offers.add(of, &raised, look);
    }
    (offers, dangers)
}
