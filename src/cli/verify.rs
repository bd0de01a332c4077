//! `verify`: whether a page is the report that was issued under a code.

use std::path::PathBuf;

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::page::Page;
use crate::logbook::disk::read_regular;
use crate::logbook::issued::{Kept, MAX_PAGE};
use crate::report::issue::list::issued;
use crate::report::proof::{Code, FROM_ELSEWHERE, Fate, PartFate, State, proved};

/// Options of `verify`.
#[derive(Args, Debug)]
pub struct VerifyArgs {
    /// The page
    pub file: PathBuf,
    /// The code, from whoever issued the report and by another way than the page
    pub code: String,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct VerifyPageBody {
    /// The code, as it is printed.
    code: String,
    /// What the page is under it.
    state: State,
    /// One sentence for people.
    said: String,
    /// The number that stands in the page; it proves nothing. Null where none does.
    number: Option<String>,
    /// The revision that stands in it; null where none does.
    revision: Option<String>,
    /// The code that stands in it; null where none does.
    code_in_it: Option<String>,
    /// The report to which the code belongs, where the logbook named has it.
    code_of: Option<String>,
    /// The page was held against that kept in the logbook.
    compared: bool,
    /// Parts that are not as issued; where the page was compared, all of them.
    parts: Vec<PartFate>,
    /// Where the code has to come from.
    code_comes: String,
}

/// Runs the command.
///
/// # Errors
/// The code is none, or the file cannot be read.
pub fn run(args: &VerifyArgs, cx: &Context) -> Result<Answer, Failure> {
    let code: Code = args.code.parse().map_err(Failure::usage)?;
    let name = args.file.display();
    let (_, page) = read_regular(&args.file, MAX_PAGE).map_err(|e| match e.kind() {
        std::io::ErrorKind::FileTooLarge => Failure::usage(format!(
            "{name} is larger than {} MiB, which no report is",
            MAX_PAGE >> 20
        )),
        std::io::ErrorKind::InvalidInput => {
            Failure::usage(format!("{name} is no plain file and was not opened"))
        }
        _ => Failure::usage(format!("{name} cannot be read ({e})")),
    })?;
    let (mut kept, mut code_of) = (None, None);
    // Only a logbook that is named: the page may be of any boat.
    if cx.global.logbook.is_some() {
        let book = cx.book()?;
        let all = issued(&book);
        let written = code.to_string();
        if let Some(found) = all.iter().rfind(|s| s.issued.code == written) {
            code_of = Some(found.issued.name());
            match book.issued(Kept::Page, &found.issued.page) {
                Ok(page) => kept = Some(page),
                Err(error) => cx.note(error.to_string()),
            }
        } else {
            cx.note("no report of this logbook has that code");
        }
    }
    let proof = proved(&page, &code, kept.as_deref());
    let body = VerifyPageBody {
        code: code.to_string(),
        said: said(
            proof.state,
            proof.number.as_deref(),
            proof.revision.as_deref(),
            code_of.as_deref(),
        ),
        state: proof.state,
        number: proof.number,
        revision: proof.revision,
        code_in_it: proof.own.map(|own| own.to_string()),
        code_of,
        compared: kept.is_some() && !matches!(proof.state, State::NoReport | State::Other),
        parts: proof.parts,
        code_comes: FROM_ELSEWHERE.to_owned(),
    };
    let answer = cx.form.answer("verify", &body, |page| write(page, &body));
    Ok(answer.or_no(body.state == State::Whole))
}

fn said(
    state: State,
    number: Option<&str>,
    revision: Option<&str>,
    code_of: Option<&str>,
) -> String {
    let it_says = number.map(|number| {
        let revision = revision.map_or(String::new(), |r| format!(" revision {r}"));
        format!("it says that it is {number}{revision}")
    });
    let it_says = it_says.unwrap_or_else(|| "it does not say which report it is".to_owned());
    let belongs = code_of.map(|name| format!("; the code is that of {name}"));
    let belongs = belongs.unwrap_or_default();
    match state {
        State::Whole => {
            format!("Whole: words and pictures are those issued under this code; {it_says}.")
        }
        State::Changed => {
            format!("Changed: this is not what was issued under this code; {it_says}{belongs}.")
        }
        State::Other => format!(
            "Another report: the page is whole under a code of its own, which is not this one; {it_says}{belongs}."
        ),
        State::NoReport => format!(
            "No report: this page was never issued, or nothing is left of what shows it; a draft has no code{belongs}."
        ),
    }
}

fn write(page: &mut Page, body: &VerifyPageBody) {
    page.paragraph(&body.said);
    let odd = body.parts.iter().filter(|part| part.fate != Fate::Same);
    let mut none = true;
    for part in odd {
        none = false;
        page.hang("- ", format!("{}: {}", part.part, part.fate));
    }
    if body.state == State::Changed && none {
        page.paragraph("No part shows it by itself: the change lies between the parts, or its marks were changed with it.");
    }
    if body.compared {
        let same = body.parts.iter().filter(|part| part.fate == Fate::Same);
        let same: Vec<&str> = same.map(|part| part.part.as_str()).collect();
        if !same.is_empty() {
            page.hang("As issued: ", same.join(", "));
        }
    } else if body.state == State::Changed {
        page.paragraph("The parts are named by digests in the page itself, which whoever changed it could change too; with --logbook the page is held against the one kept.");
    }
    page.paragraph(&body.code_comes);
}
