//! `parts put`.

use std::path::Path;

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::{OPTIONS, heading, write_row};
use crate::checklist::nearest;
use crate::cli::act;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::entries::assigned;
use crate::cli::failure::Failure;
use crate::defects::PartSaid;
use crate::logbook::record::Record;
use crate::service::parts::{Field, PartRow, part_of, parts};

/// Options of `parts put`.
#[derive(Args, Debug)]
pub struct PutArgs {
    /// Id of the part, as `handlamp parts` lists it
    pub part: String,
    /// What is said, such as makers_number="K 100", fits=R7, bore_mm=38 or photo=FILE.jpg; measures in your
    /// own units or with their unit; nothing after the sign says that nobody knows
    #[arg(required = true, value_name = "FIELD=VALUE", value_parser = assigned)]
    pub fields: Vec<(String, String)>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct PartBody {
    /// Id of the record.
    id: String,
    /// The part as it is known now.
    row: PartRow,
}

/// Runs `parts put`.
///
/// # Errors
/// There is no such part or field, or what is wrong with what is said.
pub fn run(args: &PutArgs, cx: &Context) -> Result<Answer, Failure> {
    let typed: Vec<String> = args
        .fields
        .iter()
        .map(|(f, v)| format!("{f}={v}"))
        .collect();
    let mut book = cx.book_for(&format!("{} {}", args.part, typed.join(" ")))?;
    cx.known_asked(&book)?;
    let history = cx.history(&book);
    let rows = parts(&cx.condition(&book, &history), &history);
    let of_act = |fault| Failure::of_act(vec![fault], &OPTIONS);
    let row = part_of(&rows, &args.part, cx.global.machine.as_deref()).map_err(of_act)?;
    let mut said = PartSaid {
        at: cx.global.now,
        ..PartSaid::of(&row.part, row.machine.as_deref())
    };
    let mut photo = None;
    for (name, text) in &args.fields {
        let field = field(name, row)?;
        if field.is_photo() && !Field::leaves_open(text) {
            photo = Some(Path::new(text.trim()));
            continue;
        }
        let put = field.put(&said, text, book.boat().units);
        said = put.map_err(|why| Failure::usage(format!("{name}: {why}")))?;
    }
    // Once all else that was typed can be read.
    said.photo = photo.map(|path| book.keep_photo(path, None)).transpose()?;
    let (_, ids) = act::put(&mut book, Record::from(said), &OPTIONS)?;
    let history = cx.history(&book);
    let condition = cx.condition(&book, &history);
    let rows = parts(&condition, &history);
    let row = part_of(&rows, &args.part, row.machine.as_deref()).map_err(of_act)?;
    let body = PartBody {
        id: ids.into_iter().next().unwrap_or_default(),
        row: row.clone(),
    };
    Ok(cx.form.answer("part", &body, |page| {
        page.line(heading(&condition, body.row.machine.as_deref()));
        write_row(page, &body.row, book.library(), book.boat().units);
    }))
}

/// A field of a part, by its name.
fn field(name: &str, row: &PartRow) -> Result<&'static Field, Failure> {
    Field::named(name).ok_or_else(|| {
        let known: Vec<&str> = Field::of(row.kind).map(|field| field.name).collect();
        let near = nearest(name, known.iter().copied()).unwrap_or_default();
        Failure::usage(format!(
            "'{name}' is nothing that is known of a part{near}; of {} it is {}",
            row.part,
            known.join(", ")
        ))
    })
}
