//! Several boats on a page.

use super::FleetBody;
use super::boats::BoatRow;
use crate::boat::Role;
use crate::checklist::Grade;
use crate::cli::page::{Page, Set};
use crate::fleet::Over;
use crate::fleet::failing::Failing;
use crate::fleet::over::boats as so_many;
use crate::fleet::parts::Parts;
use crate::fleet::rates::{RateSum, Rates};
use crate::fleet::stays::Staying;
use crate::fleet::weeks::{Week, Weeks};
use crate::fleet::work::Work;
use crate::logbook::glance::DAYS;

/// Items of the list of what fails most.
const MOST_FAILING: usize = 20;

/// Writes all that was asked for.
pub fn write(page: &mut Page, body: &FleetBody) {
    page.hang(
        "",
        format!("Boats in {}, {}", body.folder, body.over.words()),
    );
    page.notes(&body.notes);
    for beside in &body.beside {
        page.hang(
            "  - ",
            format!("left aside: {} ({})", beside.name, beside.what),
        );
    }
    if let Some(path) = &body.rates_file {
        page.hang(
            "",
            format!("What all looks taught is written to {path}; aboard another boat: handlamp learning start {path}"),
        );
    }
    if let Some(rows) = &body.boats {
        each(page, rows);
    }
    if let Some(sum) = &body.stays {
        stays(page, sum);
    }
    if let Some(sum) = &body.parts {
        parts(page, sum);
    }
    if let Some(sum) = &body.work {
        work(page, sum);
    }
    if let Some(sum) = &body.due {
        due(page, sum);
    }
    if let Some(sum) = &body.failing {
        failing(page, sum);
    }
    if let Some(sum) = &body.rates {
        rates(page, sum);
    }
}

/// A heading with the boats it goes over.
fn head(page: &mut Page, title: &str, over: &Over) {
    page.blank();
    page.hang("", format!("{title}, {}", over.words()));
}

fn each(page: &mut Page, rows: &[BoatRow]) {
    page.blank();
    let due = format!("due {DAYS:.0} d");
    let columns = [
        ("boat", Set::Left),
        ("now", Set::Wrap),
        ("stops", Set::Right),
        (due.as_str(), Set::Right),
        ("last walk", Set::Left),
        ("not counted", Set::Right),
    ];
    let lines = rows.iter().map(|row| {
        let told = |n: usize| match &row.problem {
            Some(_) => "?".to_owned(),
            None => n.to_string(),
        };
        let walked = row.last_walk.map(|at| at.format("%Y-%m-%d").to_string());
        let cells = vec![
            row.at.boat.clone(),
            row.words.clone(),
            told(row.stops),
            told(row.due),
            walked.unwrap_or_else(|| "-".to_owned()),
            match &row.problem {
                Some(_) => "all".to_owned(),
                None => row.not_counted.len().to_string(),
            },
        ];
        let worst = row.worst.iter().map(|worst| {
            let stop = if worst.stop { "STOP " } else { "" };
            format!(
                "{stop}{} {} ({})",
                worst.grade.rung(),
                worst.title,
                worst.code
            )
        });
        let worst = worst.collect::<Vec<_>>().join("; ");
        let more = row.listed.saturating_sub(row.worst.len());
        let worst = match (worst.is_empty(), more) {
            (true, _) => None,
            (false, 0) => Some(format!("worst: {worst}")),
            (false, n) => Some(format!("worst: {worst}; and {n} more")),
        };
        (
            cells,
            row.problem.clone().into_iter().chain(worst).collect(),
        )
    });
    let lines: Vec<(Vec<String>, Vec<String>)> = lines.collect();
    page.table_with_notes(&columns, &lines, "    ");
}

fn stays(page: &mut Page, sum: &Staying) {
    head(page, "MAY NOT GO OUT", &sum.over);
    if sum.rows.is_empty() {
        page.line("  Nothing on record speaks against any of them; nothing here is a promise.");
    }
    for row in &sum.rows {
        page.line(format!("  {}", row.at.boat));
        row.why.iter().for_each(|why| page.hang("    - ", why));
    }
}

fn parts(page: &mut Page, sum: &Parts) {
    head(page, "PARTS TO ORDER", &sum.over);
    if sum.rows.is_empty() {
        page.line("  No remedy on a list and no task due soon needs a part.");
        return;
    }
    let lines = sum.rows.iter().map(|row| {
        let notes = row.boats.iter().map(|place| {
            let on = place.machine.as_ref().map(|m| format!(", {m}"));
            let numbers = place.numbers.as_ref().map(|n| format!(". {}", n.words));
            format!(
                "{} × {}{}: {}{}",
                place.pieces,
                place.at.boat,
                on.unwrap_or_default(),
                place.needed_for.join("; "),
                numbers.unwrap_or_default()
            )
        });
        (
            vec![row.pieces.to_string(), row.part.clone()],
            notes.collect(),
        )
    });
    let lines: Vec<(Vec<String>, Vec<String>)> = lines.collect();
    page.table_with_notes(
        &[("pieces", Set::Right), ("part", Set::Wrap)],
        &lines,
        "        ",
    );
    page.paragraph(
        "Parts of one name may differ from boat to boat. The maker's handbook and parts book outrank all of this.",
    );
}

fn work(page: &mut Page, sum: &Work) {
    head(page, "WORK BY PERSON AND PLACE", &sum.over);
    if sum.rows.is_empty() {
        page.line("  Nothing waits to be put right.");
    }
    for row in &sum.rows {
        let place = row.place.as_str().replace('-', " ");
        page.line(format!("  {}, {place}: {}", row.who, row.jobs.len()));
        for job in &row.jobs {
            let on = job.machine.as_ref().map(|m| format!(" ({m})"));
            let stop = if job.stop { "STOP, " } else { "" };
            let waits = if job.deferred { ", may wait" } else { "" };
            page.hang(
                "    - ",
                format!(
                    "{}: {}{}, {stop}{}{waits}: {}",
                    job.at.boat,
                    job.title,
                    on.unwrap_or_default(),
                    job.grade,
                    job.action
                ),
            );
        }
    }
}

fn due(page: &mut Page, sum: &Weeks) {
    head(page, "DUE BY WEEK", &sum.over);
    for week in &sum.rows {
        one_week(page, week);
    }
    let mut more = vec![
        (sum.later, "later"),
        (sum.unknown_age, "of unknown age, for the first season"),
        (sum.undated, "without a day"),
    ];
    more.retain(|(n, _)| *n > 0);
    if sum.rows.is_empty() {
        page.line("  Nothing is due on a day of the coming weeks.");
    }
    if !more.is_empty() {
        let more = more.iter().map(|(n, what)| format!("{n} {what}"));
        page.hang(
            "  ",
            format!("Beside: {}", more.collect::<Vec<_>>().join("; ")),
        );
    }
}

fn one_week(page: &mut Page, week: &Week) {
    let title = match week.week {
        None => "now or overdue".to_owned(),
        Some(monday) => format!("week of {monday}"),
    };
    page.line(format!("  {title}: {}", week.rows.len()));
    for row in &week.rows {
        let about = if row.about { "≈" } else { "" };
        let date = row.due_date.map(|date| format!("{about}{date} "));
        let on = row.machine.as_ref().map(|m| format!(" ({m})"));
        page.hang(
            "    - ",
            format!(
                "{}{}: {}{}",
                date.unwrap_or_default(),
                row.at.boat,
                row.title,
                on.unwrap_or_default()
            ),
        );
    }
}

fn failing(page: &mut Page, sum: &Failing) {
    head(page, "WHAT FAILS MOST", &sum.over);
    if sum.rows.is_empty() {
        page.line(format!(
            "  Nothing was found failing or failed; {} items were looked at.",
            sum.never
        ));
        return;
    }
    let columns = [
        ("found", Set::Right),
        ("looks", Set::Right),
        ("years", Set::Right),
        ("a year", Set::Right),
        ("90 % range", Set::Right),
        ("on", Set::Right),
        ("item", Set::Wrap),
    ];
    let shown = sum.rows.iter().take(MOST_FAILING).map(|row| {
        let range = row.per_year_range;
        let range = range.map(|[low, high]| format!("{low:.2}-{high:.2}"));
        let found = row.found_on.iter();
        let found = found.map(|at| format!("{} {}", at.at.boat, at.findings));
        let cells = vec![
            row.findings.to_string(),
            row.looks.to_string(),
            format!("{:.1}", row.years),
            row.per_year
                .map_or_else(|| "-".to_owned(), |r| format!("{r:.2}")),
            range.unwrap_or_else(|| "-".to_owned()),
            format!("{}/{}", row.found_on.len(), row.watched_on),
            row.title.clone(),
        ];
        (cells, vec![found.collect::<Vec<_>>().join(", ")])
    });
    let shown: Vec<(Vec<String>, Vec<String>)> = shown.collect();
    page.table_with_notes(&columns, &shown, "        ");
    let more = sum.rows.len().saturating_sub(MOST_FAILING);
    let more = if more > 0 {
        format!("{more} more were found failing; ")
    } else {
        String::new()
    };
    page.paragraph(format!(
        "{more}{} items were looked at and never found failing or failed. A finding is one until it was put right; years count each machine from its first look. The order is by the lower end of the range. Who looks more finds more.",
        sum.never
    ));
}

fn rates(page: &mut Page, sum: &Rates) {
    head(page, "HOW LONG THINGS STAY ON A RUNG, POOLED", &sum.over);
    if sum.rows.is_empty() {
        page.line("  No look has taught anything yet.");
        return;
    }
    let columns = [
        ("kind", Set::Left),
        ("rung", Set::Left),
        ("on", Set::Right),
        ("moves", Set::Right),
        ("hours", Set::Right),
        ("judged", Set::Right),
        ("pooled", Set::Right),
        ("90 % range", Set::Right),
        ("", Set::Wrap),
    ];
    let mut family: Option<Role> = None;
    let mut lines: Vec<Vec<String>> = Vec::new();
    for row in &sum.rows {
        if family.is_some_and(|f| f != row.family) {
            table(page, family.map_or("", |f| f.as_str()), &columns, &lines);
            lines.clear();
        }
        family = Some(row.family);
        lines.push(cells(row));
    }
    table(page, family.map_or("", |f| f.as_str()), &columns, &lines);
    page.paragraph(
        "Hours are wear hours. Each boat's own dwell is drawn towards that of all, the more the less was seen of her (--json has them). The range is that of a boat not known, as if what boats differ by were known for sure. A boat begins from it only where somebody says so aboard her: fleet --rates FILE, then learning start FILE.",
    );
}

fn table(page: &mut Page, family: &str, columns: &[(&str, Set)], lines: &[Vec<String>]) {
    page.line(format!("  boats whose first machine is: {family}"));
    page.table(columns, lines);
}

fn cells(row: &RateSum) -> Vec<String> {
    let pooled = match (row.dwell, row.longer_than) {
        (Some(dwell), _) => format!("{dwell:.0} h"),
        (None, Some(longer)) => format!("> {longer:.0} h"),
        (None, None) => "-".to_owned(),
    };
    let range = row.range.map(|[low, high]| format!("{low:.0}-{high:.0} h"));
    let word = Grade::ALL.get(row.rung).map_or("", |grade| grade.as_str());
    vec![
        row.kind.to_string(),
        word.to_owned(),
        so_many(row.boats.len()),
        row.moves.to_string(),
        format!("{:.0}", row.hours),
        format!("{:.0} h", row.judgement),
        pooled,
        range.unwrap_or_else(|| "-".to_owned()),
        row.said.clone(),
    ]
}
