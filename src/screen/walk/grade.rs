//! Grading: one key for what is in front, the questions that have to come first, what is offered
//! after.

use crate::checklist::Grade;
use crate::logbook::record::{DraftKept, LookMade, Record, Undo};
use crate::screen::app::App;
use crate::screen::layers::Layer;
use crate::screen::layers::ask::{self, Ask};
use crate::screen::walk::steps::ALL_SEEN;
use crate::text::safe_line;
use crate::walk::{Better, Details, Look, Spot};

/// Why a grade differs from what is proposed or from last time, as answered.
#[derive(Clone, Debug, Default)]
pub struct Reasons {
    /// Why it differs from what is proposed.
    pub differs: Option<String>,
    /// Why it is better.
    pub better: Option<Better>,
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
}

impl App {
    /// One key for what is in front: an item, or a whole row that is sound.
    pub(crate) fn grade(&mut self, grade: Grade) {
        let Some((walk, _)) = self.walking() else {
            return;
        };
        let Some(row) = walk.row() else { return };
        if row.items.len() == 1 || walk.open {
            self.grade_item(walk.at, grade, Reasons::default());
        } else if grade == Grade::Sound {
            self.grade_row_sound();
        } else {
            let names = (0..row.items.len())
                .filter_map(|item| walk.item(Spot { item, ..walk.at }))
                .map(|item| safe_line(&item.title).into_owned())
                .collect();
            self.layers.push(Layer::choice(
                format!("Which one is {grade}?"),
                names,
                Ask::WhichItem(grade),
            ));
        }
    }

    /// Grades every item of a closed row sound that has no look yet. An item whose last grade or
    /// reading says otherwise is asked about by itself.
    fn grade_row_sound(&mut self) {
        let Some((walk, book)) = self.walking() else {
            return;
        };
        let Some(row) = walk.row() else { return };
        let spots = (0..row.items.len()).map(|item| Spot { item, ..walk.at });
        let unseen: Vec<Spot> = spots.filter(|s| walk.look(book, *s).is_none()).collect();
        if unseen.is_empty() {
            if walk.plan.next_unseen(walk.walk(book), None).is_none() {
                self.tell(ALL_SEEN);
            } else {
                self.tell("every item of the row is graded; the right arrow opens it");
            }
            return;
        }
        let (asked, clear): (Vec<Spot>, Vec<Spot>) =
            unseen.iter().partition(|s| self.is_questioned(**s));
        let mut records = Vec::with_capacity(clear.len());
        for spot in &clear {
            records.extend(self.look_record(*spot, Grade::Sound, &Reasons::default()));
        }
        if !records.is_empty() && !self.walk_record(records, true) {
            return;
        }
        match asked.first() {
            Some(first) => {
                if let Some(walk) = self.walk_mut() {
                    walk.open = true;
                    walk.at = *first;
                }
                self.grade_item(*first, Grade::Sound, Reasons::default());
            }
            None => self.advance(),
        }
    }

    /// True where sound needs a reason.
    fn is_questioned(&self, spot: Spot) -> bool {
        let Some((walk, book)) = self.walking() else {
            return false;
        };
        let Some(item) = walk.item(spot) else {
            return false;
        };
        let life = walk.before.life(&item.id, &walk.started.machine);
        let better = !walk.hides_past(book, spot)
            && life.is_some_and(|l| walk.before.asks_why_better(item, l, Grade::Sound));
        let proposed = walk.proposal(book, spot, walk.standing_details(book, spot));
        better || proposed.is_some_and(|p| p.grade != Grade::Sound)
    }

    /// Grades one item, asking what has to be asked first and offering a mark and a note where it
    /// is worse than last time.
    pub(crate) fn grade_item(&mut self, spot: Spot, grade: Grade, reasons: Reasons) {
        let Some((walk, book)) = self.walking() else {
            return;
        };
        let Some(item) = walk.item(spot) else { return };
        let machine = &walk.started.machine;
        let life = walk.before.life(&item.id, machine);
        let hidden = walk.hides_past(book, spot);
        let before = life.and_then(|l| l.standing.grade).filter(|_| !hidden);
        let details = walk.details_for(book, spot, grade);
        let look = Look::graded(&item.id, Some(walk.phase_id(spot)), grade).with(details.clone());
        let proposal = walk.proposal(book, spot, details.clone());
        if let Some(p) = proposal.filter(|p| p.grade != grade && reasons.differs.is_none()) {
            let title = format!("{grade}, but {} proposes {}: why?", p.by, p.grade);
            self.layers.push(Layer::line(
                title,
                "a few words; Esc leaves it ungraded",
                Ask::WhyDiffers(spot, grade),
            ));
            return;
        }
        let asks = life.is_some_and(|l| walk.before.asks_why_better(item, l, grade));
        let asks = asks && reasons.better.is_none();
        if asks && !hidden {
            self.ask_why_better(spot, grade);
            return;
        }
        let worse = before.map_or(grade > Grade::Sound, |b| grade > b);
        // A level, a reading or a smell has no place that wears.
        let wears = item.kind.wears();
        let offer = worse && details.wear.is_empty() && details.note.is_none();
        let stop = walk.stop_seen(spot, &look);
        let classes = walk.leak_classes(item, &look);
        let records = self.look_record(spot, grade, &reasons);
        if !self.walk_record(records, true) {
            return;
        }
        if let Some(slow) = self.slow_sync() {
            self.tell(format!("saved; the disk took {} ms", slow.as_millis()));
        }
        let offer = Offer {
            worse: offer,
            seen_before: before.is_some(),
            wears,
        };
        if asks {
            // Hidden until the look was made: now it can be asked.
            self.ask_why_better(spot, grade);
        } else if classes.is_empty() {
            self.offer(spot, offer);
        } else {
            self.ask_leak_seen(spot, classes, offer);
        }
        if let Some(stop) = stop {
            self.tell_stop(stop);
        }
    }

    /// What is offered after a grade worse than last time, or the way on.
    pub(crate) fn offer(&mut self, spot: Spot, offer: Offer) {
        if offer.worse && offer.wears {
            let words = if offer.seen_before {
                "worse than last time"
            } else {
                "not sound"
            };
            let title = self.title_of(spot, &format!("{words}: a wear mark?"));
            self.layers.push(Layer::choice(
                title,
                ask::mark_options(),
                Ask::Mark(spot, true),
            ));
        } else if offer.worse {
            self.quick_note(spot);
        } else {
            self.advance();
        }
    }

    fn ask_why_better(&mut self, spot: Spot, grade: Grade) {
        let title = self.title_of(spot, "better than last time: why?");
        self.layers.push(Layer::choice(
            title,
            ask::better_options(),
            Ask::WhyBetter(spot, grade),
        ));
    }

    /// Goes on where the reason for a better grade stays open: what else is asked of the look comes
    /// first.
    pub(crate) fn leave_better_open(&mut self, spot: Spot) {
        let classes = self.walking().and_then(|(walk, book)| {
            let look = &walk.look(book, spot)?.look;
            Some(walk.leak_classes(walk.item(spot)?, look))
        });
        match classes.filter(|classes| !classes.is_empty()) {
            Some(classes) => {
                let offer = Offer {
                    worse: false,
                    seen_before: true,
                    wears: false,
                };
                self.ask_leak_seen(spot, classes, offer);
            }
            None => self.advance(),
        }
    }

    /// The records of a grade at a place; the look it corrects is taken back.
    fn look_record(&self, spot: Spot, grade: Grade, reasons: &Reasons) -> Vec<Record> {
        let Some((walk, book)) = self.walking() else {
            return Vec::new();
        };
        let Some(item) = walk.item(spot) else {
            return Vec::new();
        };
        let details = walk.details_for(book, spot, grade);
        let mut look = Look::graded(&item.id, Some(walk.phase_id(spot)), grade).with(details);
        look.grade_reason.clone_from(&reasons.differs);
        look.better = reasons.better;
        look.at_rpm = look.at_rpm.or(walk.speed());
        let mut records = Vec::with_capacity(2);
        if let Some(earlier) = walk.standing_look(book, spot) {
            records.push(Record::Undo(Undo {
                of: earlier.id.clone(),
            }));
        }
        records.push(self.look_made(look));
        records
    }

    fn look_made(&self, look: Look) -> Record {
        let (walk, at) = match self.walking() {
            Some((walk, book)) => (walk.started.walk.clone(), book.now()),
            None => (String::new(), self.setup.clock.now()),
        };
        Record::Look(LookMade {
            walk,
            at,
            look: look.into(),
        })
    }

    /// Changes what is said of an item: in its look, or ahead of it as a draft.
    pub(crate) fn amend(&mut self, spot: Spot, change: impl FnOnce(&mut Details)) -> bool {
        let Some((walk, book)) = self.walking() else {
            return false;
        };
        let Some(item) = walk.item(spot) else {
            return false;
        };
        let mut details = walk.standing_details(book, spot);
        change(&mut details);
        let record = match walk.standing_look(book, spot) {
            Some(earlier) => vec![
                Record::Undo(Undo {
                    of: earlier.id.clone(),
                }),
                self.look_made(Look::clone(&earlier.look).with(details)),
            ],
            None => vec![Record::Draft(DraftKept {
                walk: walk.started.walk.clone(),
                phase: walk.phase_id(spot).to_owned(),
                item: item.id.clone(),
                details,
            })],
        };
        let graded = record.len() == 2;
        self.walk_record(record, graded)
    }

    /// What was measured or the leak class proposes a rung: it is taken where there is one, and
    /// can be changed or taken back at once.
    pub(crate) fn take_proposal(&mut self, spot: Spot) {
        let Some((walk, book)) = self.walking() else {
            return;
        };
        let Some(item) = walk.item(spot) else { return };
        match walk.proposal(book, spot, walk.standing_details(book, spot)) {
            Some(p) => {
                let told = format!(
                    "{}: {} proposes {} {}; u takes it back",
                    safe_line(&item.title),
                    p.by,
                    p.grade.rung(),
                    p.grade
                );
                self.grade_item(spot, p.grade, Reasons::default());
                if self.notice.is_none() {
                    self.tell(told);
                }
            }
            None => self.tell("noted; now grade it"),
        }
    }
}
