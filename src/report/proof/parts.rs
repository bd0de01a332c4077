//! What became of a page that was given out, as a whole and part by part. The file may come from
//! anybody: nothing it says of itself makes it whole but the code that came another way.

use std::collections::{BTreeMap, HashMap, HashSet};

use schemars::JsonSchema;
use serde::Serialize;

use super::{CLOSES, CODE, Code, DIGEST, LAST, blanked, code_of, digest_of, tokens};
use crate::text::words;

/// Parts stand at most so deep in one another; deeper ones are none of ours.
const DEEPEST: usize = 8;
/// The most parts a page is asked about.
const MOST: usize = 4096;

words! {
    /// What a page is, held against a code.
    State, "state of a page" {
        /// Words and pictures are those issued under the code.
        Whole = "whole",
        /// It is not what was issued under the code.
        Changed = "changed",
        /// It is whole, under another code.
        Other = "other",
        /// It is no report that was issued.
        NoReport = "no-report",
    }
}

words! {
    /// What became of a part.
    Fate, "fate of a part" {
        /// It is as it was issued.
        Same = "same",
        /// It is not as it was issued.
        Changed = "changed",
        /// It was issued and is not there.
        Missing = "missing",
        /// It stands in another place.
        Moved = "moved",
        /// It was not issued.
        Added = "added",
    }
}

/// A part and what became of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PartFate {
    /// What it is: `finding 3`, `photograph 12`.
    pub part: String,
    /// What became of it.
    pub fate: Fate,
}

/// What became of a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proof {
    /// As a whole.
    pub state: State,
    /// The number that stands in it; it proves nothing.
    pub number: Option<String>,
    /// The revision that stands in it.
    pub revision: Option<String>,
    /// The code that stands in it.
    pub own: Option<Code>,
    /// The parts that are not as issued; where the page as issued is at hand, all of them.
    pub parts: Vec<PartFate>,
}

/// The last comment of a page.
#[derive(Default)]
struct Last<'a> {
    number: Option<&'a str>,
    revision: Option<&'a str>,
    code: Option<Code>,
    /// Digest and name of each part, in their order.
    parts: Vec<(&'a str, &'a str)>,
}

impl Last<'_> {
    fn of(text: &str) -> Option<Last<'_>> {
        let at = text.rfind(LAST)?;
        let inside = text[at + LAST.len()..].split(CLOSES).next()?;
        let mut last = Last::default();
        for line in inside.lines().take(MOST + 8) {
            match line.split_once(' ') {
                Some(("number", said)) => last.number = Some(said),
                Some(("revision", said)) => last.revision = Some(said),
                Some(("code", said)) => last.code = said.parse().ok(),
                Some(("part", said)) => last.parts.extend(said.split_once(' ')),
                _ => {}
            }
        }
        Some(last)
    }
}

/// What became of a page that was issued under a code. With the page as it was issued every part is
/// told, else those that do not fit what the page says of itself.
pub fn proved(page: &[u8], code: &Code, issued: Option<&[u8]>) -> Proof {
    let text = String::from_utf8_lossy(page);
    let last = Last::of(&text);
    let own = last.as_ref().and_then(|last| last.code);
    let whole_under = |code: &Code| {
        let written = code.to_string();
        let blank = std::str::from_utf8(page).ok();
        let blank = blank.and_then(|page| blanked(page, &written));
        blank.is_some_and(|blank| code_of(blank.as_bytes()) == *code)
    };
    let state = match own {
        Some(own) if own == *code && whole_under(code) => State::Whole,
        Some(own) if own != *code && whole_under(&own) => State::Other,
        None if last.is_none() && tokens(&text).next().is_none() => State::NoReport,
        _ => State::Changed,
    };
    let issued = issued.map(String::from_utf8_lossy);
    let as_issued = issued.as_deref().and_then(Last::of);
    let parts = match (state, &as_issued) {
        (State::NoReport | State::Other, _) | (State::Whole, None) => Vec::new(),
        (_, Some(issued)) => fates(&text, own.or(Some(*code)), &issued.parts, true),
        (_, None) => {
            let said = last.as_ref().map_or(&[][..], |last| &last.parts);
            fates(&text, own.or(Some(*code)), said, false)
        }
    };
    let shown = |text: Option<&str>| text.map(|text| text.chars().take(60).collect());
    Proof {
        state,
        number: shown(last.as_ref().and_then(|last| last.number)),
        revision: shown(last.as_ref().and_then(|last| last.revision)),
        own,
        parts,
    }
}

/// A part as it stands in a page.
struct Found<'a> {
    name: &'a str,
    /// The digest in its first comment.
    said: &'a str,
    /// The digest that it has.
    has: String,
    /// The part it stands in.
    within: Option<usize>,
}

/// The parts of a page, each where it begins; none where its marks do not stand within one another as
/// those of a page do.
fn found<'a>(text: &'a str, code: Option<&str>) -> Option<Vec<Found<'a>>> {
    let mut parts: Vec<Found<'a>> = Vec::new();
    let mut open: Vec<(usize, usize)> = Vec::new();
    for token in tokens(text) {
        if let Some(begins) = token.begins {
            let (name, said) = begins.rsplit_once(' ')?;
            let within = open.last().map(|(n, _)| *n);
            open.push((parts.len(), token.at));
            if open.len() > DEEPEST || parts.len() >= MOST {
                return None;
            }
            parts.push(Found {
                name,
                said,
                has: String::new(),
                within,
            });
            continue;
        }
        let (n, at) = open.pop()?;
        let part = parts.get_mut(n)?;
        let blank = match part.said.is_empty() {
            true => text[at..token.after].to_owned(),
            false => text[at..token.after].replace(part.said, DIGEST),
        };
        part.has = match code {
            Some(code) => digest_of(&blank.replace(code, CODE)),
            None => digest_of(&blank),
        };
    }
    open.is_empty().then_some(parts)
}

/// Names with how often each came before, so that one twice is two.
fn counted<'a>(names: impl Iterator<Item = &'a str>) -> Vec<(&'a str, usize)> {
    let mut seen: HashMap<&str, usize> = HashMap::new();
    let each = names.map(|name| {
        let n = seen.entry(name).or_default();
        *n += 1;
        (name, *n)
    });
    each.collect()
}

/// What became of each part, held against those issued: digest and name of each. Of a part within another
/// the inner one is told; `all` tells those that are the same too.
fn fates(text: &str, code: Option<Code>, issued: &[(&str, &str)], all: bool) -> Vec<PartFate> {
    let code = code.map(|code| code.to_string());
    // Marks that do not stand as ours do tell of no part.
    let parts = found(text, code.as_deref()).unwrap_or_default();
    let here = counted(parts.iter().map(|part| part.name));
    let then = counted(issued.iter().map(|(_, name)| *name));
    let digests: BTreeMap<_, _> = then
        .iter()
        .zip(issued)
        .map(|(key, (d, _))| (*key, *d))
        .collect();
    let present: HashSet<_> = here.iter().copied().collect();
    let moved = moved(&then, &here);
    let mut odd: Vec<Option<Fate>> = Vec::with_capacity(parts.len());
    for (key, part) in here.iter().zip(&parts) {
        odd.push(match digests.get(key) {
            // Where nothing tells what was issued, a part is held against itself.
            None if issued.is_empty() => (part.has != part.said).then_some(Fate::Changed),
            None => Some(Fate::Added),
            Some(digest) if *digest != part.has => Some(Fate::Changed),
            Some(_) if moved.contains(key) => Some(Fate::Moved),
            Some(_) => None,
        });
    }
    // What is told of an inner part is why the outer one is not the same.
    let mut inner = vec![false; parts.len()];
    for n in (0..parts.len()).rev() {
        if let (true, Some(within)) = (odd[n].is_some() || inner[n], parts[n].within) {
            inner[within] = true;
        }
    }
    let told = |n: usize| match odd[n] {
        Some(Fate::Changed) if inner[n] => None,
        Some(fate) => Some(fate),
        None => all.then_some(Fate::Same),
    };
    let here = (0..parts.len()).filter_map(|n| Some((parts[n].name, told(n)?)));
    let gone = then.iter().filter(|key| !present.contains(*key));
    let gone = gone.map(|(name, _)| (*name, Fate::Missing));
    let fate = |(name, fate): (&str, Fate)| PartFate {
        part: name.chars().take(200).collect(),
        fate,
    };
    here.chain(gone).map(fate).collect()
}

/// Those of the parts in both that stand in another order: all but a longest run that kept its order.
fn moved<'a>(then: &[(&'a str, usize)], here: &[(&'a str, usize)]) -> HashSet<(&'a str, usize)> {
    let place: HashMap<_, _> = then.iter().enumerate().map(|(n, key)| (*key, n)).collect();
    let common: Vec<_> = here.iter().filter(|key| place.contains_key(*key)).collect();
    let at: Vec<usize> = common.iter().map(|key| place[*key]).collect();
    // The longest rising run that ends at each, and the one before in it.
    let mut longest: Vec<(usize, Option<usize>)> = Vec::with_capacity(at.len());
    for n in 0..at.len() {
        let before = (0..n).filter(|m| at[*m] < at[n]);
        let best = before.max_by_key(|m| longest[*m].0);
        longest.push((best.map_or(1, |m| longest[m].0 + 1), best));
    }
    let mut stays = HashSet::new();
    let mut next = (0..at.len()).max_by_key(|n| longest[*n].0);
    while let Some(n) = next {
        stays.insert(n);
        next = longest[n].1;
    }
    let gone = (0..at.len()).filter(|n| !stays.contains(n));
    gone.map(|n| *common[n]).collect()
}
