//! Draws what stands beneath a line that asks for a picture: the newest of a folder, and one shown small.

use chrono::{Datelike, NaiveDate, NaiveDateTime};
use ratatui::layout::Rect;
use ratatui::text::Line;

use crate::logbook::pictures::Found;
use crate::paint::picture::picture;
use crate::paint::theme::Theme;
use crate::paint::widgets::{cell, line, wrapped};
use crate::screen::layers::files::{Files, Look, Shown};
use crate::screen::layers::typing::LineInput;
use crate::text::in_bytes;

/// Columns of the time, of where it is from, and of the size.
const TIME: usize = 13;
const FROM: usize = 6;
const SIZE: usize = 8;
/// The least columns of a name.
const NAME: usize = 12;

/// From so many columns and rows on there is room for a picture beside a line.
const ROOM: (u16, u16) = (76, 16);

/// Columns that a picture beside a line takes, with the two before it; 0 where there is none, or no room.
pub fn columns_beside(line: &LineInput, area: Rect) -> usize {
    let fits = area.width >= ROOM.0 && area.height >= ROOM.1;
    match line.look.as_ref().filter(|_| fits) {
        Some(_) => (usize::from(area.width.min(110)) * 3 / 8).min(40),
        None => 0,
    }
}

/// Rows for pictures beneath a line: what is asked about stays in sight above them.
pub fn rows(area: Rect) -> usize {
    usize::from(area.height / 2).clamp(4, 18)
}

/// What Enter does while the pictures stand there.
pub fn hint(files: &Files) -> &'static str {
    match (files.listed.pictures.is_empty(), files.cursor) {
        (true, _) => "a path can be typed, Tab completes it",
        (false, Some(_)) => {
            "Enter takes the one under the arrow; a path can be typed, Tab completes it"
        }
        (false, None) => {
            "the arrows choose one, Enter passes; a path can be typed, Tab completes it"
        }
    }
}

/// The pictures, as many rows as there are, the one under the arrow among them; then what they are.
pub fn list(
    files: &Files,
    today: NaiveDate,
    (columns, rows): (usize, usize),
    theme: &Theme,
) -> Vec<Line<'static>> {
    if let Some(fault) = &files.fault {
        return wrapped(fault, columns, theme.quiet());
    }
    let all = &files.listed.pictures;
    let said = said(files);
    let said: Vec<_> = said
        .iter()
        .flat_map(|told| wrapped(told, columns, theme.quiet()))
        .collect();
    let shown = rows.saturating_sub(said.len()).max(1);
    let at = files.cursor.unwrap_or(0);
    let first = (at + 1)
        .saturating_sub(shown)
        .min(all.len().saturating_sub(shown));
    let rows = all.iter().enumerate().skip(first).take(shown);
    let rows = rows.map(|(n, found)| {
        let here = files.cursor == Some(n);
        row(found, (here, files.is_taken(found)), today, columns, theme)
    });
    rows.chain(said).collect()
}

/// What has to be known of the list.
fn said(files: &Files) -> Vec<String> {
    let listed = &files.listed;
    let mut told = Vec::new();
    if listed.pictures.is_empty() {
        told.push("no picture in this folder".to_owned());
    } else if listed.pictures.iter().any(|found| !found.tells) {
        told.push("file: by the file, where no camera tells".to_owned());
    }
    match listed.older {
        0 => {}
        1 => told.push("1 older one is not listed; type its name".to_owned()),
        older => told.push(format!("{older} older ones are not listed; type the name")),
    }
    if listed.is_cut {
        told.push("the folder holds more files than are looked at; type the name".to_owned());
    }
    told
}

fn row(
    found: &Found,
    (here, taken): (bool, bool),
    today: NaiveDate,
    columns: usize,
    theme: &Theme,
) -> Line<'static> {
    let pointer = if here { theme.glyphs.pointer() } else { " " };
    let style = if here { theme.selected() } else { theme.text() };
    let from = if found.tells { "taken" } else { "file" };
    let name = columns.saturating_sub(2 + TIME + FROM + SIZE).max(NAME);
    let words = match taken {
        true => format!("{} (kept)", found.name),
        false => found.name.clone(),
    };
    Line::from(vec![
        cell(pointer, 2, style),
        cell(&when(found.at, today), TIME, style),
        cell(from, FROM, style),
        cell(&words, name, style),
        cell(&in_bytes(found.bytes), SIZE, style),
    ])
}

/// A time in as few words as tell it apart.
fn when(at: NaiveDateTime, today: NaiveDate) -> String {
    let form = match at.date() {
        day if day == today => "today %H:%M",
        day if day.year() == today.year() => "%-d %b %H:%M",
        _ => "%-d %b %Y",
    };
    at.format(form).to_string()
}

/// A picture as large as its place, or why it is not shown.
pub fn small(look: &Look, (columns, rows): (usize, usize), theme: &Theme) -> Vec<Line<'static>> {
    match &look.shown {
        Shown::NotYet | Shown::Opening(_) => vec![line("one moment", columns, theme.quiet())],
        Shown::Small(pixels) => picture(pixels, columns, rows, theme),
        Shown::Not(why) => wrapped(&format!("not shown: {why}"), columns, theme.quiet()),
    }
}
