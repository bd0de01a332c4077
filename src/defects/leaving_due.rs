//! What comes due before a passage is over: done before leaving, not on the way.

use super::condition::Condition;
use super::leaving_rows::{AgeRow, Asked, Must, MustDo, MustRow, is_trouble, look_minutes};
use super::list::Scenario;
use super::subject::Subject;
use crate::checklist::{EffectKind, Item, RemedyMinutes, Task, UnknownAge, Where, Who};

/// Something that comes due, at whatever time.
#[derive(Clone, Debug)]
pub struct Coming {
    /// What sort of thing.
    pub sort: Sort,
    /// Id of the task, of the recheck's record, or of the item.
    pub id: String,
    /// As shown.
    pub title: String,
    /// The catalogue item it is about.
    pub item: String,
    /// Machine id; none for what the boat has once.
    pub machine: Option<String>,
    /// Running hours left, negative when over.
    pub hours_left: Option<f64>,
    /// Days left, negative when over.
    pub days_left: Option<f64>,
    /// The days left rest on the rate of use.
    pub about: bool,
    /// Due now, or overdue.
    pub due: bool,
    /// What is to be done where nobody knows how old it is.
    pub unknown_age: Option<UnknownAge>,
    /// Why, one sentence without a full stop.
    pub why: String,
}

/// What sort of thing comes due.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// Recurring work.
    Task,
    /// A look that is owed.
    Recheck,
    /// The next look at what was found.
    Look,
    /// A life that runs out.
    Life,
}

/// An effect with a beta above this is probable, at or below it possible (MIL-STD-1629A, 3.2.1.2).
const PROBABLE: f64 = 0.1;

/// What of it concerns a passage.
pub(super) struct Dues {
    /// To be done before leaving.
    pub(super) must: Vec<MustDo>,
    /// Of an age nobody knows, and can wait.
    pub(super) can_wait: Vec<AgeRow>,
    /// How many looks at what was found come due on the way.
    pub(super) looks: usize,
}

/// What must be done of what comes due.
pub(super) fn dues(condition: &Condition, asked: &Asked, coming: &[Coming]) -> Dues {
    let mut dues = Dues {
        must: Vec::new(),
        can_wait: Vec::new(),
        looks: 0,
    };
    for one in coming.iter().filter(|one| one.comes_in(&asked.scenario)) {
        let subject = one.subject();
        let Some(item) = condition.item(&subject) else {
            continue;
        };
        if one.sort == Sort::Look {
            dues.looks += 1;
            continue;
        }
        let task = match one.sort {
            Sort::Task => condition
                .tasks()
                .map(|(task, _)| task)
                .find(|t| t.id == one.id),
            _ => None,
        };
        let place = task.map_or(item.remedy.place, |t| t.place);
        let grave = grave_at_sea(condition, &subject, item, place, &asked.scenario);
        match one.unknown_age {
            Some(_) if !grave => dues.can_wait.push(AgeRow {
                item: one.item.clone(),
                machine: one.machine.clone(),
                title: one.title.clone(),
            }),
            _ => {
                let must = one.must(item, task, asked);
                // One look serves all that ask for it.
                let same = |m: &MustDo| m.subject() == subject && m.is_look() && must.is_look();
                if !dues.must.iter().any(same) {
                    dues.must.push(must);
                }
            }
        }
    }
    dues.must.sort_by_key(|must| must.row.because);
    // A task of what must be looked at anyway is not told twice.
    let held = |row: &AgeRow| {
        let same = |m: &MustDo| m.row.item == row.item && m.row.machine == row.machine;
        dues.must.iter().any(same)
    };
    dues.can_wait.retain(|row| !held(row));
    dues
}

/// True where what nobody knows the age of gives fire, gas or flooding, probably and not only possibly, or
/// brings trouble that cannot be mended at sea.
fn grave_at_sea(
    condition: &Condition,
    subject: &Subject,
    item: &Item,
    place: Where,
    scenario: &Scenario,
) -> bool {
    let effects = condition.effects(subject, item);
    let at_once = effects.iter().filter(|e| e.beta > PROBABLE).any(|e| {
        matches!(
            e.effect,
            EffectKind::Fire | EffectKind::ExhaustGas | EffectKind::Flooding
        )
    });
    let ashore = matches!(place, Where::InPort | Where::HauledOut);
    let trouble = |effect| is_trouble(effect, scenario);
    at_once || ashore && effects.iter().any(|e| trouble(e.effect))
}

impl Coming {
    fn subject(&self) -> Subject {
        Subject {
            item: self.item.clone(),
            machine: self.machine.clone(),
        }
    }

    /// It is due, or comes due before the passage is over.
    pub(super) fn comes_in(&self, scenario: &Scenario) -> bool {
        let exposure = scenario.exposure;
        let hours = self.hours_left.is_some_and(|h| h <= exposure.hours);
        // Days that follow from hours go by the hours a day of the plan.
        let of_plan = scenario.hours_per_day.zip(self.hours_left);
        let days_left = match of_plan.filter(|_| self.about) {
            Some((per_day, hours)) => Some(hours / per_day),
            None => self.days_left,
        };
        let days = days_left.is_some_and(|d| d <= exposure.days);
        self.due || self.unknown_age.is_some() || hours || days
    }

    fn must(&self, item: &Item, task: Option<&Task>, asked: &Asked) -> MustDo {
        let looks = self.sort == Sort::Recheck || self.unknown_age == Some(UnknownAge::Look);
        let work = match task {
            _ if looks => None,
            Some(task) => RemedyMinutes::of_task(&task.id),
            None => RemedyMinutes::of(&item.id),
        };
        let who = task.map_or(item.remedy.who, |t| t.who);
        let who: Option<Who> = (!looks).then_some(who);
        let mends = match task {
            _ if looks => Vec::new(),
            Some(task) => task.renews.clone(),
            None => vec![item.id.clone()],
        };
        let of = |item: String| Subject {
            item,
            machine: self.machine.clone(),
        };
        let action = match (looks, task) {
            (true, _) => item.look.clone(),
            (false, Some(task)) => {
                format!("the task, step by step: handlamp service show {}", task.id)
            }
            (false, None) => item.remedy.action.clone(),
        };
        let parts = match task {
            _ if looks => Vec::new(),
            Some(task) => task
                .parts_in_words()
                .into_iter()
                .map(str::to_owned)
                .collect(),
            None => item.parts.clone(),
        };
        MustDo {
            mends: mends.into_iter().map(of).collect(),
            access: work.and_then(|w| w.access.clone()),
            money: 0,
            row: MustRow {
                because: match self.unknown_age {
                    Some(_) => Must::UnknownAge,
                    None => Must::Due,
                },
                item: self.item.clone(),
                machine: self.machine.clone(),
                task: task.filter(|_| !looks).map(|task| task.id.clone()),
                title: self.title.clone(),
                cautions: item.cautions.clone(),
                action,
                why: self.why.clone(),
                other_hands: who.is_some_and(|who| !asked.has(who)),
                who,
                place: (!looks).then(|| task.map_or(item.remedy.place, |t| t.place)),
                minutes: match looks {
                    true => Some(look_minutes(item)),
                    false => work.map(|w| w.minutes),
                },
                minutes_told: false,
                minutes_learned: None,
                opens: None,
                parts,
                spare: None,
            },
        }
    }
}
