//! What is behind findings, said unasked on other screens: two or three lines, and the key that opens the
//! rest.

use ratatui::text::Line;

use crate::defects::behind::short::Short;
use crate::keys::Action;
use crate::paint::widgets;
use crate::screen::kind::View;

/// In so many lines at the most: what is grave whole, and of the rest what fits whole. Nothing where
/// nothing is worth saying.
pub fn short_lines(
    view: &View<'_>,
    short: Option<&Short>,
    columns: usize,
    most: usize,
) -> Vec<Line<'static>> {
    let Some(short) = short.filter(|short| short.is_said()) else {
        return Vec::new();
    };
    let theme = view.setup.theme;
    let grave = short.grave().join(" ");
    let mut rest = short.rest();
    loop {
        let key = format!("{} tells more.", view.setup.key(Action::Causes));
        let told: Vec<String> = rest.iter().cloned().chain([key]).collect();
        let mut lines = match grave.is_empty() {
            true => Vec::new(),
            false => widgets::wrapped(&grave, columns, theme.caution()),
        };
        lines.extend(widgets::wrapped(&told.join(" "), columns, theme.text()));
        if lines.len() <= most || rest.pop().is_none() {
            return lines;
        }
    }
}

/// All of it, with a line between what is said, and the key that opens the rest.
pub fn long_lines(view: &View<'_>, short: &Short, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let grave = short.grave().into_iter();
    let grave = grave.map(|told| widgets::wrapped(&told, columns, theme.caution()));
    let rest = short.rest().into_iter();
    let rest = rest.map(|told| widgets::wrapped(&told, columns, theme.text()));
    let key = format!("{} tells more.", view.setup.key(Action::Causes));
    let key = widgets::wrapped(&key, columns, theme.quiet());
    let all = grave.chain(rest).chain([key]);
    let spaced = all.flat_map(|lines| lines.into_iter().chain([Line::default()]));
    spaced.collect()
}
