//! Keys of the tools at an item: opening one, tapping, taking the figure into the record.

use std::time::Instant;

use crate::assess::leak_rate;
use crate::boat::units::Volume;
use crate::boat::{Measure, Unit};
use crate::checklist::{Item, Leak, Tool};
use crate::defects::admit::LONGEST_NOTE;
use crate::screen::app::App;
use crate::screen::layers::ask::{self, Ask};
use crate::screen::layers::{Choice, Layer};
use crate::screen::measure::{Gauge, LEAST, Measuring};
use crate::walk::Spot;

impl App {
    /// True where an item in front of one can be measured with a tool.
    pub(crate) fn can_measure(&self) -> bool {
        let Some((walk, _)) = self.walking() else {
            return false;
        };
        let several = walk.row().map_or(1, |r| r.items.len());
        let spots = (0..several).map(|item| Spot { item, ..walk.at });
        let mut spots = spots.filter(|s| !walk.open || s.item == walk.at.item);
        spots.any(|s| walk.item(s).is_some_and(|i| !i.tools().is_empty()))
    }

    /// Opens the tool of an item, or asks which where several fit.
    pub(crate) fn open_measure(&mut self, spot: Spot) {
        let Some(item) = self.walking().and_then(|(walk, _)| walk.item(spot)) else {
            return;
        };
        let tools = item.tools();
        match tools.as_slice() {
            [] => self.warn("nothing to count or to time at this item"),
            [only] => self.start_tool(spot, *only),
            _ => {
                let options = tools
                    .iter()
                    .map(|t| ask::tool_option(*t, item.reads(*t)))
                    .collect();
                let title = self.title_of(spot, "measure with");
                self.layers
                    .push(Layer::choice(title, options, Ask::Tool(spot)));
            }
        }
    }

    pub(crate) fn tool_picked(&mut self, spot: Spot, at: usize) {
        let item = self.walking().and_then(|(walk, _)| walk.item(spot));
        if let Some(tool) = item.and_then(|i| i.tools().get(at).copied()) {
            self.start_tool(spot, tool);
        }
    }

    fn start_tool(&mut self, spot: Spot, tool: Tool) {
        match tool {
            Tool::Drops => self.begin_measuring(spot, Gauge::Drops),
            Tool::Stopwatch => self.begin_measuring(spot, Gauge::Seconds),
            Tool::Bucket => {
                let unit = self.volume_unit();
                let before = self.bucket.map(|b| format!("; empty: {b} again"));
                let hint = format!(
                    "how much it holds, in {unit} unless you type the unit{}",
                    before.unwrap_or_default()
                );
                let title = self.title_of(spot, "bucket");
                self.layers
                    .push(Layer::line(title, hint, Ask::Bucket(spot)));
            }
        }
    }

    /// The unit in which this person thinks of volumes.
    pub(crate) fn volume_unit(&self) -> Unit {
        let habit = self.book.as_ref().map(|b| b.boat().units);
        habit.map_or(Unit::Litre, |habit| Unit::Litre.preferred(habit))
    }

    /// A bucket was named: the clock stands ready.
    pub(crate) fn bucket_typed(&mut self, spot: Spot, text: &str) -> Result<(), String> {
        let bucket = match (text.is_empty(), self.bucket) {
            (true, Some(before)) => before,
            _ => Volume::new(Measure::parse(text, self.volume_unit())?)?,
        };
        if bucket.litres() <= 0.0 {
            return Err("a bucket that holds nothing tells nothing".into());
        }
        self.bucket = Some(bucket);
        self.begin_measuring(spot, Gauge::Bucket(bucket));
        Ok(())
    }

    fn begin_measuring(&mut self, spot: Spot, gauge: Gauge) {
        let words = match gauge {
            Gauge::Drops => "drop counter".to_owned(),
            Gauge::Seconds => "stopwatch".to_owned(),
            Gauge::Bucket(bucket) => format!("seconds to fill {bucket}"),
        };
        let title = self.title_of(spot, &words);
        let measuring = Measuring::new(title, spot, gauge);
        self.layers.push(Layer::Measure(Box::new(measuring)));
    }

    pub(crate) fn tap(&mut self) {
        let (now, wall) = (self.setup.clock.monotonic(), self.setup.clock.now());
        if let Some(Layer::Measure(measuring)) = self.layers.last_mut() {
            let over = measuring.is_over(now);
            if !measuring.tap(now, wall) && over {
                self.tell("this one is over; Enter takes it, Esc leaves it");
            }
        }
    }

    pub(crate) fn untap(&mut self) {
        if let Some(Layer::Measure(measuring)) = self.layers.last_mut()
            && !measuring.untap()
        {
            self.tell("nothing to take back");
        }
    }

    /// Leaving a measurement says what is left.
    pub(crate) fn left_measure(&mut self, measuring: &Measuring) {
        match (measuring.gauge, measuring.taps()) {
            (_, 0) => {}
            (Gauge::Drops, drops) => {
                self.tell(format!("left; {drops} drop(s) counted and not recorded"));
            }
            _ => self.tell("left; the time taken is not recorded"),
        }
    }

    /// A program stopped and brought back finds its clocks further on.
    pub(crate) fn tell_clock_runs_on(&mut self) {
        let now = self.setup.clock.monotonic();
        let running =
            |layer: &Layer| matches!(layer, Layer::Measure(measuring) if measuring.is_running(now));
        if self.layers.iter().any(running) {
            self.tell("the clock ran on while the program was stopped");
        }
    }

    /// When the next tenth of a second is to be drawn; none while nothing runs.
    pub(crate) fn next_tick(&self) -> Option<Instant> {
        let now = self.setup.clock.monotonic();
        let changes = self.layers.iter().filter_map(|layer| match layer {
            Layer::Measure(measuring) => measuring.next_change(now),
            _ => None,
        });
        changes.min().map(|left| Instant::now() + left)
    }

    /// Takes the figure: into the reading where the item reads it, else into the note.
    pub(crate) fn accept_measure(&mut self) {
        let (now, wall) = (self.setup.clock.monotonic(), self.setup.clock.now());
        let key = self.setup.keys.keys_of(crate::keys::Action::Tap);
        let key = key.first().map(ToString::to_string).unwrap_or_default();
        let Some(Layer::Measure(measuring)) = self.layers.last_mut() else {
            return;
        };
        match (measuring.gauge, measuring.taps()) {
            (Gauge::Drops, 0 | 1) => {
                return self.warn(format!(
                    "two drops at least, {key} at each; where none falls, type 0 as the reading or leave it"
                ));
            }
            (_, 0) => return self.warn(format!("{key} starts the clock first")),
            (Gauge::Seconds | Gauge::Bucket(_), 1) => {
                measuring.tap(now, wall);
            }
            _ => {}
        }
        if let Some(doubt) = doubt(measuring, now)
            && !std::mem::replace(&mut measuring.warned, true)
        {
            return self.warn(format!("{doubt}; Enter again takes it all the same"));
        }
        let Some(Layer::Measure(measuring)) = self.layers.pop() else {
            return;
        };
        self.take_figure(&measuring);
    }

    fn take_figure(&mut self, measuring: &Measuring) {
        let spot = measuring.spot;
        let Some((walk, book)) = self.walking() else {
            return;
        };
        let Some(item) = walk.item(spot) else { return };
        let unit = walk.unit(item);
        if let Some(figure) = figure(measuring, item, unit) {
            if self.amend(spot, |d| d.reading = Some(figure)) {
                self.take_proposal(spot);
            }
            return;
        }
        let words = in_words(measuring, self.volume_unit());
        let details = walk.standing_details(book, spot);
        let note = match details.note {
            Some(before) => format!("{before}\n{words}"),
            None => words,
        };
        if note.len() > LONGEST_NOTE {
            self.warn("the note is full; the figure is not recorded");
            return;
        }
        let leak = details.leak;
        if !self.amend(spot, |d| d.note = Some(note)) {
            return;
        }
        if measuring.gauge == Gauge::Drops {
            // Drops that fall are class III by its very words; what is worse already stays so.
            let class = leak.unwrap_or(Leak::Iii).max(Leak::Iii);
            self.layers.push(Layer::Choice(Choice {
                title: self.title_of(spot, "leak class; drops that fall are III"),
                options: ask::leak_options(),
                cursor: Leak::ALL.iter().position(|l| *l == class).unwrap_or(0),
                lead: Vec::new(),
                loud: false,
                ticks: None,
                ask: Ask::Leak(spot),
            }));
        }
        self.tell("the figure stands in the note; now grade it");
    }
}

/// Why a figure is not to be trusted.
fn doubt(measuring: &Measuring, now: std::time::Duration) -> Option<String> {
    let seconds = measuring.interval().as_secs_f64();
    if measuring.doubtful {
        Some("the computer slept or its clock was set meanwhile".to_owned())
    } else if measuring.gauge != Gauge::Drops {
        None
    } else if measuring.is_late(now) {
        Some("no drop for long: this is the rate of those before".to_owned())
    } else if measuring.interval() < LEAST {
        let least = LEAST.as_secs();
        Some(format!(
            "only {seconds:.1} s counted, {least} s is the least to go by"
        ))
    } else {
        None
    }
}

/// The figure as the item's reading; none where the item does not read it.
pub(crate) fn figure(measuring: &Measuring, item: &Item, unit: Option<Unit>) -> Option<Measure> {
    let seconds = measuring.interval().as_secs_f64();
    let (tool, value, unit) = match measuring.gauge {
        Gauge::Drops => {
            let rate = measuring.drops_per_minute()?;
            (Tool::Drops, tenths(rate), Unit::DropsPerMinute)
        }
        Gauge::Seconds => (Tool::Stopwatch, tenths(seconds), Unit::Second),
        Gauge::Bucket(bucket) => {
            let per_hour = leak_rate::flow(bucket.litres(), seconds)?;
            let unit = unit?;
            (Tool::Bucket, tenths(unit.from_base(per_hour)), unit)
        }
    };
    item.reads(tool)
        .then(|| Measure::new(value, unit).ok())
        .flatten()
}

/// The figure in words, for a note.
fn in_words(measuring: &Measuring, volume: Unit) -> String {
    let seconds = measuring.interval().as_secs_f64();
    match measuring.gauge {
        Gauge::Drops => {
            let rate = measuring.drops_per_minute().unwrap_or(0.0);
            let leak = leak_rate::drop_leak(rate);
            format!(
                "{} drops in {seconds:.1} s: {rate:.1} drops/min, about {} mL/h ({} to {})",
                measuring.taps(),
                short(leak.nominal),
                short(leak.low),
                short(leak.high)
            )
        }
        Gauge::Seconds => format!("{seconds:.1} s"),
        Gauge::Bucket(bucket) => {
            let unit = flow_unit(volume);
            let flow = leak_rate::flow(bucket.litres(), seconds).unwrap_or(0.0);
            let flow = short(unit.from_base(flow));
            format!("{bucket} in {seconds:.1} s: {flow} {unit}")
        }
    }
}

/// The unit of a flow for someone who thinks in a unit of volume.
pub(crate) fn flow_unit(volume: Unit) -> Unit {
    match volume {
        Unit::UsQuart => Unit::GallonPerMinute,
        _ => Unit::LitrePerMinute,
    }
}

fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// A figure with as many digits as it deserves: about two that count.
pub(crate) fn short(value: f64) -> String {
    match value {
        v if v >= 9.95 => format!("{v:.0}"),
        v if v >= 0.995 => format!("{v:.1}"),
        v => format!("{v:.2}"),
    }
}
