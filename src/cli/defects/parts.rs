//! The parts that the remedies need, each once.

use schemars::JsonSchema;
use serde::Serialize;

use crate::checklist::Library;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::exposure::{Ahead, words};
use crate::cli::page::{Page, Set};
use crate::cli::verdict::title_of;
use crate::defects::leaving_said;
use crate::defects::list::{DefectList, Row, Scenario};
use crate::fleet::numbers::PartNumbers;
use crate::service;
use crate::service::shop::ShopRow;

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct PartsBody {
    /// Over what the list was ranked.
    pub exposure: Ahead,
    /// In the order of the list.
    pub rows: Vec<PartRow>,
    /// The list for the shop, for each machine: what these take and what due work takes, with what is
    /// aboard taken off, then what the locker lacks of what is customary in the waters ahead.
    pub shop: Vec<ShopRow>,
}

/// A part and what it is for.
#[derive(Serialize, JsonSchema)]
pub struct PartRow {
    /// The part in plain words, as the catalogue names it.
    pub part: String,
    /// Items whose remedy needs it.
    pub items: Vec<String>,
    /// What is known of it by number, for each machine that waits for it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub numbers: Vec<PartNumbers>,
}

/// The parts of the defects that wait for a repair; `known` is what is known of parts.
pub fn answer(
    list: &DefectList,
    scenario: Scenario,
    (library, known): (&Library, &[service::parts::PartRow]),
    mut shop: Vec<ShopRow>,
    cx: &Context,
) -> Answer {
    let mut rows: Vec<PartRow> = Vec::new();
    for (row, part, numbers) in needed(list, known) {
        let at = rows.iter().position(|known| known.part == *part);
        let at = at.unwrap_or(rows.len());
        if at == rows.len() {
            rows.push(PartRow {
                part: part.to_owned(),
                items: Vec::new(),
                numbers: Vec::new(),
            });
        }
        let needed = &mut rows[at];
        if !needed.items.contains(&row.item) {
            needed.items.push(row.item.clone());
        }
        let numbers = numbers.filter(|n| !needed.numbers.contains(n));
        needed.numbers.extend(numbers);
    }
    shop.retain(|row| cx.is_asked(row.machine.as_deref()));
    let body = PartsBody {
        exposure: scenario.exposure.into(),
        rows,
        shop,
    };
    cx.form.answer("parts", &body, |page| {
        page.line(format!("Parts, by the list over {}", words(scenario)));
        if body.rows.is_empty() {
            page.line("No remedy on the list needs a part.");
            return write_shop(page, &body.shop, library);
        }
        page.blank();
        let rows = body.rows.iter().map(|row| {
            let items = row.items.iter().map(|i| title_of(library, i));
            let cells = vec![row.part.clone(), items.collect::<Vec<_>>().join("; ")];
            let numbers = row.numbers.iter().map(|n| match &n.machine {
                Some(machine) => format!("{machine}: {}", n.words),
                None => n.words.clone(),
            });
            (cells, numbers.collect())
        });
        let rows: Vec<(Vec<String>, Vec<String>)> = rows.collect();
        let columns = [("part", Set::Wrap), ("for", Set::Wrap)];
        page.table_with_notes(&columns, &rows, "    ");
        write_shop(page, &body.shop, library);
    })
}

/// What to buy, and what is there already.
fn write_shop(page: &mut Page, shop: &[ShopRow], library: &Library) {
    let (there, buy): (Vec<&ShopRow>, Vec<&ShopRow>) = shop.iter().partition(|r| r.buy <= 0.0);
    page.blank();
    page.line("FOR THE SHOP, WHAT IS ABOARD TAKEN OFF");
    if buy.is_empty() {
        page.hang("  ", "Nothing.");
    }
    for row in buy {
        page.hang(
            "  - ",
            format!("{}: {}{}", named(row), row.words, why(row, library)),
        );
    }
    if !there.is_empty() {
        page.blank();
        page.line("ABOARD ALREADY, BY THE RECORD");
    }
    for row in there {
        page.hang("  - ", format!("{}{}", named(row), why(row, library)));
    }
}

fn named(row: &ShopRow) -> String {
    leaving_said::named(&row.title, row.machine.as_deref(), true)
}

fn why(row: &ShopRow, library: &Library) -> String {
    let items = row.items.iter().map(|i| title_of(library, i));
    let task = |id: &String| library.task(id).map_or(id.clone(), |t| t.title.clone());
    let tasks = row.tasks.iter().map(task);
    let locker = row.for_locker.then(|| "the locker, by custom".to_owned());
    let all: Vec<String> = items.chain(tasks).chain(locker).collect();
    format!(", for {}", all.join("; "))
}

/// Every part that a defect waits for, in the order of the list, with what is known of it by number.
pub fn needed<'a>(
    list: &'a DefectList,
    known: &'a [service::parts::PartRow],
) -> impl Iterator<Item = (&'a Row, &'a str, Option<PartNumbers>)> {
    let waiting = list.rows.iter().filter(|row| row.waits());
    waiting.flat_map(move |row| {
        row.parts.iter().map(move |part| {
            let on = row.machine.as_deref();
            let numbers = PartNumbers::in_remedy(known, (&row.item, part), on);
            (row, part.as_str(), numbers)
        })
    })
}
