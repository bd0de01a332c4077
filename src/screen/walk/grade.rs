//! Grading: one key for what is in front, the questions that have to come first, what is offered
//! after.

use std::time::Duration;

use crate::checklist::Grade;
use crate::logbook::book::Book;
use crate::logbook::record::{DraftKept, LookMade, Record, Undo};
use crate::screen::layers::Layer;
use crate::screen::walk::ask::{self, Line, Offer, Pick};
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::screen::walk::steps::ALL_SEEN;
use crate::text::safe_line;
use crate::walk::{Better, Details, Look, Spot};

/// A sync that takes longer than this is told on the row.
const SLOW_SYNC: Duration = Duration::from_millis(50);

/// Why a grade differs from what is proposed or from last time, as answered.
#[derive(Clone, Debug, Default)]
pub struct Reasons {
    /// Why it differs from what is proposed.
    pub differs: Option<String>,
    /// Why it is better.
    pub better: Option<Better>,
}

impl WalkScreen {
    /// One key for what is in front: an item, or a whole row that is sound.
    pub fn grade(&mut self, grade: Grade, cx: &mut Turn<'_>) {
        let Some(row) = self.row() else { return };
        if row.items.len() == 1 || self.open {
            self.grade_item(self.at, grade, Reasons::default(), cx);
        } else if grade == Grade::Sound {
            self.grade_row_sound(cx);
        } else {
            let names = (0..row.items.len())
                .filter_map(|item| self.item(Spot { item, ..self.at }))
                .map(|item| safe_line(&item.title).into_owned())
                .collect();
            cx.ask(Layer::choice(
                format!("Which one is {grade}?"),
                names,
                Pick::WhichItem(grade),
            ));
        }
    }

    /// Grades every item of a closed row sound that has no look yet. An item whose last grade or
    /// reading says otherwise is asked about by itself.
    fn grade_row_sound(&mut self, cx: &mut Turn<'_>) {
        let book = &*cx.book;
        let Some(row) = self.row() else { return };
        let spots = (0..row.items.len()).map(|item| Spot { item, ..self.at });
        let unseen: Vec<Spot> = spots.filter(|s| self.look(book, *s).is_none()).collect();
        if unseen.is_empty() {
            if self.plan.next_unseen(self.walk(book), None).is_none() {
                cx.tell(ALL_SEEN);
            } else {
                cx.tell("every item of the row is graded; the right arrow opens it");
            }
            return;
        }
        let (asked, clear): (Vec<Spot>, Vec<Spot>) = unseen
            .iter()
            .partition(|s| self.is_questioned(cx.book, **s));
        let mut records = Vec::with_capacity(clear.len());
        for spot in &clear {
            records.extend(self.look_record(cx.book, *spot, Grade::Sound, &Reasons::default()));
        }
        if !records.is_empty() && !self.walk_record(records, true, cx) {
            return;
        }
        match asked.first() {
            Some(first) => {
                self.open = true;
                self.at = *first;
                self.grade_item(*first, Grade::Sound, Reasons::default(), cx);
            }
            None => self.advance(cx),
        }
    }

    /// True where sound needs a reason.
    fn is_questioned(&self, book: &Book, spot: Spot) -> bool {
        let Some(item) = self.item(spot) else {
            return false;
        };
        let life = self.before.life(&item.id, &self.started.machine);
        let better = !self.hides_past(book, spot)
            && life.is_some_and(|l| self.before.asks_why_better(item, l, Grade::Sound));
        let proposed = self.proposal(book, spot, self.standing_details(book, spot));
        better || proposed.is_some_and(|p| p.grade != Grade::Sound)
    }

    /// Grades one item, asking what has to be asked first and offering a mark and a note where it
    /// is worse than last time.
    pub fn grade_item(&mut self, spot: Spot, grade: Grade, reasons: Reasons, cx: &mut Turn<'_>) {
        let book = &*cx.book;
        let Some(item) = self.item(spot) else { return };
        let machine = &self.started.machine;
        let life = self.before.life(&item.id, machine);
        let hidden = self.hides_past(book, spot);
        let before = life.and_then(|l| l.status.grade).filter(|_| !hidden);
        let details = self.details_for(book, spot, grade);
        let look = Look::graded(&item.id, Some(self.phase_id(spot)), grade).with(details.clone());
        let proposal = self.proposal(book, spot, details.clone());
        if let Some(p) = proposal.filter(|p| p.grade != grade && reasons.differs.is_none()) {
            let title = format!("{grade}, but {} proposes {}: why?", p.by, p.grade);
            cx.ask(Layer::line(
                title,
                "a few words; Esc leaves it ungraded",
                Line::WhyDiffers(spot, grade),
            ));
            return;
        }
        let asks = life.is_some_and(|l| self.before.asks_why_better(item, l, grade));
        let asks = asks && reasons.better.is_none();
        if asks && !hidden {
            self.ask_why_better(spot, grade, cx);
            return;
        }
        let worse = before.map_or(grade > Grade::Sound, |b| grade > b);
        // A level, a reading or a smell has no place that wears.
        let wears = item.kind.wears();
        let offer = worse && details.wear.is_empty() && details.note.is_none();
        let stop = self.stop_seen(spot, &look);
        let classes = self.leak_classes(item, &look);
        let records = self.look_record(cx.book, spot, grade, &reasons);
        if !self.walk_record(records, true, cx) {
            return;
        }
        let slow = cx.book.last_sync();
        if slow > SLOW_SYNC {
            cx.tell(format!("saved; the disk took {} ms", slow.as_millis()));
        }
        let offer = Offer {
            worse: offer,
            seen_before: before.is_some(),
            wears,
        };
        if asks {
            // Hidden until the look was made: now it can be asked.
            self.ask_why_better(spot, grade, cx);
        } else if classes.is_empty() {
            self.offer(spot, offer, cx);
        } else {
            self.ask_leak_seen(spot, classes, offer, cx);
        }
        if let Some(stop) = stop {
            self.tell_stop(stop, cx);
        }
    }

    /// What is offered after a grade worse than last time, or the way on.
    pub fn offer(&mut self, spot: Spot, offer: Offer, cx: &mut Turn<'_>) {
        if offer.worse && offer.wears {
            let words = if offer.seen_before {
                "worse than last time"
            } else {
                "not sound"
            };
            let title = self.title_of(spot, &format!("{words}: a wear mark?"));
            cx.ask(Layer::choice(
                title,
                ask::mark_options(),
                Pick::Mark(spot, true),
            ));
        } else if offer.worse {
            self.quick_note(spot, cx);
        } else {
            self.advance(cx);
        }
    }

    fn ask_why_better(&mut self, spot: Spot, grade: Grade, cx: &mut Turn<'_>) {
        let title = self.title_of(spot, "better than last time: why?");
        cx.ask(Layer::choice(
            title,
            ask::better_options(),
            Pick::WhyBetter(spot, grade),
        ));
    }

    /// Goes on where the reason for a better grade stays open: what else is asked of the look comes
    /// first.
    pub fn leave_better_open(&mut self, spot: Spot, cx: &mut Turn<'_>) {
        let look = self.look(cx.book, spot);
        let classes = look
            .zip(self.item(spot))
            .map(|(timed, item)| self.leak_classes(item, &timed.look));
        match classes.filter(|classes| !classes.is_empty()) {
            Some(classes) => {
                let offer = Offer {
                    worse: false,
                    seen_before: true,
                    wears: false,
                };
                self.ask_leak_seen(spot, classes, offer, cx);
            }
            None => self.advance(cx),
        }
    }

    /// The records of a grade at a place; the look it corrects is taken back.
    fn look_record(&self, book: &Book, spot: Spot, grade: Grade, reasons: &Reasons) -> Vec<Record> {
        let Some(item) = self.item(spot) else {
            return Vec::new();
        };
        let details = self.details_for(book, spot, grade);
        let mut look = Look::graded(&item.id, Some(self.phase_id(spot)), grade).with(details);
        look.grade_reason.clone_from(&reasons.differs);
        look.better = reasons.better;
        look.at_rpm = look.at_rpm.or(self.speed());
        let mut records = Vec::with_capacity(2);
        if let Some(earlier) = self.standing_look(book, spot) {
            records.push(Record::Undo(Undo {
                of: earlier.id.clone(),
            }));
        }
        records.push(self.look_made(book, look));
        records
    }

    fn look_made(&self, book: &Book, look: Look) -> Record {
        Record::Look(LookMade {
            walk: self.started.walk.clone(),
            at: book.now(),
            look: look.into(),
        })
    }

    /// Changes what is said of an item: in its look, or ahead of it as a draft.
    pub fn amend(
        &mut self,
        spot: Spot,
        change: impl FnOnce(&mut Details),
        cx: &mut Turn<'_>,
    ) -> bool {
        let book = &*cx.book;
        let Some(item) = self.item(spot) else {
            return false;
        };
        let mut details = self.standing_details(book, spot);
        change(&mut details);
        let record = match self.standing_look(book, spot) {
            Some(earlier) => vec![
                Record::Undo(Undo {
                    of: earlier.id.clone(),
                }),
                self.look_made(cx.book, Look::clone(&earlier.look).with(details)),
            ],
            None => vec![Record::Draft(DraftKept {
                walk: self.started.walk.clone(),
                phase: self.phase_id(spot).to_owned(),
                item: item.id.clone(),
                details,
            })],
        };
        let graded = record.len() == 2;
        self.walk_record(record, graded, cx)
    }

    /// What was measured or the leak class proposes a rung: it is taken where there is one, and
    /// can be changed or taken back at once.
    pub fn take_proposal(&mut self, spot: Spot, cx: &mut Turn<'_>) {
        let book = &*cx.book;
        let Some(item) = self.item(spot) else { return };
        match self.proposal(book, spot, self.standing_details(book, spot)) {
            Some(p) => {
                let told = format!(
                    "{}: {} proposes {} {}; u takes it back",
                    safe_line(&item.title),
                    p.by,
                    p.grade.rung(),
                    p.grade
                );
                self.grade_item(spot, p.grade, Reasons::default(), cx);
                if cx.notice.is_none() {
                    cx.tell(told);
                }
            }
            None => cx.tell("noted; now grade it"),
        }
    }
}
