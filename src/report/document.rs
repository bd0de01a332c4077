//! The page of a survey as a document: front page, a plain answer, numbered findings with what was
//! observed apart from what is thought of it, recommendations by class, what was not seen, what limits
//! it, and an appendix with codes and figures. The page is `pages/document.html`.

use std::borrow::Cow;

use askama::Template;
use askama::filters::Safe;

use super::answer::{self, Answer};
use super::blocks::{Block, Column, Table};
use super::class::Class;
use super::content::{DefectPart, LookPart, Report};
use super::definitions::{self, Term};
use super::frame::{self, Framed, Shown, framed};
use super::front::{self, Group};
use super::ladder::Ladder;
use super::lines::Facts;
use super::parts::{Recommendation, RevisionPart};
use super::scope::Scope;
use super::sections;
use super::wording::CLOSING;
use super::words::{Said, Words, say};
use super::{lines, places, proof, trial};
use crate::checklist::Closing;
use crate::walk::FrontFact;
use crate::walk::front::OilLine;

/// Whether a report is written as a document: it was issued, or its walk closes with survey.
pub(super) fn is_one(report: &Report) -> bool {
    let closes = report.walk.as_ref().and_then(|walk| walk.closes_with);
    report.issued.is_some() || closes == Some(Closing::Survey)
}

/// The page.
pub(super) fn html(report: &Report) -> String {
    let w = report.language.words();
    let day = report.issued.as_ref().map_or(report.as_of, |i| i.at);
    let day = w.date(day.date_naive());
    let boat = report.boat.as_str();
    let (title, foot) = match &report.issued {
        Some(issued) => (
            say!(
                w,
                "doc-title-issued",
                boat = boat,
                number = issued.number.as_str(),
                revision = issued.revision.as_str(),
                day = day
            ),
            say!(
                w,
                "doc-foot-issued",
                boat = boat,
                number = issued.number.as_str(),
                revision = issued.revision.as_str()
            ),
        ),
        None => (
            say!(w, "doc-title", boat = boat, day = day),
            say!(w, "doc-foot-draft", boat = boat),
        ),
    };
    let document = Document {
        running: frame::running(report, &foot),
        answer: Answer::of(report),
        scope: Scope::of(report),
        findings: report.defects.iter().map(|d| finding(report, d)).collect(),
        told: sections::told_whom(report).map(|part| framed("told", part)),
        more: more(report),
        said: said(report),
        title: title.into_owned(),
        lang: report.language.as_str(),
        w,
        report,
    };
    document.to_string()
}

#[derive(Template)]
#[template(path = "document.html")]
struct Document<'a> {
    report: &'a Report,
    title: String,
    lang: &'static str,
    running: Safe<String>,
    w: Words,
    answer: Answer,
    scope: Scope<'a>,
    findings: Vec<Finding<'a>>,
    /// Whom it was told.
    told: Option<Framed<'a>>,
    /// Costs where they are to be in it, the sea trial, what may be behind the findings.
    more: Vec<Framed<'a>>,
    /// What the seller said.
    said: Table,
}

/// A finding as it stands on the page.
struct Finding<'a> {
    part: &'a DefectPart,
    class: Option<Class>,
    /// Number of its recommendation.
    recommendation: Option<usize>,
    observed: Facts,
    opinion: Facts,
    photos: Vec<Shown<'a>>,
}

fn finding<'a>(report: &'a Report, part: &'a DefectPart) -> Finding<'a> {
    let rank = part.row.rank;
    let mut advice = report.recommendations.iter();
    let advice = advice.find(|r| r.rank == Some(rank));
    let photos = part.observed.as_ref();
    Finding {
        class: advice.and_then(|r| r.class),
        recommendation: advice.map(|r| r.number),
        observed: observed(report, part),
        opinion: opinion(report, part),
        photos: photos.map_or_else(Vec::new, |look| {
            frame::shown(report, look, Some(&part.row.rank))
        }),
        part,
    }
}

/// What was observed and in which state of the engine; photographs that the page shows stand beside it,
/// the seller's words in a table of their own.
fn observed(report: &Report, part: &DefectPart) -> Facts {
    let Some(look) = &part.observed else {
        return Vec::new();
    };
    let w = report.language.words();
    let gone = |kept: &Option<String>| {
        let kept = kept.as_ref();
        !kept.is_some_and(|kept| report.pictures.contains_key(kept))
    };
    let own = LookPart {
        photos: look
            .photos
            .iter()
            .filter(|p| gone(&p.kept))
            .cloned()
            .collect(),
        said: None,
        ..look.clone()
    };
    let mut facts = lines::observation(w, &own);
    let state = look.state.map(|state| {
        let word = w.say(&format!("engine-{}", state.as_str()));
        (w.say("doc-engine-state"), word.into())
    });
    let place = facts.len().min(2);
    facts.splice(place..place, state);
    facts
}

/// What is thought of it, and on what that rests.
fn opinion(report: &Report, part: &DefectPart) -> Facts {
    let w = report.language.words();
    let row = &part.row;
    let certain = match part.observed.as_ref().map(|look| look.grade) {
        Some(Some(grade)) if grade >= row.grade => "doc-seen",
        Some(None) => "doc-not-known",
        _ => "doc-inferred",
    };
    let since = w.date(row.opened.date_naive());
    let mut facts: Facts = vec![(w.say("doc-certainty"), w.say(certain).into())];
    let rule = row.stop_rule.as_ref().or(row.care.as_ref());
    facts.extend(rule.map(|rule| (w.say("doc-rule"), w.english(rule))));
    facts.push((w.say("doc-may-follow"), w.word(row.effect).into()));
    facts.push((
        w.say("doc-since"),
        format!("{since}, {}", w.word(row.state)).into(),
    ));
    let deferred = row.deferred.as_ref();
    facts.extend(deferred.map(|d| (w.say("doc-deferred"), Said::people(&d.why))));
    facts
}

/// What stands behind the recommendations and other forms of a report have as well.
fn more(report: &Report) -> Vec<Framed<'_>> {
    let w = report.language.words();
    let wanted = report.issued.as_ref().is_none_or(|issued| issued.costs);
    let costs = sections::costs(report).filter(|_| wanted);
    let trial = report.trial.as_ref().map(|t| trial::section(w, t));
    let found = [
        costs.map(|part| framed("costs", part)),
        trial.map(|part| framed("trial", part)),
        sections::behind(report).map(|part| framed("behind", part)),
    ];
    found.into_iter().flatten().collect()
}

fn said(report: &Report) -> Table {
    let rows = report.looks.iter();
    let rows =
        rows.filter_map(|look| Some(vec![look.title.clone(), Said::people(look.said.as_ref()?)]));
    let head = ["doc-told-item", "doc-told-words"].map(Column::kept);
    Table::new(report.language.words(), &head, rows.collect())
}

impl<'a> Document<'a> {
    /// Id and heading of each section that the page has, in its order.
    fn contents(&self) -> Vec<(&str, Cow<'static, str>)> {
        let own = |id, name: &str| Some((id, self.w.say(name)));
        let has = |there: bool, id, name| own(id, name).filter(|_| there);
        fn part<'p>(part: &'p Framed<'_>) -> Option<(&'p str, Cow<'static, str>)> {
            Some((part.id.as_str(), part.title.clone()))
        }
        let r = self.report;
        let mut all = vec![
            own("answer", "doc-answer"),
            own("particulars", "doc-particulars"),
        ];
        all.extend(self.told.iter().map(part));
        all.extend([
            own("scope", "doc-scope"),
            own("findings", "doc-findings"),
            has(!r.places.is_empty(), "plan", "doc-plan"),
            own("recommendations", "doc-recommendations"),
        ]);
        all.extend(self.more.iter().map(part));
        all.extend([
            has(r.front.oil().next().is_some(), "oil", "doc-oil"),
            has(!self.said.rows.is_empty(), "said", "doc-told"),
            own("unseen", "doc-unseen"),
            own("definitions", "doc-definitions"),
            own("limits", "doc-limits"),
            own("revisions", "doc-revisions"),
            own("signature", "doc-signature"),
            own("appendix", "doc-appendix"),
        ]);
        all.into_iter().flatten().collect()
    }

    fn not_counted(&self) -> Option<Framed<'a>> {
        sections::not_counted(self.report).map(|part| framed("not-counted", part))
    }

    fn agreed(&self) -> Vec<Said> {
        let found = self.report.agreed.as_ref();
        let found = found.map(|part| sections::agreed(self.w, part));
        let points = found.into_iter().flat_map(|part| part.blocks);
        let points = points.filter_map(|block| match block {
            Block::Points(points) => Some(points),
            _ => None,
        });
        points.flatten().collect()
    }

    /// The groups of the front page.
    fn groups(&self) -> Vec<Group> {
        front::groups(self.report)
    }

    /// The recommendations of each class, and last those that would close gaps.
    fn by_class(&self) -> Vec<(Option<Class>, Vec<&'a Recommendation>)> {
        let classes = Class::ALL.iter().map(|class| Some(*class)).chain([None]);
        let found = classes.map(|class| {
            let rows = self.report.recommendations.iter();
            (class, rows.filter(|r| r.class == class).collect::<Vec<_>>())
        });
        found.filter(|(_, rows)| !rows.is_empty()).collect()
    }

    /// A class in words, its letter before it.
    fn class(&self, class: &Class) -> Cow<'static, str> {
        answer::class(self.w, *class)
    }

    fn class_means(&self, class: &Option<Class>) -> Cow<'static, str> {
        match class {
            Some(class) => self.w.say(&format!("class-{}-means", class.as_str())),
            None => self.w.say("class-gaps-means"),
        }
    }

    /// What to mind when doing what a recommendation says.
    fn cautions(&self, advice: &Recommendation) -> &'a [Said] {
        let mut defects = self.report.defects.iter();
        let found = defects.find(|d| Some(d.row.rank) == advice.rank);
        found.map_or(&[], |d| &d.cautions)
    }

    /// What was entered of oil samples: figures beside the laboratory's own limits, and all else as it
    /// was written.
    fn oil(&self) -> (Vec<&'a str>, Table) {
        let (mut words, mut rows) = (Vec::new(), Vec::new());
        for line in self.report.front.oil() {
            match line {
                OilLine::Words(line) => words.push(line),
                OilLine::Figure { what, value, limit } => {
                    let limit = limit.map(Said::people);
                    let limit = limit.unwrap_or_else(|| self.w.say("doc-oil-no-limit").into());
                    rows.push(vec![Said::people(what), Said::people(value), limit]);
                }
            }
        }
        let head = ["doc-oil-what", "doc-oil-value", "doc-oil-limit"].map(Column::kept);
        (words, Table::new(self.w, &head, rows))
    }

    fn unseen(&self) -> Table {
        let rows = self.report.not_seen.iter();
        let rows = rows.map(|unseen| lines::not_seen(self.w, unseen)).collect();
        Table::new(self.w, &lines::NOT_SEEN_HEAD, rows)
    }

    fn definitions(&self) -> Vec<Term> {
        definitions::terms(self.w)
    }

    /// A revision or addendum, as it is called.
    fn revision(&self, part: &RevisionPart) -> Cow<'static, str> {
        let revision = part.revision.as_str();
        match part.addendum {
            true => say!(self.w, "doc-revision-kind", revision = revision),
            false => say!(self.w, "doc-revision-plain", revision = revision),
        }
    }

    /// Where a finding is, and its rung.
    fn place(&self, part: &DefectPart) -> Said {
        let row = &part.row;
        let mut place = lines::place(&part.station_title, row.machine.as_deref());
        place.push(" · ");
        place.push(self.w.rung(row.grade));
        place
    }

    /// That a recommendation has a number.
    fn see(&self, number: &usize) -> Cow<'static, str> {
        say!(self.w, "doc-see-recommendation", n = *number as i64)
    }

    /// What a list of the scope has at a station.
    fn listed(&self, titles: &[&Said]) -> Said {
        Said::join(titles.iter().map(|title| (*title).clone()), "; ")
    }

    /// That she was run over a stop, and why.
    fn in_spite(&self) -> Option<Said> {
        let spite = self.report.walk.as_ref()?.run_in_spite_of.as_ref()?;
        Some(lines::in_spite(self.w, spite).sentence())
    }

    /// How much was not looked at.
    fn not_looked(&self) -> Cow<'static, str> {
        let n = self.report.not_seen.len() as i64;
        say!(self.w, "doc-not-looked-says", n = n)
    }

    /// What was entered of a fact; nothing where it is a line to write on.
    fn entered(&self, fact: FrontFact) -> &'a str {
        self.report.front.get(fact).unwrap_or_default()
    }

    /// Codes and figures of each finding.
    fn risks(&self) -> Table {
        let rows = self.report.defects.iter().map(|d| {
            let row = &d.row;
            let mut finding = Said::from(format!("{} ", row.rank));
            finding.push(&d.title);
            let mut why = self.w.english(&*row.why);
            why.push(format!(" ({})", self.w.percent(row.chance)));
            let code = row.code.as_str().into();
            vec![finding, code, self.w.word(row.risk).into(), why]
        });
        let head = [
            "doc-rec-finding",
            "doc-risk-code",
            "doc-risk-word",
            "doc-risk-why",
        ];
        Table::new(self.w, &head.map(Column::kept), rows.collect())
    }

    /// Ladders of findings; none where one walk alone is issued, which tells of one day.
    fn ladders(&self) -> Vec<Ladder<'a>> {
        let issued = self.report.issued.as_ref();
        let alone = issued.is_some_and(|issued| issued.walks.len() < 2);
        let told = self.report.defects.iter().filter(|_| !alone);
        told.filter_map(|d| Ladder::of(d, self.w)).collect()
    }

    /// What else the appendix has.
    fn appendix(&self) -> Vec<Framed<'a>> {
        let r = self.report;
        let coverage = r.coverage.as_ref().map(|c| sections::coverage(r, c));
        let more = [coverage, sections::readings(r), sections::work(r)];
        let parts = more.into_iter().flatten().chain(sections::appendix(r));
        let named = parts.enumerate();
        named
            .map(|(n, part)| framed(format!("part-{n}"), part))
            .collect()
    }
}
