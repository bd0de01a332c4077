//! What the keys of a walk do: grading, and all that can be said of an item.

use crate::boat::Measure;
use crate::boat::dip::from_mark;
use crate::checklist::{Grade, Item, Kind};
use crate::defects::said::Said;
use crate::defects::view::WalkView;
use crate::keys::Action;
use crate::logbook::record::{DraftKept, Record, WalkFinished, WalkNoted};
use crate::screen::kind::{Go, To};
use crate::screen::layers::{Layer, NoteInput};
use crate::screen::walk::ask::{self, Line, Pick};
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::text::safe_line;
use crate::walk::pace::Pace;
use crate::walk::{Spot, Walk};

/// Told when nothing is left to look at.
pub(crate) const ALL_SEEN: &str = "every row has its look; f or Enter finishes the walk";

/// True for what is done in a phase itself, and not on the way through it.
const fn is_an_act(action: Action) -> bool {
    matches!(
        action,
        Action::Grade0
            | Action::Grade1
            | Action::Grade2
            | Action::Grade3
            | Action::Grade4
            | Action::AsLastTime
            | Action::Reading
            | Action::FillCell
            | Action::Leak
            | Action::Kind
            | Action::Measure
            | Action::BeginPhase
            | Action::Speed
    )
}

impl WalkScreen {
    pub fn walk_act(&mut self, action: Action, cx: &mut Turn<'_>) {
        if self.found_act(action, cx) {
            return;
        }
        if is_an_act(action) && (self.ask_gate(cx) || self.is_too_early(cx)) {
            return;
        }
        let just = std::mem::take(&mut self.just);
        if action == Action::Photo && self.photo_of_just(just, cx) {
            return;
        }
        self.open_for(action);
        let spot = self.at;
        match action {
            Action::Grade0 => self.grade(Grade::Sound, cx),
            Action::Grade1 => self.grade(Grade::Early, cx),
            Action::Grade2 => self.grade(Grade::Worn, cx),
            Action::Grade3 => self.grade(Grade::Failing, cx),
            Action::Grade4 => self.grade(Grade::Failed, cx),
            Action::Cautions => self.show_cautions(cx),
            Action::AsLastTime => self.grade_as_last_time(cx),
            Action::OpenRow | Action::OpenPlace => self.open_row(cx),
            Action::CloseRow => {
                self.open = false;
                self.at.item = 0;
            }
            Action::Places => self.turn_drawing(),
            Action::Grid => self.turn_grid(cx),
            Action::MoveUp
            | Action::MoveDown
            | Action::MoveLeft
            | Action::MoveRight
            | Action::First
            | Action::Last
                if self.grid.is_some() =>
            {
                self.step_on_grid(action, cx.book);
            }
            Action::NextUnseen if self.grid.is_some() => self.go_unseen(false, cx),
            Action::Back if self.grid.is_some() => self.leave_grid(cx.book),
            Action::MoveUp | Action::MoveDown | Action::MoveLeft | Action::MoveRight
                if self.drawing.on.is_some() =>
            {
                self.step_on_drawing(action, cx.book);
            }
            Action::MoveUp | Action::MoveDown => {
                self.step(action == Action::MoveDown);
            }
            Action::NextUnseen => self.advance(cx),
            Action::PreviousUnseen => self.go_back_unseen(cx),
            Action::NextPhase | Action::PreviousPhase => {
                self.go_phase(action == Action::NextPhase);
                self.ask_gate(cx);
            }
            Action::SoFar => self.show_so_far(cx),
            Action::First | Action::Last => self.go_end(action == Action::Last),
            Action::NotSeen => {
                let options = ask::NOT_SEEN.iter().map(|s| (*s).to_owned()).collect();
                cx.ask(Layer::choice(
                    self.title_of(spot, "not seen: why?"),
                    options,
                    Pick::NotSeen(spot),
                ));
            }
            Action::Note => self.open_note(spot, cx),
            Action::Wear => {
                cx.ask(Layer::beside_rungs(
                    self.title_of(spot, "wear mark"),
                    ask::mark_options(true),
                    ask::NOTE,
                    Pick::Mark(spot, false),
                ));
            }
            Action::Leak => self.open_leak(spot, cx),
            Action::Kind => self.ask_kind(spot, cx),
            Action::Reading | Action::FillCell => self.open_reading(spot, cx),
            Action::Added => self.open_added(spot, cx),
            Action::Measure => self.open_measure(spot, cx),
            Action::Undo => self.undo(cx),
            Action::Find => {
                cx.ask(Layer::line(
                    "Find",
                    "a part of its name; what this walk does not ask comes in as well",
                    Line::Find,
                ));
            }
            Action::BeginPhase => self.begin_phase(cx),
            Action::Hours => self.ask_hours(cx),
            Action::EnteredAfter => self.toggle_entered_after(cx),
            Action::Blind => self.toggle_blind(cx),
            Action::Said => self.open_said(spot, cx),
            Action::LeftOpen => self.ask_left_open(spot, cx),
            Action::PutBack => self.ask_put_back(cx),
            Action::Photo => self.open_photo(spot, cx),
            Action::Speed => self.open_speed(cx),
            Action::Finish => self.ask_finish(cx),
            Action::Back => {
                let was_open = std::mem::replace(&mut self.open, false);
                if !was_open {
                    cx.go(Go::Home);
                }
            }
            _ => {}
        }
        if cx.asked.is_empty() && self.measuring.is_none() {
            self.drop_beside(cx.book, true);
        }
    }

    /// Says so where the looks in front are those of the next morning and she has not stood.
    fn is_too_early(&self, cx: &mut Turn<'_>) -> bool {
        let walk = self.walk(cx.book);
        let night = self
            .plan
            .phases
            .get(self.at.phase)
            .and_then(|p| p.timing.minutes);
        let night = chrono::Duration::minutes(night.unwrap_or_default() as i64);
        let here = Some(self.phase_id(self.at));
        let mut looks = walk
            .looks
            .iter()
            .filter(|t| t.look.phase.as_deref() != here);
        let fresh = looks.any(|t| cx.book.now() - t.at < night);
        let early = fresh && self.is_for_tomorrow(cx.book, self.at) && !walk.entered_after;
        if early {
            cx.tell("not yet: this look needs her to have stood overnight; f finishes, tomorrow asks it");
        }
        early
    }

    /// What to heed in this phase and at what is in front, whether it was said before or not.
    fn show_cautions(&self, cx: &mut Turn<'_>) {
        let phase = self.plan.phases.get(self.at.phase);
        let items = self.row().map_or(1, |r| r.items.len());
        let spots = (0..items).map(|item| Spot { item, ..self.at });
        let all = spots.filter_map(|s| self.item(s)).flat_map(|i| &i.cautions);
        let mut lines: Vec<String> = phase.and_then(|p| p.before.clone()).into_iter().collect();
        let step = self.row().and_then(|row| row.step.as_ref());
        if let Some(step) = step {
            lines.extend(step.caution.clone());
            lines.push(step.action.clone());
        }
        for caution in all {
            if !lines.contains(caution) {
                lines.push(caution.clone());
            }
        }
        match lines.is_empty() {
            true => cx.tell("no caution stands here but those of the whole engine room"),
            false => cx.ask(Layer::page("Cautions here", lines)),
        }
    }

    /// What is said of one item opens a closed row of several, at the first item it can be said of.
    fn open_for(&mut self, action: Action) {
        let Some(row) = self.row().filter(|r| r.items.len() > 1 && !self.open) else {
            return;
        };
        let takes = |item: &Item| match action {
            Action::Note | Action::Wear | Action::Said | Action::Photo | Action::LeftOpen => true,
            Action::Reading => item.reading.is_some(),
            Action::Leak => item.fluid.is_some(),
            Action::Kind => self.before.asks_kind_of(&item.id),
            Action::Added => item.kind == Kind::Level,
            Action::Measure => !item.tools().is_empty(),
            _ => false,
        };
        let spots = (0..row.items.len()).map(|item| Spot { item, ..self.at });
        let first = spots.into_iter().find(|s| self.item(*s).is_some_and(takes));
        if let Some(spot) = first {
            self.open = true;
            self.at = spot;
        }
    }

    /// The item's name with a few words.
    pub fn title_of(&self, spot: Spot, words: &str) -> String {
        let name = self.item(spot).map_or("", |i| &i.title);
        format!("{}, {words}", safe_line(name))
    }

    /// To the next place without a look.
    pub fn advance(&mut self, cx: &mut Turn<'_>) {
        // One thing found has nothing after it.
        if self.is_found() {
            if cx.notice.is_none() {
                cx.tell("on record; Esc goes back to where you were");
            }
            return;
        }
        if self.grid.is_some() {
            return self.advance_on_grid(cx);
        }
        let book = &*cx.book;
        let step = self.row().is_some_and(|r| r.each_speed || r.beside);
        if let Some(spot) = self.next_at_speed(book, Some(self.at)).filter(|_| step) {
            self.go(spot);
            return;
        }
        let recorded = self.walk(book);
        let items = self.row().map_or(1, |r| r.items.len());
        let rest = (self.at.item + 1..items).map(|item| Spot { item, ..self.at });
        let within = self
            .open
            .then(|| rest.into_iter().find(|s| self.look(book, *s).is_none()))
            .flatten();
        let next = within.or_else(|| self.plan.next_unseen(recorded, self.after_row()));
        let phase = self.at.phase;
        match next {
            Some(spot) => {
                let backward = spot.phase < phase;
                let morning = spot.phase > phase && self.is_for_tomorrow(book, spot);
                self.go(spot);
                self.at = spot;
                self.open = spot.item > 0 || (within.is_some() && self.open);
                if backward {
                    cx.tell("back to a row not yet seen");
                } else if morning {
                    cx.tell(
                        "the rest is the next morning's: f finishes, and tomorrow's walk asks it",
                    );
                }
                if spot.phase != phase {
                    self.ask_gate(cx);
                }
            }
            None => cx.tell(ALL_SEEN),
        }
    }

    fn go_back_unseen(&mut self, cx: &mut Turn<'_>) {
        let book = &*cx.book;
        let recorded = self.walk(book);
        let here = self.at;
        let unseen = |s: &Spot| {
            *s < here
                && self
                    .plan
                    .item(*s)
                    .is_some_and(|i| recorded.look_in(self.phase_id(*s), i).is_none())
        };
        let last = self.plan.spots().filter(unseen).last();
        if let Some(spot) = last {
            self.go(spot);
            self.open = spot.item > 0;
        }
    }

    fn go_phase(&mut self, next: bool) {
        let phase = if next {
            self.at.phase + 1
        } else {
            self.at.phase.saturating_sub(1)
        };
        if phase < self.plan.phases.len() {
            self.go(Spot {
                phase,
                row: 0,
                item: 0,
            });
            self.fresh_phase = true;
        }
    }

    fn go_end(&mut self, last: bool) {
        let row = if last {
            self.plan.rows().last()
        } else {
            self.plan.rows().next()
        };
        if let Some((phase, row)) = row {
            self.go(Spot {
                phase,
                row,
                item: 0,
            });
        }
    }

    fn open_row(&mut self, cx: &mut Turn<'_>) {
        let several = self.row().is_some_and(|r| r.items.len() > 1);
        if several && !self.open {
            self.open = true;
        } else {
            self.advance(cx);
        }
    }

    fn open_note(&mut self, spot: Spot, cx: &mut Turn<'_>) {
        let book = &*cx.book;
        let text = self.standing_details(book, spot).note.unwrap_or_default();
        cx.ask(Layer::note(
            self.title_of(spot, "note"),
            &text,
            Line::Note(spot),
        ));
    }

    fn open_leak(&mut self, spot: Spot, cx: &mut Turn<'_>) {
        let leaks = self.item(spot).is_some_and(|i: &Item| i.fluid.is_some());
        if leaks {
            cx.ask(Layer::choice(
                self.title_of(spot, "leak class"),
                ask::leak_options(),
                Pick::Leak(spot),
            ));
        } else {
            cx.warn("nothing leaks at this item");
        }
    }

    fn open_reading(&mut self, spot: Spot, cx: &mut Turn<'_>) {
        let unit = self.item(spot).and_then(|item| self.unit(item));
        match unit {
            Some(unit) => {
                let level = self.item(spot).is_some_and(Item::is_between_marks);
                let hint = match level {
                    true => level_hint(self.apart(spot)),
                    false => self.reading_hint(unit),
                };
                cx.ask(Layer::line(
                    self.title_of(spot, "reading"),
                    hint,
                    Line::Reading(spot),
                ));
            }
            None => cx.warn("this item has no reading"),
        }
    }

    /// A dipstick typed in millimetres from a mark, in per cent; none where the text is no such thing.
    pub(super) fn read_from_mark(&self, spot: Spot, text: &str) -> Option<Result<Measure, String>> {
        self.item(spot).filter(|i| i.is_between_marks())?;
        from_mark(text, self.apart(spot))
    }

    fn apart(&self, spot: Spot) -> Option<f64> {
        let machine = &self.started.machine;
        self.before.mm_between_marks(self.item(spot)?, machine)
    }

    fn open_added(&mut self, spot: Spot, cx: &mut Turn<'_>) {
        let item = self.item(spot);
        if item.is_some_and(|i| i.kind == Kind::Level) {
            let hint = "how much, such as 0.6 L or 1 qt; the reading is what you found before it";
            cx.ask(Layer::line(
                self.title_of(spot, "topped up"),
                hint,
                Line::Added(spot),
            ));
        } else {
            cx.warn("only a level is topped up");
        }
    }

    fn toggle_entered_after(&mut self, cx: &mut Turn<'_>) {
        let on = !self.walk(cx.book).entered_after;
        let entered_after = Some(on);
        self.note_walk(
            WalkNoted {
                entered_after,
                ..WalkNoted::default()
            },
            cx,
        );
        cx.tell(if on {
            "walked first, entered after: pace is not looked at"
        } else {
            "entered while walking"
        });
    }

    fn ask_finish(&mut self, cx: &mut Turn<'_>) {
        self.drop_beside(cx.book, false);
        let book = &*cx.book;
        if !self.is_begun(book) {
            cx.tell("nothing is entered yet; Esc leaves");
            return;
        }
        let recorded = self.walk(book);
        let unseen = self.plan.rows().filter(|(p, r)| {
            let spot = Spot {
                phase: *p,
                row: *r,
                item: 0,
            };
            !self.plan.row_done(recorded, *p, *r) && !self.is_for_tomorrow(book, spot)
        });
        let left = unseen.count();
        if left == 0 {
            self.finish_walk(cx);
        } else {
            let rest = if self.is_survey() {
                "say why the rest was not seen, and finish"
            } else {
                "finish; what is unseen counts as not seen"
            };
            let options = vec!["go on looking".into(), rest.into()];
            cx.ask(Layer::choice(
                format!("{left} row(s) have no look yet"),
                options,
                Pick::FinishAnyway,
            ));
        }
    }

    pub fn finish_walk(&mut self, cx: &mut Turn<'_>) {
        if self.ask_fuel(cx) || self.ask_who_started(cx) {
            return;
        }
        let book = &*cx.book;
        let catalogue = &self.before.library.catalogue;
        let pace = Pace::of(self.walk(book), &self.plan, |id| {
            catalogue.item(id).map(|i| i.seconds)
        });
        let id = self.started.walk.clone();
        let at = book.now();
        let (boat, library) = (book.boat(), book.library());
        let view = WalkView::of(boat, library, book.history(), self.walk(book), at);
        if !self.so_far.asked_why && view.is_run_without_a_reason(book.history()) {
            cx.done = true;
            cx.ask(Layer::line(
                "She was started over a stop: why?",
                "a few words for the record; Enter: no reason given",
                Line::WhyStarted,
            ));
            return;
        }
        let WalkView {
            condition,
            history,
            walk,
            ..
        } = view;
        let ended = Walk {
            finished: Some(at),
            ..walk
        };
        let finished = WalkFinished {
            walk: id.clone(),
            at,
            pace,
            said: Said::of(&condition, &history, &ended),
        };
        let mut records = vec![Record::from(finished)];
        if self.is_leak_run() {
            let owed = condition.follow_ups(&history, &ended);
            records.extend(owed.into_iter().map(Record::from));
        }
        if !self.walk_record(records, false, cx) {
            return;
        }
        cx.go(Go::To(To::End(id, pace)));
    }

    /// Takes a note into the look at a place, or ahead of it; half typed it is kept as a draft.
    pub fn note_typed(&mut self, spot: Spot, note: &NoteInput, end: bool, cx: &mut Turn<'_>) {
        let text = note.area.lines().join("\n");
        let text = Some(text).filter(|t| !t.trim().is_empty());
        if end {
            let text = text.map(|t| t.trim_end().to_owned());
            if note.dirty || text != self.standing_details(cx.book, spot).note {
                self.amend(spot, |details| details.note = text, cx);
            }
            return;
        }
        let Some(item) = self.item(spot) else { return };
        let mut details = self.draft(cx.book, spot).unwrap_or_default();
        details.note = text;
        details.at_rpm = self.speed_of(spot);
        let draft = DraftKept {
            walk: self.started.walk.clone(),
            phase: self.phase_id(spot).to_owned(),
            item: item.id.clone(),
            details,
        };
        self.walk_record(vec![Record::from(draft)], false, cx);
    }
}

/// How a level between marks is typed.
fn level_hint(apart: Option<f64>) -> String {
    let mark = match apart {
        Some(_) => "; +2 mm is above the low mark, high -3 mm below the high one",
        None => "",
    };
    format!(
        "as found, before topping up: 1/2, 3/4, or % of the way from the low mark to the high{mark}"
    )
}
