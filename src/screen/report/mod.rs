//! A report or a hand-over page written from the screens: asked for
//! a file, asked again before one is written over. A report is waited for: it is made on a thread of its
//! own, so keys, sizes and deadlines are answered meanwhile.

use std::path::Path;
use std::time::{Duration, Instant};

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::checklist::Closing;
use crate::defects::NamedPlan;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::logbook::named::{Over, is_there, write_named};
use crate::paint::widgets::{self, line, text};
use crate::report::gather::Source;
use crate::report::hand_over::hand_over as page_of;
use crate::report::hand_over::page::{file_name, html};
use crate::report::making::{Making, Order, Stage};
use crate::report::pictures::LEFT_OUT;
use crate::report::write::{self, Form, WriteError};
use crate::screen::kind::{Asks, Cx, Go, Screen, Shown, To, View};
use crate::screen::layers::{Choice, Layer};
use crate::screen::shared::Shared;

/// How often it is looked at.
const LOOK: Duration = Duration::from_millis(50);
/// Columns of the box and of the bar in it.
const WIDTH: u16 = 60;
const BAR: usize = 24;

/// What is written.
enum What {
    /// The report of a walk, by its id.
    Walk(String),
    /// The report of the logbook as it stands.
    Logbook,
    /// The page for somebody else who takes her out.
    HandOver,
}

/// What is picked.
#[derive(Clone, Copy, Debug)]
pub enum Pick {
    /// Whether the file of the last name may be written over.
    Over,
    /// A draft of a survey's report, or its document.
    Which,
    /// Under which plan what to do before leaving stands in it, if any.
    Plan,
}

/// A report or a hand-over page on its way to a file.
pub struct ReportScreen {
    /// What is written.
    what: What,
    /// Name that is offered for the file.
    offered: String,
    /// Name of the file.
    name: String,
    /// What to do before leaving under this plan stands in it too.
    plan: Option<NamedPlan>,
    /// Under way, and when it is to be looked at.
    making: Option<(Making, Instant)>,
}

impl Asks for ReportScreen {
    type Pick = Pick;
    /// Which file it goes to.
    type Line = ();
}

impl ReportScreen {
    /// Of a walk of the book.
    pub fn of(book: &Book, walk: &str) -> Option<ReportScreen> {
        let (id, walk) = (walk.to_owned(), book.history().walk(walk)?);
        let date = walk.at.format("%Y-%m-%d").to_string();
        Some(ReportScreen {
            what: What::Walk(id),
            offered: write::file_name(&[&book.boat().name, &date, &walk.checklist]),
            name: String::new(),
            plan: None,
            making: None,
        })
    }

    /// Of the boat: the hand-over page, or the report of the logbook as it stands.
    pub fn of_boat(book: &Book, hand_over: bool) -> ReportScreen {
        let boat = &book.boat().name;
        let today = book.now().format("%Y-%m-%d").to_string();
        let (what, offered) = match hand_over {
            true => (What::HandOver, file_name(boat)),
            false => (What::Logbook, write::file_name(&[boat, &today])),
        };
        ReportScreen {
            what,
            offered,
            name: String::new(),
            plan: None,
            making: None,
        }
    }

    /// Asks for the file; of a survey that is finished first whether it is to be a draft.
    pub fn begin(&mut self, cx: &mut Cx<'_, Self>) {
        let walk = match &self.what {
            What::Walk(id) => cx.book.history().walk(id),
            What::Logbook | What::HandOver => None,
        };
        let is_survey = walk.is_some_and(|walk| {
            let list = cx.book.library().checklist(&walk.checklist);
            walk.finished.is_some() && list.is_some_and(|l| l.closes_with == Closing::Survey)
        });
        if !is_survey {
            return self.ask_plan(cx);
        }
        let options = [
            "write a draft to a file",
            "enter what stands before its findings, and issue it",
        ];
        let options = options.map(str::to_owned).into();
        cx.ask(Layer::choice(
            "What is made of this survey?",
            options,
            Pick::Which,
        ));
    }

    /// Asks of the logbook under which plan what to do before leaving is to stand in it, where there is
    /// one; then for the file.
    fn ask_plan(&mut self, cx: &mut Cx<'_, Self>) {
        let plans = &cx.book.history().plans;
        if plans.is_empty() || !matches!(self.what, What::Logbook) {
            return self.ask("", None, cx);
        }
        let without = std::iter::once("no, the logbook as it stands".to_owned());
        let named = plans.keys().map(|name| format!("for the plan {name}"));
        cx.ask(Layer::choice(
            "With what to do before leaving?",
            without.chain(named).collect(),
            Pick::Plan,
        ));
    }

    /// Asks for the file, with what was typed before and what was wrong with it.
    pub fn ask(&mut self, typed: &str, wrong: Option<String>, cx: &mut Cx<'_, Self>) {
        let (title, others) = match self.what {
            What::Walk(_) => (
                "Write a report of this walk to which file?",
                "; or .md .csv .json; .de.html German",
            ),
            What::Logbook => (
                "Write a report of the logbook to which file?",
                "; or .md .csv .json; .de.html German",
            ),
            What::HandOver => ("Write the hand-over page to which file?", ""),
        };
        let hint = format!("Enter: {}{others}", self.offered);
        cx.ask(Layer::typed(title, hint, typed, ()).with_error(wrong));
    }

    fn write(&mut self, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        let (history, path) = (
            cx.book.history().clone(),
            cx.setup.pictures.join(&self.name),
        );
        let walk = match &self.what {
            What::Walk(id) => Some(id.clone()),
            What::Logbook => None,
            What::HandOver => return hand_over(&path, cx),
        };
        let said = write::language_of(&path);
        let language = said.unwrap_or(cx.setup.report_language);
        let order = Order::new(cx.book, history, walk, path)
            .in_language(language)
            .under_plan(self.plan.clone());
        let making =
            Making::begin(move |progress| order.carry_out(progress)).map_err(|e| e.to_string())?;
        self.making = Some((making, Instant::now() + LOOK));
        Ok(())
    }
}

/// Writes the hand-over page, whose few photographs are small and which is made at once.
fn hand_over(path: &Path, cx: &mut Cx<'_, ReportScreen>) -> Result<(), String> {
    let source = Source {
        boat: cx.book.boat(),
        library: cx.book.library(),
        history: cx.book.history(),
        now: cx.book.now(),
    };
    let mut page = page_of(&source, None);
    let left_out = page.put_pictures(cx.book.root());
    let page = html(&page);
    write_named(path, page.as_bytes(), Over::Any).map_err(|e| e.to_string())?;
    let told = format!("hand-over page written: {}", path.display());
    match left_out {
        0 => cx.tell(told),
        n => cx.warn(format!("{n} {LEFT_OUT}; {told}")),
    }
    cx.go(Go::Back);
    Ok(())
}

impl Shown for ReportScreen {
    fn context(&self) -> Context {
        Context::Wait
    }

    fn is_box(&self) -> bool {
        true
    }

    fn draw_over(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let Some((making, _)) = &self.making else {
            return;
        };
        let title = format!("Report to {}", self.name);
        draw_progress(
            view,
            frame,
            area,
            (&title, making.stage(), making.is_stopped()),
        );
    }
}

/// Draws how far a page is that is being made: its heading, its stage, whether it is being stopped.
pub fn draw_progress(
    view: &View<'_>,
    frame: &mut Frame<'_>,
    area: Rect,
    (title, stage, stopping): (&str, Stage, bool),
) {
    let theme = view.setup.theme;
    let inside = widgets::panel(frame, area, &theme, title, (WIDTH, 5));
    let room = usize::from(inside.width);
    let bar = |done, total, told: String| {
        let bar = theme.glyphs.bar(done, total, BAR.min(room));
        let told = text(&told, room.saturating_sub(BAR), theme.text());
        Line::from(vec![Span::styled(bar, theme.progress()), told])
    };
    let far = match stage {
        Stage::Gathering => bar(0, 1, "  putting it together".to_owned()),
        Stage::Photographs { done, total } => {
            bar(done, total, format!("  {done} of {total} photographs"))
        }
        Stage::Writing => bar(1, 1, "  writing the file".to_owned()),
    };
    let key = view.setup.key(Action::Back);
    let leave = match stopping {
        true => "stopping".to_owned(),
        false => format!("{key} stops it; a file that was there before stays"),
    };
    let leave = line(&leave, room, theme.quiet());
    widgets::lines(frame, inside, vec![far, Line::default(), leave]);
}

impl Screen for ReportScreen {
    fn act(&mut self, action: Action, _cx: &mut Cx<'_, Self>) {
        // It stays in sight until it is known what came of it.
        if let (Some((making, _)), Action::Back) = (&self.making, action) {
            making.stop();
        }
    }

    /// A file was named; one that is there already is asked about.
    fn typed(&mut self, _ask: (), text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        let name = if text.is_empty() { &self.offered } else { text };
        self.name = name.to_owned();
        let path = cx.setup.pictures.join(&self.name);
        let form = Form::of(&path).map_err(|e| e.to_string())?;
        if matches!(self.what, What::HandOver) && form != Form::Html {
            return Err("the hand-over page is a page; end its name in .html".to_owned());
        }
        if !is_there(&path).map_err(|e| e.to_string())? {
            return self.write(cx);
        }
        let title = format!("{} is there already", self.name);
        let options = vec!["keep it".to_owned(), "write over it".to_owned()];
        cx.ask(Layer::choice(title, options, Pick::Over));
        Ok(())
    }

    /// Whether an earlier file may go was answered.
    fn picked(&mut self, ask: Pick, at: usize, _of: &Choice, cx: &mut Cx<'_, Self>) {
        if let Pick::Plan = ask {
            let plans = &cx.book.history().plans;
            self.plan = at
                .checked_sub(1)
                .and_then(|at| plans.values().nth(at))
                .cloned();
            return self.ask("", None, cx);
        }
        if let Pick::Which = ask {
            return match (&self.what, at) {
                (What::Walk(id), 1) => cx.go(Go::Instead(To::Document(id.clone()))),
                _ => self.ask("", None, cx),
            };
        }
        if at != 1 {
            cx.tell("kept as it was; nothing was written");
            cx.go(Go::Back);
        } else if let Err(why) = self.write(cx) {
            let name = self.name.clone();
            self.ask(&name, Some(why), cx);
        }
    }

    fn wakes_at(&mut self, _shared: &Shared, _book: &Book) -> Option<Instant> {
        self.making.as_ref().map(|(_, at)| *at)
    }

    /// Looks at the report under way, and tells what came of it.
    fn woken(&mut self, cx: &mut Cx<'_, Self>) {
        let Some((making, at)) = &mut self.making else {
            return;
        };
        *at = Instant::now() + LOOK;
        let Some(answer) = making.answer(Duration::ZERO) else {
            return;
        };
        self.making = None;
        match answer {
            Ok(written) => {
                let path = cx.setup.pictures.join(&self.name);
                let told = format!("report written: {}", path.display());
                match written.left_out {
                    0 => cx.tell(told),
                    n => cx.warn(format!("{n} {LEFT_OUT}; {told}")),
                }
            }
            Err(error @ WriteError::Stopped) => cx.tell(error.to_string()),
            // The question is open again with what was typed, as for a name that cannot be.
            Err(error) => {
                let name = self.name.clone();
                return self.ask(&name, Some(error.to_string()), cx);
            }
        }
        cx.go(Go::Back);
    }
}
