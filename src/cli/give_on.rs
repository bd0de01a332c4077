//! `give-on`: the history of the boat, for whoever owns her next.

use std::collections::BTreeSet;
use std::path::PathBuf;

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use crate::defects::{GivenOn, Private};
use crate::logbook::give_on::give_on;

/// Options of `give-on`.
#[derive(Args, Debug)]
pub struct GiveOnArgs {
    /// The folder to write: a new one, beside this logbook and not inside it
    pub dir: PathBuf,
    /// What goes along of names, prices, places, notes and photographs, which else stay with you;
    /// it can be given several times
    #[arg(long = "with", value_name = "WHAT")]
    pub with: Vec<Private>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct GiveOnBody {
    /// The folder of the copy, as it was named.
    pub folder: String,
    /// What the copy says of itself.
    #[serde(flatten)]
    pub told: GivenOn,
    /// How many pictures went along.
    pub photos: usize,
    /// Pictures that could not, in sentences.
    pub missing: Vec<String>,
}

/// Runs the command.
///
/// # Errors
/// Something bears the name, something is not counted that could still matter, or the folder cannot
/// be written; it is then not there.
pub fn run(args: &GiveOnArgs, cx: &Context) -> Result<Answer, Failure> {
    let (book, ..) = cx.boat()?;
    cx.known_asked(&book)?;
    let stays = Private::ALL.iter().filter(|what| !args.with.contains(what));
    let kept_back: BTreeSet<Private> = stays.copied().collect();
    let given = give_on(&book, &args.dir, &kept_back)?;
    let body = GiveOnBody {
        folder: args.dir.display().to_string(),
        told: given.told,
        photos: given.photos,
        missing: given.missing,
    };
    Ok(cx.form.answer("give-on", &body, |page| {
        page.line(format!("Written to {}", body.folder));
        page.paragraph(format!("{}.", body.told.words()));
        page.paragraph(
            "Ages and findings stand in it as you told them; nothing counts as sound until the new owner has looked.",
        );
        if !body.told.kept_back.contains(&Private::Notes) {
            page.paragraph("Notes went along as they were typed: read them before you hand it over.");
        }
        for missing in &body.missing {
            page.hang("! ", missing);
        }
    }))
}
