//! What guests saw since the owner last walked: told to the owner before the next start. A guest's look
//! makes an item stand worse and never better, so that what they saw better is not taken.

use chrono::{DateTime, FixedOffset};

use super::condition::Condition;
use super::history::History;
use crate::boat::Hours;
use crate::checklist::{FINDING, Grade};
use crate::text::safe_line;
use crate::walk::fuel::fuel_tanks;
use crate::walk::{FuelLeft, TimedLook, Walk};

/// What guests saw on a machine since its last walk by the owner.
#[derive(Clone, Debug, PartialEq)]
pub struct GuestsSaw {
    /// Who walked, each once, in order; those who gave no name left out.
    pub by: Vec<String>,
    /// How often they walked.
    pub walks: usize,
    /// When they last did.
    pub last: DateTime<FixedOffset>,
    /// The least and the most that the hour meter showed to them.
    pub hours: Option<(Hours, Hours)>,
    /// What they last said of the fuel left, by the name of each tank for fuel; none where nobody did.
    pub fuel: Vec<(String, Option<String>)>,
    /// What was not sound at the last look of a guest: title, rung and note.
    pub found: Vec<(String, Grade, Option<String>)>,
    /// What they saw better than it stands: title, the rung seen, the rung it stands at.
    pub better: Vec<(String, Grade, Grade)>,
}

impl Condition {
    /// What guests saw on a machine since the owner last walked there; none where no guest did.
    pub fn guests_saw(&self, history: &History, machine: &str) -> Option<GuestsSaw> {
        // One thing that the owner found tells of no walk round.
        let walked = |w: &&Walk| {
            let round = w.guest || w.checklist != FINDING;
            w.machine == machine && round && !history.is_taken_back(w)
        };
        let back = history.walks.iter().rev().filter(walked);
        let mut walks: Vec<&Walk> = back.take_while(|w| w.guest).collect();
        walks.reverse();
        let mut last: Vec<&TimedLook> = Vec::new();
        for look in walks.iter().flat_map(|w| &w.looks) {
            if look.look.grade().is_some() {
                last.retain(|known| known.look.item != look.look.item);
                last.push(look);
            }
        }
        let mut saw = GuestsSaw {
            by: Vec::new(),
            walks: walks.len(),
            last: walks.last()?.at,
            hours: None,
            fuel: self.fuel_left(&walks),
            found: Vec::new(),
            better: Vec::new(),
        };
        for by in walks.iter().filter_map(|w| w.by.as_ref()) {
            if !saw.by.contains(by) {
                saw.by.push(by.clone());
            }
        }
        let read = || walks.iter().filter_map(|w| w.hours);
        saw.hours = read().min().zip(read().max());
        for timed in last {
            let Some(grade) = timed.look.grade() else {
                continue;
            };
            let item = &timed.look.item;
            let title = self.library.catalogue.item(item);
            let title = title.map_or(item.as_str(), |i| &i.title).to_owned();
            let stands = self.life(item, machine).and_then(|l| l.status.grade);
            match stands.filter(|stands| grade < *stands) {
                Some(stands) => saw.better.push((title, grade, stands)),
                None if grade > Grade::Sound => {
                    saw.found.push((title, grade, timed.look.note.clone()));
                }
                None => {}
            }
        }
        saw.found
            .sort_by_key(|(_, grade, _)| std::cmp::Reverse(*grade));
        Some(saw)
    }
}

impl Condition {
    /// What was last said in these walks of the fuel left; a tank that she has no more keeps its id.
    fn fuel_left(&self, walks: &[&Walk]) -> Vec<(String, Option<String>)> {
        let mut said: Vec<&FuelLeft> = Vec::new();
        for left in walks.iter().flat_map(|w| &w.fuel) {
            said.retain(|known| known.tank != left.tank);
            said.push(left);
        }
        let tanks = fuel_tanks(&self.boat).map(|tank| {
            let of = |left: &&&FuelLeft| left.tank == tank.id;
            let left = said.iter().find(of).map(|left| left.words(Some(tank)));
            (tank.name.clone(), left)
        });
        let others = said.iter().filter(|left| {
            let known = fuel_tanks(&self.boat).any(|tank| tank.id == left.tank);
            !known
        });
        let others = others.map(|left| (left.tank.clone(), Some(left.words(None))));
        tanks.chain(others).collect()
    }
}

impl GuestsSaw {
    /// What fuel is left, in a sentence; none where she has no tank for it.
    fn fuel_words(&self) -> Option<String> {
        if self.fuel.is_empty() {
            return None;
        }
        if self.fuel.iter().all(|(_, left)| left.is_none()) {
            return Some("Nobody said what fuel is left.".to_owned());
        }
        let tanks = self.fuel.iter().map(|(name, left)| {
            let left = left.as_deref().unwrap_or("not said");
            format!("{} {left}", safe_line(name))
        });
        let tanks: Vec<String> = tanks.collect();
        Some(format!("Fuel left: {}.", tanks.join("; ")))
    }

    /// In sentences, one for each line.
    pub fn words(&self) -> Vec<String> {
        let by: Vec<_> = self.by.iter().map(|by| safe_line(by)).collect();
        let who = match by.is_empty() {
            true => "A guest".to_owned(),
            false => by.join(" and "),
        };
        let often = match self.walks {
            1 => "walked once".to_owned(),
            n => format!("walked {n} times"),
        };
        let last = self.last.format("%-d %b %H:%M");
        let hours = match self.hours {
            Some((from, to)) if from == to => format!("; the hour meter showed {from}"),
            Some((from, to)) => format!("; the hour meter showed {from} to {to}"),
            None => "; nobody read the hour meter".to_owned(),
        };
        let mut lines = vec![format!("{who} {often}, last on {last}{hours}.")];
        lines.extend(self.fuel_words());
        lines.extend(self.found.iter().map(|(title, grade, note)| {
            let note = note.as_ref().map(|note| format!(": {}", safe_line(note)));
            format!("{title}, {grade}{}.", note.unwrap_or_default())
        }));
        lines.extend(self.better.iter().map(|(title, grade, stands)| {
            format!("{title}: seen {grade} by the guest; it stays {stands} until you have looked.")
        }));
        if self.found.is_empty() && self.better.is_empty() {
            lines.push("All they looked at was sound to them.".to_owned());
        }
        lines
    }
}
