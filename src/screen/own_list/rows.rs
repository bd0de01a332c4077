//! The rows of a checklist of one's own.

use crate::checklist::Checklist;
use crate::screen::facts::FactRow;

/// One line of the screen. Phases and items are named by their ids.
#[derive(Clone, Debug, PartialEq)]
pub enum Row {
    /// What it is called.
    Title,
    /// What it is for.
    Purpose,
    /// Whether it is offered among what can be walked.
    Offered,
    /// What follows is of this phase.
    Phase(String),
    /// What comes before its first row.
    Before(String),
    /// An item it asks: phase, item.
    Item(String, String),
    /// One more item of a phase.
    NewItem(String),
    /// One more phase.
    NewPhase,
}

/// All rows of a checklist.
pub fn rows(list: &Checklist) -> Vec<Row> {
    let mut rows = vec![Row::Title, Row::Purpose, Row::Offered];
    for phase in &list.phases {
        let id = || phase.id.clone();
        rows.extend([Row::Phase(id()), Row::Before(id())]);
        let items = phase.rows.iter().flat_map(|row| &row.items);
        rows.extend(items.map(|item| Row::Item(id(), item.clone())));
        rows.push(Row::NewItem(id()));
    }
    rows.push(Row::NewPhase);
    rows
}

impl Row {
    /// What it is, and what is said there.
    pub fn told(&self, list: &Checklist) -> FactRow {
        FactRow::of(self.words(list), matches!(self, Row::Phase(_)))
    }

    /// See [`Row::told`].
    pub fn words(&self, list: &Checklist) -> (String, Option<String>) {
        let phase = |id: &String| list.phases.iter().find(|p| p.id == *id);
        match self {
            Row::Title => ("Called".to_owned(), Some(list.title.clone())),
            Row::Purpose => ("What it is for".to_owned(), Some(list.purpose.clone())),
            Row::Offered => {
                let said = match list.put_away {
                    false => "yes",
                    true => "no; what was walked by it stays",
                };
                (
                    "Offered on the boat's screen".to_owned(),
                    Some(said.to_owned()),
                )
            }
            Row::Phase(id) => {
                let title = phase(id).map_or(id.as_str(), |p| &p.title);
                (format!("Engine: {}", title.to_lowercase()), None)
            }
            Row::Before(id) => {
                let said = phase(id).and_then(|p| p.before.clone());
                let said = said.unwrap_or_else(|| "nothing said".to_owned());
                ("Before the first of these".to_owned(), Some(said))
            }
            Row::Item(id, item) => {
                let rows = phase(id).into_iter().flat_map(|p| &p.rows);
                let row = rows.into_iter().find(|row| row.items.contains(item));
                let Some(row) = row else {
                    return (item.clone(), None);
                };
                let must = if row.must_see { ", must be seen" } else { "" };
                (
                    row.title.clone(),
                    Some(format!("{}{must}", row.cadence.words())),
                )
            }
            Row::NewItem(_) => ("Ask one more here".to_owned(), None),
            Row::NewPhase => ("Ask with the engine in another state".to_owned(), None),
        }
    }

    /// Why it is asked, and what follows.
    pub fn why(&self) -> &'static str {
        match self {
            Row::Title => "It stands by this name among what can be walked.",
            Row::Purpose => "One sentence for whoever walks it.",
            Row::Offered => "What is not walked any more need not stand there.",
            Row::Phase(_) => "",
            Row::Before(_) => "What comes first, cautions before all: key out, clear of belts.",
            Row::Item(..) => "Enter changes how often, says that it must be seen, or takes it out.",
            Row::NewItem(_) => {
                "Anything that can be looked at, your own too. A walk begun before goes on as it was begun."
            }
            Row::NewPhase => "Cold, key on, idling: what needs no running engine comes first.",
        }
    }
}
