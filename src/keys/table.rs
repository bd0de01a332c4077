//! The rows. Order is the order of footer and help.

use super::Action as A;
use super::Context::{
    self, Boat, Causes, Choice, Defects, Drawing, Entries, Files, Grid, Help, Leaving, Line, Lying,
    Measure, Note, Pick, Places, Profile, Readings, Rungs, Service, UnderWay, Verdict, Walk, Walks,
};
use super::{KeyRow, Section};

/// In the list of a walk, and on the drawing.
const WALKING: &[Context] = &[Walk, Drawing];
/// On the grid of engine speeds as well.
const LOOKING: &[Context] = &[Walk, Drawing, Grid];
/// Where a figure is typed.
const FIGURES: &[Context] = &[Walk, Drawing, Grid, UnderWay];
/// In a walk, and where a paper sheet is typed up.
const ON_PAPER: &[Context] = &[Walk, Drawing, UnderWay, Lying];
/// What has an end of its own.
const ENDING: &[Context] = &[Walk, Drawing, UnderWay];
const EVERYWHERE: &[Context] = Context::ALL;
const LISTS: &[Context] = &[
    Boat, Walk, Drawing, Grid, Verdict, Defects, Walks, Readings, Service, Entries, Causes,
    Leaving, UnderWay, Lying, Profile, Places, Choice, Rungs, Pick, Files, Help,
];
const LONG_LISTS: &[Context] = &[
    Walk, Drawing, Grid, Verdict, Defects, Walks, Readings, Service, Entries, Causes, Leaving,
    Profile, Help,
];
const PAGED: &[Context] = &[
    Verdict, Defects, Walks, Readings, Service, Entries, Causes, Leaving, UnderWay, Lying, Profile,
    Pick, Files, Help,
];
/// Wherever something can be found wrong meanwhile.
const AT_ANY_TIME: &[Context] = &[
    Boat, Walk, Drawing, Grid, Verdict, Defects, Walks, Readings, Service, Entries, Causes,
    Leaving, UnderWay, Lying, Profile, Places, Choice, Rungs, Line, Files, Note, Measure, Help,
];
/// The same, and where it is asked which item is wrong.
const IN_TROUBLE: &[Context] = &[
    Boat, Walk, Drawing, Grid, Verdict, Defects, Walks, Readings, Service, Entries, Causes,
    Leaving, UnderWay, Lying, Profile, Places, Choice, Rungs, Line, Files, Note, Measure, Pick,
    Help,
];
const SCREENS: &[Context] = &[
    Boat, Walk, Drawing, Grid, Verdict, Defects, Walks, Readings, Service, Entries, Causes,
    Leaving, UnderWay, Lying, Profile, Places,
];
/// Wherever a machine is in front of which something can have been found.
const OF_A_MACHINE: &[Context] = &[Boat, Walk, Drawing, Grid, Verdict, Defects, Walks];
/// Wherever text is typed.
const FIELDS: &[Context] = &[Line, Files, Note, Pick];

const fn row(
    action: A,
    contexts: &'static [Context],
    keys: &'static [&'static str],
    label: &'static str,
    section: Section,
    help: &'static str,
) -> KeyRow {
    KeyRow {
        action,
        contexts,
        keys,
        label,
        help,
        section,
    }
}

/// Every row, once per action.
#[rustfmt::skip]
pub const ROWS: &[KeyRow] = &[
    row(A::StartWalk, &[Boat], &["enter"], "start", Section::Move, "Start the selected checklist, or go on with the walk left open"),
    row(A::AllUsual, &[UnderWay], &["enter"], "all usual", Section::Look, "All due is as usual: what is said so is shown first, then asked"),
    row(A::GetUnderWay, &[Lying], &["enter"], "under way", Section::Move, "Get under way: plan, meter, fuel, minutes between rounds"),
    row(A::Answer, &[Profile], &["enter"], "answer", Section::Write, "Say it: type it or pick it; empty is not known"),
    row(A::Grade0, &[Walk, Drawing, Grid, Rungs], &["0"], "grade", Section::Look, "Sound: as it should be"),
    row(A::Grade1, &[Walk, Drawing, Grid, Rungs], &["1"], "grade", Section::Look, "Early: the first sign"),
    row(A::Grade2, &[Walk, Drawing, Grid, Rungs], &["2"], "grade", Section::Look, "Worn: plain to see, still doing its work"),
    row(A::Grade3, &[Walk, Drawing, Grid, Rungs], &["3"], "grade", Section::Look, "Failing: it will not last"),
    row(A::Grade4, &[Walk, Drawing, Grid, Rungs], &["4"], "grade", Section::Look, "Failed: no longer does its work"),
    row(A::AsLastTime, LOOKING, &["\""], "as before", Section::Look, "As last time: an open defect looks as it did; counts as a look"),
    row(A::Trouble, AT_ANY_TIME, &["f3", "ctrl-f"], "trouble", Section::Always, "Something is wrong, now: which item, its rung, what it orders"),
    row(A::Symptoms, IN_TROUBLE, &["f5", "ctrl-o"], "trouble", Section::Always, "What she does, such as runs hot: what comes first, then looks"),
    row(A::NotSeen, LOOKING, &["x"], "not seen", Section::Look, "Not seen, with the reason"),
    row(A::Note, LOOKING, &["n"], "note", Section::Look, "Write a note"),
    row(A::Reading, FIGURES, &["r"], "reading", Section::Look, "Type a reading, with its unit"),
    row(A::FillCell, &[Grid], &["enter"], "reading", Section::Look, "Type the reading of this cell"),
    row(A::Cautions, LOOKING, &["!"], "", Section::Show, "All cautions of what is in front, those said before too"),
    row(A::Leak, LOOKING, &["l"], "leak", Section::Look, "Set the leak class"),
    row(A::Kind, LOOKING, &[";"], "", Section::Look, "Which of several answers its rung is, such as white smoke"),
    row(A::Wear, LOOKING, &["w"], "wear", Section::Look, "Set a wear mark: what, where, against what"),
    row(A::Added, WALKING, &["a"], "added", Section::Look, "Type what was topped up"),
    row(A::Tap, &[Measure], &["space"], "tap", Section::Look, "A drop has fallen; or start and stop the clock"),
    row(A::Speed, LOOKING, &["E"], "", Section::Look, "Engine speed of this step; the looks that follow keep it"),
    row(A::Blind, WALKING, &["H"], "", Section::Look, "Switch: earlier grades hidden until the look is made"),
    row(A::ShowTask, &[Service], &["enter"], "show", Section::Show, "Show the task: cautions, steps, parts, joints, what follows"),
    row(A::ServiceDone, &[Service], &["F"], "done", Section::Act, "Record the task as done; every question can be passed"),
    row(A::Calendar, &[Service], &["M"], "calendar", Section::Show, "Months at a glance, or the list again"),
    row(A::Label, &[Service], &["L"], "label", Section::Show, "What to write on the part, from the last time it was done"),
    row(A::Interval, &[Service], &["I"], "interval", Section::Act, "Set how often the task is due on this machine"),
    row(A::WhenLast, &[Service], &["A"], "age", Section::Act, "When it was last done or fitted, as remembered; or not known"),
    row(A::PartNumbers, &[Service], &["N"], "numbers", Section::Show, "Its parts: numbers, measures, where bought"),
    row(A::Undo, &[Boat, Walk, Drawing, Grid, Measure, Verdict, Defects, Walks, Readings, Service, Entries, UnderWay, Lying, Places], &["u"], "undo", Section::Look, "Take the last entry back; in the book the one under the arrow"),
    row(A::Finish, ENDING, &["f"], "finish", Section::Move, "Finish the walk and see the verdict; under way: she is in"),
    row(A::Measure, LOOKING, &["g"], "gauge", Section::Look, "Count drops, time seconds, fill a bucket: where it fits"),
    row(A::Pick, &[Choice, Rungs, Pick, Files, Causes], &["enter"], "take", Section::Move, "Take the selected line"),
    row(A::Pick1, &[Choice, Causes, Places], &["1"], "pick", Section::Move, "Take line 1"),
    row(A::Pick2, &[Choice, Causes, Places], &["2"], "pick", Section::Move, "Take line 2"),
    row(A::Pick3, &[Choice, Causes, Places], &["3"], "pick", Section::Move, "Take line 3"),
    row(A::Pick4, &[Choice, Causes, Places], &["4"], "pick", Section::Move, "Take line 4"),
    row(A::Pick5, &[Choice, Rungs, Causes, Places], &["5"], "pick", Section::Move, "Take line 5"),
    row(A::Pick6, &[Choice, Rungs, Causes, Places], &["6"], "pick", Section::Move, "Take line 6"),
    row(A::Pick7, &[Choice, Rungs, Causes, Places], &["7"], "pick", Section::Move, "Take line 7"),
    row(A::Pick8, &[Choice, Rungs, Causes, Places], &["8"], "pick", Section::Move, "Take line 8"),
    row(A::Pick9, &[Choice, Rungs, Causes, Places], &["9"], "pick", Section::Move, "Take line 9"),
    row(A::Accept, &[Line, Verdict, Measure], &["enter"], "accept", Section::Write, "Take it and go on"),
    row(A::Complete, &[Files], &["tab"], "complete", Section::Write, "Complete the name of a folder or picture"),
    row(A::Another, &[Line], &["pgdn"], "", Section::Write, "Where a picture was taken in: the next one of its folder too"),
    row(A::Save, &[Note], &["ctrl-s"], "save", Section::Write, "Save the note"),
    row(A::WordBack, FIELDS, &["ctrl-left", "alt-left", "alt-b"], "", Section::Write, "One word back"),
    row(A::WordOn, FIELDS, &["ctrl-right", "alt-right", "alt-f"], "", Section::Write, "One word on"),
    row(A::LineStart, FIELDS, &["home", "ctrl-a"], "", Section::Write, "To the beginning of the line"),
    row(A::LineEnd, FIELDS, &["end", "ctrl-e"], "", Section::Write, "To the end of the line"),
    row(A::CutWord, FIELDS, &["ctrl-w", "alt-backspace"], "", Section::Write, "Take out the word before"),
    row(A::CutBefore, FIELDS, &["ctrl-u"], "", Section::Write, "Take out the line as far as here"),
    row(A::CutAfter, FIELDS, &["ctrl-k"], "", Section::Write, "Take out the rest of the line"),
    row(A::PutIn, FIELDS, &["ctrl-y"], "", Section::Write, "Put in what was taken out last"),
    row(A::ShowWalk, &[Walks], &["enter"], "show", Section::Move, "Show the selected walk"),
    row(A::Explain, &[Defects, Readings], &["enter"], "explain", Section::Show, "Show the whole arithmetic behind this row"),
    row(A::Causes, OF_A_MACHINE, &["f7", "&"], "", Section::Show, "What is behind the findings, and the look that tells"),
    row(A::Why, &[Causes], &[":"], "why", Section::Show, "Show the whole arithmetic of what is behind the findings"),
    row(A::EarlierReading, &[Readings], &["left"], "reading", Section::Show, "Read out the reading before; the last one first"),
    row(A::LaterReading, &[Readings], &["right"], "reading", Section::Show, "Read out the reading after"),
    row(A::Wider, &[Readings], &["("], "zoom", Section::Show, "Twice as much of the chart, about what is read out"),
    row(A::Closer, &[Readings], &[")"], "zoom", Section::Show, "Half as much of the chart, about what is read out"),
    row(A::Axis, &[Readings], &["tab"], "axis", Section::Show, "Over running hours, days or engine speed"),
    row(A::MoveUp, LISTS, &["up", "k"], "move", Section::Move, "One up"),
    row(A::MoveDown, LISTS, &["down", "j"], "move", Section::Move, "One down"),
    row(A::MoreHours, &[Defects], &["+", "="], "hours", Section::Weigh, "More running hours ahead"),
    row(A::FewerHours, &[Defects], &["-"], "hours", Section::Weigh, "Fewer running hours ahead"),
    row(A::MoreDays, &[Defects], &[">", "."], "days", Section::Weigh, "More days ahead"),
    row(A::FewerDays, &[Defects], &["<", ","], "days", Section::Weigh, "Fewer days ahead"),
    row(A::Waters, &[Defects], &["v"], "waters", Section::Weigh, "Other waters: sheltered, inshore, offshore, ocean"),
    row(A::ShowJob, &[Leaving], &["enter"], "show", Section::Show, "The job in full: cautions, what to do, parts, why it stands here"),
    row(A::TakeIn, &[Leaving], &["right"], "take in", Section::Weigh, "Do it whatever it gains; if it was left out, weigh it again"),
    row(A::LeaveOut, &[Leaving], &["left"], "leave out", Section::Weigh, "Leave it as it is; if it was taken in, weigh it again"),
    row(A::JobMinutes, &[Leaving], &["ctrl-t"], "minutes", Section::Weigh, "How long the job takes by your own figure; empty: none"),
    row(A::TypePlan, &[Leaving], &["ctrl-n"], "new plan", Section::Weigh, "A plan typed in one go, or this one put right"),
    row(A::Plan, &[Defects, Leaving], &["p"], "plan", Section::Weigh, "Next named plan"),
    row(A::ComparePlan, &[Defects], &["P"], "compare", Section::Weigh, "Which rows rise under another plan"),
    row(A::Repair, &[Defects], &["R"], "repair", Section::Act, "Record a repair"),
    row(A::Defer, &[Defects], &["D"], "defer", Section::Act, "Defer, with the reason and until when"),
    row(A::Override, &[Defects], &["O"], "override", Section::Act, "Override severity or level, with the reason"),
    row(A::Withdraw, &[Defects], &["W"], "withdraw", Section::Act, "Withdraw, with the reason"),
    row(A::PutBack, &[Boat, Walk, Drawing], &["B"], "put back", Section::Act, "Something left open is seen put back as it belongs"),
    row(A::GoOn, &[Boat, Verdict, Defects, Causes], &["G"], "", Section::Act, "Go on though records are missing or damaged; says why"),
    row(A::NextUnseen, LOOKING, &["tab"], "unseen", Section::Move, "To the next row not yet seen"),
    row(A::SoFar, LOOKING, &["V"], "", Section::Show, "The verdict so far, and the rows behind it"),
    row(A::PreviousUnseen, WALKING, &["shift-tab"], "", Section::Move, "To the row not yet seen before this one"),
    row(A::OpenRow, &[Walk], &["right", "enter"], "items", Section::Move, "Open the row and grade its items one by one"),
    row(A::Photo, &[Walk, Drawing, Grid, Profile, Service], &["C"], "picture", Section::Look, "Pictures: look at those there are, take one in"),
    row(A::LeftOpen, WALKING, &["U"], "left open", Section::Look, "Left so that she must not be started: shut, off, out"),
    row(A::Said, LOOKING, &["Q"], "said", Section::Look, "What the seller or owner said of it; told, never graded"),
    row(A::CloseRow, &[Walk], &["left"], "", Section::Move, "Close the row again"),
    row(A::NextPhase, WALKING, &["pgdn"], "phase", Section::Move, "To the next phase"),
    row(A::PreviousPhase, WALKING, &["pgup"], "", Section::Move, "To the phase before"),
    row(A::PageDown, PAGED, &["pgdn"], "", Section::Move, "One screenful down"),
    row(A::PageUp, PAGED, &["pgup"], "", Section::Move, "One screenful up"),
    row(A::First, LONG_LISTS, &["home"], "", Section::Move, "To the first row or reading"),
    row(A::Last, LONG_LISTS, &["end"], "", Section::Move, "To the last row or reading"),
    row(A::Find, &[Walk, Drawing, Service, Entries, Profile, Places], &["/"], "find", Section::Move, "Find an item, a task, a field or an entry by its words"),
    row(A::BeginPhase, WALKING, &["z"], "", Section::Look, "Leak run: the time of this phase begins now, from zero"),
    row(A::Hours, LOOKING, &["h"], "hours", Section::Look, "Type the hour meter"),
    row(A::EnteredAfter, ON_PAPER, &["e"], "", Section::Look, "Looked first, typed after: a walk, or the sheet of a watch"),
    row(A::OpenPlace, &[Drawing, Places], &["enter"], "open", Section::Move, "Open what stands here"),
    row(A::MoveLeft, &[Drawing, Grid, Places], &["left"], "", Section::Move, "To the nearest place or cell to the left"),
    row(A::MoveRight, &[Drawing, Grid, Places], &["right"], "", Section::Move, "To the nearest place or cell to the right"),
    row(A::Places, &[Boat, Walk, Drawing, Defects, Places], &["f4", "K"], "places", Section::Show, "Where things are: from above, from the side"),
    row(A::Grid, &[Walk, Drawing, Grid], &["f6", "%"], "speeds", Section::Show, "Engine speeds and readings as one grid, or the list again"),
    row(A::Arrange, &[Places], &["Y"], "arrange", Section::Act, "Turn or mirror an engine, put in a bulkhead or a tank"),
    row(A::FilterMachine, &[Defects, Service, Entries, Leaving, UnderWay, Lying], &["m"], "machine", Section::Show, "One machine, or all"),
    row(A::FilterStation, &[Defects], &["s"], "station", Section::Show, "One station, or all"),
    row(A::FilterWho, &[Defects], &["o"], "who", Section::Show, "One kind of hand: owner, mechanic, electrician, yard"),
    row(A::FilterWhere, &[Defects], &["i"], "where", Section::Show, "One place: under way, at anchor, in port, hauled out"),
    row(A::ClearFilters, &[Defects, Readings], &["c"], "all", Section::Show, "Show every row again, and all of a chart"),
    row(A::ShowAll, &[Defects], &["*"], "closed", Section::Show, "Show closed defects too, or hide them"),
    row(A::Told, &[Verdict], &["T"], "", Section::Act, "Unsafe findings: whom you told, and when"),
    row(A::OpenDefects, &[Boat, Verdict, Walks, Service, Entries, Causes, Leaving, UnderWay, Lying, Places], &["d"], "defects", Section::Move, "To the defect list"),
    row(A::OpenWalks, &[Boat, Verdict, Defects, Service, Entries], &["b"], "walks", Section::Move, "Look back: past walks"),
    row(A::OpenReadings, &[Boat, Walk, Drawing, Grid, Verdict, Defects, Walks, Service, UnderWay, Lying], &["y"], "readings", Section::Move, "Readings in time, with their limits"),
    row(A::OpenService, &[Boat, Verdict, Defects, Walks, Profile], &["q"], "due", Section::Move, "What is due: service, rechecks, lives, looks"),
    row(A::OpenEntries, &[Boat, Verdict, Defects, Walks, Service, UnderWay, Lying], &["J"], "entries", Section::Move, "Everything on record, entry by entry: take back, put right"),
    row(A::ShowEntry, &[Entries], &["enter"], "open", Section::Move, "The entry in full, and what can be done with it"),
    row(A::OpenProfile, &[Boat], &["f2", "Z"], "profile", Section::Move, "What is known of the boat: machines, quantities, handbook"),
    row(A::OpenLocker, &[Boat, Defects, Service], &["f9", "'"], "locker", Section::Move, "The locker: spares aboard, where they lie, what is missing"),
    row(A::BeforeLeaving, &[Boat, Defects], &["f8", "_"], "leaving", Section::Move, "Before leaving: what must be done, is worth doing, can wait"),
    row(A::OpenUnderWay, &[Boat, Defects, Leaving], &["f10", "ctrl-r"], "under way", Section::Move, "Under way: the next round, what is due, what is left"),
    row(A::Report, &[Boat, Verdict, Walks], &["X"], "report", Section::Show, "Write a report to a file; of the boat also the hand-over page"),
    row(A::NextMachine, &[Boat], &["m"], "machine", Section::Move, "To the next machine"),
    row(A::SaveAgain, SCREENS, &["S"], "", Section::Always, "Try again to save what is NOT SAVED, or choose another folder"),
    row(A::Theme, SCREENS, &["t"], "", Section::Always, "Next theme: plain, red for the night, high contrast"),
    row(A::Back, EVERYWHERE, &["esc"], "back", Section::Always, "Back; what you typed is kept"),
    row(A::Help, EVERYWHERE, &["?", "f1"], "keys", Section::Always, "All keys that work here"),
    row(A::Screenshot, EVERYWHERE, &["f12"], "", Section::Always, "Write this screen as a picture (SVG)"),
    row(A::Suspend, EVERYWHERE, &["ctrl-z"], "", Section::Always, "Stop and return to the shell; fg goes on"),
    row(A::Quit, EVERYWHERE, &["ctrl-c"], "quit", Section::Always, "Leave handlamp; everything is saved"),
];
