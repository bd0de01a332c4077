//! What is said of findings, in sentences: never a figure, never "the cause is".

use super::file::{Cause, Question};
use super::judge::{Candidate, Danger, Headline, Judged};
use super::looks::Counted;
use super::offers::{Meaning, Offer, Withheld};
use super::words::Standing;
use crate::checklist::Catalogue;
use crate::checklist::words::PhaseState;
use crate::text::capital;

/// So many causes that are not dangerous are told as not ruled out.
const NOT_RULED_OUT: usize = 2;
/// Said once under everything.
pub const JUDGEMENT: &str = "How strongly a sign speaks is judgement, made of published fault tables; nobody has measured rates. A cause is confirmed only by the repair and a sound look after it. The maker's handbook outranks all of this.";

/// One line: how it begins, and what it says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// The words or the dash it begins with.
    pub lead: &'static str,
    /// The rest, one or more sentences.
    pub text: String,
}

pub(super) fn line(lead: &'static str, text: impl Into<String>) -> Line {
    let text = text.into();
    Line { lead, text }
}

/// Everything that is said, part by part, in the order it is read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Said {
    /// What answers order by themselves.
    pub orders: Vec<Line>,
    /// What is dangerous and not ruled out, each by itself.
    pub dangers: Vec<SaidDanger>,
    /// What was found.
    pub found: Vec<Line>,
    /// What it comes to: a line, and the causes it names, each in one that begins with a dash.
    pub headline: Vec<Line>,
    /// Two causes that fit best at once, each with its place among those that the headline names.
    pub both: Option<[Named; 2]>,
    /// What speaks against it, and what is not ruled out besides.
    pub beside: Vec<Line>,
    /// The looks that can be made, in the order of [`Judged::looks`].
    pub looks: Vec<SaidLook>,
    /// What may not be looked at now, and what is left where no look tells the causes apart.
    pub later: Vec<Line>,
}

/// What is said of something dangerous.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaidDanger {
    /// What it is.
    pub what: Line,
    /// The look that can rule it out, or what tells it where none can be made.
    pub tells: Line,
    /// That look can be made, and is among those offered.
    pub is_look: bool,
    /// Its stop words, where they are in force.
    pub stop: Option<Line>,
}

/// What is said of a look that can be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaidLook {
    /// How its line begins.
    pub lead: &'static str,
    /// What can hurt someone or the boat there; said before it.
    pub caution: Option<String>,
    /// What is asked, with its seconds and the state of the engine.
    pub ask: String,
    /// What each answer would mean, the normal one last.
    pub meanings: Vec<SaidMeaning>,
}

/// What an answer would leave in front.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaidMeaning {
    /// The answer, a sentence.
    pub words: String,
    /// The causes; none where nothing on the list would be in front.
    pub causes: Vec<Named>,
}

/// A cause by its title, with its place among those that the headline names, where it is one of them.
pub type Named = (String, Option<usize>);

impl Said {
    /// Of what was judged.
    pub fn of(judged: &Judged<'_>) -> Said {
        let orders = judged.orders.iter().map(|order| line("STOP: ", *order));
        let mut beside = against(judged);
        beside.extend(not_ruled_out(judged));
        let mut later = withheld(&judged.offers.withheld);
        later.extend(trying(judged));
        Said {
            orders: orders.collect(),
            dangers: judged.dangers.iter().map(of_danger).collect(),
            found: findings(judged),
            headline: headline(judged),
            both: judged
                .both
                .map(|(one, two)| [one, two].map(|cause| place(judged, cause))),
            beside,
            looks: looks(judged),
            later,
        }
    }
}

/// Everything that is said, in the order it is read: what is ordered and what is dangerous first.
pub fn block(judged: &Judged<'_>) -> Vec<Line> {
    let said = Said::of(judged);
    let dangers = said.dangers.into_iter();
    let dangers =
        dangers.flat_map(|danger| [danger.what, danger.tells].into_iter().chain(danger.stop));
    let both = said.both.as_ref();
    let both = both.map(|both| line(BOTH, at_once(both, |(title, _)| title.clone())));
    said.orders
        .into_iter()
        .chain(dangers)
        .chain(said.found)
        .chain(said.headline)
        .chain(both)
        .chain(said.beside)
        .chain(said.looks.into_iter().flat_map(SaidLook::lines))
        .chain(said.later)
        .collect()
}

/// How the line of two causes at once begins.
pub const BOTH: &str = "Two at once fit best: ";

/// Two causes at once, each as it is called here.
pub fn at_once(both: &[Named; 2], called: impl Fn(&Named) -> String) -> String {
    let [one, two] = both;
    format!("{}; and {}.", capital(&called(one)), called(two))
}

fn place(judged: &Judged<'_>, cause: &Cause) -> Named {
    let mut near = judged.candidates[..named(judged)].iter();
    let place = near.position(|near| near.cause.id == cause.id);
    (cause.title.clone(), place)
}

/// The parts to look at oneself, where no look is left that tells the causes apart.
fn trying(judged: &Judged<'_>) -> Option<Line> {
    let parts: Vec<&str> = judged
        .trying
        .iter()
        .map(|cause| cause.title.as_str())
        .collect();
    let lead = "No look is left that tells them apart. See for yourself, in this order: ";
    (parts.len() > 1).then(|| line(lead, format!("{}.", parts.join("; then: "))))
}

fn sentence(cause: &Cause) -> String {
    format!("{}.", capital(&cause.title))
}

/// The dangers that are said unasked, each with the look to make, in one paragraph.
pub fn unasked(judged: &Judged<'_>) -> Vec<String> {
    let each = judged.unasked().map(|danger| {
        let told = of_danger(danger);
        let lines = [Some(told.what), Some(told.tells), told.stop];
        let told = lines.into_iter().flatten();
        let told = told.map(|line| format!("{}{}", line.lead.trim_start(), line.text));
        told.collect::<Vec<_>>().join(" ")
    });
    each.collect()
}

fn of_danger(danger: &Danger<'_>) -> SaidDanger {
    let cause = danger.cause;
    let words = cause.stop.as_deref().filter(|_| danger.in_force);
    SaidDanger {
        what: match danger.standing > Standing::MostLikely {
            true => line("Not ruled out, and dangerous: ", sentence(cause)),
            false => {
                let text = format!("{} {}", sentence(cause), cause.ignored);
                line("Dangerous if it is so: ", text)
            }
        },
        tells: match danger.look {
            Some(look) => line("  Make this look before you start: ", careful(look)),
            None => line("  What tells: ", cause.apart.as_str()),
        },
        is_look: danger.look.is_some(),
        stop: words.map(|words| line("  STOP: ", words)),
    }
}

/// What was looked at, as it is called.
pub(crate) fn called(look: &Counted) -> String {
    let part = look.by.as_deref().filter(|_| look.question.is_none());
    let part = part.and_then(|id| Catalogue::built_in().item(id));
    part.map_or_else(|| look.what.clone(), |item| item.title.clone())
}

fn told(look: &Counted) -> String {
    let day = look.on.map(|day| format!(" ({day})")).unwrap_or_default();
    format!("{}{day}: {}", called(look), look.words)
}

impl Judged<'_> {
    /// The findings that one cause explains, by their places among the looks that count; empty where
    /// none of the causes is named.
    pub fn together(&self) -> Vec<usize> {
        let looks = self.reckoned.looks.iter().enumerate();
        let first = self.candidates.first();
        let first = first.filter(|_| matches!(self.headline, Headline::First | Headline::Among(_)));
        let explained = |n: &usize| first.is_some_and(|first| first.speaks_for.contains(n));
        let found = looks.filter(|(_, look)| look.is_finding).map(|(n, _)| n);
        found.filter(explained).collect()
    }

    /// The looks that can be made, the best first and the surest last.
    pub fn looks(&self) -> impl Iterator<Item = &Offer<'_>> {
        self.offers.best.iter().chain(&self.offers.surest)
    }
}

/// The findings that belong together, where a cause explains several; else all of them.
fn findings(judged: &Judged<'_>) -> Vec<Line> {
    let looks = &judged.reckoned.looks;
    let all = (0..looks.len()).filter(|n| looks[*n].is_finding);
    let together = judged.together();
    let rest: Vec<usize> = all.filter(|n| !together.contains(n)).collect();
    let each = |at: &[usize]| -> Vec<Line> {
        at.iter()
            .map(|n| line("- ", capital(&told(&looks[*n]))))
            .collect()
    };
    let mut lines = Vec::new();
    if !together.is_empty() {
        let lead = if together.len() > 1 {
            "These belong together:"
        } else {
            "Found:"
        };
        lines.push(line(lead, ""));
        lines.extend(each(&together));
    }
    if !rest.is_empty() {
        let lead = if together.is_empty() {
            "Found:"
        } else {
            "And, not explained by the first cause:"
        };
        lines.push(line(lead, ""));
        lines.extend(each(&rest));
    }
    lines
}

fn headline(judged: &Judged<'_>) -> Vec<Line> {
    let found = judged
        .reckoned
        .looks
        .iter()
        .filter(|look| look.is_finding)
        .count();
    let first = judged.candidates.first();
    match (judged.headline, first) {
        (Headline::Alone, _) if found == 0 => vec![line("", "Nothing here asks for a cause.")],
        (Headline::Alone, _) if found == 1 => vec![line("", "This finding may stand alone.")],
        (Headline::Alone, _) => vec![line("", "These findings may each stand alone.")],
        (Headline::First, Some(first)) => vec![line(lead(first.standing), sentence(first.cause))],
        (Headline::Among(near), _) => {
            let near = &judged.candidates[..near];
            let lead = match judged.offers.best.is_empty() {
                true => "One of these:",
                false => "One of these; the look below tells them apart:",
            };
            let each = near.iter().map(|near| line("- ", sentence(near.cause)));
            [line(lead, "")].into_iter().chain(each).collect()
        }
        (Headline::Unlisted, _) | (Headline::First, None) => {
            vec![line("", "Nothing on the list explains all of this.")]
        }
    }
}

fn lead(standing: Standing) -> &'static str {
    match standing {
        Standing::PointsStrongly => "The findings point strongly to this: ",
        Standing::MostLikely => "Most likely, of the causes on the list: ",
        _ => "It may be this: ",
    }
}

/// How a cause stands, in words for a list.
pub fn words(candidate: &Candidate<'_>) -> String {
    let title = &candidate.cause.title;
    match candidate.standing {
        Standing::PointsStrongly => format!("points strongly to this: {title}"),
        Standing::MostLikely => format!("most likely, of the causes on the list: {title}"),
        Standing::MayBe => format!("may be: {title}"),
        Standing::NotRuledOut => format!("not ruled out: {title}"),
        Standing::Unlikely => format!("unlikely: {title}"),
    }
}

/// So many causes are named by themselves, the first of them.
fn named(judged: &Judged<'_>) -> usize {
    match judged.headline {
        Headline::First => 1,
        Headline::Among(near) => near,
        Headline::Alone | Headline::Unlisted => 0,
    }
}

/// What speaks against those named.
fn against(judged: &Judged<'_>) -> Vec<Line> {
    let looks = &judged.reckoned.looks;
    let named = &judged.candidates[..named(judged)];
    let each = named.iter().flat_map(|candidate| {
        let whom = match named.len() {
            1 => String::new(),
            _ => format!(" That is against this: {}", sentence(candidate.cause)),
        };
        let against = candidate.speaks_against.iter();
        against.map(move |n| line("Speaks against it: ", told(&looks[*n]) + &whom))
    });
    each.collect()
}

fn not_ruled_out(judged: &Judged<'_>) -> Vec<Line> {
    let told = |cause: &Cause| {
        judged
            .dangers
            .iter()
            .any(|danger| danger.cause.id == cause.id)
    };
    let rest = judged.candidates[named(judged)..].iter();
    let rest = rest.filter(|c| c.standing <= Standing::NotRuledOut && !told(c.cause));
    let each = rest.take(NOT_RULED_OUT);
    each.map(|candidate| line("Not ruled out: ", sentence(candidate.cause)))
        .collect()
}

const NEXT: &str = "Look next: ";

fn looks(judged: &Judged<'_>) -> Vec<SaidLook> {
    let meaning = |meaning: &Meaning<'_>| SaidMeaning {
        words: meaning.words.to_owned(),
        causes: meaning
            .causes
            .iter()
            .map(|cause| place(judged, cause))
            .collect(),
    };
    let best = judged.offers.best.len();
    let each = judged.looks().enumerate().map(|(n, offer)| SaidLook {
        lead: match n {
            _ if n >= best => "Surest, and longer: ",
            0 => NEXT,
            _ => "Or look: ",
        },
        caution: offer.question.caution.clone(),
        ask: asked(offer.question),
        meanings: offer.meanings.iter().map(meaning).collect(),
    });
    each.collect()
}

impl SaidLook {
    /// The next one with its caution in a line before it and what each answer would mean; any other in
    /// one line.
    fn lines(self) -> Vec<Line> {
        if self.lead != NEXT {
            let told = self.caution.into_iter().chain([self.ask]);
            return vec![line(self.lead, told.collect::<Vec<_>>().join(" "))];
        }
        let caution = self.caution.map(|caution| line("Caution: ", caution));
        let meanings = self.meanings.iter().map(SaidMeaning::line);
        let look = [line(self.lead, self.ask)];
        caution.into_iter().chain(look).chain(meanings).collect()
    }
}

impl SaidMeaning {
    fn line(&self) -> Line {
        let causes = self.causes.iter().map(|(title, _)| title.as_str());
        let then = match self.causes.is_empty() {
            true => "nothing on the list is in front".to_owned(),
            false => causes.collect::<Vec<_>>().join("; or "),
        };
        line("- ", format!("{} Then {then}.", self.words))
    }
}

/// Looks that may not be made now, those with one reason together.
fn withheld(all: &[Withheld<'_>]) -> Vec<Line> {
    let mut reasons: Vec<(&str, Vec<&str>)> = Vec::new();
    for held in all {
        let title = held.question.title.as_str();
        match reasons.iter_mut().find(|(why, _)| *why == held.why) {
            Some((_, titles)) => titles.push(title),
            None => reasons.push((&held.why, vec![title])),
        }
    }
    let each = reasons.into_iter();
    let each =
        each.map(|(why, titles)| line("Not now: ", format!("{}: {why}.", titles.join(", "))));
    each.collect()
}

/// The look with its caution before it.
fn careful(question: &Question) -> String {
    let caution = question.caution.iter().map(|caution| format!("{caution} "));
    caution.chain([asked(question)]).collect()
}

fn asked(question: &Question) -> String {
    let state = match question.state {
        PhaseState::Cold | PhaseState::Dead => "engine still",
        PhaseState::KeyOn => "key on, engine still",
        PhaseState::Crank => "while cranking",
        PhaseState::FirstMinute => "first minute of running",
        PhaseState::Idle => "running at idle",
        PhaseState::Fast => "running faster, in neutral",
        PhaseState::InGear => "in gear against lines",
        PhaseState::UnderWay => "under way",
        PhaseState::FullThrottle => "at full speed",
        PhaseState::JustStopped => "just after stopping",
        PhaseState::Settled => "a while after stopping",
        PhaseState::NextMorning => "the next morning",
    };
    format!("{} ({} s, {state})", question.ask, question.seconds)
}
