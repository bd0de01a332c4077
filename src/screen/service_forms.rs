//! Work that was done, and how often it is due, asked one line after another. Every question can be
//! passed with Enter; what was typed is checked by the rules of [`crate::service::sheet`] at each,
//! and stays where they complain.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveDateTime, NaiveTime};

use super::answer::read_hours;
use super::app::{App, Screen};
use super::service_ask;
use super::service_screen::ServiceScreen;
use crate::boat::units::Volume;
use crate::boat::{Measure, Unit};
use crate::defects::ServiceInterval;
use crate::defects::admit::Fault;
use crate::logbook::book::Book;
use crate::logbook::record::{Record, Undo};
use crate::logbook::take::{prepare_act, prepare_service, prepare_undo_of_service};
use crate::service::{ServiceSheet, interval_of, service_of};

/// What one line asks, in the order asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// When it was done.
    When,
    /// The meter.
    Hours,
    /// What came out.
    Out,
    /// What went in.
    In,
    /// How far a filter was turned.
    Turn,
    /// Parts used.
    Parts,
    /// By whom.
    By,
    /// Anything else.
    Note,
    /// What it cost.
    Cost,
    /// Running hours between two times.
    EveryHours,
    /// Months between two times.
    EveryMonths,
    /// Which page of the handbook says so.
    Source,
}

/// A task being recorded as done, or its interval being set: what was typed so far.
#[derive(Clone, Debug, PartialEq)]
pub struct Form {
    /// Its interval is asked, not the work.
    pub interval: bool,
    /// Id of the task.
    pub task: String,
    /// Machine id.
    pub machine: Option<String>,
    /// As typed, by question.
    pub typed: BTreeMap<Step, String>,
}

impl Form {
    /// What was typed at a question, nothing where it was passed.
    fn text(&self, step: Step) -> Option<&str> {
        let text = self.typed.get(&step).map(|t| t.trim());
        text.filter(|t| !t.is_empty())
    }

    /// Questions answered, with the beginning of each answer.
    fn words(&self) -> String {
        let answered = self.typed.keys().filter(|s| **s != Step::By);
        let words = answered.filter_map(|step| {
            let text = self.text(*step)?;
            let text = crate::text::fit(&crate::text::safe_line(text), 20);
            Some(format!("{} {text}", service_ask::name(*step)))
        });
        words.collect::<Vec<_>>().join(", ")
    }

    fn is_of(&self, other: &Form) -> bool {
        (self.interval, &self.task, &self.machine) == (other.interval, &other.task, &other.machine)
    }
}

/// What is being written about services, kept while the program runs.
#[derive(Default)]
pub struct Desk {
    /// In front.
    pub open: Option<Form>,
    /// Left half typed.
    pub kept: Vec<Form>,
    /// Recorded in this sitting, with the id of the record.
    done: Vec<(String, Form)>,
    /// It was told that leaving loses what is kept.
    pub warned: bool,
}

impl Desk {
    /// What is in front was recorded.
    fn close(&mut self, id: String) {
        if let Some(form) = self.open.take() {
            self.kept.retain(|k| !k.is_of(&form));
            self.done.push((id, form));
        }
    }

    fn keep(&mut self, form: Form) {
        self.kept.retain(|k| !k.is_of(&form));
        self.kept.push(form);
        self.warned = false;
    }
}

impl App {
    /// Begins to ask about the task under the arrow, with what was typed of it before.
    pub(super) fn begin_form(&mut self, interval: bool) {
        let Screen::Service(screen) = &self.screen else {
            return;
        };
        let Some((task, row)) = screen.task().zip(screen.row()) else {
            return self.tell("that is no service task; Enter shows what it is");
        };
        let new = Form {
            interval,
            task: task.id.clone(),
            machine: row.machine.clone(),
            typed: BTreeMap::new(),
        };
        let kept = self.desk.kept.iter().position(|k| k.is_of(&new));
        let form = kept.map_or(new, |n| self.desk.kept.remove(n));
        let first = service_ask::steps(&screen.condition, task, &form)
            .first()
            .copied();
        self.desk.open = Some(form);
        if kept.is_some() {
            self.tell("what was typed before is filled in");
        }
        if let Some(first) = first {
            self.ask_step(first, None);
        }
    }

    fn ask_step(&mut self, step: Step, error: Option<String>) {
        let (Screen::Service(screen), Some(book)) = (&self.screen, &self.book) else {
            return;
        };
        let Some(form) = &self.desk.open else { return };
        let by = self.setup.by.as_deref();
        let line = service_ask::line(screen, book, form, by, (step, error));
        self.layers.extend(line);
    }

    /// A question was left: what is typed so far is kept.
    pub(super) fn left_form(&mut self, step: Step, text: &str) {
        let Some(mut form) = self.desk.open.take() else {
            return;
        };
        form.typed.insert(step, text.to_owned());
        let words = form.words();
        if words.is_empty() {
            return self.tell("nothing is recorded");
        }
        let action = match form.interval {
            true => super::keys::Action::Interval,
            false => super::keys::Action::ServiceDone,
        };
        let key = self.setup.keys.keys_of(action).first();
        let key = key.map(ToString::to_string).unwrap_or_default();
        self.desk.keep(form);
        self.tell(format!(
            "not recorded; kept until handlamp is left: {words}; {key} goes on with it"
        ));
    }

    /// A question was answered.
    pub(super) fn form_typed(&mut self, step: Step, text: &str) -> Result<(), String> {
        let (Screen::Service(screen), Some(book)) = (&self.screen, &self.book) else {
            return Ok(());
        };
        let Some(form) = &mut self.desk.open else {
            return Ok(());
        };
        form.typed.insert(step, text.to_owned());
        let Some(task) = book.library().task(&form.task) else {
            return Ok(());
        };
        let steps = service_ask::steps(&screen.condition, task, form);
        let mut so_far = form.clone();
        so_far.typed.retain(|asked, _| *asked <= step);
        let faults = faults(screen, book, &so_far);
        complaint(&faults, step)?;
        if let Some(next) = steps.into_iter().find(|s| *s > step) {
            self.ask_step(next, None);
            return Ok(());
        }
        let done = match form.interval {
            true => self.set_interval(),
            false => self.record_service(),
        };
        if let Err(faults) = done {
            complaint(&faults, step)?;
            // Something asked before: there it is mended.
            if let Some((at, _)) = faults.first() {
                let told = complaint(&faults, *at).err();
                self.ask_step(*at, told);
            }
        }
        Ok(())
    }

    fn record_service(&mut self) -> Result<(), Vec<(Step, String)>> {
        let (Some(form), Some(book)) = (&self.desk.open, &self.book) else {
            return Ok(());
        };
        let sheet = sheet(form, book)?;
        let records = prepare_service(book, book.history(), &sheet);
        let records = records.map_err(|f| by_step(f, false))?;
        let Some(id) = self.record(records).and_then(|ids| ids.into_iter().next()) else {
            return Ok(());
        };
        self.desk.close(id.clone());
        self.refresh_service();
        let (Screen::Service(screen), Some(book)) = (&self.screen, &self.book) else {
            return Ok(());
        };
        self.layers.extend(service_ask::recorded(screen, book, &id));
        Ok(())
    }

    fn set_interval(&mut self) -> Result<(), Vec<(Step, String)>> {
        let (Some(form), Some(book)) = (&self.desk.open, &self.book) else {
            return Ok(());
        };
        let interval = interval(form)?;
        let mut set = book.history().intervals.iter();
        let known = |i: &ServiceInterval| (&i.task, &i.machine) == (&form.task, &form.machine);
        let own = (interval.hours, interval.months) == (None, None);
        if own && !set.any(|s| known(&s.rec)) {
            self.desk.open = None;
            self.tell("nothing is changed: our figures hold already");
            return Ok(());
        }
        let record = prepare_act(book, book.history(), Record::Interval(interval));
        let record = record.map_err(|f| by_step(f, true))?;
        let Some(id) = self
            .record(vec![record])
            .and_then(|ids| ids.into_iter().next())
        else {
            return Ok(());
        };
        self.desk.close(id);
        self.refresh_service();
        self.tell("interval set; u takes it back");
        Ok(())
    }

    /// Takes back what was recorded here last; what was typed for it is kept.
    pub(super) fn undo_form(&mut self) {
        let Some((id, form)) = self.desk.done.pop() else {
            return self.tell(
                "nothing was recorded here since handlamp was opened; handlamp service undo takes back older work",
            );
        };
        let Some(book) = &self.book else { return };
        let record = match form.interval {
            true => Ok(Record::Undo(Undo { of: id })),
            false => prepare_undo_of_service(book.history(), &id),
        };
        match record {
            Ok(record) => {
                if self.record(vec![record]).is_none() {
                    return;
                }
            }
            Err((_, message)) => return self.warn(message),
        }
        let title = self
            .book
            .as_ref()
            .and_then(|b| b.library().task(&form.task));
        let title = title.map_or(form.task.clone(), |t| t.title.clone());
        self.desk.keep(form);
        self.refresh_service();
        self.tell(format!("{title}: taken back; what was typed is kept"));
    }

    fn refresh_service(&mut self) {
        if let (Screen::Service(screen), Some(book)) = (&mut self.screen, &self.book) {
            screen.refresh(book);
        }
    }

    /// Something is typed in part and would be lost: told once before leaving.
    pub(super) fn warn_of_forms(&mut self) -> bool {
        if let (Some(super::layer::Layer::Line(line)), Some(form)) =
            (self.layers.last(), &self.desk.open)
            && let super::ask::Ask::Service(step) = line.ask
        {
            let mut form = form.clone();
            form.typed.insert(step, line.text.clone());
            if !form.words().is_empty() && !self.desk.warned {
                self.desk.keep(form);
            }
        }
        let Some(form) = self.desk.kept.last().filter(|_| !self.desk.warned) else {
            return false;
        };
        let told = format!(
            "{} is typed in part and not recorded ({}); the same key again leaves without it",
            form.task,
            form.words()
        );
        self.desk.warned = true;
        self.warn(told);
        true
    }

    /// Begins the leak run after a service.
    pub(super) fn leak_run_after(&mut self, machine: &str) {
        let Some(book) = &self.book else { return };
        let lists = book.library().checklists();
        let leak_run = lists
            .iter()
            .find(|l| l.closes_with == crate::checklist::Closing::LeakRun);
        if let Some(id) = leak_run.map(|l| l.id.clone()) {
            self.begin_walk(&id, machine);
        }
    }
}

/// What is wrong with an answer, in one sentence.
fn complaint(faults: &[(Step, String)], step: Step) -> Result<(), String> {
    let here = faults.iter().filter(|(at, _)| *at == step);
    let here: Vec<&str> = here.map(|(_, message)| message.as_str()).collect();
    match here.is_empty() {
        true => Ok(()),
        false => Err(here.join("; ")),
    }
}

/// Everything wrong with what was typed so far.
fn faults(screen: &ServiceScreen, book: &Book, form: &Form) -> Vec<(Step, String)> {
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
fn by_step(faults: Vec<Fault>, interval: bool) -> Vec<(Step, String)> {
    let step = |field: &str| match field.split(['[', '.']).next().unwrap_or_default() {
        "hours" if interval => Step::EveryHours,
        "hours" => Step::Hours,
        "out" => Step::Out,
        "in" => Step::In,
        "turn" => Step::Turn,
        "parts" => Step::Parts,
        "by" => Step::By,
        "note" => Step::Note,
        "months" => Step::EveryMonths,
        "source" => Step::Source,
        _ if interval => Step::EveryHours,
        _ => Step::When,
    };
    let faults = faults.into_iter();
    faults
        .map(|(field, message)| (step(&field), message))
        .collect()
}

/// The sheet of what was typed.
fn sheet(form: &Form, book: &Book) -> Result<ServiceSheet, Vec<(Step, String)>> {
    let mut faults = Vec::new();
    let unit = Unit::Litre.preferred(book.boat().units);
    let volume = |text: &str| Measure::parse(text, unit).and_then(Volume::new);
    let at = read(form, Step::When, |t| read_when(t, book.now()), &mut faults);
    let hours = read(form, Step::Hours, read_hours, &mut faults);
    let out = read(form, Step::Out, volume, &mut faults);
    let filled = read(form, Step::In, volume, &mut faults);
    let cost = read(form, Step::Cost, str::parse, &mut faults);
    if !faults.is_empty() {
        return Err(faults);
    }
    let text = |step| form.text(step).map(str::to_owned);
    let parts = form.text(Step::Parts).unwrap_or_default().split(';');
    let parts = parts.map(str::trim).filter(|p| !p.is_empty());
    Ok(ServiceSheet {
        task: form.task.clone(),
        machine: form.machine.clone(),
        at,
        hours,
        out,
        filled,
        parts: parts.map(str::to_owned).collect(),
        turn: text(Step::Turn),
        cost,
        note: text(Step::Note),
        by: text(Step::By),
        ..ServiceSheet::default()
    })
}

/// The interval of what was typed.
fn interval(form: &Form) -> Result<ServiceInterval, Vec<(Step, String)>> {
    let mut faults = Vec::new();
    let hours = read(form, Step::EveryHours, read_bound, &mut faults);
    let months = read(form, Step::EveryMonths, read_bound, &mut faults);
    if !faults.is_empty() {
        return Err(faults);
    }
    Ok(ServiceInterval {
        task: form.task.clone(),
        machine: form.machine.clone(),
        at: None,
        hours,
        months,
        source: form.text(Step::Source).map(str::to_owned),
    })
}

fn read<T>(
    form: &Form,
    step: Step,
    parse: impl FnOnce(&str) -> Result<T, String>,
    faults: &mut Vec<(Step, String)>,
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
