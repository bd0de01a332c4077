//! What every key does, in one table. Dispatch, footer, help, manual page and handbook read it.
//!
//! House rules, held by tests: a key means the same on every screen that has it; digits grade or
//! pick, nothing else; a capital letter acts on the row under the arrow, and records through a dialog
//! alone; nothing stands on a character that common layouts reach only with AltGr.
//!
#![doc = include_str!("KEYS.md")]

pub mod key;
mod overrides;
mod table;

pub use table::ROWS;

use crate::keys::key::Key;
use crate::text::words;

words! {
    /// Where keys are pressed.
    Context, "context" {
        /// The boat, first screen.
        Boat = "boat",
        /// A walk under way.
        Walk = "walk",
        /// A walk under way, on the drawing of where things are.
        Drawing = "drawing",
        /// A walk under way, on the grid of engine speeds.
        Grid = "grid",
        /// Where things are.
        Places = "places",
        /// The verdict of a finished walk.
        Verdict = "verdict",
        /// The defect list.
        Defects = "defects",
        /// Past walks.
        Walks = "walks",
        /// Readings in time.
        Readings = "readings",
        /// What is due.
        Service = "service",
        /// Everything on record.
        Entries = "entries",
        /// What is behind findings.
        Causes = "causes",
        /// What to do before leaving.
        Leaving = "leaving",
        /// Under way.
        UnderWay = "under-way",
        /// Before getting under way.
        Lying = "lying",
        /// What is known of the boat.
        Profile = "profile",
        /// A list to pick from.
        Choice = "choice",
        /// A list to pick from while rungs are given.
        Rungs = "rungs",
        /// One line of text.
        Line = "line",
        /// The path of a picture: typed, or picked from those of its folder.
        Files = "files",
        /// A note of several lines.
        Note = "note",
        /// Which item is wrong: by its digit, or as its name is typed.
        Pick = "pick",
        /// A count or a clock running.
        Measure = "measure",
        /// Something that takes its time.
        Wait = "wait",
        /// The list of all keys.
        Help = "help",
    }
}

impl Context {
    /// Whether plain characters are text here, never commands.
    pub const fn takes_text(self) -> bool {
        matches!(
            self,
            Context::Line | Context::Files | Context::Note | Context::Pick
        )
    }
}

words! {
    /// The part of the help a row stands in.
    Section, "section" {
        /// Going about.
        Move = "Moving",
        /// Saying what is seen.
        Look = "What you see",
        /// Weighing the list.
        Weigh = "Ahead of you",
        /// Narrowing the list.
        Show = "What is shown",
        /// Records about a defect.
        Act = "Putting right",
        /// Text fields.
        Write = "Writing",
        /// Valid everywhere.
        Always = "Everywhere",
    }
}

words! {
    /// Everything a key can do.
    Action, "action" {
        /// Begin the selected checklist, or go on with a walk left open.
        StartWalk = "start-walk",
        /// Grade sound.
        Grade0 = "grade-0",
        /// Grade early.
        Grade1 = "grade-1",
        /// Grade worn.
        Grade2 = "grade-2",
        /// Grade failing.
        Grade3 = "grade-3",
        /// Grade failed.
        Grade4 = "grade-4",
        /// An open defect is as it was at the last look.
        AsLastTime = "as-last-time",
        /// All cautions of what is in front.
        Cautions = "cautions",
        /// Not seen, with the reason.
        NotSeen = "not-seen",
        /// Write a note.
        Note = "note",
        /// Set a wear mark.
        Wear = "wear",
        /// Set the leak class.
        Leak = "leak",
        /// Which of several answers a rung is.
        Kind = "kind",
        /// Type a reading.
        Reading = "reading",
        /// Type what was topped up.
        Added = "added",
        /// Measure at the item: drops, seconds, a bucket.
        Measure = "measure",
        /// A drop has fallen; or start and stop the clock.
        Tap = "tap",
        /// Something left open is put back.
        PutBack = "put-back",
        /// Take the last entry back.
        Undo = "undo",
        /// Open the items of a row.
        OpenRow = "open-row",
        /// Close them.
        CloseRow = "close-row",
        /// Open what stands at a place.
        OpenPlace = "open-place",
        /// To the nearest place to the left.
        MoveLeft = "move-left",
        /// To the nearest place to the right.
        MoveRight = "move-right",
        /// To the reading before.
        EarlierReading = "earlier-reading",
        /// To the reading after.
        LaterReading = "later-reading",
        /// Half as much of a chart.
        Closer = "closer",
        /// Twice as much of it.
        Wider = "wider",
        /// Over something else: hours, days, engine speed.
        Axis = "axis",
        /// Engine speeds and readings at a glance.
        Grid = "grid",
        /// Type the reading of a cell.
        FillCell = "fill-cell",
        /// Where things are.
        Places = "places",
        /// Engines, bulkheads and tanks on the drawing.
        Arrange = "arrange",
        /// One up.
        MoveUp = "move-up",
        /// One down.
        MoveDown = "move-down",
        /// Next row not yet seen.
        NextUnseen = "next-unseen",
        /// The one before.
        PreviousUnseen = "previous-unseen",
        /// Next phase.
        NextPhase = "next-phase",
        /// Phase before.
        PreviousPhase = "previous-phase",
        /// One screenful down.
        PageDown = "page-down",
        /// One screenful up.
        PageUp = "page-up",
        /// To the first row.
        First = "first",
        /// To the last row.
        Last = "last",
        /// Take a picture in.
        Photo = "photo",
        /// What the seller said.
        Said = "said",
        /// What is left so that she must not be started.
        LeftOpen = "left-open",
        /// Engine speed of this step.
        Speed = "speed",
        /// Switch: earlier grades out of sight.
        Blind = "blind",
        /// Somebody was told of what is unsafe.
        Told = "told",
        /// Complete a file's name.
        Complete = "complete",
        /// Take the next picture in too.
        Another = "another",
        /// Something is wrong: what is found is graded at once, beside any walk.
        Trouble = "trouble",
        /// What she does, in a skipper's words: the first words, then the looks.
        Symptoms = "symptoms",
        /// Find by text.
        Find = "find",
        /// The time of the phase begins now.
        BeginPhase = "begin-phase",
        /// Type the hour meter.
        Hours = "hours",
        /// Switch: walked first, entered after.
        EnteredAfter = "entered-after",
        /// Finish the walk.
        Finish = "finish",
        /// More hours ahead.
        MoreHours = "more-hours",
        /// Fewer hours ahead.
        FewerHours = "fewer-hours",
        /// More days ahead.
        MoreDays = "more-days",
        /// Fewer days ahead.
        FewerDays = "fewer-days",
        /// Other waters.
        Waters = "waters",
        /// Next named plan.
        Plan = "plan",
        /// To what is to be done before leaving.
        BeforeLeaving = "before-leaving",
        /// To being under way.
        OpenUnderWay = "open-under-way",
        /// Get under way.
        GetUnderWay = "get-under-way",
        /// All that is due at a round is as usual.
        AllUsual = "all-usual",
        /// A job in full.
        ShowJob = "show-job",
        /// Mend it before leaving, or weigh it again.
        TakeIn = "take-in",
        /// Do not mend it before leaving, or weigh it again.
        LeaveOut = "leave-out",
        /// Say how long a job takes.
        JobMinutes = "job-minutes",
        /// Type a plan.
        TypePlan = "type-plan",
        /// Hold the list against another plan.
        ComparePlan = "compare-plan",
        /// The whole arithmetic of a row.
        Explain = "explain",
        /// What is behind findings, and the look that tells.
        Causes = "causes",
        /// The arithmetic of what is behind them.
        Why = "why",
        /// One machine or all.
        FilterMachine = "filter-machine",
        /// One station or all.
        FilterStation = "filter-station",
        /// Who does it.
        FilterWho = "filter-who",
        /// Where it is done.
        FilterWhere = "filter-where",
        /// All filters off, all of a chart.
        ClearFilters = "clear-filters",
        /// Closed defects too.
        ShowAll = "show-all",
        /// Defer a defect.
        Defer = "defer",
        /// Record a repair.
        Repair = "repair",
        /// Override severity or level.
        Override = "override",
        /// Withdraw a defect.
        Withdraw = "withdraw",
        /// Go on without records that are missing.
        GoOn = "go-on",
        /// Show the selected walk.
        ShowWalk = "show-walk",
        /// To the next machine.
        NextMachine = "next-machine",
        /// What the verdict would be so far.
        SoFar = "so-far",
        /// To the defect list.
        OpenDefects = "open-defects",
        /// To past walks.
        OpenWalks = "open-walks",
        /// Try again to save what is in memory only.
        SaveAgain = "save-again",
        /// Write a report of the walk.
        Report = "report",
        /// To the readings.
        OpenReadings = "open-readings",
        /// To what is due.
        OpenService = "open-service",
        /// Everything on record, entry by entry.
        OpenEntries = "open-entries",
        /// An entry in full, and what can be done with it.
        ShowEntry = "show-entry",
        /// To what is known of the boat.
        OpenProfile = "open-profile",
        /// To the locker.
        OpenLocker = "open-locker",
        /// Say what is asked by the row under the arrow.
        Answer = "answer",
        /// Show the task under the arrow.
        ShowTask = "show-task",
        /// Record the task as done.
        ServiceDone = "service-done",
        /// Months at a glance, or the list again.
        Calendar = "calendar",
        /// What to write on the part.
        Label = "label",
        /// The numbers and measures of its parts.
        PartNumbers = "part-numbers",
        /// How often the task is due.
        Interval = "interval",
        /// Say when it was last done or fitted, or that nobody knows.
        WhenLast = "when-last",
        /// Take the selected choice.
        Pick = "pick",
        /// Take choice 1.
        Pick1 = "pick-1",
        /// Take choice 2.
        Pick2 = "pick-2",
        /// Take choice 3.
        Pick3 = "pick-3",
        /// Take choice 4.
        Pick4 = "pick-4",
        /// Take choice 5.
        Pick5 = "pick-5",
        /// Take choice 6.
        Pick6 = "pick-6",
        /// Take choice 7.
        Pick7 = "pick-7",
        /// Take choice 8.
        Pick8 = "pick-8",
        /// Take choice 9.
        Pick9 = "pick-9",
        /// Take the line, or leave the verdict.
        Accept = "accept",
        /// Save the note.
        Save = "save",
        /// One word back.
        WordBack = "word-back",
        /// One word on.
        WordOn = "word-on",
        /// To the beginning of the line.
        LineStart = "line-start",
        /// To the end of the line.
        LineEnd = "line-end",
        /// Take out the word before.
        CutWord = "cut-word",
        /// Take out the line as far as here.
        CutBefore = "cut-before",
        /// Take out the rest of the line.
        CutAfter = "cut-after",
        /// Put in what was taken out last.
        PutIn = "put-in",
        /// Change the theme.
        Theme = "theme",
        /// Back; what was typed is kept.
        Back = "back",
        /// All keys that work here.
        Help = "help",
        /// Write the screen as a picture.
        Screenshot = "screenshot",
        /// Stop and return to the shell.
        Suspend = "suspend",
        /// Leave the program; everything is saved.
        Quit = "quit",
    }
}

impl Action {
    /// The name used in the settings, kebab-case.
    pub const fn name(self) -> &'static str {
        self.as_str()
    }

    /// The digit that belongs to this action alone and cannot be taken from it: the rung of a
    /// grade, the place of a choice.
    pub fn own_digit(self) -> Option<char> {
        let name = self.name();
        let numbered = name.starts_with("grade-") || name.starts_with("pick-");
        name.chars().last().filter(|_| numbered)
    }
}

/// One row of the table.
#[derive(Clone, Copy, Debug)]
pub struct KeyRow {
    /// What is done.
    pub action: Action,
    /// Where the keys work.
    pub contexts: &'static [Context],
    /// The built-in keys, the one to show first.
    pub keys: &'static [&'static str],
    /// At most nine characters for the footer; rows next to each other with the same label are
    /// shown as one. Empty: not in the footer.
    pub label: &'static str,
    /// One line for the help.
    pub help: &'static str,
    /// Where in the help.
    pub section: Section,
}

/// A line of the help.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HelpLine {
    /// The keys, as written, separated by spaces.
    pub keys: String,
    /// What they do.
    pub help: &'static str,
    /// Where it stands.
    pub section: Section,
}

/// The table with the user's keys in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyTable {
    /// Keys of [`ROWS`], in the same order.
    keys: Vec<Vec<Key>>,
}

impl KeyTable {
    /// What the key does in this context.
    pub fn lookup(&self, context: Context, key: &Key) -> Option<Action> {
        if context.takes_text() && key.typed().is_some() {
            return None;
        }
        self.rows(context)
            .find(|(_, keys)| keys.contains(key))
            .map(|(row, _)| row.action)
    }

    /// Keys and labels for the footer, most useful first. Neighbours with one label are joined:
    /// two as `up/down`, more as `0-4`. An action that is not `offered` is left out.
    pub fn footer(
        &self,
        context: Context,
        offered: impl Fn(Action) -> bool,
    ) -> impl Iterator<Item = (String, &'static str)> {
        let mut out: Vec<(Vec<String>, &'static str)> = Vec::new();
        let rows = self.rows(context);
        for (row, keys) in rows.filter(|(row, _)| !row.label.is_empty() && offered(row.action)) {
            let Some(key) = keys.iter().find(|k| works(context, k)) else {
                continue;
            };
            match out.last_mut() {
                Some((joined, label)) if *label == row.label => joined.push(key.to_string()),
                _ => out.push((vec![key.to_string()], row.label)),
            }
        }
        out.into_iter().map(|(keys, label)| match keys.as_slice() {
            [first, .., last] if keys.len() > 2 => (format!("{first}-{last}"), label),
            _ => (keys.join("/"), label),
        })
    }

    /// Every line of help for this context, in table order.
    pub fn help(&self, context: Context) -> impl Iterator<Item = HelpLine> {
        self.rows(context).map(move |(row, keys)| {
            let keys: Vec<_> = keys
                .iter()
                .filter(|k| works(context, k))
                .map(Key::to_string)
                .collect();
            HelpLine {
                keys: keys.join(" "),
                help: row.help,
                section: row.section,
            }
        })
    }

    /// The keys of an action, the one to show first.
    pub fn keys_of(&self, action: Action) -> &[Key] {
        ROWS.iter()
            .zip(&self.keys)
            .find(|(row, _)| row.action == action)
            .map_or(&[], |(_, keys)| keys)
    }

    fn rows(&self, context: Context) -> impl Iterator<Item = (&'static KeyRow, &Vec<Key>)> {
        ROWS.iter()
            .zip(&self.keys)
            .filter(move |(row, _)| row.contexts.contains(&context))
    }
}

/// Whether a key can be a command in this context: where text is typed, characters are text.
fn works(context: Context, key: &Key) -> bool {
    !(context.takes_text() && key.typed().is_some())
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
