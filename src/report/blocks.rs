//! What a section of a report is made of: sentences, lists, tables and drawings under a heading.

use std::borrow::Cow;

use super::parts::TrendPart;
use super::words::{Said, Words};

/// A section with its heading.
pub struct Section<'a> {
    /// The message of its heading, by which it is known.
    pub name: &'static str,
    /// The heading above it.
    pub title: Cow<'static, str>,
    /// What stands under it.
    pub blocks: Vec<Block<'a>>,
}

impl<'a> Section<'a> {
    /// A section under the heading of that name.
    pub fn new(w: Words, name: &'static str, blocks: Vec<Block<'a>>) -> Section<'a> {
        Section {
            title: w.say(name),
            name,
            blocks,
        }
    }
}

/// A part of a section.
pub enum Block<'a> {
    /// A sentence or more.
    Said(Said),
    /// Something to copy letter by letter.
    Code(String),
    /// Sentences, each with its bullet.
    Points(Vec<Said>),
    /// A heading within the section.
    Under(Said),
    /// Columns with a heading each.
    Table(Table),
    /// Readings in time; a page draws them, Markdown tells them.
    Chart(&'a TrendPart),
}

/// A column by the message of its heading.
#[derive(Clone, Copy)]
pub struct Column {
    name: &'static str,
    unbroken: bool,
}

impl Column {
    /// One whose cells may be broken into lines.
    pub const fn kept(name: &'static str) -> Column {
        Column {
            name,
            unbroken: false,
        }
    }

    /// One whose cells are never broken.
    pub const fn unbroken(name: &'static str) -> Column {
        Column {
            name,
            unbroken: true,
        }
    }

    /// As it stands above its cells.
    pub fn head(self, w: Words) -> Head {
        Head {
            said: w.say(self.name).into(),
            unbroken: self.unbroken,
        }
    }
}

/// The heading of a column.
pub struct Head {
    /// Its words.
    pub said: Said,
    /// The cells beneath it are never broken into lines.
    pub unbroken: bool,
}

/// A table: a head, and rows of as many cells.
pub struct Table {
    /// The columns.
    pub head: Vec<Head>,
    /// The cells, row by row, as many as there are headings.
    pub rows: Vec<Vec<Said>>,
    /// What it is; where it has one, the first cell of each row says what the row is.
    pub caption: Option<Said>,
}

impl Table {
    /// A table without a caption.
    pub fn new(w: Words, head: &[Column], rows: Vec<Vec<Said>>) -> Table {
        Table {
            head: head.iter().map(|column| column.head(w)).collect(),
            rows,
            caption: None,
        }
    }
}
