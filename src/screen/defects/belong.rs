//! Rows that may belong together: each keeps its place and its code, and carries a sign.

use std::collections::BTreeSet;

use ratatui::text::{Line, Span};

use crate::defects::behind::short::Short;
use crate::defects::list::Row;
use crate::defects::subject::Subject;
use crate::keys::Action;
use crate::paint::widgets::text;
use crate::screen::defects::DefectsScreen;
use crate::screen::kind::{Cx, View};
use crate::text::width;

impl DefectsScreen {
    /// The sign of those that a row may belong together with, and what is said of them; none where it
    /// may with none.
    pub fn mark_of(&self, row: &Row) -> Option<(char, &Short)> {
        let is_it = |s: &Subject| s.item == row.item && s.machine == row.machine;
        let mut marks = ('a'..='z').zip(&self.behind);
        marks.find(|(_, short)| short.marked().iter().any(is_it))
    }

    /// What a row may belong together with, and what can be behind it.
    pub(super) fn belongs(&self, row: &Row, cx: &Cx<'_, Self>) -> Option<String> {
        let (_, short) = self.mark_of(row)?;
        let others = short.marked().iter().filter(|s| s.item != row.item);
        let others: Vec<String> = others.map(|s| self.condition.name_of(s)).collect();
        let key = cx.setup.key(Action::Causes);
        let (others, headline) = (others.join(", "), &short.headline);
        Some(format!(
            "may belong together with {others}. {headline} {key} tells more."
        ))
    }
}

/// The line between list and reasons; it tells what the signs beside the rows mean, those that are shown.
pub fn rule(view: &View<'_>, screen: &DefectsScreen, columns: usize) -> Line<'static> {
    let theme = view.setup.theme;
    let shown = screen.shown.iter().map(|n| &screen.list.rows[*n]);
    let signs = shown.filter_map(|row| screen.mark_of(row));
    let signs: BTreeSet<String> = signs.map(|(mark, _)| format!("({mark})")).collect();
    if signs.is_empty() {
        return Line::from(Span::styled("─".repeat(columns), theme.quiet()));
    }
    let signs = signs.into_iter().collect::<Vec<_>>().join(", ");
    let key = view.setup.key(Action::Causes);
    let told = format!(" {signs}: these may belong together; {key} tells more ");
    let rest = columns.saturating_sub(2 + width(&told));
    Line::from(vec![
        Span::styled("──", theme.quiet()),
        text(&told, columns.saturating_sub(2), theme.mark()),
        Span::styled("─".repeat(rest), theme.quiet()),
    ])
}
