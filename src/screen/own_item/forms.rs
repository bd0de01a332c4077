//! What is asked of an item of one's own, and what becomes of the answer.

use super::{Line, OFTEN, OwnItemScreen, Pick, Row, place};
use crate::checklist::own_item::{CHANCES, alone, kinds, new_item};
use crate::checklist::{Ask, EffectKind, Item, Own, OwnRow, Scope};
use crate::screen::facts::{NOT_FOUND, next_of};
use crate::screen::kind::{Cx, Shown};
use crate::screen::layers::{Choice, Layer};

type Turn<'a> = Cx<'a, OwnItemScreen>;

impl OwnItemScreen {
    /// Asks what a new one is called.
    pub fn ask_title(&mut self, cx: &mut Turn<'_>) {
        let hint = "such as: Davit hydraulic hose";
        let heading = "What is it called?";
        cx.ask(Layer::typed(heading, hint, &self.begun.title, Line::New));
    }

    pub(super) fn ask_station(&self, cx: &mut Turn<'_>) {
        let told = Ask::Station.picks(&self.library).unwrap_or_default();
        let told = told.into_iter().map(|(_, words)| words).collect();
        let heading = "Where does one stand to see it?";
        cx.ask(Layer::choice(heading, told, Pick::NewStation));
    }

    pub(super) fn ask_kind(&self, cx: &mut Turn<'_>) {
        let told = kinds()
            .into_iter()
            .map(|kind| kind.as_str().replace('-', " "));
        let lead = vec![Ask::Kind.why().to_owned()];
        let heading = "What sort of thing is it?";
        cx.ask(Layer::told(heading, lead, told.collect(), Pick::NewKind));
    }

    pub(super) fn ask_effect(&self, cx: &mut Turn<'_>) {
        let lead = vec![Ask::Effects.why().to_owned()];
        let heading = "What is the worst that follows when it fails?";
        cx.ask(Layer::told(heading, lead, effect_words(), Pick::NewEffect));
    }

    fn ask_scope(&self, cx: &mut Turn<'_>) {
        let options = ["one for each machine", "one aboard"].map(str::to_owned);
        let lead = vec![Ask::Of.why().to_owned()];
        let heading = "How many are there?";
        cx.ask(Layer::told(heading, lead, options.into(), Pick::NewScope));
    }

    /// Asks for the row under the arrow.
    pub(super) fn ask(&mut self, cx: &mut Turn<'_>) {
        match self.row().cloned() {
            None => {}
            Some(Row::AsAsked) => self.as_asked = true,
            Some(Row::AskIn) => self.ask_where(cx),
            Some(Row::Asked(row)) => {
                let mut options: Vec<String> = OFTEN.map(|c| c.words().to_owned()).into();
                options.push("asked there no more".to_owned());
                let heading = place(&self.library, &row.checklist, &row.phase);
                cx.ask(Layer::choice(heading, options, Pick::Asked(row)));
            }
            Some(Row::Ask(Ask::Effects)) => self.ask_effects(cx),
            Some(Row::Ask(ask)) => self.ask_answer(ask, cx),
        }
    }

    fn ask_answer(&self, ask: Ask, cx: &mut Turn<'_>) {
        let Some(item) = &self.item else { return };
        let typed = ask.typed(item);
        let Some(picks) = ask.picks(&self.library) else {
            let layer = Layer::typed(ask.words(), ask.hint(), &typed, Line::Answer(ask));
            return cx.ask(layer);
        };
        let here = picks.iter().position(|(word, _)| *word == typed);
        let choice = Choice {
            title: ask.words().to_owned(),
            cursor: here.unwrap_or(picks.len().saturating_sub(1)),
            options: picks.into_iter().map(|(_, words)| words).collect(),
            lead: vec![ask.why().to_owned()],
            ..Choice::default()
        };
        cx.ask(Layer::Choice(choice, Pick::Answer(ask)));
    }

    pub(super) fn ask_effects(&self, cx: &mut Turn<'_>) {
        let Some(item) = &self.item else { return };
        let options = EffectKind::ALL.iter().zip(effect_words());
        let options = options.map(|(effect, words)| {
            let known = item.effects.iter().find(|e| e.effect == *effect);
            match known.map(|e| CHANCES.iter().find(|(_, beta)| *beta == e.beta)) {
                Some(chance) => {
                    let word = chance.map_or("follows", |(word, _)| word);
                    format!("{words}: {word}")
                }
                None => words,
            }
        });
        let lead = vec![Ask::Effects.why().to_owned()];
        let heading = "What follows when it fails?";
        cx.ask(Layer::told(heading, lead, options.collect(), Pick::Effect));
    }

    pub(super) fn ask_where(&self, cx: &mut Turn<'_>) {
        let Some(item) = &self.item else { return };
        let machines = &cx.book.boat().machines;
        let lists = self.library.lists_asking(item, machines);
        let phases = lists.flat_map(|list| list.phases.iter().map(move |p| (list, p)));
        let free = phases.filter(|(_, phase)| {
            let mut rows = phase.rows.iter();
            !rows.any(|row| row.items.contains(&item.id))
        });
        let places: Vec<(String, String)> = free
            .map(|(list, p)| (list.id.clone(), p.id.clone()))
            .collect();
        let told = places.iter();
        let told = told.map(|(list, phase)| place(&self.library, list, phase));
        let heading = "In which check is it asked?";
        cx.ask(Layer::choice(heading, told.collect(), Pick::AskIn(places)));
    }

    pub(super) fn ask_find(&self, cx: &mut Turn<'_>) {
        let hint = "a part of its words, such as caution";
        cx.ask(Layer::line("Find", hint, Line::Find));
    }

    /// A line of a list was picked.
    pub(super) fn taken(
        &mut self,
        ask: Pick,
        at: usize,
        of: &Choice,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        match ask {
            Pick::NewStation => {
                let station = self.library.catalogue.stations().get(at);
                self.begun.station = station.map(|s| s.id.clone()).unwrap_or_default();
                self.ask_kind(cx);
            }
            Pick::NewKind => {
                self.begun.kind = kinds().get(at).copied();
                self.ask_effect(cx);
            }
            Pick::NewEffect => {
                self.begun.effect = EffectKind::ALL.get(at).copied();
                self.ask_scope(cx);
            }
            Pick::NewScope => {
                let scope = Scope::ALL.get(at).copied();
                if let Some(new) = scope.and_then(|scope| self.begun.of(scope)) {
                    let item = new_item(new, &self.library)?;
                    self.put(item, "added; it is asked nowhere yet", cx);
                    self.go_to(&Row::AskIn);
                }
            }
            Pick::Answer(ask) => {
                let picks = ask.picks(&self.library).unwrap_or_default();
                let word = picks.into_iter().nth(at).map(|(word, _)| word);
                self.answer(ask, &word.unwrap_or_default(), cx)?;
            }
            Pick::Effect => {
                if let Some(effect) = EffectKind::ALL.get(at) {
                    let mut options: Vec<String> = CHANCES.map(|(word, _)| word.to_owned()).into();
                    options.push("it does not follow".to_owned());
                    let heading = of.options.get(at).cloned().unwrap_or_default();
                    let lead = vec![CHANCES_SAID.to_owned()];
                    cx.ask(Layer::told(heading, lead, options, Pick::Chance(*effect)));
                }
            }
            Pick::Chance(effect) => self.take_effect(effect, at, cx)?,
            Pick::AskIn(places) => {
                if let Some((list, phase)) = places.into_iter().nth(at) {
                    let options = OFTEN.map(|c| c.words().to_owned()).into();
                    let heading = format!("How often, in {}?", place(&self.library, &list, &phase));
                    cx.ask(Layer::choice(heading, options, Pick::Often(list, phase)));
                }
            }
            Pick::Often(list, phase) => self.put_row(&list, &phase, at, cx)?,
            Pick::Asked(row) => self.put_row(&row.checklist, &row.phase, at, cx)?,
        }
        Ok(())
    }

    /// An effect follows this surely, or not at all.
    fn take_effect(
        &mut self,
        effect: EffectKind,
        at: usize,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        let Some(item) = &self.item else {
            return Ok(());
        };
        let typed = Ask::Effects.typed(item);
        let others = typed.split("; ").filter(|part| {
            let named = part.split(' ').next();
            named != Some(effect.as_str())
        });
        let mut all: Vec<String> = others.map(str::to_owned).collect();
        all.extend(CHANCES.get(at).map(|(word, _)| format!("{effect} {word}")));
        self.answer(Ask::Effects, &all.join("; "), cx)?;
        self.ask_effects(cx);
        Ok(())
    }

    /// It is asked there this often, or no more.
    fn put_row(
        &mut self,
        list: &str,
        phase: &str,
        often: usize,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        let Some(item) = &self.item else {
            return Ok(());
        };
        let row = OwnRow::new(list, phase, &item.id, OFTEN.get(often).copied());
        self.library.row_fault(&row).map_or(Ok(()), Err)?;
        let told = match row.gone {
            true => "asked there no more",
            false => "asked there from the next walk on",
        };
        let mut own = Own::default();
        own.rows.push(row);
        if cx.change_own(own, told) {
            self.renew(cx.book);
        }
        Ok(())
    }

    /// A line was typed.
    pub(super) fn written(
        &mut self,
        ask: Line,
        text: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        match ask {
            Line::New => {
                text.trim().clone_into(&mut self.begun.title);
                if self.begun.title.is_empty() {
                    return Err("say it in a few words".to_owned());
                }
                self.ask_station(cx);
                Ok(())
            }
            Line::Answer(ask) => self.answer(ask, text, cx),
            Line::Find => {
                let wanted = text.to_lowercase();
                let found = next_of(self.cursor, self.rows.len(), |at| {
                    let (words, _) = self.words(&self.rows[at]);
                    words.to_lowercase().contains(&wanted)
                });
                self.cursor = found.ok_or(NOT_FOUND)?;
                Ok(())
            }
        }
    }

    fn answer(&mut self, ask: Ask, text: &str, cx: &mut Turn<'_>) -> Result<(), String> {
        let Some(item) = &self.item else {
            return Ok(());
        };
        let next = ask.put(item, text, &self.library)?;
        if next != *item {
            let told = format!("{}: taken", ask.words());
            self.put(next, &told, cx);
        }
        Ok(())
    }

    fn put(&mut self, item: Item, told: &str, cx: &mut Turn<'_>) {
        if cx.change_own(alone(item.clone()), told) {
            self.item = Some(item);
            self.renew(cx.book);
        }
    }
}

/// What the words for a chance stand for.
const CHANCES_SAID: &str = "Certainly: always. Probably: about every second time. Possibly: one time in ten or less (judgement).";

fn effect_words() -> Vec<String> {
    let all = EffectKind::ALL.iter();
    all.map(|effect| effect.as_str().replace('-', " "))
        .collect()
}
