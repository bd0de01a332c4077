//! From records and condition to what a report says.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::advice::{Ahead, recommendations};
use super::content::{
    DefectPart, LookPart, NotSeenPart, Reason, Report, RiskCount, Summary, VerdictPart, WalkPart,
};
use super::extras::speeds;
use super::parts::CoveragePart;
use super::scribe::Scribe;
use super::wording;
use super::words::{Language, Said, told};
use crate::assess::words::Risk;
use crate::boat::Boat;
use crate::checklist::{Grade, Library};
use crate::defects::History;
use crate::defects::condition::Condition;
use crate::defects::list::{DefectList, Scenario, Stretch};
use crate::defects::verdict::gone;
use crate::defects::view::WalkView;
use crate::walk::{FrontMatter, Look, Outcome, TimedLook, Walk};

/// How many defects the summary names.
const TOP: usize = 5;

/// What a report is made from.
#[derive(Clone, Copy)]
pub struct Source<'a> {
    /// The boat that answers speak of.
    pub boat: &'a Boat,
    /// What can be looked at.
    pub library: &'a Arc<Library>,
    /// Every record that counts, in order.
    pub history: &'a History,
    /// The moment the report is made.
    pub now: DateTime<FixedOffset>,
}

impl Source<'_> {
    pub(super) fn condition(&self, history: &History, at: DateTime<FixedOffset>) -> Condition {
        Condition::of(self.boat, Arc::clone(self.library), history, at)
    }
}

/// The report of a walk: its defects as they stood at its end.
pub fn of_walk(source: &Source<'_>, walk: &Walk, language: Language) -> Report {
    let w = language.words();
    let view = WalkView::of(
        source.boat,
        source.library,
        source.history,
        walk,
        source.now,
    );
    let condition = &view.condition;
    let now = source.condition(source.history, source.now);
    let judged = view.judged(source.history, &now, walk);
    let list = condition.list_of(walk);
    let checklist = list.as_deref();
    let scribe = Scribe {
        condition,
        checklist,
        history: &view.history,
        later: source.history,
        w,
    };
    let asked: Vec<String> = view.plan.as_ref().map_or_else(Vec::new, |plan| {
        let mut asked: Vec<String> = Vec::new();
        for item in plan.spots().filter_map(|s| plan.item(s)) {
            if !asked.iter().any(|known| known == item) {
                asked.push(item.to_owned());
            }
        }
        asked
    });
    let coverage = view.coverage();
    let seen = coverage.as_ref().map_or((0, 0), |c| (c.seen, c.asked));
    let not_seen = judged
        .not_seen
        .iter()
        .map(|n| {
            let close_by = walk
                .looks_at(&n.item)
                .last()
                .and_then(|t| match &t.look.outcome {
                    Outcome::NotSeen { close_by, .. } => close_by.clone(),
                    Outcome::Graded(_) => None,
                });
            scribe.not_seen(&n.item, None, n.reason.as_ref().map(Said::people), close_by)
        })
        .collect();
    let beside = |t: &TimedLook| {
        let phase = t.look.phase.as_deref();
        let mut phases = view.plan.iter().flat_map(|p| &p.phases);
        let rows = &phases.find(|p| Some(p.id.as_str()) == phase)?.rows;
        let row = rows.iter().find(|r| r.items.contains(&t.look.item))?;
        let why = row.why.clone().filter(|_| row.beside)?;
        Some(w.english(why))
    };
    let looks = walk.looks.iter().map(|t| LookPart {
        joined: beside(t),
        ..scribe.look(t, None)
    });
    let looks: Vec<LookPart> = looks.collect();
    let verdict = judged.now.or(judged.at_walk).map(|_| VerdictPart {
        said: judged.said,
        said_differs: judged.said_differs,
        at_walk: judged.at_walk,
        now: judged.now,
        reasons: judged
            .reasons
            .into_iter()
            .map(|ground| Reason {
                title: scribe.title_where_any(&ground.item),
                ground,
            })
            .collect(),
        gone: gone(&now, walk),
    });
    let arrangement = scribe.arrangement();
    let graded = |item: &str| {
        let grades = walk.looks_at(item).filter_map(|t| t.look.grade());
        grades.max()
    };
    Report {
        machines: scribe.machines(Some(&walk.machine)),
        before_you_start: now.before_start(Some(&walk.machine)),
        // It tells the verdict of today too.
        not_counted: view.not_counted(now.not_counted()),
        walk: Some(WalkPart {
            id: walk.id.clone(),
            checklist: walk.checklist.clone(),
            closes_with: checklist.map(|c| c.closes_with),
            title: match checklist {
                Some(asked) => w.english(&*asked.title),
                None => Said::people(&walk.checklist),
            },
            purpose: checklist.map_or_else(Said::default, |c| w.english(&*c.purpose)),
            machine: walk.machine.clone(),
            run_in_spite_of: judged.run_in_spite_of,
            at: walk.at,
            finished: walk.finished,
            by: walk.by.clone(),
            hours: walk.hours.map(crate::boat::Hours::get),
            entered_after: walk.entered_after,
        }),
        verdict,
        scope: scribe.scope_of_walk(walk),
        stations: scribe.stations(&asked, graded),
        places: scribe.places(&arrangement, &view.list(), |subject| {
            let here = subject.machine.as_ref().is_none_or(|m| *m == walk.machine);
            let asked = here && asked.contains(&subject.item);
            asked.then(|| {
                walk.looks_at(&subject.item)
                    .filter_map(|t| t.look.grade())
                    .max()
            })
        }),
        boxes: arrangement.of_machine(&walk.machine).boxes,
        readings: walk
            .looks
            .iter()
            .filter_map(|t| scribe.reading(t, None))
            .collect(),
        coverage: coverage.map(CoveragePart::from),
        agreed: walk.agreed.clone(),
        front: walk.front.clone(),
        told: scribe.told(source, walk),
        trial: view.plan.as_ref().and_then(|plan| {
            let mut machines = now.boat.machines.iter();
            let machine = machines.find(|m| m.id == walk.machine);
            scribe.trial(plan, walk, machine.and_then(|m| m.rated_rpm))
        }),
        trends: scribe.trends(
            asked
                .iter()
                .filter(|item| walk.looks_at(item).any(|t| t.look.reading.is_some()))
                .map(|item| condition.subject(item, &walk.machine)),
        ),
        ..scribe.report(
            source.now,
            view.list(),
            seen,
            not_seen,
            looks,
            Some(&walk.machine),
        )
    }
}

/// The report of the whole logbook as of now.
pub fn of_now(source: &Source<'_>, language: Language) -> Report {
    let w = language.words();
    let condition = source.condition(source.history, source.now);
    let scribe = Scribe {
        condition: &condition,
        checklist: None,
        history: source.history,
        later: source.history,
        w,
    };
    let mut asked = Vec::new();
    let mut grades: HashMap<&str, Grade> = HashMap::new();
    let (mut seen, mut subjects) = (0, 0);
    let mut not_seen = Vec::new();
    let mut looks = Vec::new();
    for (subject, life) in &condition.lives {
        if life.status.removed {
            continue;
        }
        subjects += 1;
        if !asked.contains(&subject.item) {
            asked.push(subject.item.clone());
        }
        match life.status.grade {
            Some(grade) => {
                seen += 1;
                let worst = grades.entry(&subject.item).or_insert(grade);
                *worst = (*worst).max(grade);
            }
            None => not_seen.push(scribe.not_seen(
                &subject.item,
                subject.machine.as_deref(),
                Some(w.say("not-graded").into()),
                None,
            )),
        }
        looks.extend(
            life.status
                .look
                .as_ref()
                .map(|t| scribe.look(t, subject.machine.as_deref())),
        );
    }
    let readings = condition
        .lives
        .iter()
        .filter_map(|(subject, life)| {
            scribe.reading(life.status.look.as_ref()?, subject.machine.as_deref())
        })
        .collect();
    let (exposure, waters) = condition.usual_plan();
    let list = condition.list(Scenario::new(exposure, waters), false);
    let arrangement = scribe.arrangement();
    Report {
        machines: scribe.machines(None),
        before_you_start: condition.before_start(None),
        walk: None,
        verdict: None,
        scope: vec![told!(
            w,
            "scope-logbook",
            at = w.moment(source.now),
            n = source.history.walks.len()
        )],
        stations: scribe.stations(&asked, |item| grades.get(item).copied()),
        places: scribe.places(&arrangement, &list, |subject| {
            let status = condition.lives.get(subject).map(|life| &life.status);
            // What is sound by a former owner's word alone nobody has seen.
            let seen = status.filter(|status| !status.is_sound_as_told());
            Some(seen.and_then(|status| status.counted()))
        }),
        boxes: arrangement.boxes,
        readings,
        trends: scribe.trends(condition.lives.keys().cloned()),
        ..scribe.report(source.now, list, (seen, subjects), not_seen, looks, None)
    }
}

impl Scribe<'_> {
    /// What every report has. Fields of its own are set by the caller.
    fn report(
        &self,
        made_at: DateTime<FixedOffset>,
        list: DefectList,
        (seen, asked): (usize, usize),
        not_seen: Vec<NotSeenPart>,
        looks: Vec<LookPart>,
        machine: Option<&str>,
    ) -> Report {
        let Scenario {
            exposure, waters, ..
        } = list.scenario;
        let costs = self.costs(&list);
        let defects: Vec<DefectPart> = list
            .rows
            .into_iter()
            .map(|row| {
                let subject = row.subject();
                let life = self.condition.lives.get(&subject);
                DefectPart {
                    title: self.title(&row.item),
                    station_title: self.station_title(&row.station),
                    observed: life
                        .and_then(|l| l.status.look.as_ref())
                        .map(|t| self.look(t, None)),
                    cautions: self.condition.item(&subject).map_or_else(Vec::new, |i| {
                        i.cautions.iter().map(|c| self.w.english(&**c)).collect()
                    }),
                    remedy: self.w.english(&*row.remedy.action),
                    in_time: self
                        .condition
                        .ladder_in_time(self.history, &subject, waters),
                    row,
                }
            })
            .collect();
        let count = |risk: Risk| defects.iter().filter(|d| d.row.risk == risk).count();
        let summary = Summary {
            seen,
            asked,
            by_risk: [Risk::High, Risk::Serious, Risk::Medium, Risk::Low]
                .map(|risk| RiskCount {
                    risk,
                    count: count(risk),
                })
                .into(),
            top: defects.iter().take(TOP).map(|d| d.row.rank).collect(),
            tell_today: defects
                .iter()
                .filter(|d| d.row.stop)
                .map(|d| d.row.rank)
                .collect(),
        };
        let sentences = |of: &[&str]| of.iter().map(|name| self.w.say(name).into()).collect();
        let mut limitations: Vec<Said> = sentences(&wording::LIMITATIONS);
        if self.w.language() != Language::English {
            limitations.push(self.w.say("limits-english").into());
        }
        Report {
            boat: self.condition.boat.name.clone(),
            waters,
            language: self.w.language(),
            issued: None,
            front: FrontMatter::default(),
            machines: Vec::new(),
            made_at,
            as_of: self.condition.now,
            walk: None,
            verdict: None,
            before_you_start: Vec::new(),
            before_leaving: None,
            not_counted: self.condition.not_counted(),
            exposure: Stretch {
                hours: exposure.hours,
                days: exposure.days,
                wear_hours: exposure.wear(0.0),
            },
            summary,
            recommendations: recommendations(
                self.w,
                &defects,
                &not_seen,
                Ahead {
                    exposure,
                    from: self.condition.now,
                },
            ),
            coverage: None,
            costs,
            scope: Vec::new(),
            limitations,
            not_seen,
            defects,
            stations: Vec::new(),
            places: Vec::new(),
            boxes: Vec::new(),
            readings: Vec::new(),
            trends: Vec::new(),
            speeds: speeds(self.w, &looks),
            trial: None,
            behind: self.behind(machine),
            services: self.services(machine),
            due: self.due(machine),
            looks,
            method: sentences(&wording::METHOD),
            cautions: sentences(&wording::CAUTIONS),
            seal: None,
            agreed: None,
            told: Vec::new(),
            pictures: BTreeMap::new(),
            units: self.condition.boat.units,
        }
    }

    /// What a walk did and asked.
    fn scope_of_walk(&self, walk: &Walk) -> Vec<Said> {
        let w = self.w;
        let mut scope = vec![w.say("scope-looked").into()];
        let seen = |id: &str| {
            let mut looks = walk.looks.iter();
            looks.any(|t| t.look.phase.as_deref() == Some(id))
        };
        let phases = self.checklist.iter().flat_map(|c| &c.phases);
        let phases = phases.filter(|p| seen(&p.id)).map(|p| {
            let title = w.english(&*p.title);
            told!(w, "scope-part", part = title, state = w.word(p.state))
        });
        let phases: Vec<Said> = phases.collect();
        if !phases.is_empty() {
            scope.push(told!(w, "scope-parts", parts = Said::join(phases, "; ")));
        }
        let count = |what: &dyn Fn(&Look) -> usize| -> usize {
            walk.looks.iter().map(|t| what(&t.look)).sum()
        };
        scope.push(told!(
            w,
            "scope-counts",
            looks = walk.looks.len(),
            readings = count(&|l| usize::from(l.reading.is_some())),
            photographs = count(&|l| l.photos.len())
        ));
        if walk.was_blind() {
            scope.push(w.say("scope-blind").into());
        }
        if walk.guest {
            scope.push(match &walk.by {
                Some(by) => told!(w, "scope-guest-named", who = Said::people(by)),
                None => w.say("scope-guest").into(),
            });
        }
        if walk.entered_after {
            scope.push(w.say("scope-after").into());
        }
        scope
    }
}
