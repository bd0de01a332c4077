//! What comes first at a symptom, in large clear lines, and beneath it the looks it leads to. The words
//! stand before anything is asked.

use std::convert::Infallible;
use std::rc::Rc;

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::boat::Machine;
use crate::checklist::Scope;
use crate::defects::condition::Condition;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::paint::widgets::{self, cell, line, wrapped, wrapped_to};
use crate::screen::by_name::from_one;
use crate::screen::kind::{Asks, Cx, Finder, Go, Screen, Shown, To, View, moved};
use crate::screen::layers::{Choice, Layer};
use crate::screen::walk::item::{Part, fitted};
use crate::symptoms::{LookAt, OUTRANKED, Symptom, SymptomsFile, ToldLine};
use crate::text::{safe_line, width};

/// Columns before a line, and before what stands beneath it.
const LEAD: usize = 2;
/// Columns between a line and what stands beside it.
const GAP: usize = 3;
/// Columns of a digit.
const DIGIT: usize = 3;
/// Rows of the looks that stay in sight beneath long words.
const LOOKS: usize = 3;
/// Lines of a place, as many as leave room for the looks.
const MOST: [usize; 4] = [usize::MAX, 3, 2, 1];
/// Lines of more columns are hard to follow.
const WIDEST: usize = 100;

/// What comes first at a symptom.
pub struct FirstWords {
    symptom: &'static Symptom,
    finder: Finder,
    condition: Rc<Condition>,
    /// Of what the boat has.
    looks: Vec<&'static LookAt>,
    /// Under the arrow.
    cursor: usize,
}

/// What is picked: on which machine, for the look of this place.
#[derive(Clone)]
pub struct On(usize);

impl FirstWords {
    /// Of a symptom by its id; none where there is no such symptom.
    pub fn new(book: &Book, symptom: &str, finder: Finder) -> Option<FirstWords> {
        let symptom = SymptomsFile::built_in().symptom(symptom)?;
        let mut words = FirstWords {
            symptom,
            finder,
            condition: book.condition(),
            looks: Vec::new(),
            cursor: 0,
        };
        words.find_looks();
        Some(words)
    }

    /// The looks at what she has.
    fn find_looks(&mut self) {
        let looks = self.symptom.looks.iter();
        self.looks = looks.filter(|look| !self.having(look).is_empty()).collect();
        self.cursor = self.cursor.min(self.looks.len().saturating_sub(1));
    }

    /// The machines that have an item, the one in front first; that alone for what the boat has once.
    fn having(&self, look: &LookAt) -> Vec<&Machine> {
        let item = self.condition.library.catalogue.item(&look.item);
        let once = item.is_some_and(|item| item.scope == Scope::Boat);
        let in_front = |m: &&Machine| m.id == self.finder.machine;
        let machines = self.condition.boat.machines.iter();
        let mut having: Vec<&Machine> = machines
            .filter(|m| self.condition.has(&look.item, Some(&m.id)))
            .collect();
        having.sort_by_key(|m| !in_front(m));
        having.truncate(if once { 1 } else { having.len() });
        having
    }

    /// What is picked is looked at: on the machine that has it, or one is asked for.
    fn look(&self, at: usize, cx: &mut Cx<'_, Self>) {
        let Some(look) = self.looks.get(at) else {
            return cx.warn("nothing stands there");
        };
        match self.having(look).as_slice() {
            [] => {}
            [only] => self.go(look, &only.id, cx),
            several => {
                let names = several.iter().map(|m| m.name.clone()).collect();
                cx.ask(Layer::choice("On which machine?", names, On(at)));
            }
        }
    }

    fn go(&self, look: &LookAt, machine: &str, cx: &mut Cx<'_, Self>) {
        let finder = Finder {
            machine: machine.to_owned(),
            asks: look.asks.clone(),
            ..self.finder.clone()
        };
        cx.go(Go::Over(To::Finding(look.item.clone(), finder)));
    }

    fn title(&self) -> &str {
        let card = SymptomsFile::built_in().card_of(self.symptom);
        card.map_or(&self.symptom.title, |card| &card.title)
    }

    /// The words as parts; what stands beneath a line has so many lines at the most.
    fn parts(&self, view: &View<'_>, columns: usize, most: usize) -> Vec<Part> {
        let theme = view.setup.theme;
        let title = wrapped(self.title(), columns, theme.title());
        let mut parts: Vec<Part> = vec![(9, title.len(), title)];
        let first = SymptomsFile::built_in().first(self.symptom);
        let boat = &self.condition.boat;
        let first: Vec<ToldLine> = first.iter().map(|line| line.told(Some(boat))).collect();
        for told in &first {
            parts.push((0, 0, vec![Line::default()]));
            let lead = vec![Span::styled("- ", theme.title())];
            let room = columns.saturating_sub(LEAD);
            let behind = told.behind();
            // Beside the line where both fit, else beneath it.
            let both = behind.as_deref().map(safe_line);
            let both = both.filter(|at| width(&told.says) + GAP + width(at) <= room);
            let beside = both
                .as_ref()
                .map(|at| Span::styled(format!("  {at}"), theme.text()));
            let takes = beside.as_ref().map_or(room, |_| width(&told.says));
            let says = (told.says.as_str(), takes + 1, theme.title());
            let says = widgets::row(lead, says, beside.into_iter().collect());
            parts.push((9, says.len(), says));
            if let Some(behind) = behind.as_ref().filter(|_| both.is_none()) {
                parts.push((2, 1, indented(behind, columns, most, theme.text())));
            }
        }
        parts.push((0, 0, vec![Line::default()]));
        parts.push((1, 0, wrapped(OUTRANKED, columns, theme.quiet())));
        parts
    }

    /// The name of a look; none where the catalogue lost it.
    fn name(&self, look: &LookAt) -> String {
        let item = self.condition.library.catalogue.item(&look.item);
        let title = item.map_or(look.item.as_str(), |item| &item.title);
        match look.seen {
            true => format!("as seen: {title}"),
            false => title.to_owned(),
        }
    }
}

/// Rows that parts take without the blank ones between them.
fn needed(parts: &[Part]) -> usize {
    let said = parts.iter().filter(|(need, ..)| *need > 0);
    said.map(|(.., lines)| lines.len()).sum()
}

/// Text beneath a line, cut with a mark after so many lines.
fn indented(text: &str, columns: usize, most: usize, style: Style) -> Vec<Line<'static>> {
    let lines = wrapped_to(text, columns.saturating_sub(2 * LEAD), most, style);
    let indent = " ".repeat(2 * LEAD);
    let lines = lines.into_iter().map(|mut line| {
        line.spans.insert(0, Span::raw(indent.clone()));
        line
    });
    lines.collect()
}

impl Asks for FirstWords {
    type Pick = On;
    type Line = Infallible;
}

impl Shown for FirstWords {
    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let theme = view.setup.theme;
        let columns = usize::from(area.width).min(WIDEST);
        let height = usize::from(area.height);
        let looks = match self.looks.len() {
            0 => 0,
            count => count + 1,
        };
        // What is said comes first; of the looks some stay in sight, and long places give way to them.
        let mut tries = MOST.map(|most| self.parts(view, columns, most)).into_iter();
        let fits = |parts: &Vec<Part>| needed(parts) + looks.min(LOOKS) <= height;
        let parts = tries.find(fits);
        let parts = parts.unwrap_or_else(|| self.parts(view, columns, 1));
        let all: usize = parts.iter().map(|(.., lines)| lines.len()).sum();
        let needed = needed(&parts);
        let room = match needed + looks > height {
            true => needed.min(height.saturating_sub(looks.min(LOOKS))),
            false => all.min(height - looks),
        };
        let rows = [Constraint::Length(room as u16), Constraint::Fill(1)];
        let [above, below] = Layout::vertical(rows).areas(area);
        widgets::lines(frame, above, fitted(parts, room));
        if self.looks.is_empty() {
            return;
        }
        let [head, body] =
            Layout::vertical([Constraint::Length(1), Constraint::Fill(1)]).areas(below);
        let then = "Then, once she is safe, the look that tells:";
        widgets::lines(frame, head, vec![line(then, columns, theme.text())]);
        let row_at = |at: usize| {
            let here = at == self.cursor;
            let style = if here { theme.selected() } else { theme.text() };
            let pointer = if here { theme.glyphs.pointer() } else { " " };
            let digit = from_one(at).map_or_else(String::new, String::from);
            let spans = vec![
                Span::styled(format!("{pointer} "), style),
                cell(&digit, DIGIT, theme.key()),
            ];
            let name = self.looks.get(at).map(|look| self.name(look));
            let room = columns.saturating_sub(2 + DIGIT);
            widgets::row(spans, (&name.unwrap_or_default(), room, style), Vec::new())
        };
        let rows = (self.looks.len(), self.cursor);
        widgets::list(frame, body, rows, (1, 2), view.covered, row_at);
    }

    fn renew(&mut self, book: &Book) -> bool {
        self.condition = book.condition();
        self.find_looks();
        true
    }

    fn offers(&self, action: Action) -> bool {
        let looks = matches!(action, Action::Pick | Action::MoveUp | Action::MoveDown)
            || action.own_digit().is_some();
        !looks || !self.looks.is_empty()
    }

    fn machine(&self) -> Option<&str> {
        Some(&self.finder.machine)
    }

    fn is_symptoms(&self) -> bool {
        true
    }

    fn is_blind(&self, _: &Book) -> bool {
        self.finder.blind
    }

    fn guest(&self) -> Option<String> {
        self.finder.guest.clone()
    }
}

impl Screen for FirstWords {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        let digit = action.own_digit().and_then(|digit| digit.to_digit(10));
        match action {
            Action::Pick if self.looks.is_empty() => {}
            Action::Pick => self.look(self.cursor, cx),
            Action::Back | Action::Symptoms => cx.go(Go::Back),
            _ => {
                if let Some(place) = digit.and_then(|digit| (digit as usize).checked_sub(1)) {
                    return self.look(place, cx);
                }
                let moved = moved(action, self.cursor, self.looks.len(), 1);
                self.cursor = moved.unwrap_or(self.cursor);
            }
        }
    }

    fn picked(&mut self, On(at): On, machine: usize, _: &Choice, cx: &mut Cx<'_, Self>) {
        let Some(look) = self.looks.get(at) else {
            return;
        };
        if let Some(machine) = self.having(look).get(machine) {
            self.go(look, &machine.id, cx);
        }
    }
}
