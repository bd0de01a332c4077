//! Grading: one key for what is in front, the questions that have to come first, what is offered
//! after.

use std::time::Duration;

use crate::boat::Measure;
use crate::checklist::{Grade, Reading};
use crate::defects::as_last_time::NOTHING_OPEN;
use crate::logbook::book::Book;
use crate::logbook::mend::taking_back;
use crate::logbook::record::{DraftKept, LookMade, Record};
use crate::screen::kind::Screen;
use crate::screen::layers::{Choice, Layer};
use crate::screen::walk::ask::{self, Offer, Pick};
use crate::screen::walk::gate::StopSeen;
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::screen::walk::steps::ALL_SEEN;
use crate::text::safe_line;
use crate::walk::{Better, Details, Look, Spot};

/// Asked where an item is better than in the walk before.
const BETTER: &str = "better than last time: why?";
/// A better look in the same walk contradicts an earlier one of this rung or worse (judgement).
const LEAST_CONTRADICTED: Grade = Grade::Worn;
/// A sync that takes longer than this is told on the row.
const SLOW_SYNC: Duration = Duration::from_millis(50);

/// Why a grade differs from what is proposed or from last time, as answered.
#[derive(Clone, Debug, Default)]
pub struct Reasons {
    /// Why it differs from what is proposed.
    pub differs: Option<String>,
    /// Why it is better.
    pub better: Option<Better>,
    /// It was seen worse in this walk, and that counts beside it.
    pub worse_counts: bool,
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
            self.ask_which(grade, cx);
        }
    }

    /// Asks which item of a row has a grade: each stands with its own words for it, and with its
    /// instruction while it is under the arrow.
    fn ask_which(&self, grade: Grade, cx: &mut Turn<'_>) {
        let Some(row) = self.row() else { return };
        let spots = (0..row.items.len()).map(|item| Spot { item, ..self.at });
        let items: Vec<_> = spots
            .filter_map(|spot| Some((self.item(spot)?, self.look(cx.book, spot))))
            .collect();
        let options = items.iter().map(|(item, timed)| {
            let now = timed.and_then(|t| t.look.grade());
            let now = now.map_or_else(String::new, |g| format!(" (now {} {g})", g.rung()));
            format!("{}{now}", safe_line(&item.title))
        });
        let state = self.state(self.at);
        let words = items
            .iter()
            .map(|(item, _)| item.ladder[grade.rung()].clone());
        let choice = Choice {
            title: format!("{} {grade}: which one?", grade.rung()),
            options: options.collect(),
            beside_rungs: Some(0),
            words: words.collect(),
            foot: items
                .iter()
                .map(|(item, _)| item.look_in(state).to_owned())
                .collect(),
            ..Choice::default()
        };
        cx.ask(Layer::Choice(choice, Pick::WhichItem(grade)));
    }

    /// A rung pressed while a question stood beside it: in a question that comes before the grade it
    /// is the rung meant, in one that comes after it is the grade of what is next.
    pub fn rung_beside(&mut self, ask: Pick, grade: Grade, cx: &mut Turn<'_>) {
        match ask {
            Pick::WhichItem(_) => self.grade(grade, cx),
            Pick::WhyDiffers(spot, before, _) if before == grade => {
                self.differs(spot, grade, ask::DIFFERS[0], cx);
            }
            Pick::Contradiction(spot, before, differs) if before == grade => {
                let reasons = Reasons {
                    differs,
                    worse_counts: true,
                    ..Reasons::default()
                };
                self.grade_item(spot, grade, reasons, cx);
            }
            Pick::WhyDiffers(spot, ..)
            | Pick::WhyBetter(spot, ..)
            | Pick::Contradiction(spot, ..)
            | Pick::Mark(spot, false) => {
                self.grade_item(spot, grade, Reasons::default(), cx);
            }
            // Asked by its key, or of one thing found: nothing comes next, and the rung is its own.
            Pick::Sign(asked) if asked.after.is_none() || self.is_found() => {
                self.grade_item(asked.spot, grade, Reasons::default(), cx);
            }
            after => {
                let was = (self.at, self.open);
                self.left_list(after, cx);
                let unseen = self.plan.next_unseen(self.walk(cx.book), None);
                let onward = was != (self.at, self.open) || unseen.is_some();
                if onward && cx.asked.is_empty() && !self.ask_gate(cx) {
                    self.grade(grade, cx);
                }
            }
        }
    }

    /// Grades in spite of what is proposed.
    pub fn differs(&mut self, spot: Spot, grade: Grade, why: &str, cx: &mut Turn<'_>) {
        let reasons = Reasons {
            differs: Some(why.to_owned()),
            ..Reasons::default()
        };
        self.grade_item(spot, grade, reasons, cx);
    }

    /// The item in front is as last time; of a closed row the first open defect without a look.
    pub fn grade_as_last_time(&mut self, cx: &mut Turn<'_>) {
        let Some(row) = self.row() else { return };
        let closed = row.items.len() > 1 && !self.open;
        let spots = (0..row.items.len()).map(|item| Spot { item, ..self.at });
        let unseen = spots.filter(|s| self.look(cx.book, *s).is_none());
        let spots: Vec<Spot> = match closed {
            true => unseen.collect(),
            false => vec![self.at],
        };
        let mut refused = None;
        for spot in spots {
            let Some(item) = self.item(spot) else {
                continue;
            };
            let walk = self.walk(cx.book);
            match self.before.as_last_time(cx.book.history(), item, walk) {
                Ok(last) => {
                    let told = format!("{}: as last time, {}", safe_line(&item.title), last.grade);
                    let details = self.standing_details(cx.book, spot);
                    let mut look = Look::graded(&item.id, Some(self.phase_id(spot)), last.grade);
                    look = look.with(Details {
                        leak: details.leak.or(last.details.leak),
                        wear: [last.details.wear, details.wear.clone()].concat(),
                        signs: last
                            .details
                            .signs
                            .into_iter()
                            .chain(details.signs)
                            .collect(),
                        ..details
                    });
                    look.as_last_time = true;
                    look.at_rpm = look.at_rpm.or(self.speed());
                    let earlier = self.standing_look(cx.book, spot).map(|t| t.id.clone());
                    let earlier = earlier.map(|of| taking_back(cx.book, &of));
                    let made = self.look_made(cx.book, look);
                    let records = earlier.into_iter().chain([made]).collect();
                    if self.walk_record(records, true, cx) {
                        cx.tell(told);
                        self.go_on(cx);
                    }
                    return;
                }
                Err(why) if refused.is_none() || why != NOTHING_OPEN => refused = Some(why),
                Err(_) => {}
            }
        }
        let seen = || "every item of the row has its look".to_owned();
        cx.tell(refused.unwrap_or_else(seen));
    }

    /// On from an item just graded: a closed row of which something is still unseen stays in front.
    pub fn go_on(&mut self, cx: &mut Turn<'_>) {
        let Some(row) = self.row().filter(|r| r.items.len() > 1 && !self.open) else {
            return self.advance(cx);
        };
        let spots = (0..row.items.len()).map(|item| Spot { item, ..self.at });
        let unseen = spots.filter(|s| self.look(cx.book, *s).is_none());
        let unseen: Vec<_> = unseen
            .filter_map(|s| Some(safe_line(&self.item(s)?.title).into_owned()))
            .collect();
        if unseen.is_empty() {
            return self.advance(cx);
        }
        self.at.item = 0;
        if cx.notice.is_none() {
            cx.tell(format!("still unseen in this row: {}", unseen.join(", ")));
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
        let contradicts = self.contradicts(book, spot, Grade::Sound);
        better || contradicts || proposed.is_some_and(|p| p.grade != Grade::Sound)
    }

    /// True where this very walk saw an item worse since it was last put right: the worse counts
    /// unless somebody says why it is better.
    fn contradicts(&self, book: &Book, spot: Spot, grade: Grade) -> bool {
        let Some(item) = self.item(spot).filter(|i| i.kind.wears()) else {
            return false;
        };
        let subject = self.before.subject(&item.id, &self.started.machine);
        let mended = book.history().mended(&subject);
        let walk = self.walk(book);
        let last = walk.looks_at(&item.id).last().map(|t| t.when());
        let renewed = last.is_some_and(|last| mended.iter().any(|mended| *mended > last));
        let counted = walk.counted(&item.id, &mended).filter(|_| !renewed);
        counted.is_some_and(|(worst, _)| grade < worst && worst >= LEAST_CONTRADICTED)
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
            cx.ask(Layer::beside_rungs(
                format!("{grade}, but {} proposes {}: why?", p.by, p.grade),
                ask::DIFFERS.map(str::to_owned).into(),
                0,
                Pick::WhyDiffers(spot, grade, p.grade),
            ));
            return;
        }
        let asks = life.is_some_and(|l| self.before.asks_why_better(item, l, grade));
        // What a guest sees makes nothing better, so that nobody has to say why.
        let better = asks;
        let asks = asks && reasons.better.is_none() && !self.started.guest;
        let answered = reasons.better.is_some() || reasons.worse_counts;
        if !answered && !self.started.guest && self.contradicts(book, spot, grade) {
            let mut options = vec!["both are so: the worse of the two counts".to_owned()];
            options.extend(ask::better_options());
            cx.ask(Layer::beside_rungs(
                self.title_of(spot, "worse a moment ago in this walk: why?"),
                options,
                0,
                Pick::Contradiction(spot, grade, reasons.differs),
            ));
            return;
        }
        if asks && !hidden {
            let title = self.title_of(spot, BETTER);
            self.ask_why_better(title, (spot, grade), reasons.differs, cx);
            return;
        }
        let worse = before.map_or(grade > Grade::Sound, |b| grade > b);
        // A level, a reading or a smell has no place that wears.
        let wears = item.kind.wears();
        let same_spot = better && self.is_of_the_week(cx.book, spot);
        // What was found is answered at once, and what else is said of it has its keys.
        let offer = worse && details.wear.is_empty() && details.note.is_none() && !self.is_found();
        // What was found beside a walk is answered by itself.
        let stop = self.stop_seen(spot, &look).filter(|_| !self.is_found());
        let classes = self.leak_classes(item, &look);
        let told = self.signs_moved(book, spot, &look);
        let records = self.look_record(cx.book, spot, grade, &reasons);
        if !self.walk_record(records, true, cx) {
            return;
        }
        let slow = cx.book.last_sync();
        if slow > SLOW_SYNC {
            cx.tell(format!("saved; the disk took {} ms", slow.as_millis()));
        }
        // Where she has to be stopped the boat comes first: no mark is asked for, and one stays at it.
        let runs = stop.as_ref().is_some_and(StopSeen::is_running);
        let found_stop = self
            .answer
            .as_ref()
            .is_some_and(|answer| answer.stops_her());
        let offer = Offer {
            worse: offer && !runs,
            seen_before: before.is_some(),
            wears,
            asks: !runs && (!found_stop || self.asks.is_some()),
        };
        if same_spot {
            self.ask_same_spot(spot, cx);
        } else if asks {
            // Hidden until the look was made: now it can be asked.
            let title = self.title_of(spot, BETTER);
            self.ask_why_better(title, (spot, grade), reasons.differs, cx);
        } else if !classes.is_empty() {
            self.ask_leak_seen(spot, classes, offer, cx);
        } else if !runs {
            self.offer(spot, offer, cx);
        }
        if let Some(stop) = stop {
            self.tell_stop(stop, cx);
        }
        if let Some(told) = told.filter(|_| cx.notice.is_none()) {
            cx.tell(told);
        }
    }

    /// What a grade leaves open, or else what is offered where it is worse than last time, or the way on.
    pub fn offer(&mut self, spot: Spot, offer: Offer, cx: &mut Turn<'_>) {
        if self.ask_open(spot, offer, cx) {
            return;
        }
        if !offer.worse {
            return self.go_on(cx);
        }
        let words = match offer.seen_before {
            true => "worse than last time: what of it?",
            false => "not sound: what of it?",
        };
        cx.ask(Layer::beside_rungs(
            self.title_of(spot, words),
            ask::mark_options(offer.wears),
            ask::NOTE,
            Pick::Mark(spot, true),
        ));
    }

    fn ask_why_better(
        &self,
        title: String,
        (spot, grade): (Spot, Grade),
        differs: Option<String>,
        cx: &mut Turn<'_>,
    ) {
        cx.ask(Layer::beside_rungs(
            title,
            ask::better_options(),
            0,
            Pick::WhyBetter(spot, grade, differs),
        ));
    }

    /// Goes on where the reason for a better grade stays open: what else is asked of the look comes
    /// first.
    pub fn leave_better_open(&mut self, spot: Spot, cx: &mut Turn<'_>) {
        let look = self.look(cx.book, spot);
        let classes = look
            .zip(self.item(spot))
            .map(|(timed, item)| self.leak_classes(item, &timed.look));
        let offer = Offer {
            worse: false,
            seen_before: true,
            wears: false,
            asks: true,
        };
        match classes.filter(|classes| !classes.is_empty()) {
            Some(classes) => self.ask_leak_seen(spot, classes, offer, cx),
            None => self.offer(spot, offer, cx),
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
            records.push(taking_back(book, &earlier.id));
        }
        records.push(self.look_made(book, look));
        records
    }

    pub(crate) fn look_made(&self, book: &Book, look: Look) -> Record {
        Record::Look(LookMade {
            walk: self.started.walk.as_str().into(),
            at: self.moment(book),
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
        let Some((stands, back)) = self.amended(cx.book, spot, change) else {
            return false;
        };
        let graded = back.is_some();
        let records = back.into_iter().chain([stands]).collect();
        self.walk_record(records, graded, cx)
    }

    /// What is to stand of an item when what is said of it is changed, and what takes back the look that
    /// stood: none where it is a draft.
    pub(super) fn amended(
        &self,
        book: &Book,
        spot: Spot,
        change: impl FnOnce(&mut Details),
    ) -> Option<(Record, Option<Record>)> {
        let item = self.item(spot)?;
        let mut details = self.standing_details(book, spot);
        change(&mut details);
        details.at_rpm = details.at_rpm.or(self.speed_of(spot));
        Some(match self.standing_look(book, spot) {
            Some(earlier) => (
                self.look_made(book, Look::clone(&earlier.look).with(details)),
                Some(taking_back(book, &earlier.id)),
            ),
            None => {
                let draft = DraftKept {
                    walk: self.started.walk.clone(),
                    phase: self.phase_id(spot).to_owned(),
                    item: item.id.clone(),
                    details,
                };
                (Record::from(draft), None)
            }
        })
    }

    /// True where an engine speed was read that nothing is known to hold against.
    fn lacks_rated(&self, spot: Spot, book: &Book) -> bool {
        let read = self.standing_details(book, spot).reading;
        let item = self.item(spot).zip(read);
        let reading = item.and_then(|(item, read)| Some((item.reading.as_ref()?, read)));
        let of_rated = |(reading, read): (&Reading, Measure)| {
            reading.of_rated && !read.unit().measures(reading.quantity)
        };
        reading.is_some_and(of_rated) && self.before.rated(&self.started.machine).is_none()
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
            None if self.lacks_rated(spot, book) => {
                cx.tell("noted; her rated speed is not told, so that a digit gives the rung");
            }
            None => cx.tell("noted; now grade it"),
        }
    }
}
