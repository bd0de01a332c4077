//! Several boats, each with her word now, what is worst aboard, and a small drawing of where: as cards where
//! there is room, else as a list with the one in front drawn beneath.

use chrono::{DateTime, FixedOffset};
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::arrangement::standing::AtStation;
use crate::assess::words::Verdict;
use crate::logbook::glance::{DAYS, Glance};
use crate::paint::places::{self, Written};
use crate::paint::theme::Theme;
use crate::paint::widgets::{self, age, line, text};
use crate::screen::front::Base;
use crate::screen::start::boats::{Boats, Choosable};
use crate::text::{fit, safe_line, width};

/// From so many columns and rows on there are cards.
const CARDS: (u16, u16) = (100, 28);
/// Columns of a card at least, and blanks between two.
const CARD: u16 = 44;
const BETWEEN: u16 = 2;
/// Rows of a card, at least and at most: two in words, the drawing, one empty.
const ROWS: (u16, u16) = (8, 16);
/// Rows in words at the foot.
const FOOT: u16 = 6;
/// Rows that a drawing beneath a list has at least.
const DRAWN: u16 = 6;
/// Columns of a name in the list.
const NAME: usize = 24;

/// Draws the boats; the terminal's cursor on the one in front where nothing lies over them.
pub fn draw(base: &Base, boats: &Boats, frame: &mut Frame<'_>, area: Rect, bare: bool) {
    let theme = base.shared.setup.theme;
    let rows = [Constraint::Length(1), Constraint::Fill(1)];
    let [head, body] = Layout::vertical(rows).areas(area);
    let unread = boats.all.iter().filter(|boat| boat.told.is_none()).count();
    let count = match boats.all.len() {
        1 => "1 boat".to_owned(),
        n => format!("{n} boats"),
    };
    let beside = match unread {
        0 => count,
        n => format!("{count}, {n} being read"),
    };
    let title = widgets::spread(
        "Which boat?",
        &beside,
        usize::from(head.width),
        theme.title(),
    );
    widgets::lines(frame, head, vec![title]);
    let told = told(base, boats, usize::from(body.width));
    let foot = (told.len() as u16).min(FOOT);
    let [body, below] =
        Layout::vertical([Constraint::Fill(1), Constraint::Length(foot)]).areas(body);
    widgets::lines(frame, below, told);
    if body.width >= CARDS.0 && area.height >= CARDS.1 {
        cards(base, boats, frame, body, bare);
    } else {
        list(base, boats, frame, body, bare);
    }
}

/// Cards in columns, one beneath the other first.
fn cards(base: &Base, boats: &Boats, frame: &mut Frame<'_>, area: Rect, bare: bool) {
    let theme = base.shared.setup.theme;
    let across = usize::from((area.width + BETWEEN) / (CARD + BETWEEN)).max(1);
    let wanted = boats.count().div_ceil(across).max(1) as u16;
    let height = (area.height / wanted)
        .clamp(ROWS.0, ROWS.1)
        .min(area.height);
    let down = usize::from(area.height / height).max(1);
    // Few boats have the whole width: no word is cut off beside an empty column.
    let across = across.min(boats.count().div_ceil(down)).max(1);
    let columns = vec![Constraint::Fill(1); across];
    let columns = Layout::horizontal(columns).spacing(BETWEEN).split(area);
    // As many columns as it takes are passed over to have the one in front in sight.
    let first = (boats.cursor / down + 1).saturating_sub(across) * down;
    for n in first..boats.count().min(first + across * down) {
        let Some(column) = columns.get((n - first) / down) else {
            break;
        };
        let card = Rect {
            y: column.y + ((n - first) % down) as u16 * height,
            height,
            ..*column
        };
        let rows = [
            Constraint::Length(2),
            Constraint::Fill(1),
            Constraint::Length(1),
        ];
        let [words, drawing, _] = Layout::vertical(rows).areas(card);
        let room = usize::from(card.width);
        let boat = boats.all.get(n);
        let mut lines = vec![head(&theme, boats, (n, None), room)];
        if let Some(glance) = boat.and_then(glance) {
            // The worst stands before the counts, and after what is not counted.
            let mut told = counts(glance, base.shared.setup.clock.now());
            let lost = usize::from(!glance.not_counted.is_empty());
            told.insert(lost, worst(glance));
            let told = format!("    {}", told.join(" · "));
            lines.push(line(&told, room, theme.text()));
            places::draw_small(
                frame,
                drawing,
                &glance.arrangement,
                &written(&theme, glance),
                &theme,
            );
        }
        widgets::lines(frame, words, lines);
        if bare && n == boats.cursor {
            frame.set_cursor_position((card.x, card.y));
        }
    }
}

/// A line for each, and the drawing of the one in front beneath.
fn list(base: &Base, boats: &Boats, frame: &mut Frame<'_>, area: Rect, bare: bool) {
    let theme = base.shared.setup.theme;
    let most = area.height.saturating_sub(DRAWN + 1).max(area.height / 2);
    let rows = (boats.count() as u16).min(most);
    let rows = [
        Constraint::Length(rows),
        Constraint::Length(1),
        Constraint::Fill(1),
    ];
    let [above, _, drawing] = Layout::vertical(rows).areas(area);
    let room = usize::from(above.width);
    let count = (boats.count(), boats.cursor);
    let now = base.shared.setup.clock.now();
    widgets::list(frame, above, count, (1, 2), !bare, |n| {
        vec![head(&theme, boats, (n, Some(now)), room)]
    });
    if let Some(glance) = boats.all.get(boats.cursor).and_then(glance) {
        places::draw_small(
            frame,
            drawing,
            &glance.arrangement,
            &written(&theme, glance),
            &theme,
        );
    }
}

fn glance(boat: &Choosable) -> Option<&Glance> {
    boat.told.as_ref()?.as_deref().ok()
}

/// The digit that picks it, her name, her word now; where a time is given with what is due, the last walk
/// and what is not counted.
fn head(
    theme: &Theme,
    boats: &Boats,
    (n, now): (usize, Option<DateTime<FixedOffset>>),
    columns: usize,
) -> Line<'static> {
    let here = n == boats.cursor;
    let style = if here { theme.selected() } else { theme.text() };
    let pointer = if here { theme.glyphs.pointer() } else { " " };
    let digit = if n < 9 {
        (n + 1).to_string()
    } else {
        " ".to_owned()
    };
    let lead = format!("{pointer}{digit:>2} ");
    let Some(boat) = boats.all.get(n) else {
        let words = "begin a logbook for another boat (three questions)";
        let words = fit(words, columns.saturating_sub(width(&lead)));
        return Line::styled(format!("{lead}{words}"), style);
    };
    let name = NAME.min(columns.saturating_sub(width(&lead)) / 2).max(1);
    let room = columns.saturating_sub(width(&lead) + name + 1);
    let (mut told, colour) = word(theme, boat);
    for count in glance(boat)
        .zip(now)
        .iter()
        .flat_map(|(g, now)| counts(g, *now))
    {
        told.push_str(&format!(" · {count}"));
    }
    Line::from(vec![
        Span::styled(lead, style),
        widgets::cell(&named(boats, boat, name - 1), name, style),
        Span::raw(" "),
        text(&told, room, colour),
    ])
}

/// Her name, with her folder where another bears the same, as far as both have room.
fn named(boats: &Boats, boat: &Choosable, columns: usize) -> String {
    let folder = boat.root.file_name().unwrap_or_default().to_string_lossy();
    let folder = safe_line(&folder).into_owned();
    let Some(name) = &boat.name else {
        return folder;
    };
    let bearing = boats.all.iter().filter(|other| other.name == boat.name);
    if bearing.count() < 2 {
        return name.clone();
    }
    let folder = fit(&folder, columns / 2);
    let room = columns.saturating_sub(width(&folder) + 3);
    format!("{} · {folder}", fit(&safe_line(name), room))
}

/// Her word now, and how it is shown.
fn word(theme: &Theme, boat: &Choosable) -> (String, Style) {
    match (&boat.told, &boat.name) {
        (None, _) => ("being read".to_owned(), theme.quiet()),
        (Some(Err(_)), None) => ("its profile cannot be read".to_owned(), theme.error()),
        (Some(Err(_)), Some(_)) => ("cannot be read".to_owned(), theme.error()),
        (Some(Ok(glance)), _) => {
            let is_spoken = glance.unchecked.is_empty() || !glance.is_clear();
            let colour = match glance.verdict.filter(|_| is_spoken) {
                _ if glance.stops > 0 => theme.verdict(Verdict::DoNotRun),
                Some(word) => theme.verdict(word),
                None => theme.quiet(),
            };
            let lost = match glance.not_counted.is_empty() {
                true => String::new(),
                false => format!(" {}", theme.glyphs.caution()),
            };
            (format!("{}{lost}", glance.words()), colour)
        }
    }
}

/// What is not counted, what is due, when she was walked last, each in a word or two.
fn counts(glance: &Glance, now: DateTime<FixedOffset>) -> Vec<String> {
    let lost = glance.not_counted.len();
    let counts = [
        (lost > 0).then(|| format!("{lost} not counted")),
        (glance.due > 0).then(|| format!("{} due", glance.due)),
        glance
            .last_walk
            .map(|at| format!("walked {}", age(at, now))),
    ];
    counts.into_iter().flatten().collect()
}

/// What is worst aboard.
fn worst(glance: &Glance) -> String {
    match glance.worst.first() {
        Some(row) => format!("{} {}: {}", row.grade.rung(), row.grade, row.title),
        None if glance.unseen > 0 => format!("nothing open, {} not seen", glance.unseen),
        None => "nothing open".to_owned(),
    }
}

/// What is said at the foot of the one in front.
fn told(base: &Base, boats: &Boats, columns: usize) -> Vec<Line<'static>> {
    let theme = base.shared.setup.theme;
    let Some(boat) = boats.all.get(boats.cursor) else {
        return vec![line(
            "in a folder beside the others",
            columns,
            theme.quiet(),
        )];
    };
    let glance = match &boat.told {
        None => return vec![line("her records are being read", columns, theme.quiet())],
        Some(Err(why)) => return widgets::wrapped_to(why, columns, 3, theme.error()),
        Some(Ok(glance)) => glance,
    };
    let now = base.shared.setup.clock.now();
    let walked = match glance.last_walk {
        Some(at) => format!("last walk {}", age(at, now)),
        None => "no walk yet".to_owned(),
    };
    let counts = [
        Some(format!("{} in the list", glance.listed)),
        (glance.stops > 0).then(|| format!("{} forbid running", glance.stops)),
        (glance.unseen > 0).then(|| format!("{} not seen", glance.unseen)),
        Some(format!("{} due within {DAYS:.0} days", glance.due)),
        (glance.unknown_age > 0).then(|| format!("{} of unknown age", glance.unknown_age)),
        Some(walked),
    ];
    let counts = counts.into_iter().flatten().collect::<Vec<_>>().join(" · ");
    let mut lines: Vec<Line<'static>> = Vec::new();
    if let Some(first) = glance.not_counted.first() {
        let more = match glance.not_counted.len() {
            1 => String::new(),
            n => format!(" (and {} more)", n - 1),
        };
        let told = format!("{} NOT COUNTED{more}: {first}", theme.glyphs.caution());
        lines.extend(widgets::wrapped_to(&told, columns, 2, theme.error()));
    }
    lines.extend(widgets::wrapped_to(&counts, columns, 2, theme.text()));
    let rows = glance.worst.iter().map(|row| {
        let stop = if row.stop { theme.glyphs.caution() } else { "" };
        format!("{}{stop} {}", row.grade.rung(), row.title)
    });
    let rows = rows.collect::<Vec<_>>().join(" · ");
    if !rows.is_empty() {
        let told = format!("worst: {rows}");
        lines.extend(widgets::wrapped_to(&told, columns, 2, theme.quiet()));
    }
    lines
}

/// A mark for each station: the rung of what matters most there.
fn written(theme: &Theme, glance: &Glance) -> Vec<Written> {
    let mark = |at: &AtStation| {
        let (text, style) = places::sign(&at.standing, theme);
        Written {
            point: at.point,
            text,
            style,
        }
    };
    glance.stations.iter().map(mark).collect()
}
