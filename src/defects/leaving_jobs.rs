//! The rows of the list as jobs to be weighed: what each can bring on the passage, what it brings once mended,
//! minutes, money and hands.

use super::condition::{Condition, signs};
use super::costs::CostRow;
use super::history::History;
use super::leaving_minutes::{JobOf, Takes, of_row};
use super::leaving_rows::{Asked, JobRow, Must, MustDo, Waits, is_trouble};
use super::life::State;
use super::list::{Row, Scenario};
use super::subject::Subject;
use crate::assess::chance::{Decay, Known, LastLook, Reach};
use crate::assess::dwell::Dwell;
use crate::assess::exposure::Exposure;
use crate::assess::words::Severity;
use crate::checklist::{Effect, Grade, Opened, Signs};
use crate::passage::trouble::{Follows, chance, gain};
use crate::passage::{Access, Call, Job, Means};

/// How fast things wear beside what is judged: as judged, twice as fast, half as fast.
const PACES: [f64; 3] = [1.0, 0.5, 2.0];

/// Chances that a row brings trouble as it is, and once mended, at each pace.
pub(super) type Chances = [(f64, f64); 3];

/// Jobs in three worlds, with the rows of those that can be chosen.
pub(super) struct Weighed {
    /// As judged: what must be done first, then a job for each row.
    pub(super) jobs: Vec<Job>,
    /// The same where things wear twice as fast.
    pub(super) faster: Vec<Job>,
    /// The same where they wear half as fast.
    pub(super) slower: Vec<Job>,
    /// Rows that are not done anyway, with the places of their jobs.
    pub(super) rows: Vec<(JobRow, usize)>,
    /// What is opened.
    pub(super) accesses: Vec<Access>,
    /// Currency of the estimates.
    pub(super) currency: Option<String>,
    /// How many rows have no estimate where money is asked for.
    pub(super) without_estimate: usize,
}

/// What is known of the work on a row.
struct Work {
    takes: Takes,
    money: Option<u64>,
}

/// The words of what is opened, each with its place.
#[derive(Default)]
struct Words(Vec<String>);

impl Words {
    fn place(&mut self, word: &str) -> Option<usize> {
        Opened::of(word)?;
        let known = self.0.iter().position(|known| known == word);
        Some(known.unwrap_or_else(|| {
            self.0.push(word.to_owned());
            self.0.len() - 1
        }))
    }

    fn accesses(&self) -> Vec<Access> {
        let minutes = |word: &String| Opened::of(word).map_or(0, |opened| opened.minutes);
        let each = self.0.iter().map(minutes);
        each.map(|minutes| Access { minutes }).collect()
    }
}

/// The jobs of a list, with what must be done.
///
/// # Errors
/// Estimates are in several currencies, and a sum is named.
pub(super) fn weighed(
    condition: &Condition,
    history: &History,
    asked: &Asked,
    ((rows, costs), chances): ((&[Row], &[CostRow]), &[Chances]),
    must: &mut [MustDo],
) -> Result<Weighed, String> {
    let currency = currency(asked, costs)?;
    let mut words = Words::default();
    let mut worlds: [Vec<Job>; 3] = Default::default();
    for (n, first) in must.iter_mut().enumerate() {
        first.as_told(history, (rows, costs));
        let row = &first.row;
        let job = Job {
            id: format!("{n:04}"),
            trouble: 0.0,
            mended: 0.0,
            minutes: row.minutes.unwrap_or(0),
            money: first.money,
            hands: row.who.map_or(usize::MAX, |who| who as usize),
            access: first.access.as_deref().and_then(|word| words.place(word)),
            call: match row.other_hands {
                true => Call::MustByOthers,
                false => Call::Must,
            },
        };
        worlds.iter_mut().for_each(|jobs| jobs.push(job.clone()));
    }
    let mut told = Vec::new();
    let mut without_estimate = 0;
    let rows = rows.iter().zip(chances);
    for (row, chances) in rows.filter(|(row, _)| row.state != State::Repaired) {
        let subject = row.subject();
        let cost = costs.iter().find(|cost| cost.rank == row.rank);
        let work = work(history, row, cost);
        let done = must.iter().any(|m| m.mends.contains(&subject));
        without_estimate += usize::from(!done && asked.spend.is_some() && work.money.is_none());
        let at = worlds[0].len();
        let shown = JobRow::of(condition, (row, &subject), &work, chances[0], asked);
        for (jobs, (trouble, mended)) in worlds.iter_mut().zip(*chances) {
            jobs.push(Job {
                id: format!(
                    "{} {}",
                    row.item,
                    row.machine.as_deref().unwrap_or_default()
                ),
                trouble,
                mended,
                minutes: work.takes.minutes.unwrap_or(0),
                money: work.money.unwrap_or(0),
                hands: row.remedy.who as usize,
                access: work
                    .takes
                    .access
                    .as_deref()
                    .and_then(|word| words.place(word)),
                call: match (done, shown.waits) {
                    (true, _) => Call::MustByOthers,
                    (false, Some(_)) => Call::Out,
                    (false, None) => Call::Free,
                },
            });
        }
        if !done {
            told.push((shown, at));
        }
    }
    let [jobs, faster, slower] = worlds;
    Ok(Weighed {
        jobs,
        faster,
        slower,
        rows: told,
        accesses: words.accesses(),
        currency,
        without_estimate,
    })
}

impl MustDo {
    /// With the owner's own minutes and money, where an estimate has them, and what is opened in words.
    fn as_told(&mut self, history: &History, (rows, costs): (&[Row], &[CostRow])) {
        let mending = [Must::Stop, Must::Temporary, Must::Asked].contains(&self.row.because);
        let row = rows.iter().find(|row| self.mends.contains(&row.subject()));
        if let Some(row) = row.filter(|_| mending) {
            let cost = costs.iter().find(|cost| cost.rank == row.rank);
            let work = work(history, row, cost);
            self.money = work.money.unwrap_or(0);
            self.takes(work.takes);
        } else if self.row.who.is_some() && self.row.minutes != Some(0) {
            let of = match &self.row.task {
                Some(task) => JobOf::Task(task),
                None => JobOf::Remedy(&self.row.item),
            };
            self.takes(of.takes(history, self.row.machine.as_deref(), None));
        }
        let opens = self.access.as_deref().and_then(Opened::of);
        self.row.opens = opens.map(|o| o.title.clone());
    }

    fn takes(&mut self, takes: Takes) {
        self.row.minutes = takes.minutes;
        self.row.minutes_told = takes.told;
        self.row.minutes_learned = takes.learned;
        self.access = takes.access;
    }
}

impl Weighed {
    /// What there is.
    pub(super) fn means(&self, asked: &Asked) -> Means {
        let mut means = Means {
            minutes: asked.work,
            money: asked.spend,
            ..Means::default()
        };
        for (who, minutes) in &asked.hands {
            if let Some(hands) = means.hands.get_mut(*who as usize) {
                *hands = *minutes;
            }
        }
        means
    }
}

impl JobRow {
    fn of(
        condition: &Condition,
        (row, subject): (&Row, &Subject),
        work: &Work,
        (trouble, mended): (f64, f64),
        asked: &Asked,
    ) -> JobRow {
        let gain = gain(trouble, mended);
        let waits = match () {
            () if asked.leaves_out(&row.item) => Some(Waits::LeftOut),
            () if !asked.has(row.remedy.who) => Some(Waits::Hands),
            () if work.takes.minutes.is_none() => Some(Waits::NoMinutes),
            () if gain <= 0.0 => Some(Waits::GainsNothing),
            () => None,
        };
        let item = condition.item(subject);
        let opens = work.takes.access.as_deref().and_then(Opened::of);
        JobRow {
            item: row.item.clone(),
            machine: row.machine.clone(),
            title: row.title.clone(),
            grade: row.grade,
            cautions: item.map(|i| i.cautions.clone()).unwrap_or_default(),
            action: row.remedy.action.clone(),
            who: row.remedy.who,
            place: row.remedy.place,
            minutes: work.takes.minutes,
            minutes_told: work.takes.told,
            minutes_learned: work.takes.learned,
            opens: opens.map(|o| o.title.clone()),
            money: work.money.map(|m| m as f64 / 100.0),
            parts: row.parts.clone(),
            spare: None,
            trouble,
            mended,
            gain,
            effect: row.effect,
            risk: row.risk,
            code: row.code.clone(),
            ends_on_the_way: row.ends_in(condition, asked),
            deferred: row.deferred.as_ref().map(|d| d.until.to_string()),
            still_if_longer: false,
            either: false,
            waits,
        }
    }
}

impl Row {
    /// The span within which it is to be mended is over before the passage is.
    fn ends_in(&self, condition: &Condition, asked: &Asked) -> bool {
        let Some(wait) = self.fix_within else {
            return false;
        };
        let exposure = asked.scenario.exposure;
        let by_hours = wait.hours.is_some_and(|hours| hours <= exposure.hours);
        let left = wait
            .date
            .map(|d| (d - condition.now.date_naive()).num_days());
        let by_date = left.is_some_and(|days| days as f64 <= exposure.days);
        wait.over || by_hours || by_date
    }
}

impl Condition {
    /// Chances that a row brings trouble, at each pace.
    pub(super) fn chances(&self, row: &Row, scenario: Scenario) -> Chances {
        let subject = row.subject();
        PACES.map(|pace| self.trouble(&subject, row, scenario, pace))
    }

    /// Chance that a row brings trouble over the passage as it is, and once mended, at a pace of wear: all
    /// dwells so many times as long.
    fn trouble(&self, subject: &Subject, row: &Row, scenario: Scenario, pace: f64) -> (f64, f64) {
        let Some((item, life)) = self.item(subject).zip(self.life_of(subject)) else {
            return (0.0, 0.0);
        };
        let known = self.known(subject, item, life);
        let known = Known {
            decay: paced(known.decay, pace),
            ..known
        };
        let mended = sound_again(known);
        let effects = self.effects(subject, item);
        // A person who set it graver than it is reckoned means all that can follow.
        let set = row.appraisal.rating != row.appraisal.computed;
        let all = set && row.severity <= Severity::Critical;
        let trouble = |known: &Known, signs: Signs| {
            let counts = |e: &&Effect| e.counts(&signs) && (all || is_trouble(e.effect, &scenario));
            let follows = effects.iter().filter(counts).map(|e| Follows {
                effect: e.effect,
                from: e.rung().rung(),
                beta: e.beta,
            });
            let reach = known.prognosis(scenario.exposure).reach;
            chance(rungs(&reach), &follows.collect::<Vec<_>>())
        };
        let as_it_is = trouble(&known, signs(item, life));
        (as_it_is, trouble(&mended, Signs::default()).min(as_it_is))
    }
}

/// As it is once mended: seen sound just now.
pub(super) fn sound_again(known: Known) -> Known {
    Known {
        last: Some(LastLook {
            grade: Grade::Sound,
            elapsed: Exposure::NONE,
        }),
        past_life: false,
        decay: mended(known.decay),
    }
}

pub(super) fn rungs(reach: &Reach) -> [f64; 5] {
    [
        Grade::Sound,
        Grade::Early,
        Grade::Worn,
        Grade::Failing,
        Grade::Failed,
    ]
    .map(|rung| reach.at(rung))
}

/// All dwells so many times as long; what has no dwells stays.
pub(super) fn paced(decay: Decay, pace: f64) -> Decay {
    let Decay::Chain(dwell) = decay else {
        return decay;
    };
    let means = dwell.means().map(|mean| mean * pace);
    Dwell::new(dwell.standing(), means).map_or(decay, Decay::Chain)
}

/// As it is once mended: no level falls.
fn mended(decay: Decay) -> Decay {
    match decay {
        Decay::Rungs {
            look_every_days, ..
        } => Decay::Rungs {
            look_every_days,
            fall: None,
        },
        chain @ Decay::Chain(_) => chain,
    }
}

/// Minutes and money of a row: the owner's own where an estimate has them.
fn work(history: &History, row: &Row, cost: Option<&CostRow>) -> Work {
    let estimate = cost.and_then(|cost| cost.estimate.as_ref());
    Work {
        takes: of_row(history, row, cost),
        money: estimate.map(|e| (e.likely * 100.0).round().clamp(0.0, 1e15) as u64),
    }
}

/// The one currency of the estimates.
fn currency(asked: &Asked, costs: &[CostRow]) -> Result<Option<String>, String> {
    let mut named: Vec<Option<String>> = costs
        .iter()
        .filter_map(|cost| cost.estimate.as_ref())
        .map(|e| e.currency.clone())
        .collect();
    named.sort();
    named.dedup();
    match named.len() {
        0 => Ok(None),
        1 => Ok(named.remove(0)),
        _ if asked.spend.is_none() => Ok(None),
        _ => Err(
            "--spend: the estimates on record are in several currencies, which nothing here adds up"
                .to_owned(),
        ),
    }
}
