//! Where one stands in a walk and what is known from before.

use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;
use std::time::Instant;

use crate::arrangement::{Arrangement, View};
use crate::boat::{Measure, Unit};
use crate::checklist::{Catalogue, Item, Library, PhaseState};
use crate::defects::Draft;
use crate::defects::condition::Condition;
use crate::defects::finding::Answer;
use crate::defects::gate::Gate;
use crate::defects::stopped::first_run;
use crate::logbook::book::Book;
use crate::logbook::guests::{NOT_A_GUESTS, a_guests};
use crate::logbook::record::{Agreement, Record, WalkNoted, WalkStarted};
use crate::screen::kind::Cx;
use crate::screen::layers::Layer;
use crate::screen::walk::ask::Line;
use crate::screen::walk::clock::Anchor;
use crate::screen::walk::measure::Measuring;
use crate::screen::walk::so_far::SoFar;
use crate::walk::{Agreed, Details, Plan, PlanRow, Spot, TimedLook, Walk, When};

/// What a walk acts with.
pub type Turn<'a> = Cx<'a, WalkScreen>;

/// The drawing of where things are, as a walk has it.
#[derive(Default)]
pub struct Drawing {
    /// One walks on it, and sees it so; else one walks in the list.
    pub on: Option<View>,
    /// The place one is at in a row that is closed.
    pub hand: Option<Spot>,
}

/// The grid while one walks on it.
pub struct Grid {
    /// The speeds one was at before it was opened.
    pub before: BTreeMap<usize, u32>,
    /// The column one means to be in, by its index: a row that does not ask it is passed through.
    pub column: usize,
}

/// The walk screen.
pub struct WalkScreen {
    /// How it was begun; recorded together with the first look.
    pub started: WalkStarted,
    /// Stands in while nothing is recorded.
    pub(crate) blank: Walk,
    /// The rows.
    pub plan: Plan,
    /// The boat as she was known before this walk.
    pub before: Rc<Condition>,
    /// Stations and items, in the words in which this walk asks them.
    pub catalogue: Arc<Catalogue>,
    /// The row and item in front of one.
    pub at: Spot,
    /// The items of the row are graded one by one.
    pub open: bool,
    /// The places looked at last, until another key than that of a picture is pressed.
    pub just: Vec<Spot>,
    /// The phase was just entered: what to do first is shown.
    pub fresh_phase: bool,
    /// Ids of records made here, grouped as they were made.
    pub undo: Vec<Vec<String>>,
    /// Wall time and monotonic time at one moment; the time of a phase is counted from there.
    pub(crate) anchor: Anchor,
    /// What was agreed, until it is recorded with the beginning of the walk.
    pub agreed: Option<Agreed>,
    /// The engine speed one is at in a phase, by its index.
    pub speeds: BTreeMap<usize, u32>,
    /// One walks on the grid of engine speeds.
    pub grid: Option<Grid>,
    /// What was looked for last by name, and the phase and row one was led to.
    pub found: Option<(String, (usize, usize))>,
    /// Drops being counted, or a clock running.
    pub measuring: Option<Box<Measuring>>,
    /// What is known of the walk while it goes on.
    pub so_far: SoFar,
    /// The question of the causes for which one thing is looked at, by its id.
    pub asks: Option<String>,
    /// What one thing found orders, once it has its rung.
    pub answer: Option<Box<Answer>>,
    /// The drawing of where things are.
    pub drawing: Drawing,
    /// What stands where, once it was drawn.
    pub(crate) arrangement: OnceCell<Arrangement>,
    /// When the countdown of the phase shows another figure.
    pub count_at: Option<Instant>,
}

/// Stations and items in the words in which a checklist asks them.
fn words_of(library: &Library, checklist: &str) -> Arc<Catalogue> {
    let list = library.checklist(checklist);
    list.map_or_else(
        || Arc::clone(&library.catalogue),
        |list| library.catalogue_of(list),
    )
}

impl WalkScreen {
    /// A new walk, not recorded before the first look.
    pub fn begin(
        book: &mut Book,
        checklist: &str,
        machine: &str,
        by: Option<String>,
    ) -> Option<WalkScreen> {
        let library = Arc::clone(book.library());
        let list = library.checklist(checklist)?;
        // A walk whose text cannot be kept can be walked all the same.
        let asked = book.keep_asked(list).ok();
        let before = book.condition();
        let started = WalkStarted {
            walk: book.new_walk_id(),
            checklist: checklist.to_owned(),
            asked,
            machine: machine.to_owned(),
            at: book.now(),
            by,
            hours: None,
            entered_after: false,
            blind: list.blind,
            left_out: before.left_out(list, machine),
            joins: before.joins(book.history(), list, machine),
            disturbed: Vec::new(),
            guest: false,
        };
        let plan = before.compose(list, &started.left_out, &started.joins, machine);
        Some(WalkScreen::at_start(
            started,
            plan,
            before,
            Anchor::now(book),
        ))
    }

    /// Takes in what others have recorded meanwhile; the rows stay those it began with.
    pub fn take_in(&mut self, book: &Book) {
        let WalkStarted {
            walk,
            checklist,
            asked,
            ..
        } = &self.started;
        self.before = known_beside(book, walk, checklist, asked.as_deref());
        self.catalogue = words_of(&self.before.library, checklist);
        self.arrangement = OnceCell::new();
        self.so_far.condition = known(book, checklist, asked.as_deref());
        let walk = self.walk(book).clone();
        self.so_far.reckon(&walk);
        self.answer = self.answered(book);
    }

    /// A walk left open, at the next row without a look, at the speed of the step where it was in one.
    pub fn resume(book: &Book, id: &str) -> Option<WalkScreen> {
        let walk = book.history().walk(id)?;
        let before = known_beside(book, id, &walk.checklist, walk.asked.as_deref());
        let mut plan = before.plan_of(walk)?;
        // What was half typed about something seen beside the rows has its row again.
        let drafts = book.history().drafts.iter().filter(|d| d.walk == walk.id);
        let drafts = drafts.map(|d| (d.phase.as_str(), d.item.as_str()));
        let list = before.library.checklist(&walk.checklist)?;
        let on = (list, before.role(&walk.machine));
        plan.put_beside(on, drafts, |id| before.place_of(id, &walk.machine));
        let started = WalkStarted {
            walk: walk.id.clone(),
            checklist: walk.checklist.clone(),
            asked: walk.asked.clone(),
            machine: walk.machine.clone(),
            at: walk.at,
            by: walk.by.clone(),
            hours: walk.hours,
            entered_after: walk.entered_after,
            blind: walk.blind,
            left_out: walk.left_out.clone(),
            joins: walk.joins.clone(),
            disturbed: walk.disturbed.clone(),
            guest: walk.guest,
        };
        let mut screen = WalkScreen::at_start(started, plan, before, Anchor::now(book));
        let looked = walk.looks.last().and_then(|last| screen.spot_of(last));
        let begun = screen.begun_later(walk, looked);
        let last = begun.or(looked);
        screen.at = last.unwrap_or(screen.at);
        // Each phase at the speed of its last look.
        for timed in &walk.looks {
            let phase = screen.spot_of(timed).map(|spot| spot.phase);
            screen.speeds.extend(phase.zip(timed.look.at_rpm));
        }
        // A step of speed that is half done is gone on with, though its rows have looks at another.
        let in_step = begun.is_none() && screen.row().is_some_and(|row| row.each_speed);
        let step = in_step.then(|| screen.next_at_speed(book, last)).flatten();
        let next = step.or_else(|| screen.plan.next_unseen(walk, last));
        screen.at = next.unwrap_or(screen.at);
        // What was half typed is shown, not hidden in a closed row.
        screen.open = screen.at.item > 0 || screen.draft(book, screen.at).is_some();
        screen.fresh_phase = false;
        let walk = walk.clone();
        screen.so_far.condition = known(book, &walk.checklist, walk.asked.as_deref());
        screen.so_far.reckon(&walk);
        // She ran in it, so that it was answered how.
        if first_run(&screen.so_far.condition, &walk).is_some() {
            let stops = screen.so_far.condition.in_force(&walk);
            screen.so_far.go_over(Gate::Start, stops);
        }
        Some(screen)
    }

    /// The first place of the phase whose time was begun last, where that is further on than the
    /// last look.
    fn begun_later(&self, walk: &Walk, last: Option<Spot>) -> Option<Spot> {
        let begun = &walk.begun.last()?.phase;
        let phase = self.plan.phases.iter().position(|p| p.id == *begun)?;
        let spot = Spot {
            phase,
            row: 0,
            item: 0,
        };
        last.is_none_or(|last| last < spot).then_some(spot)
    }

    fn at_start(
        started: WalkStarted,
        plan: Plan,
        before: Rc<Condition>,
        anchor: Anchor,
    ) -> WalkScreen {
        let blank = started.begin(When::last_at(started.at));
        let at = Spot {
            phase: 0,
            row: 0,
            item: 0,
        };
        let so_far = SoFar::of(Condition::clone(&before), &blank);
        let catalogue = words_of(&before.library, &started.checklist);
        WalkScreen {
            catalogue,
            started,
            blank,
            plan,
            before,
            at,
            open: false,
            just: Vec::new(),
            fresh_phase: true,
            undo: Vec::new(),
            anchor,
            agreed: None,
            speeds: BTreeMap::new(),
            grid: None,
            found: None,
            measuring: None,
            so_far,
            asks: None,
            answer: None,
            drawing: Drawing::default(),
            arrangement: OnceCell::new(),
            count_at: None,
        }
    }

    /// The same walk, not yet recorded, asking what these joints call for.
    pub fn after(&self, book: &Book, disturbed: Vec<String>) -> WalkScreen {
        let mut started = self.started.clone();
        if let Some(list) = self.before.library.checklist(&started.checklist) {
            let machine = &started.machine;
            started.left_out = self.before.left_out_after(list, machine, &disturbed);
        }
        started.disturbed = disturbed;
        let blank = Walk {
            disturbed: started.disturbed.clone(),
            left_out: started.left_out.clone(),
            ..self.blank.clone()
        };
        let plan = self.before.plan_of(&blank);
        WalkScreen::at_start(
            started,
            plan.unwrap_or_else(|| self.plan.clone()),
            book.condition(),
            Anchor::now(book),
        )
    }

    /// The walk as recorded so far.
    pub fn walk<'a>(&'a self, book: &'a Book) -> &'a Walk {
        book.history()
            .walk(&self.started.walk)
            .unwrap_or(&self.blank)
    }

    /// True once the walk is in the logbook.
    pub fn is_begun(&self, book: &Book) -> bool {
        book.history().walk(&self.started.walk).is_some()
    }

    /// The same walk, not yet recorded, with the rows the boat has now.
    pub fn recomposed(&self, book: &Book) -> WalkScreen {
        let before = book.condition();
        let list = before.library.checklist(&self.started.checklist);
        let plan = list.map(|l| {
            before.compose_after(
                l,
                &self.started.left_out,
                &self.started.joins,
                &self.started.disturbed,
                &self.started.machine,
            )
        });
        let plan = plan.unwrap_or_else(|| self.plan.clone());
        WalkScreen {
            agreed: self.agreed.clone(),
            ..WalkScreen::at_start(self.started.clone(), plan, before, self.anchor)
        }
    }

    /// The meter as read for this walk.
    pub fn hours(&self, book: &Book) -> Option<crate::boat::Hours> {
        self.walk(book).hours.or(self.started.hours)
    }

    /// The row in front of one.
    pub fn row(&self) -> Option<&PlanRow> {
        self.plan.row(self.at.phase, self.at.row)
    }

    /// The item in front of one.
    pub fn item(&self, spot: Spot) -> Option<&Item> {
        self.catalogue.item(self.plan.item(spot)?)
    }

    /// Id of the phase of a place.
    pub fn phase_id(&self, spot: Spot) -> &str {
        self.plan.phases.get(spot.phase).map_or("", |p| &p.id)
    }

    /// The engine's state in the phase of a place.
    pub fn state(&self, spot: Spot) -> Option<PhaseState> {
        self.plan.phases.get(spot.phase).map(|p| p.state)
    }

    /// The look made at a place in this walk; of what is asked at each speed, that at the speed of
    /// this step, or at none told.
    pub fn look<'a>(&'a self, book: &'a Book, spot: Spot) -> Option<&'a TimedLook> {
        let (walk, phase) = (self.walk(book), self.phase_id(spot));
        let item = self.plan.item(spot)?;
        match self.is_at_speed(spot) {
            true => walk.look_at_speed(phase, item, self.speed()),
            false => walk.look_in(phase, item),
        }
    }

    /// Whether a place of the phase in front is asked at each speed.
    fn is_at_speed(&self, spot: Spot) -> bool {
        let row = self.plan.row(spot.phase, spot.row);
        row.is_some_and(|row| row.each_speed) && spot.phase == self.at.phase
    }

    /// The speed of what is typed ahead of the look at a place; none where it has none of its own.
    pub fn speed_of(&self, spot: Spot) -> Option<u32> {
        self.speed().filter(|_| self.is_at_speed(spot))
    }

    /// The look at a place that a new grade or detail would correct. None where something was added
    /// or done about it since: what is seen now is a new state.
    pub fn standing_look<'a>(&'a self, book: &'a Book, spot: Spot) -> Option<&'a TimedLook> {
        let look = self.look(book, spot)?;
        let subject = self.before.subject(&look.look.item, &self.started.machine);
        let mut done = book.history().done(&subject);
        let renewed = done.any(|(when, _)| when > look.when());
        (!renewed && look.look.added.is_none()).then_some(look)
    }

    /// What is said of the item by the look that stands, or ahead of the next one.
    pub fn standing_details(&self, book: &Book, spot: Spot) -> Details {
        match self.standing_look(book, spot) {
            Some(_) => self.details(book, spot),
            None => self.draft(book, spot).unwrap_or_default(),
        }
    }

    /// What was said of the item at a place: with its look, or typed ahead of it.
    pub fn details(&self, book: &Book, spot: Spot) -> Details {
        let draft = self.draft(book, spot);
        let look = self.look(book, spot).map(|t| t.look.details());
        match (draft, look) {
            // A half-typed note is newer than the look it is about.
            (Some(draft), Some(look)) => Details {
                note: draft.note.or(look.note),
                ..look
            },
            (Some(draft), None) => draft,
            (None, look) => look.unwrap_or_default(),
        }
    }

    /// What was typed ahead of the look at a place, at the speed of this step where it is asked at each.
    pub fn draft(&self, book: &Book, spot: Spot) -> Option<Details> {
        let (phase, item) = (self.phase_id(spot), self.plan.item(spot)?);
        let drafts = &book.history().drafts;
        let at_speed = self.is_at_speed(spot);
        let here = |d: &&Draft| !at_speed || d.details.at_rpm == self.speed();
        let mine = drafts
            .iter()
            .find(|d| d.walk == self.started.walk && d.phase == phase && d.item == item && here(d));
        mine.map(|d| d.details.clone())
    }

    /// The place of a look in the plan.
    pub fn spot_of(&self, timed: &TimedLook) -> Option<Spot> {
        let phase = timed.look.phase.as_deref();
        self.plan.spots().find(|s| {
            self.plan.item(*s) == Some(timed.look.item.as_str()) && Some(self.phase_id(*s)) == phase
        })
    }

    /// The unit in which this person types a reading of an item.
    pub fn unit(&self, item: &Item) -> Option<Unit> {
        item.reading
            .as_ref()
            .map(|r| r.unit.preferred(self.before.boat.units))
    }

    /// A reading of an item of this machine in a unit; see [`Condition::value_in`].
    pub fn value_in(&self, item: &Item, measure: Measure, unit: Unit) -> Option<f64> {
        self.before
            .value_in(item, &self.started.machine, measure, unit)
    }

    /// To a place, noting when it begins a phase.
    pub fn go(&mut self, spot: Spot) {
        self.fresh_phase = spot.phase != self.at.phase;
        self.open &= (spot.phase, spot.row) == (self.at.phase, self.at.row);
        self.at = spot;
    }

    /// Moves by rows (or by items of an open row), staying within the walk.
    pub fn step(&mut self, down: bool) {
        let items = self.row().map_or(1, |r| r.items.len());
        if self.open && down && self.at.item + 1 < items {
            self.at.item += 1;
            return;
        }
        if self.open && !down && self.at.item > 0 {
            self.at.item -= 1;
            return;
        }
        let rows: Vec<_> = self.plan.rows().collect();
        let here = rows
            .iter()
            .position(|&(p, r)| (p, r) == (self.at.phase, self.at.row))
            .unwrap_or(0);
        let next = if down { here + 1 } else { here.wrapping_sub(1) };
        if let Some(&(phase, row)) = rows.get(next) {
            self.go(Spot {
                phase,
                row,
                item: 0,
            });
        }
    }

    /// The first place of the row after this one.
    pub fn after_row(&self) -> Option<Spot> {
        let here = (self.at.phase, self.at.row);
        let (phase, row) = self.plan.rows().find(|r| *r > here)?;
        Some(Spot {
            phase,
            row,
            item: 0,
        })
    }
}

/// The boat as she is known with all on record. A walk goes on as it was begun, whatever the catalogue
/// says today.
fn known(book: &Book, checklist: &str, asked: Option<&str>) -> Condition {
    let library = Library::as_asked(book.library(), checklist, asked);
    Condition::of(book.boat(), library, book.history(), book.now())
}

/// As [`known`], without what this walk itself found.
fn known_beside(book: &Book, walk: &str, checklist: &str, asked: Option<&str>) -> Rc<Condition> {
    let mut history = book.history().clone();
    history.walks.retain(|w| w.id != walk);
    let library = Library::as_asked(book.library(), checklist, asked);
    let beside = Condition::of(book.boat(), library, &history, book.now());
    Rc::new(beside)
}

impl WalkScreen {
    /// Offers the hour meter as an estimate; never taken unseen.
    pub fn ask_hours(&mut self, cx: &mut Turn<'_>) {
        let Some(machine) = self
            .before
            .boat
            .machines
            .iter()
            .find(|m| m.id == self.started.machine)
        else {
            return;
        };
        if !self.before.knows_meter(&machine.id) {
            return;
        }
        let known = self
            .before
            .usage(&self.before.subject("", &machine.id))
            .last()
            .is_some();
        let meter = self.before.meter_now(Some(&machine.id));
        let about = if known {
            format!("about ≈{:.1} h by now. ", meter.hours)
        } else {
            String::new()
        };
        let hint = format!("{about}Type what the meter shows; empty: not read");
        cx.ask(Layer::line(
            format!("Hour meter, {}", machine.name),
            hint,
            Line::Hours,
        ));
    }

    /// Notes something of this walk: recorded once it is begun, else what it begins with.
    pub fn note_walk(&mut self, noted: WalkNoted, cx: &mut Turn<'_>) {
        if self.is_begun(cx.book) {
            let walk = self.started.walk.clone();
            let noted = Record::from(WalkNoted { walk, ..noted });
            self.walk_record(vec![noted], false, cx);
            return;
        }
        self.started.hours = noted.hours.or(self.started.hours);
        if let Some(on) = noted.entered_after {
            self.started.entered_after = on;
            self.blank.entered_after = on;
        }
        if let Some(on) = noted.blind {
            self.started.blind = on;
            self.blank.blind = on;
        }
    }

    /// The place of a look that a record makes.
    fn place_looked_at(&self, record: &Record) -> Option<Spot> {
        let Record::Look(made) = record else {
            return None;
        };
        let phase = made.look.phase.as_deref();
        let is_of = |s: &Spot| self.plan.item(*s) == Some(&*made.look.item);
        let mut spots = self.plan.spots();
        spots.find(|s| is_of(s) && Some(self.phase_id(*s)) == phase)
    }

    /// Records what happens in the walk, its beginning first where that is not recorded yet.
    /// `undoable` records can be taken back with one key.
    pub fn walk_record(&mut self, records: Vec<Record>, undoable: bool, cx: &mut Turn<'_>) -> bool {
        let records = match self.started.guest {
            true => match a_guests(records) {
                Some(records) => records,
                None => {
                    cx.warn(NOT_A_GUESTS);
                    return false;
                }
            },
            false => records,
        };
        let book = &*cx.book;
        // What is taken back while nothing of the walk is on record begins none.
        let begins = records.iter().any(|r| r.takes_back().is_none());
        let begun = self.is_begun(book) || !begins;
        let mut all = Vec::with_capacity(records.len() + 1);
        if !begun {
            all.push(Record::from(self.started.clone()));
            let at = Some(book.now());
            all.extend(self.agreed.clone().map(|agreed| {
                Record::from(Agreement {
                    walk: self.started.walk.clone(),
                    at,
                    agreed,
                })
            }));
        }
        let skip = all.len();
        all.extend(self.first_look_begins(book, &records));
        let just = records
            .iter()
            .filter_map(|r| self.place_looked_at(r))
            .collect();
        let changed = self.changed_by(book, &records);
        let end = self.found_ends(book, &records);
        all.extend(records);
        all.extend(end);
        let Some(ids) = cx.record(all) else {
            return false;
        };
        self.take_up(cx.book, changed);
        self.answer = self.answered(cx.book);
        if undoable {
            self.just = just;
            self.undo.push(ids.into_iter().skip(skip).collect());
        }
        true
    }
}
