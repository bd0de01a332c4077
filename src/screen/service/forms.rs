//! Work that was done, and how often it is due, asked one line after another. Every question can be
//! passed with Enter; what was typed is checked by the rules of [`crate::service::sheet`] at each,
//! and stays where they complain.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveDateTime, NaiveTime};

use crate::boat::units::Volume;
use crate::boat::{Hours, Measure, Unit};
use crate::checklist::Closing;
use crate::defects::admit::Fault;
use crate::defects::plan_words::read_job_minutes;
use crate::defects::work::Question;
use crate::defects::{ServiceDraft, ServiceInterval};
use crate::logbook::book::Book;
use crate::logbook::import::{prepare_act, prepare_service};
use crate::logbook::mend::{Reason, take_back};
use crate::logbook::record::Record;
use crate::screen::kind::{Cx, Go, Shown, To, in_one};
use crate::screen::service::ask;
use crate::screen::service::{Pick, ServiceScreen};
use crate::screen::stock::ask_stock;
use crate::service::{ServiceSheet, interval_of, service_of};

type Turn<'a> = Cx<'a, ServiceScreen>;

/// Questions answered, with the beginning of each answer; who did it is filled in anyhow.
fn answered(form: &ServiceDraft) -> String {
    let words = form.typed.keys().filter_map(|question| {
        let text = form.text(*question).filter(|_| *question != Question::By)?;
        let text = crate::text::fit(&crate::text::safe_line(text), 20);
        Some(format!("{} {text}", ask::name(*question)))
    });
    words.collect::<Vec<_>>().join(", ")
}

impl ServiceScreen {
    /// Begins to ask about the task under the arrow, with what was typed of it before.
    pub fn begin_form(&mut self, interval: bool, cx: &mut Turn<'_>) {
        let Some((task, row)) = self.task().zip(self.row()) else {
            return cx.tell("that is no service task; Enter shows what it is");
        };
        let new = ServiceDraft {
            interval,
            task: task.id.clone(),
            machine: row.machine.clone(),
            typed: BTreeMap::new(),
        };
        let mut drafts = cx.book.history().service_drafts.iter();
        let kept = drafts.find(|k| k.is_of(&new)).cloned();
        let filled_in = kept.is_some();
        let mut form = kept.unwrap_or(new);
        for text in form.typed.values_mut() {
            *text = crate::text::safe_line(text).into_owned();
        }
        let first = ask::steps(&self.condition, task, &form).first().copied();
        cx.desk.open = Some(form);
        if filled_in {
            cx.tell("what was typed before is filled in");
        }
        if let Some(first) = first {
            self.ask_step(first, None, cx);
        }
    }

    fn ask_step(&self, step: Question, error: Option<String>, cx: &mut Turn<'_>) {
        let Some(form) = &cx.desk.open else { return };
        let by = cx.setup.by.as_deref();
        let line = ask::line(self, cx.book, form, by, (step, error));
        cx.asked.extend(line);
    }

    /// A question was left: what is typed so far is kept.
    pub fn left_form(&self, step: Question, text: &str, cx: &mut Turn<'_>) {
        let Some(mut form) = cx.desk.open.take() else {
            return;
        };
        form.typed.insert(step, text.to_owned());
        let words = answered(&form);
        if words.is_empty() {
            clear(&form, cx);
            return cx.tell("nothing is recorded");
        }
        let action = match form.interval {
            true => crate::keys::Action::Interval,
            false => crate::keys::Action::ServiceDone,
        };
        let key = cx.setup.key(action);
        keep(form, cx);
        cx.tell(format!(
            "not recorded; kept: {words}; {key} goes on with it"
        ));
    }

    /// Keeps what is typed of the form in front, the line being typed included.
    pub fn keep_form(&self, question: Question, text: &str, cx: &mut Turn<'_>) {
        let Some(mut form) = cx.desk.open.clone() else {
            return;
        };
        form.typed.insert(question, text.to_owned());
        if !answered(&form).is_empty() {
            keep(form, cx);
        }
    }

    /// A question was answered.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn form_typed(
        &mut self,
        step: Question,
        text: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        let Some(form) = &mut cx.desk.open else {
            return Ok(());
        };
        form.typed.insert(step, text.to_owned());
        let form = form.clone();
        let Some(task) = cx.book.library().task(&form.task) else {
            return Ok(());
        };
        let steps = ask::steps(&self.condition, task, &form);
        let mut so_far = form.clone();
        so_far.typed.retain(|asked, _| *asked <= step);
        let faults = faults(self, cx.book, &so_far);
        complaint(&faults, step)?;
        if let Some(next) = steps.into_iter().find(|s| *s > step) {
            self.ask_step(next, None, cx);
            return Ok(());
        }
        let done = match form.interval {
            true => self.set_interval(&form, cx),
            false => self.record_service(&form, cx),
        };
        if let Err(faults) = done {
            complaint(&faults, step)?;
            // Something asked before: there it is mended.
            if let Some((at, _)) = faults.first() {
                let told = complaint(&faults, *at).err();
                self.ask_step(*at, told, cx);
            }
        }
        Ok(())
    }

    fn record_service(
        &mut self,
        form: &ServiceDraft,
        cx: &mut Turn<'_>,
    ) -> Result<(), Vec<(Question, String)>> {
        let sheet = sheet(form, cx.book)?;
        let records = prepare_service(cx.book, cx.book.history(), &sheet);
        let records = records.map_err(|f| by_step(f, false))?;
        if let Some(id) = self.record_form(records, form, cx) {
            cx.asked.extend(ask::recorded(self, cx.book, &id));
            let machine = form.machine.as_deref();
            let offered = self
                .condition
                .spares_for(cx.book.history(), &form.task, machine);
            ask_stock(&form.task, offered, cx, Pick::Stock);
        }
        Ok(())
    }

    fn set_interval(
        &mut self,
        form: &ServiceDraft,
        cx: &mut Turn<'_>,
    ) -> Result<(), Vec<(Question, String)>> {
        let interval = interval(form)?;
        let mut set = cx.book.history().intervals.iter();
        let known = |i: &ServiceInterval| (&i.task, &i.machine) == (&form.task, &form.machine);
        let own = (interval.hours, interval.months) == (None, None);
        if own && !set.any(|s| known(&s.rec)) {
            cx.desk.open = None;
            clear(form, cx);
            cx.tell("nothing is changed: our figures hold already");
            return Ok(());
        }
        let record = prepare_act(cx.book, cx.book.history(), Record::from(interval));
        let record = record.map_err(|f| by_step(f, true))?;
        if self.record_form(vec![record], form, cx).is_some() {
            cx.tell("interval set; u takes it back");
        }
        Ok(())
    }

    /// Records what a form says and puts it away; the id of the first record.
    fn record_form(
        &mut self,
        mut records: Vec<Record>,
        form: &ServiceDraft,
        cx: &mut Turn<'_>,
    ) -> Option<String> {
        records.extend(cleared(form, cx.book));
        let id = cx.record(records)?.into_iter().next()?;
        let form = cx.desk.open.take();
        cx.desk.done.extend(form.map(|form| (id.clone(), form)));
        self.renew(cx.book);
        Some(id)
    }

    /// Takes back what was recorded here last; what was typed for it is kept.
    pub fn undo_form(&mut self, cx: &mut Turn<'_>) {
        let Some((id, form)) = cx.desk.done.pop() else {
            return cx.tell(
                "nothing was recorded here since handlamp was opened; handlamp service undo takes back older work",
            );
        };
        match take_back(cx.book, &id, &Reason::default()) {
            Ok(records) => {
                if cx.record(records).is_none() {
                    return;
                }
            }
            Err(faults) => return cx.warn(in_one(faults)),
        }
        let title = cx.book.library().task(&form.task);
        let title = title.map_or(form.task.clone(), |t| t.title.clone());
        keep(form, cx);
        self.renew(cx.book);
        cx.tell(format!("{title}: taken back; what was typed is kept"));
    }
}

/// What is typed of a question stays in the form when one goes back from it.
pub fn went_back(step: Question, text: &str, cx: &mut Turn<'_>) {
    let Some(form) = &mut cx.desk.open else {
        return;
    };
    form.typed.insert(step, text.to_owned());
    let form = form.clone();
    if !answered(&form).is_empty() {
        keep(form, cx);
    }
}

/// Keeps what is typed, where it is not kept already.
fn keep(form: ServiceDraft, cx: &mut Turn<'_>) {
    if !cx.book.history().service_drafts.contains(&form) {
        cx.record(vec![Record::from(form)]);
    }
}

/// What clears a form, where something of it is kept.
fn cleared(form: &ServiceDraft, book: &Book) -> Option<Record> {
    let mut drafts = book.history().service_drafts.iter();
    drafts.any(|k| k.is_of(form)).then(|| {
        Record::from(ServiceDraft {
            typed: BTreeMap::new(),
            ..form.clone()
        })
    })
}

fn clear(form: &ServiceDraft, cx: &mut Turn<'_>) {
    if let Some(cleared) = cleared(form, cx.book) {
        cx.record(vec![cleared]);
    }
}

/// Says which work is typed in part and not recorded.
pub fn tell_of_forms(cx: &mut Turn<'_>) {
    let Some(form) = cx.book.history().service_drafts.last() else {
        return;
    };
    let task = cx.book.library().task(&form.task);
    let title = task.map_or(form.task.as_str(), |t| &t.title);
    let told = format!(
        "{} is typed in part and not recorded ({})",
        crate::text::safe_line(title),
        answered(form)
    );
    cx.tell(told);
}

/// Begins the leak run after a service.
pub fn leak_run_after(machine: String, cx: &mut Turn<'_>) {
    let mut machines = cx.book.boat().machines.iter();
    let role = machines.find(|m| m.id == machine).map(|m| m.role);
    let lists = role.map(|role| cx.book.library().checklists_for(role));
    let leak_run = lists
        .into_iter()
        .flatten()
        .find(|l| l.closes_with == Closing::LeakRun);
    if let Some(checklist) = leak_run.map(|l| l.id.clone()) {
        cx.go(Go::To(To::Walk {
            checklist,
            machine,
            asked: false,
            guest: None,
        }));
    }
}

/// What is wrong with an answer, in one sentence.
fn complaint(faults: &[(Question, String)], step: Question) -> Result<(), String> {
    let here = faults.iter().filter(|(at, _)| *at == step);
    let here: Vec<&str> = here.map(|(_, message)| message.as_str()).collect();
    match here.is_empty() {
        true => Ok(()),
        false => Err(here.join("; ")),
    }
}

/// Everything wrong with what was typed so far.
fn faults(screen: &ServiceScreen, book: &Book, form: &ServiceDraft) -> Vec<(Question, String)> {
    let now = book.now();
    let checked = match form.interval {
        true => interval(form).and_then(|i| {
            let checked = interval_of(&screen.condition, i, now);
            checked.map(drop).map_err(|f| by_step(f, true))
        }),
        false => sheet(form, book).and_then(|sheet| {
            let checked = service_of(&screen.condition, book.history(), &sheet, now);
            checked.map(drop).map_err(|f| by_step(f, false))
        }),
    };
    checked.err().unwrap_or_default()
}

/// Faults of fields as faults of the questions that ask them.
fn by_step(faults: Vec<Fault>, interval: bool) -> Vec<(Question, String)> {
    let step = |field: &str| match field.split(['[', '.']).next().unwrap_or_default() {
        "hours" if interval => Question::EveryHours,
        "hours" => Question::Hours,
        "out" => Question::Out,
        "in" => Question::In,
        "turn" => Question::Turn,
        "parts" => Question::Parts,
        "by" => Question::By,
        "note" => Question::Note,
        "minutes" => Question::Minutes,
        "months" => Question::EveryMonths,
        "source" => Question::Source,
        _ if interval => Question::EveryHours,
        _ => Question::When,
    };
    let faults = faults.into_iter();
    faults
        .map(|(field, message)| (step(&field), message))
        .collect()
}

/// The sheet of what was typed.
fn sheet(form: &ServiceDraft, book: &Book) -> Result<ServiceSheet, Vec<(Question, String)>> {
    let mut faults = Vec::new();
    let unit = Unit::Litre.preferred(book.boat().units);
    let volume = |text: &str| Measure::parse(text, unit).and_then(Volume::new);
    let at = read(
        form,
        Question::When,
        |t| read_when(t, book.now()),
        &mut faults,
    );
    let hours = read(form, Question::Hours, Hours::typed, &mut faults);
    let out = read(form, Question::Out, volume, &mut faults);
    let filled = read(form, Question::In, volume, &mut faults);
    let cost = read(form, Question::Cost, str::parse, &mut faults);
    let minutes = read(form, Question::Minutes, read_job_minutes, &mut faults);
    if !faults.is_empty() {
        return Err(faults);
    }
    let text = |step| form.text(step).map(str::to_owned);
    let parts = form.text(Question::Parts).unwrap_or_default().split(';');
    let parts = parts.map(str::trim).filter(|p| !p.is_empty());
    Ok(ServiceSheet {
        task: form.task.clone(),
        machine: form.machine.clone(),
        at,
        hours,
        out,
        filled,
        parts: parts.map(str::to_owned).collect(),
        turn: text(Question::Turn),
        cost,
        minutes,
        note: text(Question::Note),
        by: text(Question::By),
        ..ServiceSheet::default()
    })
}

/// The interval of what was typed.
fn interval(form: &ServiceDraft) -> Result<ServiceInterval, Vec<(Question, String)>> {
    let mut faults = Vec::new();
    let hours = read(form, Question::EveryHours, read_bound, &mut faults);
    let months = read(form, Question::EveryMonths, read_bound, &mut faults);
    if !faults.is_empty() {
        return Err(faults);
    }
    Ok(ServiceInterval {
        task: form.task.clone(),
        machine: form.machine.clone(),
        at: None,
        hours,
        months,
        source: form.text(Question::Source).map(str::to_owned),
    })
}

fn read<T>(
    form: &ServiceDraft,
    step: Question,
    parse: impl FnOnce(&str) -> Result<T, String>,
    faults: &mut Vec<(Question, String)>,
) -> Option<T> {
    match parse(form.text(step)?) {
        Ok(value) => Some(value),
        Err(message) => {
            faults.push((step, message));
            None
        }
    }
}

/// A whole number, or `none`, which is written as 0.
fn read_bound(text: &str) -> Result<u32, String> {
    match text {
        "none" => Ok(0),
        text => text
            .parse()
            .map_err(|_| format!("'{text}' is no whole number; none is no bound")),
    }
}

/// A date, with its time or without: then noon, or now where it is today.
fn read_when(text: &str, now: DateTime<FixedOffset>) -> Result<DateTime<FixedOffset>, String> {
    if let Ok(at) = DateTime::parse_from_rfc3339(text) {
        return Ok(at);
    }
    let local = match text.parse::<NaiveDate>() {
        Ok(date) if date == now.date_naive() => return Ok(now),
        Ok(date) => Some(date.and_time(NaiveTime::from_hms_opt(12, 0, 0).unwrap_or_default())),
        Err(_) => NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").ok(),
    };
    let local = local.and_then(|l| l.and_local_timezone(*now.offset()).single());
    local.ok_or_else(|| format!("'{text}' is no date such as 2026-05-02, or 2026-05-02 17:30"))
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_read_as_its_noon_and_today_as_now() {
        let now = DateTime::parse_from_rfc3339("2026-05-03T07:40:00+02:00").expect("a time");
        let read = |text: &str| read_when(text, now).map(|at| at.to_rfc3339());
        assert_eq!(read("2026-05-02"), Ok("2026-05-02T12:00:00+02:00".into()));
        assert_eq!(read("2026-05-03"), Ok("2026-05-03T07:40:00+02:00".into()));
        assert_eq!(
            read("2026-05-02 17:30"),
            Ok("2026-05-02T17:30:00+02:00".into())
        );
        assert!(read("yesterday").is_err() && read("2026-02-30").is_err());
    }

    #[test]
    fn bounds_are_whole_numbers_or_none() {
        assert_eq!(read_bound("none"), Ok(0));
        assert_eq!(read_bound("150"), Ok(150));
        assert!(read_bound("-5").is_err() && read_bound("1.5").is_err());
    }
}
