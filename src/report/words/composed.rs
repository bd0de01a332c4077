//! Sentences that the program puts together from a few words outside this room, in the reader's
//! language: each stands in the tables as one message with slots. A sentence is found by the words of
//! its English message, and what stands in the slots is said for itself. What no message fits, or a
//! slot that nothing is known of, stays English and is marked.

use std::sync::LazyLock;

use fluent_bundle::FluentValue;

use super::{Fill, Language, Said, Words};

/// The messages, the more particular one before the one that would fit too. A slot is a letter: from
/// `n` on for what reads alike in every language, figures and codes; before it for words.
const MESSAGES: [&str; 83] = [
    "composed-ranks-about",
    "composed-ranks",
    "composed-stops",
    "composed-rule-confirmed",
    "composed-rule",
    "composed-rule-fuel",
    "composed-rule-rose",
    "composed-rule-rose-more",
    "composed-again",
    "composed-again-times",
    "composed-unlooked",
    "composed-worn-at-best",
    "composed-past-life",
    "composed-failed-already",
    "composed-chance",
    "composed-owed",
    "composed-time",
    "composed-time-minutes",
    "composed-time-hours",
    "composed-ahead-a-day",
    "composed-ahead",
    "composed-leaving-first",
    "composed-leaving-must",
    "composed-leaving-worth",
    "composed-leaving-left",
    "composed-leaving-wait",
    "composed-leaving-ashore",
    "composed-leaving-ashore-none",
    "composed-leaving-look",
    "composed-leaving-letter",
    "composed-leaving-confirm",
    "composed-leaving-not-listed",
    "composed-leaving-must-none",
    "composed-leaving-worth-none",
    "composed-leaving-wait-none",
    "composed-leaving-do",
    "composed-leaving-about",
    "composed-leaving-once",
    "composed-leaving-unsaid",
    "composed-leaving-above",
    "composed-leaving-took",
    "composed-leaving-one",
    "composed-leaving-two",
    "composed-leaving-times",
    "composed-leaving-own",
    "composed-leaving-other-hands",
    "composed-leaving-parts",
    "composed-leaving-either",
    "composed-leaving-drops",
    "composed-leaving-until",
    "composed-leaving-ends",
    "composed-leaving-leaves",
    "composed-leaving-for",
    "composed-leaving-no-minutes",
    "composed-leaving-left-out",
    "composed-leaving-gains-nothing",
    "composed-leaving-worth-less",
    "composed-leaving-worth-less-hands",
    "composed-leaving-ages",
    "composed-leaving-before-start",
    "composed-leaving-asked",
    "composed-leaving-temporary",
    "composed-leaving-unlooked",
    "composed-leaving-do-not-start",
    "composed-leaving-do-not-leave",
    "composed-leaving-sums-of",
    "composed-leaving-sums",
    "composed-leaving-once-done",
    "composed-leaving-takes-same",
    "composed-leaving-takes",
    "composed-leaving-by-order",
    "composed-leaving-trouble",
    "composed-leaving-not-proved",
    "composed-leaving-stands-all",
    "composed-leaving-stands-some",
    "composed-leaving-stands-none",
    "composed-leaving-short",
    "composed-leaving-not-here",
    "composed-leaving-unseen",
    "composed-leaving-looks",
    "composed-leaving-former",
    "composed-leaving-no-estimate",
    "composed-leaving-judged",
];

/// Words that a slot may hold.
const WORDS: [&str; 46] = [
    "grade-sound",
    "grade-early",
    "grade-worn",
    "grade-failing",
    "grade-failed",
    "risk-high",
    "risk-serious",
    "risk-medium",
    "risk-low",
    "risk-eliminated",
    "effect-fire",
    "effect-exhaust-gas",
    "effect-flooding",
    "effect-loss-of-control",
    "effect-injury",
    "effect-loss-of-safeguard",
    "effect-loss-of-propulsion",
    "effect-engine-damage",
    "effect-loss-of-starting",
    "effect-pollution",
    "effect-nuisance",
    "composed-failed-already",
    "composed-unlooked",
    "composed-rule-fuel",
    "composed-again",
    "who-owner",
    "who-mechanic",
    "who-electrician",
    "who-yard",
    "waters-sheltered",
    "waters-inshore",
    "waters-offshore",
    "waters-ocean",
    "share-next-to-nothing",
    "share-a-tenth",
    "share-a-fifth",
    "share-a-quarter",
    "share-a-third",
    "share-two-fifths",
    "share-half",
    "share-three-fifths",
    "share-two-thirds",
    "share-three-quarters",
    "share-four-fifths",
    "share-nine-tenths",
    "share-nearly-all",
];

/// The slots that a message can have.
const SLOTS: [&str; 8] = ["a", "b", "c", "d", "n", "o", "p", "q"];
/// Stands around the name of a slot while the words between are read.
const AROUND: char = '\u{1}';

/// A message as it is looked for: text and slots in turn, a text first.
struct Pattern {
    name: &'static str,
    texts: Vec<String>,
    slots: Vec<String>,
}

static PATTERNS: LazyLock<Vec<Pattern>> = LazyLock::new(|| {
    let held = SLOTS.map(|slot| (slot, FluentValue::from(format!("{AROUND}{slot}{AROUND}"))));
    let pattern = |name: &'static str| {
        let text = Language::English.words().with(name, &held);
        let parts: Vec<&str> = text.split(AROUND).collect();
        let every = |from: usize| parts.iter().skip(from).step_by(2);
        Pattern {
            name,
            texts: every(0).map(|p| (*p).to_owned()).collect(),
            slots: every(1).map(|p| (*p).to_owned()).collect(),
        }
    };
    MESSAGES.map(pattern).into()
});

impl Pattern {
    /// What stands in its slots, in their order; none where it does not fit the whole text.
    fn fits<'t>(&self, text: &'t str) -> Option<Vec<&'t str>> {
        let (first, rest) = self.texts.split_first()?;
        let text = text.strip_prefix(first.as_str())?;
        let mut filled = Vec::with_capacity(self.slots.len());
        fill(text, &self.slots, rest, &mut filled).then_some(filled)
    }
}

/// Fills the slots that are left from a text; a slot takes as little as it can.
fn fill<'t>(text: &'t str, slots: &[String], texts: &[String], filled: &mut Vec<&'t str>) -> bool {
    let (Some((slot, slots)), Some((next, texts))) = (slots.split_first(), texts.split_first())
    else {
        return text.is_empty();
    };
    let ends = text.match_indices(next.as_str()).map(|(at, _)| at);
    // The last slot, with nothing behind it, takes all there is.
    let ends: Vec<usize> = match next.is_empty() {
        true => vec![text.len()],
        false => ends.collect(),
    };
    for end in ends {
        let (part, rest) = text.split_at(end);
        let alike = !is_alike(slot) || part.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'.');
        if part.is_empty() || !alike {
            continue;
        }
        filled.push(part);
        if fill(&rest[next.len()..], slots, texts, filled) {
            return true;
        }
        filled.pop();
    }
    false
}

/// Whether what stands in a slot reads alike in every language.
fn is_alike(slot: &str) -> bool {
    slot >= "n"
}

/// A text that the program put together, in the reader's language as far as its parts are known; none
/// where it is known of no part.
pub(super) fn composed(w: Words, text: &str) -> Option<Said> {
    // One sentence behind another, before a last slot can take both.
    let gaps = text.match_indices(". ");
    let mut split = gaps.filter_map(|(at, gap)| {
        let mut said = sentence(w, &text[..at])?;
        said.push(gap);
        said.push(w.english(&text[at + gap.len()..]));
        Some(said)
    });
    split.next().or_else(|| sentence(w, text))
}

fn sentence(w: Words, text: &str) -> Option<Said> {
    if let Some(text) = text.strip_suffix('.') {
        let mut said = sentence(w, text)?;
        said.push(".");
        return Some(said);
    }
    PATTERNS.iter().find_map(|pattern| {
        let filled = pattern.fits(text)?;
        let slots = pattern.slots.iter().map(String::as_str);
        let fills: Vec<(&str, Fill)> = slots
            .zip(filled)
            .map(|(slot, part)| match is_alike(slot) {
                true => (slot, Fill::from(w.figures(part.to_owned()))),
                false => (slot, Fill::from(part_of(w, part))),
            })
            .collect();
        Some(w.told(pattern.name, &fills))
    })
}

/// What stands in a slot: a word of the tables, with a capital where it has one, or what is said of it
/// by itself.
pub(super) fn part_of(w: Words, part: &str) -> Said {
    let english = Language::English.words();
    let lower = part.to_lowercase();
    let known = WORDS.iter().find(|name| english.say(name) == lower);
    match known {
        Some(name) if lower == part => w.say(name).into(),
        Some(name) => Said::from(w.say(name)).capital(),
        None => w.english(part),
    }
}
