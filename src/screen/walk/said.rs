//! Draws what was said of an item beside its rung, what that leaves open, and the question for which one
//! thing is looked at.

use ratatui::text::Line;

use crate::checklist::Item;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::paint::widgets::{self, line};
use crate::screen::kind::View;
use crate::screen::walk::item::Part;
use crate::screen::walk::state::WalkScreen;
use crate::walk::Details;

/// That the rung seen leaves open which of several answers it is, and the key that asks.
pub fn left_open(
    view: &View<'_>,
    screen: &WalkScreen,
    book: &Book,
    columns: usize,
) -> Vec<Line<'static>> {
    let key = view.setup.key(Action::Kind);
    let open = screen.left_open(book, screen.at).into_iter();
    let told = open.map(|what| format!("{key} {what}: which one is not said"));
    told.flat_map(|told| widgets::wrapped(&told, columns, view.setup.theme.quiet()))
        .collect()
}

/// The question for which one thing is looked at: its caution, what to look at, how long that takes.
pub fn sought_parts(view: &View<'_>, screen: &WalkScreen, columns: usize) -> Vec<Part> {
    let theme = view.setup.theme;
    let Some(asks) = screen.looked_at_for(screen.at) else {
        return Vec::new();
    };
    let caution = asks.caution.iter().map(|caution| {
        let told = format!("{} {caution}", theme.glyphs.caution());
        widgets::wrapped(&told, columns, theme.caution())
    });
    let (minutes, seconds) = (asks.seconds / 60, asks.seconds % 60);
    let time = match (minutes, seconds) {
        (0, seconds) => format!("{seconds} s"),
        (minutes, 0) => format!("{minutes} min"),
        (minutes, seconds) => format!("{minutes} min {seconds} s"),
    };
    let told = format!("Look at: {} (about {time})", asks.ask);
    let look = widgets::wrapped(&told, columns, theme.title());
    let parts = caution.chain([look]);
    parts.map(|lines| (8, lines.len(), lines)).collect()
}

/// What was said of it, a line each, and the note.
pub fn said_lines(
    view: &View<'_>,
    screen: &WalkScreen,
    item: &Item,
    details: &Details,
    columns: usize,
) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let mut said: Vec<String> = Vec::new();
    said.extend(details.said.iter().map(|words| format!("said: {words}")));
    if let Some(reading) = details.reading {
        let shown = screen
            .unit(item)
            .and_then(|u| Some((screen.value_in(item, reading, u)?, u)));
        said.push(match shown {
            Some((value, unit)) if unit != reading.unit() => {
                format!("reading {reading} = {value:.2} {unit}")
            }
            _ => format!("reading {reading}"),
        });
    }
    if let Some(leak) = details.leak {
        said.push(format!("leak class {leak}"));
    }
    if let Some(added) = details.added {
        said.push(format!("added {added}"));
    }
    for wear in &details.wear {
        let place = wear
            .r#where
            .as_ref()
            .map(|w| format!(", {w}"))
            .unwrap_or_default();
        let against = wear
            .against
            .as_ref()
            .map(|a| format!(", against {a}"))
            .unwrap_or_default();
        said.push(format!("{}{place}{against}", wear.mark));
    }
    for photo in &details.photos {
        let caption = photo.caption.as_ref().map(|c| format!(": {c}"));
        let named = photo.words();
        said.push(format!("picture {named}{}", caption.unwrap_or_default()));
    }
    let mut lines: Vec<Line<'static>> = said
        .iter()
        .map(|s| {
            line(
                &format!("{} {s}", theme.glyphs.proposed()),
                columns,
                theme.mark(),
            )
        })
        .collect();
    for sign in screen.before.sign_lines(&details.signs) {
        let told = format!("{} {sign}", theme.glyphs.proposed());
        lines.extend(widgets::wrapped(&told, columns, theme.mark()));
    }
    if let Some(note) = &details.note {
        lines.extend(
            widgets::wrapped(note, columns, theme.text())
                .into_iter()
                .take(6),
        );
    }
    lines
}
