//! `hand-over`: what somebody else has to know who takes her out.

use std::path::PathBuf;

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::own_file::{PAGE, write};
use super::page::Page;
use crate::report::gather::Source;
use crate::report::hand_over::words::{CLOSING, Line, NOT_TOLD, Part};
use crate::report::hand_over::{HandOver, hand_over, page::html};
use crate::report::pictures::LEFT_OUT;
use crate::report::write::Form;

/// Room to write on, in characters.
const ROOM: &str = "______________________________";

/// Options of `hand-over`.
#[derive(Args, Debug)]
pub struct HandOverArgs {
    /// The page to write, to print or to send; without it the text is printed here
    #[arg(value_name = "FILE.html")]
    pub to: Option<PathBuf>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct HandOverBody {
    /// The page written, as it was named; null where none was asked for.
    pub file: Option<String>,
    /// Photographs that could not be read and are not on it.
    pub left_out: usize,
    /// What it says.
    #[serde(flatten)]
    pub page: HandOver,
}

/// Runs the command.
///
/// # Errors
/// There is no such machine, the name is not that of a page, or the page cannot be written; what was
/// there before is then as it was.
pub fn run(args: &HandOverArgs, cx: &Context) -> Result<Answer, Failure> {
    if let Some(path) = &args.to
        && !matches!(Form::of(path), Ok(Form::Html))
    {
        return Err(Failure::usage(format!(
            "{} is not named as a page; end it in .html",
            path.display()
        )));
    }
    let (book, history, condition) = cx.boat()?;
    cx.known_asked(&book)?;
    let source = Source {
        boat: book.boat(),
        library: book.library(),
        history: &history,
        now: condition.now,
    };
    let mut page = hand_over(&source, cx.global.machine.as_deref());
    let left_out = page.put_pictures(book.root());
    if left_out > 0 {
        cx.note(format!("{left_out} {LEFT_OUT}"));
    }
    if let Some(path) = &args.to {
        write(path, PAGE, &html(&page))?;
    }
    let body = HandOverBody {
        file: args.to.as_ref().map(|path| path.display().to_string()),
        left_out,
        page,
    };
    Ok(cx.form.answer("hand-over", &body, |page| {
        if let Some(path) = &body.file {
            return page.line(format!("Written to {path}"));
        }
        // What is not counted stands above every answer.
        page.hang("", body.page.title());
        page.paragraph(body.page.head());
        let (parts, sheet) = (body.page.parts(), body.page.sheet());
        let all = parts.iter().chain(&sheet);
        all.for_each(|part| put(page, part, &body.page));
        page.blank();
        page.paragraph(CLOSING);
    }))
}

fn put(page: &mut Page, part: &Part, of: &HandOver) {
    page.blank();
    page.hang("", part.title.to_uppercase());
    for line in &part.lines {
        match line {
            Line::Said(text) => page.paragraph(text),
            Line::Stop(text) => page.hang("! ", text),
            Line::Caution(text) => page.hang("CAUTION: ", text),
            Line::Point(text) => page.hang("  - ", text),
            Line::Under(text) => page.hang("  ", text),
            Line::Told(name, told) => put_told(page, name, told.as_deref()),
            Line::Shown(name, told, photo) => {
                put_told(page, name, told.as_deref());
                match of.address(photo) {
                    Some(_) => page.hang("    ", format!("Photograph: {}", photo.words())),
                    None => page.hang("  ! ", photo.not_shown()),
                }
            }
            Line::Write(name) => page.hang("  ", format!("{name} {ROOM}{ROOM}")),
            Line::Tick(name, sound) => page.hang("[ ] ", format!("{name}: {sound}")),
        }
    }
}

fn put_told(page: &mut Page, name: &str, told: Option<&str>) {
    match told {
        Some(told) => page.hang("  ", format!("{name}: {told}")),
        None => page.hang("  ", format!("{name}: {NOT_TOLD} {ROOM}")),
    }
}
