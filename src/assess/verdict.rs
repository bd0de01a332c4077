//! What a finished walk says. A verdict records what was seen; it certifies nothing.

use crate::checklist::Grade;

use super::words::{Risk, Severity, Verdict};

/// Why a row counts in a verdict.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reason {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Its grade, where it has one.
    pub grade: Option<Grade>,
    /// The rule, in words.
    pub rule: String,
}

impl Reason {
    fn new(item: &str, grade: Option<Grade>, rule: impl Into<String>) -> Reason {
        Reason {
            item: item.to_owned(),
            grade,
            rule: rule.into(),
        }
    }
}

/// What the daily rules need to know of one item.
#[derive(Clone, Debug)]
pub struct DailyRow {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// The rung that counts for it now.
    pub grade: Grade,
    /// The stop rule in force, in words.
    pub stop: Option<String>,
    /// That stop forbids leaving and not running.
    pub may_run: bool,
    /// Risk over the day ahead.
    pub risk: Risk,
    /// Worst severity over its effects, whatever their chance.
    pub worst_severity: Severity,
    /// Nothing but nuisance follows.
    pub nuisance_only: bool,
    /// A deferral is in force.
    pub deferred: bool,
    /// Repaired and not yet looked at.
    pub unconfirmed: bool,
    /// A concern by itself, in words: a level that meets its low mark inside the day ahead, what was
    /// filled and not read since.
    pub care: Option<String>,
    /// Worth watching, in words, though no rule bites.
    pub watch: Option<String>,
}

/// What can end in the worst two severities and cannot be judged by looking, of an age that nobody
/// knows or that is long past.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Aged {
    /// Machine id; none for what the boat has once.
    pub machine: Option<String>,
    /// The work, or the part, as shown.
    pub title: String,
    /// It is known, and long past; else nobody knows.
    pub is_known: bool,
}

/// What no verdict is clear beside since its age is not known, or long past: one sentence without a
/// full stop; none where there is nothing.
pub fn ages_in_words<'a>(aged: impl Iterator<Item = &'a Aged>) -> Option<String> {
    let (past, unknown): (Vec<&Aged>, Vec<&Aged>) = aged.partition(|aged| aged.is_known);
    let told = |lead: &str, these: Vec<&Aged>| {
        let titles: Vec<&str> = these.iter().map(|aged| aged.title.as_str()).collect();
        (!titles.is_empty()).then(|| format!("{lead}: {}", titles.join("; ")))
    };
    let unknown = told("nobody knows when last done (say when, or do it)", unknown);
    let past = told("more than twice past its time (judgement)", past);
    let said: Vec<String> = unknown.into_iter().chain(past).collect();
    (!said.is_empty()).then(|| said.join(", and "))
}

/// The daily verdict over the day ahead, with the rows that made it: those of the deciding rule
/// for *do not run* and *run with care*, both for *do not leave*, what is early for *clear to run*.
///
/// `wanting` are items and what is wanting for a clear verdict, in words: what has to be seen and was
/// not, what was left open. `doubts` are items (empty where that cannot be told) and words of what is on record, not counted
/// and could still matter: no verdict is clear beside one.
pub fn daily(
    rows: &[DailyRow],
    wanting: &[(String, String)],
    doubts: &[(String, String)],
) -> (Verdict, Vec<Reason>) {
    let stop = |r: &DailyRow| Some(Reason::new(&r.item, Some(r.grade), r.stop.clone()?));
    let stops: Vec<_> = rows.iter().filter_map(stop).collect();
    if rows.iter().any(|r| r.stop.is_some() && !r.may_run) {
        return (Verdict::DoNotRun, stops);
    }
    let others = rows.iter().filter(|r| r.stop.is_none());
    let mut care: Vec<_> = others.filter_map(care_of).collect();
    let wanting = wanting.iter();
    care.extend(wanting.map(|(item, why)| Reason::new(item, None, why.clone())));
    care.extend(doubtful(doubts));
    // Where the engine may run, what asks for care in running her stands with what forbids leaving.
    if !stops.is_empty() {
        return (Verdict::DoNotLeave, stops.into_iter().chain(care).collect());
    }
    if !care.is_empty() {
        return (Verdict::RunWithCare, care);
    }
    let early = rows.iter().filter_map(|r| match (&r.watch, r.grade) {
        (Some(watch), grade) => Some(Reason::new(&r.item, Some(grade), watch.clone())),
        (None, Grade::Sound) => None,
        (None, grade) if r.deferred => Some(Reason::new(&r.item, Some(grade), "deferred")),
        (None, grade) => Some(Reason::new(&r.item, Some(grade), "watch it")),
    });
    (Verdict::ClearToRun, early.collect())
}

/// The verdict of a short check: that of the daily rules, but never *clear to run*. What it did not
/// ask, in words, stands among the reasons.
pub fn short(
    rows: &[DailyRow],
    wanting: &[(String, String)],
    doubts: &[(String, String)],
    not_asked: &str,
) -> (Verdict, Vec<Reason>) {
    let (verdict, mut reasons) = daily(rows, wanting, doubts);
    reasons.push(Reason::new("", None, not_asked));
    match verdict {
        Verdict::ClearToRun => (Verdict::NothingSeenAgainstStarting, reasons),
        worse => (worse, reasons),
    }
}

fn doubtful(doubts: &[(String, String)]) -> impl Iterator<Item = Reason> + '_ {
    let told =
        |(item, why): &(String, String)| Reason::new(item, None, format!("not counted: {why}"));
    doubts.iter().map(told)
}

fn care_of(row: &DailyRow) -> Option<Reason> {
    if let Some(care) = &row.care {
        return Some(Reason::new(&row.item, Some(row.grade), care.clone()));
    }
    let rule = if row.unconfirmed {
        "repaired, not yet looked at"
    } else if row.deferred {
        return None;
    } else if row.risk == Risk::High {
        "high risk over the day ahead"
    } else if row.grade >= Grade::Worn && row.worst_severity <= Severity::Critical {
        "worn or worse where failure is catastrophic or critical"
    } else if row.grade >= Grade::Failing && !row.nuisance_only {
        "failing"
    } else {
        return None;
    };
    Some(Reason::new(&row.item, Some(row.grade), rule))
}

/// What the rules of the leak run need to know of one item of it.
#[derive(Clone, Debug)]
pub struct LeakRow {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Worst grade in the run since it was last put right.
    pub grade: Grade,
    /// The stop rule in force, in words.
    pub stop: Option<String>,
    /// Fuel or exhaust gas came out.
    pub fuel_or_gas: bool,
}

/// What else the rules of the leak run need.
#[derive(Clone, Debug, Default)]
pub struct LeakRun {
    /// Every item with a grade in the run, asked or not.
    pub rows: Vec<LeakRow>,
    /// Disturbed joints not seen through to the settled phase.
    pub joints_unseen: Vec<String>,
    /// Titles of phases in which nothing was graded, the next morning left aside.
    pub phases_skipped: Vec<String>,
    /// Looks still owed: item and why.
    pub owed: Vec<(String, String)>,
    /// What is not counted and could still matter, as for [`daily`].
    pub doubts: Vec<(String, String)>,
    /// Times not kept, in words. They are named and change no verdict.
    pub times: Vec<String>,
}

/// The verdict of a leak run, with the rows that made it and the times that were not kept.
pub fn leak_run(run: &LeakRun) -> (Verdict, Vec<Reason>) {
    let (verdict, mut reasons) = leak_rules(run);
    let times = run.times.iter();
    reasons.extend(times.map(|t| Reason::new("", None, t.clone())));
    (verdict, reasons)
}

fn leak_rules(run: &LeakRun) -> (Verdict, Vec<Reason>) {
    let mut against = Vec::new();
    for row in &run.rows {
        let rule = match &row.stop {
            Some(rule) => rule.clone(),
            None if row.fuel_or_gas => "fuel or exhaust gas comes out".to_owned(),
            None if row.grade >= Grade::Worn => "worn or worse".to_owned(),
            None => continue,
        };
        against.push(Reason::new(&row.item, Some(row.grade), rule));
    }
    let unseen = run.joints_unseen.iter();
    against
        .extend(unseen.map(|i| Reason::new(i, None, "disturbed and not seen through to settled")));
    let skipped = run.phases_skipped.iter();
    against.extend(skipped.map(|p| Reason::new("", None, format!("phase skipped: {p}"))));
    if !against.is_empty() {
        return (Verdict::NotSignedOff, against);
    }
    let early = run.rows.iter().filter(|r| r.grade == Grade::Early);
    let mut watch: Vec<_> = early
        .map(|r| Reason::new(&r.item, Some(r.grade), "early"))
        .collect();
    watch.extend(
        run.owed
            .iter()
            .map(|(item, why)| Reason::new(item, None, why.clone())),
    );
    watch.extend(doubtful(&run.doubts));
    if watch.is_empty() {
        (Verdict::SignedOff, watch)
    } else {
        (Verdict::SignedOffWithRecheck, watch)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(grade: Grade) -> DailyRow {
        DailyRow {
            item: "drive-belt".into(),
            grade,
            stop: None,
            may_run: false,
            risk: Risk::Serious,
            worst_severity: Severity::Marginal,
            nuisance_only: false,
            deferred: false,
            unconfirmed: false,
            care: None,
            watch: None,
        }
    }

    #[test]
    fn each_daily_rule_bites_by_itself() {
        let verdict = |row: DailyRow| daily(&[row], &[], &[]).0;
        assert_eq!(verdict(row(Grade::Early)), Verdict::ClearToRun);
        assert_eq!(
            verdict(row(Grade::Worn)),
            Verdict::ClearToRun,
            "serious alone changes nothing"
        );
        assert_eq!(verdict(row(Grade::Failing)), Verdict::RunWithCare);
        assert_eq!(
            verdict(DailyRow {
                nuisance_only: true,
                ..row(Grade::Failing)
            }),
            Verdict::ClearToRun
        );
        let critical = DailyRow {
            worst_severity: Severity::Critical,
            ..row(Grade::Worn)
        };
        assert_eq!(verdict(critical.clone()), Verdict::RunWithCare);
        assert_eq!(
            verdict(DailyRow {
                deferred: true,
                ..critical
            }),
            Verdict::ClearToRun
        );
        assert_eq!(
            verdict(DailyRow {
                risk: Risk::High,
                ..row(Grade::Early)
            }),
            Verdict::RunWithCare
        );
        let stopped = DailyRow {
            stop: Some("stop".into()),
            deferred: true,
            ..row(Grade::Failing)
        };
        let cable = DailyRow {
            may_run: true,
            ..stopped.clone()
        };
        assert_eq!(verdict(cable.clone()), Verdict::DoNotLeave);
        let lost = [("fuel-hoses".to_owned(), "a look is lost".to_owned())];
        let (staying, reasons) = daily(&[cable.clone(), row(Grade::Failing)], &[], &lost);
        let rules: Vec<&str> = reasons.iter().map(|r| r.rule.as_str()).collect();
        assert_eq!(staying, Verdict::DoNotLeave);
        assert_eq!(rules, ["stop", "failing", "not counted: a look is lost"]);
        let both = daily(&[cable, stopped.clone()], &[], &[]);
        assert_eq!((both.0, both.1.len()), (Verdict::DoNotRun, 2));
        assert_eq!(
            verdict(stopped),
            Verdict::DoNotRun,
            "a deferral never lifts a stop"
        );
        let repaired = DailyRow {
            unconfirmed: true,
            deferred: true,
            ..row(Grade::Sound)
        };
        assert_eq!(verdict(repaired), Verdict::RunWithCare);
        assert_eq!(
            daily(&[], &[("bilge-water".into(), "unseen".into())], &[]).0,
            Verdict::RunWithCare
        );
        assert_eq!(daily(&[], &[], &[]), (Verdict::ClearToRun, vec![]));
        let falls = DailyRow {
            care: Some("low mark in about 5 h".into()),
            deferred: true,
            ..row(Grade::Sound)
        };
        assert_eq!(verdict(falls), Verdict::RunWithCare);
        let doubt = [(String::new(), "a.jsonl, line 3: damaged".to_owned())];
        assert_eq!(daily(&[], &[], &doubt).0, Verdict::RunWithCare);
    }

    #[test]
    fn ages_are_one_sentence_and_none_where_there_are_none() {
        let aged = |title: &str, is_known| Aged {
            machine: None,
            title: title.to_owned(),
            is_known,
        };
        let all = [
            aged("Coolant", false),
            aged("Extinguisher", true),
            aged("Impeller", false),
        ];
        assert_eq!(
            ages_in_words(all.iter()).as_deref(),
            Some(
                "nobody knows when last done (say when, or do it): Coolant; Impeller, and more than twice past its time (judgement): Extinguisher"
            )
        );
        assert_eq!(ages_in_words(all.iter().take(0)), None);
    }

    #[test]
    fn a_short_check_is_never_clear_and_says_what_it_did_not_ask() {
        let short = |rows: &[DailyRow]| short(rows, &[], &[], "31 items not asked");
        let (verdict, reasons) = short(&[]);
        assert_eq!(verdict, Verdict::NothingSeenAgainstStarting);
        assert_eq!(reasons[0].rule, "31 items not asked");
        let (verdict, reasons) = short(&[row(Grade::Failing)]);
        assert_eq!((verdict, reasons.len()), (Verdict::RunWithCare, 2));
        let stopped = DailyRow {
            stop: Some("stop".into()),
            ..row(Grade::Failing)
        };
        assert_eq!(short(&[stopped]).0, Verdict::DoNotRun);
    }

    #[test]
    fn a_leak_run_is_signed_off_only_when_dry_seen_through_and_nothing_is_owed() {
        let row = |grade| LeakRow {
            item: "oil-filter-seat".into(),
            grade,
            stop: None,
            fuel_or_gas: false,
        };
        let verdict = |run: LeakRun| leak_run(&run).0;
        let dry = LeakRun {
            rows: vec![row(Grade::Sound)],
            ..LeakRun::default()
        };
        assert_eq!(verdict(dry.clone()), Verdict::SignedOff);
        assert_eq!(
            verdict(LeakRun {
                owed: vec![("x".into(), "next morning".into())],
                ..dry.clone()
            }),
            Verdict::SignedOffWithRecheck
        );
        assert_eq!(
            verdict(LeakRun {
                rows: vec![row(Grade::Early)],
                ..LeakRun::default()
            }),
            Verdict::SignedOffWithRecheck
        );
        assert_eq!(
            verdict(LeakRun {
                rows: vec![row(Grade::Worn)],
                ..LeakRun::default()
            }),
            Verdict::NotSignedOff
        );
        let fuel = LeakRow {
            fuel_or_gas: true,
            ..row(Grade::Early)
        };
        assert_eq!(
            verdict(LeakRun {
                rows: vec![fuel],
                ..LeakRun::default()
            }),
            Verdict::NotSignedOff
        );
        assert_eq!(
            verdict(LeakRun {
                joints_unseen: vec!["x".into()],
                ..dry.clone()
            }),
            Verdict::NotSignedOff
        );
        assert_eq!(
            verdict(LeakRun {
                phases_skipped: vec!["fast".into()],
                ..dry
            }),
            Verdict::NotSignedOff
        );
    }
}
