//! `checklist list`.

use schemars::JsonSchema;
use serde::Serialize;

use crate::checklist::{Checklist, Library, Sort, Source};
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::page::Set;

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct ListBody {
    /// The checklists, built-in ones first.
    rows: Vec<ListRow>,
    /// Stations, items, checklists and service tasks that are not the program's own; missing where
    /// there are none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    own: Vec<OwnRow>,
}

/// One thing of one's own.
#[derive(Serialize, JsonSchema)]
pub struct OwnRow {
    /// What sort of thing it is.
    sort: Sort,
    /// Its id, to be named on the command line.
    id: String,
    /// Its title, as people read it.
    title: String,
    /// Where it comes from.
    source: Source,
}

impl OwnRow {
    pub(super) fn of(sort: Sort, id: &str, title: &str, source: Source) -> OwnRow {
        OwnRow {
            sort,
            id: id.to_owned(),
            title: title.to_owned(),
            source,
        }
    }

    pub(super) fn sentence(&self) -> String {
        let sort = self.sort.as_str().replace('-', " ");
        format!("{sort} {}: {}", self.id, self.title)
    }
}

/// One checklist.
#[derive(Serialize, JsonSchema)]
pub struct ListRow {
    /// Its id, to be named on the command line.
    id: String,
    /// Its title, as people read it.
    title: String,
    /// What it is for.
    purpose: String,
    /// Where it comes from.
    source: Source,
    /// How many rows it asks in all.
    rows: usize,
    /// How many different items those rows cover.
    items: usize,
}

impl ListRow {
    fn of(list: &Checklist, library: &Library) -> ListRow {
        let rows = || list.phases.iter().flat_map(|p| &p.rows);
        let mut items: Vec<&String> = rows().flat_map(|r| &r.items).collect();
        items.sort_unstable();
        items.dedup();
        ListRow {
            id: list.id.clone(),
            title: list.title.clone(),
            purpose: list.purpose.clone(),
            source: library.source(Sort::Checklist, &list.id),
            rows: rows().count(),
            items: items.len(),
        }
    }
}

/// Where a thing comes from, in words.
fn from(source: Source) -> &'static str {
    match source {
        Source::BuiltIn => "the program",
        Source::Settings => "the settings folder",
        Source::Boat => "the boat's logbook",
        Source::Walk => "a walk that was asked with it, and nowhere else here",
    }
}

/// Runs the command.
///
/// # Errors
/// What is wrong with the user's files.
pub fn run(cx: &Context) -> Result<Answer, Failure> {
    let library = cx.library_at_hand()?;
    let rows = library.checklists().iter();
    let own = library.own().into_iter();
    let body = ListBody {
        rows: rows.map(|list| ListRow::of(list, &library)).collect(),
        own: own
            .map(|(sort, id, title, source)| OwnRow::of(sort, id, title, source))
            .collect(),
    };
    Ok(cx.form.answer("checklist-list", &body, |page| {
        let columns = [
            ("id", Set::Left),
            ("rows", Set::Right),
            ("items", Set::Right),
            ("title", Set::Wrap),
        ];
        let rows: Vec<_> = body
            .rows
            .iter()
            .map(|row| {
                let cells = vec![
                    row.id.clone(),
                    row.rows.to_string(),
                    row.items.to_string(),
                    row.title.clone(),
                ];
                (cells, vec![row.purpose.clone()])
            })
            .collect();
        page.table_with_notes(&columns, &rows, "    ");
        if !body.own.is_empty() {
            page.blank();
            page.line("Your own, and where it comes from:");
        }
        for row in &body.own {
            page.hang("- ", format!("{} ({})", row.sentence(), from(row.source)));
        }
    }))
}
