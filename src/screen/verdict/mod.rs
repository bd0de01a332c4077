//! The end of a walk: the verdict with the rows that made it, what changed, what was not seen.

pub mod draw;
pub mod survey;
pub mod told;

use std::convert::Infallible;
use std::rc::Rc;

use crate::assess::coverage::Coverage;
use crate::checklist::{Closing, Grade};
use crate::defects::before_start::BeforeStart;
use crate::defects::behind::short::Short;
use crate::defects::condition::Condition;
use crate::defects::judged::Judged;
use crate::defects::list::Row;
use crate::defects::survey::{UnsafeFinding, Unseen, unsafe_findings};
use crate::defects::view::{WalkView, before};
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::report::issue::list::changed_since;
use crate::screen::kind::{Asks, Cx, Go, Screen, To};
use crate::screen::layers::Layer;
use crate::walk::pace::Pace;
use crate::walk::{Plan, TimedLook, Walk};

/// A finished (or past) walk.
pub struct VerdictScreen {
    /// The walk.
    pub walk: Walk,
    /// Title of its checklist.
    pub title: String,
    /// As at the walk and as of now.
    pub judged: Judged,
    /// What is different from before.
    pub changes: Vec<Change>,
    /// Topped up: item title and how much.
    pub added: Vec<(String, String)>,
    /// How fast it went, where that was told.
    pub pace: Option<Pace>,
    /// What is behind the findings on its machine now, in short; none where there are none, and where a
    /// later walk on her tells of now.
    pub behind: Option<Short>,
    /// What comes before she starts.
    pub chores: Vec<BeforeStart>,
    /// How levels went, in a leak run: item title and words.
    pub levels: Vec<(String, String)>,
    /// Rows of which all was seen, of all.
    pub seen: (usize, usize),
    /// What is more of a survey; empty for the rest.
    pub unsafe_found: Vec<UnsafeFinding>,
    /// Defects of its machine and of the boat at its end, ranked over the usual plan of then.
    pub defects: Vec<Row>,
    /// Places without a grade.
    pub unseen: Vec<Unseen>,
    /// How much of it was seen, over the usual plan of then.
    pub coverage: Option<Coverage>,
    /// What was issued of it, and whether its records are other since, one sentence each.
    pub issued: Vec<String>,
    /// What comes after a walk of the seasons.
    pub next: Option<String>,
    plan: Option<Plan>,
    /// Its checklist closes as a survey.
    pub survey: bool,
    /// It ended just now, and is the first of this logbook.
    pub is_first: bool,
    /// The boat now.
    pub(crate) condition: Rc<Condition>,
    /// First line shown.
    pub scroll: usize,
}

/// An item whose grade changed.
pub struct Change {
    /// As shown.
    pub title: String,
    /// Before, where it was ever graded.
    pub before: Option<Grade>,
    /// In this walk.
    pub after: Grade,
    /// Said with it.
    pub note: Option<String>,
}

impl VerdictScreen {
    /// For a walk of the book.
    pub fn new(book: &Book, id: &str, pace: Option<Pace>) -> Option<VerdictScreen> {
        let walk = book.history().walk(id)?.clone();
        let condition = book.condition();
        let (boat, library, history) = (book.boat(), book.library(), book.history());
        let view = WalkView::of(boat, library, history, &walk, condition.now);
        let judged = view.judged(history, &condition, &walk);
        let before = before(boat, library, history, &walk);
        let catalogue = &condition.library.catalogue;
        let name = |id: &str| catalogue.item(id).map_or(id, |i| &i.title).to_owned();
        let mut ids: Vec<&str> = Vec::new();
        for timed in &walk.looks {
            if !ids.contains(&timed.look.item.as_str()) {
                ids.push(&timed.look.item);
            }
        }
        let mut changes = Vec::new();
        for id in ids {
            let mended = view.history.mended(&condition.subject(id, &walk.machine));
            let Some((after, timed)) = walk.counted(id, &mended) else {
                continue;
            };
            let was = before.life(id, &walk.machine).and_then(|l| l.status.grade);
            if was != Some(after) && !(was.is_none() && after == Grade::Sound) {
                changes.push(Change {
                    title: name(id),
                    before: was,
                    after,
                    note: timed.look.note.clone(),
                });
            }
        }
        changes.sort_by_key(|c| (std::cmp::Reverse(c.after), c.title.clone()));
        let added = |t: &TimedLook| Some((name(&t.look.item), t.look.added?.to_string()));
        let added = walk.looks.iter().filter_map(added).collect();
        let list = condition.list_of(&walk);
        let list = list.as_deref();
        let closes = |closing| list.is_some_and(|l| l.closes_with == closing);
        let (leak_run, survey) = (closes(Closing::LeakRun), closes(Closing::Survey));
        let levels = view
            .condition
            .levels(&walk)
            .into_iter()
            .filter(|_| leak_run);
        let levels = levels.map(|l| (name(&l.item), l.told));
        let quantities = view.condition.quantities(&view.history, &walk).into_iter();
        let quantities = quantities.filter(|_| leak_run);
        let levels = quantities.chain(levels).collect();
        let plan = view.plan.as_ref();
        let seen = plan.map_or((0, 0), |p| (p.rows_seen(&walk), p.row_count()));
        let title = list.map_or("", |c| c.title.as_str()).to_owned();
        let mut end = SurveyEnd::default();
        if survey {
            end = SurveyEnd::of(book, &view, &walk);
        }
        let chores = condition.before_start(Some(&walk.machine));
        let mut later = history.walks.iter().rev();
        let last = later.find(|w| w.machine == walk.machine && w.finished.is_some());
        let is_last = last.is_some_and(|last| last.id == walk.id);
        let behind = is_last.then(|| condition.short_behind(history, &walk.machine));
        let next = condition.after_season(history, &walk);
        Some(VerdictScreen {
            walk,
            next,
            behind: behind.flatten(),
            chores,
            title,
            judged,
            changes,
            added,
            pace,
            levels,
            seen,
            unsafe_found: end.unsafe_found,
            defects: end.defects,
            unseen: end.unseen,
            coverage: end.coverage,
            issued: issued_of(book, id),
            plan: view.plan,
            survey,
            is_first: false,
            condition,
            scroll: 0,
        })
    }
}

/// What was issued with the looks of a walk, with the code, and what has changed since.
fn issued_of(book: &Book, walk: &str) -> Vec<String> {
    let issued = book.history().issued.iter();
    let own = issued.filter(|s| s.rec.walks.iter().any(|own| own == walk));
    let told = own.map(|s| {
        let (day, name) = (s.at.format("%-d %b %Y"), s.rec.name());
        format!("Report {name}: issued on {day}, code {}", s.rec.code)
    });
    told.chain(changed_since(book, Some(walk))).collect()
}

/// What the end of a survey shows.
#[derive(Default)]
struct SurveyEnd {
    unsafe_found: Vec<UnsafeFinding>,
    defects: Vec<Row>,
    unseen: Vec<Unseen>,
    coverage: Option<Coverage>,
}

impl SurveyEnd {
    fn of(book: &Book, view: &WalkView, walk: &Walk) -> SurveyEnd {
        SurveyEnd {
            unsafe_found: unsafe_findings(book.boat(), book.library(), book.history(), walk),
            defects: view.list().rows,
            unseen: view.unseen(),
            coverage: view.coverage(),
        }
    }
}

impl VerdictScreen {
    /// Items that are unsafe and that nobody was told of.
    pub fn untold(&self) -> Vec<String> {
        let untold = self.unsafe_found.iter().filter(|f| f.told.is_none());
        untold.map(|f| f.item.clone()).collect()
    }

    /// An item's title.
    pub fn title_of(&self, item: &str) -> String {
        let known = self.condition.library.catalogue.item(item);
        known.map_or(item, |i| &i.title).to_owned()
    }

    /// A phase's title.
    pub fn phase_title<'a>(&'a self, id: &'a str) -> &'a str {
        let phases = self.plan.iter().flat_map(|p| &p.phases);
        phases
            .into_iter()
            .find(|p| p.id == id)
            .map_or(id, |p| &p.title)
    }
}

/// What is typed: who was told of what is unsafe, and when.
#[derive(Clone, Debug)]
pub enum Line {
    /// Whom.
    Whom,
    /// When, by the name.
    When(String),
}

impl Asks for VerdictScreen {
    type Pick = Infallible;
    type Line = Line;
}

impl Screen for VerdictScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            // Never before the verdict was read, and never again.
            Action::Accept | Action::Back if std::mem::take(&mut self.is_first) => {
                cx.go(Go::To(To::Ten(self.walk.machine.clone())));
            }
            Action::Accept | Action::Back => cx.go(Go::Home),
            Action::MoveDown => self.scroll += 1,
            Action::MoveUp => self.scroll = self.scroll.saturating_sub(1),
            Action::PageDown => self.scroll += 10,
            Action::PageUp => self.scroll = self.scroll.saturating_sub(10),
            Action::First => self.scroll = 0,
            Action::Undo => cx.go(Go::Over(To::TakeBack(self.walk.id.clone()))),
            Action::OpenDefects => cx.go(Go::To(To::Defects)),
            Action::GoOn => cx.go(Go::To(To::GoOn)),
            Action::Report => cx.go(Go::To(To::Report(self.walk.id.clone()))),
            Action::OpenWalks => cx.go(Go::To(To::Walks)),
            Action::Told => self.ask_told(cx),
            _ => {}
        }
    }

    fn typed(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        match ask {
            Line::Whom if text.is_empty() => {
                return Err("say who was told; Esc leaves it open".into());
            }
            Line::Whom => {
                let hint = "Enter: now; such as 16:40, or 2026-05-03 16:40";
                cx.ask(Layer::line("Told when?", hint, Line::When(text.to_owned())));
            }
            Line::When(whom) => self.put_told(whom, text, cx)?,
        }
        Ok(())
    }
}
