//! What a screen is: drawn from what it knows, changed by one action at a time, asking questions of
//! its own. Where one goes from it is said, not done: the program alone changes what stands on what.

use std::ops::{Deref, DerefMut};
use std::time::Instant;

use ratatui::Frame;
use ratatui::layout::Rect;

use crate::boat::Unit;
use crate::checklist::{Grade, Own, PhaseState};
use crate::defects::Subject;
use crate::defects::admit::Fault;
use crate::defects::doubt::Doubt;
use crate::keys::key::Key;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::logbook::import::prepare_act;
use crate::logbook::record::Record;
use crate::screen::layers::{Choice, Layer, NoteInput};
use crate::screen::shared::{Setup, Shared};
use crate::service::parts::Wanted;
use crate::walk::pace::Pace;

/// Who asks, and what its questions are for: an answer comes back with it.
pub trait Asks: Sized {
    /// Of a list to pick from.
    type Pick: Clone;
    /// Of a line or a note to type.
    type Line: Clone;
}

/// What a screen shows, and what may be known of it. What a screen needs not stands still by itself.
pub trait Shown {
    /// The context whose keys work where no question is open.
    fn context(&self) -> Context {
        Context::Choice
    }

    /// Draws it; a box is drawn by `draw_over` alone.
    fn draw(&self, _view: &View<'_>, _frame: &mut Frame<'_>, _area: Rect) {}

    /// Draws what stands over it, in the area that what is told and the footer leave.
    fn draw_over(&self, _view: &View<'_>, _frame: &mut Frame<'_>, _area: Rect) {}

    /// Takes in what the book says now; false where there is nothing left to show.
    fn renew(&mut self, _book: &Book) -> bool {
        true
    }

    /// It is a box over the screen beneath, and goes when its last question is left.
    fn is_box(&self) -> bool {
        false
    }

    /// Nothing of its own stands over it.
    fn is_bare(&self) -> bool {
        !self.is_box()
    }

    /// False for a key of the footer that does nothing here and now.
    fn offers(&self, _action: Action) -> bool {
        true
    }

    /// A clock of its own runs.
    fn runs(&self, _shared: &Shared) -> bool {
        false
    }

    /// The item in front, and the state of the engine it is looked at in.
    fn in_front(&self) -> (Option<Subject>, Option<PhaseState>) {
        (None, None)
    }

    /// The machine it is about, where it is about one.
    fn machine(&self) -> Option<&str> {
        None
    }

    /// It is what was found beside a walk, or which item that is.
    fn is_finding(&self) -> bool {
        false
    }

    /// It is what she does, or what comes first then.
    fn is_symptoms(&self) -> bool {
        false
    }

    /// What is not counted in what it shows, where it reckoned that itself.
    fn doubts(&self) -> Option<&[Doubt]> {
        None
    }

    /// It stands for a walk that is on record.
    fn is_on_record(&self, _book: &Book) -> bool {
        false
    }

    /// Earlier grades are out of sight.
    fn is_blind(&self, _book: &Book) -> bool {
        false
    }

    /// The guest who stands before it; none where the owner does.
    fn guest(&self) -> Option<String> {
        None
    }

    /// It asks already what to do with what is not saved.
    fn asks_where_to_save(&self) -> bool {
        false
    }
}

/// What a screen does: with a key, and with the answers to its questions.
pub trait Screen: Shown + Asks + 'static {
    /// A key of its context.
    fn act(&mut self, _action: Action, _cx: &mut Cx<'_, Self>) {}

    /// A key that is no command here, where no question is open.
    fn key(&mut self, _key: &Key, _cx: &mut Cx<'_, Self>) {}

    /// Text was pasted where no question is open; false where there is no field for it.
    fn paste(&mut self, _text: &str, _cx: &mut Cx<'_, Self>) -> bool {
        false
    }

    /// A line of a list was picked.
    fn picked(&mut self, _ask: Self::Pick, _at: usize, _of: &Choice, _cx: &mut Cx<'_, Self>) {}

    /// A rung was given where a question beside it was open; the question is gone.
    fn rung_beside(&mut self, ask: Self::Pick, _grade: Grade, cx: &mut Cx<'_, Self>) {
        self.left_list(ask, cx);
    }

    /// Makes way for a key of the screen beneath that is pressed at a question beside the rungs: the
    /// question is gone without an answer. False where the key is none for it, and nothing happens.
    fn makes_way(&mut self, _ask: &Self::Pick, _action: Action) -> bool {
        false
    }

    /// A line was typed.
    ///
    /// # Errors
    /// What is wrong with it, in one sentence; the line stays open with it.
    fn typed(
        &mut self,
        _ask: Self::Line,
        _text: &str,
        _cx: &mut Cx<'_, Self>,
    ) -> Result<(), String> {
        Ok(())
    }

    /// A note was typed, to the end or as far as it is kept while the typing pauses.
    fn noted(&mut self, _ask: Self::Line, _note: &NoteInput, _end: bool, _cx: &mut Cx<'_, Self>) {}

    /// A list was left without an answer.
    fn left_list(&mut self, _ask: Self::Pick, _cx: &mut Cx<'_, Self>) {}

    /// A line was left, as far as it was typed.
    fn left_line(&mut self, _ask: Self::Line, _text: &str, _cx: &mut Cx<'_, Self>) {}

    /// True where what was typed in a line that was left stands in it when it is asked again.
    fn fills_in(&self, _ask: &Self::Line) -> bool {
        true
    }

    /// One went back from a line to the question before it; as far as it was typed.
    fn went_back(&mut self, _ask: Self::Line, _text: &str, _cx: &mut Cx<'_, Self>) {}

    /// True where what a line puts on record is put there anew when it is answered again: the way back
    /// to it stays.
    fn can_be_answered_again(&self, _ask: &Self::Line) -> bool {
        false
    }

    /// True where a line half typed is kept, as a note is.
    fn keeps(&self, _ask: &Self::Line) -> bool {
        false
    }

    /// Keeps a line half typed.
    fn keep(&mut self, _ask: Self::Line, _text: &str, _cx: &mut Cx<'_, Self>) {}

    /// What a line is for where another picture is taken in behind its answer.
    fn with_another(&self, ask: Self::Line) -> Self::Line {
        ask
    }

    /// When something of it changes by itself; asked after every turn.
    fn wakes_at(&mut self, _shared: &Shared, _book: &Book) -> Option<Instant> {
        None
    }

    /// That time has come.
    fn woken(&mut self, _cx: &mut Cx<'_, Self>) {}

    /// A key came, or the program goes on after a stop: clocks are looked at first.
    fn look_at_clock(&mut self, _cx: &mut Cx<'_, Self>) {}
}

/// Where the arrow of a list, or its first line, stands after an action that moves it; a page is so
/// many lines. None for other actions.
pub fn moved(action: Action, at: usize, count: usize, page: usize) -> Option<usize> {
    let last = count.saturating_sub(1);
    Some(match action {
        Action::MoveUp => at.saturating_sub(1),
        Action::MoveDown => (at + 1).min(last),
        Action::PageUp => at.saturating_sub(page),
        Action::PageDown => (at + page).min(last),
        Action::First => 0,
        Action::Last => last,
        _ => return None,
    })
}

/// What a screen is drawn by.
pub struct View<'a> {
    /// What the screens were opened with.
    pub setup: &'a Setup,
    /// The logbook.
    pub book: &'a Book,
    /// Something stands over the screen, and the cursor is there.
    pub covered: bool,
}

/// The unit in which whoever keeps this logbook thinks of volumes.
pub fn volume_unit(book: &Book) -> Unit {
    Unit::Litre.preferred(book.boat().units)
}

/// What a screen acts with. What it asks and where one goes is gathered and done after its turn.
pub struct Cx<'a, A: Asks> {
    /// The logbook.
    pub book: &'a mut Book,
    shared: &'a mut Shared,
    /// What was asked, the last on top.
    pub asked: Vec<Layer<A>>,
    /// Where one goes.
    pub go: Option<Go>,
    /// What was answered is done with: something is on record by it, or what is asked next is no part
    /// of it. No way leads back to it.
    pub done: bool,
    /// Why the records of the answer have no form that could be written; it stays open with that.
    pub refused: Option<String>,
}

impl<'a, A: Asks> Cx<'a, A> {
    /// For one turn.
    pub fn new(shared: &'a mut Shared, book: &'a mut Book) -> Cx<'a, A> {
        Cx {
            book,
            shared,
            asked: Vec::new(),
            go: None,
            done: false,
            refused: None,
        }
    }

    /// Asks over the screen.
    pub fn ask(&mut self, layer: Layer<A>) {
        self.asked.push(layer);
    }

    /// Says where one goes.
    pub fn go(&mut self, go: Go) {
        self.go = Some(go);
    }

    /// All that stands is made anew from the book, this screen too.
    pub fn renew_all(&mut self) {
        self.go(Go::Anew);
    }

    /// Records, and says so loudly where saving failed. What was recorded stands in the state in
    /// any case. Returns the ids; none where the records have no form that could be written.
    pub fn record(&mut self, records: Vec<Record>) -> Option<Vec<String>> {
        match self.book.record(records) {
            Ok(ids) => {
                self.done = true;
                Some(ids)
            }
            Err(error) => {
                self.warn(error.to_string());
                self.refused = Some(error.to_string());
                None
            }
        }
    }
}

impl<A: Asks> Cx<'_, A> {
    /// Records one act made by hand, now, once it was held against all on record; as [`Cx::record`].
    ///
    /// # Errors
    /// What is wrong with it, in a sentence; nothing is recorded then.
    pub fn record_act(&mut self, act: Record) -> Result<Option<Vec<String>>, String> {
        let act = self.check_act(act)?;
        Ok(self.record(vec![act]))
    }

    /// Changes things of one's own, and tells it; false, with a warning, where nothing has changed.
    pub fn change_own(&mut self, own: Own, told: &str) -> bool {
        match self.book.change_own(own) {
            Ok(_) => {
                self.done = true;
                self.tell(told);
                true
            }
            Err(error) => {
                self.warn(error);
                false
            }
        }
    }

    /// Holds an act made by hand against all on record, as [`Cx::record_act`] does, and records
    /// nothing.
    ///
    /// # Errors
    /// What is wrong with it, in a sentence.
    pub fn check_act(&self, act: Record) -> Result<Record, String> {
        prepare_act(self.book, self.book.history(), act).map_err(in_one)
    }
}

impl<A: Asks> Deref for Cx<'_, A> {
    type Target = Shared;
    fn deref(&self) -> &Shared {
        self.shared
    }
}

impl<A: Asks> DerefMut for Cx<'_, A> {
    fn deref_mut(&mut self) -> &mut Shared {
        self.shared
    }
}

/// What is wrong, in one line.
pub fn in_one(faults: Vec<Fault>) -> String {
    let told: Vec<String> = faults.into_iter().map(|(_, told)| told).collect();
    told.join("; ")
}

/// Where one goes from a screen.
pub enum Go {
    /// To the boat.
    Home,
    /// Back to what lies beneath.
    Back,
    /// Back, and all that stands is made anew from the book.
    BackAnew,
    /// Nowhere: all that stands is made anew from the book.
    Anew,
    /// To a screen, in place of all that stands; to a box, over it.
    To(To),
    /// To a screen, in place of the one in front; what lies beneath stays.
    Instead(To),
    /// To a screen over the one in front, which stays beneath it.
    Over(To),
    /// To the choice of boats.
    Shelf,
    /// Out of the program.
    Leave,
}

/// Where something is found beside a walk, and by whom.
#[derive(Clone, Debug)]
pub struct Finder {
    /// Id of the machine whose items come first; of the one found on.
    pub machine: String,
    /// Earlier grades are out of sight.
    pub blind: bool,
    /// The guest who found it; none where the owner did.
    pub guest: Option<String>,
    /// The question of the causes for which the look is made, by its id: it is asked after any rung.
    pub asks: Option<String>,
}

/// A screen that can be gone to.
#[derive(Clone, Debug)]
pub enum To {
    /// The boat, with the machine of this place in front.
    Boat(usize),
    /// A new walk by a checklist on a machine; `asked` where the clock is behind and that is known.
    Walk {
        /// Checklist id.
        checklist: String,
        /// Machine id.
        machine: String,
        /// The question about the clock was answered.
        asked: bool,
        /// The guest who walks; none where the owner does.
        guest: Option<String>,
    },
    /// A walk left open, by its id.
    Resume(String),
    /// A walk on record, by its id.
    Verdict(String),
    /// A walk that ended just now, by its id, and its pace.
    End(String, Option<Pace>),
    /// Which item is wrong.
    Trouble(Finder),
    /// The ladder of what is wrong, by the id of the item.
    Finding(String, Finder),
    /// What is behind the findings of a machine; whoever found them looks on.
    Causes(Finder),
    /// What she does, in a skipper's words.
    Symptoms(Finder),
    /// What comes first at a symptom, by its id, and the looks it leads to.
    FirstWords(String, Finder),
    /// The defect list.
    Defects,
    /// What to do before leaving.
    Leaving,
    /// Under way, or what it takes to get there.
    UnderWay,
    /// Past walks.
    Walks,
    /// Readings, the arrow on those of an item.
    Readings(Option<Subject>, Option<PhaseState>),
    /// Where things are, the place of an item in front.
    Places(Option<Subject>),
    /// What is due.
    Service,
    /// Everything on record.
    Entries,
    /// The newest entry about an item or of a walk, by its id, to be taken back.
    TakeBack(String),
    /// What is known of the boat.
    Profile,
    /// An item of one's own by its id, or one to be made.
    OwnItem(Option<String>),
    /// A checklist of one's own by its id, or one to be made.
    OwnList(Option<String>),
    /// The numbers and measures of parts.
    Parts(Wanted),
    /// The spares aboard.
    Locker,
    /// The answers that sharpen the most on a machine, where none of them is known; else the boat.
    Ten(String),
    /// The report of a walk, by its id.
    Report(String),
    /// The document of a walk, by its id: what stands before its findings, and issuing it.
    Document(String),
    /// The hand-over page of the boat, or the report of the logbook as it stands.
    OfBoat {
        /// The hand-over page.
        hand_over: bool,
    },
    /// The history written for a new owner.
    GiveOn,
    /// Why one goes on without what is missing.
    GoOn,
    /// What to do with what is not saved.
    Unsaved,
}
