//! What must be done before leaving, whatever it takes: none of it is traded for anything.

use super::acts::HoldsUntil;
use super::condition::Condition;
use super::gate::order;
use super::leaving_due::Dues;
use super::leaving_rows::{Asked, Must, MustDo, MustRow, look_minutes};
use super::life::{Life, Patch, State};
use super::list::Row;
use super::subject::Subject;
use crate::checklist::{Item, RemedyMinutes};

/// What takes minutes before a start, each (judgement).
const CHORE_MINUTES: u32 = 10;

/// All that must be done, stops first.
///
/// # Errors
/// An item asked for or left out that is not on the list, or that must be done and is left out.
pub(super) fn musts(
    condition: &Condition,
    asked: &Asked,
    rows: &[Row],
    due: &Dues,
) -> Result<Vec<MustDo>, String> {
    let mut all: Vec<MustDo> = Vec::new();
    let stops = rows.iter().filter(|row| row.stop);
    all.extend(stops.filter_map(|row| condition.stop_first(asked, row)));
    all.extend(condition.chores(asked));
    let still = rows.iter().filter(|row| !row.stop);
    for row in still {
        let (subject, life) = (row.subject(), condition.life_of(&row.subject()));
        let Some((item, life)) = condition.item(&subject).zip(life) else {
            continue;
        };
        let patch = life.status.patch.as_ref();
        let ends = patch.filter(|p| condition.ends_on_the_way(&subject, p, asked));
        if let Some(patch) = ends {
            let why = format!("a temporary repair, until {}, is not for good", patch.until);
            all.push(mend(asked, row, item, (Must::Temporary, why)));
        } else if row.state == State::Repaired {
            all.push(look_at(row, item, life));
        }
    }
    for must in &due.must {
        // What is mended already takes no time of its own.
        let with = all
            .iter()
            .any(|m| m.mends.iter().any(|s| *s == must.subject()));
        all.push(match with {
            true => must.clone().for_nothing(),
            false => must.clone(),
        });
    }
    for named in asked.with.iter().chain(&asked.kept.with) {
        let found: Vec<&Row> = rows.iter().filter(|row| row.item == *named).collect();
        if found.is_empty() && asked.with.contains(named) {
            return Err(format!("--with: '{named}' is not on the list of defects"));
        }
        for row in found {
            let done = all.iter().any(|m| m.mends.contains(&row.subject()));
            let item = condition.item(&row.subject()).filter(|_| !done);
            let asked_for = (Must::Asked, "you asked for it".to_owned());
            all.extend(item.map(|item| mend(asked, row, item, asked_for)));
        }
    }
    for named in &asked.without {
        if let Some(must) = all.iter().find(|m| m.row.item == *named) {
            let why = match must.row.because {
                Must::Stop => "a stop is never traded".to_owned(),
                because => format!("it must be done ({because})"),
            };
            return Err(format!("--without: '{named}' cannot be left out: {why}"));
        }
        if !rows.iter().any(|row| row.item == *named) {
            return Err(format!(
                "--without: '{named}' is not on the list of defects"
            ));
        }
    }
    all.sort_by_key(|must| must.row.because);
    Ok(all)
}

/// A row that is to be mended, for a reason and why.
fn mend(asked: &Asked, row: &Row, item: &Item, (because, why): (Must, String)) -> MustDo {
    let work = RemedyMinutes::of(&row.item);
    MustDo {
        mends: vec![row.subject()],
        access: work.and_then(|w| w.access.clone()),
        money: 0,
        row: MustRow {
            because,
            item: row.item.clone(),
            machine: row.machine.clone(),
            task: None,
            title: row.title.clone(),
            cautions: item.cautions.clone(),
            action: row.remedy.action.clone(),
            why,
            who: Some(row.remedy.who),
            place: Some(row.remedy.place),
            minutes: work.map(|w| w.minutes),
            minutes_told: false,
            minutes_learned: None,
            opens: None,
            other_hands: !asked.has(row.remedy.who),
            parts: row.parts.clone(),
            spare: None,
        },
    }
}

/// A repair nobody has looked at.
fn look_at(row: &Row, item: &Item, life: &Life) -> MustDo {
    let when = life
        .status
        .since
        .map(|at| at.format("%-d %b %Y").to_string());
    MustDo {
        mends: Vec::new(),
        access: None,
        money: 0,
        row: MustRow {
            because: Must::NotLookedAt,
            item: row.item.clone(),
            machine: row.machine.clone(),
            task: None,
            title: row.title.clone(),
            cautions: item.cautions.clone(),
            action: item.look.clone(),
            why: format!(
                "put right {}, and nobody has looked since",
                when.unwrap_or_default()
            ),
            who: None,
            place: None,
            minutes: Some(look_minutes(item)),
            minutes_told: false,
            minutes_learned: None,
            opens: None,
            other_hands: false,
            parts: Vec::new(),
            spare: None,
        },
    }
}

impl MustDo {
    fn for_nothing(mut self) -> MustDo {
        self.row.minutes = Some(0);
        self.access = None;
        self
    }
}

impl Condition {
    fn stop_first(&self, asked: &Asked, row: &Row) -> Option<MustDo> {
        let subject = row.subject();
        let (item, life) = (self.item(&subject)?, self.life_of(&subject)?);
        let orders = order(item, life.status.leak, false).words();
        let rule = row.stop_rule.as_deref().unwrap_or_default();
        Some(mend(
            asked,
            row,
            item,
            (Must::Stop, format!("{orders}: {rule}")),
        ))
    }

    fn chores(&self, asked: &Asked) -> impl Iterator<Item = MustDo> {
        let chores = self.before_start(asked.machine.as_deref());
        chores.into_iter().map(|chore| {
            let subject = Subject {
                item: chore.item.clone(),
                machine: chore.machine.clone(),
            };
            let cautions = self.item(&subject).map(|item| item.cautions.clone());
            MustDo {
                mends: Vec::new(),
                access: None,
                money: 0,
                row: MustRow {
                    because: Must::BeforeStart,
                    item: chore.item,
                    machine: chore.machine,
                    task: None,
                    title: chore.title,
                    cautions: cautions.unwrap_or_default(),
                    action: chore.how,
                    why: "it comes before the engine runs".to_owned(),
                    who: None,
                    place: None,
                    minutes: Some(CHORE_MINUTES),
                    minutes_told: false,
                    minutes_learned: None,
                    opens: None,
                    other_hands: false,
                    parts: Vec::new(),
                    spare: None,
                },
            }
        })
    }

    /// True where the time has come until which a temporary repair holds, or comes on the way; said in
    /// words alone, nobody can tell, and it counts as come.
    fn ends_on_the_way(&self, subject: &Subject, patch: &Patch, asked: &Asked) -> bool {
        let exposure = asked.scenario.exposure;
        let machine = subject.machine.as_deref();
        match &patch.until {
            HoldsUntil::Words(_) => true,
            HoldsUntil::Date(date) => {
                let days = (*date - self.now.date_naive()).num_days() as f64;
                days <= exposure.days
            }
            HoldsUntil::Hours(hours) => {
                let now = self.meter_now(machine).hours;
                self.is_over(subject, patch) || hours.get() <= now + exposure.hours
            }
        }
    }
}
