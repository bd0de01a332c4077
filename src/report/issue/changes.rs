//! The numbers of findings, and what is different from what was issued before, reckoned from what is kept
//! of it.

use std::collections::HashMap;

use super::kept::{Content, Finding};
use crate::defects::Subject;
use crate::logbook::replace::hex;
use crate::report::content::Report;
use crate::report::front;
use crate::report::parts::WithdrawnPart;
use crate::report::words::{Language, say};
use crate::text::capital;
use crate::walk::FrontFact;
use crate::walk::front::FrontGroup;

/// Gives each finding of a report its number: the one it was issued under, or the next that none had. What
/// names findings by their place names them by that from here on. `known` are those issued before, and
/// `highest` the highest number that any ever had. The findings, and the highest number now.
pub(super) fn number(
    report: &mut Report,
    known: &[Finding],
    mut highest: usize,
) -> (Vec<Finding>, usize) {
    let known: HashMap<(&str, Option<&str>), usize> = known
        .iter()
        .map(|f| ((f.item.as_str(), f.machine.as_deref()), f.number))
        .collect();
    let mut numbers: HashMap<usize, usize> = HashMap::new();
    let mut findings = Vec::new();
    for defect in &mut report.defects {
        let row = &mut defect.row;
        let key = (row.item.as_str(), row.machine.as_deref());
        let number = known.get(&key).copied().unwrap_or_else(|| {
            highest += 1;
            highest
        });
        numbers.insert(row.rank, number);
        row.rank = number;
        let observed = serde_json::to_vec(&defect.observed).unwrap_or_default();
        findings.push(Finding {
            number,
            item: row.item.clone(),
            machine: row.machine.clone(),
            title: defect.title.to_string(),
            grade: row.grade,
            stop: row.stop,
            observed: hex(&observed),
        });
    }
    let anew = |rank: &mut usize| {
        if let Some(number) = numbers.get(rank) {
            *rank = *number;
        }
    };
    let summary = &mut report.summary;
    summary.top.iter_mut().for_each(anew);
    summary.tell_today.iter_mut().for_each(anew);
    let named = report.recommendations.iter_mut();
    named.filter_map(|row| row.rank.as_mut()).for_each(anew);
    let named = report.places.iter_mut();
    named.filter_map(|place| place.rank.as_mut()).for_each(anew);
    let costs = report.costs.iter_mut().flat_map(|costs| &mut costs.rows);
    costs.for_each(|part| anew(&mut part.row.rank));
    (findings, highest)
}

/// What is different from what was issued before.
pub(super) struct Changes<'a> {
    added: Vec<&'a Finding>,
    gone: Vec<&'a Finding>,
    rung: Vec<(&'a Finding, &'a Finding)>,
    words: Vec<&'a Finding>,
    front: Vec<FrontFact>,
    /// It is written in another language, so that no words are held against each other.
    translated: bool,
}

impl<'a> Changes<'a> {
    /// From what was issued to what is found now.
    pub(super) fn of(before: &'a Content, findings: &'a [Finding], report: &Report) -> Changes<'a> {
        let mut changes = Changes {
            added: Vec::new(),
            gone: Vec::new(),
            rung: Vec::new(),
            words: Vec::new(),
            front: before.front_differs(&report.front),
            translated: before.language != report.language,
        };
        for now in findings {
            match before.findings.iter().find(|was| was.number == now.number) {
                None => changes.added.push(now),
                Some(was) if (was.grade, was.stop) != (now.grade, now.stop) => {
                    changes.rung.push((was, now));
                }
                Some(was) if was.observed != now.observed && !changes.translated => {
                    changes.words.push(now);
                }
                Some(_) => {}
            }
        }
        let stays = |was: &&Finding| findings.iter().any(|now| now.number == was.number);
        let gone = before.findings.iter().filter(|was| !stays(was));
        changes.gone = gone.collect();
        changes
    }

    /// Whether no finding is another.
    pub(super) fn leaves_findings(&self) -> bool {
        self.added.is_empty()
            && self.gone.is_empty()
            && self.rung.is_empty()
            && self.words.is_empty()
    }

    /// What is different, a sentence each.
    pub(super) fn sentences(&self, language: Language) -> Vec<String> {
        let w = language.words();
        let number = |finding: &Finding| i64::try_from(finding.number).unwrap_or(i64::MAX);
        let mut said = Vec::new();
        said.extend(self.translated.then(|| w.say("issue-translated")));
        for f in &self.added {
            let (n, title) = (number(f), f.title.as_str());
            let rung = f.grade.rung();
            said.push(say!(
                w,
                "issue-added",
                number = n,
                title = title,
                rung = rung
            ));
        }
        for f in &self.gone {
            said.push(say!(
                w,
                "issue-gone",
                number = number(f),
                title = f.title.as_str()
            ));
        }
        for (was, now) in &self.rung {
            let (n, title) = (number(now), now.title.as_str());
            let (was, rung) = (was.grade.rung(), now.grade.rung());
            said.push(match was == rung {
                true => say!(w, "issue-stop-changed", number = n, title = title),
                false => say!(
                    w,
                    "issue-rung",
                    number = n,
                    title = title,
                    was = was,
                    rung = rung
                ),
            });
        }
        for f in &self.words {
            said.push(say!(
                w,
                "issue-words",
                number = number(f),
                title = f.title.as_str()
            ));
        }
        said.extend(self.front_sentence(language).map(Into::into));
        if said.is_empty() {
            said.push(say!(w, "issue-nothing"));
        }
        said.into_iter().map(|said| said.into_owned()).collect()
    }

    /// Which entries of the front matter are others; none where none is.
    pub(super) fn front_sentence(&self, language: Language) -> Option<String> {
        let w = language.words();
        let of = |group: &FrontGroup| {
            let own = self.front.iter().filter(|fact| fact.group() == *group);
            let own: Vec<_> = own.map(|fact| front::name(*fact, w)).collect();
            (!own.is_empty()).then(|| format!("{}: {}", front::title(*group, w), own.join(", ")))
        };
        let names = FrontGroup::ALL.iter().filter_map(of).collect::<Vec<_>>();
        let names = names.join("; ");
        (!names.is_empty()).then(|| say!(w, "issue-front", entries = names).into_owned())
    }

    /// The findings that are no more, with why: as whoever took the look back said, or as said at issue.
    pub(super) fn withdrawn(
        &self,
        why: &str,
        taken_back: impl Fn(&str) -> Option<String>,
    ) -> Vec<WithdrawnPart> {
        let part = |f: &&Finding| WithdrawnPart {
            number: f.number,
            item: f.item.clone(),
            title: capital(&f.title),
            why: taken_back(&f.item).unwrap_or_else(|| why.to_owned()),
        };
        self.gone.iter().map(part).collect()
    }
}

/// Findings that another walk closes: it has looked at them, and they are none any more.
pub(super) fn closed(before: &Content, report: &Report, still_open: &[Finding]) -> Vec<usize> {
    let walked = report.walk.as_ref().map(|walk| walk.machine.as_str());
    let looked = |f: &&Finding| {
        let here = f.machine.is_none() || f.machine.as_deref() == walked;
        let graded =
            |look: &crate::report::content::LookPart| look.item == f.item && look.grade.is_some();
        here && report.looks.iter().any(graded)
    };
    let subject = |f: &Finding| Subject {
        item: f.item.clone(),
        machine: f.machine.clone(),
    };
    let open = |f: &Finding| still_open.iter().any(|now| subject(now) == subject(f));
    let closed = before.findings.iter().filter(looked).filter(|f| !open(f));
    closed.map(|f| f.number).collect()
}
