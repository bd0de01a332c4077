//! What a walk asks: what each answer is for, and the words that are offered.

use crate::boat::Hours;
use crate::checklist::{Grade, Leak, Leaves, Tool, WearMark};
use crate::defects::Subject;
use crate::defects::gate::{Gate, InForce};
use crate::logbook::mend::Reading;
use crate::logbook::record::Record;
use crate::screen::kind::Asks;
use crate::screen::walk::state::WalkScreen;
use crate::walk::{Better, Photo, Spot};

impl Asks for WalkScreen {
    type Pick = Pick;
    type Line = Line;
}

/// What is picked.
#[derive(Clone, Debug, PartialEq)]
pub enum Pick {
    /// What was touched before a leak run: the joints behind each line but the first.
    Touched(Vec<Vec<String>>),
    /// Why the rung pressed differs from the one proposed, and that one.
    WhyDiffers(Spot, Grade, Grade),
    /// Which leak class a rung graded in a leak run was, if it was a leak.
    LeakSeen(Spot, Vec<Leak>, Offer),
    /// The engine is to be stopped: read and done.
    Stopped,
    /// Which item of a row has this grade.
    WhichItem(Grade),
    /// What guests saw was read.
    GuestsSaw,
    /// Whether a guest saw the same spot as the owner.
    SameSpot(Spot),
    /// Why this grade is better than last time; with why it differs from what is proposed, where
    /// that was asked before.
    WhyBetter(Spot, Grade, Option<String>),
    /// Why this grade is better than a moment ago in the same walk; with why it differs, as above.
    Contradiction(Spot, Grade, Option<String>),
    /// Which of several answers a rung is.
    Sign(Box<Asked>),
    /// A wear mark, on the way on after a worse grade where the flag says so.
    Mark(Spot, bool),
    /// A leak class.
    Leak(Spot),
    /// What to measure with.
    Tool(Spot),
    /// Why an item was not seen.
    NotSeen(Spot),
    /// Whether an item of safety leaves the list of its machine.
    TakeOff(Spot),
    /// Why all the rest was not seen.
    RestWhy,
    /// Which of what was found by the text typed.
    WhichFound(String, Vec<Found>),
    /// Finish though rows are unseen.
    FinishAnyway,
    /// How to go on at a gate.
    Gate(Gate, Vec<Way>),
    /// Which of what holds was put right.
    WhichMended(Vec<InForce>),
    /// Which of two readings of the meter is wrong: the one just typed, or an earlier one.
    WhichMeter(Hours, Reading),
    /// Whether an earlier reading is put right by these records, with what follows that reading, and
    /// the one typed is taken.
    MeterMended(Hours, Vec<Record>),
    /// Which of the pictures of an item, the first line takes one in.
    Pictures(Spot, Vec<Pictured>),
    /// Of which of these places a picture is.
    PictureOf(Vec<Spot>),
    /// What is done with a picture, and which of several it is.
    WithPicture(Spot, Pictured, String),
    /// Which of these places a picture of the look is moved to.
    MoveTo(Spot, usize, Vec<Spot>),
    /// Which of what the step of a row leaves open is left so, the item in front behind them.
    Leaves(Spot, Vec<Leaves>),
    /// Which of what is left open is seen put back: the record, what is left how, all of it in words.
    PutBack(Vec<(String, String, String)>),
    /// What this that is left open of an item forbids.
    Forbids(Spot, String),
    /// Whether what was done to this lasts.
    MendedLasts(Subject, String),
}

/// A picture of an item, and its place among those of the look made here; none for an earlier one's.
pub type Pictured = (Photo, Option<usize>);

/// What is typed.
#[derive(Clone, Debug, PartialEq)]
pub enum Line {
    /// The hour meter, before the walk or in it.
    Hours,
    /// What the meter showed in an earlier entry, which the reading just typed shows to be wrong.
    MendMeter(Hours, String),
    /// Why looks are taken back with which a stop goes, by their ids.
    WhyUndo(Vec<String>),
    /// Why this grade differs from what is proposed.
    WhyDiffers(Spot, Grade),
    /// Where the mark is.
    MarkWhere(Spot, WearMark, bool),
    /// What it touches.
    MarkAgainst(Spot, WearMark, String, bool),
    /// One line of note, on the way on after a worse grade where the flag says so.
    QuickNote(Spot, bool),
    /// A note.
    Note(Spot),
    /// A reading.
    Reading(Spot),
    /// What was topped up.
    Added(Spot),
    /// How much the bucket holds.
    Bucket(Spot),
    /// Why an item was not seen, in words.
    NotSeenWords(Spot),
    /// How it could be seen.
    CloseBy(Spot, String),
    /// What is agreed beforehand: which question.
    Agreed(usize),
    /// Who started her in a survey.
    WhoStarted,
    /// What the seller said.
    Said(Spot),
    /// What of it is left so that she must not be started.
    LeftOpen(Spot),
    /// A picture's path.
    Photo(Spot),
    /// What the picture of this place among those of the look shows; true where the next one of its
    /// folder is taken in behind it.
    Caption(Spot, usize, bool),
    /// Which item the picture of this place among those of the look shows.
    MovePhoto(Spot, usize),
    /// Engine speed.
    Speed,
    /// Why all the rest was not seen, in words.
    RestWords,
    /// How the rest could be seen.
    RestCloseBy(String),
    /// When what was found happened.
    Happened,
    /// A part of an item's name.
    Find,
    /// What was put right at a gate.
    Mended(Subject),
    /// Until when what was done to this is to hold.
    MendedUntil(Subject, String),
    /// Who was told of what holds, and starts her.
    OwnerStarts(Gate, Vec<String>),
    /// What fuel a guest left in the tank of this id.
    FuelLeft(String),
    /// Why she was started over a stop.
    WhyStarted,
}

/// How one goes on at a gate, in the order offered: the first five are the lines that the digits of a
/// grade could hit, so the way over a stop comes last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// To what can be looked at with the engine still.
    Still,
    /// To what holds, to look again.
    Again,
    /// Something was put right.
    Mended,
    /// The walk ends here.
    Finish,
    /// Whoever answers for the boat was told and starts her.
    OwnerStarts,
    /// She is needed now.
    Needed,
}

/// What may be offered after a grade.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Offer {
    /// It is worse than last time, and neither mark nor note is there yet.
    pub worse: bool,
    /// There was a last time.
    pub seen_before: bool,
    /// The item has a place that wears.
    pub wears: bool,
    /// What its rung leaves open is asked: nothing else comes first.
    pub asks: bool,
}

/// Which of several answers a rung is: a question in front, and what its lines mean.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// Where.
    pub spot: Spot,
    /// The question, by its id.
    pub question: String,
    /// The answers behind the first line, by their ids.
    pub answers: Vec<String>,
    /// The questions after it.
    pub rest: Vec<String>,
    /// What is offered besides, on the way on after a grade; none where a key asked.
    pub after: Option<Offer>,
}

/// Something found by name.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// A place of the walk.
    Asked(Spot),
    /// An item of the boat that no row asks, by id.
    Beside(String),
}

/// Reasons for not seeing an item, as offered; the last is typed.
pub const NOT_SEEN: [&str; 7] = [
    "no access",
    "not safe now",
    "too dark or dirty",
    "no time",
    "engine not in that state",
    "this boat has none",
    "other: type it",
];
/// Place in [`NOT_SEEN`] of the one that takes the item off the boat.
pub const NOT_FITTED: usize = 5;
/// Asked before an item of safety leaves the list, as offered.
pub const TAKE_OFF: [&str; 2] = [
    "keep it on the list: not seen this time",
    "she has none: never ask for it again",
];
/// Said before it.
pub const OF_SAFETY: &str =
    "It can stop her or hurt somebody; off the list it is never asked again.";
/// Said before what the boat has once is told to be missing: nothing takes that off her list.
pub const BOAT_WIDE: &str =
    "It can stop her or hurt somebody. It stays on the list, and counts as not seen.";
/// Asked then, as offered.
pub const HAS_NONE: [&str; 2] = [
    "not seen this time; she may have one",
    "she has none: write that down",
];
/// Place in [`NOT_SEEN`] of the one that is typed.
pub const TYPED: usize = 6;

/// Reasons for a better grade, in the order offered.
pub fn better_options() -> Vec<String> {
    Better::ALL
        .iter()
        .map(|b| match b {
            Better::Cleaned => "cleaned: dirt, salt or oil wiped off",
            Better::Adjusted => "adjusted: tightened, set, topped up",
            Better::Repaired => "repaired: mended or replaced",
            Better::Misjudged => "misjudged: the last look was wrong",
        })
        .map(str::to_owned)
        .collect()
}

/// Place in [`mark_options`] of the note, and of the first mark behind it.
pub const NOTE: usize = 1;

/// Reasons for a rung that differs from what is proposed, as offered; the last takes the proposal.
pub const DIFFERS: [&str; 4] = [
    "seen so, and looked again",
    "the figure or the class is not to be trusted",
    "other: type it",
    "no: take what is proposed",
];
/// Place in [`DIFFERS`] of the one that is typed.
pub const DIFFERS_TYPED: usize = 2;
/// Place in [`DIFFERS`] of the one that takes the proposal.
pub const DIFFERS_TAKE: usize = 3;

/// Leak classes, in the order offered.
pub fn leak_options() -> Vec<String> {
    Leak::ALL.iter().map(|l| leak_option(*l)).collect()
}

/// A leak class as offered.
pub fn leak_option(leak: Leak) -> String {
    match leak {
        Leak::None => "none: dry",
        Leak::I => "I: wet or stained, no drop",
        Leak::Ii => "II: drops form and hang",
        Leak::Iii => "III: drops fall",
        Leak::Stream => "stream, spray or mist",
    }
    .to_owned()
}

/// A tool as offered, with where its figure goes.
pub fn tool_option(tool: Tool, reads: bool) -> String {
    let words = match tool {
        Tool::Drops => "drop counter: a key for each drop",
        Tool::Stopwatch => "stopwatch: seconds until it happens",
        Tool::Bucket => "bucket and stopwatch: how much flows",
    };
    let goes = if reads { "reading" } else { "note" };
    format!("{words}, for the {goes}")
}

/// What is offered after a worse grade, always in this order: nothing, a note, and where the item
/// has a place that wears, its marks.
pub fn mark_options(wears: bool) -> Vec<String> {
    let marks = WearMark::ALL.iter().filter(|_| wears);
    ["nothing more", "a note"]
        .into_iter()
        .chain(marks.map(|m| match m {
            WearMark::Chafe => "chafe: rubbed by a neighbour",
            WearMark::Wear => "wear: by its own work",
            WearMark::Corrosion => "corrosion: rust, salt, acid",
            WearMark::Crack => "crack",
            WearMark::Heat => "heat: browned, charred, melted",
            WearMark::Contamination => "contamination: oil, salt, dirt",
            WearMark::Loose => "loose",
        }))
        .map(str::to_owned)
        .collect()
}
