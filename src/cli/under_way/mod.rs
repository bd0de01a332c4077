//! `underway`: leaving with a plan, rounds, the log of them, fuel.

pub mod fuel;
pub mod log;
pub mod round;
pub mod sheet;

use chrono::{DateTime, FixedOffset};
use clap::{Args, Subcommand};

use super::act;
use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::record::RecordedBody;
use crate::boat::units::Volume;
use crate::boat::{Hours, Measure, Unit, Waters};
use crate::checklist::watch_round::cautions;
use crate::defects::list::Scenario;
use crate::defects::under_way::Passage;
use crate::defects::under_way_line::{Leg, UnderWay};
use crate::logbook::record::Record;

/// What a line does not do.
const GRADES_NOTHING: &str =
    "A line grades nothing. What is not as usual is told by: handlamp find";

/// The option behind each field.
const OPTIONS: &[(&str, &str)] = &[
    ("kind", "underway"),
    ("machine", "--machine"),
    ("at", "--at"),
    ("by", "--by"),
    ("plan", "--plan"),
    ("every", "--every"),
    ("hours", "--meter"),
    ("rpm", "--rpm"),
    ("speed", "--speed"),
    ("oil", "--oil"),
    ("temperature", "--temperature"),
    ("volts", "--volts"),
    ("vacuum", "--vacuum"),
    ("bilge", "--bilge"),
    ("drops", "--drops"),
    ("fuel", "--fuel"),
    ("fuel_added", "--fuel-added"),
    ("usual", "--all-usual"),
    ("engine_off", "--engine-off"),
    ("remark", "--remark"),
];

/// What to do under way.
#[derive(Subcommand, Debug)]
pub enum UnderWayCommand {
    /// Get under way: from here on rounds are due
    Begin {
        /// A plan set with `plan set`
        #[arg(long, value_name = "NAME")]
        plan: Option<String>,
        /// Waters, where they are not those of the plan
        #[arg(long)]
        waters: Option<Waters>,
        /// Minutes between two rounds [default: 60]
        #[arg(long, value_name = "MIN")]
        every: Option<u32>,
        /// What was read.
        #[command(flatten)]
        read: Read,
    },
    /// Write down a round, as read
    ///
    /// It grades nothing: what is not as usual is told by `find`, and a round that was missed stays missed.
    /// Figures outside what is usual on her are said at once, with what to do.
    Round {
        /// All that is due at this round is as usual; it is recorded in the words of what was due
        #[arg(long)]
        all_usual: bool,
        /// She sails, or is towed, with the engine off
        #[arg(long)]
        engine_off: bool,
        /// What was read.
        #[command(flatten)]
        read: Read,
    },
    /// End being under way
    End {
        /// What was read.
        #[command(flatten)]
        read: Read,
    },
    /// Show the rounds, one line each, with those that were missed
    Log(log::LogArgs),
    /// Write the watch of a day as a page to print: one line a round, her usual figures in the heads
    Sheet(sheet::SheetArgs),
    /// Say how far the fuel goes, by two rules, the stricter first
    ///
    /// The rate is that of the own log where tank and meter were read, else that of the profile, else it
    /// is reckoned from the rated power. The exit code is 1 where the fuel is not enough.
    Fuel(fuel::FuelArgs),
}

/// Figures of a line; what was not read is left out.
#[derive(Args, Debug, Clone, Default)]
#[command(next_help_heading = "What was read")]
pub struct Read {
    /// When, where it was not now
    #[arg(long, value_name = "TIME")]
    pub at: Option<String>,
    /// Who looked
    #[arg(long, value_name = "NAME")]
    pub by: Option<String>,
    /// Hour meter
    #[arg(long, value_name = "H", value_parser = Hours::typed)]
    pub meter: Option<Hours>,
    /// Engine speed, rpm
    #[arg(long, value_name = "N")]
    pub rpm: Option<f64>,
    /// Speed of the boat, in knots where no unit is named
    #[arg(long, value_name = "V", value_parser = speed)]
    pub speed: Option<Measure>,
    /// Oil pressure, in bar where no unit is named
    #[arg(long, value_name = "P", value_parser = pressure)]
    pub oil: Option<Measure>,
    /// Coolant temperature, in Celsius where no unit is named
    #[arg(long, value_name = "T", value_parser = temperature, allow_hyphen_values = true)]
    pub temperature: Option<Measure>,
    /// Charging voltage
    #[arg(long, value_name = "V", value_parser = volts)]
    pub volts: Option<Measure>,
    /// Vacuum behind the prefilter, in inHg where no unit is named
    #[arg(long, value_name = "P", value_parser = vacuum)]
    pub vacuum: Option<Measure>,
    /// Water in the bilge, in mm where no unit is named
    #[arg(long, value_name = "MM", value_parser = length)]
    pub bilge: Option<Measure>,
    /// Drops of the gland in a minute, by eye
    #[arg(long, value_name = "N")]
    pub drops: Option<f64>,
    /// Fuel aboard, in litres where no unit is named
    #[arg(long, value_name = "L")]
    pub fuel: Option<Volume>,
    /// Fuel taken in since the line before
    #[arg(long, value_name = "L")]
    pub fuel_added: Option<Volume>,
    /// In words
    #[arg(long, value_name = "TEXT")]
    pub remark: Option<String>,
}

fn speed(text: &str) -> Result<Measure, String> {
    Measure::parse(text, Unit::Knot)
}

fn pressure(text: &str) -> Result<Measure, String> {
    Measure::parse(text, Unit::Bar)
}

fn temperature(text: &str) -> Result<Measure, String> {
    Measure::parse(text, Unit::Celsius)
}

fn volts(text: &str) -> Result<Measure, String> {
    Measure::parse(text, Unit::Volt)
}

fn vacuum(text: &str) -> Result<Measure, String> {
    Measure::parse(text, Unit::InchMercury)
}

fn length(text: &str) -> Result<Measure, String> {
    Measure::parse(text, Unit::Millimetre)
}

impl Read {
    fn line(&self, kind: Leg, cx: &Context) -> Result<UnderWay, Failure> {
        let now = cx.clock.now();
        Ok(UnderWay {
            machine: cx.global.machine.clone(),
            at: Some(act::happened(self.at.as_deref(), now)?),
            by: self.by.clone(),
            hours: self.meter,
            rpm: self.rpm,
            speed: self.speed,
            oil: self.oil,
            temperature: self.temperature,
            volts: self.volts,
            vacuum: self.vacuum,
            bilge: self.bilge,
            drops: self.drops,
            fuel: self.fuel,
            fuel_added: self.fuel_added,
            remark: self.remark.clone(),
            ..UnderWay::bare(kind)
        })
    }
}

/// Runs the command.
///
/// # Errors
/// What is wrong with the line, or the logbook cannot be read or written.
pub fn run(command: &UnderWayCommand, cx: &Context) -> Result<Answer, Failure> {
    match command {
        UnderWayCommand::Begin {
            plan,
            waters,
            every,
            read,
        } => {
            let line = UnderWay {
                plan: plan.clone(),
                waters: *waters,
                every: *every,
                ..read.line(Leg::Begins, cx)?
            };
            record(line, cx)
        }
        UnderWayCommand::Round {
            all_usual,
            engine_off,
            read,
        } => {
            let line = UnderWay {
                engine_off: *engine_off,
                ..read.line(Leg::Round, cx)?
            };
            round::run(line, *all_usual, cx)
        }
        UnderWayCommand::End { read } => record(read.line(Leg::Ends, cx)?, cx),
        UnderWayCommand::Log(args) => log::run(args, cx),
        UnderWayCommand::Sheet(args) => sheet::run(args, cx),
        UnderWayCommand::Fuel(args) => fuel::run(args, cx),
    }
}

fn record(line: UnderWay, cx: &Context) -> Result<Answer, Failure> {
    let kind = line.kind;
    let record = Record::from(line);
    let mut book = act::open(&record, cx)?;
    let (_, ids) = act::put(&mut book, record, OPTIONS)?;
    let body = RecordedBody::of(ids);
    let machine = cx.machine(&book)?;
    let next = Passage::running(book.history(), &machine, cx.clock.now()).and_then(|p| p.next());
    let condition = book.condition();
    let (exposure, waters) = condition.usual_plan();
    let rows = condition.list(Scenario::new(exposure, waters), false).rows;
    let stops = rows.iter().filter(|row| row.stop).count();
    Ok(cx.form.answer("recorded", &body, |page| {
        match (kind, next) {
            (Leg::Ends, _) => page.line("No more under way."),
            (_, Some(next)) => page.line(format!(
                "Written down. The next round is due {}.",
                clock(next)
            )),
            (_, None) => page.line("Written down."),
        }
        if stops > 0 {
            page.line(format!("Stops in force: {stops}; see: handlamp defects"));
        }
        if kind != Leg::Ends {
            cautions()
                .iter()
                .for_each(|caution| page.paragraph(caution));
        }
        page.line(GRADES_NOTHING);
    }))
}

/// A time as the log has it.
fn clock(at: DateTime<FixedOffset>) -> String {
    at.format("%Y-%m-%d %H:%M").to_string()
}
