//! What is behind findings, said unasked on other screens: two or three lines, and the key that opens the
//! rest.

use ratatui::text::Line;

use crate::defects::behind::short::Short;
use crate::keys::Action;
use crate::paint::widgets;
use crate::screen::kind::View;

/// In so many lines at the most: what is grave whole, of the rest what fits whole, the key last. Nothing
/// where nothing is worth saying.
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
    let key = format!("{} tells more.", view.setup.key(Action::Causes));
    let grave = short.grave().join(" ");
    let lines = |rest: &[String]| {
        // The key goes along with what is grave where nothing else is said.
        let (first, second) = match rest {
            [] => (format!("{grave} {key}"), String::new()),
            told => (grave.clone(), format!("{} {key}", told.join(" "))),
        };
        let style = if grave.is_empty() {
            theme.text()
        } else {
            theme.caution()
        };
        let parts = [(first, style), (second, theme.text())].into_iter();
        let parts = parts.filter(|(told, _)| !told.is_empty());
        let parts = parts.map(|(told, style)| widgets::wrapped(told.trim(), columns, style));
        parts.flatten().collect::<Vec<_>>()
    };
    let mut told: Vec<String> = Vec::new();
    for more in short.rest() {
        told.push(more);
        if lines(&told).len() > most {
            told.pop();
        }
    }
    lines(&told)
}

/// That there is something, in one line, where there is no room for more.
pub fn one_line(view: &View<'_>, short: Option<&Short>, columns: usize) -> Vec<Line<'static>> {
    let Some(short) = short.filter(|short| short.is_said()) else {
        return Vec::new();
    };
    let theme = view.setup.theme;
    let key = view.setup.key(Action::Causes);
    let (told, style) = match short.grave().is_empty() {
        true => (format!("{key} tells what can be behind it."), theme.text()),
        false => (
            format!("{key} tells what is dangerous and not ruled out."),
            theme.caution(),
        ),
    };
    vec![widgets::line(&told, columns, style)]
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
