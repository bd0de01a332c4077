//! What an answer does.

use crate::assess::words::{Level, Severity};
use crate::boat::units::Volume;
use crate::boat::{Hours, Measure, Unit, Waters};
use crate::checklist::{Leak, WearMark};
use crate::defects::aboard::OpenStop;
use crate::defects::admit::hours_fault;
use crate::logbook::book::Moved;
use crate::logbook::record::{Record, WalkNoted};
use crate::screen::app::{App, Screen};
use crate::screen::layers::Layer;
use crate::screen::layers::ask::{self, Ask};
use crate::screen::walk::grade::Reasons;
use crate::screen::walk::survey::{HOW_HINT, HOW_NEEDED};
use crate::walk::{Better, Look, Spot, Wear};

impl App {
    /// A line was picked.
    pub(crate) fn picked(&mut self, ask: Ask, at: usize, text: &str) {
        match ask {
            Ask::FirstChoice => match at {
                0 => self.layers.push(crate::screen::start::name_question()),
                1 => self.open_demo(),
                _ => self.leaving = true,
            },
            Ask::WhichBoat => self.boat_picked(at),
            Ask::ClockBehind(checklist, machine) => self.clock_picked(at, &checklist, &machine),
            Ask::BoatWaters => {
                self.answers.waters = Waters::ALL.get(at).copied();
                self.layers.push(Layer::line(
                    "What does her engine's hour meter show?",
                    "such as 1243.6; empty where there is none or you cannot see it",
                    Ask::BoatHours,
                ));
            }
            Ask::WhichItem(grade) => {
                let spot = self.walking().map(|(walk, _)| Spot {
                    item: at,
                    ..walk.at
                });
                if let (Some(spot), Some(walk)) = (spot, self.walk_mut()) {
                    walk.open = true;
                    walk.at = spot;
                    self.grade_item(spot, grade, Reasons::default());
                }
            }
            Ask::WhyBetter(spot, grade) => {
                let reasons = Reasons {
                    better: Better::ALL.get(at).copied(),
                    ..Reasons::default()
                };
                self.grade_item(spot, grade, reasons);
            }
            Ask::Mark(spot, offered) => {
                match at.checked_sub(1).and_then(|n| WearMark::ALL.get(n)) {
                    Some(mark) => self.layers.push(Layer::line(
                        format!("{mark}: where on it?"),
                        "a few words; Enter: not said",
                        Ask::MarkWhere(spot, *mark, offered),
                    )),
                    None if offered => self.quick_note(spot),
                    None => {}
                }
            }
            Ask::Leak(spot) => {
                let leak = Leak::ALL.get(at).copied();
                if self.amend(spot, |d| d.leak = leak) {
                    self.take_proposal(spot);
                }
            }
            Ask::Tool(spot) => self.tool_picked(spot, at),
            Ask::LeakSeen(spot, classes, offer) => {
                self.leak_seen(spot, classes.get(at).copied(), offer);
            }
            Ask::NotSeen(spot) => self.not_seen_picked(spot, at, text),
            Ask::FinishAnyway if at == 1 => self.finish_unseen(),
            Ask::RestWhy => self.rest_picked(at, text),
            Ask::WhichFound(text, found) => self.found_picked(&text, found.get(at)),
            Ask::ComparePlan => self.compare_picked(at),
            Ask::ReportOver(id, offered, name) => self.report_over(id, offered, name, at),
            Ask::Unsaved => self.unsaved_picked(at),
            Ask::ServiceDone(Some(machine)) if at == 0 => self.leak_run_after(&machine),
            _ => {}
        }
    }

    /// A line was typed. An error keeps the line open with what is wrong.
    pub(crate) fn typed(&mut self, ask: Ask, text: &str) -> Result<(), String> {
        let some = || Some(text.to_owned()).filter(|t| !t.is_empty());
        match ask {
            Ask::BoatName => {
                if text.is_empty() {
                    return Err("she needs a name".into());
                }
                self.answers.name = text.to_owned();
                self.layers.push(Layer::choice(
                    "Where does she go?",
                    crate::screen::start::waters_options(),
                    Ask::BoatWaters,
                ));
            }
            Ask::BoatHours => {
                let hours = if text.is_empty() {
                    None
                } else {
                    Some(read_hours(text)?)
                };
                self.found_boat(hours);
            }
            Ask::Hours if text.is_empty() => {}
            Ask::Hours => self.take_hours(read_hours(text)?)?,
            Ask::WhyDiffers(spot, grade) => {
                let why = some().ok_or("a reason is needed; Esc leaves it ungraded")?;
                self.grade_item(
                    spot,
                    grade,
                    Reasons {
                        differs: Some(why),
                        ..Reasons::default()
                    },
                );
            }
            Ask::MarkWhere(spot, mark, offered) => {
                let title = format!("{mark}: against what?");
                let next = Ask::MarkAgainst(spot, mark, text.to_owned(), offered);
                self.layers.push(Layer::line(
                    title,
                    "what it touches; Enter: nothing, or not said",
                    next,
                ));
            }
            Ask::MarkAgainst(spot, mark, place, offered) => {
                let wear = Wear {
                    mark,
                    r#where: Some(place).filter(|p| !p.is_empty()),
                    against: some(),
                };
                self.amend(spot, |d| d.wear.push(wear));
                if offered {
                    self.quick_note(spot);
                }
            }
            Ask::QuickNote(spot) => {
                if let Some(note) = some() {
                    self.amend(spot, |d| d.note = Some(note));
                }
                self.advance();
            }
            Ask::Reading(spot) => {
                let Some(text) = self.take_speed_before(text)? else {
                    return Ok(());
                };
                let unit = self
                    .walking()
                    .and_then(|(walk, _)| walk.unit(walk.item(spot)?));
                let measure = Measure::parse(&text, unit.unwrap_or(Unit::Percent))?;
                if self.amend(spot, |d| d.reading = Some(measure)) {
                    self.take_proposal(spot);
                }
            }
            Ask::Added(spot) => {
                let added: Volume = text.parse()?;
                if self.amend(spot, |d| d.added = Some(added)) {
                    self.tell("noted; grade what it shows now");
                }
            }
            Ask::Bucket(spot) => self.bucket_typed(spot, text)?,
            Ask::NotSeenWords(spot) => {
                let why = some().ok_or("a reason is needed; Esc leaves it unseen")?;
                self.put_not_seen(spot, &why);
            }
            Ask::CloseBy(spot, why) => {
                let close_by = some().ok_or(HOW_NEEDED)?;
                self.record_not_seen(spot, &why, Some(close_by));
            }
            Ask::Find if matches!(self.screen, Screen::Service(_)) => self.find_due(text)?,
            Ask::Find => self.find_typed(text)?,
            Ask::ReportTo(id, offered) => self.report_named(id, offered, text)?,
            Ask::SaveElsewhere => self.save_elsewhere(text)?,
            Ask::GoOn => self.go_on_typed(text)?,
            Ask::Service(step) => self.form_typed(step, text)?,
            other => {
                if let Some(other) = self.survey_typed(other, text)? {
                    self.defect_typed(other, text)?;
                }
            }
        }
        Ok(())
    }

    pub(crate) fn quick_note(&mut self, spot: Spot) {
        self.layers.push(Layer::line(
            "A note? (Enter: none)",
            "one line; n opens the whole note later",
            Ask::QuickNote(spot),
        ));
    }

    /// Takes the hour meter, if it can be.
    fn take_hours(&mut self, hours: Hours) -> Result<(), String> {
        let Some((walk, book)) = self.walking() else {
            return Ok(());
        };
        // Other readings of this very walk do not stand against a correction.
        let mut history = book.history().clone();
        history.walks.retain(|w| w.id != walk.started.walk);
        if let Some((_, message)) =
            hours_fault(&history, &walk.started.machine, hours, walk.started.at)
        {
            return Err(message);
        }
        let noted = WalkNoted {
            walk: walk.started.walk.clone(),
            hours: Some(hours),
            ..WalkNoted::default()
        };
        if walk.is_begun(book) {
            self.walk_record(vec![Record::WalkNoted(noted)], false);
        } else if let Some(walk) = self.walk_mut() {
            walk.started.hours = Some(hours);
        }
        Ok(())
    }

    fn not_seen_picked(&mut self, spot: Spot, at: usize, text: &str) {
        match at {
            ask::TYPED => {
                self.layers.push(Layer::line(
                    "Not seen: why?",
                    "a few words",
                    Ask::NotSeenWords(spot),
                ));
            }
            ask::NOT_FITTED => self.take_off(spot),
            _ => self.put_not_seen(spot, text),
        }
    }

    /// In a survey every item not seen says how it could be closed.
    fn put_not_seen(&mut self, spot: Spot, why: &str) {
        if self.walking().is_some_and(|(walk, _)| walk.is_survey()) {
            self.layers.push(Layer::line(
                "How could it be seen?",
                HOW_HINT,
                Ask::CloseBy(spot, why.to_owned()),
            ));
        } else {
            self.record_not_seen(spot, why, None);
        }
    }

    fn record_not_seen(&mut self, spot: Spot, why: &str, close_by: Option<String>) {
        let Some((walk, book)) = self.walking() else {
            return;
        };
        let Some(row) = walk.row() else { return };
        // A closed row is not seen as a whole.
        let spots: Vec<Spot> = if walk.open || row.items.len() == 1 {
            vec![spot]
        } else {
            let all = (0..row.items.len()).map(|item| Spot { item, ..spot });
            all.filter(|s| walk.look(book, *s).is_none()).collect()
        };
        let mut records = Vec::with_capacity(spots.len());
        for spot in spots {
            let Some(item) = walk.item(spot) else {
                continue;
            };
            if let Some(earlier) = walk.look(book, spot) {
                records.push(Record::Undo(crate::logbook::record::Undo {
                    of: earlier.id.clone(),
                }));
            }
            let look = Look::not_seen(&item.id, Some(walk.phase_id(spot)), why, close_by.clone());
            let details = walk.details(book, spot);
            records.push(Record::Look(crate::logbook::record::LookMade {
                walk: walk.started.walk.clone(),
                at: book.now(),
                look: Look {
                    note: details.note,
                    said: details.said,
                    at_rpm: details.at_rpm.or(walk.speed()),
                    photos: details.photos,
                    ..look
                }
                .into(),
            }));
        }
        if self.walk_record(records, true) {
            self.advance();
        }
    }

    /// The machine has no such item: it leaves her profile and this walk.
    fn take_off(&mut self, spot: Spot) {
        let Some((walk, book)) = self.walking() else {
            return;
        };
        let Some(item) = walk.item(spot).map(|i| i.id.clone()) else {
            return;
        };
        let machine = walk.started.machine.clone();
        let mut boat = book.profile().clone();
        let scope = walk.item(spot).map(|i| i.scope);
        if scope == Some(crate::checklist::Scope::Boat) {
            let close_by = self.walking().filter(|(walk, _)| walk.is_survey());
            let close_by = close_by.map(|_| "nothing to see: not fitted".to_owned());
            self.record_not_seen(spot, ask::NOT_SEEN[ask::NOT_FITTED], close_by);
            return;
        }
        if let Some(why) = stays(walk, book, &item, &machine) {
            self.warn(why);
            return;
        }
        for m in boat.machines.iter_mut().filter(|m| m.id == machine) {
            if !m.without.contains(&item) {
                m.without.push(item.clone());
            }
        }
        let id = walk.started.walk.clone();
        let begun = walk.is_begun(book);
        let Some(book) = &mut self.book else { return };
        if let Err(error) = book.set_boat(boat) {
            self.warn(error.to_string());
            return;
        }
        let Some(book) = &self.book else { return };
        if begun {
            let undo = self
                .walking()
                .map(|(w, _)| w.undo.clone())
                .unwrap_or_default();
            if let Some(mut again) = crate::screen::walk::WalkScreen::resume(book, &id) {
                again.undo = undo;
                self.screen = Screen::Walk(Box::new(again));
            }
        } else if let Some((walk, book)) = self.walking() {
            let again = walk.recomposed(book);
            self.screen = Screen::Walk(Box::new(again));
        }
        self.tell(format!(
            "{item} is off this machine's list; boat.json names it under 'without'"
        ));
    }

    fn unsaved_picked(&mut self, at: usize) {
        match at {
            0 => {
                if self
                    .book
                    .as_mut()
                    .is_none_or(crate::logbook::book::Book::retry)
                {
                    self.tell("saved; nothing was lost");
                } else {
                    self.warn("still not saved");
                }
            }
            1 => self.layers.push(Layer::line(
                "Save to which folder?",
                "a path, such as a stick's",
                Ask::SaveElsewhere,
            )),
            2 => self.leaving = true,
            _ => {}
        }
    }

    fn save_elsewhere(&mut self, text: &str) -> Result<(), String> {
        if text.is_empty() {
            return Err("name a folder".into());
        }
        let Some(book) = &mut self.book else {
            return Ok(());
        };
        let moved = book.move_to(std::path::Path::new(text));
        let moved = moved.map_err(|e| e.to_string())?;
        let there = book.writes_to().to_owned();
        let back = "bring it back with: handlamp logbook merge";
        match moved {
            Moved::Whole => {
                self.tell(format!(
                    "saved in {text}, which opens as her logbook; {back}"
                ));
                self.setup.root = there;
            }
            Moved::SessionAlone(why) => {
                let why = why.in_short();
                self.warn(format!(
                    "saved in {text}, this session alone ({why}); {back}"
                ));
            }
        }
        Ok(())
    }
}

/// Hours as a person types them; a decimal comma is read as a point.
pub fn read_hours(text: &str) -> Result<Hours, String> {
    let text = text
        .trim()
        .trim_end_matches(['h', 'H'])
        .trim()
        .replace(',', ".");
    let hours: f64 = text
        .parse()
        .map_err(|_| format!("'{text}' is no number of hours; type such as 1243.6"))?;
    Hours::new(hours)
}

/// A severity digit and a level letter, either or both: `2`, `B`, `2B`.
pub fn read_code(text: &str) -> Result<(Option<Severity>, Option<Level>), String> {
    let mut severity = None;
    let mut level = None;
    for c in text.chars().filter(|c| !c.is_whitespace()) {
        match c.to_digit(10) {
            Some(digit) => severity = Some(Severity::try_from(digit as u8)?),
            None => level = Some(c.to_ascii_lowercase().to_string().parse::<Level>()?),
        }
    }
    Ok((severity, level))
}

/// Why an item cannot be taken off the list of a machine: a stop is open on it, or the profile does
/// not know the machine.
fn stays(
    walk: &crate::screen::walk::WalkScreen,
    book: &crate::logbook::book::Book,
    item: &str,
    machine: &str,
) -> Option<String> {
    let of_item = |stop: &OpenStop| {
        stop.subject.item == item && stop.subject.machine.as_deref() == Some(machine)
    };
    let stop = book.condition().open_stops().into_iter().find(of_item);
    if let Some(stop) = stop.filter(|_| !walk.started.blind) {
        return Some(format!("{item} holds a stop and stays: {}", stop.rule));
    }
    let known = book.profile().machines.iter().any(|m| m.id == machine);
    (!known).then(|| format!("the profile has no machine '{machine}'; nothing was changed"))
}
