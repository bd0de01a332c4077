//! The end of a walk: the verdict with the rows that made it, what changed, what was not seen.

pub mod survey;

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::assess::coverage::Coverage;
use crate::checklist::{Closing, Grade};
use crate::defects::condition::Condition;
use crate::defects::judged::{Judged, lead};
use crate::defects::list::Row;
use crate::defects::survey::{UnsafeFinding, Unseen, unsafe_findings};
use crate::defects::view::{WalkView, before};
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::paint::widgets::{self, cell, text};
use crate::screen::app::{App, Screen};
use crate::screen::verdict::survey::survey_lines;
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
    /// How levels went, in a leak run: item title and words.
    pub levels: Vec<(String, String)>,
    /// Rows with a look, of all.
    pub seen: (usize, usize),
    /// What is more of a survey; empty for the rest.
    pub unsafe_found: Vec<UnsafeFinding>,
    /// Defects of its machine and of the boat at its end, ranked over the usual plan of then.
    pub defects: Vec<Row>,
    /// Places without a grade.
    pub unseen: Vec<Unseen>,
    /// How much of it was seen, over the usual plan of then.
    pub coverage: Option<Coverage>,
    plan: Option<Plan>,
    survey: bool,
    /// The boat now.
    pub(crate) condition: Condition,
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
            let was = before
                .life(id, &walk.machine)
                .and_then(|l| l.standing.grade);
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
        let seen = plan.map_or((0, 0), |p| (p.rows_done(&walk), p.row_count()));
        let title = list.map_or("", |c| c.title.as_str()).to_owned();
        let mut end = SurveyEnd::default();
        if survey {
            end = SurveyEnd::of(book, &view, &walk);
        }
        Some(VerdictScreen {
            walk,
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
            plan: view.plan,
            survey,
            condition,
            scroll: 0,
        })
    }
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

impl App {
    pub(crate) fn verdict_act(&mut self, action: Action) {
        let Screen::Verdict(screen) = &mut self.screen else {
            return;
        };
        match action {
            Action::Accept | Action::Back => self.go_home(),
            Action::MoveDown => screen.scroll += 1,
            Action::MoveUp => screen.scroll = screen.scroll.saturating_sub(1),
            Action::PageDown => screen.scroll += 10,
            Action::PageUp => screen.scroll = screen.scroll.saturating_sub(10),
            Action::First => screen.scroll = 0,
            Action::OpenDefects => self.open_defects(),
            Action::GoOn => self.ask_go_on(),
            Action::Report => self.ask_report(),
            Action::OpenWalks => self.open_walks(),
            Action::Told => self.ask_told(),
            _ => {}
        }
    }
}

/// Draws the verdict.
pub fn draw(app: &App, screen: &VerdictScreen, frame: &mut Frame<'_>, area: Rect) {
    let all = all_lines(app, screen, usize::from(area.width));
    let first = screen
        .scroll
        .min(all.len().saturating_sub(usize::from(area.height)));
    widgets::lines(frame, area, all.into_iter().skip(first).collect());
}

fn all_lines(app: &App, screen: &VerdictScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = app.setup.theme;
    let walk = &screen.walk;
    let hours = walk
        .hours
        .map_or("meter not read".to_owned(), |h| format!("{h} h"));
    let when = walk.at.format("%-d %b %Y %H:%M");
    let left = format!("{} · {when} · {hours}", screen.title);
    let right = format!("{} of {} rows seen", screen.seen.0, screen.seen.1);
    let mut lines = vec![
        widgets::spread(&left, &right, columns, theme.title()),
        Line::default(),
    ];
    match (walk.finished, screen.judged.now) {
        (None, _) => lines.push(Line::from(text(
            "not finished: no verdict",
            columns,
            theme.caution(),
        ))),
        (Some(_), None) if screen.survey => lines.extend(survey_lines(app, screen, columns)),
        (Some(_), None) => lines.push(Line::from(text(
            "no verdict: its checklist is not known here any more",
            columns,
            theme.caution(),
        ))),
        (Some(_), Some(now)) => {
            let words = now.as_str().replace('-', " ");
            lines.push(Line::from(Span::styled(
                format!("  {words}  "),
                theme.verdict(now),
            )));
            let at_walk = screen.judged.at_walk.filter(|v| *v != now);
            if let Some(then) = at_walk {
                let told = format!("  at the walk: {}", then.as_str().replace('-', " "));
                lines.push(Line::from(text(&told, columns, theme.quiet())));
            }
            for told in screen.judged.said_in_words() {
                let told = format!("  {told}");
                lines.extend(widgets::wrapped(&told, columns, theme.quiet()));
            }
            let day = screen.condition.day_ahead();
            let told = format!(
                "  over the day ahead: {:.0} h, {:.0} d, {} waters",
                day.hours, day.days, screen.condition.boat.waters
            );
            lines.push(Line::from(text(&told, columns, theme.quiet())));
        }
    }
    lines.push(Line::default());
    for ground in &screen.judged.reasons {
        let item = screen.condition.library.catalogue.item(&ground.item);
        let title = item.map_or(ground.item.as_str(), |i| &i.title);
        let (grade, style) = match ground.grade {
            Some(g) => (format!("{} {g}", g.rung()), theme.grade(g)),
            None => (theme.glyphs.unseen().to_owned(), theme.quiet()),
        };
        let words = format!("{}{}", lead(title), ground.rule);
        let wrapped = widgets::wrapped(&words, columns.saturating_sub(13), theme.text());
        for (n, line) in wrapped.into_iter().enumerate() {
            let shown = if n == 0 { grade.as_str() } else { "" };
            let mut spans = vec![Span::raw("  ")];
            spans.extend(widgets::word(shown, 11, style));
            spans.extend(line.spans.into_iter().map(|s| s.style(line.style)));
            lines.push(Line::from(spans));
        }
    }
    if screen.judged.now.is_some() && screen.judged.reasons.is_empty() {
        lines.push(Line::from(text(
            "  nothing stands against it",
            columns,
            theme.text(),
        )));
    }
    if !screen.levels.is_empty() {
        lines.push(Line::default());
        lines.push(Line::from(text(
            "Levels and quantities",
            columns,
            theme.title(),
        )));
        for (title, told) in &screen.levels {
            let words = format!("{title}: {told}");
            let wrapped = widgets::wrapped(&words, columns.saturating_sub(2), theme.text());
            lines.extend(wrapped.into_iter().map(indented));
        }
    }
    if !screen.survey || screen.walk.finished.is_none() {
        lines.extend(change_lines(app, screen, columns));
        lines.extend(unseen_lines(app, screen, columns));
    }
    if let Some(pace) = screen.pace.filter(Pace::hurried) {
        let told = format!(
            "Half the rows took under {} s; looking at them takes about {} s. The record keeps the pace.",
            pace.median_seconds.max(1),
            pace.looking_seconds
        );
        lines.push(Line::default());
        lines.extend(widgets::wrapped(&told, columns, theme.quiet()));
    }
    lines.push(Line::default());
    let honest = "This records what was seen and certifies nothing. The maker's handbook, local codes and licensed practice come first.";
    lines.extend(widgets::wrapped(honest, columns, theme.quiet()));
    lines
}

fn indented(line: Line<'static>) -> Line<'static> {
    let mut spans = vec![Span::raw("  ")];
    spans.extend(line.spans.into_iter().map(|s| s.style(line.style)));
    Line::from(spans)
}

fn change_lines(app: &App, screen: &VerdictScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = app.setup.theme;
    let mut lines = Vec::new();
    if screen.changes.is_empty() && screen.added.is_empty() {
        return vec![
            Line::default(),
            Line::from(text(
                "Nothing changed since last time.",
                columns,
                theme.text(),
            )),
        ];
    }
    lines.push(Line::default());
    lines.push(Line::from(text(
        "Changed since last time",
        columns,
        theme.title(),
    )));
    for change in &screen.changes {
        let before = change
            .before
            .map_or(theme.glyphs.unseen().to_owned(), |g| g.rung().to_string());
        let note = change
            .note
            .as_ref()
            .map(|n| format!(" ({n})"))
            .unwrap_or_default();
        let mut spans = vec![cell(&format!("  {before} → "), 7, theme.quiet())];
        spans.extend(widgets::grade(&theme, change.after, 10));
        let what = format!("{}{note}", change.title);
        spans.push(text(&what, columns.saturating_sub(17), theme.text()));
        lines.push(Line::from(spans));
    }
    for (title, amount) in &screen.added {
        lines.push(Line::from(text(
            &format!("  topped up  {title}: {amount}"),
            columns,
            theme.text(),
        )));
    }
    lines
}

fn unseen_lines(app: &App, screen: &VerdictScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = app.setup.theme;
    let not_seen = &screen.judged.not_seen;
    if not_seen.is_empty() {
        return Vec::new();
    }
    let mut lines = vec![
        Line::default(),
        Line::from(text(
            &format!("Not seen: {}", not_seen.len()),
            columns,
            theme.title(),
        )),
    ];
    for n in not_seen {
        let title = screen
            .condition
            .library
            .catalogue
            .item(&n.item)
            .map_or(n.item.as_str(), |i| &i.title);
        let why = n.reason.as_deref().unwrap_or("no reason given");
        lines.push(Line::from(text(
            &format!("  {title}: {why}"),
            columns,
            theme.text(),
        )));
    }
    lines
}
