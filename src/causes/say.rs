//! What is said of findings, in sentences: never a figure, never "the cause is".

use super::file::{Cause, Question};
use super::judge::{Candidate, Danger, Headline, Judged};
use super::looks::Counted;
use super::offers::{Offer, Withheld};
use super::words::Standing;
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

fn line(lead: &'static str, text: impl Into<String>) -> Line {
    let text = text.into();
    Line { lead, text }
}

/// Everything that is said, in the order it is read: what is ordered and what is dangerous first.
pub fn block(judged: &Judged<'_>) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    lines.extend(judged.orders.iter().map(|order| line("STOP: ", *order)));
    judged
        .dangers
        .iter()
        .for_each(|danger| lines.extend(of_danger(danger)));
    lines.extend(findings(judged));
    lines.extend(headline(judged));
    lines.extend(judged.both.map(|(one, two)| {
        let both = format!("{}; and {}.", capital(&one.title), two.title);
        line("Two at once fit best: ", both)
    }));
    lines.extend(against(judged));
    lines.extend(not_ruled_out(judged));
    lines.extend(looks(judged));
    if judged.trying.len() > 1 {
        let parts: Vec<&str> = judged
            .trying
            .iter()
            .map(|cause| cause.title.as_str())
            .collect();
        let text = format!("{}.", parts.join("; then: "));
        lines.push(line(
            "No look is left that tells them apart. See for yourself, in this order: ",
            text,
        ));
    }
    lines
}

fn sentence(cause: &Cause) -> String {
    format!("{}.", capital(&cause.title))
}

/// The dangers that are said unasked, each with the look to make, in one paragraph.
pub fn unasked(judged: &Judged<'_>) -> Vec<String> {
    let each = judged.unasked().map(|danger| {
        let lines = of_danger(danger);
        let told = lines
            .iter()
            .map(|line| format!("{}{}", line.lead.trim_start(), line.text));
        told.collect::<Vec<_>>().join(" ")
    });
    each.collect()
}

fn of_danger(danger: &Danger<'_>) -> Vec<Line> {
    let cause = danger.cause;
    let mut lines = vec![match danger.standing > Standing::MostLikely {
        true => line("Not ruled out, and dangerous: ", sentence(cause)),
        false => {
            let text = format!("{} {}", sentence(cause), cause.ignored);
            line("Dangerous if it is so: ", text)
        }
    }];
    lines.push(match danger.look {
        Some(look) => line("  Make this look before you start: ", careful(look)),
        None => line("  What tells: ", cause.apart.as_str()),
    });
    let words = cause.stop.as_deref().filter(|_| danger.in_force);
    lines.extend(words.map(|words| line("  STOP: ", words)));
    lines
}

fn told(look: &Counted) -> String {
    let day = look.on.map(|day| format!(" ({day})")).unwrap_or_default();
    format!("{}{day}: {}", look.what, look.words)
}

/// The findings that belong together, where a cause explains several; else all of them.
fn findings(judged: &Judged<'_>) -> Vec<Line> {
    let looks = &judged.reckoned.looks;
    let all: Vec<usize> = (0..looks.len()).filter(|n| looks[*n].is_finding).collect();
    let together: Vec<usize> = match (judged.headline, judged.candidates.first()) {
        (Headline::First | Headline::Among(_), Some(first)) => {
            let explained = |n: &usize| first.speaks_for.contains(n);
            all.iter().copied().filter(explained).collect()
        }
        _ => Vec::new(),
    };
    let rest: Vec<usize> = all.into_iter().filter(|n| !together.contains(n)).collect();
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

fn looks(judged: &Judged<'_>) -> Vec<Line> {
    let mut lines = Vec::new();
    let mut offers = judged.offers.best.iter();
    if let Some(next) = offers.next() {
        lines.extend(next_look(next));
    }
    lines.extend(offers.map(|offer| line("Or look: ", careful(offer.question))));
    let surest = judged.offers.surest.as_ref();
    lines.extend(surest.map(|offer| line("Surest, and longer: ", careful(offer.question))));
    lines.extend(withheld(&judged.offers.withheld));
    lines
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

/// The caution first, then the look, then what each answer would mean.
fn next_look(offer: &Offer<'_>) -> Vec<Line> {
    let question = offer.question;
    let caution = question.caution.as_ref();
    let mut lines: Vec<Line> = caution
        .map(|caution| line("Caution: ", caution))
        .into_iter()
        .collect();
    lines.push(line("Look next: ", asked(question)));
    for meaning in &offer.meanings {
        let causes: Vec<&str> = meaning
            .causes
            .iter()
            .map(|cause| cause.title.as_str())
            .collect();
        let means = match causes.is_empty() {
            true => "nothing on the list is in front".to_owned(),
            false => causes.join("; or "),
        };
        lines.push(line("- ", format!("{} Then {means}.", meaning.words)));
    }
    lines
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
