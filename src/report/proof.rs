//! By what a page proves that it is the one that was issued: a code over the whole of it, and a short
//! digest beside each of its parts.
//!
//! While a page is written neither is known, so that marks hold their places. A mark has a control
//! character, which no text of people keeps on its way to a page. A part stands between two comments,
//! which no text of people can write either. Whoever issues a page fills them in ([`fill`]) and adds a
//! last comment that names its parts with their digests; whoever has the code asks what became of the
//! page ([`proved`]).
//!
//! The code is 80 bits of the SHA-256 over the bytes of the page in which the code itself is blanked, so
//! that no byte can change without it. A digest is 40 bits over a part, from its first comment to its
//! last, in which that digest and the code are blanked: it tells where to look, and proves nothing.

use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

use sha2::{Digest, Sha256};

use crate::text::code::{BITS, CHECKS, check, grouped, number, read, symbols};

mod parts;
#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;

pub use parts::{Fate, PartFate, Proof, State, proved};

/// Where the code of a page has to come from.
pub const FROM_ELSEWHERE: &str = "The code has to come from whoever issued the report, by another way than the page: by voice, on paper, in a message of theirs. A code read from the same file proves only that the file is whole, not who made it. It is no signature.";
/// Holds the place of the code of the whole page.
pub const CODE: &str = "\u{1}code\u{1}";
/// Holds the place of the digest of the part it stands in.
pub const DIGEST: &str = "\u{1}digest\u{1}";
/// Where a part begins.
const BEGINS: &str = "<!--part ";
/// Where a comment ends.
const CLOSES: &str = "-->";
/// How the last comment of an issued page begins.
const LAST: &str = "<!--issued\n";
/// Bytes of the hash that the code stands for.
const HASH: usize = 10;
/// Characters of the code before its check characters.
const LENGTH: usize = HASH * 8 / BITS;
const GROUP: usize = 6;
/// Characters of the digest of a part.
const SHORT: usize = 8;
/// The longest first comment of a part, bytes.
const LONGEST: usize = 1000;

/// Where a part begins: `finding 3`, `photograph 12`, `front page`. Parts may stand in parts.
pub fn begins(name: &str) -> String {
    format!("{BEGINS}{name}{CLOSES}")
}

/// Where the part that began last ends.
pub const ENDS: &str = "<!--end-->";

/// The code of a page: three groups of six characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Code([u8; HASH]);

/// Why a text is no code.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoCode {
    /// Too few or too many characters.
    #[error("a code has {all} letters and digits; this has {0}", all = LENGTH + CHECKS)]
    Length(usize),
    /// A character no code has.
    #[error("a code has no '{0}'")]
    Character(char),
    /// The check characters do not fit.
    #[error("this is no code as it was printed: a character is wrong, or two changed places")]
    Mistyped,
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut all: Vec<u8> = symbols(bits(&self.0), LENGTH).collect();
        all.extend(check(&all));
        f.write_str(&grouped(all, GROUP))
    }
}

impl FromStr for Code {
    type Err = NoCode;

    /// Reads a code as a person may type it: any case, hyphens and spaces anywhere, O for 0, I and L
    /// for 1.
    fn from_str(text: &str) -> Result<Code, NoCode> {
        let all = read(text).map_err(NoCode::Character)?;
        if all.len() != LENGTH + CHECKS {
            return Err(NoCode::Length(all.len()));
        }
        let (body, checks) = all.split_at(LENGTH);
        if check(body) != checks {
            return Err(NoCode::Mistyped);
        }
        let mut hash = [0; HASH];
        hash.copy_from_slice(&number(body).to_be_bytes()[16 - HASH..]);
        Ok(Code(hash))
    }
}

fn bits(bytes: &[u8]) -> u128 {
    bytes.iter().fold(0, |n, byte| n << 8 | u128::from(*byte))
}

/// The code of bytes in which the code is blanked already.
fn code_of(blanked: &[u8]) -> Code {
    let mut hash = [0; HASH];
    hash.copy_from_slice(&Sha256::digest(blanked)[..HASH]);
    Code(hash)
}

/// The digest of a part in which it is blanked already.
fn digest_of(blanked: &str) -> String {
    let hash = Sha256::digest(blanked);
    grouped(symbols(bits(&hash[..5]), SHORT), SHORT)
}

/// A page with all that it proves itself by.
#[derive(Clone, Debug)]
pub struct Proved {
    /// The page as it is given out.
    pub page: String,
    /// Its code.
    pub code: Code,
}

/// Why a page cannot be filled in: an error of the program.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotFilled {
    /// A part begins and does not end, or the other way round.
    #[error("its parts do not stand within one another: {0}")]
    Parts(String),
    /// A part has no name, or one that a comment cannot hold.
    #[error("a part cannot be called '{0}'")]
    Name(String),
    /// A digest stands in no part.
    #[error("a digest stands in no part")]
    Digest,
}

/// Fills in the digests of the parts, innermost first, and last the code; number and revision stand in
/// the last comment beside the digests.
///
/// # Errors
/// [`NotFilled`].
pub fn fill(page: &str, (report, revision): (&str, &str)) -> Result<Proved, NotFilled> {
    let mut digests: Vec<(&str, String)> = Vec::new();
    let mut open: Vec<(usize, String)> = Vec::new();
    let mut out = String::with_capacity(page.len() + 1024);
    let mut from = 0;
    for token in tokens(page) {
        let top = open.last_mut().map_or(&mut out, |(_, text)| text);
        top.push_str(&page[from..token.at]);
        from = token.after;
        if let Some(name) = token.begins {
            if !may_be_called(name) {
                return Err(NotFilled::Name(name.to_owned()));
            }
            let begun = format!("{BEGINS}{name} {DIGEST}{CLOSES}");
            open.push((digests.len(), begun));
            digests.push((name, String::new()));
            continue;
        }
        let Some((n, mut part)) = open.pop() else {
            return Err(NotFilled::Parts("one ends and does not begin".to_owned()));
        };
        part.push_str(ENDS);
        let digest = digest_of(&part);
        let above = open.last_mut().map_or(&mut out, |(_, text)| text);
        above.push_str(&part.replace(DIGEST, &digest));
        digests[n].1 = digest;
    }
    if let Some((n, _)) = open.last() {
        let name = digests[*n].0;
        return Err(NotFilled::Parts(format!("{name} does not end")));
    }
    out.push_str(page[from..].trim_end_matches('\n'));
    if out.contains(DIGEST) {
        return Err(NotFilled::Digest);
    }
    out.push_str(&format!("\n{LAST}number {report}\nrevision {revision}\n"));
    for (name, digest) in &digests {
        out.push_str(&format!("part {digest} {name}\n"));
    }
    out.push_str(&format!("code {CODE}\n{CLOSES}\n"));
    let code = code_of(out.as_bytes());
    Ok(Proved {
        page: out.replace(CODE, &code.to_string()),
        code,
    })
}

/// What a comment can hold, and a line of the last one.
fn may_be_called(name: &str) -> bool {
    let known = |c: char| c.is_alphanumeric() || matches!(c, ' ' | '.' | ',' | '/' | '_' | '-');
    let dashes = name.contains("--") || name.ends_with('-');
    !name.trim().is_empty() && name.len() <= 200 && !dashes && name.chars().all(known)
}

/// Where a part begins or ends.
struct Token<'a> {
    at: usize,
    after: usize,
    /// What stands in the first comment of a part; none for its last.
    begins: Option<&'a str>,
}

/// Every place where a part begins or ends.
fn tokens(text: &str) -> impl Iterator<Item = Token<'_>> {
    let comments = text.match_indices("<!--");
    comments.filter_map(move |(at, _)| {
        let rest = &text[at..];
        if rest.starts_with(ENDS) {
            return Some(Token {
                at,
                after: at + ENDS.len(),
                begins: None,
            });
        }
        // No name is longer, and what is hostile is not searched through to its end.
        let named = rest.strip_prefix(BEGINS)?;
        let ends = named.bytes().take(LONGEST).position(|b| b == b'>')?;
        let name = named.get(..=ends)?.strip_suffix(CLOSES)?;
        Some(Token {
            at,
            after: at + BEGINS.len() + ends + 1,
            begins: Some(name),
        })
    })
}

/// A page with its code blanked; none where it has a mark of its own, which no page given out has.
fn blanked<'a>(page: &'a str, code: &str) -> Option<Cow<'a, str>> {
    if page.contains('\u{1}') {
        return None;
    }
    Some(match page.contains(code) {
        true => page.replace(code, CODE).into(),
        false => page.into(),
    })
}
