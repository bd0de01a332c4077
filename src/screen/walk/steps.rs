//! What the keys of a walk do: grading, and all that can be said of an item.

use crate::checklist::{Grade, Item, Kind};
use crate::defects::said::Said;
use crate::keys::Action;
use crate::logbook::record::{DraftKept, Record, Undo, WalkFinished, WalkNoted};
use crate::screen::app::{App, Screen};
use crate::screen::layers::Layer;
use crate::screen::layers::ask::{self, Ask};
use crate::screen::verdict::VerdictScreen;
use crate::text::safe_line;
use crate::walk::pace::Pace;
use crate::walk::{Spot, Walk};

/// Told when nothing is left to look at.
pub(crate) const ALL_SEEN: &str = "every row has its look; f or Enter finishes the walk";

impl App {
    pub(crate) fn walk_act(&mut self, action: Action) {
        self.open_for(action);
        let Some(spot) = self.walking().map(|(walk, _)| walk.at) else {
            return;
        };
        match action {
            Action::Grade0 => self.grade(Grade::Sound),
            Action::Grade1 => self.grade(Grade::Early),
            Action::Grade2 => self.grade(Grade::Worn),
            Action::Grade3 => self.grade(Grade::Failing),
            Action::Grade4 => self.grade(Grade::Failed),
            Action::OpenRow => self.open_row(),
            Action::CloseRow => {
                if let Some(walk) = self.walk_mut() {
                    walk.open = false;
                    walk.at.item = 0;
                }
            }
            Action::MoveUp | Action::MoveDown => {
                if let Some(walk) = self.walk_mut() {
                    walk.step(action == Action::MoveDown);
                }
            }
            Action::NextUnseen => self.advance(),
            Action::PreviousUnseen => self.go_back_unseen(),
            Action::NextPhase | Action::PreviousPhase => self.go_phase(action == Action::NextPhase),
            Action::First | Action::Last => self.go_end(action == Action::Last),
            Action::NotSeen => {
                let options = ask::NOT_SEEN.iter().map(|s| (*s).to_owned()).collect();
                self.layers.push(Layer::choice(
                    self.title_of(spot, "not seen: why?"),
                    options,
                    Ask::NotSeen(spot),
                ));
            }
            Action::Note => self.open_note(spot),
            Action::Wear => {
                let title = self.title_of(spot, "wear mark");
                self.layers.push(Layer::choice(
                    title,
                    ask::mark_options(),
                    Ask::Mark(spot, false),
                ));
            }
            Action::Leak => self.open_leak(spot),
            Action::Reading => self.open_reading(spot),
            Action::Added => self.open_added(spot),
            Action::Measure => self.open_measure(spot),
            Action::Undo => self.undo(),
            Action::Find => {
                self.layers.push(Layer::line(
                    "Find",
                    "a part of its name; what this walk does not ask comes in as well",
                    Ask::Find,
                ));
            }
            Action::BeginPhase => self.begin_phase(),
            Action::Hours => self.ask_hours(),
            Action::EnteredAfter => self.toggle_entered_after(),
            Action::Blind => self.toggle_blind(),
            Action::Said => self.open_said(spot),
            Action::Photo => self.open_photo(spot),
            Action::Speed => self.open_speed(),
            Action::Finish => self.ask_finish(),
            Action::Back => {
                let closed = self
                    .walk_mut()
                    .is_some_and(|walk| std::mem::replace(&mut walk.open, false));
                if !closed {
                    self.go_home();
                }
            }
            _ => {}
        }
        if self.layers.is_empty() {
            self.drop_beside(true);
        }
    }

    /// What is said of one item opens a closed row of several, at the first item it can be said of.
    fn open_for(&mut self, action: Action) {
        let Some((walk, _)) = self.walking() else {
            return;
        };
        let Some(row) = walk.row().filter(|r| r.items.len() > 1 && !walk.open) else {
            return;
        };
        let takes = |item: &Item| match action {
            Action::Note | Action::Wear | Action::Said | Action::Photo => true,
            Action::Reading => item.reading.is_some(),
            Action::Leak => item.fluid.is_some(),
            Action::Added => item.kind == Kind::Level,
            Action::Measure => !item.tools().is_empty(),
            _ => false,
        };
        let spots = (0..row.items.len()).map(|item| Spot { item, ..walk.at });
        let first = spots.into_iter().find(|s| walk.item(*s).is_some_and(takes));
        if let (Some(spot), Some(walk)) = (first, self.walk_mut()) {
            walk.open = true;
            walk.at = spot;
        }
    }

    /// The item's name with a few words.
    pub(crate) fn title_of(&self, spot: Spot, words: &str) -> String {
        let name = self
            .walking()
            .and_then(|(walk, _)| walk.item(spot))
            .map_or("", |i| &i.title);
        format!("{}, {words}", safe_line(name))
    }

    /// To the next place without a look.
    pub(crate) fn advance(&mut self) {
        let Some((walk, book)) = self.walking() else {
            return;
        };
        let step = walk.row().is_some_and(|r| r.each_speed || r.beside);
        if let Some(spot) = walk.next_at_speed(book, Some(walk.at)).filter(|_| step) {
            if let Some(walk) = self.walk_mut() {
                walk.go(spot);
            }
            return;
        }
        let recorded = walk.walk(book);
        let items = walk.row().map_or(1, |r| r.items.len());
        let rest = (walk.at.item + 1..items).map(|item| Spot { item, ..walk.at });
        let within = walk
            .open
            .then(|| rest.into_iter().find(|s| walk.look(book, *s).is_none()))
            .flatten();
        let next = within.or_else(|| walk.plan.next_unseen(recorded, walk.after_row()));
        let phase = walk.at.phase;
        match next {
            Some(spot) => {
                let backward = spot.phase < phase;
                let morning = spot.phase > phase && walk.is_for_tomorrow(book, spot);
                if let Some(walk) = self.walk_mut() {
                    walk.go(spot);
                    walk.at = spot;
                    walk.open = spot.item > 0 || (within.is_some() && walk.open);
                }
                if backward {
                    self.tell("back to a row not yet seen");
                } else if morning {
                    self.tell(
                        "the rest is the next morning's: f finishes, and tomorrow's walk asks it",
                    );
                }
            }
            None => self.tell(ALL_SEEN),
        }
    }

    fn go_back_unseen(&mut self) {
        let Some((walk, book)) = self.walking() else {
            return;
        };
        let recorded = walk.walk(book);
        let here = walk.at;
        let unseen = |s: &Spot| {
            *s < here
                && walk
                    .plan
                    .item(*s)
                    .is_some_and(|i| recorded.look_in(walk.phase_id(*s), i).is_none())
        };
        let last = walk.plan.spots().filter(unseen).last();
        if let (Some(spot), Some(walk)) = (last, self.walk_mut()) {
            walk.go(spot);
            walk.open = spot.item > 0;
        }
    }

    fn go_phase(&mut self, next: bool) {
        let Some(walk) = self.walk_mut() else { return };
        let phase = if next {
            walk.at.phase + 1
        } else {
            walk.at.phase.saturating_sub(1)
        };
        if phase < walk.plan.phases.len() {
            walk.go(Spot {
                phase,
                row: 0,
                item: 0,
            });
            walk.fresh_phase = true;
        }
    }

    fn go_end(&mut self, last: bool) {
        let Some(walk) = self.walk_mut() else { return };
        let row = if last {
            walk.plan.rows().last()
        } else {
            walk.plan.rows().next()
        };
        if let Some((phase, row)) = row {
            walk.go(Spot {
                phase,
                row,
                item: 0,
            });
        }
    }

    fn open_row(&mut self) {
        let Some((walk, _)) = self.walking() else {
            return;
        };
        let several = walk.row().is_some_and(|r| r.items.len() > 1);
        if several && !walk.open {
            if let Some(walk) = self.walk_mut() {
                walk.open = true;
            }
        } else {
            self.advance();
        }
    }

    fn open_note(&mut self, spot: Spot) {
        let Some((walk, book)) = self.walking() else {
            return;
        };
        let text = walk.standing_details(book, spot).note.unwrap_or_default();
        self.layers.push(Layer::note(
            self.title_of(spot, "note"),
            &text,
            Ask::Note(spot),
        ));
    }

    fn open_leak(&mut self, spot: Spot) {
        let leaks = self
            .walking()
            .and_then(|(walk, _)| walk.item(spot))
            .is_some_and(|i: &Item| i.fluid.is_some());
        if leaks {
            self.layers.push(Layer::choice(
                self.title_of(spot, "leak class"),
                ask::leak_options(),
                Ask::Leak(spot),
            ));
        } else {
            self.warn("nothing leaks at this item");
        }
    }

    fn open_reading(&mut self, spot: Spot) {
        let unit = self
            .walking()
            .and_then(|(walk, _)| walk.unit(walk.item(spot)?));
        match unit {
            Some(unit) => {
                let hint = self.reading_hint(unit);
                self.layers.push(Layer::line(
                    self.title_of(spot, "reading"),
                    hint,
                    Ask::Reading(spot),
                ));
            }
            None => self.warn("this item has no reading"),
        }
    }

    fn open_added(&mut self, spot: Spot) {
        let item = self.walking().and_then(|(walk, _)| walk.item(spot));
        if item.is_some_and(|i| i.kind == Kind::Level) {
            let hint = "how much, such as 0.6 L or 1 qt";
            self.layers.push(Layer::line(
                self.title_of(spot, "topped up"),
                hint,
                Ask::Added(spot),
            ));
        } else {
            self.warn("only a level is topped up");
        }
    }

    /// Takes the last entry of this walk back.
    fn undo(&mut self) {
        let group = match self.walk_mut().and_then(|walk| walk.undo.pop()) {
            Some(group) => group,
            None => {
                let last = self
                    .walking()
                    .and_then(|(walk, book)| walk.walk(book).looks.last().map(|l| l.id.clone()));
                match last {
                    Some(id) => vec![id],
                    None => return self.tell("nothing to take back"),
                }
            }
        };
        let spot = self.walking().and_then(|(walk, book)| {
            let looks = &walk.walk(book).looks;
            let undone = looks.iter().find(|l| group.contains(&l.id))?;
            walk.spot_of(undone)
        });
        let records = group
            .into_iter()
            .rev()
            .map(|of| Record::Undo(Undo { of }))
            .collect();
        if self.walk_record(records, false) {
            if let (Some(spot), Some(walk)) = (spot, self.walk_mut()) {
                let open = spot.item > 0
                    || (walk.open && (spot.phase, spot.row) == (walk.at.phase, walk.at.row));
                walk.go(spot);
                walk.open = open;
            }
            self.tell("taken back");
        }
    }

    fn toggle_entered_after(&mut self) {
        let Some((walk, book)) = self.walking() else {
            return;
        };
        let on = !walk.walk(book).entered_after;
        let record = WalkNoted {
            walk: walk.started.walk.clone(),
            entered_after: Some(on),
            ..WalkNoted::default()
        };
        if walk.is_begun(book) {
            self.walk_record(vec![Record::WalkNoted(record)], false);
        } else if let Some(walk) = self.walk_mut() {
            walk.set_entered_after(on);
        }
        self.tell(if on {
            "walked first, entered after: pace is not looked at"
        } else {
            "entered while walking"
        });
    }

    fn ask_finish(&mut self) {
        self.drop_beside(false);
        let Some((walk, book)) = self.walking() else {
            return;
        };
        if !walk.is_begun(book) {
            self.tell("nothing is entered yet; Esc leaves");
            return;
        }
        let recorded = walk.walk(book);
        let unseen = walk.plan.rows().filter(|(p, r)| {
            let spot = Spot {
                phase: *p,
                row: *r,
                item: 0,
            };
            !walk.plan.row_done(recorded, *p, *r) && !walk.is_for_tomorrow(book, spot)
        });
        let left = unseen.count();
        if left == 0 {
            self.finish_walk();
        } else {
            let rest = if walk.is_survey() {
                "say why the rest was not seen, and finish"
            } else {
                "finish; what is unseen counts as not seen"
            };
            let options = vec!["go on looking".into(), rest.into()];
            self.layers.push(Layer::choice(
                format!("{left} row(s) have no look yet"),
                options,
                Ask::FinishAnyway,
            ));
        }
    }

    pub(crate) fn finish_walk(&mut self) {
        let Some((walk, book)) = self.walking() else {
            return;
        };
        let catalogue = &walk.before.library.catalogue;
        let pace = Pace::of(walk.walk(book), &walk.plan, |id| {
            catalogue.item(id).map(|i| i.seconds)
        });
        let id = walk.started.walk.clone();
        let (at, condition) = (book.now(), book.condition());
        let ended = Walk {
            finished: Some(at),
            ..walk.walk(book).clone()
        };
        let finished = WalkFinished {
            walk: id.clone(),
            at,
            pace,
            said: Said::of(&condition, book.history(), &ended),
        };
        let mut records = vec![Record::WalkFinished(finished)];
        if walk.is_leak_run() {
            let owed = condition.follow_ups(book.history(), walk.walk(book));
            records.extend(owed.into_iter().map(Record::Recheck));
        }
        if !self.walk_record(records, false) {
            return;
        }
        let Some(book) = &self.book else { return };
        if let Some(screen) = VerdictScreen::new(book, &id, pace) {
            self.screen = Screen::Verdict(Box::new(screen));
            self.remind_of_telling();
        }
    }

    /// Keeps what is half typed, a note or the answers about a service, as a synced draft.
    pub(crate) fn keep_draft(&mut self) {
        self.draft_at = None;
        self.keep_form_in_front();
        let Some(Layer::Note(note)) = self.layers.last_mut() else {
            return;
        };
        if !std::mem::replace(&mut note.dirty, false) {
            return;
        }
        let Ask::Note(spot) = note.ask else { return };
        let text = note.area.lines().join("\n");
        let Some((walk, book)) = self.walking() else {
            return;
        };
        let Some(item) = walk.item(spot) else { return };
        let mut details = walk.draft(book, spot).unwrap_or_default();
        details.note = Some(text).filter(|t| !t.trim().is_empty());
        let draft = DraftKept {
            walk: walk.started.walk.clone(),
            phase: walk.phase_id(spot).to_owned(),
            item: item.id.clone(),
            details,
        };
        self.walk_record(vec![Record::Draft(draft)], false);
    }
}
