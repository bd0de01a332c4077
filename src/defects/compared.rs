//! Two walks beside each other: what each says of every item, and how far they agree.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::history::History;
use crate::assess::agreement::{kappa, rungs_apart, wilson};
use crate::boat::Measure;
use crate::checklist::Grade;
use crate::walk::{Walk, When};

/// What one walk says of an item. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Said {
    /// When it was looked at.
    pub at: DateTime<FixedOffset>,
    /// The rung that counted; null where it was not seen.
    pub grade: Option<Grade>,
    /// What was measured, with its unit; none where nothing was.
    pub reading: Option<Measure>,
}

/// An item in both walks, or in one. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ComparedRow {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// What the first says; null where it says nothing.
    pub a: Option<Said>,
    /// What the second says.
    pub b: Option<Said>,
    /// Rungs from the first to the second, above zero where the second is worse; null where either
    /// has no grade.
    pub rungs: Option<i8>,
    /// It was repaired or serviced, or a part of it was fitted, between the two looks.
    pub put_right: bool,
}

/// How far the grades agree, over items graded in both and not put right between them. Part of the
/// outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Agreement {
    /// Items it rests on.
    pub items: usize,
    /// Items with the same grade in both.
    pub same: usize,
    /// Their share, 0 to 1; null where there is no item.
    pub share: Option<f64>,
    /// Wilson's 95 % interval of the share.
    pub interval: Option<[f64; 2]>,
    /// Kappa with linear weights over the five rungs: 1 is full agreement, 0 what chance gives.
    pub kappa: Option<f64>,
    /// Why there is no kappa.
    pub no_kappa: Option<String>,
    /// Items graded in both that were put right between, and left out.
    pub put_right: usize,
}

/// Two walks beside each other.
#[derive(Clone, Debug)]
pub struct Compared {
    /// In the order of the catalogue.
    pub rows: Vec<ComparedRow>,
    /// How far the two agree over the items both have graded.
    pub agreement: Agreement,
}

impl Condition {
    /// Two walks of one machine beside each other.
    pub fn compared(&self, history: &History, a: &Walk, b: &Walk) -> Compared {
        let rows: Vec<ComparedRow> = self
            .library
            .catalogue
            .items()
            .iter()
            .filter_map(|item| {
                let subject = self.subject(&item.id, &a.machine);
                let mended = history.mended(&subject);
                let (a, b) = (said(a, &item.id, &mended), said(b, &item.id, &mended));
                if a.is_none() && b.is_none() {
                    return None;
                }
                let between = a.as_ref().zip(b.as_ref()).map(|(a, b)| {
                    let (from, to) = (a.at.min(b.at), a.at.max(b.at));
                    let mut done = history.done(&subject);
                    done.any(|(when, _)| (from..to).contains(&when.at))
                });
                let grades = a.as_ref().and_then(|a| a.grade);
                let grades = grades.zip(b.as_ref().and_then(|b| b.grade));
                Some(ComparedRow {
                    item: subject.item,
                    machine: subject.machine,
                    rungs: grades.map(|(a, b)| b.rung() as i8 - a.rung() as i8),
                    put_right: between.unwrap_or(false),
                    a,
                    b,
                })
            })
            .collect();
        Compared {
            agreement: Agreement::of(&rows),
            rows,
        }
    }
}

/// What a walk says of an item.
fn said(walk: &Walk, item: &str, mended: &[When]) -> Option<Said> {
    let reading = || walk.looks_at(item).rev().find_map(|t| t.look.reading);
    match walk.counted(item, mended) {
        Some((grade, timed)) => Some(Said {
            at: timed.at,
            grade: Some(grade),
            reading: timed.look.reading.or_else(reading),
        }),
        None => walk.looks_at(item).last().map(|timed| Said {
            at: timed.at,
            grade: None,
            reading: None,
        }),
    }
}

impl Agreement {
    fn of(rows: &[ComparedRow]) -> Agreement {
        let grade = |said: &Option<Said>| Some(said.as_ref()?.grade?.rung());
        let pair = |row: &ComparedRow| grade(&row.a).zip(grade(&row.b));
        let kept = rows.iter().filter(|row| !row.put_right);
        let pairs: Vec<(usize, usize)> = kept.filter_map(pair).collect();
        let both = rows.iter().filter_map(pair).count();
        let same = pairs.iter().filter(|(a, b)| a == b).count();
        let kappa = kappa(&pairs, rungs_apart);
        Agreement {
            items: pairs.len(),
            same,
            share: (!pairs.is_empty()).then(|| same as f64 / pairs.len() as f64),
            interval: wilson(same, pairs.len()).map(|(low, high)| [low, high]),
            no_kappa: kappa.as_ref().err().map(ToString::to_string),
            kappa: kappa.ok(),
            put_right: both - pairs.len(),
        }
    }
}

impl ComparedRow {
    /// True where the two walks say different things.
    pub fn differs(&self) -> bool {
        let (Some(a), Some(b)) = (&self.a, &self.b) else {
            return true;
        };
        a.grade != b.grade || a.reading != b.reading
    }
}
