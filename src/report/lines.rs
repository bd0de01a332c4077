//! Sentences and cells that the HTML and the Markdown form share.

use std::borrow::Cow;

use chrono::{DateTime, FixedOffset};

use super::blocks::{Column, Table};
use super::content::{
    DefectPart, LookPart, NotSeenPart, PlacePart, ReadingPart, Report, StationPart,
};
use super::words::{Said, Words, told};
use crate::assess::words::Verdict;
use crate::checklist::{Grade, Remedy};
use crate::defects::State;
use crate::defects::before_start::BeforeStart;
use crate::defects::gate::RunInSpite;
use crate::defects::grounds::SaidDiffers;
use crate::defects::list::Row;
use crate::defects::said::Said as Spoken;
use crate::defects::wait::Wait;

/// Pairs of a word and what it says.
pub type Facts = Vec<(Cow<'static, str>, Said)>;

/// Columns of the readings.
pub const READING_HEAD: [Column; 6] = [
    Column::kept("col-item"),
    Column::unbroken("col-value"),
    Column::unbroken("col-rung"),
    Column::kept("col-phase"),
    Column::kept("col-speed"),
    Column::unbroken("col-when"),
];

/// Columns of the looks.
pub const LOOK_HEAD: [Column; 6] = [
    Column::unbroken("col-when"),
    Column::kept("col-item"),
    Column::kept("col-where"),
    Column::kept("col-phase"),
    Column::unbroken("col-rung"),
    Column::kept("col-seen"),
];

/// What the report is of.
pub fn title(report: &Report) -> Said {
    let (w, boat) = (report.language.words(), Said::people(&report.boat));
    match &report.walk {
        Some(walk) => told!(w, "title-walk", boat = boat, walk = &walk.title),
        None => {
            let day = w.date(report.as_of.date_naive());
            told!(w, "title-logbook", boat = boat, day = day)
        }
    }
}

/// Facts of the front page.
pub fn front(report: &Report) -> Facts {
    let w = report.language.words();
    let mut facts = vec![
        (w.say("fact-boat"), Said::people(&report.boat)),
        (w.say("fact-waters"), w.word(report.waters).into()),
    ];
    for machine in &report.machines {
        let (name, id) = (Said::people(&machine.name), Said::people(&machine.id));
        let hours = w.hours(machine.hours);
        let fact = match machine.estimated {
            true => told!(w, "machine-about", name = name, id = id, hours = hours),
            false => told!(w, "machine-hours", name = name, id = id, hours = hours),
        };
        facts.push((w.say("fact-machine"), fact));
    }
    if let Some(walk) = &report.walk {
        let or = |text: Option<Said>, other: &str| text.unwrap_or_else(|| w.say(other).into());
        if !walk.purpose.is_empty() {
            facts.push((w.say("fact-purpose"), walk.purpose.clone()));
        }
        facts.push((w.say("fact-begun"), w.moment(walk.at).into()));
        let finished = walk.finished.map(|at| w.moment(at).into());
        facts.push((w.say("fact-finished"), or(finished, "not-finished")));
        let by = walk.by.as_ref().map(Said::people);
        facts.push((w.say("fact-by"), or(by, "not-stated")));
        let hours = walk.hours.map(|hours| w.hours(hours).into());
        facts.push((w.say("fact-meter"), or(hours, "not-read")));
        facts.push((w.say("fact-walk"), Said::people(&walk.id)));
        let spite = walk.run_in_spite_of.as_ref();
        facts.extend(spite.map(|spite| (w.say("fact-spite"), in_spite(w, spite))));
    }
    facts.push((w.say("fact-made"), w.moment(report.made_at).into()));
    facts
}

/// That the engine was run over stops.
pub fn in_spite(w: Words, spite: &RunInSpite) -> Said {
    let rows = spite.rows.iter();
    // As it was called when it was asked.
    let rows = rows.map(|row| w.english(format!("{} ({})", row.title, row.rule)));
    let rows = Said::join(rows, "; ");
    match &spite.why {
        Some(why) => told!(w, "spite-reason", rows = rows, why = Said::people(why)),
        None => told!(w, "spite-no-reason", rows = rows),
    }
}

/// What is to be done before she starts.
pub fn chore(w: Words, chore: &BeforeStart) -> Said {
    let (item, how) = (w.english(&*chore.title), w.english(&*chore.how));
    told!(w, "of-item", item = item, said = how)
}

/// What can hurt someone, as it stands before an instruction.
pub fn caution(w: Words, says: &Said) -> Said {
    told!(w, "caution", says = says)
}

/// The verdict in one line, with what made it.
pub fn verdict(report: &Report) -> Option<Said> {
    let (w, part) = (report.language.words(), report.verdict.as_ref()?);
    let spoken = |verdict: Verdict| w.word(verdict);
    let mut line = match (part.at_walk.map(spoken), part.now.map(spoken)) {
        (Some(then), None) => {
            let why = w.english(part.gone);
            told!(w, "verdict-gone", then = then, why = why)
        }
        (Some(then), Some(now)) if then != now => {
            told!(w, "verdict-both", then = then, now = now)
        }
        (_, now) => told!(w, "verdict-is", now = now?),
    };
    let mut add = |said: Said| {
        line.push(" ");
        line.push(said);
        line.push(".");
    };
    if let Some((said, differs)) = part.said.as_ref().zip(part.said_differs.as_ref()) {
        said_then(w, said, differs).into_iter().for_each(&mut add);
    }
    for reason in &part.reasons {
        let rule = w.english(&*reason.ground.rule);
        add(match reason.title.is_empty() {
            true => rule,
            false => told!(w, "of-item", item = &reason.title, said = rule),
        });
    }
    Some(line)
}

/// What was said when the walk ended, and why that is not what is reckoned today; no full stops.
fn said_then(w: Words, said: &Spoken, differs: &SaidDiffers) -> Vec<Said> {
    let mut lines = Vec::new();
    for (name, ids) in [
        ("said-counts-now", &differs.counts_now),
        ("said-counts-no-longer", &differs.counts_no_longer),
    ] {
        if !ids.is_empty() {
            let ids = Said::people(ids.join(", "));
            lines.push(w.told(name, &[("records", ids.into())]));
        }
    }
    for (name, holds) in [
        ("said-profile", differs.profile),
        ("said-program", differs.program),
    ] {
        lines.extend(holds.then(|| w.say(name).into()));
    }
    if lines.is_empty() {
        lines.push(w.say("said-no-record").into());
    }
    let build = Said::people(&said.build);
    let first = told!(
        w,
        "said-then",
        verdict = w.word(said.verdict),
        build = build
    );
    [first].into_iter().chain(lines).collect()
}

/// The short of it, without names.
pub fn summary(report: &Report) -> Vec<Said> {
    let (w, s) = (report.language.words(), &report.summary);
    let by_risk: Vec<String> = s
        .by_risk
        .iter()
        .filter(|r| r.count > 0)
        .map(|r| format!("{} {}", r.count, w.word(r.risk)))
        .collect();
    let repaired = report.defects.iter();
    let repaired = repaired.filter(|d| d.row.state == State::Repaired).count();
    let found = match (by_risk.join(", "), repaired) {
        (risks, _) if risks.is_empty() => w.say("summary-none").into(),
        (risks, 0) => told!(w, "summary-open", risks = risks),
        (risks, n) => told!(w, "summary-open-repaired", risks = risks, n = n),
    };
    vec![told!(
        w,
        "summary",
        seen = s.seen,
        asked = s.asked,
        found = found
    )]
}

/// A defect in one line.
pub fn one_line(w: Words, defect: &DefectPart) -> Said {
    let row = &defect.row;
    told!(
        w,
        "defect-line",
        title = &defect.title,
        station = &defect.station_title,
        rung = w.rung(row.grade),
        risk = w.word(row.risk),
        code = &*row.code,
        remedy = &defect.remedy
    )
}

/// Over what the defects are ranked.
pub fn ranked_over(report: &Report) -> Said {
    let w = report.language.words();
    told!(
        w,
        "ranked-over",
        hours = w.number(report.exposure.hours, 0),
        days = w.number(report.exposure.days, 0),
        waters = w.word(report.waters)
    )
}

/// Rung, risk, place and state of a defect.
pub fn standing(w: Words, defect: &DefectPart) -> Said {
    let row = &defect.row;
    let machine = row.machine.as_ref();
    told!(
        w,
        "defect-standing",
        rung = w.rung(row.grade),
        risk = w.word(row.risk),
        code = &*row.code,
        station = &defect.station_title,
        machine = machine.map_or_else(|| w.say("the-boat").into(), Said::people),
        state = w.word(row.state),
        day = w.date(row.opened.date_naive())
    )
}

/// What was observed, as pairs of a word and what it says; nothing that is thought of it.
pub fn observation(w: Words, look: &LookPart) -> Facts {
    let mut facts = vec![(w.say("col-when"), w.moment(look.at).into())];
    facts.extend(look.phase.clone().map(|p| (w.say("col-phase"), p)));
    if let Some(g) = look.grade {
        let rung = match &look.rung {
            Some(rung) => told!(w, "of-rung", rung = w.rung(g), looks = rung),
            None => w.rung(g).into(),
        };
        facts.push((w.say("col-rung"), rung));
    }
    facts.extend(beside(w, look));
    facts
}

/// What a look says beside its time, its phase and its rung.
fn beside(w: Words, look: &LookPart) -> Facts {
    let mut facts = Vec::new();
    let mut add = |name: &str, said: Option<Said>| {
        facts.extend(said.map(|said| (w.say(name), said)));
    };
    let some = |all: &[Said]| (!all.is_empty()).then(|| Said::join(all.iter().cloned(), "; "));
    let people = |text: &Option<String>| text.as_ref().map(Said::people);
    add("look-joined", look.joined.clone());
    add("look-leak", look.leak.map(|l| w.word(l).into()));
    add(
        "look-measured",
        look.reading.as_deref().map(|r| w.measure(r)),
    );
    add("col-speed", look.at_rpm.map(|rpm| w.rpm(rpm).into()));
    add("look-added", look.added.as_deref().map(|a| w.measure(a)));
    add("look-marks", some(&look.wear));
    add("look-kind", some(&look.signs));
    add("look-note", people(&look.note));
    add("look-said", people(&look.said));
    add("look-why", people(&look.grade_reason));
    let again = look
        .as_last_time
        .map(|n| told!(w, "times-as-last", n = n as usize));
    add("look-seen", again);
    for photo in &look.photos {
        let caption = photo.caption.as_ref().map(Said::people);
        let caption = caption.unwrap_or_else(|| w.say("photo-no-caption").into());
        let path = Said::people(&photo.path);
        add(
            "look-photo",
            Some(told!(w, "photo-named", caption = caption, path = path)),
        );
    }
    facts
}

/// What is thought of it and what to do.
pub fn advice(w: Words, defect: &DefectPart) -> Facts {
    let row = &defect.row;
    let mut facts = vec![
        (w.say("advice-why"), w.english(&*row.why)),
        (w.say("advice-effect"), w.word(row.effect).into()),
        (w.say("advice-remedy"), defect.remedy.clone()),
        (w.say("advice-who"), who_where(w, &row.remedy)),
    ];
    if !row.parts.is_empty() {
        facts.push((w.say("advice-parts"), w.english(row.parts.join(", "))));
    }
    facts.push((w.say("advice-fix"), fix_within(w, row)));
    if let Some(again) = &row.look_again_within {
        facts.push((w.say("advice-again"), wait(w, again)));
    }
    if let Some(deferred) = &row.deferred {
        facts.push((w.say("advice-deferred"), Said::people(&deferred.why)));
    }
    facts
}

/// Who can put it right, and where.
pub fn who_where(w: Words, remedy: &Remedy) -> Said {
    let (who, place) = (w.word(remedy.who), w.word(remedy.place));
    told!(w, "who-where", who = who, place = place)
}

/// By when a defect is to be put right.
pub fn fix_within(w: Words, row: &Row) -> Said {
    if row.stop {
        return w.say("fix-stop").into();
    }
    if row.state == State::Repaired {
        return w.say("fix-repaired").into();
    }
    let within = row.fix_within.as_ref();
    within.map_or_else(|| w.say("fix-convenient").into(), |within| wait(w, within))
}

/// How long something may wait.
pub fn wait(w: Words, wait: &Wait) -> Said {
    use crate::assess::span::Threshold;
    let hours = |hours: f64| told!(w, "wait-hours", n = hours.round().max(0.0) as usize);
    let by = |day| told!(w, "wait-by", day = w.date(day));
    match (wait.hours, wait.date) {
        _ if wait.over => w.say("wait-now").into(),
        _ if wait.threshold == Threshold::Horizon => w.say("wait-decades").into(),
        (Some(left), Some(day)) => Said::join([hours(left), by(day)], ", "),
        (None, Some(day)) => by(day),
        (Some(left), None) if wait.idle => told!(w, "wait-idle", hours = hours(left)),
        (Some(left), None) => hours(left),
        (None, None) => w.say("wait-never").into(),
    }
}

/// A moment in a table, to the minute.
pub fn short_moment(at: DateTime<FixedOffset>) -> String {
    at.format("%Y-%m-%d %H:%M").to_string()
}

/// A day in a table.
pub fn short_day(at: DateTime<FixedOffset>) -> String {
    at.format("%Y-%m-%d").to_string()
}

/// A rung, or that nobody saw it.
fn rung_or_unseen(w: Words, grade: Option<Grade>) -> Said {
    match grade {
        Some(grade) => w.rung(grade).into(),
        None => w.say("not-seen").into(),
    }
}

/// A place, with the machine where the report has several.
pub fn place(station: &Said, machine: Option<&str>) -> Said {
    let mut said = station.clone();
    if let Some(machine) = machine {
        said.push(", ");
        said.push(Said::people(machine));
    }
    said
}

/// The stations as a table.
pub fn stations(w: Words, stations: &[StationPart]) -> Table {
    let cells = |station: &StationPart| {
        vec![
            station.title.clone(),
            rung_or_unseen(w, station.worst),
            told!(w, "so-many-of", n = station.seen, all = station.asked),
        ]
    };
    let head = ["col-station", "col-worst", "col-seen-of"].map(Column::kept);
    Table::new(w, &head, stations.iter().map(cells).collect())
}

/// Where every finding is, as a table.
pub fn places(report: &Report) -> Table {
    let w = report.language.words();
    let mut found: Vec<(usize, &PlacePart)> = report
        .places
        .iter()
        .filter_map(|place| Some((place.rank?, place)))
        .collect();
    found.sort_by_key(|(rank, _)| *rank);
    let cells = |(rank, place): &(usize, &PlacePart)| {
        vec![
            rank.to_string().into(),
            place.title.clone(),
            rung_or_unseen(w, place.grade),
            place.words(w),
        ]
    };
    let head = [
        Column::unbroken("col-no"),
        Column::kept("col-finding"),
        Column::unbroken("col-rung"),
        Column::kept("col-where"),
    ];
    Table::new(w, &head, found.iter().map(cells).collect())
}

/// Columns of what was not seen.
pub const NOT_SEEN_HEAD: [Column; 4] = [
    Column::kept("col-item"),
    Column::kept("col-where"),
    Column::kept("col-why"),
    Column::kept("col-close"),
];

/// Cells of an item not seen, in the order of [`NOT_SEEN_HEAD`].
pub fn not_seen(w: Words, unseen: &NotSeenPart) -> Vec<Said> {
    vec![
        unseen.title.clone(),
        place(&unseen.station, unseen.machine.as_deref()),
        unseen
            .reason
            .clone()
            .unwrap_or_else(|| w.say("no-reason").into()),
        unseen
            .close_by
            .as_ref()
            .map_or_else(|| "-".into(), Said::people),
    ]
}

/// Cells of a reading, in the order of [`READING_HEAD`].
pub fn reading(w: Words, reading: &ReadingPart) -> Vec<Said> {
    let dash = || Said::from("-");
    vec![
        place(&reading.title, reading.machine.as_deref()),
        w.measure(&reading.value),
        reading.grade.map_or_else(dash, |g| w.rung(g).into()),
        reading.phase.clone().unwrap_or_else(dash),
        reading.at_rpm.map_or_else(dash, |rpm| w.rpm(rpm).into()),
        short_moment(reading.at).into(),
    ]
}

/// Cells of a look, in the order of [`LOOK_HEAD`].
pub fn look(w: Words, look: &LookPart) -> Vec<Said> {
    let seen = beside(w, look).into_iter();
    let seen: Vec<Said> = seen
        .map(|(name, said)| told!(w, "of-item", item = name, said = said))
        .collect();
    let seen = match (&look.not_seen, seen.is_empty()) {
        (Some(why), _) => told!(w, "not-seen-why", why = Said::people(why)),
        (None, true) => look.rung.clone().unwrap_or_else(|| "-".into()),
        (None, false) => Said::join(seen, "; "),
    };
    vec![
        short_moment(look.at).into(),
        look.title.clone(),
        place(&look.station, look.machine.as_deref()),
        look.phase.clone().unwrap_or_else(|| "-".into()),
        rung_or_unseen(w, look.grade),
        seen,
    ]
}

/// What a look at one engine speed found: the reading with the digit of its rung.
pub fn at_speed(w: Words, reading: Option<&str>, grade: Option<Grade>) -> Said {
    match (reading, grade) {
        (Some(value), Some(grade)) => {
            let digit = grade.rung().to_string();
            told!(w, "value-of-rung", value = w.measure(value), digit = digit)
        }
        (None, Some(grade)) => w.rung(grade).into(),
        (_, None) => w.say("not-seen").into(),
    }
}

/// Said above the drawings and the table.
pub fn about_places(w: Words) -> Cow<'static, str> {
    w.say("places-about")
}
