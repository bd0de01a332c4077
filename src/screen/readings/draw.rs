//! Draws the readings: the items that have any, the chart of the chosen one, what it says in words.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::text::{Line, Span};

use crate::checklist::Grade;
use crate::defects::doubt::Doubt;
use crate::defects::series::Taken;
use crate::keys::Context;
use crate::logbook::book::Book;
use crate::paint::chart::{Chart, Dot};
use crate::paint::history::history_strip;
use crate::paint::scale;
use crate::paint::theme::Theme;
use crate::paint::widgets::{self, age, cell, line};
use crate::screen::kind::{Shown, View, volume_unit};
use crate::screen::readings::trend::Reckoned;
use crate::screen::readings::{ReadingsScreen, Track};
use crate::text::width;

/// From this width on the list stands beside the chart.
const BESIDE: u16 = 118;
/// Columns of the list there.
const LIST: u16 = 56;
/// Bars of the last readings in the list.
const BARS: usize = 12;
/// A pause in the readings longer than this share of their span is told (judgement).
const PAUSE: f64 = 0.25;

impl Shown for ReadingsScreen {
    fn context(&self) -> Context {
        Context::Readings
    }

    fn doubts(&self) -> Option<&[Doubt]> {
        Some(&self.condition.doubts)
    }

    /// Draws the screen.
    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let theme = view.setup.theme;
        let (Some(track), Some(shown)) = (self.track(), &self.shown) else {
            return nothing_yet(view, frame, area);
        };
        let [list, chart] = if area.width >= BESIDE {
            let columns = [Constraint::Length(LIST), Constraint::Fill(1)];
            Layout::horizontal(columns).spacing(2).areas(area)
        } else {
            let most = (area.height / 4).clamp(2, 6);
            let height = most.min(self.tracks.len() as u16 + 1);
            Layout::vertical([Constraint::Length(height), Constraint::Fill(1)]).areas(area)
        };
        draw_list(view, self, frame, list);
        let columns = usize::from(chart.width);
        let below = words_below(view, self, track, shown, columns);
        let over = if shown.over_hours() {
            "running hours"
        } else {
            "days"
        };
        let title = format!("{}, {}", track.title, track.unit);
        let mut lines = vec![widgets::spread(
            &title,
            &if columns >= 84 {
                format!("digits: the rung given · over {over}")
            } else {
                format!("over {over}")
            },
            columns,
            theme.title(),
        )];
        let height = usize::from(chart.height);
        // The words may take a third; the chart is what one came for.
        let most = (height / 3).max(3);
        let below: Vec<_> = below.into_iter().take(most).collect();
        let rows = height.saturating_sub(below.len() + 1).min(32);
        lines.extend(draw_chart(track, shown, columns, rows, &theme));
        lines.extend(below);
        widgets::lines(frame, chart, lines);
    }

    /// The arrow stays on its item.
    fn renew(&mut self, book: &Book) -> bool {
        let track = self.track().map(|t| (&t.series.subject, t.series.state));
        let (item, state) = track.unzip();
        *self = ReadingsScreen::new(book, item, state.flatten());
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
        spans.push(cell(&figure(track, track.value(last.value)), 12, style));
        spans.extend(widgets::grade(&theme, last.grade, 10));
        widgets::row(before, (&track.title, room, style), spans)
    };
    let rows = (screen.tracks.len(), screen.cursor);
    widgets::list(frame, area, rows, (1, 2), view.covered, row_at);
}

/// Every value in the unit shown.
fn values(track: &Track) -> impl Iterator<Item = f64> {
    let points = track.series.points.iter();
    points.map(|t| track.value(t.value))
}

fn small_bars(track: &Track, theme: &Theme) -> String {
    let values: Vec<f64> = values(track).collect();
    let values = &values[values.len().saturating_sub(BARS)..];
    scale::sparkline(values, scale::reach(&track.bands, values), theme)
}

/// A value with its unit, as many digits as the readings have.
fn figure(track: &Track, value: f64) -> String {
    let digits = values(track).map(scale::decimals_of);
    let digits = digits.max().unwrap_or(0).min(2);
    format!("{value:.digits$} {}", track.unit)
}

fn draw_chart(
    track: &Track,
    shown: &Reckoned,
    columns: usize,
    rows: usize,
    theme: &Theme,
) -> Vec<Line<'static>> {
    let points = &track.series.points;
    let outliers = shown.answer.points.iter().filter(|p| p.outlier);
    let outliers: Vec<_> = outliers.map(|p| p.at).collect();
    let dots: Vec<Dot> = points
        .iter()
        .map(|t| Dot {
            x: shown.x(t),
            y: track.value(t.value),
            grade: t.grade,
            stray: t.current && outliers.contains(&t.at),
        })
        .collect();
    let from = dots.first().map_or(0.0, |d| d.x);
    let to = dots.last().map_or(1.0, |d| d.x);
    // The line runs on to its crossing where that is no further off than the readings reach back.
    let crossing = shown.crossing().map(|(x, y)| (x, track.value(y)));
    let crossing = crossing.filter(|(x, _)| *x - to <= (to - from) * AHEAD);
    let end = crossing.map_or(to, |(x, _)| x.max(to));
    let ends = [from, to, end].map(|x| (x, shown.label(x)));
    let wanted = (columns / 14).clamp(1, 8);
    let between = crate::text::round_ticks(from, end, wanted)
        .into_iter()
        .map(|x| (x, shown.label(x)));
    let ticks: Vec<_> = ends.into_iter().chain(between).collect();
    let restarts: Vec<f64> = track
        .series
        .restarts
        .iter()
        .filter_map(|restart| {
            if !shown.over_hours() {
                return Some(shown.day(restart.at));
            }
            // Beside the first reading after it, whose hours are known.
            points.iter().find(|t| t.at >= restart.at).map(|t| t.hours)
        })
        .collect();
    let line = shown.line(track, end);
    let line = line.map(|line| line.map(|(x, y)| (x, track.value(y))));
    // From the last reading the trend opens to where it meets the limit at the earliest and latest.
    let fan = shown.crossing_ends().map(|met| {
        let (from, limit) = (shown.line(track, to)?[1], crossing?.1);
        Some([(from.0, track.value(from.1)), (met?, limit)])
    });
    let chart = Chart {
        dots: &dots,
        bands: &track.bands,
        line,
        crossing,
        fan,
        restarts: &restarts,
        span: (from, end),
        ticks: &ticks,
    };
    chart.lines(columns, rows, theme)
}

/// The chart runs ahead of the last reading by at most this share of what it shows.
const AHEAD: f64 = 0.5;

/// What the readings say, in words, and the rungs of every look at the item.
fn words_below(
    view: &View<'_>,
    screen: &ReadingsScreen,
    track: &Track,
    shown: &Reckoned,
    columns: usize,
) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let mut told = Vec::new();
    let points = &track.series.points;
    let low = values(track).fold(f64::INFINITY, f64::min);
    let high = values(track).fold(f64::NEG_INFINITY, f64::max);
    if let (Some(first), Some(last)) = (points.first(), points.last()) {
        let ago = age(last.at, screen.condition.now);
        let since = first.at.format("%-d %b %Y");
        let last = format!(
            "last {}, {} {}, {ago}",
            figure(track, track.value(last.value)),
            last.grade.rung(),
            last.grade
        );
        told.push(match points.len() {
            1 => format!("One reading: {last}."),
            n if low == high => {
                format!("{n} readings since {since}, all {}.", figure(track, low))
            }
            n => format!(
                "{n} readings since {since}, {} to {}; {last}.",
                figure(track, low),
                figure(track, high)
            ),
        });
    }
    if low < high {
        told.extend(shown.words(track));
    } else if points.len() == 1 {
        told.push("Nothing can be said of a trend.".to_owned());
    }
    told.extend(pause(shown, track));
    told.extend(oil_use(view, shown));
    if track.bands.is_empty() {
        told.push("No limits: there is no usual value yet to compare with.".to_owned());
    }
    let mut lines = vec![strip(screen, track, columns, &theme)];
    let told = told.iter();
    lines.extend(told.flat_map(|t| widgets::wrapped(t, columns, theme.text())));
    lines
}

/// The longest time without a reading, where it is long beside the others.
fn pause(axis: &Reckoned, track: &Track) -> Option<String> {
    let points = &track.series.points;
    let gaps = points
        .windows(2)
        .map(|w| (axis.x(&w[1]) - axis.x(&w[0]), &w[0], &w[1]));
    let (gap, before, after) = gaps.max_by(|a, b| a.0.total_cmp(&b.0))?;
    if points.len() < 4 || axis.whole <= 0.0 || gap < PAUSE * axis.whole {
        return None;
    }
    let date = |t: &Taken| t.at.format("%-d %b %Y").to_string();
    Some(format!(
        "No reading between {} and {}.",
        date(before),
        date(after)
    ))
}

/// What was topped up over the hours run.
fn oil_use(view: &View<'_>, shown: &Reckoned) -> Option<String> {
    let used = shown.answer.used?;
    let unit = volume_unit(view.book);
    let litres = |litres: f64| unit.from_base(litres);
    Some(format!(
        "Added {:.1} {unit} in {:.0} h: {:.1} {unit} per 100 h.",
        litres(used.litres),
        used.hours,
        litres(used.per_100_h?)
    ))
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
