//! Draws where things are, and what is said of the place in front.

use std::collections::BTreeMap;

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::arrangement::places::said_of;
use crate::arrangement::words::NOT_TOLD;
use crate::arrangement::{Arrangement, Place, Standing};
use crate::boat::Point;
use crate::checklist::PhaseState;
use crate::defects::Subject;
use crate::defects::doubt::Doubt;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::paint::places::{self, Written};
use crate::paint::widgets;
use crate::screen::kind::{Shown, View};
use crate::screen::places::{Carried, PlacesScreen};

/// From so many columns on the numbers of the list stand beside the drawing.
const BESIDE: u16 = 110;
/// Columns of that list.
const LIST: u16 = 40;
/// A station, and the machine whose it is.
type Cluster<'a> = (&'a str, Option<&'a str>);

impl Shown for PlacesScreen {
    fn context(&self) -> Context {
        Context::Places
    }

    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let theme = view.setup.theme;
        let said = self.said(view, usize::from(area.width));
        let rows = [
            Constraint::Length(1),
            Constraint::Fill(1),
            Constraint::Length(said.len() as u16),
        ];
        let [head, body, foot] = Layout::vertical(rows).areas(area);
        let head_line = widgets::spread(
            &format!("{} · where things are", view.book.boat().name),
            &self.counts(),
            usize::from(head.width),
            theme.title(),
        );
        widgets::lines(frame, head, vec![head_line]);
        let wide = body.width >= BESIDE;
        let list = Constraint::Length(if wide { LIST } else { 0 });
        let [body, beside] = Layout::horizontal([Constraint::Fill(1), list])
            .spacing(u16::from(wide) * 2)
            .areas(body);
        let cells = places::draw(
            frame,
            body,
            (&self.shown(), self.side),
            &self.written(view),
            &theme,
        );
        widgets::lines(
            frame,
            beside,
            self.numbers(view, usize::from(beside.width), usize::from(beside.height)),
        );
        widgets::lines(frame, foot, said);
        let at = cells.first().copied().flatten();
        if let Some(at) = at.filter(|_| !view.covered) {
            frame.set_cursor_position(at);
        }
    }

    /// The place in front stays that of its item.
    fn renew(&mut self, book: &Book) -> bool {
        let front = self.subject().cloned();
        let now = PlacesScreen::new(book, front.as_ref());
        *self = PlacesScreen {
            side: self.side,
            carried: self.carried.take(),
            made: std::mem::take(&mut self.made),
            ..now
        };
        true
    }

    fn offers(&self, action: Action) -> bool {
        match action {
            Action::Undo => !self.made.is_empty(),
            Action::OpenPlace => true,
            _ => self.carried.is_none(),
        }
    }

    fn in_front(&self) -> (Option<Subject>, Option<PhaseState>) {
        (self.subject().cloned(), None)
    }

    fn machine(&self) -> Option<&str> {
        self.subject()?.machine.as_deref()
    }

    fn doubts(&self) -> Option<&[Doubt]> {
        Some(&self.condition.doubts)
    }
}

impl PlacesScreen {
    /// The arrangement, with what is carried where it stands meanwhile.
    fn shown(&self) -> Arrangement {
        let mut shown = self.arrangement.clone();
        match &self.carried {
            Some((Carried::Item, point)) => {
                if let Some(place) = shown.places.get_mut(self.at) {
                    place.point = *point;
                }
            }
            Some((Carried::Thing(thing), point)) => {
                shown.places.push(Place {
                    subject: Subject {
                        item: thing.id.clone(),
                        machine: None,
                    },
                    point: *point,
                    is_asked: false,
                });
            }
            Some((Carried::Engine(_), _)) | None => {}
        }
        shown
    }

    /// What is written at each place, the one in front first, then by what matters most.
    fn written(&self, view: &View<'_>) -> Vec<Written> {
        let theme = view.setup.theme;
        let carried = self.carried.as_ref();
        let mut order: Vec<usize> = (0..self.standings.len()).collect();
        order.sort_by_key(|n| {
            (
                *n != self.at,
                std::cmp::Reverse(self.standings[*n].weight()),
            )
        });
        let mut all = Vec::with_capacity(order.len() + 1);
        if let Some((carried, point)) = carried.filter(|(carried, _)| *carried != Carried::Item) {
            let text = match carried {
                Carried::Thing(thing) => thing.id.replace('-', " "),
                Carried::Engine(_) | Carried::Item => "engine".to_owned(),
            };
            let text = format!("{}{text}", theme.glyphs.pointer());
            all.push(Written {
                point: *point,
                text,
                style: theme.selected(),
            });
        }
        let front = self
            .arrangement
            .places
            .get(self.at)
            .map(|place| self.station(place));
        let mut sound: BTreeMap<Cluster<'_>, Vec<Point>> = BTreeMap::new();
        for n in order {
            let (place, standing) = (&self.arrangement.places[n], &self.standings[n]);
            if standing.is_plain() && !place.is_asked && front != Some(self.station(place)) {
                sound
                    .entry(self.station(place))
                    .or_default()
                    .push(place.point);
                continue;
            }
            let (text, style) = self.mark(view, place, standing);
            let moved = carried.filter(|(carried, _)| *carried == Carried::Item && n == self.at);
            let point = moved.map_or(place.point, |(_, point)| *point);
            let is_front = n == self.at && carried.is_none_or(|(c, _)| *c == Carried::Item);
            let (text, style) = match is_front {
                true => (
                    format!("{}{text}", theme.glyphs.pointer()),
                    theme.selected(),
                ),
                false => (text, style),
            };
            all.push(Written { point, text, style });
        }
        // What is sound at a station one is not at stands together.
        all.extend(sound.into_values().map(|points| Written {
            point: Point::middle(&points).unwrap_or_default(),
            text: match points.len() {
                1 => "0".to_owned(),
                n => format!("0{}{n}", theme.glyphs.times()),
            },
            style: theme.quiet(),
        }));
        all
    }

    /// The station and machine of a place.
    fn station<'a>(&'a self, place: &'a Place) -> Cluster<'a> {
        let item = self.condition.item(&place.subject);
        let station = item.map_or("", |item| item.station.as_str());
        (station, place.subject.machine.as_deref())
    }

    /// Rung, stop, number in the list, a look owed.
    fn mark(&self, view: &View<'_>, place: &Place, standing: &Standing) -> (String, Style) {
        let (sign, style) = places::sign(standing, &view.setup.theme);
        let number = standing
            .number
            .map(|n| format!("({n})"))
            .unwrap_or_default();
        let told = match place.is_asked {
            true => format!(" {NOT_TOLD}"),
            false => String::new(),
        };
        (format!("{sign}{number}{told}"), style)
    }

    fn counts(&self) -> String {
        let unseen = self.standings.iter().filter(|s| s.rung.is_none()).count();
        let listed = self.list.rows.len();
        match unseen {
            0 => format!("{listed} in the list"),
            n => format!("{listed} in the list · {n} not seen"),
        }
    }

    /// What is said of the place in front.
    fn said(&self, view: &View<'_>, columns: usize) -> Vec<Line<'static>> {
        let theme = view.setup.theme;
        if let Some((carried, point)) = &self.carried {
            let name = match carried {
                Carried::Item => self.title(self.at),
                Carried::Engine(_) => "the engine and all that belongs to it".to_owned(),
                Carried::Thing(thing) => format!("{} {}", thing.kind, thing.id.replace('-', " ")),
            };
            let where_ = format!(
                "{} aft, {} to starboard, {} up, in hundredths of the engine's length",
                point.x, point.y, point.z
            );
            return vec![
                widgets::line(&format!("moving: {name}"), columns, theme.title()),
                widgets::line(&where_, columns, theme.quiet()),
            ];
        }
        let Some((place, standing)) = self
            .arrangement
            .places
            .get(self.at)
            .zip(self.standings.get(self.at))
        else {
            return Vec::new();
        };
        let item = self.condition.item(&place.subject);
        let station = item.and_then(|item| self.condition.library.catalogue.station(&item.station));
        let station = station.map_or("", |station| station.title.as_str());
        let head = widgets::spread(&self.title(self.at), station, columns, theme.title());
        let mut facts: Vec<String> = Vec::new();
        match (standing.rung, item) {
            (Some(grade), Some(item)) => facts.push(format!(
                "{} {grade}: {}",
                grade.rung(),
                item.ladder[grade.rung()]
            )),
            _ => facts.push("nobody has looked at it".to_owned()),
        }
        facts.extend(standing.stop.then(|| "forbids running".to_owned()));
        facts.extend(
            standing
                .mended
                .then(|| "repaired, to be looked at".to_owned()),
        );
        facts.extend(standing.owed.then(|| "a look is owed".to_owned()));
        facts.extend(standing.number.map(|n| format!("number {n} in the list")));
        let said = said_of(view.book.history(), &place.subject).and_then(|said| said.point);
        let told = if place.is_asked {
            NOT_TOLD
        } else {
            "drawn by judgement"
        };
        facts.extend(said.is_none().then(|| told.to_owned()));
        let glyphs = theme.glyphs;
        let legend = [
            format!("{} not seen", glyphs.hatched()),
            "2(1) rung 2, number 1 in the list".to_owned(),
            "? owed".to_owned(),
            format!("{} stop", glyphs.caution()),
            format!("0{}9 nine sound", glyphs.times()),
            format!("{} mended", glyphs.repair()),
        ];
        let legend = widgets::as_many(legend, columns);
        let mut lines = vec![head];
        lines.extend(widgets::wrapped_to(
            &facts.join(" · "),
            columns,
            2,
            theme.text(),
        ));
        lines.push(widgets::line(&legend, columns, theme.quiet()));
        lines
    }

    /// The list by its numbers.
    fn numbers(&self, view: &View<'_>, columns: usize, rows: usize) -> Vec<Line<'static>> {
        let theme = view.setup.theme;
        if columns == 0 {
            return Vec::new();
        }
        let front = self.standings.get(self.at).and_then(|s| s.number);
        let room = rows.saturating_sub(1);
        let from = front
            .unwrap_or(1)
            .saturating_sub(room)
            .min(self.list.rows.len());
        let shown = self.list.rows.iter().skip(from).take(room);
        let row = |row: &crate::defects::list::Row| {
            let here = front == Some(row.rank);
            let style = if here { theme.selected() } else { theme.text() };
            let [word, blank] = widgets::grade(&theme, row.grade, 11);
            let head = vec![
                Span::styled(format!("{:>3} ", row.rank), style),
                word,
                blank,
            ];
            Line::from_iter(head.into_iter().chain([widgets::text(
                &row.title,
                columns.saturating_sub(15),
                style,
            )]))
        };
        let head = widgets::line("what to put right, worst first", columns, theme.quiet());
        [head].into_iter().chain(shown.map(row)).collect()
    }
}
