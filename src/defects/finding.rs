//! One thing found at any time: what it orders, how long it can wait, when to look again, what to do.
//! In words alone: under way nobody weighs hours or per cent.

use chrono::{DateTime, Duration, FixedOffset, NaiveDateTime, NaiveTime};
use schemars::JsonSchema;
use serde::Serialize;

use super::behind::short::Short;
use super::condition::Condition;
use super::gate::{first, order};
use super::life::Life;
use super::list::{Row, Scenario};
use super::still_open::LeftOpen;
use super::subject::Subject;
use super::wait::Wait;
use crate::assess::stop::stop_rung;
use crate::assess::words::{Risk, Severity};
use crate::checklist::{Forbids, Grade, Item, Order, Remedy};
use crate::text::{capital, words};
use crate::walk::TimedLook;

/// So many are offered before anything is typed.
const OFFERED: usize = 8;
/// So many of them are open defects, where there are stops to offer besides.
const DEFECTS: usize = 5;

words! {
    /// How long what was found can wait.
    HowLong, "how long it can wait" {
        /// At once.
        Now = "now",
        /// Before the boat leaves; under way at the next shelter.
        BeforeLeaving = "before-leaving",
        /// In the next seven days.
        ThisWeek = "this-week",
        /// When other work is done.
        OtherWork = "other-work",
    }
}

impl HowLong {
    /// As it is said.
    pub const fn words(self) -> &'static str {
        match self {
            HowLong::Now => "now",
            HowLong::BeforeLeaving => "before you leave or next shelter",
            HowLong::ThisWeek => "this week",
            HowLong::OtherWork => "with other work",
        }
    }
}

/// What is ordered of an engine that runs and of one that stands. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Orders {
    /// Where the engine runs; null where it may go on.
    pub running: Option<Order>,
    /// Where it stands still.
    pub still: Order,
    /// The rule of the stop in force, in words; null where what holds is no stop.
    pub rule: Option<String>,
    /// What holds a start, or leaving, besides, in words: it was left open, or stands outside its
    /// marks; null where nothing does.
    pub start: Option<String>,
}

/// What is to be done. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Answer {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// As it is called.
    pub title: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// The rung that counts.
    pub grade: Grade,
    /// What that rung looks like on this item.
    pub seen: String,
    /// What it orders; null where it stops nothing.
    pub orders: Option<Orders>,
    /// How long it can wait; null where nothing is wrong.
    pub how_long: Option<HowLong>,
    /// When to look again, in words.
    pub look_again: String,
    /// What can hurt someone there.
    pub cautions: Vec<String>,
    /// What puts it right; null where nothing is wrong.
    pub remedy: Option<Remedy>,
    /// Where something else counts than what was found: why, in words; null where it is that.
    pub stands_by: Option<String>,
    /// What is behind it together with what else was found, where whoever shows it asked for that.
    #[serde(skip)]
    pub behind: Option<Short>,
}

impl Orders {
    /// In sentences, the boat first.
    pub fn words(&self) -> Vec<String> {
        if self.still == Order::DoNotLeave {
            return vec![format!(
                "{}. The engine itself may run to save the boat.",
                capital(self.still.words())
            )];
        }
        let running = self
            .running
            .map(|order| format!("Engine running: {}{}.", first(order), order.words()));
        let why = self.start.as_ref();
        let why = why.map_or_else(String::new, |why| format!(" ({why})"));
        let still = format!("Engine still: {}{why}.", self.still.words());
        running.into_iter().chain([still]).collect()
    }

    /// True where a running engine is to be stopped.
    pub fn stops_her(&self) -> bool {
        matches!(self.running, Some(Order::StopNow | Order::WhenSafe))
    }
}

impl Answer {
    /// The order in sentences, the boat first; what is said where nothing stops.
    pub fn order_words(&self) -> Vec<String> {
        match &self.orders {
            None if self.how_long.is_none() => vec!["Nothing wrong at this rung.".to_owned()],
            None => vec!["No stop by itself.".to_owned()],
            Some(orders) => orders.words(),
        }
    }

    /// True where a running engine is to be stopped.
    pub fn stops_her(&self) -> bool {
        self.orders.as_ref().is_some_and(Orders::stops_her)
    }

    /// How long it can wait and when to look again, in a sentence each.
    pub fn wait_words(&self) -> Vec<String> {
        let how_long = self
            .how_long
            .map(|how| format!("To be put right: {}.", how.words()));
        let again = format!("Look again: {}.", self.look_again);
        how_long.into_iter().chain([again]).collect()
    }

    /// All of it in sentences: the order, how long, when to look again, cautions, what to do.
    pub fn words(&self) -> Vec<String> {
        let mut words = self.order_words();
        words.extend(
            self.stands_by
                .iter()
                .map(|why| format!("{}.", capital(why))),
        );
        words.extend(self.wait_words());
        if let Some(remedy) = self.remedy_words() {
            words.extend(self.cautions.iter().cloned());
            words.push(format!("To do: {remedy}."));
        }
        words
    }

    /// What to do, in a sentence without a full stop.
    pub fn remedy_words(&self) -> Option<String> {
        let Remedy { action, who, place } = self.remedy.as_ref()?;
        let place = place.as_str().replace('-', " ");
        Some(format!("{action} ({who}, {place})"))
    }
}

impl Condition {
    /// What is to be said of an item as it stands now; `look` is what was found just now. None where
    /// it has no grade.
    pub fn answer(&self, subject: &Subject, look: Option<&TimedLook>) -> Option<Answer> {
        let (item, life) = (self.item(subject)?, self.life_of(subject)?);
        let grade = life.status.judged()?;
        let (exposure, waters) = self.usual_plan();
        let scenario = Scenario::new(exposure, waters);
        let row = self.row_of(subject, scenario);
        let orders = self.orders(subject, item, life);
        let how_long = self.how_long(grade, orders.as_ref(), row.as_ref());
        let stops = orders.as_ref().is_some_and(|orders| orders.rule.is_some());
        let wrong = stops || grade > Grade::Sound || row.is_some();
        Some(Answer {
            item: item.id.clone(),
            title: item.title.clone(),
            machine: subject.machine.clone(),
            grade,
            seen: item.ladder.get(grade.rung()).cloned().unwrap_or_default(),
            look_again: self.look_again(how_long, row.as_ref()),
            orders,
            how_long,
            cautions: item.cautions.clone(),
            remedy: wrong.then(|| item.remedy.clone()),
            stands_by: look.and_then(|look| stands_by(life, look, grade)),
            behind: None,
        })
    }

    /// What a stop in force orders, and what else holds a start.
    pub(super) fn orders(&self, subject: &Subject, item: &Item, life: &Life) -> Option<Orders> {
        let rule = self.stop_rule(subject, item, life, self.boat.waters);
        let (staying, open): (Vec<_>, Vec<_>) = life
            .status
            .left_open
            .iter()
            .partition(|left| left.forbids() == Forbids::Leave);
        let open = open.into_iter().map(LeftOpen::words);
        let holds = open.chain(self.outside_marks(subject, item, life));
        let mut holds: Vec<String> = holds.collect();
        let starts = holds.is_empty();
        holds.extend(staying.into_iter().map(LeftOpen::words));
        let start = (!holds.is_empty()).then(|| holds.join("; "));
        let of = |is_running| order(item, life.status.leak, is_running);
        let still = match (&rule, &start) {
            (None, None) => return None,
            (_, Some(_)) if !starts => Order::DoNotStart,
            (Some(_), _) => of(false),
            (None, Some(_)) => Order::DoNotLeave,
        };
        Some(Orders {
            running: rule.as_ref().map(|_| of(true)),
            still,
            rule,
            start,
        })
    }

    /// A worse rung never waits longer (judgement): what has failed waits for no passage, what is
    /// failing for no second week.
    pub(super) fn how_long(
        &self,
        grade: Grade,
        orders: Option<&Orders>,
        row: Option<&Row>,
    ) -> Option<HowLong> {
        let by_order = orders.map(|orders| match orders.still {
            Order::DoNotLeave => HowLong::BeforeLeaving,
            _ => HowLong::Now,
        });
        let by_grade = match grade {
            Grade::Sound => None,
            Grade::Early | Grade::Worn => Some(HowLong::OtherWork),
            Grade::Failing => Some(HowLong::ThisWeek),
            Grade::Failed => Some(HowLong::BeforeLeaving),
        };
        let by_row = row.map(|row| match &row.fix_within {
            _ if row.risk == Risk::High => HowLong::BeforeLeaving,
            Some(wait) => self.waits(wait),
            None => HowLong::OtherWork,
        });
        by_order.into_iter().chain(by_grade).chain(by_row).min()
    }

    fn waits(&self, wait: &Wait) -> HowLong {
        let day = self.day_ahead();
        let left = |date: chrono::NaiveDate| date - self.now.date_naive();
        let days = wait.date.map(left);
        if wait.over || wait.hours.is_some_and(|hours| hours <= day.hours) {
            return HowLong::BeforeLeaving;
        }
        match days {
            Some(left) if left <= Duration::days(1) => HowLong::BeforeLeaving,
            Some(left) if left <= Duration::days(7) => HowLong::ThisWeek,
            _ => HowLong::OtherWork,
        }
    }

    pub(super) fn look_again(&self, how_long: Option<HowLong>, row: Option<&Row>) -> String {
        let date = row.and_then(|row| row.look_again_within.as_ref()?.date);
        let left = date.map(|date| date - self.now.date_naive());
        match (how_long, date.zip(left)) {
            (Some(HowLong::Now), _) => "once it is put right, before she starts again".to_owned(),
            (Some(HowLong::BeforeLeaving), _) => {
                "at every round under way, and before each start".to_owned()
            }
            (_, Some((_, left))) if left <= Duration::days(1) => {
                "at the next stop, and before the next start".to_owned()
            }
            (Some(HowLong::ThisWeek), _) => "before each start until it is put right".to_owned(),
            (_, Some((date, _))) => format!("by {}", date.format("%-d %b %Y")),
            (_, None) => "with the next check".to_owned(),
        }
    }

    /// What is offered before anything is typed, for a machine: open defects, the worst first, then
    /// what can stop her. Where earlier grades are out of sight no defect is.
    pub fn offered(&self, machine: &str, blind: bool) -> Vec<Subject> {
        let (exposure, waters) = self.usual_plan();
        let here = |own: &Option<String>| own.as_deref().is_none_or(|own| own == machine);
        let rows = match blind {
            true => Vec::new(),
            false => self.list(Scenario::new(exposure, waters), false).rows,
        };
        let defects = rows.into_iter().filter(|row| here(&row.machine));
        let defects: Vec<Subject> = defects
            .map(|row| Subject {
                item: row.item,
                machine: row.machine,
            })
            .collect();
        let mut stops: Vec<(Order, Severity, Subject)> = self
            .lives
            .iter()
            .filter(|(subject, life)| here(&subject.machine) && !life.status.removed)
            .filter(|(subject, _)| !defects.contains(subject))
            .filter_map(|(subject, _)| {
                let item = self.item(subject)?;
                let effects = self.effects(subject, item);
                stop_rung(item, effects.iter(), waters)?;
                let severity = Severity::worst_of(effects, waters);
                Some((order(item, None, true), severity, subject.clone()))
            })
            .collect();
        stops.sort();
        // The worst of each station first, so that few lines reach the whole engine room.
        let mut met = Vec::new();
        stops.sort_by_cached_key(|(.., subject)| {
            let station = self.item(subject).map(|item| item.station.as_str());
            let again = met.contains(&station);
            met.push(station);
            again
        });
        let stops: Vec<Subject> = stops.into_iter().map(|(.., subject)| subject).collect();
        let room = OFFERED.saturating_sub(stops.len()).max(DEFECTS);
        let defects = defects.into_iter().take(room);
        defects.chain(stops).take(OFFERED).collect()
    }

    /// Items of the boat with every word of a text in their name, or their machine's; those of
    /// `machine` first, else in the order of the catalogue.
    pub fn named(&self, text: &str, machine: &str) -> Vec<Subject> {
        self.with_words(text, machine, |subject, _| self.name_of(subject))
    }

    /// As [`Condition::named`]; where no name has the words, items that are spoken of with them.
    pub fn spoken_of(&self, text: &str, machine: &str) -> Vec<Subject> {
        let named = self.named(text, machine);
        if !named.is_empty() {
            return named;
        }
        let station = |item: &Item| self.library.catalogue.station(&item.station);
        self.with_words(text, machine, |_, item| {
            let station = station(item).map_or("", |s| &s.title);
            let remedy = [&item.remedy.action].into_iter().chain(&item.parts);
            let ladder = item.ladder.iter().chain([&item.look]).chain(remedy);
            ladder.fold(station.to_owned(), |all, words| format!("{all} {words}"))
        })
    }

    fn with_words(
        &self,
        text: &str,
        machine: &str,
        words_of: impl Fn(&Subject, &Item) -> String,
    ) -> Vec<Subject> {
        let text = text.to_lowercase();
        let wanted: Vec<&str> = text.split_whitespace().collect();
        let items = self.library.catalogue.items().iter();
        let has = |item: &Item| {
            let lives = self.lives.keys().chain(self.quiet.keys());
            let lives = lives.filter(|s| s.item == item.id);
            let named = lives.filter(|subject| {
                let words = words_of(subject, item).to_lowercase();
                wanted.iter().all(|word| words.contains(word))
            });
            named.cloned().collect::<Vec<_>>()
        };
        let mut found: Vec<Subject> = items.flat_map(has).collect();
        let elsewhere = |s: &Subject| s.machine.as_deref().is_some_and(|own| own != machine);
        found.sort_by_key(elsewhere);
        found
    }

    /// An item as it is called, with its machine where the boat has several.
    pub fn name_of(&self, subject: &Subject) -> String {
        let title = self
            .item(subject)
            .map_or(subject.item.as_str(), |i| &i.title);
        let machines = &self.boat.machines;
        let machine = machines
            .iter()
            .find(|m| machines.len() > 1 && subject.machine.as_ref() == Some(&m.id));
        match machine {
            Some(machine) => format!("{title} · {}", machine.name),
            None => title.to_owned(),
        }
    }
}

/// Why the item does not stand where it was found.
fn stands_by(life: &Life, look: &TimedLook, grade: Grade) -> Option<String> {
    let counts = life.status.look.as_ref();
    let day = |at: DateTime<FixedOffset>| at.format("%-d %b %Y %H:%M").to_string();
    match counts {
        Some(counts) if counts.id != look.id && counts.when() > look.when() => Some(format!(
            "looked at since, {}: {grade} counts",
            day(counts.at)
        )),
        _ if life.status.unconfirmed => Some("put right since, and not looked at again".to_owned()),
        _ => None,
    }
}

/// When something happened, as told: `14:10` is the last time it was that o'clock, `2026-05-03 14:10`
/// a day and time by this clock's offset; or a time with its own offset.
///
/// # Errors
/// It is no time; in one sentence.
pub fn happened_at(
    text: &str,
    now: DateTime<FixedOffset>,
) -> Result<DateTime<FixedOffset>, String> {
    let wrong = || "expected a time such as 14:10, or 2026-05-03 14:10".to_owned();
    if let Ok(at) = DateTime::parse_from_rfc3339(text) {
        return Ok(at);
    }
    let local = |at: NaiveDateTime| {
        let at = at.and_local_timezone(*now.offset()).single();
        at.ok_or_else(wrong)
    };
    if let Ok(time) = NaiveTime::parse_from_str(text, "%H:%M") {
        let at = local(now.date_naive().and_time(time))?;
        return Ok(if at > now { at - Duration::days(1) } else { at });
    }
    local(NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").map_err(|_| wrong())?)
}
