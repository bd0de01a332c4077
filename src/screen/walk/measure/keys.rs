//! Keys of the tools at an item: opening one, tapping, taking the figure into the record.

use crate::assess::leak_rate;
use crate::boat::units::Volume;
use crate::boat::{Measure, Unit};
use crate::checklist::{Item, Leak, Tool};
use crate::defects::admit::LONGEST_NOTE;
use crate::keys::Action;
use crate::screen::kind::volume_unit;
use crate::screen::layers::{Choice, Layer};
use crate::screen::walk::ask::{self, Line, Pick};
use crate::screen::walk::measure::{Gauge, LEAST, Measuring};
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::walk::Spot;

impl WalkScreen {
    /// True where an item in front of one can be measured with a tool.
    pub fn can_measure(&self) -> bool {
        let several = self.row().map_or(1, |r| r.items.len());
        let spots = (0..several).map(|item| Spot { item, ..self.at });
        let mut spots = spots.filter(|s| !self.open || s.item == self.at.item);
        spots.any(|s| self.item(s).is_some_and(|i| !i.tools().is_empty()))
    }

    /// Opens the tool of an item, or asks which where several fit.
    pub fn open_measure(&mut self, spot: Spot, cx: &mut Turn<'_>) {
        let Some(item) = self.item(spot) else {
            return;
        };
        let tools = item.tools();
        match tools.as_slice() {
            [] => cx.warn("nothing to count or to time at this item"),
            [only] => self.start_tool(spot, *only, cx),
            _ => {
                let options = tools
                    .iter()
                    .map(|t| ask::tool_option(*t, item.reads(*t)))
                    .collect();
                let title = self.title_of(spot, "measure with");
                cx.ask(Layer::choice(title, options, Pick::Tool(spot)));
            }
        }
    }

    pub fn tool_picked(&mut self, spot: Spot, at: usize, cx: &mut Turn<'_>) {
        let item = self.item(spot);
        if let Some(tool) = item.and_then(|i| i.tools().get(at).copied()) {
            self.start_tool(spot, tool, cx);
        }
    }

    fn start_tool(&mut self, spot: Spot, tool: Tool, cx: &mut Turn<'_>) {
        match tool {
            Tool::Drops => self.begin_measuring(spot, Gauge::Drops),
            Tool::Stopwatch => self.begin_measuring(spot, Gauge::Seconds),
            Tool::Bucket => {
                let unit = volume_unit(cx.book);
                let before = cx.bucket.map(|b| format!("; empty: {b} again"));
                let hint = format!(
                    "how much it holds, in {unit} unless you type the unit{}",
                    before.unwrap_or_default()
                );
                let title = self.title_of(spot, "bucket");
                cx.ask(Layer::line(title, hint, Line::Bucket(spot)));
            }
        }
    }

    /// A bucket was named: the clock stands ready.
    pub fn bucket_typed(
        &mut self,
        spot: Spot,
        text: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        let bucket = match (text.is_empty(), cx.bucket) {
            (true, Some(before)) => before,
            _ => Volume::new(Measure::parse(text, volume_unit(cx.book))?)?,
        };
        if bucket.litres() <= 0.0 {
            return Err("a bucket that holds nothing tells nothing".into());
        }
        cx.bucket = Some(bucket);
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
        self.measuring = Some(Box::new(measuring));
    }

    /// A key while something is measured.
    pub fn measure_act(&mut self, action: Action, cx: &mut Turn<'_>) {
        let (now, wall) = (cx.setup.clock.monotonic(), cx.setup.clock.now());
        let Some(measuring) = &mut self.measuring else {
            return;
        };
        match action {
            Action::Tap => {
                let over = measuring.is_over(now);
                if !measuring.tap(now, wall) && over {
                    cx.tell("this one is over; Enter takes it, Esc leaves it");
                }
            }
            Action::Undo => {
                let taken_back = measuring.untap();
                if !taken_back {
                    cx.tell("nothing to take back");
                }
            }
            Action::Accept => self.accept_measure(cx),
            Action::Back => {
                // Leaving a measurement says what is left.
                match (measuring.gauge, measuring.taps()) {
                    (_, 0) => {}
                    (Gauge::Drops, drops) => {
                        cx.tell(format!("left; {drops} drop(s) counted and not recorded"));
                    }
                    _ => cx.tell("left; the time taken is not recorded"),
                }
                self.measuring = None;
            }
            _ => {}
        }
    }

    /// Takes the figure: into the reading where the item reads it, else into the note.
    pub fn accept_measure(&mut self, cx: &mut Turn<'_>) {
        let (now, wall) = (cx.setup.clock.monotonic(), cx.setup.clock.now());
        let key = cx.setup.key(Action::Tap);
        let Some(measuring) = &mut self.measuring else {
            return;
        };
        match (measuring.gauge, measuring.taps()) {
            (Gauge::Drops, 0 | 1) => {
                return cx.warn(format!(
                    "two drops at least, {key} at each; where none falls, type 0 as the reading or leave it"
                ));
            }
            (_, 0) => return cx.warn(format!("{key} starts the clock first")),
            (Gauge::Seconds | Gauge::Bucket(_), 1) => {
                measuring.tap(now, wall);
            }
            _ => {}
        }
        if let Some(doubt) = doubt(measuring, now)
            && !std::mem::replace(&mut measuring.warned, true)
        {
            return cx.warn(format!("{doubt}; Enter again takes it all the same"));
        }
        if let Some(measuring) = self.measuring.take() {
            self.take_figure(&measuring, cx);
        }
    }

    fn take_figure(&mut self, measuring: &Measuring, cx: &mut Turn<'_>) {
        let spot = measuring.spot;
        let book = &*cx.book;
        let Some(item) = self.item(spot) else { return };
        let unit = self.unit(item);
        if let Some(figure) = figure(measuring, item, unit) {
            if self.amend(spot, |d| d.reading = Some(figure), cx) {
                self.take_proposal(spot, cx);
            }
            return;
        }
        let words = in_words(measuring, volume_unit(cx.book));
        let details = self.standing_details(book, spot);
        let note = match details.note {
            Some(before) => format!("{before}\n{words}"),
            None => words,
        };
        if note.len() > LONGEST_NOTE {
            cx.warn("the note is full; the figure is not recorded");
            return;
        }
        let leak = details.leak;
        if !self.amend(spot, |d| d.note = Some(note), cx) {
            return;
        }
        if measuring.gauge == Gauge::Drops {
            // Drops that fall are class III by its very words; what is worse already stays so.
            let class = leak.unwrap_or(Leak::Iii).max(Leak::Iii);
            let choice = Choice {
                title: self.title_of(spot, "leak class; drops that fall are III"),
                options: ask::leak_options(),
                cursor: Leak::ALL.iter().position(|l| *l == class).unwrap_or(0),
                ..Choice::default()
            };
            cx.ask(Layer::Choice(choice, Pick::Leak(spot)));
        }
        cx.tell("the figure stands in the note; now grade it");
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
