//! Draws the readings: the items that have any, the chart of the chosen one, what it says in words.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::{Line, Span};

use crate::checklist::Grade;
use crate::defects::doubt::Doubt;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::paint::chart::{Chart, Drawn};
use crate::paint::history::history_strip;
use crate::paint::scale;
use crate::paint::theme::Theme;
use crate::paint::widgets::{self, cell, line};
use crate::screen::kind::{Shown, View};
use crate::screen::readings::told::Telling;
use crate::screen::readings::{ReadingsScreen, Track};
use crate::text::{ELLIPSIS, fit, width};

/// From this width on the list stands beside the chart.
const BESIDE: u16 = 118;
/// Columns of the list there.
const LIST: u16 = 56;
/// Bars of the last readings in the list.
const BARS: usize = 12;
/// Lines of the chart at the most.
const ROWS: usize = 32;
/// From this height on the key of the chart has two lines.
const TALL: usize = 30;

impl Shown for ReadingsScreen {
    fn context(&self) -> Context {
        Context::Readings
    }

    fn doubts(&self) -> Option<&[Doubt]> {
        Some(&self.condition.doubts)
    }

    /// Draws the screen.
    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let (Some(track), Some(chosen)) = (self.track(), &self.chosen) else {
            return nothing_yet(view, frame, area);
        };
        let [list, chart] = if area.width >= BESIDE {
            let columns = [Constraint::Length(LIST), Constraint::Fill(1)];
            Layout::horizontal(columns).spacing(2).areas(area)
        } else {
            let most = match chosen.sight.at {
                Some(_) => 2,
                None => (area.height / 4).clamp(2, 6),
            };
            let height = most.min(self.tracks.len() as u16 + 1);
            Layout::vertical([Constraint::Length(height), Constraint::Fill(1)]).areas(area)
        };
        draw_list(view, self, frame, list);
        let telling = Telling {
            view,
            screen: self,
            track,
            chosen,
        };
        draw_chart(&telling, frame, chart);
    }

    fn offers(&self, action: Action) -> bool {
        let chosen = self.chosen.as_ref();
        match action {
            Action::Axis => chosen.is_some_and(|chosen| chosen.axes.len() > 1),
            Action::ClearFilters => chosen.is_some_and(|chosen| chosen.sight.is_part()),
            Action::EarlierReading | Action::LaterReading | Action::Closer | Action::Wider => {
                chosen.is_some()
            }
            _ => true,
        }
    }

    /// The arrow stays on its item, the cursor on its reading.
    fn renew(&mut self, book: &Book) -> bool {
        let track = self.track().map(|t| (&t.series.subject, t.series.state));
        let (item, state) = track.unzip();
        let mut anew = ReadingsScreen::new(book, item, state.flatten());
        anew.look_as(self);
        *self = anew;
        true
    }
}

fn nothing_yet(view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
    let theme = view.setup.theme;
    let columns = usize::from(area.width);
    let told = "No readings yet. In a walk r types one where an item can be read, and g counts or times one.";
    let mut lines = vec![line("Readings", columns, theme.title())];
    lines.push(Line::default());
    lines.extend(widgets::wrapped(told, columns, theme.text()));
    widgets::lines(frame, area, lines);
}

fn draw_list(view: &View<'_>, screen: &ReadingsScreen, frame: &mut Frame<'_>, area: Rect) {
    let theme = view.setup.theme;
    let columns = usize::from(area.width);
    let head = format!("Readings {} of {}", screen.cursor + 1, screen.tracks.len());
    let [above, area] = Layout::vertical([Constraint::Length(1), Constraint::Fill(1)]).areas(area);
    let head = line(&head, columns, theme.quiet());
    widgets::lines(frame, above, vec![head]);
    let row_at = |n: usize| {
        let (track, here) = (&screen.tracks[n], n == screen.cursor);
        let style = if here { theme.selected() } else { theme.text() };
        let pointer = if here { theme.glyphs.pointer() } else { " " };
        let Some(last) = track.series.points.last() else {
            return Vec::new();
        };
        let bars = if columns >= 64 { BARS + 1 } else { 0 };
        let room = columns.saturating_sub(2 + bars + 12 + 10);
        let before = vec![Span::styled(format!("{pointer} "), style)];
        let mut spans = Vec::new();
        if bars > 0 {
            spans.push(cell(&small_bars(track, &theme), bars, style));
        }
        spans.push(cell(&track.figure(track.value(last.value)), 12, style));
        spans.extend(widgets::grade(&theme, last.grade, 10));
        widgets::row(before, (&track.title, room, style), spans)
    };
    let rows = (screen.tracks.len(), screen.cursor);
    widgets::list(frame, area, rows, (1, 2), view.covered, row_at);
}

fn small_bars(track: &Track, theme: &Theme) -> String {
    let points = &track.series.points;
    let last = &points[points.len().saturating_sub(BARS)..];
    let values: Vec<f64> = last.iter().map(|t| track.value(t.value)).collect();
    scale::sparkline(&values, scale::reach(&track.bands, &values), theme)
}

/// The chart of the chosen readings with its title above it and its words beneath.
fn draw_chart(telling: &Telling<'_>, frame: &mut Frame<'_>, area: Rect) {
    let theme = telling.view.setup.theme;
    let (columns, height) = (usize::from(area.width), usize::from(area.height));
    let mut lines = title(telling, columns);
    let is_read_out = telling.chosen.sight.at.is_some();
    // The words may take a third; the chart is what one came for.
    let most = (height / 3).max(if is_read_out { 5 } else { 3 });
    let keys = if height < TALL { 1 } else { 2 };
    let key =
        |drawn: &Drawn| widgets::wrapped_to(&telling.key(drawn), columns, keys, theme.quiet());
    // As many lines as it can take, so that the height of the chart hangs on nothing drawn in it; while
    // readings are read out it stays the same from one to the next.
    let fine = Drawn {
        fine: true,
        ..Drawn::default()
    };
    let keys = key(&fine).len();
    let said = words_below(telling, &[], columns).len();
    let below = if is_read_out {
        most
    } else {
        most.min(keys + said)
    };
    let rows = height.saturating_sub(below + lines.len()).min(ROWS);
    let drawn = chart(telling, columns, rows, &theme);
    let top = lines.len();
    let mut words = key(&drawn);
    words.resize(keys, Line::default());
    words.extend(words_below(telling, &drawn.beside, columns));
    lines.extend(drawn.lines);
    lines.extend(shortened(words, below, columns));
    widgets::lines(frame, area, lines);
    if let Some((column, row)) = drawn.cursor.filter(|_| !telling.view.covered) {
        frame.set_cursor_position(Position {
            x: area.x + column as u16,
            y: area.y + (top + row) as u16,
        });
    }
}

/// What is drawn over what; where a part is in sight, which, and how many readings lie outside.
fn title(telling: &Telling<'_>, columns: usize) -> Vec<Line<'static>> {
    let (track, chosen) = (telling.track, telling.chosen);
    let title = format!("{}, {}", track.title, track.unit);
    let over = format!("over {}", chosen.plot.axis.words());
    let seen = if chosen.sight.is_part() {
        let (from, to) = chosen.span();
        let label = |x| chosen.plot.label(&chosen.reckoned, x);
        let [before, _, after] = chosen.sight.count(&chosen.plot.xs, chosen.plot.whole);
        let (from, to) = (label(from), label(to));
        format!("{from} to {to}: {before} before, {after} after, {over}")
    } else {
        over
    };
    let style = telling.view.setup.theme.title();
    widgets::spread_whole(&title, &seen, columns, style)
}

fn chart(telling: &Telling<'_>, columns: usize, rows: usize, theme: &Theme) -> Drawn {
    let (plot, reckoned) = (&telling.chosen.plot, &telling.chosen.reckoned);
    let (from, to) = telling.chosen.span();
    let last = plot.xs.last().copied().unwrap_or(to);
    let ends = [from, last, to].map(|x| (x, plot.label(reckoned, x)));
    let wanted = (columns / 14).clamp(1, 8);
    let between = crate::text::round_ticks(from, to, wanted).into_iter();
    let between = between.map(|x| (x, plot.label(reckoned, x)));
    let ticks: Vec<_> = ends.into_iter().chain(between).collect();
    let chart = Chart {
        dots: &plot.dots,
        bands: &telling.track.bands,
        line: plot.line,
        crossing: plot.crossing,
        fan: plot.fan,
        restarts: &plot.restarts,
        top_ups: &plot.top_ups,
        pauses: &plot.pauses,
        cursor: telling.chosen.sight.at,
        span: (from, to),
        ticks: &ticks,
    };
    chart.drawn(columns, rows, theme)
}

/// The reading that is read out, what all of them say, and the rungs of every look at the item.
fn words_below(telling: &Telling<'_>, beside: &[usize], columns: usize) -> Vec<Line<'static>> {
    let theme = telling.view.setup.theme;
    let wrapped = |text: &str, style| widgets::wrapped(text, columns, style);
    let read_out = telling.read_out(beside);
    let mut lines = read_out.map_or_else(Vec::new, |told| wrapped(&told, theme.title()));
    let said = telling.chosen.said.iter();
    lines.extend(said.flat_map(|told| wrapped(told, theme.text())));
    lines.push(strip(telling.screen, telling.track, columns, &theme));
    lines
}

/// As many lines as there is room for; the last says so where some are left out. Enter shows all.
fn shortened(mut lines: Vec<Line<'static>>, most: usize, columns: usize) -> Vec<Line<'static>> {
    if lines.len() <= most {
        return lines;
    }
    lines.truncate(most);
    if let Some(last) = lines.last_mut() {
        let text = fit(&last.to_string(), columns.saturating_sub(2));
        let style = last
            .spans
            .first()
            .map_or(last.style, |span| last.style.patch(span.style));
        *last = Line::styled(
            format!("{} {ELLIPSIS}", text.trim_end_matches(ELLIPSIS)),
            style,
        );
    }
    lines
}

/// Every look at the item as the ladder lying along time.
fn strip(screen: &ReadingsScreen, track: &Track, columns: usize, theme: &Theme) -> Line<'static> {
    let life = screen.condition.lives.get(&track.series.subject);
    let trail = life.map_or(&[][..], |l| &l.status.trail);
    let looks: Vec<Option<Grade>> = trail
        .iter()
        .filter(|s| !s.repair)
        .map(|s| Some(s.grade))
        .collect();
    let mut seen = 0;
    let mut repairs = Vec::new();
    for step in trail {
        if step.repair {
            repairs.push(seen);
        } else {
            seen += 1;
        }
    }
    let head = format!("{} looks ", looks.len());
    let room = columns.saturating_sub(width(&head));
    let mut strip = history_strip(&looks, &repairs, room as u16, theme);
    strip.spans.insert(0, Span::styled(head, theme.quiet()));
    strip
}
