//! The label for the part: what was done, when, at which hours, and when it is due next.

use askama::Template;
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::status::TaskStatus;
use crate::boat::Hours;
use crate::defects::ages::Basis;
use crate::defects::condition::Condition;

/// What to write on the part. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Label {
    /// Id of the task.
    pub task: String,
    /// Title of the task, the first line of the label.
    pub title: String,
    /// Machine id; null for what the boat has once.
    pub machine: Option<String>,
    /// The boat, and the machine where she has several.
    pub on: String,
    /// When it was done.
    pub date: NaiveDate,
    /// Meter as read; null where it was not.
    pub hours: Option<Hours>,
    /// How far it was turned past contact.
    pub turn: Option<String>,
    /// Due again when the meter shows this.
    pub next_hours: Option<Hours>,
    /// Due again on this day by the calendar.
    pub next_date: Option<NaiveDate>,
}

/// The label of a task last done on record; none where it was not.
pub fn label(condition: &Condition, standing: &TaskStatus<'_>) -> Option<Label> {
    let Basis::Done(service) = standing.basis else {
        return None;
    };
    let boat = &condition.boat;
    let machine = standing.machine.filter(|_| boat.machines.len() > 1);
    let machine = boat
        .machines
        .iter()
        .find(|m| Some(m.id.as_str()) == machine);
    let on = match machine {
        Some(machine) => format!("{}, {}", boat.name, machine.name),
        None => boat.name.clone(),
    };
    let total = standing.due.and_then(|d| d.total);
    // Hours nobody read are not written on a part.
    let meters = condition.meters(standing.machine);
    let next = total.map(|t| meters.reading(t, condition.now));
    let next_date = standing.due.and_then(|d| d.by_calendar);
    Some(Label {
        task: standing.task.id.clone(),
        title: standing.task.title.clone(),
        machine: standing.machine.map(str::to_owned),
        on,
        date: service.at.date_naive(),
        hours: service.rec.hours,
        turn: service.rec.turn.clone(),
        next_hours: next.filter(|h| service.rec.hours.is_some() && *h >= Hours::ZERO),
        next_date: next_date.map(|at| at.date_naive()),
    })
}

impl Label {
    /// The lines to write, the boat first.
    pub fn lines(&self) -> Vec<String> {
        let hours = self
            .hours
            .map_or_else(|| "meter not read".to_owned(), |hours| format!("{hours} h"));
        let next = [
            self.next_hours.map(|hours| format!("{hours} h")),
            self.next_date.map(|date| date.to_string()),
        ];
        let next: Vec<String> = next.into_iter().flatten().collect();
        let mut lines = vec![
            self.on.clone(),
            self.title.clone(),
            format!("{}  {hours}", self.date),
        ];
        lines.extend(self.turn.as_ref().map(|turn| format!("turn {turn}")));
        lines.push(match next.as_slice() {
            [] => "next: when it asks for it".to_owned(),
            next => format!("next: {}", next.join(" or ")),
        });
        lines
    }

    /// A page that prints the label at its true size, 62 by 40 mm, without any script.
    pub fn html(&self) -> String {
        let (title, lines) = (&self.title, self.lines());
        Page { title, lines }.to_string()
    }
}

/// The page that is printed.
#[derive(Template)]
#[template(path = "label.html")]
struct Page<'a> {
    title: &'a str,
    lines: Vec<String>,
}
