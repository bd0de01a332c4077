//! Where things are, as drawings: from above and from the side. A finding has its number and name at the
//! edge, led to its place by a line that crosses none; what was seen and sound is a ring, what nobody saw is
//! hatched. All of it reads in black and white.

use std::borrow::Cow;

use askama::Template;
use askama::filters::Safe;

use super::content::{PlacePart, Report};
use super::words::{Said, Words, told};
use crate::arrangement::leaders::leaders;
use crate::arrangement::{Arrangement, Box3, View, Window};
use crate::boat::Point;
use crate::text::width;

/// Width of a drawing, and of the labels on either side.
const WIDTH: f64 = 840.0;
const LABELS: f64 = 215.0;
/// The least height of a drawing.
const HEIGHT: f64 = 300.0;
/// Height of a label.
const LABEL: f64 = 15.0;
/// Above the drawing, for what lies which way.
const TOP: f64 = 24.0;
/// Columns and height of what is written on a box, a letter so wide at the most.
const ON_BOX: (f64, f64) = (4.6, 12.0);
/// Letters of a label, and of the word of a rung behind it, for which there is room besides.
const LETTERS: usize = 25;
const RUNG: usize = 7;

/// A drawing; `pages/places.svg`.
#[derive(Template)]
#[template(path = "places.svg")]
pub(super) struct Drawing<'a> {
    w: Words,
    view: View,
    height: f64,
    boxes: Vec<Boxed>,
    findings: Vec<Finding<'a>>,
    /// What is no finding: where, and whether it was seen.
    others: Vec<(f64, f64, bool)>,
}

struct Boxed {
    title: Said,
    x: f64,
    y: f64,
    width: f64,
    height: f64,
}

struct Finding<'a> {
    part: &'a PlacePart,
    rank: usize,
    label: Said,
    left: bool,
    at: (f64, f64),
    y: f64,
}

impl Finding<'_> {
    /// Where its label begins or ends, and its line begins.
    fn edge(&self) -> (f64, f64) {
        match self.left {
            true => (LABELS - 8.0, LABELS - 4.0),
            false => (WIDTH - LABELS + 8.0, WIDTH - LABELS + 4.0),
        }
    }
}

impl Drawing<'_> {
    /// What it is, for whoever does not see it.
    pub(super) fn label(&self) -> Said {
        told!(self.w, "places-label", view = self.seen_from())
    }

    /// From where one looks.
    fn seen_from(&self) -> Cow<'static, str> {
        self.w.say(match self.view {
            View::Above => "view-above",
            View::Side => "view-side",
        })
    }

    /// Id of what hatches in this drawing.
    fn hatch(&self) -> &'static str {
        match self.view {
            View::Above => "hatch-above",
            View::Side => "hatch-side",
        }
    }
}

/// Both drawings of a report, from above and from the side.
pub(super) fn drawings(report: &Report) -> [Safe<Drawing<'_>>; 2] {
    View::ALL.map(|view| Safe(drawing(report, view)))
}

fn drawing(report: &Report, view: View) -> Drawing<'_> {
    let w = report.language.words();
    let arrangement = arrangement(report);
    let window = Window::on(&arrangement, view);
    let findings: Vec<(&PlacePart, usize)> = report
        .places
        .iter()
        .filter_map(|place| Some((place, place.rank?)))
        .collect();
    let height = HEIGHT.max(findings.len().div_ceil(2) as f64 * LABEL);
    let at = |point: Point| {
        let (right, down) = window.share(point);
        (LABELS + right * (WIDTH - 2.0 * LABELS), TOP + down * height)
    };
    let boxes = report.boxes.iter().map(|found| boxed(w, found, at));
    let mut boxes: Vec<Boxed> = boxes.collect();
    write_apart(&mut boxes);
    let places: Vec<(f64, f64)> = findings
        .iter()
        .map(|(place, _)| {
            let (x, y) = at(place.at);
            (x, y - TOP)
        })
        .collect();
    let led = leaders(&places, (LABELS, WIDTH - LABELS), height, LABEL);
    let findings = findings.into_iter().zip(places).zip(led);
    Drawing {
        w,
        view,
        height: TOP + height + 6.0,
        boxes,
        findings: findings
            .map(|(((part, rank), (x, y)), led)| Finding {
                label: part.title.fit(letters(w, part)),
                left: led.left,
                at: (x, y + TOP),
                y: led.label + TOP,
                part,
                rank,
            })
            .collect(),
        others: report
            .places
            .iter()
            .filter(|place| place.rank.is_none())
            .map(|place| {
                let (x, y) = at(place.at);
                (x, y, place.grade.is_some())
            })
            .collect(),
    }
}

/// Letters that a label has for its name: fewer where the word of its rung is a long one.
fn letters(w: Words, part: &PlacePart) -> usize {
    let rung = part.grade.map_or(0, |grade| width(&w.word(grade)));
    LETTERS.saturating_sub(rung.saturating_sub(RUNG))
}

/// The places and boxes of a report, as they are drawn.
fn arrangement(report: &Report) -> Arrangement {
    let places = report.places.iter().map(PlacePart::place);
    Arrangement {
        places: places.collect(),
        boxes: report.boxes.clone(),
    }
}

fn boxed(w: Words, found: &Box3, at: impl Fn(Point) -> (f64, f64)) -> Boxed {
    let (a, b) = (at(found.from), at(found.to));
    Boxed {
        title: match found.thing {
            Some(_) => Said::people(&found.title),
            None => w.english(&*found.title),
        },
        x: a.0.min(b.0),
        y: a.1.min(b.1),
        width: (a.0 - b.0).abs(),
        height: (a.1 - b.1).abs(),
    }
}

/// Leaves what is written off a box that is too small for it, or where it would stand on another's.
fn write_apart(boxes: &mut [Boxed]) {
    let mut written: Vec<(f64, f64, f64)> = Vec::new();
    for found in boxes {
        let wide = width(&found.title) as f64 * ON_BOX.0;
        let clear = |(x, y, other): &(f64, f64, f64)| {
            let beside = found.x + wide < *x || *x + other < found.x;
            beside || (found.y - y).abs() > ON_BOX.1
        };
        if wide + 3.0 > found.width || found.height < ON_BOX.1 || !written.iter().all(clear) {
            found.title = Said::default();
        } else {
            written.push((found.x, found.y, wide));
        }
    }
}
