//! Draws the item in front of one: caution, instruction, ladder, what was said of it, its past.

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use std::collections::BTreeSet;

use crate::checklist::{Grade, Item};
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::paint::history::history_strip;
use crate::paint::ladder::{LadderView, ladder_lines};
use crate::paint::scale;
use crate::paint::widgets::{self, age, cell, line, text};
use crate::screen::kind::View;
use crate::screen::walk::said::{left_open, said_lines, sought_parts};
use crate::screen::walk::season::{open_part, step_parts};
use crate::screen::walk::speed::speed_lines;
use crate::screen::walk::state::WalkScreen;
use crate::text::width;
use crate::walk::{Outcome, Role, Spot, Touched};

/// Caution first, then the instruction, the ladder, and what was said. Where the height is short,
/// what is least needed goes: the past, blank lines, all but a line of what the phase says.
pub fn draw_item(
    view: &View<'_>,
    screen: &WalkScreen,
    book: &Book,
    frame: &mut Frame<'_>,
    area: Rect,
    past: bool,
) {
    draw_parts(frame, area, parts(view, screen, book, area, past));
}

/// Draws what is said of an item, as far as there is room.
pub fn draw_parts(frame: &mut Frame<'_>, area: Rect, parts: Vec<Part>) {
    widgets::lines(frame, area, fitted(parts, usize::from(area.height)));
}

/// How many rows they take, of what may go a row at the most.
pub fn rows_wanted(parts: &[Part]) -> u16 {
    let rows = parts.iter().map(|(need, _, lines)| match need {
        0 => lines.len().min(1),
        _ => lines.len(),
    });
    u16::try_from(rows.sum::<usize>()).unwrap_or(u16::MAX)
}

/// What is said of the item in front, or of its row while that is closed.
pub fn parts(
    view: &View<'_>,
    screen: &WalkScreen,
    book: &Book,
    area: Rect,
    past: bool,
) -> Vec<Part> {
    let theme = view.setup.theme;
    let columns = usize::from(area.width);
    let mut parts: Vec<Part> = Vec::new();
    let Some((row, item)) = screen.row().zip(screen.item(screen.at)) else {
        return parts;
    };
    let phase = screen.plan.phases.get(screen.at.phase);
    let whole_before = screen.fresh_phase && screen.is_leak_run();
    if let Some(before) = phase
        .and_then(|p| p.before.as_ref())
        .filter(|_| screen.fresh_phase)
    {
        let told = format!("{} {before}", theme.glyphs.caution());
        let lines = widgets::wrapped(&told, columns, theme.caution());
        // After work on the engine what comes before a phase is read whole.
        let (need, least) = if whole_before {
            (8, lines.len())
        } else {
            (2, usize::from(row.step.is_none()))
        };
        parts.push((need, least, lines));
    }
    parts.extend(step_parts(view, screen, columns));
    if !screen.hides_past(book, screen.at) {
        parts.push(open_part(view, screen, columns));
    }
    let several = row.items.len() > 1;
    if several && !screen.open {
        let need = if whole_before { 7 } else { 9 };
        parts.push((need, 1, row_lines(view, screen, book, columns)));
    } else {
        let place = if several {
            format!("  {} of {}", screen.at.item + 1, row.items.len())
        } else {
            String::new()
        };
        let title = title_line(view, screen, book, item, &place, columns);
        parts.push((9, 1, vec![title]));
        item_parts(view, screen, book, item, area, &mut parts);
        if past {
            parts.push((0, 0, past_lines(view, screen, book, item, columns, false)));
        }
    }
    if row.must_see {
        let told = text("a clear verdict needs this seen", columns, theme.quiet());
        parts.push((1, 0, vec![Line::from(told)]));
    }
    if let Some(role) = row.role {
        let item = role_of(screen, item).unwrap_or(role);
        let told = text(item.words(), columns, theme.mark());
        parts.push((5, 1, vec![Line::from(told)]));
    }
    if let Some(why) = &row.why {
        // Why a row joins tells what was found before, of any of its items.
        let mut spots = (0..row.items.len()).map(|item| Spot { item, ..screen.at });
        let hidden = !row.beside && spots.any(|spot| screen.hides_past(book, spot));
        let why = if hidden { "asked as well" } else { why };
        let told = text(
            &format!("{} {why}", theme.glyphs.last()),
            columns,
            theme.mark(),
        );
        parts.push((5, 1, vec![Line::from(told)]));
    }
    parts
}

/// The item by name, with its place in its row and how long ago it was looked at: beside its rung there
/// is seldom the room.
pub fn title_line(
    view: &View<'_>,
    screen: &WalkScreen,
    book: &Book,
    item: &Item,
    place: &str,
    columns: usize,
) -> Line<'static> {
    let theme = view.setup.theme;
    let last = last_of(screen, item).filter(|_| !screen.hides_past(book, screen.at));
    let last = last.map(|(_, age)| format!("{} {age}", theme.glyphs.last()));
    let title = format!("{}{place}", item.title);
    widgets::spread(&title, &last.unwrap_or_default(), columns, theme.title())
}

/// Why this item of the row is asked, where it is known what was touched.
fn role_of(screen: &WalkScreen, item: &Item) -> Option<Role> {
    let catalogue = &screen.before.library.catalogue;
    Touched::of(catalogue, &screen.started.disturbed).role(&item.id)
}

/// Lines with how much they are needed and to how many they can be cut.
pub type Part = (u8, usize, Vec<Line<'static>>);

/// The parts as lines that fit, the least needed cut first.
pub fn fitted(mut parts: Vec<Part>, height: usize) -> Vec<Line<'static>> {
    for need in 0..9 {
        for at in (0..parts.len()).rev() {
            let total: usize = parts.iter().map(|p| p.2.len()).sum();
            let over = total.saturating_sub(height);
            let (needed, least, lines) = &mut parts[at];
            if over > 0 && *needed == need {
                lines.truncate(lines.len().saturating_sub(over).max(*least));
            }
        }
    }
    parts.into_iter().flat_map(|(.., lines)| lines).collect()
}

/// A closed row of several items: what each looks like when sound.
fn row_lines(
    view: &View<'_>,
    screen: &WalkScreen,
    book: &Book,
    columns: usize,
) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let Some(row) = screen.row() else {
        return Vec::new();
    };
    let mut lines = vec![line(&row.title, columns, theme.title())];
    let spots: Vec<Spot> = (0..row.items.len())
        .map(|item| Spot { item, ..screen.at })
        .collect();
    let cautions = new_cautions(screen, book, &spots);
    lines.extend(said_before(view, screen, &spots, columns));
    for caution in cautions.iter().take(2) {
        lines.extend(widgets::wrapped(
            &format!("{} {caution}", theme.glyphs.caution()),
            columns,
            theme.caution(),
        ));
    }
    lines.push(Line::default());
    let seen = spots.iter().filter(|s| screen.look(book, **s).is_some());
    let seen = seen.count();
    let spots_unseen = spots.len() - seen;
    for spot in spots {
        let Some(item) = screen.item(spot) else {
            continue;
        };
        let grade = screen.look(book, spot).and_then(|t| t.look.grade());
        let last = last_of(screen, item).filter(|_| !screen.hides_past(book, spot));
        let (mark, style) = match (grade, last) {
            (Some(g), _) => (g.rung().to_string(), theme.grade(g)),
            (None, Some((g, _))) => (
                format!("{}{}", theme.glyphs.last(), g.rung()),
                theme.grade(g),
            ),
            (None, None) => (theme.glyphs.unseen().to_owned(), theme.quiet()),
        };
        lines.push(Line::from(vec![
            cell(&mark, 3, style),
            text(&item.title, columns.saturating_sub(3), theme.text()),
        ]));
        lines.push(Line::from(vec![
            Span::raw("   "),
            text(
                &item.ladder[grade.unwrap_or(Grade::Sound).rung()],
                columns.saturating_sub(3),
                theme.quiet(),
            ),
        ]));
    }
    lines.push(Line::default());
    let keys = &view.setup.keys;
    let open = match screen.drawing.on {
        Some(_) => Action::OpenPlace,
        None => Action::OpenRow,
    };
    let open = keys
        .keys_of(open)
        .first()
        .map(ToString::to_string)
        .unwrap_or_default();
    let all = match (seen, spots_unseen) {
        (0, _) | (_, 0) => "0 all sound".to_owned(),
        (_, n) => format!("{n} still unseen: 0 sound"),
    };
    let hint = format!("{all} · 1-4 then which one · {open} one by one");
    lines.extend(widgets::wrapped(&hint, columns, theme.key()));
    lines
}

/// Cautions of places of one row that no row looked at before it, at the same station and in the same
/// phase, has shown: what never changes is said once, so that it is read.
fn new_cautions<'a>(screen: &'a WalkScreen, book: &Book, spots: &[Spot]) -> Vec<&'a str> {
    let Some(station) = screen.row().map(|row| &row.station) else {
        return Vec::new();
    };
    let here = (screen.at.phase, screen.at.row);
    let is_earlier = |s: &Spot| {
        let row = screen.plan.row(s.phase, s.row);
        let near = row.is_some_and(|row| row.station == *station);
        s.phase == here.0 && s.row < here.1 && near && screen.look(book, *s).is_some()
    };
    let of = |s: Spot| screen.item(s).map(|i| &i.cautions);
    let earlier: Vec<&String> = screen
        .plan
        .spots()
        .filter(is_earlier)
        .filter_map(of)
        .flatten()
        .collect();
    let mut cautions: Vec<&str> = Vec::new();
    for caution in spots.iter().filter_map(|s| of(*s)).flatten() {
        if !earlier.contains(&caution) && !cautions.contains(&caution.as_str()) {
            cautions.push(caution);
        }
    }
    cautions
}

/// That cautions of these places were said before at this station, and the key that shows them.
fn said_before(
    view: &View<'_>,
    screen: &WalkScreen,
    spots: &[Spot],
    columns: usize,
) -> Option<Line<'static>> {
    let items = spots.iter().filter_map(|s| screen.item(*s));
    let book = view.book;
    let all: BTreeSet<&str> = items
        .flat_map(|i| &i.cautions)
        .map(String::as_str)
        .collect();
    let before = all.len() - new_cautions(screen, book, spots).len();
    let key = view.setup.key(Action::Cautions);
    let told = format!("{key} cautions of this station, as said before: {before}");
    (before > 0).then(|| line(&told, columns, view.setup.theme.quiet()))
}

fn last_of(screen: &WalkScreen, item: &Item) -> Option<(Grade, String)> {
    let standing = &screen
        .before
        .life(&item.id, &screen.started.machine)?
        .status;
    Some((standing.grade?, age(standing.since?, screen.before.now)))
}

/// What to heed, what to look at, the ladder, what was said of it so far.
pub fn item_parts(
    view: &View<'_>,
    screen: &WalkScreen,
    book: &Book,
    item: &Item,
    area: Rect,
    parts: &mut Vec<Part>,
) {
    let theme = view.setup.theme;
    let columns = usize::from(area.width);
    let here = [screen.at];
    parts.extend(sought_parts(view, screen, columns));
    let before = said_before(view, screen, &here, columns);
    parts.push((2, 0, before.into_iter().collect()));
    let step = screen.row().and_then(|row| row.step.as_ref());
    // Beside what has been answered the first one stands; the key shows all.
    let most = screen.answer.as_ref().map_or(usize::MAX, |_| 1);
    for caution in new_cautions(screen, book, &here).into_iter().take(most) {
        let told = format!("{} {caution}", theme.glyphs.caution());
        let lines = widgets::wrapped(&told, columns, theme.caution());
        // Where a step says what can hurt in it, this goes before a rung does; the key shows it.
        let (need, least) = match step.is_some_and(|step| step.caution.is_some()) {
            true => (3, 0),
            false => (8, lines.len()),
        };
        parts.push((need, least, lines));
    }
    let look = widgets::wrapped(item.look_in(screen.state(screen.at)), columns, theme.text());
    parts.push((4, usize::from(step.is_none()), look));
    parts.push((0, 0, vec![Line::default()]));
    let hidden = screen.hides_past(book, screen.at);
    let last = last_of(screen, item).filter(|_| !hidden);
    let details = screen.details(book, screen.at);
    let timed = screen.look(book, screen.at);
    let proposal = screen.proposal(book, screen.at, details.clone());
    let texts: [&str; 5] = std::array::from_fn(|n| item.ladder[n].as_str());
    let ladder = LadderView {
        texts,
        last: last.as_ref().map(|(grade, _)| (*grade, "")),
        proposed: proposal.map(|p| p.grade),
        chosen: timed.and_then(|t| t.look.grade()),
        width: area.width,
        tall: area.height > 15,
    };
    parts.push((9, 5, ladder_lines(&ladder, &theme)));
    parts.push((0, 0, vec![Line::default()]));
    if let Some(Outcome::NotSeen { why, close_by }) = timed.map(|t| &t.look.outcome) {
        let how = close_by.as_ref().map(|how| format!("; to see it: {how}"));
        let told = format!("not seen: {why}{}", how.unwrap_or_default());
        let lines = widgets::wrapped(&told, columns, theme.caution());
        parts.push((7, 1, lines));
    }
    parts.push((6, 1, said_lines(view, screen, item, &details, columns)));
    parts.push((5, 0, left_open(view, screen, book, columns)));
    parts.push((5, 1, speed_lines(view, screen, book, item, columns)));
    if let (Some(unit), None) = (screen.unit(item), details.reading) {
        let (machine, phase) = (&screen.started.machine, screen.phase_id(screen.at));
        let usual = screen.before.usual(item, machine, Some(phase));
        let usual = usual.filter(|_| !hidden);
        let catalogue = item.reading.as_ref().map_or(unit, |r| r.unit);
        let usual = usual.and_then(|u| catalogue.convert(u, unit));
        let usual = usual.map(|u| format!(", usual {u:.1}")).unwrap_or_default();
        let tool = crate::screen::walk::measure::draw::tool_hint(view, item)
            .map(|t| format!(", {t}"))
            .unwrap_or_default();
        let hint = format!("r reading in {unit}{usual}{tool}");
        parts.push((3, 0, vec![line(&hint, columns, theme.quiet())]));
    }
    if let Some(told) = readings_told(view, screen, item, columns).filter(|_| !hidden) {
        parts.push((3, 0, vec![told]));
    }
}

/// The last readings in this phase as small bars between the limits, with their figures.
fn readings_told(
    view: &View<'_>,
    screen: &WalkScreen,
    item: &Item,
    columns: usize,
) -> Option<Line<'static>> {
    let theme = view.setup.theme;
    let unit = screen.unit(item)?;
    let machine = &screen.started.machine;
    let phase = screen.phase_id(screen.at);
    let status = &screen.before.life(&item.id, machine)?.status;
    let here = status.readings.iter();
    let here = here.filter(|r| r.phase.as_deref() == Some(phase));
    let values: Vec<f64> = here
        .filter_map(|r| screen.value_in(item, r.measure, unit))
        .collect();
    let values = &values[values.len().saturating_sub(SHOWN)..];
    let last = values.last()?;
    let before = &screen.before;
    let usual = before.usual(item, machine, Some(phase));
    let limits = before.limits(item, machine, screen.state(screen.at), usual);
    let own = item.reading.as_ref().map_or(unit, |r| r.unit);
    let bands = scale::bands_in(&limits, own, unit);
    let figures = values.iter().map(|v| scale::decimals_of(*v));
    let digits = figures.max().unwrap_or(0).min(2);
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let last = format!("last {last:.digits$} {unit}");
    let told = if values.len() == 1 {
        last
    } else {
        let ends = format!("{low:.digits$} to {high:.digits$}");
        // Where there is no room for all, the latest stay.
        let room = columns.saturating_sub(width(&last) + width(&ends) + 2);
        let reach = scale::reach(&bands, values);
        let shown = &values[values.len().saturating_sub(room)..];
        let bars = scale::sparkline(shown, reach, &theme);
        format!("{last} {bars} {ends}")
    };
    Some(line(&told, columns, theme.quiet()))
}

/// Readings shown as bars.
const SHOWN: usize = 12;

/// The past of the item in a column of its own.
pub fn draw_past(
    view: &View<'_>,
    screen: &WalkScreen,
    book: &Book,
    frame: &mut Frame<'_>,
    area: Rect,
) {
    let Some(item) = screen.item(screen.at) else {
        return;
    };
    let mut lines = vec![line(
        "before today",
        usize::from(area.width),
        view.setup.theme.quiet(),
    )];
    let columns = usize::from(area.width);
    lines.extend(past_lines(view, screen, book, item, columns, true));
    widgets::lines(frame, area, lines);
}

/// The item's looks so far, the last note, what is open on it.
fn past_lines(
    view: &View<'_>,
    screen: &WalkScreen,
    book: &Book,
    item: &Item,
    columns: usize,
    long: bool,
) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    if screen.hides_past(book, screen.at) {
        return vec![line(
            "earlier grades are hidden until you grade",
            columns,
            theme.quiet(),
        )];
    }
    let Some(life) = screen.before.life(&item.id, &screen.started.machine) else {
        return Vec::new();
    };
    let standing = &life.status;
    if standing.trail.is_empty() {
        return vec![line("not looked at before", columns, theme.quiet())];
    }
    let room = columns.saturating_sub(14).min(if long { 60 } else { 24 });
    let looks: Vec<_> = standing.trail.iter().filter(|s| !s.repair).collect();
    let shown = &looks[looks.len().saturating_sub(room)..];
    let grades: Vec<Option<Grade>> = shown.iter().map(|s| Some(s.grade)).collect();
    let repairs: Vec<usize> = standing
        .trail
        .iter()
        .filter(|s| s.repair)
        .filter_map(|r| shown.iter().position(|s| s.at >= r.at))
        .collect();
    let mut strip = history_strip(&grades, &repairs, room as u16, &theme);
    strip.spans.insert(
        0,
        Span::styled(
            format!(
                "{} look{} ",
                looks.len(),
                if looks.len() == 1 { "" } else { "s" }
            ),
            theme.quiet(),
        ),
    );
    let mut lines = vec![strip];
    if let Some(timed) = &standing.look {
        if let Some(note) = &timed.look.note {
            let note = format!("last note: {note}");
            lines.extend(
                widgets::wrapped(&note, columns, theme.quiet())
                    .into_iter()
                    .take(if long { 6 } else { 2 }),
            );
        }
        if let Some(reading) = timed.look.reading {
            lines.push(line(
                &format!("last reading {reading}"),
                columns,
                theme.quiet(),
            ));
        }
    }
    if long {
        let remedy = format!(
            "remedy: {} ({}, {})",
            item.remedy.action, item.remedy.who, item.remedy.place
        );
        lines.push(Line::default());
        lines.extend(
            widgets::wrapped(&remedy, columns, theme.quiet())
                .into_iter()
                .take(4),
        );
        let source = format!("limits: {}", item.source);
        lines.extend(
            widgets::wrapped(&source, columns, theme.quiet())
                .into_iter()
                .take(4),
        );
    }
    lines
}
