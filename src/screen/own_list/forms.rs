//! What is asked of a checklist of one's own, and what becomes of the answer.

use super::{Line, OFTEN, OwnListScreen, Pick, Row};
use crate::checklist::own_list::{Change, alone, new_list};
use crate::checklist::{Checklist, PhaseState};
use crate::screen::facts::{NOT_FOUND, next_of};
use crate::screen::kind::{Cx, Shown};
use crate::screen::layers::{Choice, Layer};

type Turn<'a> = Cx<'a, OwnListScreen>;

/// A part of an item's name, as it is asked for.
const PART: &str = "a part of its name, such as belt";

impl OwnListScreen {
    /// Asks what a new one is called.
    pub fn ask_title(&mut self, cx: &mut Turn<'_>) {
        let hint = "such as: Before the lock";
        cx.ask(Layer::typed(
            "What is it called?",
            hint,
            &self.title,
            Line::New,
        ));
    }

    pub(super) fn ask_state(&self, cx: &mut Turn<'_>) {
        let told = PhaseState::ALL.iter();
        let told = told.map(|state| state.as_str().replace('-', " ")).collect();
        cx.ask(Layer::choice(
            "How is the engine meanwhile?",
            told,
            Pick::State,
        ));
    }

    pub(super) fn ask_first(&self, state: PhaseState, cx: &mut Turn<'_>) {
        cx.ask(Layer::line(
            "What is looked at first?",
            PART,
            Line::FindFirst(state),
        ));
    }

    pub(super) fn ask_item(&self, phase: String, cx: &mut Turn<'_>) {
        cx.ask(Layer::line(
            "What is looked at as well?",
            PART,
            Line::FindItem(phase),
        ));
    }

    pub(super) fn ask_find(&self, cx: &mut Turn<'_>) {
        cx.ask(Layer::line("Find", PART, Line::Find));
    }

    /// Asks for the row under the arrow.
    pub(super) fn ask(&mut self, cx: &mut Turn<'_>) {
        let (Some(row), Some(list)) = (self.row().cloned(), &self.list) else {
            return;
        };
        let (words, value) = row.words(list);
        let value = value.unwrap_or_default();
        match row {
            Row::Phase(_) => {}
            Row::Title => cx.ask(Layer::typed(words, "in a few words", &value, Line::Title)),
            Row::Purpose => {
                cx.ask(Layer::typed(
                    words,
                    "one plain sentence",
                    &value,
                    Line::Purpose,
                ));
            }
            Row::Offered => {
                let options = ["yes", "no; what was walked by it stays"].map(str::to_owned);
                let choice = Choice {
                    title: words,
                    options: options.into(),
                    cursor: usize::from(list.put_away),
                    ..Choice::default()
                };
                cx.ask(Layer::Choice(choice, Pick::Offered));
            }
            Row::Before(phase) => {
                let said = list.phases.iter().find(|p| p.id == phase);
                let said = said.and_then(|p| p.before.clone()).unwrap_or_default();
                let hint = "such as: Key out before hands go in. Empty: nothing";
                cx.ask(Layer::typed(words, hint, &said, Line::Before(phase)));
            }
            Row::Item(phase, item) => {
                let mut options: Vec<String> = OFTEN.map(|c| c.words().to_owned()).into();
                options.push("must be seen, or the check is not whole".to_owned());
                options.push("need not be seen".to_owned());
                options.push("asked here no more".to_owned());
                cx.ask(Layer::choice(words, options, Pick::Often(phase, item)));
            }
            Row::NewItem(phase) => self.ask_item(phase, cx),
            Row::NewPhase => self.ask_state(cx),
        }
    }

    /// A line of a list was picked.
    pub(super) fn taken(&mut self, ask: Pick, at: usize, cx: &mut Turn<'_>) -> Result<(), String> {
        match ask {
            Pick::State => {
                if let Some(state) = PhaseState::ALL.get(at) {
                    self.ask_first(*state, cx);
                }
                Ok(())
            }
            Pick::First(state, items) => {
                let item = items.into_iter().nth(at).unwrap_or_default();
                if self.list.is_some() {
                    return self.change(&Change::Phase(state, item), cx);
                }
                let list = new_list(&self.title, state, &item, &self.library)?;
                let phase = list.phases.first().map(|p| p.id.clone());
                self.put(list, cx);
                self.go_to(&Row::NewItem(phase.unwrap_or_default()));
                Ok(())
            }
            Pick::Item(phase, items) => {
                let item = items.into_iter().nth(at).unwrap_or_default();
                self.change(&Change::Row(phase, item), cx)
            }
            Pick::Offered => self.change(&Change::Offered(at == 0), cx),
            Pick::Often(phase, item) => self.take_often(phase, item, at, cx),
        }
    }

    fn take_often(
        &mut self,
        phase: String,
        item: String,
        at: usize,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        let phases = self.list.iter().flat_map(|list| &list.phases);
        let mut rows = phases.filter(|p| p.id == phase).flat_map(|p| &p.rows);
        let row = rows.find(|row| row.items.contains(&item));
        let Some((cadence, must_see)) = row.map(|row| (row.cadence, row.must_see)) else {
            return Ok(());
        };
        let change = match (OFTEN.get(at), at.checked_sub(OFTEN.len())) {
            (Some(often), _) => Change::Often(phase, item, *often, must_see),
            (_, Some(0)) => Change::Often(phase, item, cadence, true),
            (_, Some(1)) => Change::Often(phase, item, cadence, false),
            _ => Change::Out(phase, item),
        };
        self.change(&change, cx)
    }

    /// The new one is called this.
    pub(super) fn named(&mut self, text: &str, cx: &mut Turn<'_>) -> Result<(), String> {
        text.trim().clone_into(&mut self.title);
        if self.title.is_empty() {
            return Err("say it in a few words".to_owned());
        }
        self.ask_state(cx);
        Ok(())
    }

    pub(super) fn find_first(
        &self,
        state: PhaseState,
        text: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        let (ids, told) = self.items(text)?;
        cx.ask(Layer::choice("Which?", told, Pick::First(state, ids)));
        Ok(())
    }

    pub(super) fn find_item(
        &self,
        phase: String,
        text: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        let (ids, told) = self.items(text)?;
        cx.ask(Layer::choice("Which?", told, Pick::Item(phase, ids)));
        Ok(())
    }

    /// Ids and titles of the items with a text in their names.
    fn items(&self, text: &str) -> Result<(Vec<String>, Vec<String>), String> {
        let wanted = text.trim().to_lowercase();
        let items = self.library.catalogue.items().iter();
        let items = items.filter(|item| item.title.to_lowercase().contains(&wanted));
        let found: (Vec<_>, Vec<_>) = items.map(|i| (i.id.clone(), i.title.clone())).unzip();
        if found.0.is_empty() {
            return Err("nothing that can be looked at has that in its name".to_owned());
        }
        Ok(found)
    }

    pub(super) fn find(&mut self, text: &str) -> Result<(), String> {
        let Some(list) = &self.list else {
            return Ok(());
        };
        let wanted = text.to_lowercase();
        let found = next_of(self.cursor, self.rows.len(), |at| {
            let row = &self.rows[at];
            let open = !matches!(row, Row::Phase(_));
            open && row.words(list).0.to_lowercase().contains(&wanted)
        });
        self.cursor = found.ok_or(NOT_FOUND)?;
        Ok(())
    }

    pub(super) fn change(&mut self, change: &Change, cx: &mut Turn<'_>) -> Result<(), String> {
        let Some(list) = &self.list else {
            return Ok(());
        };
        let next = change.of(list, &self.library)?;
        if next != *list {
            self.put(next, cx);
        }
        Ok(())
    }

    fn put(&mut self, list: Checklist, cx: &mut Turn<'_>) {
        if cx.change_own(
            alone(list.clone()),
            "taken; it counts from the next walk on",
        ) {
            self.list = Some(list);
            self.renew(cx.book);
        }
    }
}
