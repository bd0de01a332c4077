//! A picture of a screen, from the very cells that were drawn.
//!
//! Every run of text says where it starts and how wide it is, so columns meet in any renderer and
//! with any monospace font.

use std::collections::BTreeMap;
use std::fmt::Write;

use ratatui::buffer::{Buffer, Cell, CellWidth};
use ratatui::style::Modifier;

use crate::paint::contrast::Rgb;
pub use crate::paint::palette::Palette;
use crate::text::entity;

/// One column and one row, in pixels, for the font below: most monospace fonts are 0.6 em wide.
const COLUMN: usize = 9;
const ROW: usize = 18;
const FONT_SIZE: usize = 15;
/// From the top of a row to the foot of its letters.
const BASELINE: usize = 14;
const MARGIN: usize = 12;
const FONTS: &str = "ui-monospace,'DejaVu Sans Mono','Liberation Mono',Menlo,Consolas,monospace";

/// How a cell looks once the palette, reversed and dim are applied.
#[derive(Clone, Copy, PartialEq)]
struct Look {
    ink: Rgb,
    ground: Rgb,
    dim: bool,
    bold: bool,
    italic: bool,
    underlined: bool,
    struck: bool,
}

/// A run of cells drawn as one piece of text.
struct Run<'a> {
    /// The symbol of its first cell.
    first: &'a str,
    text: String,
    start: usize,
    columns: usize,
    /// One sign that takes more than one column.
    wide: bool,
    look: Look,
}

/// The buffer as an SVG 1.1 picture, with `title` for those who hear it rather than see it.
pub fn svg(buffer: &Buffer, palette: &Palette, title: &str) -> String {
    let (columns, rows) = (
        usize::from(buffer.area.width),
        usize::from(buffer.area.height),
    );
    let (width, height) = (columns * COLUMN + 2 * MARGIN, rows * ROW + 2 * MARGIN);
    let title = escape(&crate::text::safe_line(title));
    let page = Page::new(buffer, palette);
    let (ground, ink) = (hex(page.ground), hex(page.ink));
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" height=\"{height}\" \
         role=\"img\" aria-label=\"{title}\">\n<title>{title}</title>\n\
         <rect width=\"{width}\" height=\"{height}\" rx=\"6\" fill=\"{ground}\"/>\n\
         <g transform=\"translate({MARGIN} {MARGIN})\" font-family=\"{FONTS}\" font-size=\"{FONT_SIZE}\" fill=\"{ink}\">\n"
    );
    for (row, cells) in buffer.content.chunks(columns.max(1)).enumerate() {
        draw_row(cells, row * ROW, &page, &mut out);
    }
    out.push_str("</g>\n</svg>\n");
    out
}

/// What the picture takes for granted, so that only what differs need be written.
struct Page<'a> {
    palette: &'a Palette,
    /// The ground and the ink most cells have: a theme may bring its own.
    ground: Rgb,
    ink: Rgb,
}

impl Page<'_> {
    fn new<'a>(buffer: &Buffer, palette: &'a Palette) -> Page<'a> {
        let commonest = |colour: fn(Look) -> Rgb, usual: Rgb| {
            let mut counts = BTreeMap::new();
            for cell in &buffer.content {
                *counts.entry(colour(look(cell, palette))).or_insert(0) += 1;
            }
            let most = counts.into_iter().max_by_key(|(_, count)| *count);
            most.map_or(usual, |(found, _)| found)
        };
        Page {
            palette,
            ground: commonest(|look| look.ground, palette.background),
            ink: commonest(|look| look.ink, palette.foreground),
        }
    }
}

/// Grounds first, then letters, then lines under and through them.
fn draw_row(cells: &[Cell], top: usize, page: &Page<'_>, out: &mut String) {
    let spans = spans(cells, page.palette);
    stripes(
        &spans,
        |look| (look.ground != page.ground).then_some(look.ground),
        top,
        ROW,
        out,
    );
    for run in runs(cells, &spans) {
        draw_run(&run, top + BASELINE, page, out);
    }
    stripes(
        &spans,
        |look| look.underlined.then_some(look.ink),
        top + BASELINE + 2,
        1,
        out,
    );
    stripes(
        &spans,
        |look| look.struck.then_some(look.ink),
        top + BASELINE - 5,
        1,
        out,
    );
}

/// Where each visible cell starts, how many columns it takes and how it looks. A wide character
/// hides the cells it covers.
fn spans(cells: &[Cell], palette: &Palette) -> Vec<(usize, usize, Look)> {
    let mut spans = Vec::new();
    let mut at = 0;
    while let Some(cell) = cells.get(at) {
        let columns = usize::from(cell.cell_width()).clamp(1, cells.len() - at);
        spans.push((at, columns, look(cell, palette)));
        at += columns;
    }
    spans
}

fn look(cell: &Cell, palette: &Palette) -> Look {
    let has = |modifier| cell.modifier.contains(modifier);
    let mut ink = palette.rgb(cell.fg, palette.foreground);
    let mut ground = palette.rgb(cell.bg, palette.background);
    if has(Modifier::REVERSED) {
        std::mem::swap(&mut ink, &mut ground);
    }
    if has(Modifier::HIDDEN) {
        ink = ground;
    }
    Look {
        ink,
        ground,
        dim: has(Modifier::DIM),
        bold: has(Modifier::BOLD),
        italic: has(Modifier::ITALIC),
        underlined: has(Modifier::UNDERLINED),
        struck: has(Modifier::CROSSED_OUT),
    }
}

/// Joins neighbouring cells with the same colour for what `colour` picks, and draws each as a bar.
fn stripes(
    spans: &[(usize, usize, Look)],
    colour: impl Fn(&Look) -> Option<Rgb>,
    top: usize,
    height: usize,
    out: &mut String,
) {
    for group in spans.chunk_by(|a, b| colour(&a.2) == colour(&b.2)) {
        let (Some(first), Some(last)) = (group.first(), group.last()) else {
            continue;
        };
        if let Some(fill) = colour(&first.2) {
            let (x, width) = (first.0 * COLUMN, (last.0 + last.1 - first.0) * COLUMN);
            let fill = hex(fill);
            let _ = writeln!(
                out,
                "<rect x=\"{x}\" y=\"{top}\" width=\"{width}\" height=\"{height}\" fill=\"{fill}\" shape-rendering=\"crispEdges\"/>"
            );
        }
    }
}

/// Words of ASCII, or one other sign repeated, are drawn in one piece: a renderer that does not
/// stretch text cannot drift far in them. Spaces are not drawn.
fn runs<'a>(cells: &'a [Cell], spans: &[(usize, usize, Look)]) -> Vec<Run<'a>> {
    let mut runs: Vec<Run> = Vec::new();
    for &(start, columns, look) in spans {
        let symbol = cells[start].symbol();
        if symbol.trim().is_empty() {
            continue;
        }
        if let Some(run) = runs.last_mut() {
            let alike =
                symbol.is_ascii() && run.text.is_ascii() || columns == 1 && run.first == symbol;
            if alike && run.look == look && run.start + run.columns == start {
                run.text.push_str(symbol);
                run.columns += columns;
                continue;
            }
        }
        runs.push(Run {
            first: symbol,
            text: symbol.to_owned(),
            start,
            columns,
            wide: columns > 1,
            look,
        });
    }
    runs
}

fn draw_run(run: &Run<'_>, y: usize, page: &Page<'_>, out: &mut String) {
    let (x, width) = (run.start * COLUMN, run.columns * COLUMN);
    let _ = if run.wide {
        // Stretching one wide sign would spoil it: it stands in the middle of its columns.
        let middle = x + width / 2;
        write!(out, "<text x=\"{middle}\" y=\"{y}\" text-anchor=\"middle\"")
    } else {
        write!(out, "<text x=\"{x}\" y=\"{y}\"")
    };
    // One letter of ASCII is as wide as it should be. Joined emoji are held to their columns in
    // case the font has no picture for the whole.
    let held = if run.wide {
        run.first.contains('\u{200D}')
    } else {
        run.columns > 1 || !run.text.is_ascii()
    };
    if held {
        let _ = write!(
            out,
            " textLength=\"{width}\" lengthAdjust=\"spacingAndGlyphs\""
        );
    }
    if run.look.ink != page.ink {
        let _ = write!(out, " fill=\"{}\"", hex(run.look.ink));
    }
    for (set, attribute) in [
        (run.look.bold, " font-weight=\"bold\""),
        (run.look.italic, " font-style=\"italic\""),
        (run.look.dim, " opacity=\"0.65\""),
    ] {
        if set {
            out.push_str(attribute);
        }
    }
    let _ = writeln!(out, ">{}</text>", escape(&run.text));
}

fn hex((red, green, blue): Rgb) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// Text as XML 1.0 can hold it: its five reserved signs as entities, and a replacement for the
/// characters it has no place for (XML 1.0, section 2.2).
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match (entity(c), c) {
            (Some(entity), _) => out.push_str(entity),
            (None, '\t' | '\n' | '\r') => out.push(' '),
            (None, '\0'..='\x1F' | '\u{FFFE}' | '\u{FFFF}') => out.push('\u{FFFD}'),
            (None, c) => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use ratatui::style::{Color, Style};
    use ratatui::text::{Line, Span};

    use super::*;

    fn picture(lines: Vec<Line<'static>>) -> String {
        svg(&Buffer::with_lines(lines), &Palette::DARK, "a screen")
    }

    #[test]
    fn a_wide_character_takes_two_columns_and_moves_the_rest() {
        let out = picture(vec![Line::from("漢oil")]);
        assert!(
            out.contains("<text x=\"9\" y=\"14\" text-anchor=\"middle\">漢</text>"),
            "{out}"
        );
        assert!(out.contains(
            "<text x=\"18\" y=\"14\" textLength=\"27\" lengthAdjust=\"spacingAndGlyphs\">oil</text>"
        ));
        assert!(out.contains("width=\"69\" height=\"42\""));
    }

    #[test]
    fn a_wide_character_cut_by_the_edge_stays_inside() {
        let mut buffer = Buffer::with_lines(["ab"]);
        buffer.content[1].set_symbol("漢");
        let out = svg(&buffer, &Palette::DARK, "");
        assert!(out.contains("<text x=\"9\" y=\"14\" textLength=\"9\" lengthAdjust=\"spacingAndGlyphs\">漢</text>"), "{out}");
    }

    #[test]
    fn markup_in_text_and_title_is_escaped() {
        let buffer = Buffer::with_lines(["<b>&\"'"]);
        let out = svg(&buffer, &Palette::DARK, "\"><script>\u{1B}");
        assert!(out.contains(">&lt;b&gt;&amp;&quot;&#39;</text>"), "{out}");
        assert!(out.contains("<title>&quot;&gt;&lt;script&gt;⟪ESC⟫</title>"));
        assert_eq!(escape("\u{FFFE}\u{8}a\n"), "\u{FFFD}\u{FFFD}a ");
    }

    #[test]
    fn reversed_swaps_the_colours_and_fills_spaces() {
        let style = Style::new().fg(Color::Red).add_modifier(Modifier::REVERSED);
        let out = picture(vec![Line::from(vec![
            Span::raw("oil "),
            Span::styled("b c", style),
        ])]);
        let red = hex(Palette::DARK.named[1]);
        let ground = hex(Palette::DARK.background);
        assert!(
            out.contains(&format!(
                "<rect x=\"36\" y=\"0\" width=\"27\" height=\"18\" fill=\"{red}\""
            )),
            "{out}"
        );
        assert!(out.contains(&format!("fill=\"{ground}\">b</text>")));
    }

    #[test]
    fn weights_are_drawn_and_lines_run_under_spaces() {
        let style = Style::new()
            .add_modifier(Modifier::all().difference(Modifier::REVERSED | Modifier::HIDDEN));
        let out = picture(vec![Line::from(Span::styled("oil level", style))]);
        assert!(
            out.contains("font-weight=\"bold\" font-style=\"italic\" opacity=\"0.65\">oil<"),
            "{out}"
        );
        assert!(out.contains("<rect x=\"0\" y=\"16\" width=\"81\" height=\"1\""));
        assert!(out.contains("<rect x=\"0\" y=\"9\" width=\"81\" height=\"1\""));
    }

    #[test]
    fn the_margin_takes_the_ground_most_cells_have() {
        let mut buffer = Buffer::with_lines(["oil "]);
        buffer.set_style(
            buffer.area,
            Style::new()
                .fg(Color::Rgb(255, 0, 0))
                .bg(Color::Rgb(0, 0, 9)),
        );
        let out = svg(&buffer, &Palette::LIGHT, "");
        assert!(
            out.contains("rx=\"6\" fill=\"#000009\"/>") && out.contains("fill=\"#ff0000\">\n"),
            "{out}"
        );
        assert_eq!(out.matches("<rect").count(), 1);
    }

    #[test]
    fn one_sign_repeated_is_one_run_and_mixed_signs_are_not() {
        let out = picture(vec![Line::from("───┤")]);
        assert!(
            out.contains("textLength=\"27\" lengthAdjust=\"spacingAndGlyphs\">───<"),
            "{out}"
        );
        assert!(out.contains(
            "<text x=\"27\" y=\"14\" textLength=\"9\" lengthAdjust=\"spacingAndGlyphs\">┤<"
        ));
    }

    #[test]
    fn an_empty_screen_is_a_picture_too() {
        let out = svg(&Buffer::default(), &Palette::LIGHT, "");
        assert!(out.starts_with("<svg ") && out.ends_with("</svg>\n"));
    }
}
