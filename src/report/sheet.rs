//! A checklist to fill in on paper, as one HTML file: no script, nothing from elsewhere, black on
//! white, for A4 and Letter.

use std::fmt::Write as _;

use serde_json::json;

use super::html::head;
use crate::checklist::{
    Cadence, Checklist, Closing, Grade, Item, Kind, Leak, Library, Phase, Row, WearMark,
};
use crate::text::html_text as t;
use crate::walk::Agreed;

const STYLE: &str = include_str!("sheet.css");

/// What stands above every sheet.
pub const OUTRANKS: &str = "The maker's handbook and local rules outrank this sheet.";

/// What becomes of a sheet that is filled in.
pub const TYPED_UP: &str = "Typed up as a walk sheet, what is written here goes into the logbook with: handlamp record FILE. The words in brackets are the ids by which a walk sheet names the checklist, its phases and the items.";

/// What a typed-up look and walk may carry besides.
const FIELDS: &str = "A look takes, beside its grade: leak (none, i, ii, iii, stream), reading {value, unit}, added, note, said, at_rpm, wear [{mark, where, against}]; grade_reason where the rung is not the one the leak class or the reading proposes; better (cleaned, adjusted, repaired, misjudged) where it is better than last time. The walk takes machine where the boat has several; a leak run disturbed [ids]; a survey agreed {runs, may_open, samples, full_throttle} and told [{items, whom, at}].";

/// Speeds at which a row that is asked at each of them has room.
const SPEEDS: usize = 4;
/// Rooms for who was told of what is unsafe.
const TOLD: usize = 3;
/// Lines for what has no room at its item.
const NOTES: usize = 6;

/// A line to write on.
const LINE: &str = "<u></u>";
/// A box to tick.
const TICK: &str = "<i></i>";

/// The sheet as HTML.
pub fn html(list: &Checklist, library: &Library) -> String {
    let mut out = String::with_capacity(64 * 1024);
    out.push_str(&head(&list.title, STYLE));
    front(&mut out, list);
    for phase in &list.phases {
        write_phase(&mut out, list, phase, library);
    }
    if list.closes_with == Closing::Survey {
        told(&mut out);
    }
    notes(&mut out);
    foot(&mut out, list);
    out.push_str("</body>\n</html>\n");
    out
}

/// How a row is asked, as it stands after its title: how often, and whether it must be seen.
pub fn asked(row: &Row) -> String {
    let cadence = match row.cadence {
        Cadence::EveryTime => "",
        Cadence::Weekly => "; weekly",
        Cadence::Monthly => "; monthly",
    };
    let must_see = if row.must_see { "; must see" } else { "" };
    format!("{cadence}{must_see}")
}

/// The engine's state in a phase, and how long it lasts.
pub fn state(phase: &Phase) -> String {
    let minutes = phase.minutes.map(|m| format!(", {m} minutes"));
    format!("engine: {}{}", phase.state, minutes.unwrap_or_default())
}

/// Text of people, which keeps its own direction.
fn own(text: &str) -> String {
    format!("<bdi>{}</bdi>", t(text))
}

fn line(out: &mut String, class: &str, inner: &str) {
    let _ = writeln!(out, "<p class=\"{class}\">{inner}</p>");
}

/// A line to write on after each name.
fn to_fill(names: &[&str]) -> String {
    names
        .iter()
        .map(|name| format!("<span>{} {LINE}</span>", t(name)))
        .collect()
}

fn front(out: &mut String, list: &Checklist) {
    let _ = writeln!(
        out,
        "<h1>{} <code>[{}]</code></h1>\n<p>{}</p>",
        own(&list.title),
        t(&list.id),
        own(&list.purpose)
    );
    let names = ["Boat", "Machine", "Date", "Time", "Hour meter", "By"];
    line(out, "front", &to_fill(&names));
    let marks: Vec<&str> = WearMark::ALL.iter().map(|mark| mark.as_str()).collect();
    let _ = writeln!(
        out,
        "<p>Tick one rung of each item, or write why it was not seen and what would close the gap. A tick before a row of several items says that all of them are sound. A mark of wear ({}) goes into the note, with where and against what. <strong>{}</strong></p>",
        t(&marks.join(", ")),
        t(OUTRANKS)
    );
    match list.closes_with {
        Closing::Daily => {}
        Closing::LeakRun => agreed(out, &["Joints the service disturbed"]),
        Closing::Survey => {
            let questions = Agreed::default().answers().map(|(question, _)| question);
            out.push_str("<p>What the seller said of an item goes into its note, marked as said; it is not graded. Agreed beforehand:</p>\n");
            agreed(out, &questions);
        }
    }
}

fn agreed(out: &mut String, questions: &[&str]) {
    out.push_str("<div class=\"agreed\">\n");
    for question in questions {
        line(out, "line", &format!("{} {LINE}", t(question)));
    }
    out.push_str("</div>\n");
}

fn told(out: &mut String) {
    out.push_str("<section>\n<h2>Told of what is unsafe</h2>\n");
    for _ in 0..TOLD {
        let inner = format!("Of {LINE} told {LINE} date and time {LINE}");
        line(out, "line", &inner);
    }
    out.push_str("</section>\n");
}

fn notes(out: &mut String) {
    out.push_str("<section>\n<h2>Notes</h2>\n<p>Name the item of each.</p>\n");
    for _ in 0..NOTES {
        out.push_str("<div class=\"rule\"></div>\n");
    }
    out.push_str("</section>\n");
}

fn foot(out: &mut String, list: &Checklist) {
    let _ = writeln!(
        out,
        "<footer>\n<p><strong>{}</strong> {}</p>\n<p><code>{}</code></p>\n<p>{}</p>\n</footer>",
        t(OUTRANKS),
        t(TYPED_UP),
        t(&example(list)),
        t(FIELDS)
    );
}

/// A walk sheet of the first items of a checklist: one graded, the next not seen.
fn example(list: &Checklist) -> String {
    let asked = list.phases.iter().flat_map(|phase| {
        let items = phase.rows.iter().flat_map(|row| &row.items);
        items.map(|item| (item, &phase.id))
    });
    let said = [
        r#""grade":"sound""#,
        r#""not_seen":"no access","close_by":"lift the aft board""#,
    ];
    let looks = asked.zip(said).map(|((item, phase), said)| {
        let (item, phase) = (json!(item), json!(phase));
        format!(r#"{{"item":{item},"phase":{phase},{said}}}"#)
    });
    format!(
        r#"{{"type":"walk","checklist":{},"at":"2026-05-03T07:40:00+02:00","by":"R. Quay","hours":1243.6,"looks":[{}]}}"#,
        json!(list.id),
        looks.collect::<Vec<_>>().join(",")
    )
}

fn write_phase(out: &mut String, list: &Checklist, phase: &Phase, library: &Library) {
    let _ = writeln!(
        out,
        "<section>\n<h2>{} <code>[{}]</code></h2>\n<p class=\"state\">{}{}</p>",
        own(&phase.title),
        t(&phase.id),
        t(&state(phase)),
        timed(list, phase)
    );
    if let Some(before) = &phase.before {
        line(out, "caution", &format!("Caution: {}", own(before)));
    }
    let mut stand = None;
    for row in &phase.rows {
        if stand != Some(&row.station) {
            stand = Some(&row.station);
            let station = library.catalogue.station(&row.station);
            let title = station.map_or(row.station.as_str(), |s| s.title.as_str());
            let _ = writeln!(out, "<h3>{}</h3>", own(title));
        }
        write_row(out, row, library);
    }
    out.push_str("</section>\n");
}

/// Within which time the looks are meant to be made, and from when the time counts.
fn timed(list: &Checklist, phase: &Phase) -> String {
    let within = phase.within.map(|m| format!("; look within {m} minutes"));
    let since = phase.since.as_ref();
    let since = since.and_then(|id| list.phases.iter().find(|p| p.id == *id));
    let since = since.map(|p| format!("; time counts from {}", own(&p.title)));
    [within, since].into_iter().flatten().collect()
}

fn write_row(out: &mut String, row: &Row, library: &Library) {
    let title = format!("<strong>{}</strong>{}", own(&row.title), t(&asked(row)));
    if row.items.len() > 1 {
        line(out, "row", &format!("{TICK} {title}"));
    }
    for id in &row.items {
        let Some(item) = library.catalogue.item(id) else {
            continue;
        };
        let known_as = own(&item.title);
        let named = match row.items.len() {
            1 if row.title == item.title => title.clone(),
            1 => format!("{title}<br>{known_as}"),
            _ => format!("<strong>{known_as}</strong>"),
        };
        write_item(out, item, &named, row.each_speed);
    }
}

/// An item: what to mind, how to look, its ladder, and lines for what was found.
fn write_item(out: &mut String, item: &Item, named: &str, each_speed: bool) {
    out.push_str("<article class=\"item\">\n");
    for caution in &item.cautions {
        line(out, "caution", &format!("Caution: {}", own(caution)));
    }
    let _ = writeln!(
        out,
        "<div class=\"asked\">\n<div class=\"head\"><p>{named} <code>[{}]</code></p><p>{}</p></div>\n<ol class=\"rungs\">",
        t(&item.id),
        own(&item.look)
    );
    // One box cannot tell of several speeds.
    let tick = if each_speed { "<span></span>" } else { TICK };
    for (rung, (grade, text)) in Grade::ALL.iter().zip(&item.ladder).enumerate() {
        let _ = writeln!(
            out,
            "<li>{tick} <span>{rung}</span> <strong>{grade}</strong> {}</li>",
            own(text)
        );
    }
    out.push_str("</ol>\n<div>\n");
    found(out, item, each_speed);
    out.push_str("</div>\n");
    let unseen = format!("{TICK} not seen because {LINE} to close it {LINE}");
    line(out, "line unseen", &unseen);
    out.push_str("</div>\n</article>\n");
}

/// Room for what was found at an item: leak class, reading, note.
fn found(out: &mut String, item: &Item, each_speed: bool) {
    if item.fluid.is_some() {
        let classes = Leak::ALL.iter().map(|leak| {
            let class = leak.as_str();
            let shown = match leak {
                Leak::I | Leak::Ii | Leak::Iii => class.to_uppercase(),
                Leak::None | Leak::Stream => class.to_owned(),
            };
            format!("<span>{TICK} {shown}</span>")
        });
        let classes: String = classes.collect();
        line(out, "leak", &format!("<span>Leak</span>{classes}"));
    }
    let unit = item.reading.as_ref().map(|reading| reading.unit.as_str());
    if each_speed {
        speeds(out, unit);
    } else if let Some(unit) = unit {
        line(out, "line", &format!("Reading {LINE} {}", t(unit)));
    }
    if item.kind == Kind::Level {
        line(out, "line", &format!("Added {LINE}"));
    }
    line(out, "line", &format!("Note {LINE}"));
    if !each_speed {
        line(out, "line", LINE);
    }
}

/// A grid to fill in, one speed a row.
fn speeds(out: &mut String, unit: Option<&str>) {
    let columns: Vec<String> = ["rpm", "rung"].into_iter().chain(unit).map(t).collect();
    let head: String = columns
        .iter()
        .map(|name| format!("<th scope=\"col\">{name}</th>"))
        .collect();
    let row = format!("<tr>{}</tr>\n", "<td></td>".repeat(columns.len()));
    let _ = writeln!(
        out,
        "<table>\n<thead><tr>{head}</tr></thead>\n<tbody>\n{}</tbody>\n</table>",
        row.repeat(SPEEDS)
    );
}
