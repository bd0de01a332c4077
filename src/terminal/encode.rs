//! What changed on the screen as few bytes: a boat is often reached over a line that carries little.
//!
//! What lies between two changes is spelled out where that is shorter than an address, a row is
//! cleared to its end where it ends empty, and where most of the screen is another it is cleared and
//! drawn anew if that is shorter. Control sequences are those of ECMA-48 and of xterm's colours.

use std::io::Write;

use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::{Rect, Size};
use ratatui::style::{Color, Modifier};
use unicode_width::UnicodeWidthStr;

/// Changes that end a row in emptiness are worth clearing it from so many on.
const WORTH_CLEARING: usize = 5;

/// What stands on the terminal, as far as it was sent.
#[derive(Default)]
pub struct Encoder {
    screen: Buffer,
}

impl Encoder {
    /// The terminal was cleared.
    pub fn cleared(&mut self) {
        self.screen = Buffer::default();
    }

    /// The bytes that bring these cells onto a terminal of this size; all others stay as they are.
    pub fn frame<'a>(
        &mut self,
        size: Size,
        changes: impl Iterator<Item = (u16, u16, &'a Cell)>,
    ) -> Vec<u8> {
        let area = Rect::new(0, 0, size.width, size.height);
        if self.screen.area != area {
            self.screen = Buffer::empty(area);
        }
        let mut changed: Vec<(u16, u16)> = Vec::new();
        for (x, y, cell) in changes {
            self.put((y, x), cell, &mut changed);
        }
        changed.sort_unstable();
        changed.dedup();
        let mut few = Pen::new(&self.screen);
        for row in changed.chunk_by(|(y, _), (other, _)| y == other) {
            few.row(row);
        }
        few.dress(&Cell::EMPTY);
        if changed.len() * 2 <= area.area() as usize {
            return few.out;
        }
        let all = self.all();
        if all.len() < few.out.len() {
            all
        } else {
            few.out
        }
    }

    /// Notes what stands in a cell now. Nobody tells of what stands behind a wide letter, and where one
    /// goes, terminals leave different things there: it is written as blank.
    fn put(&mut self, (y, x): (u16, u16), cell: &Cell, changed: &mut Vec<(u16, u16)>) {
        let Some(known) = self.screen.cell_mut((x, y)) else {
            return;
        };
        let was_wide = is_wide(known);
        known.clone_from(cell);
        changed.push((y, x));
        if is_wide(cell) {
            let behind = self.screen.cell_mut((x + 1, y)).map(std::mem::take);
            if behind.is_some_and(|behind| is_wide(&behind)) {
                self.put((y, x + 2), &Cell::EMPTY, changed);
            }
        } else if was_wide {
            self.put((y, x + 1), &Cell::EMPTY, changed);
        }
    }

    /// The whole screen on a cleared terminal.
    fn all(&self) -> Vec<u8> {
        let mut pen = Pen::new(&self.screen);
        pen.out.extend(b"\x1b[2J");
        for y in 0..self.screen.area.height {
            let mut hidden = false;
            for x in 0..self.screen.area.width {
                let cell = &self.screen[(x, y)];
                let behind = hidden;
                hidden = !behind && is_wide(cell);
                if !behind && !is_empty(cell) {
                    pen.go((y, x));
                    pen.put(cell);
                }
            }
        }
        pen.dress(&Cell::EMPTY);
        pen.out
    }
}

/// Writes cells one after another.
struct Pen<'a> {
    screen: &'a Buffer,
    out: Vec<u8>,
    /// Colours and attributes in force.
    style: (Color, Color, Modifier),
    /// Row and column of the cursor, where they are known.
    at: Option<(u16, u16)>,
    /// Since the last address came only what every terminal takes for one column.
    sure: bool,
}

impl<'a> Pen<'a> {
    fn new(screen: &'a Buffer) -> Pen<'a> {
        Pen {
            screen,
            out: Vec::new(),
            style: worn(&Cell::EMPTY),
            at: None,
            sure: false,
        }
    }

    /// The changes of one row, from left to right.
    fn row(&mut self, changed: &[(u16, u16)]) {
        let Some(&(y, _)) = changed.first() else {
            return;
        };
        let empty_from = self.empty_from(y);
        let kept = changed.partition_point(|(_, x)| *x < empty_from);
        let (kept, tail) = changed.split_at(kept);
        for place in kept {
            self.change(*place);
        }
        match tail {
            [first, ..] if tail.len() >= WORTH_CLEARING => {
                self.go(*first);
                self.dress(&Cell::EMPTY);
                self.out.extend(b"\x1b[K");
            }
            tail => tail.iter().for_each(|place| self.change(*place)),
        }
    }

    fn change(&mut self, place: (u16, u16)) {
        let (y, x) = place;
        self.go(place);
        self.put(&self.screen[(x, y)]);
    }

    /// The column from which on a row is empty.
    fn empty_from(&self, y: u16) -> u16 {
        let width = self.screen.area.width;
        let cell = |x: u16| &self.screen[(x, y)];
        let last = (0..width).rev().find(|x| !is_empty(cell(*x)));
        let from = last.map_or(0, |x| x + 1);
        match last {
            // Its other half is in the next column.
            Some(x) if is_wide(cell(x)) => from + 1,
            _ => from,
        }
    }

    /// Brings the cursor to a row and column.
    fn go(&mut self, to: (u16, u16)) {
        let (y, x) = to;
        match self.at {
            Some(at) if at == to => return,
            Some((row, from)) if row == y => {
                let address = format!("\x1b[{}G", x + 1);
                let between = (from..x).map(|x| &self.screen[(x, y)]);
                let short = from < x && usize::from(x - from) <= address.len();
                if short && self.sure && between.clone().all(|cell| self.is_plain(cell)) {
                    let between = between.flat_map(|cell| cell.symbol().bytes());
                    self.out.extend(between);
                } else {
                    self.out.extend(address.as_bytes());
                    self.sure = true;
                }
            }
            _ => {
                self.write(format_args!("\x1b[{};{}H", y + 1, x + 1));
                self.sure = true;
            }
        }
        self.at = Some(to);
    }

    /// True for what is written with one byte and needs no other style.
    fn is_plain(&self, cell: &Cell) -> bool {
        cell.symbol().len() == 1 && worn(cell) == self.style
    }

    /// Writes a cell where the cursor stands.
    fn put(&mut self, cell: &Cell) {
        self.dress(cell);
        self.out.extend(cell.symbol().as_bytes());
        self.sure &= cell.symbol().is_ascii();
        // In the last column, and behind what is wider, terminals differ.
        let next = self.at.map(|(y, x)| (y, x + 1));
        let fits = |at: &(u16, u16)| at.1 < self.screen.area.width && !is_wide(cell);
        self.at = next.filter(fits);
    }

    /// Takes on the colours and attributes of a cell.
    fn dress(&mut self, cell: &Cell) {
        let wanted = worn(cell);
        if wanted == self.style {
            return;
        }
        let (fg, bg, attributes) = self.style;
        let mut anew = Vec::new();
        if wanted != worn(&Cell::EMPTY) {
            anew.push("0".to_owned());
            anew.extend(switched_on(wanted.2));
            anew.extend(colour(wanted.0, 30).filter(|_| wanted.0 != Color::Reset));
            anew.extend(colour(wanted.1, 40).filter(|_| wanted.1 != Color::Reset));
        }
        let anew = anew.join(";");
        let mut params = anew;
        if wanted.2.contains(attributes) {
            let mut more: Vec<String> = switched_on(wanted.2 - attributes).collect();
            more.extend(colour(wanted.0, 30).filter(|_| wanted.0 != fg));
            more.extend(colour(wanted.1, 40).filter(|_| wanted.1 != bg));
            let more = more.join(";");
            if more.len() <= params.len() {
                params = more;
            }
        }
        self.write(format_args!("\x1b[{params}m"));
        self.style = wanted;
    }

    fn write(&mut self, text: std::fmt::Arguments<'_>) {
        // A vector takes all there is memory for.
        let _ = self.out.write_fmt(text);
    }
}

/// Colours and attributes of a cell.
fn worn(cell: &Cell) -> (Color, Color, Modifier) {
    (cell.fg, cell.bg, cell.modifier)
}

/// True for what a cleared terminal shows.
fn is_empty(cell: &Cell) -> bool {
    cell.symbol() == " " && worn(cell) == worn(&Cell::EMPTY)
}

fn is_wide(cell: &Cell) -> bool {
    cell.symbol().width() > 1
}

/// The parameters that switch attributes on.
fn switched_on(attributes: Modifier) -> impl Iterator<Item = String> {
    let each = [
        Modifier::BOLD,
        Modifier::DIM,
        Modifier::ITALIC,
        Modifier::UNDERLINED,
        Modifier::SLOW_BLINK,
        Modifier::RAPID_BLINK,
        Modifier::REVERSED,
        Modifier::HIDDEN,
        Modifier::CROSSED_OUT,
    ];
    let on = (1..).zip(each);
    on.filter(move |(_, one)| attributes.contains(*one))
        .map(|(n, _): (u8, _)| n.to_string())
}

/// The parameter of a colour: `base` is 30 for the letters, 40 for what is behind them. The sixteen are
/// asked for by number, since some terminals brighten the short forms where letters are bold.
fn colour(colour: Color, base: u8) -> Option<String> {
    let by_number = |n: u8| Some(format!("{};5;{n}", base + 8));
    match colour {
        Color::Reset => Some((base + 9).to_string()),
        Color::Rgb(r, g, b) => Some(format!("{};2;{r};{g};{b}", base + 8)),
        Color::Indexed(n) => by_number(n),
        Color::Black => by_number(0),
        Color::Red => by_number(1),
        Color::Green => by_number(2),
        Color::Yellow => by_number(3),
        Color::Blue => by_number(4),
        Color::Magenta => by_number(5),
        Color::Cyan => by_number(6),
        Color::Gray => by_number(7),
        Color::DarkGray => by_number(8),
        Color::LightRed => by_number(9),
        Color::LightGreen => by_number(10),
        Color::LightYellow => by_number(11),
        Color::LightBlue => by_number(12),
        Color::LightMagenta => by_number(13),
        Color::LightCyan => by_number(14),
        Color::White => by_number(15),
    }
}

#[cfg(test)]
mod tests;
