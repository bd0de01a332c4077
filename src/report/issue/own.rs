//! What a document is made from: the looks of the walks named at issue, and no one else's. What else is
//! on record is named beside its findings, so that it never says more good than the record without saying
//! what it leaves out.

use std::collections::HashMap;
use std::sync::Arc;

use crate::defects::History;
use crate::defects::NotCounted;
use crate::defects::condition::Condition;
use crate::defects::list::{Row, Scenario};
use crate::defects::view::WalkView;
use crate::report::content::{LookPart, Report, WalkPart};
use crate::report::gather::{Source, of_walk};
use crate::report::parts::OwnWalk;
use crate::report::words::{Language, Said, say, told};
use crate::walk::Walk;

/// The walks of a document.
pub(super) struct Own {
    /// Its walk, with the looks of assistants in it by time.
    walk: Walk,
    /// All that is on record but looks of others and what was done about them.
    history: History,
    /// Who made each look that is an assistant's, by the id of its record.
    assistants: HashMap<Arc<str>, String>,
    /// The walks, that of the document first.
    pub(super) walks: Vec<OwnWalk>,
}

impl Own {
    /// Of a walk and those of assistants.
    pub(super) fn of(history: &History, walk: &Walk, assistants: &[&Walk]) -> Own {
        let mut all = walk.clone();
        let mut makers = HashMap::new();
        for other in assistants {
            let name = other.by.clone().unwrap_or_else(|| other.id.clone());
            let looks = other.looks.iter();
            makers.extend(looks.map(|timed| (Arc::clone(&timed.id), name.clone())));
            all.looks.extend(other.looks.iter().cloned());
            all.told.extend(other.told.iter().cloned());
            all.at = all.at.min(other.at);
            all.finished = all.finished.max(other.finished);
            all.finished_place = all.finished_place.max(other.finished_place);
        }
        all.looks.sort_by_key(|timed| timed.when());
        all.told.sort_by_key(|told| told.at);
        let own = |walk: &Walk, assistant| OwnWalk {
            walk: walk.id.clone(),
            by: walk.by.clone(),
            assistant,
        };
        let others = assistants.iter().map(|walk| own(walk, true));
        let walks: Vec<OwnWalk> = [own(walk, false)].into_iter().chain(others).collect();
        Own {
            history: only(history, &all, &walks),
            walk: all,
            assistants: makers,
            walks,
        }
    }

    /// The report of it, with what the whole record has that this leaves out.
    pub(super) fn report(&self, source: &Source<'_>, walk: &Walk, language: Language) -> Report {
        let own = Source {
            history: &self.history,
            ..*source
        };
        let mut report = of_walk(&own, &self.walk, language);
        let whole = of_walk(source, walk, language);
        // A verdict is of the boat, and rests on all that is on record.
        report.verdict = whole.verdict;
        for told in whole.not_counted {
            if !report.not_counted.contains(&told) {
                report.not_counted.push(told);
            }
        }
        self.mark(&mut report, language);
        report.walk = report.walk.map(|part| WalkPart {
            at: walk.at,
            finished: walk.finished,
            ..part
        });
        report
    }

    /// Says of each look of an assistant whose it was.
    fn mark(&self, report: &mut Report, language: Language) {
        let words = language.words();
        let mut of_assistants: Vec<LookPart> = Vec::new();
        for (part, timed) in report.looks.iter_mut().zip(&self.walk.looks) {
            if let Some(who) = self.assistants.get(&timed.id) {
                let who = say!(words, "issue-by-assistant", who = who.as_str());
                part.joined = Some(who.into());
                of_assistants.push(part.clone());
            }
        }
        for observed in report
            .defects
            .iter_mut()
            .filter_map(|d| d.observed.as_mut())
        {
            let same = |look: &&LookPart| {
                (&look.item, look.at, look.grade, &look.note)
                    == (&observed.item, observed.at, observed.grade, &observed.note)
            };
            if let Some(look) = of_assistants.iter().find(same) {
                observed.joined.clone_from(&look.joined);
            }
        }
    }
}

/// A history with no looks but those of a walk, and of what was done about items only what was done from
/// its beginning on: what others found before, and did about it, is theirs.
fn only(history: &History, walk: &Walk, own: &[OwnWalk]) -> History {
    let mut only = history.clone();
    let spot = only.walks.iter().position(|known| known.id == walk.id);
    match spot.and_then(|spot| only.walks.get_mut(spot)) {
        Some(known) => *known = walk.clone(),
        None => only.walks.push(walk.clone()),
    }
    only.walks.retain(|known| known.id == walk.id);
    only.taken_back
        .retain(|taken| own.iter().any(|own| own.walk == taken.walk));
    macro_rules! since {
        ($($list:ident)+) => { $(only.$list.retain(|s| s.at >= walk.at);)+ };
    }
    since! { repairs deferrals overrides withdrawals rechecks opened closed learning }
    only
}

/// What is on record and not among the findings of a report, one sentence each: what forbids running
/// first, what is worse there or missing here, as at the end of the walk and as of now; then what nobody
/// can count.
pub(super) fn not_in_it(source: &Source<'_>, walk: &Walk, report: &Report) -> Vec<Said> {
    let words = report.language.words();
    let Source {
        boat,
        library,
        history,
        now,
    } = *source;
    let then = WalkView::of(boat, library, history, walk, now);
    let today = Condition::of(boat, Arc::clone(library), history, now);
    let (exposure, waters) = today.usual_plan();
    let rows = today.list(Scenario::new(exposure, waters), false).rows;
    let here = |row: &Row| row.machine.as_ref().is_none_or(|m| *m == walk.machine);
    let own = |row: &Row| {
        let mut defects = report.defects.iter().map(|d| &d.row);
        defects.find(|own| own.subject() == row.subject())
    };
    let at_end = then.list().rows;
    // With the days since the end a risk grows by itself, so that it is held against that of then.
    let riskier = |row: &&Row| own(row).is_some_and(|own| row.risk < own.risk);
    let riskier: Vec<Said> = at_end
        .iter()
        .filter(riskier)
        .map(|row| {
            told!(
                words,
                "issue-left-out-risk",
                title = words.english(&*row.title)
            )
        })
        .collect();
    let mut others: Vec<Row> = Vec::new();
    for row in rows.into_iter().chain(at_end).filter(here) {
        let known = others.iter().position(|o| o.subject() == row.subject());
        match known {
            Some(n) if is_worse(&row, &others[n]) => others[n] = row,
            None if own(&row).is_none_or(|own| is_worse(&row, own)) => others.push(row),
            _ => {}
        }
    }
    others.sort_by_key(|row| (!row.stop, std::cmp::Reverse(row.grade), row.title.clone()));
    let day = |row: &Row| {
        let seen = row.last_look.unwrap_or(row.opened);
        words.date(seen.date_naive())
    };
    let told = others.iter().map(|row| {
        let rung = row.grade.rung();
        let (title, day) = (words.english(&*row.title), day(row));
        match row.stop {
            true => told!(
                words,
                "issue-left-out-stop",
                title = title,
                rung = rung,
                day = day
            ),
            false => told!(
                words,
                "issue-left-out",
                title = title,
                rung = rung,
                day = day
            ),
        }
    });
    let chores = today.before_start(Some(&walk.machine)).into_iter();
    let chores = chores.map(|chore| chore.words());
    let own: Vec<String> = report.before_you_start.iter().map(|c| c.words()).collect();
    let chores = chores
        .filter(|words| !own.contains(words))
        .map(|chore| told!(words, "issue-left-out-chore", chore = words.english(chore)));
    let lost = report.not_counted.iter().map(NotCounted::sentence);
    let lost = lost.map(|why| told!(words, "issue-left-out-lost", why = words.english(why)));
    told.chain(riskier).chain(chores).chain(lost).collect()
}

fn is_worse(row: &Row, than: &Row) -> bool {
    (row.stop, row.grade) > (than.stop, than.grade)
}
