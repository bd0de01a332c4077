//! Where things are, in the cells of a screen: the boxes in thin lines, what stands at each place over them.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::style::Style;
use ratatui::text::Line;

use crate::arrangement::sheet::{DOWN, LEFT, RIGHT, Sheet, UP};
use crate::arrangement::{Arrangement, Mark, Standing, View, Window};
use crate::boat::Point;
use crate::paint::theme::Theme;
use crate::text::{fit, safe_line, width};

/// What is written at a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Written {
    /// Where.
    pub point: Point,
    /// A few signs.
    pub text: String,
    /// How.
    pub style: Style,
}

/// The sign for how something stands: its rung, a stop, that it was mended, that a look is owed.
pub fn sign(standing: &Standing, theme: &Theme) -> (String, Style) {
    let glyphs = theme.glyphs;
    let (rung, style) = match standing.rung {
        Some(grade) => (grade.rung().to_string(), theme.grade(grade)),
        None => (glyphs.hatched().to_owned(), theme.text()),
    };
    let signs = [
        (standing.stop, glyphs.caution()),
        (standing.mended, glyphs.repair()),
        (standing.owed, "?"),
    ];
    let signs = signs.into_iter().filter(|(holds, _)| *holds);
    let style = match standing.is_plain() {
        true => theme.quiet(),
        false => style,
    };
    (signs.fold(rung, |told, (_, sign)| told + sign), style)
}

/// Draws an arrangement with what is written at its places, what matters most first, and says above it
/// which way one looks. The cell of each; none where it found no room.
pub fn draw(
    frame: &mut Frame<'_>,
    area: Rect,
    (arrangement, view): (&Arrangement, View),
    written: &[Written],
    theme: &Theme,
) -> Vec<Option<(u16, u16)>> {
    let [above, area] = Layout::vertical([Constraint::Length(1), Constraint::Fill(1)]).areas(area);
    frame.render_widget(caption(view, usize::from(above.width), theme), above);
    let sheet = sheet(area, (arrangement, view), written);
    put(frame, area, &sheet, &sheet.titles, written, theme);
    let on_screen = |(column, row): (usize, usize)| (area.x + column as u16, area.y + row as u16);
    sheet.marks.iter().map(|at| at.map(on_screen)).collect()
}

/// Draws a small one from above, without words.
pub fn draw_small(
    frame: &mut Frame<'_>,
    area: Rect,
    arrangement: &Arrangement,
    written: &[Written],
    theme: &Theme,
) {
    let sheet = sheet(area, (arrangement, View::Above), written);
    put(frame, area, &sheet, &[], written, theme);
}

fn sheet(area: Rect, (arrangement, view): (&Arrangement, View), written: &[Written]) -> Sheet {
    let marks: Vec<Mark> = written
        .iter()
        .map(|w| Mark {
            point: w.point,
            width: width(&w.text),
        })
        .collect();
    let size = (usize::from(area.width), usize::from(area.height));
    let window = Window::on(arrangement, view);
    Sheet::of(&window, arrangement, &marks, size)
}

fn put(
    frame: &mut Frame<'_>,
    area: Rect,
    sheet: &Sheet,
    titles: &[(usize, usize, String)],
    written: &[Written],
    theme: &Theme,
) {
    let buffer = frame.buffer_mut();
    let mut put = |(column, row): (usize, usize), text: &str, style: Style| {
        let (x, y) = (area.x + column as u16, area.y + row as u16);
        if x < buffer.area.right() && y < buffer.area.bottom() {
            // Nothing of the line beneath is left in it.
            for x in x..x.saturating_add(width(text) as u16) {
                if let Some(cell) = buffer.cell_mut((x, y)) {
                    cell.reset();
                    cell.set_style(theme.text());
                }
            }
            buffer.set_string(x, y, text, style);
        }
    };
    for (at, bits) in sheet
        .strokes
        .iter()
        .enumerate()
        .filter(|(_, bits)| **bits > 0)
    {
        let spot = (at % sheet.columns, at / sheet.columns);
        put(spot, stroke(*bits, theme), theme.quiet());
    }
    for (column, row, title) in titles {
        put((*column, *row), &safe_line(title), theme.quiet());
    }
    for (at, written) in sheet.marks.iter().zip(written) {
        if let Some(spot) = at {
            put(*spot, &written.text, written.style);
        }
    }
}

/// Which way one looks.
fn caption(view: View, columns: usize, theme: &Theme) -> Line<'static> {
    let left = format!("{} forward", theme.glyphs.pick("◂", "<"));
    let right = format!("aft {}", theme.glyphs.pick("▸", ">"));
    let ends = width(&left) + width(&right);
    let room = columns.saturating_sub(ends + 2);
    let middle = if width(view.words()) <= room {
        view.words()
    } else {
        ""
    };
    let free = columns.saturating_sub(ends + width(middle));
    let (before, behind) = (free / 2, free - free / 2);
    let all = format!(
        "{left}{}{middle}{}{right}",
        " ".repeat(before),
        " ".repeat(behind)
    );
    Line::styled(fit(&all, columns), theme.quiet())
}

/// The sign for lines through a cell.
fn stroke(bits: u8, theme: &Theme) -> &'static str {
    const SIDES: u8 = LEFT | RIGHT;
    const UPRIGHT: u8 = UP | DOWN;
    let unicode = match bits {
        b if b & UPRIGHT == 0 => "─",
        b if b & SIDES == 0 => "│",
        b if b == DOWN | RIGHT => "┌",
        b if b == DOWN | LEFT => "┐",
        b if b == UP | RIGHT => "└",
        b if b == UP | LEFT => "┘",
        b if b == UPRIGHT | RIGHT => "├",
        b if b == UPRIGHT | LEFT => "┤",
        b if b == DOWN | SIDES => "┬",
        b if b == UP | SIDES => "┴",
        _ => "┼",
    };
    let ascii = match bits {
        b if b & UPRIGHT == 0 => "-",
        b if b & SIDES == 0 => "|",
        _ => "+",
    };
    theme.glyphs.pick(unicode, ascii)
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use ratatui::Terminal;
    use ratatui::backend::TestBackend;

    use super::*;
    use crate::arrangement::Box3;
    use crate::paint::theme::tests::{ASCII, PLAIN};

    fn shown(theme: &Theme, view: View) -> String {
        let at = |x, y, z| Point { x, y, z };
        let arrangement = Arrangement {
            places: Vec::new(),
            boxes: vec![
                Box3 {
                    title: "engine".into(),
                    from: at(0, -20, 20),
                    to: at(66, 20, 58),
                    machine: None,
                    thing: None,
                },
                Box3 {
                    title: "gearbox".into(),
                    from: at(66, -12, 12),
                    to: at(100, 12, 44),
                    machine: None,
                    thing: None,
                },
            ],
        };
        let written = [
            (at(34, 24, 40), "2(1)"),
            (at(34, 24, 40), "0"),
            (at(90, 0, 44), "."),
        ];
        let written = written.map(|(point, text)| Written {
            point,
            text: text.to_owned(),
            style: theme.text(),
        });
        let mut terminal = Terminal::new(TestBackend::new(50, 12)).expect("a terminal");
        terminal
            .draw(|frame| {
                let area = frame.area();
                draw(frame, area, (&arrangement, view), &written, theme);
            })
            .expect("drawn");
        terminal.backend().to_string()
    }

    #[test]
    fn from_above_and_from_the_side_in_both_sets_of_signs() {
        let all: String = [
            (&PLAIN, View::Above),
            (&PLAIN, View::Side),
            (&ASCII, View::Above),
        ]
        .map(|(theme, view)| shown(theme, view))
        .join("\n");
        insta::assert_snapshot!(all);
    }

    #[test]
    fn where_only_ascii_is_shown_nothing_else_is_drawn() {
        assert!(View::ALL.iter().all(|view| shown(&ASCII, *view).is_ascii()));
    }
}
