//! Parts by keys: of a task, of a remedy or of all, each with its fields in words, said row by row.

pub mod draw;

use crate::boat::facts::NOT_KNOWN;
use crate::boat::profile::UnitHabit;
use crate::defects::PartSaid;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::logbook::record::Record;
use crate::screen::complete::Readable;
use crate::screen::facts::{next_of, stepped};
use crate::screen::kind::{Asks, Cx, Go, Screen, Shown};
use crate::screen::layers::{Choice, Layer};
use crate::screen::pictures::{ask_path, from, look_at, take_in, with_one};
use crate::service::parts::{CautionSort, Field, PartRow, Wanted};

/// A line of the screen.
#[derive(Clone, Debug)]
pub enum Row {
    /// The part that the lines beneath speak of, by its place.
    Head(usize),
    /// A field of the part of a place.
    Field(usize, &'static Field),
}

/// The screen of parts.
pub struct PartsScreen {
    wanted: Wanted,
    /// What is known of each.
    parts: Vec<PartRow>,
    rows: Vec<Row>,
    /// Under the arrow.
    cursor: usize,
    /// Whether their photographs can be read.
    readable: Readable,
}

impl PartsScreen {
    /// Of the book; none where nothing needs a part.
    pub fn new(book: &Book, wanted: Wanted) -> Option<PartsScreen> {
        let parts = wanted.of(&book.condition(), book.history());
        (!parts.is_empty()).then(|| {
            let mut screen = PartsScreen {
                wanted,
                rows: rows(&parts),
                parts,
                cursor: 1,
                readable: Readable::default(),
            };
            screen.look_at_photos(book);
            screen
        })
    }

    /// Asks for the photographs that were not asked for yet.
    fn look_at_photos(&mut self, book: &Book) {
        let photos = self.parts.iter().filter_map(PartRow::photo);
        self.readable.ask(book, photos);
    }

    /// True where the photograph of a part can no longer be read.
    fn has_lost_photo(&self, part: &PartRow) -> bool {
        part.photo()
            .is_some_and(|photo| self.readable.is_lost(photo))
    }

    /// To the photograph of the part under the arrow.
    fn go_to_photo(&mut self) {
        let Some(Row::Field(here, _)) = self.rows.get(self.cursor) else {
            return;
        };
        let is_photo =
            |row: &Row| matches!(row, Row::Field(at, field) if at == here && field.is_photo());
        self.cursor = self.rows.iter().position(is_photo).unwrap_or(self.cursor);
    }

    /// The part and the field under the arrow.
    fn here(&self) -> Option<(&PartRow, &'static Field)> {
        match self.rows.get(self.cursor)? {
            Row::Head(_) => None,
            Row::Field(at, field) => Some((self.parts.get(*at)?, field)),
        }
    }

    /// Goes so many fields on.
    fn go(&mut self, action: Action) {
        let rows = self.rows.iter().enumerate();
        let fields = rows.filter(|(_, row)| matches!(row, Row::Field(..)));
        self.cursor = stepped(action, self.cursor, fields.map(|(n, _)| n));
    }

    /// To the next line with a text in its words or in the title of its part.
    fn find(&mut self, text: &str) -> Result<(), String> {
        let wanted = text.to_lowercase();
        let found = next_of(self.cursor, self.rows.len(), |at| match self.rows.get(at) {
            Some(Row::Field(part, field)) => {
                let title = self.parts.get(*part).map_or("", |part| &part.title);
                // The first line of a part stands for the part.
                let first = matches!(self.rows.get(at.wrapping_sub(1)), Some(Row::Head(_)));
                let of_part = first && title.to_lowercase().contains(&wanted);
                of_part || field.words.to_lowercase().contains(&wanted)
            }
            _ => false,
        });
        self.cursor = found.ok_or("no part and no field here has that in its words")?;
        Ok(())
    }

    /// What is done with the photograph of the part under the arrow; where there is none, asks for its
    /// path. Where `passes`, Enter takes none at once: one goes through the fields with it.
    fn ask_photo(&self, passes: bool, cx: &mut Cx<'_, Self>) {
        let Some((part, field)) = self.here().filter(|(_, field)| field.is_photo()) else {
            return;
        };
        let title = format!("{}: photograph", part.title);
        match part.photo() {
            Some(photo) => with_one(title, photo, Pick::Photo(field), cx),
            None => ask_path(title, "", passes, Line::Field(field), cx),
        }
    }

    fn ask(&self, cx: &mut Cx<'_, Self>) {
        let Some((part, field)) = self.here() else {
            return;
        };
        if field.is_photo() {
            return self.ask_photo(true, cx);
        }
        let habit = cx.book.profile().units;
        let heading = format!("{}: {}", part.title, field.words.to_lowercase());
        let known = part
            .known
            .as_ref()
            .and_then(|known| field.shown(known, habit));
        if let Some(words) = field.form.picks() {
            let mut options: Vec<String> = words.iter().map(|w| w.replace('-', " ")).collect();
            options.push(NOT_KNOWN.to_owned());
            let here = known.unwrap_or_else(|| NOT_KNOWN.to_owned());
            let choice = Choice {
                title: heading,
                cursor: options
                    .iter()
                    .position(|o| *o == here)
                    .unwrap_or(words.len()),
                options,
                ..Choice::default()
            };
            return cx.ask(Layer::Choice(choice, Pick::Field(field)));
        }
        let hint = field.hint(habit);
        let (hint, text) = match field.many {
            true => (
                format!("{hint}; those before stay, '{NOT_KNOWN}' takes them out"),
                "",
            ),
            false => (
                format!("{hint}; empty: {NOT_KNOWN}"),
                known.as_deref().unwrap_or_default(),
            ),
        };
        let layer = Layer::typed(heading, hint, text, Line::Field(field));
        cx.ask(layer);
    }

    /// Does with its photograph what was picked.
    fn with_photo(
        &mut self,
        field: &'static Field,
        at: usize,
        of: &Choice,
        cx: &mut Cx<'_, Self>,
    ) -> Result<(), String> {
        match at {
            0 => {
                if let Some(photo) = self.here().and_then(|(part, _)| part.photo()) {
                    look_at(of.title.clone(), photo, cx);
                }
            }
            1 => ask_path(of.title.clone(), "", false, Line::Field(field), cx),
            _ => self.say(field, NOT_KNOWN, cx)?,
        }
        Ok(())
    }

    /// Says it of the part under the arrow, and goes on to the next line.
    fn say(&mut self, field: &Field, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        let Some((part, _)) = self.here() else {
            return Ok(());
        };
        let habit = cx.book.profile().units;
        // The folder that stands there beforehand is no picture.
        let is_left = field.is_photo() && text == from(cx);
        if is_left || !is_new(part, field, text, habit) {
            self.go(Action::MoveDown);
            return Ok(());
        }
        let none = PartSaid::of(&part.part, part.machine.as_deref());
        let said = match field.is_photo() && !Field::leaves_open(text) {
            true => PartSaid {
                photo: Some(take_in(text, cx)?),
                ..none
            },
            false => field.put(&none, text, habit)?,
        };
        if cx.record_act(Record::from(said))?.is_some() {
            self.renew(cx.book);
            let loud = self.here().and_then(|(part, _)| part.cautions.first());
            match loud.filter(|caution| caution.sort != CautionSort::CannotBeTold) {
                Some(caution) => cx.warn(caution.sentence()),
                None => cx.tell("taken down; the newest word counts"),
            }
            self.go(Action::MoveDown);
        }
        Ok(())
    }
}

/// True where a text says something that does not stand already: Enter over what was there says nothing.
fn is_new(part: &PartRow, field: &Field, text: &str, habit: UnitHabit) -> bool {
    let known = part
        .known
        .as_ref()
        .and_then(|known| field.shown(known, habit));
    let is_open = text.is_empty() || text == NOT_KNOWN;
    match known {
        Some(_) if field.is_photo() => !text.is_empty(),
        Some(known) => text != known && !(field.many && text.is_empty()),
        None => !is_open,
    }
}

fn rows(parts: &[PartRow]) -> Vec<Row> {
    let of = |(at, part): (usize, &PartRow)| {
        let fields = Field::of(part.kind).map(move |field| Row::Field(at, field));
        std::iter::once(Row::Head(at))
            .chain(fields)
            .collect::<Vec<_>>()
    };
    parts.iter().enumerate().flat_map(of).collect()
}

/// What is picked.
#[derive(Clone, Copy, Debug)]
pub enum Pick {
    /// A word for a field.
    Field(&'static Field),
    /// What is done with a photograph.
    Photo(&'static Field),
}

/// What is typed.
#[derive(Clone, Copy, Debug)]
pub enum Line {
    /// A part of a row's words.
    Find,
    /// A field.
    Field(&'static Field),
}

impl Asks for PartsScreen {
    type Pick = Pick;
    type Line = Line;
}

impl Screen for PartsScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            Action::Answer => self.ask(cx),
            Action::Photo => {
                self.go_to_photo();
                self.ask_photo(false, cx);
            }
            Action::Find => {
                let hint = "a part or a field, such as impeller";
                cx.ask(Layer::line("Find", hint, Line::Find));
            }
            Action::Back => cx.go(Go::BackAnew),
            _ => self.go(action),
        }
    }

    fn picked(&mut self, ask: Pick, at: usize, of: &Choice, cx: &mut Cx<'_, Self>) {
        let said = match ask {
            Pick::Field(field) => {
                let text = of.options.get(at).map_or("", String::as_str);
                self.say(field, text, cx)
            }
            Pick::Photo(field) => self.with_photo(field, at, of, cx),
        };
        if let Err(told) = said {
            cx.warn(told);
        }
    }

    fn typed(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        match ask {
            Line::Find => self.find(text),
            Line::Field(field) => self.say(field, text, cx),
        }
    }
}
