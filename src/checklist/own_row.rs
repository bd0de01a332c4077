//! Questions of one's own: one more item asked in a checklist, whoever made that. They are kept apart
//! from the checklist, so that what the program asks of itself later still comes through.

use std::collections::HashSet;

use serde::{Deserialize, Serialize};

use super::list::{Cadence, Checklist, Row};

/// One more item in a phase of a checklist.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnRow {
    /// Made of the three below, see [`OwnRow::new`].
    pub id: String,
    /// Id of the checklist.
    pub checklist: String,
    /// Id of its phase; where it has none of that id any more the item is asked in its first.
    pub phase: String,
    /// Id of the item.
    pub item: String,
    /// How often it is asked.
    #[serde(default)]
    pub cadence: Cadence,
    /// It is asked no more.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub gone: bool,
}

impl OwnRow {
    /// An item in a phase of a checklist; no cadence where it is asked no more.
    pub fn new(checklist: &str, phase: &str, item: &str, cadence: Option<Cadence>) -> OwnRow {
        OwnRow {
            id: id_of(checklist, phase, item),
            checklist: checklist.to_owned(),
            phase: phase.to_owned(),
            item: item.to_owned(),
            cadence: cadence.unwrap_or_default(),
            gone: cadence.is_none(),
        }
    }

    /// True where its id says what it says.
    pub(super) fn is_itself(&self) -> bool {
        self.id == id_of(&self.checklist, &self.phase, &self.item)
    }
}

/// No id of a checklist, a phase or an item holds a full stop.
fn id_of(checklist: &str, phase: &str, item: &str) -> String {
    format!("{checklist}.{phase}.{item}")
}

/// The checklists with these rows among their own, where the phase does not ask the item already:
/// behind the last row of its station in the first run of them, else where the walk would come past.
/// `asks` makes the row, where the item is known; `way` says which station comes first.
pub(super) fn placed(
    lists: &[Checklist],
    rows: &[OwnRow],
    asks: impl Fn(&OwnRow) -> Option<Row>,
    way: impl Fn(&str) -> Option<usize>,
) -> Vec<Checklist> {
    let mut lists = lists.to_vec();
    for own in rows.iter().filter(|row| !row.gone) {
        let list = lists.iter_mut().find(|list| list.id == own.checklist);
        let (Some(row), Some(list)) = (asks(own), list) else {
            continue;
        };
        let at = list.phases.iter().position(|p| p.id == own.phase);
        let Some(phase) = list.phases.get_mut(at.unwrap_or(0)) else {
            continue;
        };
        let asked: HashSet<&String> = phase.rows.iter().flat_map(|row| &row.items).collect();
        if !asked.contains(&own.item) {
            phase.rows.insert(place(&phase.rows, &row, &way), row);
        }
    }
    lists
}

fn place(rows: &[Row], new: &Row, way: &impl Fn(&str) -> Option<usize>) -> usize {
    let here = rows.iter().position(|row| row.station == new.station);
    if let Some(first) = here {
        let run = rows.iter().skip(first);
        return first + run.take_while(|row| row.station == new.station).count();
    }
    let mine = way(&new.station);
    let beyond = rows.iter().position(|row| way(&row.station) > mine);
    beyond.unwrap_or(rows.len())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checklist::{FINDING, Library, Own};

    fn with(rows: Vec<OwnRow>) -> Library {
        let mut own = Own::default();
        own.rows = rows;
        Library::built_in().with(&own)
    }

    fn titles<'l>(library: &'l Library, list: &str, phase: usize) -> Vec<&'l str> {
        let rows = library.checklist(list).map(|l| &l.phases[phase].rows);
        rows.into_iter()
            .flatten()
            .map(|r| r.title.as_str())
            .collect()
    }

    #[test]
    fn an_item_is_asked_beside_its_neighbours_and_once() {
        let weekly = Some(Cadence::Weekly);
        let library = with(vec![
            OwnRow::new("short", "cold", "front-pipe-chafe", weekly),
            OwnRow::new("daily", "cold", "drive-belt", weekly),
            OwnRow::new("daily", "cold", "nobody-knows-it", weekly),
            OwnRow::new("no-list", "cold", "drive-belt", weekly),
        ]);
        let built_in = Library::built_in();
        assert_eq!(titles(&library, "daily", 0), titles(built_in, "daily", 0));
        let rows = &library.checklists().iter().find(|l| l.id == "short");
        let rows = rows.map(|l| l.phases[0].rows.clone()).unwrap_or_default();
        let at = rows.iter().position(|r| r.items == ["front-pipe-chafe"]);
        let at = at.unwrap_or_default();
        assert!(at > 0);
        assert_eq!(rows[at - 1].station, "front");
        assert_eq!(rows[at].cadence, Cadence::Weekly);
        let before = titles(built_in, "short", 0).len();
        assert_eq!(rows.len(), before + 1);
    }

    #[test]
    fn one_asked_no_more_leaves_the_checklist_as_it_was_and_a_lost_phase_loses_no_question() {
        let gone = with(vec![OwnRow::new("short", "cold", "front-pipe-chafe", None)]);
        assert_eq!(gone.checklists(), Library::built_in().checklists());
        let every = Some(Cadence::EveryTime);
        let moved = OwnRow::new("short", "before-dawn", "front-pipe-chafe", every);
        let moved = with(vec![moved]);
        let title = Library::built_in().catalogue.item("front-pipe-chafe");
        let title = title.map(|i| i.title.as_str()).unwrap_or_default();
        assert!(titles(&moved, "short", 0).contains(&title));
    }

    #[test]
    fn what_a_row_names_are_ids() {
        let read = |row: &OwnRow| {
            let mut own = Own::default();
            own.rows.push(row.clone());
            let text = own.text().unwrap_or_default();
            Own::read(text.as_bytes()).map(|own| own.rows.len())
        };
        let good = OwnRow::new("daily", "cold", "drive-belt", None);
        assert_eq!(read(&good), Ok(1));
        assert!(read(&OwnRow::new("../daily", "cold", "drive-belt", None)).is_err());
        assert!(read(&OwnRow::new(FINDING, "found", "drive-belt", None)).is_err());
        let other = OwnRow {
            id: "daily.cold.alternator".to_owned(),
            ..good
        };
        let why = read(&other).err().unwrap_or_default();
        assert!(why.starts_with("rows[0].id"), "{why}");
    }
}
