//! A checklist to fill in on paper, as one HTML file: no script, nothing from elsewhere, black on
//! white, for A4 and Letter. The page is `pages/sheet.html`.

use askama::Template;
use serde_json::json;

use crate::checklist::{
    Cadence, Checklist, Closing, Grade, Item, Kind, Leak, Library, Phase, Row, WearMark,
};
use crate::walk::Agreed;

/// What stands above every sheet.
pub const OUTRANKS: &str = "The maker's handbook and local rules outrank this sheet.";

/// What becomes of a sheet that is filled in.
pub const TYPED_UP: &str = "Typed up as a walk sheet, what is written here goes into the logbook with: handlamp record FILE. The words in brackets are the ids by which a walk sheet names the checklist, its phases and the items.";

/// What a typed-up look and walk may carry besides.
const FIELDS: &str = "A look takes, beside its grade: leak (none, i, ii, iii, stream), reading {value, unit}, added, note, said, at_rpm, wear [{mark, where, against}]; grade_reason where the rung is not the one the leak class or the reading proposes; better (cleaned, adjusted, repaired, misjudged) where it is better than last time; at where it was made later than the walk began, as the next morning. The walk takes machine where the boat has several; a leak run disturbed [ids]; a survey agreed {runs, may_open, samples, full_throttle, on_arrival, started_by} and told [{items, whom, at}].";

/// Speeds at which a row that is asked at each of them has room.
const SPEEDS: usize = 4;
/// Rooms for who was told of what is unsafe.
const TOLD: usize = 3;
/// Lines for what has no room at its item.
const NOTES: usize = 6;

/// The sheet as HTML.
pub fn html(list: &Checklist, library: &Library) -> String {
    let title = &list.title;
    let sheet = Sheet {
        list,
        library,
        title,
    };
    sheet.to_string()
}

#[derive(Template)]
#[template(path = "sheet.html")]
struct Sheet<'a> {
    list: &'a Checklist,
    library: &'a Library,
    title: &'a str,
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

impl Sheet<'_> {
    fn marks(&self) -> String {
        let marks = WearMark::ALL.iter().map(|mark| mark.as_str());
        marks.collect::<Vec<_>>().join(", ")
    }

    /// What is settled before the walk.
    fn agreed(&self) -> Vec<&'static str> {
        match self.list.closes_with {
            Closing::Survey => {
                let agreed = Agreed::default();
                agreed.answers().map(|(question, _)| question).to_vec()
            }
            _ => vec!["Joints the service disturbed"],
        }
    }

    /// The phase from which the time of another counts.
    fn since(&self, phase: &Phase) -> Option<&str> {
        let since = phase.since.as_ref()?;
        let phase = self.list.phases.iter().find(|p| p.id == *since)?;
        Some(&phase.title)
    }

    /// The rows of a phase by where one stands.
    fn stations<'a>(&'a self, phase: &'a Phase) -> Vec<(&'a str, &'a [Row])> {
        let stands = phase.rows.chunk_by(|a, b| a.station == b.station);
        let named = |rows: &'a [Row]| {
            let id = &rows.first()?.station;
            let station = self.library.catalogue.station(id);
            Some((station.map_or(&**id, |s| &*s.title), rows))
        };
        stands.filter_map(named).collect()
    }

    fn items(&self, row: &Row) -> Vec<&Item> {
        let known = |id| self.library.catalogue.item(id);
        row.items.iter().filter_map(|id| known(id)).collect()
    }

    fn look<'a>(&self, item: &'a Item, phase: &Phase) -> &'a str {
        item.look_in(Some(phase.state))
    }

    fn rungs<'a>(&self, item: &'a Item) -> impl Iterator<Item = (Grade, &'a String)> {
        Grade::ALL.iter().copied().zip(&item.ladder)
    }

    fn leaks(&self) -> impl Iterator<Item = String> {
        Leak::ALL.iter().map(|leak| match leak {
            Leak::I | Leak::Ii | Leak::Iii => leak.as_str().to_uppercase(),
            Leak::None | Leak::Stream => leak.as_str().to_owned(),
        })
    }

    /// Columns of the grid to fill in, one speed a row.
    fn columns(&self, item: &Item) -> impl Iterator<Item = &'static str> {
        let unit = item.reading.as_ref().map(|reading| reading.unit.as_str());
        ["rpm", "rung"].into_iter().chain(unit)
    }

    /// A walk sheet of the first items of a checklist: one graded, the next not seen.
    fn example(&self) -> String {
        let list = self.list;
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
}
