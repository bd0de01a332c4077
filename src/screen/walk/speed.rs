//! Rows that are asked again at each engine speed of a sea trial: the step one is at, and the grid.

use ratatui::text::Line;

use crate::boat::{Measure, Unit};
use crate::checklist::Item;
use crate::logbook::book::Book;
use crate::paint::widgets::{self, cell, line};
use crate::screen::kind::View;
use crate::screen::walk::state::WalkScreen;
use crate::screen::walk::survey::read_rpm;
use crate::walk::Spot;

impl WalkScreen {
    /// Engine speed of the step one is at, in the phase one is in.
    pub fn speed(&self) -> Option<u32> {
        self.speeds.get(&self.at.phase).copied()
    }

    /// Reads what is typed as a reading. An engine speed that is itself what is read is that of the step
    /// where none was told.
    ///
    /// # Errors
    /// See [`Measure::parse`].
    pub fn read(&mut self, spot: Spot, text: &str) -> Result<Measure, String> {
        let item = self.item(spot);
        let reading = item.and_then(|item| Some((item.reading.as_ref()?, self.unit(item)?)));
        let Some((reading, unit)) = reading else {
            return Measure::parse(text, Unit::Percent);
        };
        let measure = reading.parse(text, unit)?;
        let rpm = measure.value_in(Unit::Rpm).filter(|_| reading.of_rated);
        let rpm = rpm.and_then(|rpm| read_rpm(&format!("{rpm:.0}")).ok());
        if rpm.is_some() && self.speed().is_none() {
            self.put_speed(rpm);
        }
        Ok(measure)
    }

    /// The first place after `from` in this phase that is asked at each speed and has no look at
    /// this one.
    pub fn next_at_speed(&self, book: &Book, from: Option<Spot>) -> Option<Spot> {
        self.speed()?;
        let here = |s: &Spot| s.phase == self.at.phase && from.is_none_or(|from| *s > from);
        let asked = |s: &Spot| self.plan.row(s.phase, s.row).is_some_and(|r| r.each_speed);
        let mut spots = self.plan.spots().filter(|s| here(s) && asked(s));
        spots.find(|s| self.look(book, *s).is_none())
    }
}

/// The grid of what is asked at each engine speed: this item at the speeds so far.
pub fn speed_lines(
    view: &View<'_>,
    screen: &WalkScreen,
    book: &Book,
    item: &Item,
    columns: usize,
) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    if !screen.row().is_some_and(|r| r.each_speed) {
        return Vec::new();
    }
    let key = view.setup.key(crate::keys::Action::Speed);
    let now = match screen.speed() {
        Some(rpm) => format!("this step: {rpm} rpm; {key} next step"),
        None => format!("{key} engine speed of this step"),
    };
    let mut lines = vec![line(&now, columns, theme.quiet())];
    let phase = screen.phase_id(screen.at);
    for timed in screen.walk(book).looks_in(phase, &item.id) {
        let Some(rpm) = timed.look.at_rpm else {
            continue;
        };
        let reading = timed.look.reading.and_then(|m| {
            let unit = screen.unit(item)?;
            Some(format!("{:.1} {unit}  ", screen.value_in(item, m, unit)?))
        });
        let mut spans = vec![cell(&format!("{rpm:>6} rpm  "), 12, theme.text())];
        spans.push(cell(&reading.unwrap_or_default(), 12, theme.text()));
        if let Some(grade) = timed.look.grade() {
            spans.extend(widgets::grade(&theme, grade, 10));
        }
        lines.push(Line::from(spans));
    }
    lines
}
