//! Draws what to do before leaving: the plans, what it comes to, the groups, the job under the arrow.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::text::{Line, Span};

use crate::defects::costs::money;
use crate::defects::doubt::Doubt;
use crate::defects::leaving::Kept;
use crate::defects::leaving_said::SaidRow;
use crate::defects::leaving_words::time_in_words;
use crate::defects::plan_words::short;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::paint::theme::Theme;
use crate::paint::widgets::{self, cell};
use crate::screen::kind::{Shown, View};
use crate::screen::leaving::left::LeftBehind;
use crate::screen::leaving::{Entry, LeavingScreen, in_full};

/// From this width on the job under the arrow stands in full beside the list.
const BESIDE: u16 = 120;
/// Columns of what was done with a job, and of its minutes.
const MARK: usize = 2;
const MINUTES: usize = 11;
/// So many lines of the job under the arrow stand beneath the list, where it is low and where it is high.
const BENEATH: [usize; 2] = [3, 6];
/// From this height on more of it does.
const HIGH: u16 = 20;

impl Shown for LeavingScreen {
    fn context(&self) -> Context {
        Context::Leaving
    }

    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let theme = view.setup.theme;
        let columns = usize::from(area.width);
        let head = self.head(theme, columns);
        let rows = [Constraint::Length(head.len() as u16), Constraint::Fill(1)];
        let [above, body] = Layout::vertical(rows).areas(area);
        widgets::lines(frame, above, head);
        if area.width >= BESIDE {
            let halves = [Constraint::Fill(3), Constraint::Fill(2)];
            let [list, beside] = Layout::horizontal(halves).spacing(2).areas(body);
            self.draw_list(view, frame, list);
            let lines = self.here(theme, usize::from(beside.width), true);
            return widgets::lines(frame, beside, lines);
        }
        let most = BENEATH[usize::from(area.height >= HIGH)];
        let mut beneath = self.here(theme, columns, false);
        beneath.truncate(most);
        let rows = [Constraint::Fill(1), Constraint::Length(most as u16)];
        let [list, below] = Layout::vertical(rows).areas(body);
        self.draw_list(view, frame, list);
        widgets::lines(frame, below, beneath);
    }

    /// The plan, the machine and the job under the arrow stay.
    fn renew(&mut self, book: &Book) -> bool {
        let here = self.under_arrow();
        let kept = self.plans.iter().map(|plan| {
            let kept = Kept {
                with: plan.with.clone(),
                without: plan.without.clone(),
            };
            (plan.name.clone(), kept)
        });
        let left = LeftBehind {
            plan: self.plan().map(|plan| plan.name.clone()),
            kept: kept.collect(),
            ..LeftBehind::default()
        };
        let cursor = self.cursor;
        *self = LeavingScreen::over(book, &left, self.machine.clone());
        self.back_to(here, cursor);
        true
    }

    fn offers(&self, action: Action) -> bool {
        match action {
            Action::TakeIn | Action::LeaveOut => self.job().is_some_and(|job| job.item.is_some()),
            Action::JobMinutes => self.job().is_some_and(|job| job.is_work),
            Action::Plan => self.plans.len() > 1,
            Action::FilterMachine => self.condition.boat.machines.len() > 1,
            _ => true,
        }
    }

    fn machine(&self) -> Option<&str> {
        let job = self.job().and_then(|job| job.machine.as_deref());
        job.or(self.machine.as_deref())
    }

    fn doubts(&self) -> Option<&[Doubt]> {
        Some(&self.condition.doubts)
    }
}

impl LeavingScreen {
    /// The plan, what there is and what it comes to, how much it takes away.
    fn head(&self, theme: Theme, columns: usize) -> Vec<Line<'static>> {
        let name = self.plan().map_or("", |plan| plan.name.as_str());
        let machine = self.machine.as_ref().map(|id| format!(", {id} alone"));
        let left = format!(
            "Before leaving: {name}{}, {}",
            machine.unwrap_or_default(),
            self.asked.scenario.in_words()
        );
        let right = match self.plans.len() {
            1 => "no plan of your own yet",
            _ => "",
        };
        let mut lines = match right {
            "" => widgets::wrapped(&left, columns, theme.title()),
            right => widgets::spread_whole(&left, right, columns, theme.title()),
        };
        if self.plans.len() > 1 {
            let names = self.plans.iter().map(|plan| match plan.name == name {
                true => format!("[{}]", plan.name),
                false => plan.name.clone(),
            });
            let names = format!(
                "Plans: {}",
                widgets::as_many(names, columns.saturating_sub(7))
            );
            lines.push(widgets::line(&names, columns, theme.quiet()));
        }
        let [must, chosen] = self.minutes.map(|minutes| time_in_words(minutes as u32));
        let given = self
            .asked
            .work
            .map(|work| format!(", of {} to work", time_in_words(work)));
        let spend = self.asked.spend.map(|sum| {
            let sum = money(sum as f64 / 100.0);
            format!("; {sum} to spend")
        });
        let hands: Vec<String> = self
            .asked
            .hands
            .iter()
            .map(|(who, _)| who.to_string())
            .collect();
        let ashore = self.asked.ashore_days;
        let ashore = ashore.map(|days| format!("; ashore for {} d", short(days)));
        let means = format!(
            "Must {must}, worth doing {chosen}{}{}; by {}{}",
            given.unwrap_or_default(),
            spend.unwrap_or_default(),
            hands.join(", "),
            ashore.unwrap_or_default()
        );
        lines.extend(widgets::wrapped(&means, columns, theme.text()));
        let wrong = self.wrong.iter();
        lines.extend(wrong.flat_map(|wrong| widgets::wrapped(wrong, columns, theme.error())));
        let notes = self.condition.notes();
        lines.extend(
            notes
                .iter()
                .flat_map(|note| widgets::wrapped(note, columns, theme.mark())),
        );
        let takes = self.takes.iter();
        lines.extend(takes.flat_map(|takes| widgets::wrapped(takes, columns, theme.text())));
        lines
    }

    fn draw_list(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let theme = view.setup.theme;
        let columns = usize::from(area.width);
        let row = |n: usize| match self.lines.get(n) {
            Some(Entry::Heading(title)) => {
                vec![widgets::line(&title.to_uppercase(), columns, theme.title())]
            }
            Some(Entry::Job(job)) => self.job_lines(theme, job, n == self.cursor, columns),
            Some(Entry::Told(told)) => {
                let (here, caution) = (n == self.cursor, n == 0);
                let style = match (here, caution) {
                    (true, _) => theme.selected(),
                    (_, true) => theme.caution(),
                    (_, false) => theme.quiet(),
                };
                let pointer = if here { theme.glyphs.pointer() } else { " " };
                let before = vec![Span::styled(format!("{pointer} "), style)];
                let room = columns.saturating_sub(MARK);
                widgets::row(before, (told, room, style), Vec::new())
            }
            None => Vec::new(),
        };
        let rows = (self.lines.len(), self.cursor);
        widgets::list(frame, area, rows, (1, 2), view.covered, row);
    }

    /// A job in the list: what was done with it, its minutes, what it is.
    fn job_lines(
        &self,
        theme: Theme,
        job: &SaidRow,
        here: bool,
        columns: usize,
    ) -> Vec<Line<'static>> {
        let style = if here { theme.selected() } else { theme.text() };
        let pointer = if here { theme.glyphs.pointer() } else { " " };
        let mark = match job {
            job if job.asked_for => "+",
            job if job.left_out => "-",
            _ => " ",
        };
        let minutes = job.minutes.map(time_in_words).unwrap_or_default();
        let before = vec![
            Span::styled(format!("{pointer}{mark} "), style),
            cell(&minutes, MINUTES, theme.quiet()),
        ];
        let room = columns.saturating_sub(MARK + 1 + MINUTES);
        widgets::row(before, (&job.head.to_string(), room, style), Vec::new())
    }

    /// The job under the arrow: cautions before what is done.
    fn here(&self, theme: Theme, columns: usize, whole: bool) -> Vec<Line<'static>> {
        let Some(job) = self.job() else {
            return Vec::new();
        };
        let mut lines = Vec::new();
        if whole {
            lines.extend(widgets::wrapped(
                &job.head.to_string(),
                columns,
                theme.title(),
            ));
        }
        for told in in_full(job) {
            let style = match told.starts_with("! ") {
                true => theme.caution(),
                false => theme.text(),
            };
            lines.extend(widgets::wrapped(&told, columns, style));
        }
        lines
    }
}
