//! What is left of a time under way, and what the worst of what is known does to it: hours, miles at the
//! speed logged, fuel, and in one of four words how long the worst can wait.

use chrono::{DateTime, FixedOffset};

use super::condition::Condition;
use super::finding::{HowLong, Orders};
use super::fuel::{Reserve, reserve};
use super::history::History;
use super::list::Scenario;
use super::plan_ahead::NothingLeft;
use super::plan_words::short;
use super::subject::Subject;
use super::under_way::Passage;
use crate::checklist::Grade;

/// What is left of a time under way.
#[derive(Clone, Debug, PartialEq)]
pub struct WayLeft {
    /// What is left of the plan, or why nothing is known to be.
    pub left: Result<Scenario, NothingLeft>,
    /// The speed over the last rounds that told it, knots.
    pub speed: Option<f64>,
    /// How far the fuel goes over what is left.
    pub reserve: Option<Reserve>,
}

/// The worst of what is known, over what is left.
#[derive(Clone, Debug, PartialEq)]
pub struct WorstAhead {
    /// As it is called.
    pub title: String,
    /// The rung that counts.
    pub grade: Grade,
    /// How long it can wait.
    pub how_long: HowLong,
    /// When to look again, in words.
    pub look_again: String,
    /// What it orders; none where it stops nothing.
    pub orders: Option<Orders>,
}

impl WayLeft {
    /// Sea miles left at the speed logged; none where hours or speed are not known.
    pub fn miles(&self) -> Option<f64> {
        let hours = self.left.as_ref().ok()?.exposure.hours;
        self.speed.map(|speed| hours * speed)
    }

    /// What is left, in words: hours, days, and about how many miles.
    pub fn words(&self) -> String {
        let scenario = match &self.left {
            Ok(scenario) => scenario,
            Err(why) => return format!("Left: not known; {why}"),
        };
        let miles = match (self.miles(), self.speed) {
            (Some(miles), Some(speed)) => {
                format!(", about {miles:.0} nm at the {} kn logged", short(speed))
            }
            _ => String::new(),
        };
        format!(
            "Left: {} h and {} d{miles}",
            short(scenario.exposure.hours),
            short(scenario.exposure.days)
        )
    }

    /// How far the fuel goes, in words; what is missing to say it where it cannot be said.
    pub fn fuel_words(&self) -> String {
        let Some(reserve) = &self.reserve else {
            return match self.left.is_ok() {
                true => "Fuel: not told, or nothing says what she burns".to_owned(),
                false => {
                    "Fuel: nothing is known to be left that it could be held against".to_owned()
                }
            };
        };
        let told = reserve.told.format("%H:%M");
        let lasts = short(reserve.lasts_hours);
        match reserve.beyond_hours {
            beyond if beyond >= 0.0 => format!(
                "Fuel: {} h beyond what the larger rule asks for; it lasts about {lasts} h (told {told})",
                short(beyond)
            ),
            beyond => format!(
                "FUEL SHORT by {} h of what the larger rule asks for; it lasts about {lasts} h (told {told})",
                short(-beyond)
            ),
        }
    }

    /// True where the fuel is less than the larger of the two rules asks for.
    pub fn is_short(&self) -> bool {
        let beyond = self.reserve.as_ref().map(|reserve| reserve.beyond_hours);
        beyond.is_some_and(|beyond| beyond < 0.0)
    }
}

impl WorstAhead {
    /// What it orders, in sentences, the boat first; empty where it stops nothing.
    pub fn order_words(&self) -> Vec<String> {
        self.orders.as_ref().map(Orders::words).unwrap_or_default()
    }

    /// True where a running engine is to be stopped.
    pub fn stops_her(&self) -> bool {
        self.orders.as_ref().is_some_and(Orders::stops_her)
    }

    /// What it is, how long it can wait and what that does to the miles left, in sentences.
    pub fn words(&self, left: &WayLeft) -> Vec<String> {
        let mut words = vec![format!(
            "Worst over what is left: {}, {}. To be put right: {}. Look again: {}.",
            self.title,
            self.grade,
            self.how_long.words(),
            self.look_again
        )];
        let miles = left.miles().map(|miles| format!("{miles:.0}"));
        let of = miles.as_ref().map_or_else(
            || "what is left".to_owned(),
            |miles| format!("the about {miles} nm left"),
        );
        words.push(match self.how_long {
            HowLong::Now => format!(
                "Count on none of {of} under engine until it is put right; she may be used to save the boat."
            ),
            HowLong::BeforeLeaving => {
                format!("Of {of} count on the engine only as far as the next shelter.")
            }
            HowLong::ThisWeek | HowLong::OtherWork => {
                format!("For {of} nothing changes; look at every round.")
            }
        });
        words
    }
}

impl Condition {
    /// What is left of the time a machine is under way.
    pub fn way_left(
        &self,
        history: &History,
        passage: &Passage<'_>,
        (machine, now): (&str, DateTime<FixedOffset>),
    ) -> WayLeft {
        let left = self.left_of_plan(history, machine, now);
        let hours = left.as_ref().ok().map(|scenario| scenario.exposure.hours);
        WayLeft {
            speed: passage.speed(),
            reserve: hours
                .and_then(|hours| reserve(&self.boat, history, passage, (machine, hours))),
            left,
        }
    }

    /// The worst of what is known of a machine over what is left: what can wait least, and of those the
    /// first of the list. None where the list is empty.
    pub fn worst_ahead(&self, scenario: Scenario, machine: &str) -> Option<WorstAhead> {
        let rows = self.list(scenario, false).rows;
        let here = rows.into_iter().filter(|row| {
            let own = row.machine.as_deref();
            own.is_none_or(|own| own == machine)
        });
        let each = here.filter_map(|row| {
            let subject = Subject {
                item: row.item.clone(),
                machine: row.machine.clone(),
            };
            let (item, life) = (self.item(&subject)?, self.life_of(&subject)?);
            let orders = self.orders(&subject, item, life);
            let how_long = self.how_long(row.grade, orders.as_ref(), Some(&row))?;
            Some(WorstAhead {
                title: self.name_of(&subject),
                grade: row.grade,
                how_long,
                look_again: self.look_again(Some(how_long), Some(&row)),
                orders,
            })
        });
        each.min_by_key(|worst| worst.how_long)
    }
}
