//! What encoded frames leave on a terminal of a library, held against what the toolkit's own backend
//! draws there.
#![allow(clippy::expect_used)]

use std::num::NonZeroU16;

use proptest::prelude::*;
use ratatui::backend::{Backend, CrosstermBackend};
use ratatui::style::Style;

use super::*;

const WIDE: u16 = 14;
const HIGH: u16 = 4;

fn area() -> Rect {
    Rect::new(0, 0, WIDE, HIGH)
}

fn terminal() -> vt100::Parser {
    let size = |n| NonZeroU16::new(n).expect("a size");
    vt100::Parser::new(size(HIGH), size(WIDE), 0)
}

/// Every cell with all that shows.
fn shown(terminal: &vt100::Parser) -> Vec<String> {
    let screen = terminal.screen();
    let places = (0..HIGH).flat_map(|y| (0..WIDE).map(move |x| (y, x)));
    let cell = |(y, x)| {
        let cell = screen.cell(y, x).expect("a cell");
        let text = match cell.contents() {
            "" => " ",
            text => text,
        };
        let colours = (cell.fgcolor(), cell.bgcolor());
        let marks = (cell.bold(), cell.dim(), cell.italic(), cell.underline());
        format!("{text} {colours:?} {marks:?} {}", cell.inverse())
    };
    places.map(cell).collect()
}

fn style() -> impl Strategy<Value = Style> {
    let colours = vec![
        Color::Reset,
        Color::Red,
        Color::DarkGray,
        Color::Indexed(99),
        Color::Rgb(10, 0, 255),
    ];
    let marks = vec![
        Modifier::empty(),
        Modifier::BOLD,
        Modifier::REVERSED,
        Modifier::BOLD | Modifier::DIM | Modifier::UNDERLINED,
    ];
    let colour = || prop::sample::select(colours.clone());
    (colour(), colour(), prop::sample::select(marks))
        .prop_map(|(fg, bg, marks)| Style::new().fg(fg).bg(bg).add_modifier(marks))
}

/// Whether over nothing, and what stands where.
type Screen = (bool, Vec<(u16, u16, String, Style)>);

/// Words at places, mostly plain, over what stood there or over nothing.
fn frames() -> impl Strategy<Value = Vec<Screen>> {
    let plain = Just(Style::new());
    let style = prop_oneof![3 => plain, 2 => style()];
    let words = "[ a-c]{1,14}|[─é█]{1,5}|[a界 ]{1,6}|e\u{301}b";
    let word = (0..WIDE, 0..HIGH, words, style);
    let frame = (any::<bool>(), prop::collection::vec(word, 0..6));
    prop::collection::vec(frame, 1..6)
}

fn drawn(frames: Vec<Screen>) -> Vec<Buffer> {
    let mut last = Buffer::empty(area());
    let drawn = frames.into_iter().map(|(anew, words)| {
        let mut buffer = match anew {
            true => Buffer::empty(area()),
            false => last.clone(),
        };
        for (x, y, word, style) in words {
            let room = usize::from(WIDE - x);
            let _ = buffer.set_stringn(x, y, word, room, style);
        }
        // As the toolkit wants it: nothing stands behind a wide letter.
        for (y, x) in (0..HIGH).flat_map(|y| (1..WIDE).map(move |x| (y, x))) {
            if is_wide(&buffer[(x - 1, y)]) {
                buffer[(x, y)].reset();
            }
        }
        last = buffer.clone();
        buffer
    });
    drawn.collect()
}

#[test]
fn nothing_new_is_no_byte() {
    let mut encoder = Encoder::default();
    assert!(
        encoder
            .frame(Size::new(80, 24), std::iter::empty())
            .is_empty()
    );
}

#[test]
fn what_lies_between_is_spelled_out_and_a_row_that_ends_empty_is_cleared() {
    let line = |text: &str| {
        let mut buffer = Buffer::empty(Rect::new(0, 0, 40, 1));
        buffer.set_string(0, 0, text, Style::new());
        buffer
    };
    let mut encoder = Encoder::default();
    let mut send = |from: &str, to: &str| {
        let (from, to) = (line(from), line(to));
        let bytes = encoder.frame(Size::new(40, 1), from.diff(&to).into_iter());
        String::from_utf8(bytes).expect("text")
    };
    assert_eq!(send("", "one two six"), "\x1b[1;1Hone two six");
    assert_eq!(send("one two six", "ore tao six"), "\x1b[1;2Hre ta");
    assert_eq!(send("ore tao six", "ore"), "\x1b[1;5H\x1b[K");
}

#[test]
fn most_of_a_screen_is_cleared_and_drawn() {
    let full = |letter: &str| {
        let mut buffer = Buffer::empty(Rect::new(0, 0, 40, 10));
        for y in 0..10 {
            buffer.set_string(0, y, letter.repeat(40), Style::new());
        }
        buffer
    };
    let mut little = Buffer::empty(Rect::new(0, 0, 40, 10));
    little.set_string(30, 9, "b", Style::new());
    let mut encoder = Encoder::default();
    let size = Size::new(40, 10);
    let empty = Buffer::empty(Rect::new(0, 0, 40, 10));
    let _ = encoder.frame(size, empty.diff(&full("a")).into_iter());
    let bytes = encoder.frame(size, full("a").diff(&little).into_iter());
    assert_eq!(bytes, b"\x1b[2J\x1b[10;31Hb");
}

proptest! {
    /// The toolkit draws each screen on a new terminal, ours what changed on one terminal.
    #[test]
    fn the_terminal_shows_what_the_toolkit_draws_anew(frames in frames()) {
        let empty = Buffer::empty(area());
        let mut encoder = Encoder::default();
        let mut ours = terminal();
        let mut last = empty.clone();
        let (mut few, mut many) = (0, 0);
        for buffer in drawn(frames) {
            let draw = |changes: &[(u16, u16, &Cell)]| {
                let mut bytes = Vec::new();
                let mut toolkit = CrosstermBackend::new(&mut bytes);
                toolkit.draw(changes.iter().copied()).expect("bytes");
                bytes
            };
            let changes = last.diff(&buffer);
            let bytes = encoder.frame(Size::new(WIDE, HIGH), changes.iter().copied());
            ours.process(&bytes);
            let mut theirs = terminal();
            theirs.process(&draw(&empty.diff(&buffer)));
            let differing = shown(&ours).into_iter().zip(shown(&theirs)).enumerate();
            let differing: Vec<_> = differing.filter(|(_, (a, b))| a != b).collect();
            prop_assert!(differing.is_empty(), "{differing:?} {:?}", String::from_utf8_lossy(&bytes));
            few += bytes.len();
            many += draw(&changes).len();
            last = buffer;
        }
        prop_assert!(few <= many + 16, "{few} bytes in place of {many}");
    }
}
