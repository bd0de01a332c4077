//! A checklist of one's own, made phase by phase and row by row. It closes as the short check does:
//! it says what was seen in its rows and what it did not ask, and never that all is clear.

use super::faults::{self, Faults};
use super::library::Library;
use super::list::{Cadence, Checklist, Closing, Phase, Row};
use super::own::Own;
use super::own_item::{LONGEST_TEXT, LONGEST_TITLE, short};
use super::rules;
use super::words::PhaseState;
use crate::text::{capital, id_from, safe_line};

/// One change of it.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// It is called this.
    Title(String),
    /// It is for this.
    Purpose(String),
    /// One more phase in a state of the engine, with its first item.
    Phase(PhaseState, String),
    /// What to do before the first row of a phase; empty where nothing is said.
    Before(String, String),
    /// A phase asks one more item.
    Row(String, String),
    /// How often a phase asks an item, and whether it must be seen for the check to be whole.
    Often(String, String, Cadence, bool),
    /// A phase asks an item no more.
    Out(String, String),
    /// It is offered among what can be walked, or not any more.
    Offered(bool),
}

/// A new one that asks an item in a state of the engine.
///
/// # Errors
/// What is wrong with it, one sentence without a full stop.
pub fn new_list(
    title: &str,
    state: PhaseState,
    item: &str,
    library: &Library,
) -> Result<Checklist, String> {
    let free = |id: &str| library.checklist(id).is_none();
    let list = Checklist {
        id: id_from(title, faults::LONGEST_ID - 8, "own-checklist", free),
        title: title.trim().to_owned(),
        purpose: "A check of your own.".to_owned(),
        closes_with: Closing::Short,
        blind: false,
        put_away: false,
        phases: Vec::new(),
    };
    Change::Phase(state, item.to_owned()).of(&list, library)
}

/// True for one that can be changed here.
pub fn is_own(library: &Library, id: &str) -> bool {
    library.checklist(id).is_some() && Library::built_in().checklist(id).is_none()
}

/// Things of one's own that are but one checklist.
pub fn alone(list: Checklist) -> Own {
    let mut own = Own::default();
    own.checklists.push(list);
    own
}

impl Change {
    /// The checklist after it, checked against what is known.
    ///
    /// # Errors
    /// What is wrong with it, one sentence without a full stop.
    pub fn of(&self, list: &Checklist, library: &Library) -> Result<Checklist, String> {
        let mut next = list.clone();
        match self {
            Change::Title(title) => next.title = short(title, LONGEST_TITLE)?,
            Change::Purpose(text) => next.purpose = short(text, LONGEST_TEXT)?,
            Change::Phase(state, item) => {
                let row = row(item, library)?;
                let known = |id: &str| next.phases.iter().any(|p| p.id == id);
                let id = id_from(state.as_str(), faults::LONGEST_ID, "phase", |id| !known(id));
                let phase = Phase {
                    id,
                    title: capital(&state.as_str().replace('-', " ")),
                    state: *state,
                    before: None,
                    before_for: Vec::new(),
                    minutes: None,
                    within: None,
                    since: None,
                    steps: Vec::new(),
                    rows: vec![row],
                };
                // What needs no running engine comes first.
                let at = next.phases.iter().position(|p| p.state > *state);
                next.phases.insert(at.unwrap_or(next.phases.len()), phase);
            }
            Change::Before(phase, text) => {
                let text = text.trim();
                let said = match text.is_empty() {
                    true => None,
                    false => Some(short(text, LONGEST_TEXT)?),
                };
                phase_of(&mut next, phase)?.before = said;
            }
            Change::Row(phase, item) => {
                let row = row(item, library)?;
                phase_of(&mut next, phase)?.rows.push(row);
            }
            Change::Often(phase, item, cadence, must_see) => {
                let row = row_of(&mut next, phase, item)?;
                (row.cadence, row.must_see) = (*cadence, *must_see);
            }
            Change::Out(phase, item) => {
                row_of(&mut next, phase, item)?.items.retain(|i| i != item);
                for phase in &mut next.phases {
                    phase.rows.retain(|row| !row.items.is_empty());
                }
                next.phases.retain(|phase| !phase.rows.is_empty());
            }
            Change::Offered(offered) => next.put_away = !offered,
        }
        if next.phases.is_empty() {
            return Err("a checklist asks something; put another item in first".to_owned());
        }
        let mut faults = Faults::default();
        rules::checklist(&next, &library.catalogue, &mut faults);
        faults::hidden_characters(&next, &mut faults);
        faults.first().map_or(Ok(next), Err)
    }
}

fn row(item: &str, library: &Library) -> Result<Row, String> {
    let known = library.catalogue.item(item);
    let item = known.ok_or_else(|| format!("there is no item '{}'", safe_line(item)))?;
    Ok(Row::alone(item, Cadence::EveryTime))
}

fn phase_of<'a>(list: &'a mut Checklist, id: &str) -> Result<&'a mut Phase, String> {
    let phase = list.phases.iter_mut().find(|p| p.id == id);
    phase.ok_or_else(|| format!("'{}' has no phase '{}'", list.id, safe_line(id)))
}

fn row_of<'a>(list: &'a mut Checklist, phase: &str, item: &str) -> Result<&'a mut Row, String> {
    let rows = &mut phase_of(list, phase)?.rows;
    let row = rows
        .iter_mut()
        .find(|row| row.items.iter().any(|i| i == item));
    row.ok_or_else(|| format!("'{}' does not ask '{}'", safe_line(phase), safe_line(item)))
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    fn list() -> (Checklist, &'static Library) {
        let library = Library::built_in();
        let list = new_list("Before the lock", PhaseState::Cold, "drive-belt", library);
        (list.expect("in order"), library)
    }

    #[test]
    fn it_is_made_row_by_row_with_the_still_engine_first() {
        let (list, library) = list();
        assert_eq!(list.id, "before-the-lock");
        let change = |list: &Checklist, change: Change| change.of(list, library).expect("in order");
        let item = |item: &str| item.to_owned();
        let list = change(&list, Change::Phase(PhaseState::Idle, item("oil-pressure")));
        let list = change(&list, Change::Phase(PhaseState::KeyOn, item("alarm-panel")));
        let states: Vec<_> = list.phases.iter().map(|p| p.state).collect();
        assert_eq!(
            states,
            [PhaseState::Cold, PhaseState::KeyOn, PhaseState::Idle]
        );
        let list = change(&list, Change::Row(item("cold"), item("alternator")));
        let often = Change::Often(item("cold"), item("alternator"), Cadence::Weekly, true);
        let list = change(&list, often);
        let row = &list.phases[0].rows[1];
        assert_eq!((row.cadence, row.must_see), (Cadence::Weekly, true));
        let list = change(&list, Change::Out(item("key-on"), item("alarm-panel")));
        assert_eq!(list.phases.len(), 2);
        let list = change(&list, Change::Before(item("cold"), item("Key out.")));
        assert_eq!(list.phases[0].before.as_deref(), Some("Key out."));
        // What a logbook keeps of it reads the same again.
        let text = alone(list.clone()).text().expect("text");
        assert_eq!(Own::read(text.as_bytes()), Ok(alone(list)));
    }

    #[test]
    fn what_is_wrong_is_said() {
        let (list, library) = list();
        let item = |item: &str| item.to_owned();
        for change in [
            Change::Title(item(" ")),
            Change::Purpose("x".repeat(LONGEST_TEXT + 1)),
            Change::Title(item("\u{202e}kcol")),
            Change::Phase(PhaseState::Idle, item("no-such")),
            Change::Row(item("cold"), item("drive-belt")),
            Change::Row(item("dusk"), item("alternator")),
            Change::Out(item("cold"), item("alternator")),
            Change::Out(item("cold"), item("drive-belt")),
        ] {
            let said = change.of(&list, library).expect_err("refused");
            assert!(!said.contains('\u{202e}'), "{said}");
        }
    }

    #[test]
    fn the_programs_own_checklists_stay() {
        assert!(!is_own(Library::built_in(), "daily"));
        let (list, library) = list();
        assert!(is_own(&library.with(&alone(list)), "before-the-lock"));
        assert!(!is_own(library, "before-the-lock"));
    }
}
