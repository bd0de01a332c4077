//! A photograph in the cells of a terminal: two pixels to a cell where it shows half blocks, else signs that
//! are the darker the emptier they are.
//!
//! Colours are those of the usual cube of 6 × 6 × 6 with its 24 greys, which nearly every terminal has; nothing
//! is asked of it.

use ratatui::style::{Color, Style};
use ratatui::text::{Line, Span};

use crate::paint::contrast::{Rgb, luminance};
use crate::paint::glyphs::Glyphs;
use crate::paint::theme::{Theme, ThemeName};
use crate::photo::scale::Pixels;

/// From dark to light.
const SIGNS: [&str; 10] = [" ", ".", ":", "-", "=", "+", "*", "#", "%", "@"];
/// The most of a red that the night theme lets a picture shed.
const NIGHT: f64 = 210.0;
/// The steps of the cube.
const STEPS: [u8; 6] = [0, 95, 135, 175, 215, 255];

/// The picture as large as it fits, its proportions kept: a row is as high as two columns are wide.
pub fn picture(pixels: &Pixels, columns: usize, rows: usize, theme: &Theme) -> Vec<Line<'static>> {
    let (width, height) = (pixels.width.max(1), pixels.height.max(1));
    let share = (columns as f64 / width as f64).min(2.0 * rows as f64 / height as f64);
    let size = |of: usize| ((of as f64 * share).round() as usize).max(1);
    let (across, down) = (size(width).min(columns), size(height).div_ceil(2).min(rows));
    // What falls into half a cell is mixed.
    let at = |column: usize, half: usize| {
        let part = |n: usize, of: usize, all: usize| {
            let from = (n * of / all.max(1)).min(of - 1);
            from..((n + 1) * of / all.max(1)).clamp(from + 1, of)
        };
        let rows = part(half, height, 2 * down);
        let columns = part(column, width, across);
        let of_row = |y: usize| columns.clone().map(move |x| y * width + x);
        mixed(rows.flat_map(of_row).filter_map(|n| pixels.rgb.get(n)))
    };
    let cell = |column: usize, row: usize| {
        let (upper, lower) = (at(column, 2 * row), at(column, 2 * row + 1));
        sign(upper, lower, theme)
    };
    let line = |row: usize| {
        let mut spans: Vec<Span<'static>> = Vec::new();
        for column in 0..across {
            let (sign, style) = cell(column, row);
            match spans.last_mut() {
                Some(last) if last.style == style => last.content.to_mut().push_str(sign),
                _ => spans.push(Span::styled(sign, style)),
            }
        }
        Line::from(spans)
    };
    (0..down).map(line).collect()
}

/// The middle of some pixels, black where there is none.
fn mixed<'a>(pixels: impl Iterator<Item = &'a [u8; 3]>) -> [u8; 3] {
    let (sum, count) = pixels.fold(([0u32; 3], 0u32), |(sum, count), pixel| {
        let [red, green, blue] = pixel.map(u32::from);
        ([sum[0] + red, sum[1] + green, sum[2] + blue], count + 1)
    });
    sum.map(|sum| (sum / count.max(1)) as u8)
}

/// The sign and style of a cell with a pixel above another.
fn sign(upper: [u8; 3], lower: [u8; 3], theme: &Theme) -> (&'static str, Style) {
    if theme.name == ThemeName::Mono || theme.glyphs == Glyphs::Ascii {
        let light = f64::midpoint(shade(upper), shade(lower));
        let at = (light * (SIGNS.len() - 1) as f64).round() as usize;
        return (SIGNS[at.min(SIGNS.len() - 1)], theme.text());
    }
    let colour = |pixel: [u8; 3]| match theme.name {
        ThemeName::Night => Color::Rgb((shade(pixel) * NIGHT).round() as u8, 0, 0),
        _ => Color::Indexed(in_cube(pixel)),
    };
    ("▀", Style::new().fg(colour(upper)).bg(colour(lower)))
}

/// How light a pixel is to the eye, from 0 to 1.
fn shade([red, green, blue]: [u8; 3]) -> f64 {
    let rgb: Rgb = (red, green, blue);
    // Luminance is of light; the eye sees about its cube root.
    luminance(rgb).cbrt()
}

/// The number of the nearest colour of the cube, or of the greys beside it: 8, 18 and so on to 238.
fn in_cube(pixel: [u8; 3]) -> u8 {
    let nearest = pixel.map(|value| {
        let steps = STEPS.iter().enumerate();
        let nearest = steps.min_by_key(|(_, step)| step.abs_diff(value));
        nearest.map_or((0, 0), |(n, step)| (n as u8, *step))
    });
    let away = |from: [u8; 3]| -> u32 {
        let pairs = pixel.iter().zip(from);
        pairs.map(|(a, b)| u32::from(a.abs_diff(b)).pow(2)).sum()
    };
    let middle = pixel.map(u32::from).iter().sum::<u32>() / 3;
    let grey = (middle.saturating_sub(3) / 10).min(23) as u8;
    if away([8 + 10 * grey; 3]) < away(nearest.map(|(_, step)| step)) {
        return 232 + grey;
    }
    let [red, green, blue] = nearest.map(|(n, _)| n);
    16 + 36 * red + 6 * green + blue
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::paint::theme::tests::{ASCII, PLAIN};
    use crate::text::width;

    /// Red above blue, green above white.
    fn four() -> Pixels {
        Pixels {
            width: 2,
            height: 2,
            rgb: vec![[255, 0, 0], [0, 255, 0], [0, 0, 255], [255, 255, 255]],
        }
    }

    #[test]
    fn a_cell_holds_two_pixels() {
        let lines = picture(&four(), 2, 1, &PLAIN);
        let styles: Vec<_> = lines[0]
            .spans
            .iter()
            .map(|span| (span.style.fg, span.style.bg))
            .collect();
        let of = |above, below| (Some(Color::Indexed(above)), Some(Color::Indexed(below)));
        // Corners of the cube as terminals number them: 16 + 36 r + 6 g + b.
        assert_eq!(styles, [of(196, 21), of(46, 231)]);
    }

    #[test]
    fn greys_are_told_apart_and_what_falls_into_a_cell_is_mixed() {
        // Numbers of the greys as terminals have them: 232 is 8, 255 is 238.
        assert_eq!((in_cube([8; 3]), in_cube([118; 3])), (232, 243));
        assert_eq!((in_cube([0; 3]), in_cube([255; 3])), (16, 231));
        assert_eq!(in_cube([255, 135, 0]), 16 + 36 * 5 + 6 * 2);
        let fine = Pixels {
            width: 2,
            height: 4,
            rgb: [[[0; 3], [200; 3]], [[200; 3], [0; 3]]].concat().repeat(2),
        };
        let style = picture(&fine, 1, 1, &PLAIN)[0].spans[0].style;
        let grey = Some(Color::Indexed(in_cube([100; 3])));
        assert_eq!((style.fg, style.bg), (grey, grey));
    }

    #[test]
    fn without_colour_it_is_told_by_signs() {
        let lines = picture(&four(), 2, 1, &ASCII);
        let text = lines[0].to_string();
        assert!(text.is_ascii() && text.trim().len() == 2, "{text:?}");
        let dark = Pixels {
            width: 1,
            height: 2,
            rgb: vec![[0; 3]; 2],
        };
        assert_eq!(picture(&dark, 1, 1, &ASCII)[0].to_string(), " ");
    }

    #[test]
    fn at_night_it_sheds_red_light_alone() {
        let night = Theme {
            name: ThemeName::Night,
            ..PLAIN
        };
        for span in picture(&four(), 2, 1, &night)
            .into_iter()
            .flat_map(|line| line.spans)
        {
            for colour in [span.style.fg, span.style.bg] {
                assert!(
                    matches!(colour, Some(Color::Rgb(0..=210, 0, 0))),
                    "{colour:?}"
                );
            }
        }
    }

    proptest! {
        #[test]
        fn it_keeps_to_its_place_and_its_proportions(
            (wide, high) in (1usize..60, 1usize..60),
            (columns, rows) in (1usize..120, 1usize..50),
        ) {
            let pixels = Pixels { width: wide, height: high, rgb: vec![[9, 99, 199]; wide * high] };
            let lines = picture(&pixels, columns, rows, &PLAIN);
            prop_assert!(lines.len() <= rows);
            let across = width(&lines[0].to_string());
            prop_assert!(across <= columns);
            let shown = across as f64 / (2.0 * lines.len() as f64);
            let fits = wide as f64 / high as f64;
            let step = (across as f64 + 1.0) / (2.0 * lines.len() as f64 - 2.0).max(1.0);
            prop_assert!(shown <= fits.max(step) * 2.01 + 1.0, "{shown} {fits}");
        }
    }
}
