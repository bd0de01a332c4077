//! `checklist sheet`: a page to fill in with a pencil.

use std::path::Path;

use super::find;
use crate::checklist::{Checklist, Grade, Item, Library, Phase, Row};
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::own_file::{self, PAGE};
use crate::cli::page::{Page, USUAL_WIDTH};
use crate::report::sheet::{OUTRANKS, TYPED_UP, asked, html, state};

const LINE: &str = "________________________________________________________";

/// Runs the command: as the checklist is asked of the machine named, of all the boat's where none is, and
/// of an inboard engine where there is no boat.
///
/// # Errors
/// There is no such checklist or machine, JSON was asked for, or the page cannot be written.
pub fn run(id: &str, to: Option<&Path>, cx: &Context) -> Result<Answer, Failure> {
    if cx.form.json {
        return Err(Failure::usage(
            "a sheet is for paper and has no JSON form; see: handlamp checklist show ID --json",
        ));
    }
    let (library, roles) = cx.library_and_roles()?;
    let list = library.asked_of(find(&library, id)?, &roles);
    let library = library.in_words_of(&list);
    let mut page = Page::new(USUAL_WIDTH);
    match to {
        Some(path) => {
            own_file::write(path, PAGE, &html(&list, &library))?;
            page.line(format!("Written to {}", path.display()));
        }
        None => write(&mut page, &list, &library),
    }
    Ok(Answer::text(page.into_text()))
}

fn write(page: &mut Page, list: &Checklist, library: &Library) {
    page.hang("", format!("{} [{}]", list.title, list.id));
    page.paragraph(&list.purpose);
    page.blank();
    page.line("Boat ______________________________  Machine ______________________");
    page.line("Date ______________  Time __________  Hour meter ___________________");
    page.line("By   ______________________________");
    page.blank();
    page.paragraph(format!(
        "Mark one rung of each item, or cross the item out and write why it was not seen. {OUTRANKS}"
    ));
    for phase in &list.phases {
        write_phase(page, phase, library);
    }
    page.blank();
    page.line("=".repeat(USUAL_WIDTH));
    page.paragraph(format!("{OUTRANKS} {TYPED_UP}"));
}

fn write_phase(page: &mut Page, phase: &Phase, library: &Library) {
    page.blank();
    page.line("=".repeat(USUAL_WIDTH));
    page.hang(
        "",
        format!(
            "{} [{}] ({})",
            phase.title.to_uppercase(),
            phase.id,
            state(phase)
        ),
    );
    if let Some(before) = &phase.before {
        page.hang("CAUTION: ", before);
    }
    for row in &phase.rows {
        write_row(page, row, library);
    }
}

fn write_row(page: &mut Page, row: &Row, library: &Library) {
    let station = library.catalogue.station(&row.station);
    let station = station.map_or(row.station.as_str(), |s| s.title.as_str());
    page.blank();
    page.hang("[ ] ", format!("{} ({station}{})", row.title, asked(row)));
    let items = row.items.iter().filter_map(|id| library.catalogue.item(id));
    items.for_each(|item| write_item(page, item));
}

fn write_item(page: &mut Page, item: &Item) {
    page.hang("    ", format!("{} [{}]", item.title, item.id));
    for caution in &item.cautions {
        page.hang("      CAUTION: ", caution);
    }
    for (rung, text) in item.ladder.iter().enumerate() {
        let grade = Grade::from_rung(rung).map_or("", Grade::as_str);
        page.hang(&format!("      ( ) {rung} {grade:<8}"), text);
    }
    if item.fluid.is_some() {
        page.line("      Leak: none  I  II  III  stream");
    }
    if let Some(reading) = &item.reading {
        page.line(format!("      Reading: __________ {}", reading.unit));
    }
    page.line(format!("      Note: {LINE}"));
}
