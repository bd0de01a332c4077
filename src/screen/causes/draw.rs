//! Draws what is behind the findings of a machine: what is ordered and dangerous first, then what belongs
//! together, what it comes to, and the looks that tell.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::causes::say::{BOTH, JUDGEMENT, Line as Told, Named, SaidLook, SaidMeaning, at_once};
use crate::defects::doubt::Doubt;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::paint::theme::Theme;
use crate::paint::widgets;
use crate::screen::causes::{CausesScreen, NO_ITEM, Offered};
use crate::screen::kind::{Shown, View};
use crate::text::width;

/// From this width on the looks stand beside what is said.
const BESIDE: u16 = 120;
/// From this height on all of it is said as it stands; under it in brief.
const WHOLE: u16 = 20;
/// From this height on its parts stand apart.
const TALL: u16 = 30;
/// Said where nothing was found.
const NOTHING: &str = "Nothing found on her asks for a cause.";
/// A line that begins a list.
const DASH: &str = "- ";

impl Shown for CausesScreen {
    fn context(&self) -> Context {
        Context::Causes
    }

    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let theme = view.setup.theme;
        let rows = [Constraint::Length(1), Constraint::Fill(1)];
        let [above, body] = Layout::vertical(rows).areas(area);
        let machines = &self.condition.boat.machines;
        let machine = machines.iter().find(|m| m.id == self.finder.machine);
        let machine = machine.map_or("", |m| m.name.as_str());
        let left = "What is behind the findings";
        let head = widgets::spread(left, machine, usize::from(area.width), theme.title());
        widgets::lines(frame, above, vec![head]);
        if !self.has_findings {
            let columns = usize::from(body.width);
            let lines = widgets::wrapped(NOTHING, columns, theme.text());
            return widgets::lines(frame, body, lines);
        }
        let gap = body.height >= TALL;
        if area.width < BESIDE {
            let columns = usize::from(body.width);
            let brief = body.height < WHOLE;
            let first = match brief {
                true => self.first_in_brief(theme, columns),
                false => self.first(theme, columns, gap),
            };
            let (mut all, looks) = (first, self.looks(view, columns, gap));
            let from = all.len();
            all.extend(looks.lines);
            if brief {
                all.extend(told(&self.said.found, columns, theme.text()));
            }
            all.extend(self.besides(theme, columns));
            all.extend(widgets::wrapped(JUDGEMENT, columns, theme.quiet()));
            let here = looks.here.map(|here| here.map(|at| at + from));
            return self.show(view, frame, body, all, here);
        }
        let halves = [Constraint::Fill(1), Constraint::Fill(1)];
        let [left, right] = Layout::horizontal(halves).spacing(3).areas(body);
        let columns = usize::from(left.width);
        let mut all = self.first(theme, columns, gap);
        all.extend(self.besides(theme, columns));
        all.push(Line::default());
        all.extend(widgets::wrapped(JUDGEMENT, columns, theme.quiet()));
        let first = self
            .scroll
            .min(all.len().saturating_sub(usize::from(left.height)));
        let first = if self.follows { 0 } else { first };
        widgets::lines(frame, left, all.into_iter().skip(first).collect());
        let looks = self.looks(view, usize::from(right.width), gap);
        self.show(view, frame, right, looks.lines, looks.here);
    }

    fn renew(&mut self, book: &Book) -> bool {
        let now = CausesScreen::new(book, self.finder.clone());
        // Where another look is the best one now, the arrow goes to it.
        let same = now.offers == self.offers;
        let (cursor, scroll, follows) = match same {
            true => (self.cursor, self.scroll, self.follows),
            false => (now.cursor, now.scroll, now.follows),
        };
        *self = CausesScreen {
            cursor,
            scroll,
            follows,
            ..now
        };
        true
    }

    fn offers(&self, action: Action) -> bool {
        match action {
            Action::Pick | Action::MoveUp | Action::MoveDown => !self.offers.is_empty(),
            Action::Why => self.has_findings,
            _ => action.own_digit().is_none() || !self.offers.is_empty(),
        }
    }

    fn machine(&self) -> Option<&str> {
        Some(&self.finder.machine)
    }

    fn doubts(&self) -> Option<&[Doubt]> {
        Some(&self.condition.doubts)
    }

    fn guest(&self) -> Option<String> {
        self.finder.guest.clone()
    }
}

/// The looks as lines, and where the one under the arrow begins, is asked and ends.
struct Looks {
    lines: Vec<Line<'static>>,
    here: Option<[usize; 3]>,
}

impl CausesScreen {
    /// Draws the lines from the first that is to be seen, with the look under the arrow in sight.
    fn show(
        &self,
        view: &View<'_>,
        frame: &mut Frame<'_>,
        area: Rect,
        all: Vec<Line<'static>>,
        here: Option<[usize; 3]>,
    ) {
        let height = usize::from(area.height);
        let most = all.len().saturating_sub(height);
        let first = match here.filter(|_| self.follows) {
            // What is grave stays in sight with the first look that is asked.
            Some([_, asked, _]) if self.is_at_first() && asked < height => 0,
            Some([from, _, end]) => end.saturating_sub(height).min(from),
            None => self.scroll,
        };
        let first = first.min(most);
        widgets::lines(frame, area, all.into_iter().skip(first).collect());
        let row = here.and_then(|[_, asked, _]| asked.checked_sub(first));
        let row = row.filter(|row| *row < height && !view.covered);
        if let Some(row) = row.and_then(|row| u16::try_from(row).ok()) {
            let (x, y) = (area.x, area.y + row);
            frame.set_cursor_position(Position { x, y });
        }
    }

    /// What is ordered and what is dangerous.
    fn grave(&self, theme: Theme, columns: usize) -> Vec<Line<'static>> {
        let mut lines = told(&self.said.orders, columns, theme.error());
        for danger in &self.said.dangers {
            lines.extend(one(&danger.what, columns, theme.caution()));
            lines.extend(danger.stop.iter().flat_map(|stop| {
                let told = format!("{}{}", stop.lead.trim_start(), stop.text);
                widgets::wrapped(&told, columns, theme.error())
            }));
        }
        lines
    }

    /// What is grave, what was found and what it comes to, in as few lines as hold it.
    fn first_in_brief(&self, theme: Theme, columns: usize) -> Vec<Line<'static>> {
        let mut lines = self.grave(theme, columns);
        let [together, rest] = &self.found;
        let lead = if together.len() > 1 {
            "These belong together: "
        } else {
            "Found: "
        };
        let together = (!together.is_empty()).then(|| format!("{lead}{}.", together.join("; ")));
        let lead = if together.is_some() {
            "Besides: "
        } else {
            "Found: "
        };
        let rest = (!rest.is_empty()).then(|| format!("{lead}{}.", rest.join("; ")));
        let found: Vec<String> = together.into_iter().chain(rest).collect();
        lines.extend(widgets::wrapped(&found.join(" "), columns, theme.text()));
        let (mut named, mut told) = (0, Vec::new());
        for line in &self.said.headline {
            if line.lead == DASH {
                told.push(format!("{}: {}", letter(named), line.text));
                named += 1;
            } else {
                told.push(format!("{}{}", line.lead, line.text));
            }
        }
        told.extend(self.both());
        lines.extend(widgets::wrapped(&told.join(" "), columns, theme.title()));
        lines
    }

    /// Two causes that fit best at once; by their letters where they have some.
    fn both(&self) -> Option<String> {
        let both = self.said.both.as_ref()?;
        let told = at_once(both, |named| self.called(named));
        Some(format!("{BOTH}{told}"))
    }

    /// A cause by its letter, where the headline gives it one.
    fn called(&self, (title, place): &Named) -> String {
        let lettered = self.said.headline.iter().any(|line| line.lead == DASH);
        let letter = place.filter(|_| lettered).map(letter);
        letter.map_or_else(|| title.clone(), String::from)
    }

    /// What the answers to a look would mean, those that mean the same in one.
    fn meanings(&self, look: &SaidLook) -> Vec<String> {
        let mut all: Vec<(Vec<&str>, String)> = Vec::new();
        for meaning in &look.meanings {
            let then = self.then(meaning);
            match all.iter_mut().find(|(_, same)| *same == then) {
                Some((words, _)) => words.push(&meaning.words),
                None => all.push((vec![&meaning.words], then)),
            }
        }
        let all = all.into_iter();
        all.map(|(words, then)| format!("{} Then {then}.", words.join(" Or: ")))
            .collect()
    }

    /// What an answer would leave in front.
    fn then(&self, of: &SaidMeaning) -> String {
        let lettered = self.said.headline.iter().any(|line| line.lead == DASH);
        let causes = of.causes.iter().map(|named| match named {
            (_, Some(_)) if !lettered => "the one named first".to_owned(),
            named => self.called(named),
        });
        match of.causes.is_empty() {
            true => "nothing on the list is in front".to_owned(),
            false => causes.collect::<Vec<_>>().join("; or "),
        }
    }

    /// What is ordered, what is dangerous, what was found, what it comes to.
    fn first(&self, theme: Theme, columns: usize, gap: bool) -> Vec<Line<'static>> {
        let said = &self.said;
        let between = || gap.then(Line::default);
        let mut lines = self.grave(theme, columns);
        lines.extend(between().filter(|_| !said.dangers.is_empty()));
        lines.extend(told(&said.found, columns, theme.text()));
        lines.extend(between());
        let mut named = 0;
        for line in &said.headline {
            if line.lead != DASH {
                lines.extend(one(line, columns, theme.title()));
                continue;
            }
            let letter = format!("{} ", letter(named));
            lines.extend(behind(&letter, &line.text, columns, theme.title()));
            named += 1;
        }
        let both = self.both().into_iter();
        lines.extend(both.flat_map(|both| widgets::wrapped(&both, columns, theme.text())));
        lines.extend(between());
        lines
    }

    /// What speaks against it, what cannot be ruled out or looked at.
    fn besides(&self, theme: Theme, columns: usize) -> Vec<Line<'static>> {
        let mut lines = told(&self.said.beside, columns, theme.text());
        for danger in &self.said.dangers {
            // What is looked at is among the looks.
            let tells = Some(&danger.tells).filter(|_| !danger.is_look);
            lines.extend(tells.into_iter().flat_map(|tells| {
                let told = format!(
                    "{} {}{}",
                    danger.what.text,
                    tells.lead.trim_start(),
                    tells.text
                );
                widgets::wrapped(&told, columns, theme.text())
            }));
        }
        lines.extend(told(&self.said.later, columns, theme.quiet()));
        lines
    }

    fn looks(&self, view: &View<'_>, columns: usize, gap: bool) -> Looks {
        let theme = view.setup.theme;
        let (mut lines, mut at) = (Vec::new(), None);
        for (n, (look, offer)) in self.said.looks.iter().zip(&self.offers).enumerate() {
            let from = lines.len();
            lines.extend(caution_lines(theme, look, columns));
            let asked = lines.len();
            lines.extend(self.look_lines(theme, (n, look, offer), columns));
            if n == self.cursor && !offer.items.is_empty() {
                at = Some([from, asked, lines.len()]);
            }
            lines.extend(gap.then(Line::default));
        }
        Looks { lines, here: at }
    }

    /// What is asked by a look, and, where the arrow stands, what each answer would mean.
    fn look_lines(
        &self,
        theme: Theme,
        (n, look, offer): (usize, &SaidLook, &Offered),
        columns: usize,
    ) -> Vec<Line<'static>> {
        let here = n == self.cursor;
        let room = columns.saturating_sub(INDENT);
        let indented = |told: &str, style: Style| behind(&" ".repeat(INDENT), told, columns, style);
        let style = match (offer.items.is_empty(), here) {
            (true, _) => theme.quiet(),
            (_, true) => theme.selected(),
            (_, false) => theme.text(),
        };
        let pointer = match here && !offer.items.is_empty() {
            true => theme.glyphs.pointer(),
            false => " ",
        };
        let lead = match offer.rules_out {
            true => look.lead.replace(": ", ", to rule out the danger: "),
            false => look.lead.to_owned(),
        };
        let head = format!("{pointer} {} ", n + 1);
        let text = format!("{lead}{}", look.ask);
        let spans = vec![Span::styled(head, style)];
        let mut lines = widgets::row(spans, (&text, room, style), Vec::new());
        if offer.items.is_empty() {
            lines.extend(indented(NO_ITEM, theme.quiet()));
        }
        if here || (n == 0 && self.offers.iter().all(|offer| offer.items.is_empty())) {
            for told in self.meanings(look) {
                let dash = format!("{}{DASH}", " ".repeat(INDENT));
                lines.extend(behind(&dash, &told, columns, theme.text()));
            }
        }
        lines
    }
}

/// Columns before what is said of a look.
const INDENT: usize = 4;

/// What can hurt someone there, above what is asked.
fn caution_lines(theme: Theme, look: &SaidLook, columns: usize) -> Vec<Line<'static>> {
    let caution = look.caution.iter();
    let caution = caution.map(|caution| format!("{} {caution}", theme.glyphs.caution()));
    let indent = " ".repeat(INDENT);
    caution
        .flat_map(|told| behind(&indent, &told, columns, theme.caution()))
        .collect()
}

/// By which a cause is known that the headline names.
fn letter(place: usize) -> char {
    u8::try_from(place).map_or('?', |place| char::from(b'A'.saturating_add(place)))
}

fn told(lines: &[Told], columns: usize, style: Style) -> Vec<Line<'static>> {
    lines
        .iter()
        .flat_map(|line| one(line, columns, style))
        .collect()
}

/// One line as it is said; what begins a list goes on beneath itself.
fn one(line: &Told, columns: usize, style: Style) -> Vec<Line<'static>> {
    match line.lead == DASH {
        true => behind(DASH, &line.text, columns, style),
        false => widgets::wrapped(&format!("{}{}", line.lead, line.text), columns, style),
    }
}

/// Words behind something, going on beneath themselves.
fn behind(lead: &str, words: &str, columns: usize, style: Style) -> Vec<Line<'static>> {
    let room = columns.saturating_sub(width(lead)) + 1;
    let lead = vec![Span::styled(lead.to_owned(), style)];
    widgets::row(lead, (words, room, style), Vec::new())
}
