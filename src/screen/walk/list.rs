//! Draws the rows of the phase one is in, by station, with what was seen of each.

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::checklist::Grade;
use crate::logbook::book::Book;
use crate::paint::widgets;
use crate::screen::kind::View;
use crate::screen::walk::state::WalkScreen;
use crate::text::width;
use crate::walk::{Cause, Role, Spot, Walk};

/// One line of the list.
enum Entry {
    Phase(usize),
    Station(String, Option<Role>),
    Row(usize, usize),
    Item(Spot),
}

fn entries(screen: &WalkScreen) -> Vec<Entry> {
    let mut entries = Vec::new();
    let p = screen.at.phase;
    let Some(phase) = screen.plan.phases.get(p) else {
        return entries;
    };
    let mut station = ("", None);
    for (r, row) in phase.rows.iter().enumerate() {
        if (row.station.as_str(), row.role) != station {
            station = (&row.station, row.role);
            entries.push(Entry::Station(row.station.clone(), row.role));
        }
        entries.push(Entry::Row(p, r));
        if screen.open && r == screen.at.row {
            entries.extend((0..row.items.len()).map(|item| {
                Entry::Item(Spot {
                    phase: p,
                    row: r,
                    item,
                })
            }));
        }
    }
    if p + 1 < screen.plan.phases.len() {
        entries.push(Entry::Phase(p + 1));
    }
    entries
}

/// The rows of the walk, one line each, the one in front in sight.
pub fn draw_list(
    view: &View<'_>,
    screen: &WalkScreen,
    book: &Book,
    frame: &mut Frame<'_>,
    area: Rect,
) {
    let theme = view.setup.theme;
    let entries = entries(screen);
    let at = entries.iter().position(|e| match e {
        Entry::Row(p, r) => !screen.open && (*p, *r) == (screen.at.phase, screen.at.row),
        Entry::Item(spot) => *spot == screen.at,
        _ => false,
    });
    let at = at.unwrap_or(0);
    let columns = usize::from(area.width);
    let catalogue = &screen.before.library.catalogue;
    let walk = screen.walk(book);
    let row_at = |n: usize| {
        let here = n == at;
        match &entries[n] {
            Entry::Phase(p) => {
                let title = format!("then: {}", screen.plan.phases[*p].title);
                widgets::wrapped(&title, columns, theme.quiet())
            }
            Entry::Station(id, role) => {
                let title = catalogue.station(id).map_or(id.as_str(), |s| &s.title);
                let role = role.map_or_else(String::new, |r| format!("{}: ", r.words()));
                let title = format!("{role}{title}");
                widgets::wrapped(&title, columns, theme.quiet())
            }
            Entry::Row(p, r) => row_line(view, screen, walk, (*p, *r), here, columns),
            Entry::Item(spot) => item_line(view, screen, *spot, here, columns),
        }
    };
    widgets::list(
        frame,
        area,
        (entries.len(), at),
        (2, 3),
        view.covered,
        row_at,
    );
}

fn row_line(
    view: &View<'_>,
    screen: &WalkScreen,
    walk: &Walk,
    (p, r): (usize, usize),
    here: bool,
    columns: usize,
) -> Vec<Line<'static>> {
    let Some(row) = screen.plan.row(p, r) else {
        return Vec::new();
    };
    let spots = (0..row.items.len()).map(|item| Spot {
        phase: p,
        row: r,
        item,
    });
    let looks: Vec<_> = spots.filter_map(|s| screen.look(view.book, s)).collect();
    let worst = looks.iter().filter_map(|t| t.look.grade()).max();
    let unseen = looks.iter().any(|t| t.look.grade().is_none());
    let done = looks.len() == row.items.len();
    let theme = view.setup.theme;
    let (mark, mark_style) = mark_of(view, worst, unseen, done);
    let tag = match (&row.why, row.cause) {
        (None, _) => "",
        (Some(_), _) if row.beside => " beside",
        (Some(_), _) if walk.blind && !done => "",
        (Some(_), Some(Cause::Owed)) => " owed",
        (Some(_), Some(Cause::Mended)) => " mended",
        (Some(_), _) => " open",
    };
    let count = match (looks.len(), row.items.len()) {
        (_, 1) => String::new(),
        (seen, all) if seen > 0 && !done => format!(" {seen} of {all}"),
        (_, all) => format!(" {all}"),
    };
    let tags = [(count.as_str(), theme.quiet()), (tag, theme.mark())];
    line_of(view, (mark, mark_style), &row.title, tags, here, columns, 0)
}

fn item_line(
    view: &View<'_>,
    screen: &WalkScreen,
    spot: Spot,
    here: bool,
    columns: usize,
) -> Vec<Line<'static>> {
    let timed = screen.look(view.book, spot);
    let grade = timed.and_then(|t| t.look.grade());
    let mark = mark_of(
        view,
        grade,
        timed.is_some_and(|t| t.look.grade().is_none()),
        timed.is_some(),
    );
    let title = screen.item(spot).map_or("", |i| &i.title);
    line_of(
        view,
        mark,
        title,
        [("", view.setup.theme.quiet()); 2],
        here,
        columns,
        2,
    )
}

fn mark_of(view: &View<'_>, worst: Option<Grade>, unseen: bool, done: bool) -> (String, Style) {
    let theme = view.setup.theme;
    match worst {
        Some(grade) if done || grade > Grade::Sound => {
            (grade.rung().to_string(), theme.grade(grade))
        }
        _ if unseen => ("x".to_owned(), theme.caution()),
        Some(_) => ("+".to_owned(), theme.quiet()),
        None => (theme.glyphs.unseen().to_owned(), theme.quiet()),
    }
}

fn line_of(
    view: &View<'_>,
    (mark, mark_style): (String, Style),
    title: &str,
    tags: [(&str, Style); 2],
    here: bool,
    columns: usize,
    indent: usize,
) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let pointer = if here { theme.glyphs.pointer() } else { " " };
    let style = if here { theme.selected() } else { theme.text() };
    let behind: usize = tags.iter().map(|(tag, _)| width(tag)).sum();
    let room = columns.saturating_sub(4 + indent + behind);
    let before = vec![
        Span::styled(pointer.to_owned(), style),
        Span::raw(" ".repeat(indent)),
        Span::styled(mark, mark_style),
        Span::raw(" "),
    ];
    let tags = tags.map(|(tag, style)| Span::styled(tag.to_owned(), style));
    widgets::row(before, (title, room, style), tags.into())
}
