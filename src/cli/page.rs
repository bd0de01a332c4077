//! Plain text for people: lines, wrapped paragraphs and tables, fitted to a width. Everything
//! that goes on a page is filtered here, so no command can forget to.

use super::failure::MOST_SENTENCES;
use crate::defects::NotCounted;
use crate::text::{pad, safe_line, width, wrap};

/// Columns where the width of the terminal is not known.
pub const USUAL_WIDTH: usize = 80;
/// Columns below which nothing is fitted any more.
const LEAST_WIDTH: usize = 40;
/// Columns beyond which lines are hard to follow.
const MOST_WIDTH: usize = 160;
/// Columns to which a column of a table that may give way does at most.
const LEAST_COLUMN: usize = 10;
/// Between two columns of a table.
const GAP: &str = "  ";

/// Text being written for people, fitted to so many columns and filtered.
#[derive(Debug, Clone)]
pub struct Page {
    width: usize,
    text: String,
}

/// How a column of a table is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Set {
    /// Left, never cut: names to be typed.
    Left,
    /// Right, never cut: figures.
    Right,
    /// Left, going on beneath itself where the line would be too long.
    Wrap,
}

impl Page {
    /// An empty page; the width is kept to what can be read.
    pub fn new(width: usize) -> Page {
        Page {
            width: width.clamp(LEAST_WIDTH, MOST_WIDTH),
            text: String::new(),
        }
    }

    /// Columns of the page.
    pub fn width(&self) -> usize {
        self.width
    }

    /// What was written up to now.
    pub fn into_text(self) -> String {
        self.text
    }

    /// A line as it is.
    pub fn line(&mut self, text: impl AsRef<str>) {
        self.text.push_str(safe_line(text.as_ref()).trim_end());
        self.text.push('\n');
    }

    /// What is on record and not counted, where anything is.
    pub fn not_counted(&mut self, left_out: &[NotCounted]) {
        if left_out.is_empty() {
            return;
        }
        self.line(format!(
            "NOT COUNTED: {} thing(s) on record; all else may be better than it should be",
            left_out.len()
        ));
        for told in left_out.iter().take(MOST_SENTENCES) {
            self.hang("  - ", told.sentence());
        }
        if left_out.len() > MOST_SENTENCES {
            self.line("  - and more; see: handlamp logbook check");
        }
    }

    /// What is worth knowing beside an answer in which all is counted.
    pub fn notes(&mut self, notes: &[String]) {
        for note in notes.iter().take(MOST_SENTENCES) {
            self.hang("Note: ", note);
        }
        if notes.len() > MOST_SENTENCES {
            self.line(format!(
                "Note: and {} more like it",
                notes.len() - MOST_SENTENCES
            ));
        }
    }

    /// An empty line, to set two parts apart.
    pub fn blank(&mut self) {
        self.text.push('\n');
    }

    /// Text wrapped to the width; the first line begins with `lead`, those after it are indented
    /// as far.
    pub fn hang(&mut self, lead: &str, text: impl AsRef<str>) {
        let lead = safe_line(lead);
        let indent = width(&lead);
        let room = self.width.saturating_sub(indent).max(LEAST_COLUMN);
        for (n, line) in wrap(&safe_line(text.as_ref()), room).iter().enumerate() {
            let start = if n == 0 {
                lead.to_string()
            } else {
                " ".repeat(indent)
            };
            self.text.push_str(format!("{start}{line}").trim_end());
            self.text.push('\n');
        }
    }

    /// Text wrapped to the width.
    pub fn paragraph(&mut self, text: impl AsRef<str>) {
        self.hang("", text);
    }

    /// A table under the names of its columns, which a screen reader reads row by row.
    pub fn table(&mut self, columns: &[(&str, Set)], rows: &[Vec<String>]) {
        let widths = self.widths(columns, rows);
        let head: Vec<String> = columns.iter().map(|(name, _)| (*name).to_owned()).collect();
        for cells in std::iter::once(&head).chain(rows) {
            self.cells(columns, &widths, cells);
        }
    }

    /// A table whose rows are each followed by indented text.
    pub fn table_with_notes(
        &mut self,
        columns: &[(&str, Set)],
        rows: &[(Vec<String>, Vec<String>)],
        indent: &str,
    ) {
        let cells: Vec<Vec<String>> = rows.iter().map(|(cells, _)| cells.clone()).collect();
        let widths = self.widths(columns, &cells);
        let head: Vec<String> = columns.iter().map(|(name, _)| (*name).to_owned()).collect();
        self.cells(columns, &widths, &head);
        for (cells, notes) in rows {
            self.cells(columns, &widths, cells);
            for note in notes {
                self.hang(indent, note);
            }
        }
    }

    fn widths(&self, columns: &[(&str, Set)], rows: &[Vec<String>]) -> Vec<usize> {
        let mut widths: Vec<usize> = columns.iter().map(|(name, _)| width(name)).collect();
        for row in rows {
            for (widest, cell) in widths.iter_mut().zip(row) {
                *widest = (*widest).max(width(&safe_line(cell)));
            }
        }
        let gaps = GAP.len() * columns.len().saturating_sub(1);
        let mut over = (widths.iter().sum::<usize>() + gaps).saturating_sub(self.width);
        // The widest column gives way first.
        while over > 0 {
            let each = columns.iter().zip(&widths).enumerate();
            let widest = each
                .filter(|(_, ((_, set), w))| *set == Set::Wrap && **w > LEAST_COLUMN)
                .max_by_key(|(n, (_, w))| (**w, usize::MAX - n));
            let Some((n, _)) = widest else { break };
            widths[n] -= 1;
            over -= 1;
        }
        widths
    }

    fn cells(&mut self, columns: &[(&str, Set)], widths: &[usize], cells: &[String]) {
        let cell = |n: usize| safe_line(cells.get(n).map_or("", String::as_str)).into_owned();
        let blocks: Vec<Vec<String>> = columns
            .iter()
            .zip(widths)
            .enumerate()
            .map(|(n, ((_, set), columns))| match set {
                Set::Wrap => wrap(&cell(n), *columns),
                Set::Left | Set::Right => vec![cell(n)],
            })
            .collect();
        let lines = blocks.iter().map(Vec::len).max().unwrap_or(0);
        for at in 0..lines {
            let mut line = String::new();
            for (n, ((_, set), columns)) in columns.iter().zip(widths).enumerate() {
                let part = blocks[n].get(at).map_or("", String::as_str);
                if n > 0 {
                    line.push_str(GAP);
                }
                match set {
                    Set::Right => {
                        let fill = columns.saturating_sub(width(part));
                        line.extend(std::iter::repeat_n(' ', fill));
                        line.push_str(part);
                    }
                    Set::Left | Set::Wrap => line.push_str(&pad(part, *columns)),
                }
            }
            self.text.push_str(line.trim_end());
            self.text.push('\n');
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_gives_way_in_the_columns_that_go_on_beneath_themselves() {
        let mut page = Page::new(40);
        let columns = [("n", Set::Right), ("item", Set::Left), ("note", Set::Wrap)];
        let row = |n: &str, item: &str, note: &str| vec![n.into(), item.into(), note.into()];
        page.table(
            &columns,
            &[
                row("1", "drive-belt", "a long note that has to give way here"),
                row("10", "bilge-water", "\x1b[2J"),
            ],
        );
        let text = page.into_text();
        assert_eq!(
            text,
            " n  item         note\n 1  drive-belt   a long note that has to\n                 give way here\n10  bilge-water  ⟪ESC⟫[2J\n"
        );
        assert!(text.lines().all(|l| width(l) <= 40), "{text}");
    }

    #[test]
    fn text_hangs_under_its_lead() {
        let mut page = Page::new(40);
        page.hang(
            "  why: ",
            "worn, 3 h and 2 d ago; it will not last the whole summer",
        );
        assert_eq!(
            page.into_text(),
            "  why: worn, 3 h and 2 d ago; it will\n       not last the whole summer\n"
        );
    }
}
