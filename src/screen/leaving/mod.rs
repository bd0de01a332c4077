//! Before leaving: what must be done, what is worth doing in the time and for the money there is, what can
//! wait. A job is taken in or left out with a key, and the rest is chosen anew at once.
//!
//! - [`form`]: a plan typed in one go; [`mod@draw`]: how it is drawn; [`minutes`]: how long a job takes;
//!   [`left`]: what stays in the run

pub mod draw;
pub mod form;
pub mod left;
pub mod minutes;

use std::convert::Infallible;
use std::rc::Rc;

use crate::defects::condition::Condition;
use crate::defects::leaving::{Asked, Kept, Outlook};
use crate::defects::leaving_pieces::Pieces;
use crate::defects::leaving_said::{FIRST, SaidGroup, SaidRow};
use crate::defects::list::Scenario;
use crate::defects::{JobMinutes, NamedPlan};
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::logbook::record::Record;
use crate::screen::facts::stepped;
use crate::screen::kind::{Asks, Cx, Go, Screen, To};
use crate::screen::layers::Layer;
use crate::screen::leaving::left::LeftBehind;
use crate::service::leaving::coming;

/// The name of the plan that stands first: what she is usually used for.
const USUAL: &str = "usual";
/// Over what must be left unsaid.
const NOT_IN_THIS: &str = "Not in this";

/// Before leaving, under one plan.
pub struct LeavingScreen {
    /// The boat now.
    condition: Rc<Condition>,
    /// The plans, the usual one first.
    plans: Vec<NamedPlan>,
    /// Which is in front.
    at: usize,
    /// The machine shown alone.
    machine: Option<String>,
    /// The question.
    asked: Asked,
    outlook: Outlook,
    /// All that is said, line by line.
    lines: Vec<Entry>,
    /// How much it takes away, in a sentence.
    takes: Option<String>,
    /// What it comes to: minutes of what must be done and of what is worth doing.
    minutes: [f64; 2],
    /// Why it cannot be told as it was asked.
    wrong: Option<String>,
    /// Under the arrow, among the lines.
    cursor: usize,
}

/// Item and machine of a job.
type Here = (Option<String>, Option<String>);

/// A line of the screen.
#[derive(Clone, Debug)]
enum Entry {
    /// Over a group.
    Heading(String),
    /// A job, with the group it stands in.
    Job(SaidRow),
    /// Said of all of it.
    Told(String),
}

impl Entry {
    const fn is_open(&self) -> bool {
        !matches!(self, Entry::Heading(_))
    }
}

impl LeavingScreen {
    /// Under the plan that was in front last, with what was taken in and left out of it.
    pub fn new(book: &Book, left: &LeftBehind) -> LeavingScreen {
        LeavingScreen::over(book, left, None)
    }

    fn over(book: &Book, left: &LeftBehind, machine: Option<String>) -> LeavingScreen {
        let mut plans = vec![NamedPlan {
            name: USUAL.to_owned(),
            ..NamedPlan::default()
        }];
        plans.extend(book.history().plans.values().cloned());
        for plan in &mut plans {
            if let Some(kept) = left.kept.get(&plan.name) {
                plan.with.clone_from(&kept.with);
                plan.without.clone_from(&kept.without);
            }
        }
        let named = |plan: &NamedPlan| Some(&plan.name) == left.plan.as_ref();
        // Where none was in front yet, a plan of one's own comes before the usual one.
        let first = usize::from(plans.len() > 1 && left.plan.is_none());
        let at = plans.iter().position(named).unwrap_or(first);
        LeavingScreen::at(book, plans, at, machine)
    }

    fn at(book: &Book, plans: Vec<NamedPlan>, at: usize, machine: Option<String>) -> LeavingScreen {
        let condition = book.condition();
        let usual = NamedPlan::default();
        let plan = plans.get(at).unwrap_or(&usual);
        let scenario = scenario(&condition, plan, machine.as_deref());
        let asked = plan.asked(scenario, machine.as_deref());
        let rows = coming(&condition, book.history(), machine.as_deref());
        let outlook = condition.outlook(book.history(), (scenario, machine.as_deref()), rows);
        let mut screen = LeavingScreen {
            condition,
            plans,
            at,
            machine,
            asked,
            outlook,
            lines: Vec::new(),
            takes: None,
            minutes: [0.0; 2],
            wrong: None,
            cursor: 0,
        };
        screen.choose(book);
        let first = screen.open().next();
        screen.cursor = first.unwrap_or(0);
        screen
    }

    /// The plan in front.
    fn plan(&self) -> Option<&NamedPlan> {
        self.plans.get(self.at)
    }

    /// Chooses anew; the job under the arrow stays under it, wherever it goes.
    fn choose(&mut self, book: &Book) {
        let here = self.under_arrow();
        let history = book.history();
        let said = self.condition.leaving(history, &self.asked, &self.outlook);
        let said = said.or_else(|wrong| {
            self.wrong = Some(wrong);
            let asked = Asked {
                spend: None,
                ..self.asked.clone()
            };
            self.condition.leaving(history, &asked, &self.outlook)
        });
        self.lines = vec![Entry::Told(FIRST.to_owned())];
        let Ok(leaving) = said else {
            return;
        };
        let several = self.condition.boat.machines.len() > 1;
        for group in leaving.said(&self.asked, several) {
            self.lines.extend(entries(group));
        }
        self.lines.push(Entry::Heading(NOT_IN_THIS.to_owned()));
        self.lines
            .extend(leaving.not_here.into_iter().map(Entry::Told));
        self.takes = leaving.takes_away.map(|takes| takes.words);
        self.minutes = [leaving.minutes.must, leaving.minutes.chosen];
        self.back_to(here, self.cursor);
    }

    /// What the job under the arrow is of.
    fn under_arrow(&self) -> Option<Here> {
        let job = self.job()?;
        Some((job.item.clone(), job.machine.clone()))
    }

    /// The arrow to the job it was on, wherever that stands now, else to the line it stood on.
    fn back_to(&mut self, here: Option<Here>, cursor: usize) {
        let same = |entry: &Entry| match (entry, &here) {
            (Entry::Job(job), Some((item, machine))) => {
                job.item == *item && job.machine == *machine
            }
            _ => false,
        };
        let last = self.lines.len().saturating_sub(1);
        let found = self.lines.iter().position(same);
        self.cursor = found.unwrap_or(cursor.min(last));
    }

    /// Lines the arrow can stand on: the caution first of all is in sight anyhow.
    fn open(&self) -> impl Iterator<Item = usize> {
        let lines = self.lines.iter().enumerate().skip(1);
        lines.filter(|(_, entry)| entry.is_open()).map(|(n, _)| n)
    }

    /// The job under the arrow.
    fn job(&self) -> Option<&SaidRow> {
        match self.lines.get(self.cursor)? {
            Entry::Job(job) => Some(job),
            _ => None,
        }
    }

    /// Another plan, or the same for another machine.
    fn turn(&mut self, at: usize, machine: Option<String>, cx: &mut Cx<'_, Self>) {
        let plans = std::mem::take(&mut self.plans);
        *self = LeavingScreen::at(cx.book, plans, at, machine);
        cx.leaving.plan = self.plan().map(|plan| plan.name.clone());
    }

    /// Takes the job under the arrow in, or leaves it out.
    fn take(&mut self, step: fn(&mut Kept, &str), cx: &mut Cx<'_, Self>) {
        let Some(item) = self.job().and_then(|job| job.item.clone()) else {
            return cx.tell("that is no job; up and down go to one");
        };
        if self.job().is_some_and(|job| job.is_must && !job.asked_for) {
            return cx.tell("it must be done, whatever is taken in or left out");
        }
        step(&mut self.asked.kept, &item);
        let kept = self.asked.kept.clone();
        if let Some(plan) = self.plans.get_mut(self.at) {
            plan.with.clone_from(&kept.with);
            plan.without.clone_from(&kept.without);
            cx.leaving.kept.insert(plan.name.clone(), kept);
        }
        self.choose(cx.book);
        cx.tell(self.standing(&item));
        self.put_on_record(cx);
    }

    /// What has become of a job, in words.
    fn standing(&self, item: &str) -> String {
        let kept = &self.asked.kept;
        let is = |of: &[String]| of.iter().any(|own| own == item);
        match () {
            () if is(&kept.with) => {
                "taken in, whatever it gains; the rest is chosen anew".to_owned()
            }
            () if is(&kept.without) => "left out; the rest is chosen anew".to_owned(),
            () => "weighed again with the rest".to_owned(),
        }
    }

    /// Puts what was taken in and left out on record with its plan, where that has changed.
    fn put_on_record(&self, cx: &mut Cx<'_, Self>) {
        let Some(plan) = self.plan().filter(|plan| plan.name != USUAL || self.at > 0) else {
            return;
        };
        let known = cx.book.history().plans.get(&plan.name);
        let differs = |known: &NamedPlan| known.with != plan.with || known.without != plan.without;
        if known.is_some_and(differs)
            && let Err(wrong) = cx.record_act(Record::from(plan.clone()))
        {
            cx.warn(wrong);
        }
    }

    /// The job under the arrow in full.
    fn show(&self, cx: &mut Cx<'_, Self>) {
        match self.lines.get(self.cursor) {
            Some(Entry::Job(job)) => {
                let title = job.head.to_string();
                cx.ask(Layer::page(title, in_full(job)));
            }
            Some(Entry::Told(told)) => {
                cx.ask(Layer::page("Before leaving", vec![told.clone()]));
            }
            _ => {}
        }
    }
}

/// What is said of a job beneath its head: cautions before what is done.
fn in_full(job: &SaidRow) -> Vec<String> {
    let cautions = job.cautions.iter().map(|caution| format!("! {caution}"));
    let rest = job.lines.iter().chain(&job.more);
    cautions.chain(rest.map(Pieces::to_string)).collect()
}

/// The lines of a group.
fn entries(group: SaidGroup) -> Vec<Entry> {
    let mut lines = vec![Entry::Heading(group.group.title().to_owned())];
    lines.extend(group.nothing.map(|told| Entry::Told(told.to_owned())));
    lines.extend(group.rows.into_iter().map(Entry::Job));
    lines.extend(group.after.into_iter().map(Entry::Told));
    lines
}

/// What a plan means; the usual one is none on record.
fn scenario(condition: &Condition, plan: &NamedPlan, machine: Option<&str>) -> Scenario {
    match (plan.hours, plan.days) {
        (None, None) => {
            let (exposure, waters) = condition.usual_plan();
            Scenario::new(exposure, waters)
        }
        _ => condition.under(plan, machine),
    }
}

impl Asks for LeavingScreen {
    type Pick = Infallible;
    type Line = Line;
}

/// What is typed.
#[derive(Clone, Debug)]
pub enum Line {
    /// A question of the form of a plan.
    Form(form::PlanQuestion),
    /// How long a job takes.
    Minutes(JobMinutes),
}

impl Screen for LeavingScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            Action::ShowJob => self.show(cx),
            Action::TakeIn => self.take(Kept::take_in, cx),
            Action::LeaveOut => self.take(Kept::leave_out, cx),
            Action::JobMinutes => self.ask_minutes(cx),
            Action::TypePlan => self.begin(cx),
            Action::Plan => {
                let next = (self.at + 1) % self.plans.len().max(1);
                self.turn(next, self.machine.clone(), cx);
            }
            Action::FilterMachine => {
                let machines = &self.condition.boat.machines;
                let here = machines
                    .iter()
                    .position(|m| Some(&m.id) == self.machine.as_ref());
                let next = machines.get(here.map_or(0, |at| at + 1));
                let next = next.map(|machine| machine.id.clone());
                self.turn(self.at, next, cx);
            }
            Action::OpenDefects => cx.go(Go::To(To::Defects)),
            Action::Back => cx.go(Go::BackAnew),
            _ => {
                let at = stepped(action, self.cursor, self.open());
                self.cursor = at;
            }
        }
    }

    fn typed(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        match ask {
            Line::Form(step) => self.answer(step, text, cx),
            Line::Minutes(of) => self.minutes_typed(of, text, cx),
        }
    }

    fn left_line(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) {
        match ask {
            Line::Form(step) => self.leave_half_typed(step, text, cx),
            Line::Minutes(of) => cx.leaving.minutes = Some((of, text.to_owned())),
        }
    }
}
