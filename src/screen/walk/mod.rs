//! A walk, a leak run or a survey: the rows, what is said of the item in front, and the keys for it.
//!
//! - [`state`]: where one stands in it and what is known from before; [`ask`]: its questions
//! - [`steps`]: the keys; [`grade`], [`unseen`], [`find`], [`photo`], [`measure`]: what some of them do
//! - `undo`: what was recorded last is taken back; `meter`: the hour meter, and which of two readings is
//!   wrong
//! - [`gate`]: what holds the walk before key on and before the start, and what is said of a stop
//! - [`touched`] before a leak run, [`clock`] for the time of its phases, [`leak`] for leak classes; [`signs`]: which of several
//!   answers a rung is; [`survey`]: what a survey asks besides; [`blind`]: what is kept out of sight; [`speed`]:
//!   what is asked at each engine speed; [`season`]: the steps of laying up and launching; [`grid`]: all of it at a glance
//! - [`mod@draw`], with [`list`], [`item`], [`said`] and the [`drawing`] of where things are

pub mod ask;
pub mod blind;
pub mod clock;
pub mod draw;
pub mod drawing;
pub mod find;
pub mod gate;
pub mod grade;
pub mod grid;
mod guest;
pub mod item;
pub mod leak;
mod leave_open;
pub mod list;
pub mod measure;
mod meter;
pub mod photo;
pub mod said;
pub mod season;
pub mod signs;
pub mod so_far;
pub mod speed;
pub mod state;
pub mod steps;
pub mod survey;
pub mod touched;
mod undo;
pub mod unseen;

use std::time::Instant;

use ratatui::Frame;
use ratatui::layout::Rect;

use crate::boat::Hours;
use crate::boat::units::Volume;
use crate::checklist::{Grade, Leak, PhaseState, WearMark};
use crate::defects::Subject;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::screen::finding::draw::draw_found;
use crate::screen::front::{Front, Open};
use crate::screen::kind::{Screen, Shown, View};
use crate::screen::layers::{Choice, Layer, NoteInput};
use crate::screen::mended::ask_until;
use crate::screen::shared::Shared;
use crate::screen::walk::ask::{Line, Pick};
use crate::screen::walk::draw::draw;
use crate::screen::walk::grade::Reasons;
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::screen::walk::survey::{HOW_NEEDED, read_rpm, rest_how};
use crate::walk::{Better, Spot, Wear};

/// Begins a walk and asks for the hour meter where there is one.
pub fn begin(
    shared: &mut Shared,
    book: &mut Book,
    checklist: &str,
    machine: &str,
    guest: Option<String>,
) -> Option<Box<dyn Open>> {
    let by = shared.setup.by.clone();
    let mut screen = WalkScreen::begin(book, checklist, machine, by)?;
    if let Some(name) = guest {
        screen.by_a_guest(name);
    }
    Some(Front::begin(screen, shared, book, |walk, cx| {
        if walk.is_leak_run() {
            walk.ask_touched(cx);
        } else {
            walk.ask_hours(cx);
        }
        if walk.is_survey() {
            // Over the hour meter: it is agreed before anything is touched.
            walk.ask_agreed(0, cx);
        }
        walk.tell_of_guests(cx);
    }))
}

/// Goes on with a walk left open.
pub fn resume(shared: &mut Shared, book: &Book, id: &str) -> Option<Box<dyn Open>> {
    let Some(screen) = WalkScreen::resume(book, id) else {
        shared.warn("this walk cannot go on: its checklist is not known here any more");
        return None;
    };
    let half_typed = book.history().drafts.iter().any(|d| d.walk == id);
    shared.tell(match half_typed {
        true => "going on where it was left; what was half typed is kept (n shows a note)",
        false => "going on where it was left",
    });
    Some(Front::of(screen))
}

impl Shown for WalkScreen {
    fn context(&self) -> Context {
        match self.measuring {
            Some(_) => Context::Measure,
            None if self.grid.is_some() => Context::Grid,
            None if self.drawing.on.is_some() => Context::Drawing,
            None => Context::Walk,
        }
    }

    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        match self.is_found() {
            true => draw_found(view, self, view.book, frame, area),
            false => draw(view, self, view.book, frame, area),
        }
    }

    fn draw_over(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        if let Some(measuring) = &self.measuring {
            measure::draw::draw(view, self, measuring, frame, area);
        }
    }

    /// The rows stay those it began with.
    fn renew(&mut self, book: &Book) -> bool {
        self.take_in(book);
        true
    }

    fn is_bare(&self) -> bool {
        self.measuring.is_none()
    }

    /// Only where it fits: most items have nothing to count or to time.
    fn offers(&self, action: Action) -> bool {
        match action {
            Action::Measure => self.can_measure(),
            Action::Grid => self.plan.is_at_speeds(),
            Action::PutBack => !self.open_here().is_empty(),
            _ => !self.is_found() || WalkScreen::is_of_a_finding(action),
        }
    }

    fn runs(&self, shared: &Shared) -> bool {
        let now = shared.setup.clock.monotonic();
        self.measuring.as_ref().is_some_and(|m| m.is_running(now))
    }

    fn in_front(&self) -> (Option<Subject>, Option<PhaseState>) {
        let item = self.item(self.at);
        let subject = item.map(|i| self.before.subject(&i.id, &self.started.machine));
        (subject, self.state(self.at))
    }

    fn machine(&self) -> Option<&str> {
        Some(&self.started.machine)
    }

    fn is_finding(&self) -> bool {
        self.is_found()
    }

    fn is_on_record(&self, book: &Book) -> bool {
        self.is_begun(book)
    }

    fn is_blind(&self, book: &Book) -> bool {
        self.walk(book).blind
    }

    fn guest(&self) -> Option<String> {
        let name = || self.started.by.clone().unwrap_or_default();
        self.started.guest.then(name)
    }
}

impl Screen for WalkScreen {
    fn act(&mut self, action: Action, cx: &mut Turn<'_>) {
        match self.measuring {
            Some(_) => self.measure_act(action, cx),
            None => {
                self.settle(cx.book);
                self.walk_act(action, cx);
            }
        }
        self.settle(cx.book);
    }

    fn picked(&mut self, ask: Pick, at: usize, of: &Choice, cx: &mut Turn<'_>) {
        let text = of.options.get(at).map_or("", |o| o);
        match ask {
            Pick::Touched(joints) => {
                self.touched(&joints, of.ticks.as_deref().unwrap_or_default(), cx);
            }
            Pick::WhichMeter(hours, above) => self.which_meter(hours, above, at, cx),
            Pick::MeterMended(hours, records) if at == 1 => self.meter_mended(hours, records, cx),
            Pick::MeterMended(..) => self.ask_hours(cx),
            Pick::WhichItem(grade) => {
                let spot = Spot {
                    item: at,
                    ..self.at
                };
                self.grade_item(spot, grade, Reasons::default(), cx);
            }
            Pick::WhyDiffers(spot, _, proposed) if at == ask::DIFFERS_TAKE => {
                self.grade_item(spot, proposed, Reasons::default(), cx);
            }
            Pick::WhyDiffers(spot, grade, _) if at == ask::DIFFERS_TYPED => cx.ask(Layer::line(
                format!("{grade} all the same: why?"),
                "a few words; Esc goes back",
                Line::WhyDiffers(spot, grade),
            )),
            Pick::WhyDiffers(spot, grade, _) => self.differs(spot, grade, text, cx),
            Pick::GuestsSaw => {}
            Pick::SameSpot(spot) => match at {
                0 => self.go_on(cx),
                _ => self.go(spot),
            },
            Pick::WhyBetter(spot, grade, differs) => {
                let reasons = Reasons {
                    better: Better::ALL.get(at).copied(),
                    differs,
                    worse_counts: false,
                };
                self.grade_item(spot, grade, reasons, cx);
            }
            Pick::Contradiction(spot, grade, differs) => {
                let better = at.checked_sub(1).and_then(|n| Better::ALL.get(n));
                let reasons = Reasons {
                    better: better.copied(),
                    differs,
                    worse_counts: better.is_none(),
                };
                self.grade_item(spot, grade, reasons, cx);
            }
            Pick::Mark(spot, offered) => {
                let mark = at.checked_sub(ask::NOTE + 1);
                match mark.and_then(|n| WearMark::ALL.get(n)) {
                    Some(mark) => cx.ask(Layer::line(
                        format!("{mark}: where on it?"),
                        "a few words; Enter: not said",
                        Line::MarkWhere(spot, *mark, offered),
                    )),
                    None if at == ask::NOTE => self.quick_note(spot, offered, cx),
                    None if offered => self.go_on(cx),
                    None => {}
                }
            }
            Pick::Sign(asked) => self.sign_picked(*asked, at, cx),
            Pick::Leak(spot) => {
                let leak = Leak::ALL.get(at).copied();
                if self.amend(spot, |d| d.leak = leak, cx) {
                    self.take_proposal(spot, cx);
                }
            }
            Pick::Tool(spot) => self.tool_picked(spot, at, cx),
            Pick::LeakSeen(spot, classes, offer) => {
                self.leak_seen(spot, classes.get(at).copied(), offer, cx);
            }
            Pick::NotSeen(spot) => self.not_seen_picked(spot, at, text, cx),
            Pick::TakeOff(spot) if at == 1 => self.take_off(spot, cx),
            Pick::TakeOff(spot) => self.put_not_seen(spot, "not found", cx),
            Pick::FinishAnyway if at == 1 => self.finish_unseen(cx),
            Pick::FinishAnyway | Pick::Stopped => {}
            Pick::RestWhy => self.rest_picked(at, text, cx),
            Pick::WhichFound(text, found) => self.found_picked(&text, found.get(at), cx),
            Pick::Gate(gate, ways) => self.gate_picked(gate, ways.get(at), cx),
            Pick::WhichMended(stops) => {
                if let Some(stop) = stops.get(at) {
                    self.put_right(stop, cx);
                }
            }
            Pick::PictureOf(spots) => {
                if let Some(spot) = spots.get(at) {
                    self.open_photo(*spot, cx);
                }
            }
            Pick::Pictures(spot, _) if at == 0 => self.ask_photo(spot, cx),
            Pick::Pictures(spot, pictures) => self.ask_with_picture(spot, &pictures, at - 1, cx),
            Pick::WithPicture(spot, picture, title) => {
                self.with_picture(spot, picture, (at, title), cx);
            }
            Pick::MoveTo(spot, own, places) => {
                if let Some(to) = places.get(at) {
                    self.move_photo((spot, own), *to, cx);
                }
            }
            Pick::Leaves(spot, leaves) => self.leaves_picked(spot, leaves, at, cx),
            Pick::PutBack(open) => {
                if let Some((of, what, _)) = open.into_iter().nth(at) {
                    self.put_back(of, &what, cx);
                }
            }
            Pick::Forbids(spot, what) => self.forbids_picked(spot, what, at, cx),
            Pick::MendedLasts(subject, done) if at == 0 => self.mended(&subject, &done, None, cx),
            Pick::MendedLasts(subject, done) => {
                cx.ask(ask_until(Line::MendedUntil(subject, done)));
            }
        }
    }

    fn rung_beside(&mut self, ask: Pick, grade: Grade, cx: &mut Turn<'_>) {
        WalkScreen::rung_beside(self, ask, grade, cx);
    }

    fn makes_way(&mut self, ask: &Pick, action: Action) -> bool {
        match ask {
            Pick::Sign(asked) => self.leaves_for(asked, action),
            _ => false,
        }
    }

    fn typed(&mut self, ask: Line, text: &str, cx: &mut Turn<'_>) -> Result<(), String> {
        let some = || Some(text.to_owned()).filter(|t| !t.is_empty());
        match ask {
            Line::Hours if text.is_empty() => {}
            Line::Hours => self.take_hours(Hours::typed(text)?, cx)?,
            Line::MendMeter(hours, id) => self.mend_meter((hours, &id), text, cx)?,
            Line::WhyUndo(ids) => self.undo_because(&ids, text, cx)?,
            Line::WhyDiffers(spot, grade) => {
                let why = some().ok_or("a reason is needed; Esc goes back")?;
                self.differs(spot, grade, &why, cx);
            }
            Line::MarkWhere(spot, mark, offered) => cx.ask(Layer::line(
                format!("{mark}: against what?"),
                "what it touches; Enter: nothing, or not said",
                Line::MarkAgainst(spot, mark, text.to_owned(), offered),
            )),
            Line::MarkAgainst(spot, mark, place, offered) => {
                let wear = Wear {
                    mark,
                    r#where: Some(place).filter(|p| !p.is_empty()),
                    against: some(),
                };
                self.amend(spot, |d| d.wear.push(wear), cx);
                if offered {
                    self.go_on(cx);
                }
            }
            Line::QuickNote(spot, offered) => {
                if let Some(note) = some() {
                    self.amend(spot, |d| d.note = Some(note), cx);
                }
                if offered {
                    self.go_on(cx);
                }
            }
            Line::Reading(spot) => {
                let Some(text) = self.take_speed_before(text, cx)? else {
                    return Ok(());
                };
                let measure = match self.read_from_mark(spot, &text) {
                    Some(read) => read?,
                    None => self.read(spot, &text)?,
                };
                if self.amend(spot, |d| d.reading = Some(measure), cx) {
                    self.take_proposal(spot, cx);
                }
            }
            Line::Added(spot) => {
                let added: Volume = text.parse()?;
                if self.amend(spot, |d| d.added = Some(added), cx) {
                    cx.tell("noted; grade what it shows now");
                }
            }
            Line::Bucket(spot) => self.bucket_typed(spot, text, cx)?,
            Line::NotSeenWords(spot) => {
                let why = some().ok_or("a reason is needed; Esc goes back")?;
                self.put_not_seen(spot, &why, cx);
            }
            Line::CloseBy(spot, why) => {
                let close_by = some().ok_or(HOW_NEEDED)?;
                self.record_not_seen(spot, &why, Some(close_by), cx);
            }
            Line::Agreed(n) => self.agreed_typed(n, text, cx),
            Line::WhoStarted => self.who_started_typed(text, cx),
            Line::Said(spot) => {
                if self.amend(spot, |d| d.said = some(), cx) {
                    cx.tell("noted as said; now what you see");
                }
            }
            Line::LeftOpen(spot) => self.left_open_typed(spot, text, cx)?,
            Line::Speed if text.is_empty() => self.set_speed(None, cx),
            Line::Speed => self.set_speed(Some(read_rpm(text)?), cx),
            Line::Photo(spot) => self.take_photo(spot, text, cx)?,
            Line::Caption(spot, at, another) => self.take_caption((spot, at, another), text, cx)?,
            Line::MovePhoto(spot, own) => self.move_photo_typed((spot, own), text, cx)?,
            Line::RestWords => cx.ask(rest_how(&some().ok_or("a reason is needed")?)),
            Line::RestCloseBy(why) => self.put_rest(&why, &some().ok_or(HOW_NEEDED)?, cx),
            Line::Happened => self.happened_typed(text, cx)?,
            Line::Find => self.find_typed(text, cx)?,
            Line::Mended(subject) => self.mended_typed(&subject, text, cx)?,
            Line::MendedUntil(subject, done) => {
                self.mended(&subject, &done, Some(text.parse()?), cx);
            }
            Line::OwnerStarts(gate, items) => self.owner_starts(gate, items, text, cx)?,
            Line::FuelLeft(tank) => self.fuel_typed(&tank, text, cx)?,
            Line::WhyStarted => self.why_started(text, cx),
            // Typed in more than one line, see `noted`.
            Line::Note(_) => {}
        }
        Ok(())
    }

    fn noted(&mut self, ask: Line, note: &NoteInput, end: bool, cx: &mut Turn<'_>) {
        if let Line::Note(spot) = ask {
            self.note_typed(spot, note, end, cx);
        }
    }

    fn left_list(&mut self, ask: Pick, cx: &mut Turn<'_>) {
        match ask {
            // Offered after a grade: leaving the offer goes on with the walk.
            Pick::Mark(_, true) => self.go_on(cx),
            Pick::LeakSeen(spot, ..) if self.is_at(spot) => self.go_on(cx),
            Pick::Sign(asked) => self.leave_sign(asked.spot, asked.after, cx),
            Pick::WhichMeter(..) | Pick::MeterMended(..) | Pick::Touched(_) => self.ask_hours(cx),
            // In a blind walk the grade stands already, and only its reason is left open.
            Pick::WhyBetter(spot, ..)
                if self.walk(cx.book).blind && self.look(cx.book, spot).is_some() =>
            {
                self.leave_better_open(spot, cx);
            }
            Pick::Mark(_, false)
            | Pick::Stopped
            | Pick::LeakSeen(..)
            | Pick::WhichItem(_)
            | Pick::WhyBetter(..)
            | Pick::WhyDiffers(..)
            | Pick::Contradiction(..)
            | Pick::Leak(_)
            | Pick::Tool(_)
            | Pick::NotSeen(_)
            | Pick::TakeOff(_)
            | Pick::RestWhy
            | Pick::WhichFound(..)
            | Pick::Gate(..)
            | Pick::WhichMended(_)
            | Pick::MendedLasts(..)
            | Pick::Forbids(..)
            | Pick::Leaves(..)
            | Pick::PutBack(_)
            | Pick::GuestsSaw
            | Pick::Pictures(..)
            | Pick::PictureOf(_)
            | Pick::WithPicture(..)
            | Pick::MoveTo(..)
            | Pick::FinishAnyway => {}
            // Unsaid is the same spot, which takes nothing back.
            Pick::SameSpot(..) => self.go_on(cx),
        }
    }

    fn left_line(&mut self, ask: Line, _text: &str, cx: &mut Turn<'_>) {
        match ask {
            Line::MarkWhere(_, _, true)
            | Line::MarkAgainst(_, _, _, true)
            | Line::QuickNote(_, true) => self.go_on(cx),
            // What is not answered was not agreed.
            Line::Agreed(_) => self.leave_agreed(cx),
            // The reason may be left.
            Line::WhyStarted => self.why_started("", cx),
            // The rest is asked for by a key, and leaving it leaves all as it was.
            _ => {}
        }
    }

    fn fills_in(&self, ask: &Line) -> bool {
        !matches!(ask, Line::Find | Line::MovePhoto(..))
    }

    /// What was agreed is on record answer by answer, and the last word counts.
    fn can_be_answered_again(&self, ask: &Line) -> bool {
        matches!(ask, Line::Agreed(_))
    }

    fn with_another(&self, ask: Line) -> Line {
        match ask {
            Line::Caption(spot, at, _) => Line::Caption(spot, at, true),
            other => other,
        }
    }

    fn wakes_at(&mut self, shared: &Shared, book: &Book) -> Option<Instant> {
        let now = Instant::now();
        let count = self.count(book).and_then(|count| count.next());
        self.count_at = count.map(|left| now + left);
        let clock = shared.setup.clock.monotonic();
        let tick = self.measuring.as_ref().and_then(|m| m.next_change(clock));
        let tick = tick.map(|left| now + left);
        self.count_at.into_iter().chain(tick).min()
    }

    fn woken(&mut self, cx: &mut Turn<'_>) {
        if self.count_at.is_some_and(|at| at <= Instant::now()) {
            self.counted(cx);
        }
    }

    fn look_at_clock(&mut self, cx: &mut Turn<'_>) {
        self.watch_clock(cx);
    }
}
