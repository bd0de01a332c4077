//! The locker as it stands: each spare on record with what is there of it, when somebody counted it last, and
//! why it does not count at sea.

use chrono::{DateTime, FixedOffset, NaiveDate};
use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::history::History;
use super::spare_said::{SpareSaid, StockChange, StockMove};
use super::subject::Subject;
use crate::boat::Waters;
use crate::checklist::{KnownSpare, SpareUnit};

/// So many days after it was counted last a count is said to be old (judgement: a season).
const COUNT_IS_OLD: i64 = 180;

/// A spare with what is on record of it. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LockerRow {
    /// Its id.
    pub spare: String,
    /// The machine that it fits alone; null where it fits any.
    pub machine: Option<String>,
    /// What it is.
    pub title: String,
    /// What it is counted in.
    pub unit: SpareUnit,
    /// How many are aboard by the record.
    pub count: f64,
    /// When somebody saw and counted them last; null where nobody did.
    pub counted: Option<DateTime<FixedOffset>>,
    /// Where it lies; null where nobody said.
    pub lies: Option<String>,
    /// Until when it can be used; null where it keeps, or nobody said.
    pub use_by: Option<NaiveDate>,
    /// When one like it was fitted once in harbour; null where nobody did.
    pub fitted_once: Option<NaiveDate>,
    /// The tools it needs.
    pub needs_tools: Vec<String>,
    /// They are aboard; null where nobody said.
    pub tools: Option<bool>,
    /// How it is fitted is written down aboard; null where nobody said.
    pub instruction: Option<bool>,
    /// Items it serves.
    pub items: Vec<String>,
    /// Service tasks it serves.
    pub tasks: Vec<String>,
    /// How many go along in the waters asked about (common practice, the count judgement); null where it is
    /// not customary there.
    pub customary: Option<u32>,
    /// What that is, where the count alone does not say it.
    pub customary_words: Option<String>,
    /// So many are missing of that.
    pub missing: f64,
    /// So many count at sea: all or none.
    pub counts: f64,
    /// What is wanting before one counts at sea, whether any is there or not, a few words each.
    pub wanting: Vec<String>,
    /// Why those that are there do not count at sea, a few words each.
    pub not_because: Vec<String>,
    /// What is to be said of it beside that, a sentence each.
    pub notes: Vec<String>,
    /// All that was said of it.
    #[serde(skip)]
    pub said: SpareSaid,
}

impl History {
    /// What is said of a spare, field by field the newest word; empty where nobody said anything.
    pub fn spare(&self, spare: &str, machine: Option<&str>) -> SpareSaid {
        let said = self.spares.iter().map(|s| &s.rec);
        let said = said.filter(|said| said.is_of(spare, machine));
        said.fold(SpareSaid::of(spare, machine), SpareSaid::with)
    }

    /// How many are there by the record, and when they were counted last.
    pub fn stock(
        &self,
        spare: &str,
        machine: Option<&str>,
    ) -> (f64, Option<DateTime<FixedOffset>>) {
        let moves = self.stock.iter().filter(|s| s.rec.is_of(spare, machine));
        let (mut count, mut counted) = (0.0, None);
        for moved in moves {
            count = moved.rec.after(count);
            if moved.rec.moved == StockMove::Counted {
                counted = Some(moved.at);
            }
        }
        (count, counted)
    }

    /// Every spare on record, in the order of the built-in list, then those of one's own.
    fn spares_named(&self) -> Vec<(&str, Option<&str>)> {
        let said = self
            .spares
            .iter()
            .map(|s| (&s.rec.spare, &s.rec.machine, s.when()));
        let moved = self
            .stock
            .iter()
            .map(|s| (&s.rec.spare, &s.rec.machine, s.when()));
        let mut named: Vec<_> = said.chain(moved).collect();
        named.sort_by_key(|(.., when)| *when);
        let mut all: Vec<(&str, Option<&str>)> = Vec::new();
        for (spare, machine, _) in named {
            let one = (spare.as_str(), machine.as_deref());
            if !all.contains(&one) {
                all.push(one);
            }
        }
        let known = KnownSpare::all();
        let place = |id: &str| known.iter().position(|k| k.id == id);
        all.sort_by_key(|(spare, _)| place(spare).unwrap_or(known.len()));
        all
    }
}

impl Condition {
    /// The locker: every spare on record, and what is customary in some waters and not on record.
    pub fn locker(&self, history: &History, waters: Waters) -> Vec<LockerRow> {
        let named = history.spares_named();
        let mut rows: Vec<LockerRow> = Vec::new();
        for known in KnownSpare::all() {
            let mut own = named.iter().filter(|(spare, _)| *spare == known.id);
            if own.clone().next().is_none() {
                if known.carried(waters).is_some() && self.has_use_of(known) {
                    rows.push(self.locker_row(history, (&known.id, None), waters));
                }
                continue;
            }
            rows.extend(
                own.by_ref()
                    .map(|one| self.locker_row(history, *one, waters)),
            );
        }
        let others = named
            .iter()
            .filter(|(spare, _)| KnownSpare::of(spare).is_none());
        rows.extend(others.map(|one| self.locker_row(history, *one, waters)));
        rows
    }

    /// A spare of the built-in list of which nothing is on record, for a machine.
    pub(super) fn not_on_record(
        &self,
        known: &KnownSpare,
        machine: &str,
        waters: Waters,
    ) -> LockerRow {
        let none = History::default();
        self.locker_row(&none, (&known.id, Some(machine)), waters)
    }

    /// True where something aboard is served by it.
    fn has_use_of(&self, known: &KnownSpare) -> bool {
        let mut items = known.items.iter();
        items.any(|item| {
            self.lives
                .keys()
                .any(|s| s.item == *item && self.is_fitted(s))
        })
    }

    /// True where the boat has it.
    fn is_fitted(&self, subject: &Subject) -> bool {
        self.has(&subject.item, subject.machine.as_deref())
    }

    fn locker_row(
        &self,
        history: &History,
        (spare, machine): (&str, Option<&str>),
        waters: Waters,
    ) -> LockerRow {
        let known = KnownSpare::of(spare);
        let said = history.spare(spare, machine);
        let (count, counted) = history.stock(spare, machine);
        let customary = known.and_then(|k| k.carried(waters));
        let needs: Vec<String> = known
            .map(KnownSpare::tools_in_words)
            .unwrap_or_default()
            .into_iter()
            .map(str::to_owned)
            .collect();
        let today = self.now.date_naive();
        let mut not_because = not_because(&said, needs.is_empty(), today);
        if self.practised_before(history, &said) {
            not_because.push("the one who fitted it in harbour was a former owner".to_owned());
        }
        let wanted = customary.map_or(0.0, |c| f64::from(c.count));
        let here = match said.elsewhere {
            Some(true) => 0.0,
            _ => count,
        };
        let (items, tasks) = self.serves(known, &said);
        LockerRow {
            title: title_of(known, &said),
            unit: known.map_or(SpareUnit::Piece, |k| k.unit),
            counts: if not_because.is_empty() { count } else { 0.0 },
            missing: (wanted - here).max(0.0),
            customary: customary.map(|c| c.count),
            customary_words: customary.and_then(|c| c.words.clone()),
            lies: said.lies.clone(),
            use_by: said.use_by,
            fitted_once: said.fitted_once,
            needs_tools: needs,
            tools: said.tools,
            instruction: said.instruction,
            not_because: if count > 0.0 {
                not_because.clone()
            } else {
                Vec::new()
            },
            wanting: not_because,
            notes: notes(count, counted, today),
            spare: spare.to_owned(),
            machine: machine.map(str::to_owned),
            count,
            counted,
            items,
            tasks,
            said,
        }
    }

    /// True where nobody but a former owner has fitted one.
    fn practised_before(&self, history: &History, said: &SpareSaid) -> bool {
        let mut known = history.spares.iter().rev();
        let told = known.find(|s| {
            s.rec.is_of(&said.spare, said.machine.as_deref()) && s.rec.fitted_once.is_some()
        });
        let given = self.given_on.zip(told);
        said.fitted_once.is_some() && given.is_some_and(|(given, told)| told.place < given.place)
    }

    /// Items and tasks it serves: as said, else by the built-in list.
    fn serves(&self, known: Option<&KnownSpare>, said: &SpareSaid) -> (Vec<String>, Vec<String>) {
        if said.serves.is_empty() {
            let of = |known: &KnownSpare| (known.items.clone(), known.tasks.clone());
            return known.map(of).unwrap_or_default();
        }
        let is_task = |id: &String| self.library.task(id).is_some();
        let is_item = |id: &&String| self.library.catalogue.item(id).is_some();
        let items = said.serves.iter().filter(is_item).cloned().collect();
        let tasks = said.serves.iter().filter(|id| is_task(id)).cloned();
        (items, tasks.collect())
    }
}

/// What a spare is called.
pub fn title_of(known: Option<&KnownSpare>, said: &SpareSaid) -> String {
    let own = said.title.clone();
    let known = known.map(|known| known.title.clone());
    own.or(known).unwrap_or_else(|| said.spare.clone())
}

/// Why a spare that is there does not count at sea.
fn not_because(said: &SpareSaid, no_tools: bool, today: NaiveDate) -> Vec<String> {
    let mut why = Vec::new();
    if said.elsewhere == Some(true) {
        why.push("it lies ashore or aboard another boat".to_owned());
    }
    if let Some(day) = said.use_by.filter(|day| *day < today) {
        why.push(format!("its use-by date was {day}"));
    }
    match said.tools {
        Some(true) => {}
        Some(false) => why.push("the tools for it are not aboard".to_owned()),
        None if no_tools => {}
        None => why.push("nobody said that its tools are aboard".to_owned()),
    }
    match said.instruction {
        Some(true) => {}
        Some(false) => why.push("how it is fitted is not written down aboard".to_owned()),
        None => why.push("nobody said that its instruction is aboard".to_owned()),
    }
    match said.fitted_once {
        Some(day) if day <= today => {}
        Some(_) => why.push("the day it was fitted in harbour is yet to come".to_owned()),
        None => why.push("nobody has fitted one in harbour yet".to_owned()),
    }
    why
}

fn notes(count: f64, counted: Option<DateTime<FixedOffset>>, today: NaiveDate) -> Vec<String> {
    if count <= 0.0 {
        return Vec::new();
    }
    let old = |at: DateTime<FixedOffset>| (today - at.date_naive()).num_days() > COUNT_IS_OLD;
    match counted {
        None => vec!["Nobody has seen and counted it yet: bought is not seen.".to_owned()],
        Some(at) if old(at) => vec![format!(
            "Last seen and counted {}: look once more before you count on it.",
            at.date_naive()
        )],
        Some(_) => Vec::new(),
    }
}

impl LockerRow {
    /// True for the row of this spare.
    pub fn is_of(&self, spare: &str, machine: Option<&str>) -> bool {
        self.spare == spare && self.machine.as_deref() == machine
    }

    /// True where it fits something of this machine, or of the boat.
    pub fn fits(&self, machine: Option<&str>) -> bool {
        self.machine.is_none() || machine.is_none() || self.machine.as_deref() == machine
    }

    /// True where some are aboard here and none is over its date.
    pub fn is_here(&self, today: NaiveDate) -> bool {
        let over = self.use_by.is_some_and(|day| day < today);
        self.count > 0.0 && self.said.elsewhere != Some(true) && !over
    }

    /// True where anything of it is on record.
    pub fn is_on_record(&self) -> bool {
        self.count > 0.0 || self.counted.is_some() || !self.said.is_empty()
    }

    /// How many there are, as it is said: `2`, `4.5 L`.
    pub fn how_many(&self) -> String {
        how_many(self.count, self.unit)
    }
}

/// A count of a spare, as it is said.
pub fn how_many(count: f64, unit: SpareUnit) -> String {
    let rounded = (count * 10.0).round() / 10.0;
    match unit {
        SpareUnit::Litre => format!("{rounded} L"),
        SpareUnit::Piece | SpareUnit::Set => format!("{rounded}"),
    }
}

/// Said when the last one of a spare is gone.
pub fn gone_words(title: &str) -> String {
    format!("That was the last one: no {title} is left aboard. It is on the list for the shop now.")
}

/// A spare aboard that can have gone into work done just now.
#[derive(Clone, Debug, PartialEq)]
pub struct Offered {
    /// Its id.
    pub spare: String,
    /// The machine that it fits alone; none where it fits any.
    pub machine: Option<String>,
    /// What it is, and how many are aboard.
    pub words: String,
    /// How many are aboard.
    pub count: f64,
}

impl Condition {
    /// The spares aboard that serve an item or a task of a machine: what is offered to be taken from stock
    /// when such work was recorded. Nothing is taken by itself.
    pub fn spares_for(&self, history: &History, of: &str, machine: Option<&str>) -> Vec<Offered> {
        let rows = self.locker(history, self.boat.waters).into_iter();
        let serves = |row: &LockerRow| {
            row.count > 0.0 && row.fits(machine) && {
                let mut all = row.items.iter().chain(&row.tasks);
                all.any(|id| id == of)
            }
        };
        rows.filter(serves)
            .map(|row| Offered {
                words: format!("{}, {} aboard", row.title, row.how_many()),
                spare: row.spare,
                machine: row.machine,
                count: row.count,
            })
            .collect()
    }
}

impl Offered {
    /// One of it was used, for that item or task.
    pub fn used_for(&self, of: &str) -> StockChange {
        StockChange {
            spare: self.spare.clone(),
            machine: self.machine.clone(),
            at: None,
            moved: StockMove::Used,
            count: 1.0,
            used_for: Some(of.to_owned()),
            note: None,
        }
    }
}
