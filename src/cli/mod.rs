//! The command line: arguments in, an answer or a failure out. No rules live here.
//!
//! One file per command; its doc comments are its help. Beside them:
//! - [`answer`]: text or JSON, and whether the answer is no; [`failure`]: what went wrong and the
//!   exit code
//! - [`page`]: plain text fitted to the terminal, filtered
//! - [`context`]: time, library and logbook for a command; [`place`]: where things are
//! - [`exposure`]: the options that say what lies ahead
//! - [`source`]: files named on the command line to be read; [`own_file`]: those to be written
//! - [`waiting`]: how far a report is, and its end by a signal
//! - [`screens`]: what the screens are opened with
//! - [`schema`]: JSON Schema of every output
//!
#![doc = include_str!("COMMANDS.md")]

pub mod act;
pub mod answer;
pub mod boat;
pub mod carry;
pub mod causes;
pub mod checklist;
pub mod completions;
pub mod context;
pub mod cost;
pub mod coverage;
pub mod defects;
pub mod defer;
pub mod demo;
pub mod due;
pub mod entries;
pub mod explain;
pub mod exposure;
pub mod failure;
pub mod find;
pub mod first_minute;
pub mod fleet;
pub mod front;
pub mod give_on;
pub mod hand_over;
pub mod issue;
pub mod item;
pub mod keys;
pub mod label;
pub mod learning;
pub mod leaving;
pub mod locker;
pub mod logbook;
pub mod man;
pub mod minutes;
pub mod opened;
pub mod override_;
pub mod own_file;
pub mod page;
pub mod parts;
pub mod place;
pub mod places;
pub mod plan;
pub mod ready;
pub mod record;
pub mod repair;
pub mod report;
pub mod schema;
pub mod screens;
pub mod service;
pub mod source;
pub mod started;
pub mod symptoms;
pub mod trend;
pub mod under_way;
pub mod verdict;
pub mod verify;
pub mod waiting;
pub mod walk;
pub mod walks;
pub mod withdraw;
pub mod yard;

use std::ffi::OsString;
use std::io::{self, Write};
use std::os::fd::AsFd;
use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};
use clap::{ArgAction, Args, ColorChoice, Parser, Subcommand};

use self::answer::Answer;
use self::context::Context;
use self::failure::{DONE, Failure, LOGBOOK, MOST_SENTENCES, USAGE};
use self::screens::Opening;
use crate::paint::theme::ThemeName;
use crate::text::{safe, safe_text};

/// Walk round a boat's engine room, grade what you see, and get a defect list ranked by risk
///
/// Without a command the screens open. Everything the screens do with records is a command too.
/// The program records what was seen and certifies nothing; the maker's handbook and local rules
/// outrank it.
#[derive(Parser, Debug)]
#[command(
    name = "handlamp",
    version,
    color = ColorChoice::Never,
    max_term_width = 100,
    disable_help_subcommand = true,
    after_help = "Exit codes: 0 done; 1 the answer is no (do not run, do not leave, not signed off, a check failed); 2 bad input or usage; 3 the logbook cannot be read or written.\n\nFolders: the logbook lies in HANDLAMP_LOGBOOK, else in the platform's data directory; config.json and checklists/*.json lie in HANDLAMP_CONFIG_DIR, else in the platform's configuration directory."
)]
pub struct Cli {
    /// Options every command takes.
    #[command(flatten)]
    pub global: Global,
    /// What to do; the screens where nothing is named.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// Options every command takes.
#[derive(Args, Debug, Clone, Default)]
#[command(next_help_heading = "Options for every command")]
pub struct Global {
    /// The logbook's folder [default: HANDLAMP_LOGBOOK, else under the data directory]
    #[arg(long, global = true, value_name = "DIR")]
    pub logbook: Option<PathBuf>,
    /// Take this as the time, for records of the past and output that can be made again
    #[arg(long, global = true, value_name = "TIME", value_parser = time)]
    pub now: Option<DateTime<FixedOffset>>,
    /// Answer in JSON
    #[arg(long, global = true, action = ArgAction::SetTrue)]
    pub json: bool,
    /// The machine meant, where the boat has several
    #[arg(long, global = true, value_name = "ID")]
    pub machine: Option<String>,
    /// Theme of the screens: plain, night, contrast or mono
    #[arg(long, global = true, value_name = "NAME")]
    pub theme: Option<ThemeName>,
}

fn time(text: &str) -> Result<DateTime<FixedOffset>, String> {
    DateTime::parse_from_rfc3339(text).map_err(|_| {
        "expected a time with its offset, such as 2026-05-03T07:40:00+02:00".to_owned()
    })
}

/// The commands.
#[derive(Subcommand, Debug)]
pub enum Command {
    /// Open the screens straight in a walk
    Walk(walk::WalkArgs),
    /// Set up the boat's profile, or show it
    #[command(subcommand)]
    Boat(boat::BoatCommand),
    /// Record walks and other records from JSON, all or nothing
    ///
    /// Every record may carry its own `id`; recording it twice is harmless.
    Record(record::RecordArgs),
    /// Record one thing found, at any time and without a walk, and tell what it orders
    ///
    /// What it orders, how long it can wait, when to look again and what to do.
    Find(find::FindArgs),
    /// Tell the verdict on a walk, as at the walk and as of now
    ///
    /// The exit code is 1 for do not run, do not leave and not signed off, as of now, and for a machine
    /// that the boat has no more.
    Verdict(verdict::VerdictArgs),
    /// List the defects, worst first
    Defects(defects::DefectsArgs),
    /// Let a defect wait, for a reason, until an hour or a date
    Defer(defer::DeferArgs),
    /// Set severity or level by hand, for a reason; with neither, lift what was set
    Override(override_::OverrideArgs),
    /// Record that something was put right
    Repair(repair::RepairArgs),
    /// Tell what was left so that she must not be started before it is put back
    Opened(opened::OpenedArgs),
    /// Tell that what was left open is put back
    Closed(opened::ClosedArgs),
    /// Tell whether anything on record speaks against her floating, starting, leaving
    ///
    /// Stops in force and what was left open. Nothing on record is the best answer there is; the exit
    /// code is 1 where anything forbids one of the three.
    Ready,
    /// Tell afterwards that she was started over a stop, when and why
    Started(started::StartedArgs),
    /// Withdraw a defect that was none
    Withdraw(withdraw::WithdrawArgs),
    /// Estimate what putting a defect right may cost, and add the estimates up
    Cost(cost::CostArgs),
    /// What needs her out of the water, as a letter to the yard; and the same list back, as seen or as told
    Yard(yard::YardArgs),
    /// Say how long the remedy of an item, or a task, takes here; `leaving` counts it before what is judged
    Minutes(minutes::MinutesArgs),
    /// Tell what findings point to together, and which look tells the causes apart
    ///
    /// Of a machine of the logbook; with --looks of answers alone, without a logbook. It records nothing but what `add` puts in. Without --now-she-is a machine counts as warm for four hours after a look at her running, and of answers alone nothing is known of how she lies.
    Causes(causes::CausesArgs),
    /// Tell how much of a walk was seen, and what the rest could hide
    Coverage(coverage::CoverageArgs),
    /// Show the whole arithmetic behind one item
    Explain(explain::ExplainArgs),
    /// Show what the looks on record have taught, or freeze, resume, reset or stop it
    Learning(learning::LearningArgs),
    /// Tell where the readings of an item are going
    ///
    /// The slope with its interval, the test for a trend, and when the next worse rung is reached.
    Trend(trend::TrendArgs),
    /// Name exposures, and compare the list between two of them
    #[command(subcommand)]
    Plan(plan::PlanCommand),
    /// List what is due: service tasks, rechecks, lives that run out, looks
    Due(due::DueArgs),
    /// Say what to mend before leaving, in the time and for the money there is
    ///
    /// What must be done stands first and is never traded: stops, what comes before the engine runs, work
    /// that comes due on the way. Of the rest it chooses what takes away most of the trouble this list can
    /// see, and says what can wait and what that leaves. The exit code is 1 where a stop is in force.
    Leaving(leaving::LeavingArgs),
    /// Tell what spares lie aboard, what went in and out, and what is missing for the waters ahead
    Locker(locker::LockerArgs),
    /// Say which spares to take on a passage, in the room and for the money there is
    ///
    /// The choice under which being stopped for want of one is least likely. What is aboard counts only
    /// with its tools and instruction, and once one like it was fitted in harbour. What is customary in
    /// those waters and missing stands beside it. Nothing is recorded.
    Carry(carry::CarryArgs),
    /// Under way: rounds, the log of a day, fuel
    #[command(subcommand, name = "underway")]
    UnderWay(under_way::UnderWayCommand),
    /// Where things are aboard, in words, and how each stands
    Places,
    /// Record recurring work, and see what was done
    #[command(subcommand)]
    Service(service::ServiceCommand),
    /// Tell what to write on a part: task, date, hours, when it is due next
    Label(label::LabelArgs),
    /// Tell what is known of the parts that tasks and remedies need: numbers, measures, cautions
    Parts(parts::PartsArgs),
    /// List past walks, or compare two of them
    Walks(walks::WalksArgs),
    /// List everything on record, entry by entry, and take it back or put it right
    ///
    /// Nothing is ever erased: what was first written stays, with what became of it and why.
    Entries(entries::EntriesArgs),
    /// Write a report of a walk, or of the logbook as it stands
    Report(report::ReportArgs),
    /// Enter what stands before the findings of a report, and list what is missing
    ///
    /// Who asked for it, who made it, where she lay, what is on the plates, instruments, documents. With
    /// nothing said it only lists. It can be changed until the report is issued, and for its next
    /// revision after that.
    Front(front::FrontArgs),
    /// Issue a report: freeze it under a number, with a code that proves it later
    ///
    /// Its findings are the looks of the walks named and no one else's; what else is on record is named
    /// in it. What was issued never changes; issued again it is a revision, with what changed and why.
    Issue(issue::IssueArgs),
    /// List the reports issued, or write the page of one again, byte for byte
    ///
    /// The exit code is 1 where something kept of one is missing or was changed.
    Issued(issue::IssuedArgs),
    /// Tell whether a page is the report that was issued under a code, and what of it was changed
    ///
    /// It needs no logbook; with --logbook the page is held against the one kept there. The exit code is
    /// 1 where it is not whole, and 2 for a code that was never printed so.
    Verify(verify::VerifyArgs),
    /// Print the first-minute cards: fire, water coming in, exhaust gas, and what else cannot wait
    ///
    /// Six lines each, without a question or a figure, with where each handle is as far as the boat's
    /// profile says. With `--to` a page is written to print for the hatch. Without a logbook they are
    /// printed too, and the places stay open. Nothing is recorded.
    FirstMinute(first_minute::FirstMinuteArgs),
    /// Say what comes first when she runs hot, smokes, shakes or will not start, and where to look then
    ///
    /// In a skipper's words. Each symptom has its first words, or its first-minute card, and the items
    /// to be looked at once the boat is safe. Nothing is recorded.
    Symptoms(symptoms::SymptomsArgs),
    /// Say what somebody else has to know who takes her out, on one page
    ///
    /// Stops first, then temporary repairs, levels, how she starts and stops, where things are, what is
    /// normal on her, and a short check to tick. What nobody told is left as a line to write on.
    HandOver(hand_over::HandOverArgs),
    /// Write her history to a new folder, for whoever owns her next
    ///
    /// It is a logbook to go on with. Names, prices, places, notes and photographs stay with you unless
    /// you say otherwise, and it says how many entries were left out, taken back or put right. Ages and
    /// findings stand as told; nothing in it counts as sound until the new owner has looked.
    GiveOn(give_on::GiveOnArgs),
    /// Show, check and print checklists
    #[command(subcommand)]
    Checklist(checklist::ChecklistCommand),
    /// Add an item of your own, change it, and say where an item is asked
    #[command(subcommand)]
    Item(item::ItemCommand),
    /// Check, merge, seal and export the logbook
    #[command(subcommand)]
    Logbook(logbook::LogbookCommand),
    /// Tell of every boat whose logbook lies in a folder, and add up over all of them
    ///
    /// How each stands; who may not go out and why; parts to order, work by person and place, what is
    /// due week by week, which item fails most, how long things last. A logbook that cannot be read takes
    /// nothing from the others: every sum says that it is missing, and the exit code is 3. Nothing is
    /// recorded.
    Fleet(fleet::FleetArgs),
    /// Write the demo boat and look at it
    Demo(demo::DemoArgs),
    /// Print the keys of the screens
    Keys,
    /// Print command-line completion for a shell
    Completions(completions::CompletionsArgs),
    /// Print a manual page
    Man(man::ManArgs),
}

/// What is left to do when the command line is understood.
pub enum Next {
    /// Nothing: everything is printed, and the program ends with this code.
    Exit(u8),
    /// Open the screens, with what the command line named.
    Screens(Box<Opening>),
}

/// Runs the command line: prints the answer to the standard output and failures to the standard
/// error. `args` begin with the program's name.
pub fn run(args: impl IntoIterator<Item = OsString>) -> Next {
    let cli = match Cli::try_parse_from(args) {
        Ok(cli) => cli,
        Err(error) => return Next::Exit(misused(&error)),
    };
    let cx = Context::new(cli.global, columns_of(io::stdout()));
    let done = carry_out(cli.command, &cx);
    for note in cx.take_notes() {
        complain(&note);
    }
    match done {
        Ok(Done::Screens(opening)) => Next::Screens(opening),
        Ok(Done::Answer(answer)) => {
            let code = print(&answer.text, answer.code);
            Next::Exit(if cx.is_part_unread() { LOGBOOK } else { code })
        }
        Err(failure) => Next::Exit(report(&failure)),
    }
}

/// What a command came to.
pub enum Done {
    /// An answer to be printed, with its exit code.
    Answer(Answer),
    /// The screens to open.
    Screens(Box<Opening>),
}

fn carry_out(command: Option<Command>, cx: &Context) -> Result<Done, Failure> {
    let answer = match &command {
        None => return screens::opening(cx).map(Box::new).map(Done::Screens),
        Some(Command::Walk(args)) => return walk::open(args, cx).map(Box::new).map(Done::Screens),
        Some(Command::Boat(command)) => boat::run(command, cx),
        Some(Command::Record(args)) => record::run(args, cx),
        Some(Command::Find(args)) => find::run(args, cx),
        Some(Command::Verdict(args)) => verdict::run(args, cx),
        Some(Command::Defects(args)) => defects::run(args, cx),
        Some(Command::Defer(args)) => defer::run(args, cx),
        Some(Command::Override(args)) => override_::run(args, cx),
        Some(Command::Repair(args)) => repair::run(args, cx),
        Some(Command::Opened(args)) => opened::opened(args, cx),
        Some(Command::Closed(args)) => opened::closed(args, cx),
        Some(Command::Started(args)) => started::run(args, cx),
        Some(Command::Withdraw(args)) => withdraw::run(args, cx),
        Some(Command::Cost(args)) => cost::run(args, cx),
        Some(Command::Yard(args)) => yard::run(args, cx),
        Some(Command::Minutes(args)) => minutes::run(args, cx),
        Some(Command::Causes(args)) => causes::run(args, cx),
        Some(Command::Coverage(args)) => coverage::run(args, cx),
        Some(Command::Explain(args)) => explain::run(args, cx),
        Some(Command::Learning(args)) => learning::run(args, cx),
        Some(Command::Trend(args)) => trend::run(args, cx),
        Some(Command::Plan(command)) => plan::run(command, cx),
        Some(Command::Due(args)) => due::run(args, cx),
        Some(Command::Leaving(args)) => leaving::run(args, cx),
        Some(Command::Locker(args)) => locker::run(args, cx),
        Some(Command::Carry(args)) => carry::run(args, cx),
        Some(Command::Ready) => ready::run(cx),
        Some(Command::UnderWay(command)) => under_way::run(command, cx),
        Some(Command::Places) => places::run(cx),
        Some(Command::Service(command)) => service::run(command, cx),
        Some(Command::Label(args)) => label::run(args, cx),
        Some(Command::Parts(args)) => parts::run(args, cx),
        Some(Command::Fleet(args)) => fleet::run(args, cx),
        Some(Command::Demo(args)) => return demo::run(args, cx),
        Some(Command::Keys) => keys::run(cx),
        Some(Command::Walks(args)) => walks::run(args, cx),
        Some(Command::Entries(args)) => entries::run(args, cx),
        Some(Command::Report(args)) => report::run(args, cx),
        Some(Command::Front(args)) => front::run(args, cx),
        Some(Command::Issue(args)) => issue::run(args, cx),
        Some(Command::Issued(args)) => issue::run_issued(args, cx),
        Some(Command::Verify(args)) => verify::run(args, cx),
        Some(Command::FirstMinute(args)) => first_minute::run(args, cx),
        Some(Command::Symptoms(args)) => symptoms::run(args, cx),
        Some(Command::HandOver(args)) => hand_over::run(args, cx),
        Some(Command::GiveOn(args)) => give_on::run(args, cx),
        Some(Command::Checklist(command)) => checklist::run(command, cx),
        Some(Command::Item(command)) => item::run(command, cx),
        Some(Command::Logbook(command)) => logbook::run(command, cx),
        Some(Command::Completions(args)) => Ok(completions::run(args)),
        Some(Command::Man(args)) => man::run(args),
    };
    answer.map(Done::Answer)
}

/// Prints a failure; its exit code.
pub fn report(failure: &Failure) -> u8 {
    let sentences = &failure.sentences;
    for sentence in sentences.iter().take(MOST_SENTENCES) {
        complain(sentence);
    }
    if let Some(more) = sentences
        .len()
        .checked_sub(MOST_SENTENCES)
        .filter(|n| *n > 0)
    {
        complain(&format!("and {more} more of the kind"));
    }
    failure.code
}

/// One sentence on the standard error. Where it is closed there is nobody to tell.
fn complain(sentence: &str) {
    let _ = writeln!(io::stderr().lock(), "handlamp: {}", safe(sentence));
}

/// Prints an answer; the exit code. A reader that has seen enough is no failure.
fn print(text: &str, code: u8) -> u8 {
    let mut stdout = io::stdout().lock();
    match stdout
        .write_all(text.as_bytes())
        .and_then(|()| stdout.flush())
    {
        Ok(()) => code,
        Err(e) if e.kind() == io::ErrorKind::BrokenPipe => DONE,
        Err(e) => {
            complain(&format!("the answer cannot be written ({e})"));
            LOGBOOK
        }
    }
}

/// Help, version, or what is wrong with the arguments, which may quote anything.
fn misused(error: &clap::Error) -> u8 {
    let text = error.render().to_string();
    let text = safe_text(&text);
    if error.use_stderr() {
        let _ = write!(io::stderr().lock(), "{text}");
        USAGE
    } else {
        print(&text, DONE)
    }
}

/// Columns of the terminal that text goes to; the usual width where it goes elsewhere.
fn columns_of(terminal: impl AsFd) -> usize {
    let size = rustix::termios::tcgetwinsize(terminal).ok();
    size.map(|size| usize::from(size.ws_col))
        .filter(|columns| *columns > 0)
        .unwrap_or(page::USUAL_WIDTH)
}
