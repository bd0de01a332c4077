//! The defect list: ranked over an exposure that changes with keys, filtered, acted upon.

mod belong;
pub mod cause;
pub mod compare;
pub mod draw;

use std::cell::OnceCell;
use std::rc::Rc;

use crate::assess::exposure::Exposure;
use crate::assess::words::{Level, Severity};
use crate::boat::Waters;
use crate::boat::profile::{LONGEST_DAYS, LONGEST_HOURS};
use crate::checklist::{Where, Who};
use crate::defects::Until;
use crate::defects::acts::{Deferral, Override, Repair, Withdrawal};
use crate::defects::behind::short::Short;
use crate::defects::condition::Condition;
use crate::defects::ladder_in_time::LadderInTime;
use crate::defects::list::{DefectList, Row, Scenario};
use crate::defects::locker::Offered;
use crate::defects::subject::Subject;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::logbook::record::Record;
use crate::screen::kind::{Asks, Cx, Go, Screen, Shown, To, moved};
use crate::screen::layers::{Choice, Drawn, Layer};
use crate::screen::mended::{ask_lasts, ask_until};
use crate::screen::stock::{ask_stock, take_from_stock};

/// The defects screen.
pub struct DefectsScreen {
    /// The boat now.
    pub condition: Rc<Condition>,
    /// What the list is ranked over.
    pub scenario: Scenario,
    /// Name of the plan it comes from, while it does.
    pub plan: Option<String>,
    /// Named plans, by name.
    plans: Vec<(String, Scenario)>,
    /// Everything, ranked.
    pub list: DefectList,
    /// Positions in the list of the rows shown.
    pub shown: Vec<usize>,
    /// What is behind the findings on each machine, in short, where its rows may belong together.
    pub behind: Vec<Short>,
    /// Closed defects too.
    pub all: bool,
    /// Under the arrow, among the rows shown.
    pub cursor: usize,
    /// What is shown.
    pub filter: Filter,
    /// The row under the arrow in time, once it was drawn, while row, waters and records stay.
    ladder: OnceCell<Option<LadderInTime>>,
    /// What a question over the list is about: its row may move or go meanwhile.
    asked: Option<Subject>,
}

/// Which rows are shown; nothing set shows all.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Filter {
    /// Machine id.
    pub machine: Option<String>,
    /// Station id.
    pub station: Option<String>,
    /// Who does it.
    pub who: Option<Who>,
    /// Where it is done.
    pub place: Option<Where>,
}

impl Filter {
    fn takes(&self, row: &Row) -> bool {
        self.machine
            .as_ref()
            .is_none_or(|m| row.machine.as_ref().is_none_or(|r| r == m))
            && self.station.as_ref().is_none_or(|s| *s == row.station)
            && self.who.is_none_or(|w| w == row.remedy.who)
            && self.place.is_none_or(|p| p == row.remedy.place)
    }

    /// The filter in words, empty where there is none.
    pub fn words(&self) -> String {
        let parts = [
            self.machine.clone(),
            self.station.clone(),
            self.who.map(|w| w.to_string()),
            self.place.map(|p| p.to_string()),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}

impl DefectsScreen {
    /// Over the boat's usual plan.
    pub fn new(book: &Book) -> DefectsScreen {
        let condition = book.condition();
        let (exposure, waters) = condition.usual_plan();
        let scenario = Scenario::new(exposure, waters);
        let plans = book.history().plans.values();
        let plans = plans.map(|plan| (plan.name.clone(), condition.under(plan, None)));
        let machines = condition.boat.machines.iter();
        let behind = machines.filter_map(|m| condition.short_behind(book.history(), &m.id));
        let mut screen = DefectsScreen {
            plans: plans.collect(),
            behind: behind.filter(|short| !short.marked().is_empty()).collect(),
            list: DefectList {
                scenario,
                rows: Vec::new(),
                unseen: Vec::new(),
            },
            condition,
            scenario,
            plan: Some("usual".into()),
            shown: Vec::new(),
            all: false,
            cursor: 0,
            filter: Filter::default(),
            ladder: OnceCell::new(),
            asked: None,
        };
        screen.rank();
        screen
    }

    /// Ranks anew; the row under the arrow stays under it.
    pub fn rank(&mut self) {
        let here = self.row().map(|r| (r.item.clone(), r.machine.clone()));
        self.list = self.condition.list(self.scenario, self.all);
        self.show();
        if let Some((item, machine)) = here {
            let place = self.shown.iter().position(|i| {
                let row = &self.list.rows[*i];
                row.item == item && row.machine == machine
            });
            self.cursor = place.unwrap_or(self.cursor.min(self.shown.len().saturating_sub(1)));
        }
    }

    fn show(&mut self) {
        let rows = self.list.rows.iter().enumerate();
        self.shown = rows
            .filter(|(_, r)| self.filter.takes(r))
            .map(|(i, _)| i)
            .collect();
        self.cursor = self.cursor.min(self.shown.len().saturating_sub(1));
    }

    /// The row under the arrow.
    pub fn row(&self) -> Option<&Row> {
        self.list.rows.get(*self.shown.get(self.cursor)?)
    }

    fn subject(&self) -> Option<Subject> {
        self.row().map(Row::subject)
    }

    fn weigh(&mut self, change: impl FnOnce(&mut Exposure)) {
        change(&mut self.scenario.exposure);
        let exposure = &mut self.scenario.exposure;
        exposure.hours = exposure.hours.clamp(0.0, LONGEST_HOURS);
        exposure.days = exposure.days.clamp(0.0, LONGEST_DAYS);
        self.scenario.hours_per_day = None;
        self.plan = None;
        self.rank();
    }

    /// Every plan by name: the usual one, the day ahead, the boat's own.
    pub(crate) fn all_plans(&self) -> Vec<(String, Scenario)> {
        let (exposure, waters) = self.condition.usual_plan();
        let day = Scenario::new(self.condition.day_ahead(), waters);
        let mut all = vec![
            ("usual".to_owned(), Scenario::new(exposure, waters)),
            ("day ahead".to_owned(), day),
        ];
        all.extend(self.plans.iter().cloned());
        all
    }

    fn next_plan(&mut self) {
        let mut all = self.all_plans();
        let at = all.iter().position(|(n, _)| Some(n) == self.plan.as_ref());
        let (name, scenario) = all.swap_remove(at.map_or(0, |i| (i + 1) % all.len()));
        self.scenario = scenario;
        self.plan = Some(name);
        self.rank();
    }

    fn filter_next<T: Clone + PartialEq>(all: &[T], now: &Option<T>) -> Option<T> {
        match now.as_ref().and_then(|n| all.iter().position(|a| a == n)) {
            Some(at) => all.get(at + 1).cloned(),
            None => all.first().cloned(),
        }
    }
}

/// A step that suits the size: ones up to twenty, then tens, then hundreds.
fn step(value: f64) -> f64 {
    match value {
        v if v < 20.0 => 1.0,
        v if v < 200.0 => 10.0,
        _ => 100.0,
    }
}

/// One step less, so that going up and down meets the same values.
fn less(value: f64) -> f64 {
    (value - step(value - 0.001)).max(0.0)
}

/// What is picked: the plan the list is held against.
#[derive(Clone, Debug)]
pub enum Pick {
    /// By its place among the others.
    Plan,
    /// Lasting or temporary, by what was done.
    Lasts(String),
    /// Whether it was the cause.
    Cause(cause::Mended),
    /// Whether a spare of the locker went in, by the item.
    Stock(String, Vec<Offered>),
}

/// Stands for a reason that is not typed yet, while what comes before it is checked.
const ANY_WORDS: &str = "-";

/// What is typed about the row that was under the arrow.
#[derive(Clone, Debug)]
pub enum Line {
    /// Until when it is deferred.
    DeferUntil,
    /// Why it is deferred.
    DeferWhy(Until),
    /// What was done.
    RepairDone,
    /// Until when a temporary repair is to hold, by what was done.
    RepairUntil(String),
    /// How long a repair took of which all else is said.
    RepairTook(Repair),
    /// Severity and level by hand.
    OverrideCode,
    /// Why by hand.
    OverrideWhy(Option<Severity>, Option<Level>),
    /// Why it is withdrawn.
    WithdrawWhy,
}

impl Asks for DefectsScreen {
    type Pick = Pick;
    type Line = Line;
}

impl Screen for DefectsScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        let before = (self.subject(), self.scenario.waters);
        self.take(action, cx);
        if before != (self.subject(), self.scenario.waters) {
            self.ladder = OnceCell::new();
        }
    }
    fn picked(&mut self, ask: Pick, at: usize, _of: &Choice, cx: &mut Cx<'_, Self>) {
        match ask {
            Pick::Plan => self.compare_picked(at, cx),
            Pick::Lasts(done) if at == 0 => {
                if let Err(wrong) = self.mended(done.clone(), None, cx) {
                    cx.ask(self.ask_repair(&done).with_error(Some(wrong)));
                }
            }
            Pick::Lasts(done) => cx.ask(ask_until(Line::RepairUntil(done))),
            Pick::Stock(of, offered) => {
                take_from_stock(&of, &offered, at, cx);
                self.renew(cx.book);
            }
            Pick::Cause(mended) => {
                let cause = mended.cause(at).cloned();
                let done = self.repair(mended.done.clone(), mended.temporary.clone(), cause, cx);
                if let Some(Err(wrong)) = done.map(|repair| self.ask_took(repair, cx)) {
                    cx.ask(self.ask_repair(&mended.done).with_error(Some(wrong)));
                }
            }
        }
    }

    fn typed(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        let Some(Subject { item, machine }) = self.asked.clone() else {
            return Ok(());
        };
        let why = text.to_owned();
        let record = match ask {
            Line::DeferUntil => {
                let until: Until = text.parse()?;
                let why = ANY_WORDS.to_owned();
                let deferral = Deferral {
                    item,
                    machine,
                    at: None,
                    why,
                    until,
                };
                cx.check_act(Record::from(deferral))?;
                let hint = "a few words; it can be read years later";
                cx.ask(Layer::line("Why may it wait?", hint, Line::DeferWhy(until)));
                return Ok(());
            }
            Line::OverrideCode => {
                let (severity, level) = read_code(text)?;
                let why = ANY_WORDS.to_owned();
                let set = Override {
                    item,
                    machine,
                    at: None,
                    severity,
                    level,
                    why,
                };
                cx.check_act(Record::from(set))?;
                let title = if text.is_empty() {
                    "Why is the override lifted?"
                } else {
                    "Why by hand?"
                };
                cx.ask(Layer::line(
                    title,
                    "a few words",
                    Line::OverrideWhy(severity, level),
                ));
                return Ok(());
            }
            Line::DeferWhy(until) => Record::from(Deferral {
                item,
                machine,
                at: None,
                why,
                until,
            }),
            Line::RepairDone if why.trim().is_empty() => {
                return Err("say what was done".to_owned());
            }
            Line::RepairDone => {
                cx.ask(ask_lasts(Pick::Lasts(why)));
                return Ok(());
            }
            Line::RepairTook(repair) => return self.took(repair, text, cx),
            Line::RepairUntil(done) => return self.mended(done, Some(text.parse()?), cx),
            Line::OverrideWhy(severity, level) => Record::from(Override {
                item,
                machine,
                at: None,
                severity,
                level,
                why,
            }),
            Line::WithdrawWhy => Record::from(Withdrawal {
                item,
                machine,
                at: None,
                why,
            }),
        };
        self.record(record, cx)
    }
}

impl DefectsScreen {
    fn record(&mut self, record: Record, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        let event = record.event();
        let repaired = match &record {
            Record::Repair(repair) => Some((repair.item.clone(), repair.machine.clone())),
            _ => None,
        };
        if cx.record_act(record)?.is_some() {
            self.renew(cx.book);
            cx.tell(format!("{event} recorded"));
            if let Some((item, machine)) = repaired {
                let offered =
                    self.condition
                        .spares_for(cx.book.history(), &item, machine.as_deref());
                ask_stock(&item, offered, cx, Pick::Stock);
            }
        }
        Ok(())
    }
}

impl DefectsScreen {
    /// What a key does.
    fn take(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            Action::MoreHours => self.weigh(|e| e.hours += step(e.hours)),
            Action::FewerHours => self.weigh(|e| e.hours = less(e.hours)),
            Action::MoreDays => self.weigh(|e| e.days += step(e.days)),
            Action::FewerDays => self.weigh(|e| e.days = less(e.days)),
            Action::Waters => {
                let at = Waters::ALL
                    .iter()
                    .position(|w| *w == self.scenario.waters)
                    .unwrap_or(0);
                self.scenario.waters = Waters::ALL[(at + 1) % Waters::ALL.len()];
                self.plan = None;
                self.rank();
            }
            Action::Plan => self.next_plan(),
            Action::ComparePlan => self.ask_compare(cx),
            Action::BeforeLeaving => cx.go(Go::Over(To::Leaving)),
            Action::FilterMachine => {
                let all: Vec<_> = self
                    .condition
                    .boat
                    .machines
                    .iter()
                    .map(|m| m.id.clone())
                    .collect();
                self.filter.machine = DefectsScreen::filter_next(&all, &self.filter.machine);
                self.show();
            }
            Action::FilterStation => {
                let present = self.list.rows.iter().map(|r| &r.station);
                let stations = self
                    .condition
                    .library
                    .catalogue
                    .stations()
                    .iter()
                    .map(|s| &s.id);
                let present: Vec<_> = present.collect();
                let all: Vec<_> = stations.filter(|s| present.contains(s)).cloned().collect();
                self.filter.station = DefectsScreen::filter_next(&all, &self.filter.station);
                self.show();
            }
            Action::FilterWho => {
                self.filter.who = DefectsScreen::filter_next(Who::ALL, &self.filter.who);
                self.show();
            }
            Action::FilterWhere => {
                self.filter.place = DefectsScreen::filter_next(Where::ALL, &self.filter.place);
                self.show();
            }
            Action::ClearFilters => {
                self.filter = Filter::default();
                self.show();
            }
            Action::ShowAll => {
                self.all = !self.all;
                self.rank();
            }
            Action::Undo => {
                let item = self.row().map(|row| row.item.clone());
                cx.go = item.map(|item| Go::Over(To::TakeBack(item)));
            }
            Action::Explain => self.explain_row(cx),
            Action::Places => cx.go(Go::Over(To::Places(self.subject()))),
            Action::Defer | Action::Repair | Action::Override | Action::Withdraw => {
                self.ask_act(action, cx)
            }
            Action::GoOn => cx.go(Go::To(To::GoOn)),
            Action::OpenWalks => cx.go(Go::To(To::Walks)),
            Action::Back => cx.go(Go::Home),
            _ => {
                let moved = moved(action, self.cursor, self.shown.len(), 10);
                self.cursor = moved.unwrap_or(self.cursor);
            }
        }
    }

    fn explain_row(&self, cx: &mut Cx<'_, Self>) {
        let Some(row) = self.row() else { return };
        let explained = self
            .subject()
            .and_then(|s| self.condition.explain(cx.book.history(), &s, self.scenario));
        let Some(explained) = explained else { return };
        let mut lines = vec![row.why.clone(), String::new()];
        lines.extend(explained.in_time.words());
        lines.push(String::new());
        if let Some(told) = self.belongs(row, cx) {
            lines.extend([told, String::new()]);
        }
        lines.extend(explained.steps);
        lines.push(String::new());
        let parts = if row.parts.is_empty() {
            "none".to_owned()
        } else {
            row.parts.join(", ")
        };
        lines.push(format!(
            "remedy: {} ({}, {}); parts: {parts}",
            row.remedy.action, row.remedy.who, row.remedy.place
        ));
        let ladder = Drawn::Ladder(Box::new(explained.in_time));
        cx.ask(Layer::page_with(row.title.clone(), lines, ladder));
    }

    /// The row under the arrow as the ladder lying along time.
    fn ladder(&self, book: &Book) -> Option<&LadderInTime> {
        let ladder = self.ladder.get_or_init(|| {
            let subject = self.subject()?;
            let waters = self.scenario.waters;
            self.condition
                .ladder_in_time(book.history(), &subject, waters)
        });
        ladder.as_ref()
    }

    /// The row under the arrow, with its machine where there are several.
    fn name(&self) -> String {
        let subject = self.subject();
        subject.map_or_else(String::new, |s| self.condition.name_of(&s))
    }

    /// What was done about the row under the arrow.
    fn ask_repair(&self, done: &str) -> Layer<DefectsScreen> {
        let title = format!("{}: what was done?", self.name());
        Layer::typed(title, "a few words", done, Line::RepairDone)
    }

    fn ask_act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        let Some(row) = self.row() else {
            cx.tell("no row is selected");
            return;
        };
        let title = self.name();
        let layer = match action {
            Action::Repair => self.ask_repair(""),
            Action::Defer => {
                if let Some(rule) = row.stop_rule.clone() {
                    cx.warn(format!("a stop rule is in force and cannot wait: {rule}"));
                    return;
                }
                let hint = "a date such as 2026-06-01, or a meter reading such as 1260 h";
                Layer::line(
                    format!("{title}: may wait until when?"),
                    hint,
                    Line::DeferUntil,
                )
            }
            Action::Override => {
                let hint = format!(
                    "severity 1-4, level A-E, or both such as 2C (computed {}); empty lifts an override",
                    row.appraisal.computed.code()
                );
                Layer::line(format!("{title}: set by hand"), hint, Line::OverrideCode)
            }
            _ => Layer::line(
                format!("{title}: why was it none?"),
                "a few words",
                Line::WithdrawWhy,
            ),
        };
        cx.ask(layer);
        self.asked = self.subject();
    }
}

/// A severity digit and a level letter, either or both: `2`, `B`, `2B`.
fn read_code(text: &str) -> Result<(Option<Severity>, Option<Level>), String> {
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

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use crate::boat::Hours;

    #[test]
    fn steps_up_and_down_meet_the_same_values() {
        let mut value = 0.0;
        let mut seen = Vec::new();
        for _ in 0..60 {
            seen.push(value);
            value += step(value);
        }
        for expected in seen.into_iter().rev() {
            value = less(value);
            assert_eq!(value, expected);
        }
        assert_eq!(less(0.0), 0.0);
    }

    #[test]
    fn hours_and_codes_are_read_as_typed() {
        assert_eq!(Hours::typed("1243,6 h").map(|h| h.get()), Ok(1243.6));
        assert!(
            Hours::typed("-3").is_err()
                && Hours::typed("nan").is_err()
                && Hours::typed("lots").is_err()
        );
        let (severity, level) = read_code("2b").expect("a code");
        assert_eq!(
            (severity.map(|s| s.digit()), level.map(|l| l.letter())),
            (Some(2), Some('B'))
        );
        assert!(read_code("9").is_err() && read_code("Z").is_err());
    }
}
