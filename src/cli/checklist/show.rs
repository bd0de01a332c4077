//! `checklist show`.

use schemars::JsonSchema;
use serde::Serialize;

use super::find;
use crate::boat::Role;
use crate::boat::kinds::{Cooling, Lies};
use crate::checklist::list::BeforeFor;
use crate::checklist::{
    Cadence, Checklist, Effect, FirstLook, Fluid, Grade, Item, Kind, Library, Phase, PhaseState,
    Reading, Remedy, Row, Scope, SeasonStep, ServiceLife,
};
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::page::Page;

/// The body of the answer: the checklist with everything that is known of its items.
#[derive(Serialize, JsonSchema)]
pub struct ShowBody {
    /// The id of the checklist.
    id: String,
    /// Its title, as people read it.
    title: String,
    /// Parts of the walk, in order.
    phases: Vec<PhaseBody>,
}

/// A part of the walk with one engine state.
#[derive(Serialize, JsonSchema)]
struct PhaseBody {
    /// The id of the phase, which looks name.
    id: String,
    /// Its title, as people read it.
    title: String,
    /// State of the engine while this phase is walked; bands and cautions follow it.
    state: PhaseState,
    /// What to do first, cautions before all.
    before: Option<String>,
    /// What to do first in its place, where it differs for a role.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    before_for: Vec<BeforeFor>,
    /// What to look at, in walking order.
    rows: Vec<RowBody>,
}

/// One question, asked over one item or several.
#[derive(Serialize, JsonSchema)]
struct RowBody {
    /// As it stands in the walk.
    title: String,
    /// Where it is, by the id of the station in the catalogue.
    station: String,
    /// How often it is asked.
    cadence: Cadence,
    /// A clear verdict needs it.
    must_see: bool,
    /// Roles for which it comes before the other rows of its phase.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    first_for: Vec<Role>,
    /// What is done before its items are looked at.
    #[serde(skip_serializing_if = "Option::is_none")]
    step: Option<SeasonStep>,
    /// Kinds of cooling it is for; left out, all.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    cooling: Vec<Cooling>,
    /// Where she lies while she stands, if it is for that alone.
    #[serde(skip_serializing_if = "Option::is_none")]
    lies: Option<Lies>,
    /// The items the question covers.
    items: Vec<ItemBody>,
}

/// One item, with everything the catalogue says of it.
#[derive(Serialize, JsonSchema)]
pub struct ItemBody {
    /// The item, by its id in the catalogue.
    item: String,
    /// As it stands in the list.
    title: String,
    /// Where it is, by the id of the station in the catalogue.
    station: String,
    /// The kind of thing it is, from which it has its dwells.
    kind: Kind,
    /// One per machine or per boat.
    scope: Scope,
    /// Roles of the machines it is asked of; left out, those of an inboard engine, and always what the
    /// boat has once.
    #[serde(skip_serializing_if = "Option::is_none")]
    roles: Option<Vec<Role>>,
    /// Where to look and how, one or two sentences.
    look: String,
    /// How to look while the engine runs; left out, as otherwise.
    #[serde(skip_serializing_if = "Option::is_none")]
    look_running: Option<String>,
    /// How to look just after it stopped, when all is hot; left out, as otherwise.
    #[serde(skip_serializing_if = "Option::is_none")]
    look_after: Option<String>,
    /// How each rung looks, sound first; in a checklist, in the words in which it asks.
    ladder: [String; 5],
    /// Other words for a first look, as in a survey; left out where the usual ones hold.
    #[serde(skip_serializing_if = "Option::is_none")]
    first_look: Option<FirstLook>,
    /// What can be measured.
    reading: Option<Reading>,
    /// What can come out of it; null where nothing can.
    fluid: Option<Fluid>,
    /// What follows its failure.
    effects: Vec<Effect>,
    /// The rung that forbids running; null where the default of its effects holds.
    stop_at: Option<Grade>,
    /// Shown before the instruction.
    cautions: Vec<String>,
    /// What puts it right.
    remedy: Remedy,
    /// Parts its remedy takes, in plain words.
    parts: Vec<String>,
    /// How long it may serve.
    life: Option<ServiceLife>,
    /// Time an honest look takes, seconds.
    seconds: u32,
    /// Where a limit comes from.
    source: String,
}

/// Runs the command.
///
/// # Errors
/// There is no such checklist.
pub fn run(id: &str, cx: &Context) -> Result<Answer, Failure> {
    let library = cx.library_at_hand()?;
    let list = find(&library, id)?;
    let library = library.in_words_of(list);
    let body = ShowBody {
        id: list.id.clone(),
        title: list.title.clone(),
        phases: list
            .phases
            .iter()
            .map(|p| phase_body(p, &library))
            .collect(),
    };
    Ok(cx.form.answer("checklist-show", &body, |page| {
        write(page, &body, list, &library)
    }))
}

fn phase_body(phase: &Phase, library: &Library) -> PhaseBody {
    PhaseBody {
        id: phase.id.clone(),
        title: phase.title.clone(),
        state: phase.state,
        before: phase.before.clone(),
        before_for: phase.before_for.clone(),
        rows: phase.rows.iter().map(|r| row_body(r, library)).collect(),
    }
}

fn row_body(row: &Row, library: &Library) -> RowBody {
    let items = row.items.iter().filter_map(|id| library.catalogue.item(id));
    RowBody {
        title: row.title.clone(),
        station: row.station.clone(),
        cadence: row.cadence,
        must_see: row.must_see,
        first_for: row.first_for.clone(),
        step: row.step.clone(),
        cooling: row.cooling.clone(),
        lies: row.lies,
        items: items.map(ItemBody::of).collect(),
    }
}

impl ItemBody {
    /// Everything the catalogue says of an item.
    pub fn of(item: &Item) -> ItemBody {
        let item = item.clone();
        ItemBody {
            item: item.id,
            title: item.title,
            station: item.station,
            kind: item.kind,
            scope: item.scope,
            roles: item.roles,
            look: item.look,
            look_running: item.look_running,
            look_after: item.look_after,
            ladder: item.ladder,
            first_look: item.first_look,
            reading: item.reading,
            fluid: item.fluid,
            effects: item.effects,
            stop_at: item.stop_at,
            cautions: item.cautions,
            remedy: item.remedy,
            parts: item.parts,
            life: item.life,
            seconds: item.seconds,
            source: item.source,
        }
    }
}

fn write(page: &mut Page, body: &ShowBody, list: &Checklist, library: &Library) {
    page.line(format!("{} ({})", body.title, body.id));
    page.paragraph(&list.purpose);
    for phase in &body.phases {
        page.blank();
        page.line(format!("{} (engine: {})", phase.title, phase.state));
        if let Some(before) = &phase.before {
            page.paragraph(before);
        }
        for own in &phase.before_for {
            page.hang("", format!("For {}: {}", in_words(&own.roles), own.before));
        }
        for row in &phase.rows {
            let station = library.catalogue.station(&row.station);
            let station = station.map_or(row.station.as_str(), |s| s.title.as_str());
            let cadence = match row.cadence {
                Cadence::EveryTime => String::new(),
                often => format!(", {}", often.words()),
            };
            let must_see = if row.must_see { ", must see" } else { "" };
            page.blank();
            page.hang(
                "- ",
                format!("{} ({station}{cadence}{must_see})", row.title),
            );
            write_step(page, row);
            for item in &row.items {
                write_item(page, item);
            }
        }
    }
}

/// What is done at a row, and for which boats it is.
fn write_step(page: &mut Page, row: &RowBody) {
    if !row.cooling.is_empty() {
        let kinds: Vec<&str> = row.cooling.iter().map(|kind| kind.as_str()).collect();
        page.line(format!("  Cooled by: {}", kinds.join(", ")));
    }
    if let Some(lies) = row.lies {
        page.line(format!("  Lying: {lies}"));
    }
    let Some(step) = &row.step else {
        return;
    };
    if let Some(caution) = &step.caution {
        page.hang("  Caution: ", caution);
    }
    page.hang("  Do: ", &step.action);
    for leaves in &step.opens {
        let forbids = leaves.forbids.words();
        page.hang(
            "  Left open: ",
            format!("{}, which forbids {forbids}", leaves.what),
        );
    }
}

fn in_words(roles: &[Role]) -> String {
    let roles: Vec<&str> = roles.iter().map(|role| role.as_str()).collect();
    roles.join(", ")
}

/// The words for a first look that do not stand there already, each with what it is of.
fn told_at_first(item: &ItemBody) -> Vec<(String, &String)> {
    let Some(first) = &item.first_look else {
        return Vec::new();
    };
    let look = first.look.iter().filter(|look| **look != item.look);
    let look = look.map(|look| ("look".to_owned(), look));
    let rungs = Grade::ALL.iter().zip(&item.ladder);
    let rungs = rungs.filter_map(|(grade, usual)| {
        let own = first.rung(*grade).as_ref().filter(|own| *own != usual)?;
        Some((format!("{} {grade}", grade.rung()), own))
    });
    look.chain(rungs).collect()
}

/// Writes an item as it is asked.
pub fn write_item(page: &mut Page, item: &ItemBody) {
    page.hang(
        "  ",
        format!("{} ({}, {})", item.title, item.item, item.kind),
    );
    if let Some(roles) = &item.roles {
        page.line(format!("    Asked of: {}", in_words(roles)));
    }
    for caution in &item.cautions {
        page.hang("    Caution: ", caution);
    }
    page.hang("    Look: ", &item.look);
    for (when, look) in [
        ("    Running: ", &item.look_running),
        ("    Just stopped: ", &item.look_after),
    ] {
        look.iter().for_each(|look| page.hang(when, look));
    }
    for (rung, text) in item.ladder.iter().enumerate() {
        let grade = Grade::from_rung(rung).map_or("", Grade::as_str);
        page.hang(&format!("    {rung} {grade}: "), text);
    }
    for (at, text) in told_at_first(item) {
        page.hang(&format!("    At a first look, {at}: "), text);
    }
    if let Some(stop) = item.stop_at {
        page.line(format!("    Stops the engine at: {stop}"));
    }
    page.hang(
        "    Remedy: ",
        format!(
            "{} ({}, {})",
            item.remedy.action, item.remedy.who, item.remedy.place
        ),
    );
}
