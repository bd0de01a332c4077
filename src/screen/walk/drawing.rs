//! A walk on the drawing of where things are: arrows go to the nearest place of this phase, and all else is
//! as in the list.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};

use crate::arrangement::words::NOT_TOLD;
use crate::arrangement::{Arrangement, Direction, Place, View as Side, next};
use crate::boat::Point;
use crate::checklist::Grade;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::paint::places::{self, Written};
use crate::paint::widgets;
use crate::screen::kind::View;
use crate::screen::walk::state::WalkScreen;
use crate::walk::{Cause, Spot};

/// From so many columns and rows on the drawing stands beside the list, beneath the item.
const BESIDE: (u16, u16) = (110, 34);
/// Rows that the item keeps above the drawing: always as many, so that the drawing stands still, and more
/// where more is said of it.
const ITEM_ROWS: u16 = 22;
/// Rows that the drawing keeps.
const LEAST: u16 = 8;

impl WalkScreen {
    /// In the list, on the drawing from above, from the side, in the list again.
    pub fn turn_drawing(&mut self) {
        self.drawing.on = match self.drawing.on {
            None => Some(Side::Above),
            Some(Side::Above) => Some(Side::Side),
            Some(Side::Side) => None,
        };
    }

    /// What stands where in this boat.
    fn arrangement(&self, book: &Book) -> &Arrangement {
        let machine = &self.started.machine;
        let of = || Arrangement::of(&self.before, book.history()).of_machine(machine);
        self.arrangement.get_or_init(of)
    }

    /// Every place of this phase, in walking order.
    fn places(&self, book: &Book) -> Vec<(Spot, &Place)> {
        let here = self.plan.spots().filter(|spot| spot.phase == self.at.phase);
        here.filter_map(|spot| Some((spot, self.place_of(book, spot)?)))
            .collect()
    }

    fn place_of(&self, book: &Book, spot: Spot) -> Option<&Place> {
        let subject = self
            .before
            .subject(self.plan.item(spot)?, &self.started.machine);
        self.arrangement(book).place(&subject)
    }

    /// The place one is at.
    pub fn hand(&self) -> Spot {
        let here = |hand: &Spot| (hand.phase, hand.row) == (self.at.phase, self.at.row);
        self.drawing
            .hand
            .filter(|hand| !self.open && here(hand))
            .unwrap_or(self.at)
    }

    /// To the nearest place of another row in a direction, of an open row also to its own.
    pub fn step_on_drawing(&mut self, action: Action, book: &Book) {
        let direction = match action {
            Action::MoveUp => Direction::Up,
            Action::MoveDown => Direction::Down,
            Action::MoveLeft => Direction::Left,
            _ => Direction::Right,
        };
        let (hand, side) = (self.hand(), self.drawing.on.unwrap_or_default());
        let own = (self.at.phase, self.at.row);
        let mut places = self.places(book);
        places.retain(|(spot, _)| self.open || *spot == hand || (spot.phase, spot.row) != own);
        let points: Vec<Point> = places.iter().map(|(_, place)| place.point).collect();
        let Some(from) = places.iter().position(|(spot, _)| *spot == hand) else {
            // It stands nowhere on the drawing: on in the order of the rows.
            return self.step(matches!(direction, Direction::Down | Direction::Right));
        };
        let to = next(&points, from, direction, side);
        let Some((spot, _)) = to.and_then(|to| places.get(to)).copied() else {
            return;
        };
        if (spot.phase, spot.row) == own {
            self.at = spot;
        } else {
            self.go(Spot { item: 0, ..spot });
        }
        self.drawing.hand = Some(spot);
    }
}

/// Whether the drawing stands beside the list by itself in what is left below the head.
pub fn is_beside(screen: &WalkScreen, body: Rect) -> bool {
    !screen.is_found() && body.width >= BESIDE.0 && body.height >= BESIDE.1
}

/// What stands beside the list: the item above the drawing.
pub fn split(area: Rect, wanted: u16) -> [Rect; 2] {
    let most = area.height.saturating_sub(LEAST).max(ITEM_ROWS);
    let rows = [
        Constraint::Length(wanted.clamp(ITEM_ROWS, most)),
        Constraint::Fill(1),
    ];
    Layout::vertical(rows).areas(area)
}

/// Draws the places of this phase with what was seen of each, and the one in front.
pub fn draw(view: &View<'_>, screen: &WalkScreen, frame: &mut Frame<'_>, area: Rect) {
    let (theme, book) = (view.setup.theme, view.book);
    let hand = screen.hand();
    let in_row = |spot: Spot| (spot.phase, spot.row) == (hand.phase, hand.row);
    let mut all: Vec<(u8, Written)> = Vec::new();
    for (spot, place) in screen.places(book) {
        let here = spot == hand || in_row(spot) && !screen.open;
        let (mut text, style) = mark(view, screen, spot);
        if place.is_asked {
            text = format!("{text} {NOT_TOLD}");
        }
        let (text, style, first) = match (spot == hand, here) {
            (true, _) => (
                format!("{}{text}", theme.glyphs.pointer()),
                theme.selected(),
                0,
            ),
            (false, true) => (format!("{}{text}", theme.glyphs.beside()), theme.mark(), 1),
            (false, false) => (text, style, 2),
        };
        let point = place.point;
        all.push((first, Written { point, text, style }));
    }
    all.sort_by_key(|(first, _)| *first);
    let written: Vec<Written> = all.into_iter().map(|(_, written)| written).collect();
    let rows = [Constraint::Fill(1), Constraint::Length(1)];
    let [above, below] = Layout::vertical(rows).areas(area);
    let side = screen.drawing.on.unwrap_or_default();
    let cells = places::draw(
        frame,
        above,
        (screen.arrangement(book), side),
        &written,
        &theme,
    );
    let lost = cells.iter().filter(|cell| cell.is_none()).count();
    let legend = legend(view, screen, lost, usize::from(below.width));
    widgets::lines(
        frame,
        below,
        vec![widgets::line(
            &legend,
            usize::from(below.width),
            theme.quiet(),
        )],
    );
    let at = cells.first().copied().flatten();
    if let Some(at) = at.filter(|_| !view.covered && screen.drawing.on.is_some()) {
        frame.set_cursor_position(at);
    }
}

/// What a place says: the rung given, that it was not seen, else how it was last and why it is asked.
fn mark(view: &View<'_>, screen: &WalkScreen, spot: Spot) -> (String, ratatui::style::Style) {
    let (theme, book) = (view.setup.theme, view.book);
    if let Some(timed) = screen.look(book, spot) {
        return match timed.look.grade() {
            Some(grade) => (grade.rung().to_string(), theme.grade(grade)),
            None => ("x".to_owned(), theme.caution()),
        };
    }
    let hidden = screen.hides_past(book, spot);
    let life = screen
        .item(spot)
        .and_then(|i| screen.before.life(&i.id, &screen.started.machine));
    let last = life
        .and_then(|life| life.status.grade)
        .filter(|grade| *grade > Grade::Sound && !hidden);
    let why = screen
        .plan
        .row(spot.phase, spot.row)
        .and_then(|row| row.cause)
        .filter(|_| !hidden);
    let tag = match why {
        Some(Cause::Owed) => "?",
        Some(Cause::Mended) => theme.glyphs.repair(),
        _ => "",
    };
    match last {
        Some(grade) => (
            format!("{}{}{tag}", theme.glyphs.last(), grade.rung()),
            theme.grade(grade),
        ),
        None => (format!("{}{tag}", theme.glyphs.unseen()), theme.text()),
    }
}

/// What the signs mean: what has no room first, and last what goes without saying.
fn legend(view: &View<'_>, screen: &WalkScreen, lost: usize, columns: usize) -> String {
    let glyphs = view.setup.theme.glyphs;
    let key = view.setup.key(Action::Places);
    let how = match screen.drawing.on {
        Some(Side::Above) => format!("{key} from the side"),
        Some(Side::Side) => format!("{key} the list"),
        None => format!("{key} walk here"),
    };
    let lost = (lost > 0).then(|| format!("{lost} more have no room"));
    let mut signs = Vec::new();
    // What was before is out of sight there.
    if !screen.walk(view.book).blind {
        signs.push(format!("{}2 as last time", glyphs.last()));
        signs.push("? owed".to_owned());
        signs.push(format!("{} mended", glyphs.repair()));
    }
    signs.push("x not seen".to_owned());
    signs.push(format!("{} to look at", glyphs.unseen()));
    let all = lost.into_iter().chain([how]).chain(signs);
    widgets::as_many(all, columns)
}
