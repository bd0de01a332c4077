//! The ladder of an item lying along time: rungs down, time along the foot, every look the digit of
//! its rung in its place, what was done as steps, and ahead of now how sure each worse rung is.

use chrono::{DateTime, FixedOffset};
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::checklist::Grade;
use crate::defects::ladder_in_time::{Happened, LadderInTime, Mark};
use crate::defects::ladder_window::{Limit, Window};
use crate::paint::field::{DIGITS, Field};
use crate::paint::theme::Theme;
use crate::paint::widgets;
use crate::text::pad;

/// Rows of the plot: the rungs, and the letters of what was noted and done.
const RUNGS: usize = 5;
const SIGNS: usize = RUNGS;
/// Columns of a rung's digit and word, and of the digit alone.
const WORD: usize = 10;
const DIGIT: usize = 2;
/// Fewer columns than this for the plot, and the words of the rungs give way.
const LEAST: usize = 40;
/// A label on the time axis takes so many columns with what parts it from the next.
const LABEL: usize = 16;

/// The picture with its key beneath, no line wider than `columns`; nothing where that is too narrow
/// for any. `said` is how many of the latest notes, marks and deeds are told in words below it.
pub fn ladder_in_time(
    ladder: &LadderInTime,
    columns: usize,
    said: usize,
    theme: &Theme,
) -> Vec<Line<'static>> {
    let gutter = if columns >= WORD + 1 + LEAST {
        WORD
    } else {
        DIGIT
    };
    let plot = columns.saturating_sub(gutter + 1);
    if plot < DIGITS.len() {
        return Vec::new();
    }
    let drawing = Drawing {
        ladder,
        window: ladder.window(),
        theme,
    };
    let field = drawing.field(plot);
    let mut lines: Vec<Line<'static>> = (0..=SIGNS)
        .map(|row| {
            let word = Grade::from_rung(row).map(|grade| match gutter {
                WORD => format!("{} {grade}", grade.rung()),
                _ => grade.rung().to_string(),
            });
            let word = pad(&word.unwrap_or_default(), gutter);
            let edge = theme.glyphs.pick("│", "|");
            let mut spans = vec![Span::styled(format!("{word}{edge}"), theme.quiet())];
            spans.extend(field.spans(row));
            Line::from(spans)
        })
        .collect();
    lines.extend(field.foot(gutter - 1, &drawing.ticks(plot), &[], theme));
    lines.extend(widgets::wrapped(&drawing.key(), columns, theme.quiet()));
    lines.extend(drawing.said(said, columns));
    lines
}

struct Drawing<'a> {
    ladder: &'a LadderInTime,
    window: Window,
    theme: &'a Theme,
}

impl Drawing<'_> {
    /// The signs in their places, the plainest first, so that what matters more stands over it.
    fn field(&self, plot: usize) -> Field {
        let mut field = Field::new(plot, RUNGS + 1, (0.0, 1.0), (0.0, 1.0));
        self.stays(&mut field);
        self.shades(&mut field);
        self.limits(&mut field);
        self.steps(&mut field);
        self.looks(&mut field);
        self.letters(&mut field);
        self.present(&mut field);
        field
    }

    /// The column of a moment; of one outside, that of the end it is nearest to.
    fn column(&self, field: &Field, at: DateTime<FixedOffset>) -> usize {
        field.column(self.window.share_within(at)).unwrap_or(0)
    }

    /// The marks within the drawing with their columns.
    fn placed<'f>(&'f self, field: &'f Field) -> impl Iterator<Item = (usize, &'f Mark)> {
        let marks = self.ladder.marks.iter();
        marks.filter_map(|mark| Some((field.column(self.window.share(mark.at)?)?, mark)))
    }

    /// The rung that was known, from each mark to the next and on to now.
    fn stays(&self, field: &mut Field) {
        let sign = self.theme.glyphs.pick("┄", "-");
        let now = self.column(field, self.ladder.now);
        let mut known: Option<(usize, Grade)> = None;
        let ends = self
            .ladder
            .marks
            .iter()
            .map(|m| (self.column(field, m.at), m.rung));
        let ends: Vec<_> = ends.chain([(now, None)]).collect();
        for (to, rung) in ends {
            if let Some((from, stood)) = known {
                for column in from..to {
                    field.put(column, stood.rung(), sign, self.theme.quiet());
                }
            }
            known = rung.map(|rung| (to, rung));
        }
    }

    /// Ahead: on each worse rung how sure it is that it, or a worse one, is met by then.
    fn shades(&self, field: &mut Field) {
        for ahead in &self.ladder.ahead {
            let from = ahead.met.map(|met| {
                let within = met.at.filter(|at| *at <= self.window.to);
                within.map(|at| self.column(field, at))
            });
            for column in from[0].unwrap_or(field.columns)..field.columns {
                let sure = from
                    .iter()
                    .flatten()
                    .filter(|from| **from <= column)
                    .count();
                let sign = self.theme.glyphs.sure(sure);
                field.put(column, ahead.rung.rung(), sign, self.theme.quiet());
            }
        }
    }

    /// Upright lines where it is to be looked at and to be put right, while that is ahead.
    fn limits(&self, field: &mut Field) {
        let sign = self.theme.glyphs.pick("┊", ":");
        for limit in self.ladder.limits(&self.window) {
            let column = self.column(field, limit.at);
            self.upright(field, (column, 0..=RUNGS - 1), sign, self.theme.mark());
            field.put(column, SIGNS, limit.letter, self.theme.mark());
        }
    }

    /// Steps: what was put right, and what was closed, from the rung before it to the one after.
    fn steps(&self, field: &mut Field) {
        let glyphs = self.theme.glyphs;
        for step in self.ladder.deeds() {
            let column = self.window.share(step.at).and_then(|at| field.column(at));
            let Some(column) = column else { continue };
            let (top, foot) = (step.from.min(step.to), step.from.max(step.to));
            let sign = match step.lasts {
                true => glyphs.pick("┃", "|"),
                false => glyphs.pick("╎", "!"),
            };
            let rows = top.rung()..=foot.rung();
            self.upright(field, (column, rows), sign, self.theme.saved());
            if step.lasts {
                field.put(column, step.to.rung(), glyphs.repair(), self.theme.saved());
            }
        }
    }

    /// Every look as its digit; one not made as a dot on each rung it may have stood on.
    fn looks(&self, field: &mut Field) {
        let mut last = None;
        let mut puts = Vec::new();
        for (column, mark) in self.placed(field) {
            let same = (column, mark.rung, mark.what.is_look());
            let is_shown = mark.what.is_look() || mark.what == Happened::NotSeen;
            if is_shown && last.replace(same) != Some(same) {
                puts.push((column, mark.what, mark.rung));
            }
        }
        let (digits, dots): (Vec<_>, Vec<_>) =
            puts.into_iter().partition(|(_, what, _)| what.is_look());
        for (column, ..) in dots {
            let dot = self.theme.glyphs.unseen();
            self.upright(field, (column, 0..=RUNGS - 1), dot, self.theme.quiet());
        }
        for (column, _, rung) in digits {
            if let Some(grade) = rung {
                field.put(
                    column,
                    grade.rung(),
                    DIGITS[grade.rung()],
                    self.theme.grade(grade),
                );
            }
        }
    }

    /// In the row beneath the rungs the letter of what says the most in each column.
    fn letters(&self, field: &mut Field) {
        let mut most: Vec<Option<Happened>> = vec![None; field.columns];
        for (column, mark) in self.placed(field) {
            if mark.what.sign().is_some() {
                most[column] = most[column].max(Some(mark.what));
            }
        }
        for (column, what) in most.into_iter().enumerate() {
            if let Some(sign) = what.and_then(Happened::sign) {
                field.put(column, SIGNS, sign, self.theme.text());
            }
        }
    }

    /// Now: the rung that counts, set off; no digit where nobody has looked since it was put right.
    fn present(&self, field: &mut Field) {
        let column = self.column(field, self.ladder.now);
        let sign = self.theme.glyphs.pick("│", "|");
        let stands = self.ladder.stands;
        for (row, digit) in DIGITS.into_iter().enumerate() {
            let (sign, style) = match stands.is_some_and(|grade| grade.rung() == row) {
                true if self.ladder.unconfirmed => {
                    (self.theme.glyphs.repair(), self.theme.selected())
                }
                true => (digit, self.theme.selected()),
                false => (sign, self.theme.quiet()),
            };
            field.put(column, row, sign, style);
        }
    }

    fn upright(
        &self,
        field: &mut Field,
        (column, rows): (usize, std::ops::RangeInclusive<usize>),
        sign: &str,
        style: Style,
    ) {
        for row in rows {
            field.put(column, row, sign, style);
        }
    }

    /// Moments named on the axis, the most needed first.
    fn ticks(&self, plot: usize) -> Vec<(f64, String)> {
        let Window { from, to } = self.window;
        let label = |share: f64| {
            let at = from + (to - from) * (share * 1000.0) as i32 / 1000;
            let format = if (to - from).num_days() > 120 {
                "%b %Y"
            } else {
                "%-d %b"
            };
            (share, at.format(format).to_string())
        };
        let now = (self.window.share_within(self.ladder.now), "now".to_owned());
        let between = (plot / LABEL).clamp(1, 8);
        let between = (1..between).map(|n| label(n as f64 / between as f64));
        [now, label(0.0), label(1.0)]
            .into_iter()
            .chain(between)
            .collect()
    }

    /// What stands for what, of that which is there.
    fn key(&self) -> String {
        let glyphs = self.theme.glyphs;
        let has = |of: fn(&Mark) -> bool| self.ladder.marks.iter().any(of);
        let mut told = Vec::new();
        if has(|m| m.what.is_look()) {
            told.push("digits: rung at each look".to_owned());
        }
        if has(|m| m.what == Happened::NotSeen) {
            told.push("dots: not seen".to_owned());
        }
        told.extend(self.ladder.key());
        if !self.ladder.ahead.is_empty() {
            let [may, likely, sure] = [1, 2, 3].map(|n| glyphs.sure(n));
            told.push(format!(
                "{may} may be met, {likely} likelier than not, {sure} all but sure (judgement)"
            ));
        }
        let limits = self.ladder.limits(&self.window).into_iter();
        told.extend(limits.map(|limit| {
            let Limit { letter, what, at } = limit;
            format!("{letter} {what} by {}", at.format("%-d %b %Y"))
        }));
        told.join(glyphs.pick(" · ", "; "))
    }

    /// The latest things that say something, in words, and why nothing is drawn ahead.
    fn said(&self, most: usize, columns: usize) -> Vec<Line<'static>> {
        let ladder = self.ladder;
        let style = self.theme.text();
        let said = ladder.marks.iter().rev();
        let said = said
            .filter_map(|mark| ladder.mark_in_words(mark))
            .take(most);
        let mut lines: Vec<Line<'static>> =
            said.map(|s| widgets::line(&s, columns, style)).collect();
        if ladder.ahead.is_empty() {
            lines.extend(widgets::wrapped(&ladder.rests_on, columns, style));
        }
        lines
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use chrono::Duration;
    use proptest::prelude::*;

    use super::*;
    use crate::assess::fan::CHANCES;
    use crate::defects::ladder_in_time::{Met, RungAhead};
    use crate::paint::theme::ThemeName;
    use crate::paint::theme::tests::{ASCII, PLAIN};
    use crate::text::width;

    fn day(n: i64) -> DateTime<FixedOffset> {
        let first = DateTime::parse_from_rfc3339("2026-05-01T12:00:00Z").expect("a time");
        first + Duration::days(n)
    }

    fn mark(on: i64, rung: usize, what: Happened) -> Mark {
        Mark {
            at: day(on),
            rung: Grade::from_rung(rung),
            what,
            says: String::new(),
            told: Vec::new(),
        }
    }

    fn told(marks: Vec<Mark>, now: i64, ahead: &[(usize, [i64; 3])]) -> LadderInTime {
        let met = |days: [i64; 3]| {
            [0, 1, 2].map(|n| Met {
                chance: CHANCES[n],
                wear_hours: Some(1.0),
                at: Some(day(days[n])),
            })
        };
        let rung = |(rung, days): &(usize, [i64; 3])| RungAhead {
            rung: Grade::from_rung(*rung).expect("a rung"),
            met: met(*days),
        };
        LadderInTime {
            now: day(now),
            stands: marks.last().and_then(|m| m.rung),
            ahead: ahead.iter().map(rung).collect(),
            rests_on: "Nothing is projected: it is a test.".to_owned(),
            unconfirmed: false,
            opened: None,
            fix_within: None,
            look_again_within: None,
            marks,
        }
    }

    /// Down to failing, mended, down to worn, patched; dots where nobody saw it.
    fn story() -> LadderInTime {
        use Happened::{Look, NotSeen, PutRight, Temporary, WearSeen};
        let steps = [
            (0, 0, Look),
            (10, 0, Look),
            (20, 1, WearSeen),
            (25, 1, NotSeen),
            (30, 3, Look),
            (40, 0, PutRight),
            (42, 0, Look),
            (60, 3, Look),
            (64, 2, Temporary),
        ];
        let marks = steps.map(|(on, rung, what)| mark(on, rung, what));
        told(marks.into(), 70, &[(3, [74, 90, 130]), (4, [80, 110, 160])])
    }

    fn drawn(ladder: &LadderInTime, columns: usize, theme: &Theme) -> String {
        let lines = ladder_in_time(ladder, columns, 2, theme).into_iter();
        lines
            .map(|line| line.to_string().trim_end().to_owned() + "\n")
            .collect()
    }

    #[test]
    fn it_falls_climbs_and_opens_ahead() {
        let all = [
            drawn(&story(), 100, &PLAIN),
            drawn(&story(), 56, &PLAIN),
            drawn(&story(), 56, &ASCII),
            drawn(&told(Vec::new(), 0, &[]), 56, &PLAIN),
        ];
        insta::assert_snapshot!(all.join("\n"));
    }

    #[test]
    fn a_repair_is_a_stroke_from_the_rung_before_up_to_sound() {
        let ladder = story();
        let text = drawn(&ladder, 100, &PLAIN);
        let column = |sign: char| {
            let row = text.lines().find(|l| l.contains(sign))?;
            row.chars().position(|c| c == sign)
        };
        let at = column('╱').expect("a step");
        let rows: Vec<char> = text
            .lines()
            .take(5)
            .filter_map(|l| l.chars().nth(at))
            .collect();
        assert_eq!(rows, ['╱', '┃', '┃', '┃', ' ']);
        assert_eq!(
            text.lines().nth(SIGNS).and_then(|l| l.chars().nth(at)),
            Some('R')
        );
    }

    #[test]
    fn colour_says_nothing_that_signs_do_not() {
        let words = |name| {
            let glyphs = PLAIN.glyphs;
            drawn(&story(), 80, &Theme { name, glyphs })
        };
        let plain = words(ThemeName::Plain);
        assert!(ThemeName::ALL.iter().all(|name| words(*name) == plain));
    }

    proptest! {
        #[test]
        fn it_is_no_wider_than_its_columns_and_ascii_where_asked(
            steps in prop::collection::vec((0_i64..60, 0_usize..5, 0_usize..10), 0..30),
            columns in 0_usize..160,
            ahead in 1_i64..2000,
        ) {
            use Happened::*;
            const ALL: [Happened; 10] = [
                Look, NotSeen, Noted, WearSeen, NotTaken, PutRight, Temporary, Withdrawn, TakenOut, GivenOn,
            ];
            let mut on = 0;
            let marks: Vec<Mark> = steps
                .iter()
                .map(|(gap, rung, what)| {
                    on += gap;
                    mark(on, *rung, ALL[*what])
                })
                .collect();
            let fan = [(4, [on + ahead, on + 2 * ahead, on + 3 * ahead])];
            let ladder = told(marks, on, &fan);
            for theme in [PLAIN, ASCII] {
                for line in ladder_in_time(&ladder, columns, 3, &theme) {
                    let line = line.to_string();
                    prop_assert!(width(&line) <= columns, "{columns}: {line:?}");
                }
                // What people said is made ASCII by the last pass over a frame.
                for line in ladder_in_time(&ladder, columns, 0, &theme) {
                    let line = line.to_string();
                    prop_assert!(theme == PLAIN || line.is_ascii(), "{line:?}");
                }
            }
        }
    }
}
