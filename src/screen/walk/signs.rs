//! Which of several answers a rung is: asked beside the rungs once the grade is on record, or at a key.

use crate::causes::{ByItem, OK, Question, Says};
use crate::checklist::Grade;
use crate::defects::behind::signs::{bare, keep_fitting};
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::screen::layers::{Choice, Layer};
use crate::screen::walk::ask::{self, Asked, Offer, Pick};
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::text::safe_line;
use crate::walk::{Details, Look, Signs, Spot, TimedLook};

/// Asked after a grade: leaves the question open, which is no answer.
const LEAVE: &str = "leave it open";
/// The same of something answered already, asked by its key.
const TAKE_BACK: &str = "take it back: which one is not said";
/// What else would be asked after a worse grade stays a line away.
const MARK: &str = "something else of it: a note or a mark";
const NOTE: &str = "something else of it: a note";

impl WalkScreen {
    /// The question for which one thing is looked at.
    pub fn looked_at_for(&self, spot: Spot) -> Option<&Question> {
        let id = self.asks.as_deref().filter(|_| spot == self.at)?;
        let (_, asks) = self.before.causes().question(id)?;
        // Led from one thing to another one by its name, it is no more what one came for.
        asks.by_item(&self.item(spot)?.id).map(|_| asks)
    }

    /// The questions asked after the grade at a place: what its look leaves open and this walk has not
    /// answered, and first the one for which it is looked at, unless the rung is its answer.
    fn open_questions(&self, book: &Book, spot: Spot) -> Vec<String> {
        let Some(timed) = self.look(book, spot) else {
            return Vec::new();
        };
        let item = &timed.look.item;
        let answers = |asks: &&Question| {
            let said = asks.by_item(item).zip(timed.look.grade());
            said.is_some_and(|(by, grade)| matches!(by.says(grade), Says::Ok | Says::Answer(_)))
        };
        let sought = self.looked_at_for(spot).filter(|asks| !answers(asks));
        let sought = sought.map(|asks| asks.id.clone());
        let looks = &self.walk(book).looks;
        let answered = |id: &String| looks.iter().any(|made| made.look.signs.contains_key(id));
        let open = self.before.left_open_by(&timed.look).into_iter();
        let open = open.map(|asks| asks.id.clone()).filter(|id| !answered(id));
        let first = sought.iter().filter(|id| !answered(id)).cloned();
        first
            .chain(open.filter(|id| sought.as_ref() != Some(id)))
            .collect()
    }

    /// What the look at a place leaves open, by what each question looks at.
    pub fn left_open(&self, book: &Book, spot: Spot) -> Vec<&str> {
        let look = self.look(book, spot);
        // Where she has to be stopped nothing else is to be read.
        let stops = |timed: &&TimedLook| {
            let stop = self.stop_seen(spot, &timed.look);
            stop.is_some_and(|stop| stop.is_running()) && !self.is_found()
        };
        let look = look.filter(|timed| !stops(timed));
        let open = look.map(|timed| self.before.left_open_by(&timed.look));
        let open = open.into_iter().flatten();
        open.map(|asks| asks.title.as_str()).collect()
    }

    /// Asks what a grade leaves open, on the way on; false where that is nothing, or where she has to be
    /// stopped: then the boat comes first.
    pub(super) fn ask_open(&self, spot: Spot, offer: Offer, cx: &mut Turn<'_>) -> bool {
        let open = match offer.asks {
            true => self.open_questions(cx.book, spot),
            false => Vec::new(),
        };
        self.ask_next(spot, open, Some(offer), cx)
    }

    /// Asks them one after another, at the key: what the rung calls for, what is said already, and before
    /// there is a rung what any of them calls for.
    pub(super) fn ask_kind(&self, spot: Spot, cx: &mut Turn<'_>) {
        let all = self.kinds(cx.book, spot);
        if !self.ask_next(spot, all, None, cx) {
            cx.tell("its rung says it all: nothing more is asked here");
        }
    }

    /// The questions that the key asks at a place.
    pub(super) fn kinds(&self, book: &Book, spot: Spot) -> Vec<String> {
        let Some(item) = self.item(spot) else {
            return Vec::new();
        };
        let said = self.standing_details(book, spot).signs;
        let grade = self.standing_look(book, spot).map(|t| t.look.grade());
        let sought = self.looked_at_for(spot).map(|asks| asks.id.as_str());
        let calls = |by: &ByItem| match grade {
            Some(Some(grade)) => matches!(by.says(grade), Says::Which | Says::Nothing),
            // What is not seen has no kind.
            Some(None) => false,
            None => Grade::ALL.iter().any(|g| by.says(*g) == Says::Which),
        };
        let asked = self.before.causes().questions().iter().filter(|asks| {
            let by = asks.by_item(&item.id);
            let sought = sought == Some(&asks.id) && grade != Some(None);
            by.is_some_and(|by| calls(by) || sought) || said.contains_key(&asks.id)
        });
        let mut asked: Vec<&Question> = asked.collect();
        // Where the rung calls for one, what it says nothing of is not asked with it.
        let called_for = |asks: &&Question| {
            let by = asks.by_item(&item.id).zip(grade.flatten());
            by.is_some_and(|(by, grade)| by.says(grade) == Says::Which)
        };
        if asked.iter().any(called_for) {
            let said = |asks: &Question| said.contains_key(&asks.id) || sought == Some(&*asks.id);
            asked.retain(|asks| called_for(asks) || said(asks));
        }
        asked.into_iter().map(|asks| asks.id.clone()).collect()
    }

    fn ask_next(
        &self,
        spot: Spot,
        mut open: Vec<String>,
        after: Option<Offer>,
        cx: &mut Turn<'_>,
    ) -> bool {
        if open.is_empty() {
            return false;
        }
        let id = open.remove(0);
        let causes = self.before.causes();
        let (Some(item), Some((_, asks))) = (self.item(spot), causes.question(&id)) else {
            return false;
        };
        let said = self.standing_details(cx.book, spot).signs.get(&id).cloned();
        let grade = self.standing_look(cx.book, spot);
        let grade = grade.and_then(|timed| timed.look.grade());
        // Normal is no answer to what a rung calls for, but to what one came to look for and the rung
        // says nothing of.
        let by = asks.by_item(&item.id).zip(grade);
        let calls = by.is_some_and(|(by, grade)| by.says(grade) == Says::Which);
        let sought = self.looked_at_for(spot);
        let sought = sought.is_some_and(|sought| sought.id == id) && !calls;
        let normal = grade == Some(Grade::Sound) || sought || said.as_deref() == Some(OK);
        let replies = asks.answers.iter();
        let replies = replies.map(|reply| (reply.id.as_str(), reply.words.as_str()));
        let normal = normal.then_some((OK, asks.ok.as_str()));
        let answers: Vec<(&str, &str)> = normal.into_iter().chain(replies).collect();
        let last = self.last_said(cx.book, spot, &id);
        let first = match said {
            Some(_) => TAKE_BACK,
            None => LEAVE,
        };
        let mut options = vec![first.to_owned()];
        options.extend(answers.iter().map(|(answer, words)| {
            let as_last = last.as_deref() == Some(*answer);
            let last = if as_last { " (last time)" } else { "" };
            format!("{}{last}", bare(words))
        }));
        let more = after.filter(|offer| offer.worse);
        let more = more.map(|offer| if offer.wears { MARK } else { NOTE });
        options.extend(more.map(str::to_owned));
        let at = |said: &String| answers.iter().position(|(answer, _)| answer == said);
        let cursor = said.as_ref().and_then(at).map_or(0, |at| at + 1);
        let choice = Choice {
            title: format!("{}: {}", safe_line(&item.title), asks.ask),
            options,
            cursor,
            lead: self.ordered_words(after.is_some()),
            beside_rungs: Some(1),
            ..Choice::default()
        };
        let asked = Asked {
            spot,
            answers: answers.iter().map(|(id, _)| (*id).to_owned()).collect(),
            rest: open,
            after,
            question: id,
        };
        cx.ask(Layer::Choice(choice, Pick::Sign(Box::new(asked))));
        true
    }

    /// What a thing found orders of a running engine; it stands above what is asked of it.
    fn ordered_words(&self, is_new: bool) -> Vec<String> {
        let answer = self.answer.as_ref().filter(|_| is_new);
        let stops = answer.filter(|answer| answer.stops_her());
        stops.map_or_else(Vec::new, |answer| answer.order_words())
    }

    /// What the last look before this walk answered, where that may be seen.
    fn last_said(&self, book: &Book, spot: Spot, question: &str) -> Option<String> {
        if self.hides_past(book, spot) || self.walk(book).blind {
            return None;
        }
        let life = self
            .before
            .life(&self.item(spot)?.id, &self.started.machine)?;
        let last = life.status.look.as_ref()?;
        last.look.signs.get(question).cloned()
    }

    /// Takes an answer, takes it back or leaves it open; then the next question, or the way on.
    pub(super) fn sign_picked(&mut self, asked: Asked, at: usize, cx: &mut Turn<'_>) {
        let Asked {
            spot,
            question,
            answers,
            rest,
            after,
        } = asked;
        let Some(n) = at.checked_sub(1) else {
            let is_said = self.standing_details(cx.book, spot).signs;
            if is_said.contains_key(&question) {
                self.amend(spot, |d| drop(d.signs.remove(&question)), cx);
                cx.tell("taken back: it is said no more which one it is");
            }
            return self.leave_sign(spot, after, cx);
        };
        let Some(answer) = answers.get(n).cloned() else {
            return self.offer_mark(spot, after, cx);
        };
        if self.is_against_sound(cx.book, spot, &question, &answer) {
            cx.warn("it was graded sound, and that is not normal: press the rung you see");
            return;
        }
        let said = |d: &mut Details| drop(d.signs.insert(question.clone(), answer.clone()));
        if !self.amend(spot, said, cx) {
            return;
        }
        let causes = self.before.causes();
        let asks = causes.question(&question).map(|(_, asks)| asks);
        let stop = asks.and_then(|asks| asks.reply(&answer)?.stop.clone());
        if self.is_at(spot) && !self.ask_next(spot, rest, after, cx) {
            match after {
                Some(_) => self.go_on(cx),
                None if self.look(cx.book, spot).is_none() => cx.tell("noted; now grade it"),
                None => cx.tell("noted"),
            }
        }
        if let Some(stop) = stop {
            cx.warn(stop);
        }
    }

    /// Leaves what is asked open: on the way on that leaves the other questions open too, so that nobody is
    /// held longer than before.
    pub(super) fn leave_sign(&mut self, spot: Spot, after: Option<Offer>, cx: &mut Turn<'_>) {
        if after.is_some() && self.is_at(spot) {
            self.go_on(cx);
        }
    }

    /// Leaves what is asked open for a key that says something else of the same item, or leads on; false
    /// for other keys.
    pub(super) fn leaves_for(&mut self, asked: &Asked, action: Action) -> bool {
        let says_more = matches!(
            action,
            Action::Note
                | Action::Wear
                | Action::Leak
                | Action::Reading
                | Action::Added
                | Action::Measure
                | Action::Photo
                | Action::Said
                | Action::LeftOpen
                | Action::NotSeen
                | Action::Cautions
                | Action::Undo
                | Action::Find
                | Action::Finish
        );
        let leaves = says_more && self.is_at(asked.spot);
        if leaves {
            self.at = asked.spot;
            self.open = self.row().is_some_and(|row| row.items.len() > 1);
        }
        leaves
    }

    /// The answer is not normal, and the rung that stands says all of it is.
    fn is_against_sound(&self, book: &Book, spot: Spot, question: &str, answer: &str) -> bool {
        let look = self.standing_look(book, spot);
        let sound = look.is_some_and(|timed| timed.look.grade() == Some(Grade::Sound));
        let asks = self.before.causes().question(question).map(|(_, q)| q);
        let by = asks.zip(self.item(spot));
        let by = by.and_then(|(asks, item)| asks.by_item(&item.id));
        sound && answer != OK && by.is_some_and(|by| by.sound)
    }

    /// Signs as they go with a grade at a place: of those there, what fits it; and of an earlier look in
    /// this walk what it answered, so that it is not asked again.
    pub(super) fn signs_for(&self, book: &Book, spot: Spot, grade: Grade, signs: Signs) -> Signs {
        let Some(item) = self.item(spot) else {
            return signs;
        };
        let stood = self.standing_look(book, spot);
        let stood = stood.and_then(|timed| timed.look.grade());
        let mut signs = signs;
        if stood != Some(grade) && !signs.is_empty() {
            keep_fitting(self.before.causes(), &item.id, grade, &mut signs);
        }
        if grade == Grade::Sound {
            return signs;
        }
        let earlier = self.walk(book).looks_at(&item.id).last();
        let earlier = earlier.filter(|timed| !timed.look.signs.is_empty());
        let earlier = earlier.filter(|timed| !self.is_renewed(book, timed));
        let before = earlier.map(|timed| timed.look.signs.clone());
        let asked = before.into_iter().flatten().filter(|(question, answer)| {
            let mut asked = self.before.causes().asked_at(&item.id, grade);
            answer != OK && asked.any(|asks| asks.id == *question)
        });
        for (question, answer) in asked {
            signs.entry(question).or_insert(answer);
        }
        signs
    }

    /// What became of answers with a grade, in a sentence: said no more, or as said before in this walk.
    pub(super) fn signs_moved(&self, book: &Book, spot: Spot, look: &Look) -> Option<String> {
        let before = self.standing_details(book, spot).signs;
        let new = |of: &Signs, than: &Signs| -> Signs {
            let new = of
                .iter()
                .filter(|(question, _)| !than.contains_key(*question));
            new.map(|(question, answer)| (question.clone(), answer.clone()))
                .collect()
        };
        let told = |signs: &Signs| self.before.sign_lines(signs).join("; ");
        let (gone, taken) = (new(&before, &look.signs), new(&look.signs, &before));
        match (gone.is_empty(), taken.is_empty()) {
            (false, _) => Some(format!("no more said at this rung: {}", told(&gone))),
            (_, false) => Some(format!("as said before in this walk: {}", told(&taken))),
            _ => None,
        }
    }

    /// Something was done about the item since its look, or added then.
    fn is_renewed(&self, book: &Book, timed: &TimedLook) -> bool {
        let subject = self.before.subject(&timed.look.item, &self.started.machine);
        let mut done = book.history().done(&subject);
        timed.look.added.is_some() || done.any(|(when, _)| when > timed.when())
    }

    /// What answers order by themselves, whatever is behind them.
    pub fn sign_stops(&self, signs: &Signs) -> Vec<&str> {
        let stops = signs.iter().filter_map(|(question, answer)| {
            let (_, asks) = self.before.causes().question(question)?;
            asks.reply(answer)?.stop.as_deref()
        });
        stops.collect()
    }

    /// The mark or the note that is offered after a worse grade.
    pub(super) fn offer_mark(&mut self, spot: Spot, after: Option<Offer>, cx: &mut Turn<'_>) {
        let wears = after.is_some_and(|offer| offer.wears);
        match wears {
            true => cx.ask(Layer::beside_rungs(
                self.title_of(spot, "what else of it?"),
                ask::mark_options(true),
                ask::NOTE,
                Pick::Mark(spot, true),
            )),
            false => self.quick_note(spot, true, cx),
        }
    }
}
