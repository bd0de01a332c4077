//! Ids put into words, and looks, readings, stations and places as a report has them.

use super::content::{LookPart, MachinePart, NotSeenPart, PlacePart, ReadingPart, StationPart};
use super::words::{Said, Words};
use crate::arrangement::{Arrangement, Place};
use crate::checklist::{Checklist, Grade, Library, PhaseState};
use crate::defects::as_last_time::in_a_row;
use crate::defects::condition::Condition;
use crate::defects::list::{DefectList, Row};
use crate::defects::{History, Subject};
use crate::walk::{Outcome, TimedLook};

/// Puts ids into words.
pub(super) struct Scribe<'a> {
    pub(super) condition: &'a Condition,
    pub(super) checklist: Option<&'a Checklist>,
    /// What was on record then.
    pub(super) history: &'a History,
    /// What is on record now: estimates are made after the walk.
    pub(super) later: &'a History,
    /// In which words.
    pub(super) w: Words,
}

impl Scribe<'_> {
    /// The machines of the boat, or one of them, with what their meters show.
    pub(super) fn machines(&self, only: Option<&str>) -> Vec<MachinePart> {
        let machines = self.condition.boat.machines.iter();
        machines
            .filter(|m| only.is_none_or(|id| m.id == id))
            .map(|m| {
                let meter = self.condition.meter_now(Some(&m.id));
                MachinePart {
                    id: m.id.clone(),
                    name: m.name.clone(),
                    hours: (meter.hours * 10.0).round() / 10.0,
                    estimated: meter.estimated,
                }
            })
            .collect()
    }

    /// The title of an item; the one place where a report asks for it.
    pub(super) fn title(&self, item: &str) -> Said {
        let known = self.condition.library.catalogue.item(item);
        known.map_or_else(|| Said::people(item), |i| self.w.english(&*i.title))
    }

    /// The title of an item; none where none is named.
    pub(super) fn title_where_any(&self, item: &str) -> Said {
        if item.is_empty() {
            Said::default()
        } else {
            self.title(item)
        }
    }

    /// The title of a station; the one place where a report asks for it.
    pub(super) fn station_title(&self, station: &str) -> Said {
        let known = self.condition.library.catalogue.station(station);
        known.map_or_else(|| Said::people(station), |s| self.w.english(&*s.title))
    }

    /// The title of the station an item is at.
    fn station_of(&self, item: &str) -> Said {
        let known = self.condition.library.catalogue.item(item);
        known.map_or_else(Said::default, |i| self.station_title(&i.station))
    }

    /// An item that nobody saw, and why.
    pub(super) fn not_seen(
        &self,
        item: &str,
        machine: Option<&str>,
        reason: Option<Said>,
        close_by: Option<String>,
    ) -> NotSeenPart {
        NotSeenPart {
            item: item.to_owned(),
            title: self.title(item),
            station: self.station_of(item),
            machine: machine.map(str::to_owned),
            reason,
            close_by,
        }
    }

    /// Where everything asked is, and every finding; `graded` gives none for what is not asked.
    pub(super) fn places(
        &self,
        arrangement: &Arrangement,
        list: &DefectList,
        graded: impl Fn(&Subject) -> Option<Option<Grade>>,
    ) -> Vec<PlacePart> {
        let row = |subject: &Subject| {
            let of = |r: &&Row| r.item == subject.item && r.machine == subject.machine;
            list.rows.iter().find(of)
        };
        let part = |place: &Place| {
            let row = row(&place.subject);
            let grade = match graded(&place.subject) {
                Some(grade) => grade.max(row.map(|row| row.grade)),
                None => Some(row?.grade),
            };
            Some(PlacePart {
                title: self.title(&place.subject.item),
                at: place.point,
                not_told: place.is_asked,
                grade,
                rank: row.map(|row| row.rank),
                item: place.subject.item.clone(),
                machine: place.subject.machine.clone(),
            })
        };
        arrangement.places.iter().filter_map(part).collect()
    }

    /// What stands where; where it is known to be now, since a drawing is no finding.
    pub(super) fn arrangement(&self) -> Arrangement {
        Arrangement::of(self.condition, self.later)
    }

    /// The stations with something asked, and how it stands there.
    pub(super) fn stations(
        &self,
        asked: &[String],
        graded: impl Fn(&str) -> Option<Grade>,
    ) -> Vec<StationPart> {
        let catalogue = &self.condition.library.catalogue;
        let at = |station: &str| {
            asked
                .iter()
                .filter(|i| catalogue.item(i).is_some_and(|i| i.station == station))
                .map(|i| graded(i))
                .collect::<Vec<_>>()
        };
        let stations = catalogue.stations().iter();
        stations
            .map(|s| (s, at(&s.id)))
            .filter(|(_, grades)| !grades.is_empty())
            .map(|(s, grades)| StationPart {
                station: s.id.clone(),
                title: self.station_title(&s.id),
                asked: grades.len(),
                seen: grades.iter().flatten().count(),
                worst: grades.iter().flatten().copied().max(),
            })
            .collect()
    }

    /// The title of a phase.
    fn phase(&self, id: Option<&str>) -> Option<Said> {
        let id = id?;
        let known = self
            .checklist
            .and_then(|c| c.phases.iter().find(|p| p.id == id));
        // What the logbook knows no more by its checklist, one of the program's own can still name.
        let lists = Library::built_in().checklists().iter();
        let ours = lists
            .flat_map(|list| &list.phases)
            .any(|phase| phase.id == id);
        Some(match known {
            Some(phase) => self.w.english(&*phase.title),
            None if ours => self.w.english(id.replace('-', " ")),
            None => Said::people(id.replace('-', " ")),
        })
    }

    /// The state of the engine in a phase.
    fn state(&self, phase: Option<&str>) -> Option<PhaseState> {
        let phases = &self.checklist?.phases;
        let phase = phases.iter().find(|p| Some(p.id.as_str()) == phase);
        phase.map(|p| p.state)
    }

    /// A look.
    pub(super) fn look(&self, timed: &TimedLook, machine: Option<&str>) -> LookPart {
        let look = &timed.look;
        let grade = look.grade();
        LookPart {
            item: look.item.clone(),
            title: self.title(&look.item),
            station: self.station_of(&look.item),
            machine: machine.map(str::to_owned),
            at: timed.at,
            phase: self.phase(look.phase.as_deref()),
            state: self.state(look.phase.as_deref()),
            joined: None,
            at_rpm: look.at_rpm,
            grade,
            rung: self
                .condition
                .rung_seen(self.checklist, machine, look)
                .map(|rung| self.w.english(rung)),
            not_seen: match &look.outcome {
                Outcome::NotSeen { why, .. } => Some(why.clone()),
                Outcome::Graded(_) => None,
            },
            leak: look.leak,
            reading: look.reading.map(|m| m.text()),
            added: look.added.map(|v| v.measure().text()),
            wear: look.wear.iter().map(|mark| self.w.wear(mark)).collect(),
            signs: {
                let signs = self.condition.sign_lines(&look.signs).into_iter();
                signs.map(|sign| self.w.english(sign)).collect()
            },
            note: look.note.clone(),
            said: look.said.clone(),
            grade_reason: look.grade_reason.clone(),
            as_last_time: in_a_row(self.history, timed),
            photos: look.photos.clone(),
        }
    }

    /// A reading taken at a look; none where none was.
    pub(super) fn reading(&self, timed: &TimedLook, machine: Option<&str>) -> Option<ReadingPart> {
        let measure = timed.look.reading?;
        Some(ReadingPart {
            item: timed.look.item.clone(),
            title: self.title(&timed.look.item),
            machine: machine.map(str::to_owned),
            at: timed.at,
            phase: self.phase(timed.look.phase.as_deref()),
            at_rpm: timed.look.at_rpm,
            value: measure.text(),
            grade: timed.look.grade(),
        })
    }
}
