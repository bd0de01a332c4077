//! Draws a tool at an item: what to tap, how far it has come, what that means.

use std::time::Duration;

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::assess::leak_rate::{self, Spread};
use crate::boat::Measure;
use crate::checklist::{Fluid, Grade, Item};
use crate::keys::Action;
use crate::paint::widgets::{self, line, text};
use crate::screen::kind::{View, volume_unit};
use crate::screen::walk::measure::keys::{figure, flow_unit, short};
use crate::screen::walk::measure::{Gauge, LEAST, LONGEST, Measuring};
use crate::screen::walk::state::WalkScreen;
use crate::walk::Details;

/// Columns of the box, where there are as many.
const WIDTH: u16 = 72;

/// Draws the tool in a box low on the screen.
pub fn draw(
    view: &View<'_>,
    walk: &WalkScreen,
    measuring: &Measuring,
    frame: &mut Frame<'_>,
    area: Rect,
) {
    let theme = view.setup.theme;
    let width = WIDTH.min(area.width);
    let columns = usize::from(width.saturating_sub(4));
    let now = view.setup.clock.monotonic();
    let mut lines = widgets::wrapped(&what_to_tap(view, measuring, now), columns, theme.text());
    lines.push(Line::default());
    lines.push(line(
        &running_figure(view, measuring, now),
        columns,
        theme.title(),
    ));
    lines.extend(progress(view, walk, measuring, now, columns));
    for told in meaning(view, walk, measuring, now) {
        lines.extend(widgets::wrapped(&told, columns, theme.text()));
    }
    if measuring.doubtful {
        let told = "the computer slept or its clock was set meanwhile: begin again";
        lines.extend(widgets::wrapped(told, columns, theme.error()));
    }
    if measuring.is_running(now) && measuring.gauge != Gauge::Drops {
        let told = "it runs on while the program is stopped";
        lines.extend(widgets::wrapped(told, columns, theme.quiet()));
    }
    // The box does not jump as figures come.
    let rows = match measuring.gauge {
        Gauge::Drops => 8,
        Gauge::Seconds => 6,
        Gauge::Bucket(_) => 4,
    };
    let height = lines.len().max(rows) as u16 + 2;
    let size = (width, height);
    let inside = widgets::panel(frame, area, &theme, &measuring.title, size);
    widgets::lines(frame, inside, lines);
}

fn what_to_tap(view: &View<'_>, measuring: &Measuring, now: Duration) -> String {
    let key = |action| {
        let keys = view.setup.keys.keys_of(action);
        keys.first().map(ToString::to_string).unwrap_or_default()
    };
    let (tap, take) = (key(Action::Tap), key(Action::Accept));
    let (begun, over) = (measuring.taps() > 0, measuring.is_over(now));
    match measuring.gauge {
        _ if over => format!("Done. {take} takes it."),
        Gauge::Drops if begun => format!("{tap} at each drop; {take} takes the count."),
        Gauge::Drops => format!("{tap} at each drop that falls; the first starts the clock."),
        Gauge::Seconds if begun => {
            format!("{tap} stops it, {take} stops and takes it.")
        }
        Gauge::Seconds => format!("{tap} starts the clock."),
        Gauge::Bucket(_) if begun => {
            format!("{tap} when it is full; {take} stops and takes it.")
        }
        Gauge::Bucket(_) => format!("{tap} as the water begins to fall into the bucket."),
    }
}

fn running_figure(view: &View<'_>, measuring: &Measuring, now: Duration) -> String {
    let elapsed = measuring.elapsed(now).as_secs_f64();
    match measuring.gauge {
        Gauge::Drops => {
            let drops = measuring.taps();
            let rate = measuring
                .drops_per_minute()
                .map(|rate| format!("   {rate:.1} drops/min"))
                .unwrap_or_default();
            let late = if measuring.is_late(now) {
                ", fewer of late"
            } else {
                ""
            };
            let plural = if drops == 1 { "drop " } else { "drops" };
            format!("{drops:>3} {plural}   {elapsed:5.1} s{rate}{late}")
        }
        Gauge::Seconds => format!("{elapsed:5.1} s"),
        Gauge::Bucket(bucket) => {
            let unit = flow_unit(volume_unit(view.book));
            let flow = leak_rate::flow(bucket.litres(), elapsed).filter(|_| elapsed > 0.5);
            let flow = flow.map(|f| format!("   {} {unit} if full now", short(unit.from_base(f))));
            let flow = flow.unwrap_or_default();
            let flow = if measuring.is_over(now) {
                flow.replace(" if full now", "")
            } else {
                flow
            };
            format!("{elapsed:5.1} s{flow}")
        }
    }
}

/// How far a count has come, or how long until a slower answer is a worse rung.
fn progress(
    view: &View<'_>,
    walk: &WalkScreen,
    measuring: &Measuring,
    now: Duration,
    columns: usize,
) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let bar = |done: Duration, total: Duration, told: String| {
        let width = columns.min(24);
        let (done, total) = (done.as_millis() as usize, total.as_millis() as usize);
        let bar = theme.glyphs.bar(done.min(total), total, width);
        let told = text(
            &format!("  {told}"),
            columns.saturating_sub(width),
            theme.quiet(),
        );
        vec![Line::from(vec![Span::styled(bar, theme.progress()), told])]
    };
    let elapsed = measuring.elapsed(now);
    match measuring.gauge {
        Gauge::Drops => {
            let least = LEAST.as_secs();
            let told = match elapsed {
                e if e < LEAST => format!("{least} s at least, {} s is best", LONGEST.as_secs()),
                e if e < LONGEST => format!("enough; to {} s is better", LONGEST.as_secs()),
                _ if measuring.is_running(now) => "drops are rare: waiting on".to_owned(),
                _ => "enough".to_owned(),
            };
            bar(elapsed, LONGEST, told)
        }
        Gauge::Seconds => match next_rung(walk, measuring, elapsed.as_secs_f64()) {
            Some((edge, grade)) => {
                let left = edge - elapsed.as_secs_f64();
                let told = format!("{} {grade} from {edge:.0} s, in {left:.1} s", grade.rung());
                bar(elapsed, Duration::from_secs_f64(edge), told)
            }
            None => Vec::new(),
        },
        Gauge::Bucket(_) => Vec::new(),
    }
}

/// The next limit ahead of a time, and the rung behind it.
fn next_rung(walk: &WalkScreen, measuring: &Measuring, seconds: f64) -> Option<(f64, Grade)> {
    let reading = walk.item(measuring.spot)?.reading.as_ref()?;
    let state = walk.state(measuring.spot);
    let here = reading.grade_of(reading.unit.from_base(seconds), state, None);
    let bands = reading.bands_in(state, None).iter();
    let ahead = bands.filter_map(|b| Some((reading.unit.to_base(b.from?), b.grade)));
    ahead
        .filter(|(from, grade)| *from > seconds && here.is_none_or(|here| *grade > here))
        .min_by(|a, b| a.0.total_cmp(&b.0))
}

/// What the figure means: how much it is, and which rung it proposes.
fn meaning(
    view: &View<'_>,
    walk: &WalkScreen,
    measuring: &Measuring,
    now: Duration,
) -> Vec<String> {
    let Some(item) = walk.item(measuring.spot) else {
        return Vec::new();
    };
    let mut told = Vec::new();
    if let (Gauge::Drops, Some(rate)) = (measuring.gauge, measuring.drops_per_minute()) {
        told.extend(how_much(view, walk, item, rate));
    }
    let mut reckoned = measuring.clone();
    if measuring.gauge == Gauge::Seconds && measuring.is_running(now) {
        reckoned.tap(now, view.setup.clock.now());
    }
    let reading = figure(&reckoned, item, walk.unit(item));
    if let Some(grade) = reading.and_then(|reading| proposed(view, walk, measuring, reading)) {
        told.push(format!("proposes {} {grade}", grade.rung()));
    }
    told
}

fn proposed(
    view: &View<'_>,
    walk: &WalkScreen,
    measuring: &Measuring,
    reading: Measure,
) -> Option<Grade> {
    let details = Details {
        reading: Some(reading),
        ..Details::default()
    };
    Some(walk.proposal(view.book, measuring.spot, details)?.grade)
}

/// Volumes of a drop rate, with the range that drops of other sizes make.
fn how_much(view: &View<'_>, walk: &WalkScreen, item: &Item, rate: f64) -> Vec<String> {
    let leak = leak_rate::drop_leak(rate);
    let about = |spread: Spread, unit: &str| {
        format!(
            "≈ {} {unit} ({} to {})",
            short(spread.nominal),
            short(spread.low),
            short(spread.high)
        )
    };
    let unit = volume_unit(view.book);
    let per_day = leak.map(leak_rate::litres_per_day);
    let per_day = per_day.map(|litres| unit.from_base(litres));
    let day = about(per_day, &format!("{unit} a day"));
    let mut told = vec![format!("{}, {day}", about(leak, "mL/h"))];
    let mut machines = walk.before.boat.machines.iter();
    let machine = machines.find(|m| m.id == walk.started.machine);
    let marks = machine.and_then(|m| m.between_marks);
    // The marks are those of the engine's dipstick.
    if let Some(marks) = marks.filter(|_| item.fluid == Some(Fluid::Oil)) {
        let hours = |ml: f64| leak_rate::hours_to_low_mark(marks.litres(), ml);
        if let (Some(low), Some(nominal), Some(high)) =
            (hours(leak.high), hours(leak.nominal), hours(leak.low))
        {
            let spread = Spread { low, nominal, high };
            told.push(about(spread, "h from the high mark to the low one"));
        }
    }
    told.push(format!(
        "20 drops taken for 1 mL; it may be {} to {}",
        leak_rate::FEWEST_PER_ML,
        leak_rate::MOST_PER_ML
    ));
    told
}

/// Where a tool could serve, said beside the reading's hint.
pub fn tool_hint(view: &View<'_>, item: &Item) -> Option<String> {
    let tool = item.tools().first().copied().filter(|t| item.reads(*t))?;
    let key = view
        .setup
        .keys
        .keys_of(Action::Measure)
        .first()?
        .to_string();
    let words = match tool {
        crate::checklist::Tool::Drops => "drop counter",
        crate::checklist::Tool::Stopwatch => "stopwatch",
        crate::checklist::Tool::Bucket => "bucket",
    };
    Some(format!("{key} {words}"))
}
