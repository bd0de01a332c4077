//! What is due: service tasks, rechecks, lives and looks, as a list or as months at a glance.

mod age;
pub mod ask;
pub mod desk;
pub mod draw;
pub mod forms;
pub mod page;

use std::rc::Rc;

use chrono::NaiveDate;

use crate::checklist::Task;
use crate::defects::condition::Condition;
use crate::defects::locker::Offered;
use crate::defects::work::Question;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::screen::kind::{Asks, Cx, Go, Screen, To, moved};
use crate::screen::layers::{Choice, Layer};
use crate::screen::pictures::{look_at, shows};
use crate::screen::stock::take_from_stock;
use crate::service::calendar::first_of;
use crate::service::label::label;
use crate::service::parts::Wanted;
use crate::service::status::standing;
use crate::service::{DueRow, Group, What, due, when_asked};
use crate::walk::Photo;

/// The service screen.
pub struct ServiceScreen {
    /// The boat now.
    pub condition: Rc<Condition>,
    /// Everything due, then the tasks done when their item asks for it.
    pub rows: Vec<(Group, DueRow)>,
    /// Positions of the rows shown, in the order they are shown.
    pub shown: Vec<usize>,
    /// Under the arrow, among the rows shown.
    pub cursor: usize,
    /// Rows of this machine and the boat alone.
    pub machine: Option<String>,
    /// Months at a glance, not the list.
    pub calendar: bool,
}

impl ServiceScreen {
    /// Everything of the book.
    pub fn new(book: &Book) -> ServiceScreen {
        let condition = book.condition();
        let mut screen = ServiceScreen {
            rows: rows(&condition, book),
            condition,
            shown: Vec::new(),
            cursor: 0,
            machine: None,
            calendar: false,
        };
        screen.show();
        screen
    }

    /// Today.
    pub fn today(&self) -> NaiveDate {
        self.condition.now.date_naive()
    }

    /// The row under the arrow.
    pub fn row(&self) -> Option<&DueRow> {
        let at = self.shown.get(self.cursor)?;
        self.rows.get(*at).map(|(_, row)| row)
    }

    /// The task under the arrow.
    pub fn task(&self) -> Option<&Task> {
        let row = self.row().filter(|row| row.what == What::Task)?;
        self.condition.library.task(&row.id)
    }

    /// The month of the row under the arrow.
    pub fn month(&self) -> NaiveDate {
        let day = self.row().and_then(|row| row.calendar_day(self.today()));
        first_of(day.unwrap_or(self.today()))
    }

    fn show(&mut self) {
        let today = self.today();
        let own = |row: &DueRow| {
            let wanted = self.machine.as_ref();
            wanted.is_none_or(|m| row.machine.as_ref().is_none_or(|r| r == m))
        };
        let rows = self.rows.iter().enumerate();
        let mut shown: Vec<usize> = rows
            .filter(|(_, (_, row))| own(row))
            .filter(|(_, (_, row))| !self.calendar || row.calendar_day(today).is_some())
            .map(|(n, _)| n)
            .collect();
        if self.calendar {
            shown.sort_by_key(|n| self.rows[*n].1.calendar_day(today));
        }
        self.shown = shown;
        self.cursor = self.cursor.min(self.shown.len().saturating_sub(1));
    }

    fn go_to(&mut self, row: Option<&DueRow>) {
        let Some(row) = row else { return };
        let same = |n: &usize| {
            let other = &self.rows[*n].1;
            (other.what, &other.id, &other.machine) == (row.what, &row.id, &row.machine)
        };
        if let Some(place) = self.shown.iter().position(same) {
            self.cursor = place;
        }
    }

    /// The first row of the next month that has any, or of the one before.
    fn other_month(&self, forward: bool) -> usize {
        let today = self.today();
        let month = |place: usize| {
            let day = self.rows[self.shown[place]].1.calendar_day(today);
            day.map(first_of)
        };
        let here = Some(self.month());
        let places = 0..self.shown.len();
        if forward {
            let mut after = places.skip(self.cursor);
            return after.find(|p| month(*p) != here).unwrap_or(self.cursor);
        }
        let before = places.take(self.cursor).rev();
        let other = before.map(month).find(|m| *m != here);
        let first = (0..self.shown.len()).find(|p| Some(month(*p)) == other);
        first.unwrap_or(0)
    }

    fn next_machine(&mut self) {
        let here = self.row().cloned();
        let all: Vec<&String> = self.condition.boat.machines.iter().map(|m| &m.id).collect();
        let at = all.iter().position(|m| Some(*m) == self.machine.as_ref());
        let next = all.get(at.map_or(0, |at| at + 1));
        self.machine = next.map(|m| (*m).clone());
        self.show();
        self.go_to(here.as_ref());
    }
}

pub fn rows(condition: &Condition, book: &Book) -> Vec<(Group, DueRow)> {
    let rows = due(condition, book.history()).into_iter();
    let mut rows: Vec<(Group, DueRow)> = rows.map(|row| (row.group(), row)).collect();
    // Stable: within a group the soonest stays first.
    rows.sort_by_key(|(group, _)| *group);
    let asked = when_asked(condition, book.history()).into_iter();
    rows.extend(asked.map(|row| (Group::WhenAsked, row)));
    rows
}

/// What is picked.
#[derive(Clone, Debug)]
pub enum Pick {
    /// A service is recorded: the leak run now, on this machine, or not.
    Recorded(Option<String>),
    /// Whether a spare of the locker went in, by the task.
    Stock(String, Vec<Offered>),
    /// Which of these pictures is looked at.
    Pictures(Vec<Photo>),
}

/// What is typed.
#[derive(Clone, Copy, Debug)]
pub enum Line {
    /// A part of a name.
    Find,
    /// About a service or its interval.
    Form(Question),
    /// When it was last done or fitted.
    WhenLast,
}

impl Asks for ServiceScreen {
    type Pick = Pick;
    type Line = Line;
}

impl Screen for ServiceScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            Action::PageUp if self.calendar => self.cursor = self.other_month(false),
            Action::PageDown if self.calendar => self.cursor = self.other_month(true),
            Action::FilterMachine => self.next_machine(),
            Action::Calendar => {
                let here = self.row().cloned();
                self.calendar = !self.calendar;
                self.show();
                self.go_to(here.as_ref());
            }
            Action::Find => {
                let hint = "a part of a task's or an item's name";
                cx.ask(Layer::line("Find", hint, Line::Find));
            }
            Action::ShowTask => self.show_task(cx),
            Action::Label => self.show_label(cx),
            Action::PartNumbers => self.open_parts(cx),
            Action::Photo => self.show_pictures(cx),
            Action::ServiceDone => self.begin_form(false, cx),
            Action::Interval => self.begin_form(true, cx),
            Action::WhenLast => self.ask_when_last(cx),
            Action::Undo => self.undo_form(cx),
            Action::OpenDefects => cx.go(Go::To(To::Defects)),
            Action::OpenWalks => cx.go(Go::To(To::Walks)),
            Action::Back => cx.go(Go::Home),
            _ => {
                let moved = moved(action, self.cursor, self.shown.len(), 10);
                self.cursor = moved.unwrap_or(self.cursor);
            }
        }
    }

    fn picked(&mut self, ask: Pick, at: usize, of: &Choice, cx: &mut Cx<'_, Self>) {
        match ask {
            Pick::Recorded(Some(machine)) if at == 0 => forms::leak_run_after(machine, cx),
            Pick::Recorded(_) => {}
            Pick::Stock(of, offered) => take_from_stock(&of, &offered, at, cx),
            Pick::Pictures(photos) => {
                if let Some((photo, title)) = photos.get(at).zip(of.options.get(at)) {
                    look_at(title.clone(), photo, cx);
                }
            }
        }
    }

    fn typed(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        match ask {
            Line::Find => self.find_due(text, cx),
            Line::Form(step) => self.form_typed(step, text, cx),
            Line::WhenLast => self.when_last_typed(text, cx),
        }
    }

    fn left_line(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) {
        match ask {
            Line::Find | Line::WhenLast => {}
            Line::Form(step) => self.left_form(step, text, cx),
        }
    }

    fn fills_in(&self, ask: &Line) -> bool {
        matches!(ask, Line::WhenLast)
    }

    fn went_back(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) {
        match ask {
            Line::Find | Line::WhenLast => {}
            Line::Form(step) => forms::went_back(step, text, cx),
        }
    }

    fn keeps(&self, ask: &Line) -> bool {
        matches!(ask, Line::Form(_))
    }

    fn keep(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) {
        match ask {
            Line::Find | Line::WhenLast => {}
            Line::Form(step) => self.keep_form(step, text, cx),
        }
    }
}

impl ServiceScreen {
    /// Goes to the next row with a text in its name, tasks before what is no task.
    fn find_due(&mut self, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        let wanted = text.to_lowercase();
        let rows = self.shown.iter().map(|n| &self.rows[*n].1);
        let found: Vec<(usize, What)> = rows
            .enumerate()
            .filter(|(_, row)| row.title.to_lowercase().contains(&wanted))
            .map(|(place, row)| (place, row.what))
            .collect();
        // From the arrow on and round again; a task is what one looks for here.
        let ahead = |place: usize| (place <= self.cursor, place);
        let next = found
            .iter()
            .min_by_key(|(place, what)| (*what != What::Task, ahead(*place)))
            .ok_or("nothing in this list has that in its name")?;
        self.cursor = next.0;
        let more = found.len() - 1;
        cx.tell(match more {
            0 => "found".to_owned(),
            _ => format!("{more} more; / finds again from here"),
        });
        Ok(())
    }

    fn show_task(&self, cx: &mut Cx<'_, Self>) {
        let Some(row) = self.row() else { return };
        let caution = cx.setup.theme.glyphs.caution();
        let lines = match self.task() {
            Some(task) => {
                let machine = row.machine.as_deref();
                page::task(&self.condition, cx.book.history(), task, machine, caution)
            }
            None => page::other(&self.condition, row),
        };
        cx.ask(Layer::page(row.title.clone(), lines));
    }

    /// The parts that the task under the arrow needs, or the remedy of its item.
    fn wanted(&self) -> Option<Wanted> {
        let row = self.row()?;
        let needed_for = match row.what {
            What::Task => row.id.clone(),
            _ => row.item.clone(),
        };
        Some(Wanted {
            needed_for: Some(needed_for),
            machine: row.machine.clone(),
            title: row.title.clone(),
        })
    }

    /// The pictures on record of what is under the arrow: of its parts, then of the times it was done, the
    /// last first.
    fn show_pictures(&self, cx: &mut Cx<'_, Self>) {
        let Some((row, wanted)) = self.row().zip(self.wanted()) else {
            return;
        };
        let parts = wanted.of(&self.condition, cx.book.history());
        let parts = parts.iter().filter_map(|part| {
            let photo = part.photo()?;
            Some((photo.clone(), part.title.clone()))
        });
        let done = cx.book.history().services.iter().rev();
        let done = done.filter(|s| row.what == What::Task && s.rec.task == row.id);
        let done = done.filter(|s| s.rec.machine == row.machine);
        let done = done.flat_map(|s| {
            let day = s.at.date_naive();
            let photos = s.rec.photos.iter();
            photos.map(move |photo| (photo.clone(), format!("{}, done {day}", shows(photo))))
        });
        let (photos, told): (Vec<Photo>, Vec<String>) = parts.chain(done).unzip();
        match photos.as_slice() {
            [] => {
                let keys = [Action::PartNumbers, Action::Photo].map(|action| cx.setup.key(action));
                let [parts, take] = keys;
                let title = &row.title;
                cx.tell(format!(
                    "{title}: no picture on record; {parts}, then {take}, takes one of a part in"
                ));
            }
            [only] => look_at(told.concat(), only, cx),
            _ => {
                let title = format!("{}: pictures", row.title);
                cx.ask(Layer::choice(title, told, Pick::Pictures(photos)));
            }
        }
    }

    /// Shows these parts.
    fn open_parts(&self, cx: &mut Cx<'_, Self>) {
        let Some((row, wanted)) = self.row().zip(self.wanted()) else {
            return;
        };
        if wanted.of(&self.condition, cx.book.history()).is_empty() {
            return cx.tell(format!("{}: no part is listed for it", row.title));
        }
        cx.go(Go::Over(To::Parts(wanted)));
    }

    fn show_label(&self, cx: &mut Cx<'_, Self>) {
        let Some((task, row)) = self.task().zip(self.row()) else {
            return cx.tell("a label belongs to a service task");
        };
        let machine = row.machine.as_deref();
        let standing = standing(&self.condition, cx.book.history(), task, machine);
        let Some(label) = label(&self.condition, &standing) else {
            let told = format!("{} is not done on record, so it has no label", task.title);
            return cx.tell(told);
        };
        cx.ask(Layer::page("To write on the part", label.lines()));
    }
}
