//! A line typed in one go: getting under way, a round, a line of the paper sheet, that she is in. Enter
//! passes a question; what is typed is kept as a draft on record, so that nothing of it is lost.

use crate::defects::RoundDraft;
use crate::defects::round_draft::LineField;
use crate::defects::under_way_line::{Leg, USUAL_EVERY};
use crate::logbook::record::Record;
use crate::screen::kind::Cx;
use crate::screen::layers::Layer;
use crate::screen::under_way::UnderWayScreen;
use crate::screen::under_way::fields::{Reader, question, whole_line};
use crate::text::safe_line;

type Turn<'a> = Cx<'a, UnderWayScreen>;

impl UnderWayScreen {
    /// Begins a line, with what was typed of it before.
    pub(super) fn begin(&mut self, kind: Leg, paper: bool, cx: &mut Turn<'_>) {
        self.read(cx.book);
        if paper && self.now.last_at.is_none() {
            return cx.tell("nothing is on record of being under way: begin first");
        }
        let new = RoundDraft::new(&self.machine, kind, paper);
        let mut drafts = cx.book.history().round_drafts.iter();
        let kept = drafts.find(|draft| draft.is_of(&new)).cloned();
        if kept.is_some() {
            cx.tell("what was typed before is filled in");
        }
        let mut form = kept.unwrap_or(new);
        for text in form.typed.values_mut() {
            *text = safe_line(text).into_owned();
        }
        let first = form.fields().first().copied();
        self.form = Some(form);
        if let Some(first) = first {
            self.ask_field(first, None, cx);
        }
    }

    fn ask_field(&self, field: LineField, wrong: Option<String>, cx: &mut Turn<'_>) {
        let Some(form) = &self.form else { return };
        let fields = form.fields();
        let place = fields.iter().position(|own| *own == field).unwrap_or(0) + 1;
        let text = match form.typed.get(&field) {
            Some(text) => text.clone(),
            None => self.at_first(form, field, cx),
        };
        let what = match (form.kind, form.paper) {
            (Leg::Begins, _) => "Under way",
            (Leg::Round, false) => "Round",
            (Leg::Round, true) => "Paper sheet",
            (Leg::Ends, _) => "In",
        };
        let title = format!("{what}, {place} of {}: {}", fields.len(), question(field));
        let hint = self.reader(cx).hint(field);
        cx.ask(Layer::typed(title, hint, &text, field).with_error(wrong));
    }

    /// What stands in a question before anything is typed.
    fn at_first(&self, form: &RoundDraft, field: LineField, cx: &Turn<'_>) -> String {
        let now = cx.book.now();
        match field {
            // The plan told last, while it is on record.
            LineField::Plan => {
                let plans = &cx.book.history().plans;
                let mut told = cx.book.history().under_way.iter().rev();
                let last = told.find_map(|line| line.rec.plan.clone());
                let last = last.filter(|name| plans.contains_key(name));
                let only = || plans.keys().next().filter(|_| plans.len() == 1).cloned();
                last.or_else(only).unwrap_or_default()
            }
            LineField::Every => USUAL_EVERY.to_string(),
            LineField::At if form.paper => match self.now.missed.first() {
                Some(due) if due.date_naive() == now.date_naive() => {
                    due.format("%H:%M").to_string()
                }
                Some(due) => due.format("%Y-%m-%d %H:%M").to_string(),
                None => String::new(),
            },
            _ => String::new(),
        }
    }

    fn reader(&self, cx: &Turn<'_>) -> Reader {
        Reader {
            habit: cx.book.boat().units,
            now: cx.book.now(),
        }
    }

    /// Takes an answer, and asks on; the last one writes the line down.
    pub(super) fn answer(
        &mut self,
        field: LineField,
        text: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        let Some(mut form) = self.form.clone() else {
            return Ok(());
        };
        let whole = whole_line(text).filter(|_| field == LineField::At);
        let is_whole = whole.is_some();
        match whole {
            Some(typed) => form.typed.extend(typed),
            None => {
                form.typed.insert(field, text.to_owned());
            }
        }
        let upto = if is_whole { LineField::Remark } else { field };
        let line = self.reader(cx).line(&form, upto);
        let mut line = line.map_err(|(at, wrong)| match at == field {
            true => wrong,
            false => format!("{}: {wrong}", question(at).trim_end_matches('?')),
        })?;
        line.by = cx.setup.by.clone();
        let fields = form.fields();
        let next = fields.into_iter().find(|own| match is_whole {
            true => *own == LineField::Remark,
            false => *own > field,
        });
        let checked = match line.kind == Leg::Round && line.is_empty() {
            true => None,
            false => Some(cx.check_act(Record::from(line))?),
        };
        self.form = Some(form.clone());
        if let Some(next) = next {
            if form.text(field).is_some() {
                keep(form, cx);
            }
            self.ask_field(next, None, cx);
            return Ok(());
        }
        let Some(record) = checked else {
            return Err("nothing is typed yet: give a figure, or say how it stands".to_owned());
        };
        let mut records = vec![record];
        records.extend(cleared(&form, cx));
        if cx.record(records).is_some() {
            self.form = None;
            self.read(cx.book);
            self.tell_written(cx);
            self.next_of_the_sheet(&form, cx);
        }
        Ok(())
    }

    /// While a sheet is typed up the next missed round is asked for at once.
    fn next_of_the_sheet(&mut self, form: &RoundDraft, cx: &mut Turn<'_>) {
        if form.paper && !self.now.missed.is_empty() {
            self.form = Some(RoundDraft::new(&self.machine, form.kind, true));
            self.ask_field(LineField::At, None, cx);
        }
    }

    /// A question was left: what is typed so far is kept.
    pub(super) fn leave_half_typed(&mut self, field: LineField, text: &str, cx: &mut Turn<'_>) {
        if self.keep_typed(field, text, cx) {
            cx.tell("not written down; what you typed is kept, the same key goes on with it");
        }
        self.form = None;
    }

    /// Keeps what is typed, the line being typed included; false where there is nothing to keep.
    pub(super) fn keep_typed(&mut self, field: LineField, text: &str, cx: &mut Turn<'_>) -> bool {
        let Some(mut form) = self.form.clone() else {
            return false;
        };
        // What stood there before anything was typed is no typing.
        let at_first = !form.typed.contains_key(&field) && text == self.at_first(&form, field, cx);
        if !at_first {
            form.typed.insert(field, text.to_owned());
        }
        self.form = Some(form.clone());
        let any = form.typed.keys().any(|field| form.text(*field).is_some());
        if any {
            keep(form, cx);
        }
        any
    }
}

/// Keeps a form, where it is not kept already.
fn keep(form: RoundDraft, cx: &mut Turn<'_>) {
    if !cx.book.history().round_drafts.contains(&form) {
        cx.record(vec![Record::from(form)]);
    }
}

/// What clears a form, where something of it is kept.
fn cleared(form: &RoundDraft, cx: &Turn<'_>) -> Option<Record> {
    let mut drafts = cx.book.history().round_drafts.iter();
    drafts
        .any(|kept| kept.is_of(form))
        .then(|| Record::from(RoundDraft::new(&form.machine, form.kind, form.paper)))
}
