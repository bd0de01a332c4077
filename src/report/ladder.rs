//! A defect in time as a drawing: its ladder on its side, every look the digit of its rung, what was
//! done as steps, and ahead how sure each worse rung is, the darker the surer.
//!
//! Colour carries nothing, and the same stands in words in its description and beneath it.

use std::collections::BTreeSet;

use askama::Template;
use askama::filters::Safe;
use chrono::{DateTime, FixedOffset};

use super::content::DefectPart;
use super::in_time::InTime;
use super::words::{Said, Words, told};
use crate::checklist::Grade;
use crate::defects::ladder_in_time::{Happened, LadderInTime, Mark};
use crate::defects::ladder_window::Window;

/// Width and height of the whole drawing, in its own units.
const SIZE: (f64, f64) = (720.0, 122.0);
/// The plot within it: left, top, right, bottom.
const PLOT: (f64, f64, f64, f64) = (64.0, 8.0, 712.0, 102.0);
/// Height of a rung, and of the row of letters beneath them.
const RUNG: f64 = 16.0;
/// Marks closer than this cover each other; of the same digit or letter one is then drawn.
const CELL: f64 = 7.0;
/// Labels on the axis take so much width.
const LABEL: f64 = 84.0;
/// So many of the latest notes, marks and deeds are told beneath it.
const LATEST: usize = 2;

/// A defect in time; `pages/ladder.svg`.
#[derive(Template)]
#[template(path = "ladder.svg")]
pub(super) struct Ladder<'a> {
    ladder: &'a LadderInTime,
    /// Its place in the list, by which its description is found.
    rank: usize,
    title: &'a Said,
    window: Window,
    w: Words,
}

/// A part of the drawing where a rung is so sure: from x to x, its top, how dark.
struct Shade {
    x: (f64, f64),
    y: f64,
    dark: f64,
}

impl<'a> Ladder<'a> {
    /// None where nobody graded it, so that there is nothing to draw.
    pub fn of(defect: &'a DefectPart, w: Words) -> Option<Ladder<'a>> {
        let ladder = defect.in_time.as_ref()?;
        ladder.stands?;
        Some(Ladder {
            ladder,
            rank: defect.row.rank,
            title: &defect.title,
            window: ladder.window(),
            w,
        })
    }

    /// Of what.
    pub fn title(&self) -> &'a Said {
        self.title
    }

    /// The drawing, for a page.
    pub fn drawing(&self) -> Safe<&Self> {
        Safe(self)
    }

    fn in_time(&self) -> InTime<'_> {
        InTime {
            ladder: self.ladder,
            w: self.w,
        }
    }

    /// The same in words, without the drawing.
    pub fn words(&self) -> Said {
        let told = self.in_time();
        let words = told.past().into_iter().chain(told.ahead());
        Said::join(words.chain([told.rests_on()]).chain(self.said()), " ")
    }

    /// What it shows in words, for whoever does not see it.
    fn described(&self) -> Said {
        let told = self.in_time();
        Said::join(told.past().into_iter().chain(told.ahead()), " ")
    }

    /// What is expected, and the latest of what was noted and done; what the drawing itself tells
    /// stands in its description.
    pub fn caption(&self) -> Said {
        let told = self.in_time();
        let ahead = told.next_and_last().into_iter();
        Said::join(ahead.chain([told.rests_on()]).chain(self.said()), " ")
    }

    /// The latest of what was noted and done.
    fn said(&self) -> Vec<Said> {
        let marks = self.ladder.marks.iter().rev();
        let said = marks.filter_map(|mark| self.in_time().mark(mark));
        said.take(LATEST).collect()
    }

    fn x(&self, at: DateTime<FixedOffset>) -> f64 {
        PLOT.0 + self.window.share_within(at) * (PLOT.2 - PLOT.0)
    }

    /// The middle of a rung.
    fn y(rung: usize) -> f64 {
        PLOT.1 + (rung as f64 + 0.5) * RUNG
    }

    /// What it is, for whoever does not see it.
    fn named(&self) -> Said {
        told!(self.w, "ladder-title", item = self.title)
    }

    /// The height of each rung's name.
    fn rungs(&self) -> impl Iterator<Item = (f64, String)> {
        let names = Grade::ALL.iter();
        names.map(|grade| (Self::y(grade.rung()) + 4.0, self.w.rung(*grade)))
    }

    fn now(&self) -> f64 {
        self.x(self.ladder.now)
    }

    /// The marks in the drawing, each with its place from the left.
    fn placed(&self) -> impl Iterator<Item = (f64, &'a Mark)> {
        let marks = self.ladder.marks.iter();
        marks.filter_map(|m| self.window.share(m.at).map(|_| (self.x(m.at), m)))
    }

    /// Looks: place, height, digit; of those that cover each other the first.
    fn looks(&self) -> Vec<(f64, f64, usize)> {
        let mut drawn = [f64::NEG_INFINITY; 5];
        let looks = self.placed().filter(|(_, mark)| mark.what.is_look());
        let looks = looks.filter_map(|(x, mark)| Some((x, mark.rung?.rung())));
        let new = looks.filter(|(x, rung)| {
            let clear = x - drawn[*rung] >= CELL;
            if clear {
                drawn[*rung] = *x;
            }
            clear
        });
        new.map(|(x, rung)| (x, Self::y(rung) + 4.0, rung))
            .collect()
    }

    /// Looks not made: a dot on each rung, since it may have stood on any.
    fn not_seen(&self) -> Vec<f64> {
        let mut drawn = BTreeSet::new();
        let asked = self
            .placed()
            .filter(|(_, mark)| mark.what == Happened::NotSeen);
        let new = asked.filter(|(x, _)| drawn.insert((x / CELL) as i64));
        new.map(|(x, _)| x).collect()
    }

    /// Heights of the five rungs.
    fn heights(&self) -> [f64; 5] {
        [0, 1, 2, 3, 4].map(Self::y)
    }

    /// The letters of what was noted and done, and where; of those that cover each other the one that
    /// tells the most.
    fn letters(&self) -> Vec<(f64, &'static str)> {
        let mut drawn: Vec<(f64, Happened)> = Vec::new();
        for (x, mark) in self.placed().filter(|(_, mark)| mark.what.sign().is_some()) {
            match drawn.last_mut().filter(|(last, _)| x - *last < CELL) {
                Some((_, what)) => *what = mark.what.max(*what),
                None => drawn.push((x, mark.what)),
            }
        }
        let signs = drawn.into_iter();
        signs
            .filter_map(|(x, what)| Some((x, what.sign()?)))
            .collect()
    }

    /// The rung that was known between looks, and on to now, as the path of a line.
    fn stays(&self) -> String {
        let mut path = String::new();
        let mut last: Option<(f64, Grade)> = None;
        let known = self
            .ladder
            .marks
            .iter()
            .filter_map(|m| Some((self.x(m.at), m.rung?)));
        for (x, rung) in known {
            if last.is_none_or(|(_, stood)| stood != rung) {
                if let Some((_, stood)) = last {
                    path += &format!(
                        "M{:.1} {:.1}H{x:.1}",
                        last.map_or(x, |l| l.0),
                        Self::y(stood.rung())
                    );
                }
                last = Some((x, rung));
            }
        }
        if let Some((x, stood)) = last {
            path += &format!("M{x:.1} {:.1}H{:.1}", Self::y(stood.rung()), self.now());
        }
        path
    }

    /// What was done: where, from which height to which, and whether it lasts.
    fn steps(&self) -> Vec<(f64, f64, f64, bool)> {
        let steps = self.ladder.deeds().into_iter();
        let drawn = steps.filter(|step| self.window.share(step.at).is_some());
        let height = |rung: Grade| Self::y(rung.rung());
        drawn
            .map(|s| (self.x(s.at), height(s.from), height(s.to), s.lasts))
            .collect()
    }

    /// Ahead on each worse rung, lightest first.
    fn shades(&self) -> Vec<Shade> {
        let mut shades = Vec::new();
        for ahead in &self.ladder.ahead {
            for met in &ahead.met {
                let Some(at) = met.at.filter(|at| *at <= self.window.to) else {
                    continue;
                };
                shades.push(Shade {
                    x: (self.x(at), PLOT.2 - self.x(at)),
                    y: Self::y(ahead.rung.rung()) - RUNG / 2.0 + 1.0,
                    dark: 0.15,
                });
            }
        }
        shades
    }

    /// By when it is to be looked at and put right: where, and the letter of it.
    fn limits(&self) -> Vec<(f64, &'static str)> {
        let limits = self.ladder.limits(&self.window).into_iter();
        limits
            .map(|limit| (self.x(limit.at), limit.letter))
            .collect()
    }

    /// Moments named on the axis: now, the ends, and others where there is room.
    fn ticks(&self) -> Vec<(f64, String)> {
        let Window { from, to } = self.window;
        let mut ticks = vec![(self.now(), self.w.say("now").into_owned())];
        for eighth in [0, 8, 4, 2, 6, 1, 3, 5, 7] {
            let at = from + (to - from) * eighth / 8;
            let x = self.x(at).min(SIZE.0 - LABEL * 0.4);
            if ticks.iter().all(|(other, _)| (other - x).abs() >= LABEL) {
                ticks.push((x, at.format("%Y-%m-%d").to_string()));
            }
        }
        ticks
    }
}
