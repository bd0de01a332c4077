//! What one look says to a question: what was told beside its rung, the figure of a level, the rung.

use crate::boat::Unit;
use crate::causes::{ABNORMAL, ByItem, OK, Question, Says};
use crate::checklist::{Grade, Item, Kind};
use crate::defects::life::{Filled, Rise};
use crate::walk::Look;

/// Under so many hundredths of the way between the marks a level that is not sound is low.
const LOW: f64 = 50.0;
/// Over so many it is over its high mark.
const OVER: f64 = 100.0;

/// A graded look, with what is known beside it.
pub(super) struct Spoken<'a> {
    /// The look.
    pub look: &'a Look,
    /// Its grade as it is judged.
    pub grade: Grade,
    /// How far a level stands above what it was before.
    pub rise: Option<Rise>,
    /// Of a level: whether it stands between marks, so that its figure says low and over; none for all
    /// else.
    pub level: Option<Level>,
}

/// A level.
#[derive(Clone, Copy)]
pub(super) struct Level {
    has_marks: bool,
}

impl Level {
    /// Of an item; none where it is no level.
    pub fn of(item: &Item) -> Option<Level> {
        let has_marks = item.marks.is_some();
        (item.kind == Kind::Level).then_some(Level { has_marks })
    }
}

impl<'a> Spoken<'a> {
    /// The answer; none where it says nothing to the question.
    pub fn says<'s>(&self, question: &Question, by: &'s ByItem) -> Option<&'s str>
    where
        'a: 's,
    {
        let of_question = |answer: &&String| *answer == OK || question.reply(answer).is_some();
        if let Some(told) = self.look.signs.get(&question.id).filter(of_question) {
            return Some(told);
        }
        if let Some(told) = self.level.and_then(|level| self.level_says(level, by)) {
            return Some(told);
        }
        match by.says(self.grade) {
            Says::Nothing => None,
            Says::Ok => Some(OK),
            Says::Answer(answer) => Some(answer),
            Says::Which => Some(ABNORMAL),
        }
    }

    /// What the figure of a level says, the gravest first.
    fn level_says<'s>(&self, level: Level, by: &'s ByItem) -> Option<&'s str> {
        let found = self.grade > Grade::Sound;
        let rose = self.rise.is_some_and(|rise| rise.filled == Filled::Nothing);
        let risen = by.risen.as_deref().filter(|_| found && rose);
        let figure = || by_figure(by, self.look, found).filter(|_| level.has_marks);
        let filled = || by.filled.as_deref().filter(|_| self.look.added.is_some());
        risen.or_else(figure).or_else(filled)
    }
}

/// What the figure of a level between marks says: over its high mark, or low where it was `found` not to
/// be sound.
pub(super) fn by_figure<'b>(by: &'b ByItem, look: &Look, found: bool) -> Option<&'b str> {
    let over = by.over.as_deref().filter(|_| is_over(look));
    let is_low = || found && percent(look).is_some_and(|percent| percent < LOW);
    over.or_else(|| by.low.as_deref().filter(|_| is_low()))
}

/// True where a level was read over its high mark.
pub(super) fn is_over(look: &Look) -> bool {
    percent(look).is_some_and(|percent| percent > OVER)
}

fn percent(look: &Look) -> Option<f64> {
    look.reading?.value_in(Unit::Percent)
}
