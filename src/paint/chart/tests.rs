use proptest::prelude::*;

use super::*;
use crate::paint::theme::tests::{ASCII, PLAIN};

fn band(grade: Grade, from: Option<f64>, to: Option<f64>) -> Band {
    Band { grade, from, to }
}

fn battery() -> [Band; 4] {
    [
        band(Grade::Sound, Some(12.6), None),
        band(Grade::Early, Some(12.4), Some(12.6)),
        band(Grade::Worn, Some(12.2), Some(12.4)),
        band(Grade::Failing, Some(10.8), Some(12.2)),
    ]
}

fn falling() -> Vec<Dot> {
    (0..14)
        .filter(|n| !(6..=8).contains(n))
        .map(|n| {
            let y = 12.78 - 0.03 * f64::from(n) + if n % 3 == 0 { 0.02 } else { 0.0 };
            Dot {
                x: 1000.0 + f64::from(n) * 10.0,
                y,
                grade: if y >= 12.6 {
                    Grade::Sound
                } else {
                    Grade::Early
                },
                stray: n == 4,
            }
        })
        .collect()
}

fn drawn(theme: &Theme, columns: usize, rows: usize) -> String {
    let (dots, bands) = (falling(), battery());
    let ticks: Vec<_> = round_ticks(1000.0, 1160.0, 4)
        .into_iter()
        .map(|x| (x, format!("{x} h")))
        .collect();
    let chart = Chart {
        dots: &dots,
        bands: &bands,
        line: Some([(1000.0, 12.79), (1160.0, 12.31)]),
        crossing: Some((1130.0, 12.4)),
        fan: [
            Some([(1130.0, 12.41), (1135.0, 12.4)]),
            Some([(1130.0, 12.41), (1160.0, 12.4)]),
        ],
        restarts: &[(1040.0, "R")],
        top_ups: &[TopUp {
            x: 1090.0,
            rise: Some((12.5, 12.6)),
        }],
        pauses: &[(1050.0, 1090.0)],
        span: (1000.0, 1160.0),
        ticks: &ticks,
        ..Chart::default()
    };
    chart
        .drawn(columns, rows, theme)
        .lines
        .iter()
        .map(|l| l.to_string().trim_end().to_owned() + "\n")
        .collect()
}

#[test]
fn a_falling_battery_is_drawn() {
    let all = [
        drawn(&PLAIN, 76, 14),
        drawn(&PLAIN, 40, 10),
        drawn(&ASCII, 76, 14),
    ];
    insta::assert_snapshot!(all.join("\n"));
}

#[test]
fn one_reading_and_equal_readings_have_a_scale() {
    for dots in [
        vec![(5.0, 40.0)],
        vec![(5.0, 40.0), (9.0, 40.0)],
        vec![(5.0, 0.0), (5.0, 0.0)],
    ] {
        let dots: Vec<Dot> = dots
            .into_iter()
            .map(|(x, y)| Dot {
                x,
                y,
                grade: Grade::Sound,
                stray: false,
            })
            .collect();
        let chart = Chart {
            dots: &dots,
            span: (5.0, 9.0),
            ..Chart::default()
        };
        let lines = chart.drawn(60, 8, &PLAIN).lines;
        let text: String = lines.iter().map(|l| l.to_string() + "\n").collect();
        assert!(text.contains('0'), "{text}");
        assert!(text.matches('┼').count() >= 2, "{text}");
    }
}

proptest! {
    #[test]
    fn it_keeps_its_columns_and_lines(
        values in prop::collection::vec((0.0..500.0f64, -1e6..1e6f64), 0..40),
        columns in 0usize..150,
        height in 0usize..50,
        cursor in prop::option::of(0usize..40),
    ) {
        let dots: Vec<Dot> = values
            .iter()
            .map(|(x, y)| Dot { x: *x, y: *y, grade: Grade::Worn, stray: false })
            .collect();
        let bands = battery();
        let ticks = [(0.0, "0 h".to_owned()), (490.0, "490 h".to_owned())];
        let chart = Chart {
            dots: &dots,
            bands: &bands,
            line: Some([(0.0, -5.0), (500.0, 5.0)]),
            restarts: &[(100.0, "S")],
            top_ups: &[TopUp { x: 200.0, rise: Some((-9.0, 3.0)) }],
            pauses: &[(-10.0, 20.0), (100.0, 300.0)],
            cursor,
            span: (0.0, 500.0),
            ticks: &ticks,
            ..Chart::default()
        };
        for theme in [PLAIN, ASCII] {
            let lines = chart.drawn(columns, height, &theme).lines;
            prop_assert_eq!(lines.len(), height);
            for line in lines {
                let line = line.to_string();
                prop_assert!(width(&line) <= columns);
                prop_assert!(theme == PLAIN || line.is_ascii(), "{line}");
            }
        }
    }
}

proptest! {
    #[test]
    fn each_reading_stands_in_one_cell_where_it_is_in_sight(
        values in prop::collection::vec((0.0..500.0f64, -50.0..50.0f64), 1..60),
        from in 0.0..400.0f64,
        wide in 0.0..200.0f64,
    ) {
        let mut dots: Vec<Dot> = values
            .iter()
            .map(|(x, y)| Dot { x: *x, y: *y, grade: Grade::Early, stray: false })
            .collect();
        dots.sort_by(|a, b| a.x.total_cmp(&b.x));
        let span = (from, from + wide);
        let chart = Chart { dots: &dots, span, ..Chart::default() };
        let field = Field::new(60, 12, span, chart.range());
        for (dot, cell) in dots.iter().zip(chart.cells(&field)) {
            let is_seen = (span.0..=span.1).contains(&dot.x);
            prop_assert_eq!(cell.is_some(), is_seen, "{} in {:?}", dot.x, span);
            if let Some((column, row)) = cell {
                prop_assert!(column < 60 && row < 12);
            }
        }
        // There are digits where there are readings in sight, and nowhere else.
        let mut cells: Vec<_> = chart.cells(&field).into_iter().flatten().collect();
        cells.sort_unstable();
        cells.dedup();
        let drawn = chart.drawn(76, 14, &PLAIN);
        let plot = drawn.lines.iter().take(12).map(ToString::to_string);
        let plot = plot.filter_map(|l| Some(l.split_once(['│', '┼'])?.1.to_owned()));
        let digits: usize = plot.map(|l| l.matches('1').count()).sum();
        prop_assert!(digits <= dots.len());
        prop_assert_eq!(digits == 0, cells.is_empty());
    }
}

/// A reading for each value, an hour apart.
fn hourly(values: &[(f64, Grade)]) -> Vec<Dot> {
    let values = values.iter().enumerate();
    let dots = values.map(|(n, (y, grade))| Dot {
        x: n as f64,
        y: *y,
        grade: *grade,
        stray: false,
    });
    dots.collect()
}

/// What stands in the plot: the lines between the axis and the words at the right.
fn plot(drawn: &Drawn, rows: usize) -> Vec<String> {
    let lines = drawn.lines.iter().take(rows).map(ToString::to_string);
    let cut = |l: String| {
        l.split_once(['│', '┼'])
            .map(|(_, plot)| plot.chars().take(60).collect())
    };
    lines.filter_map(cut).collect()
}

#[test]
fn where_readings_crowd_sound_ones_are_points_and_worse_ones_stay_digits() {
    let mut values = vec![(12.7, Grade::Sound); 200];
    values[77] = (12.5, Grade::Early);
    // Sound by its value, and yet seen worse: the digit is needed.
    values[120] = (12.7, Grade::Worn);
    let (dots, bands) = (hourly(&values), battery());
    let chart = Chart {
        dots: &dots,
        bands: &bands,
        span: (0.0, 199.0),
        ..Chart::default()
    };
    let drawn = chart.drawn(76, 14, &PLAIN);
    assert!(drawn.fine);
    let all = plot(&drawn, 12).concat();
    let count = |of: char| all.chars().filter(|c| *c == of).count();
    assert_eq!((count('1'), count('2')), (1, 1), "{all}");
    assert_eq!(count('0'), 2, "the first and the last: {all}");
    let points = all
        .chars()
        .filter(|c| ('\u{2801}'..='\u{28ff}').contains(c));
    assert!(points.count() > 50, "{all}");
    // With room for each, and in plain signs, every one is a digit.
    let few = Chart {
        span: (100.0, 110.0),
        ..chart.clone()
    };
    let drawn = few.drawn(76, 14, &PLAIN);
    assert!(!drawn.fine);
    assert_eq!(plot(&drawn, 12).concat().matches('0').count(), 11);
    assert!(!chart.drawn(76, 14, &ASCII).fine);
}

#[test]
fn a_region_is_shaded_by_the_rung_its_values_mean() {
    let (dots, bands) = (
        hourly(&[(12.7, Grade::Sound), (11.9, Grade::Failing)]),
        battery(),
    );
    let chart = Chart {
        dots: &dots,
        bands: &bands,
        span: (-100.0, 200.0),
        ..Chart::default()
    };
    let height = 26;
    let drawn = chart.drawn(76, height, &PLAIN);
    let range = chart.range();
    let field = Field::new(60, height - 2, chart.span, range);
    let mut seen = std::collections::BTreeMap::new();
    for (row, line) in plot(&drawn, height - 2).iter().enumerate() {
        let dots = line.chars().filter(|c| *c == '·').count();
        let here = field.scale.middle(row);
        let rung = bands
            .iter()
            .find(|b| b.from.is_none_or(|from| here >= from) && b.to.is_none_or(|to| here < to));
        let is_limit = line.contains('┄');
        if let Some(band) = rung.filter(|_| !is_limit) {
            seen.entry(band.grade).or_insert_with(Vec::new).push(dots);
        }
    }
    let most = |grade| {
        seen.get(&grade)
            .and_then(|rows: &Vec<usize>| rows.iter().max())
            .copied()
    };
    let [sound, early, worn, failing] =
        [Grade::Sound, Grade::Early, Grade::Worn, Grade::Failing].map(|g| most(g).expect("rows"));
    assert_eq!(sound, 0);
    assert!(
        0 < early && early < worn && worn < failing,
        "{early} {worn} {failing}"
    );
}

#[test]
fn a_reading_at_a_limit_lies_in_the_band_that_begins_there() {
    let bands = battery();
    let chart = Chart {
        bands: &bands,
        ..Chart::default()
    };
    for (value, grade) in [
        (12.6, Some(Grade::Sound)),
        (12.599, Some(Grade::Early)),
        (12.4, Some(Grade::Early)),
        (12.2, Some(Grade::Worn)),
        (10.8, Some(Grade::Failing)),
        (10.799, None),
    ] {
        assert_eq!(chart.rung_at(value), grade, "{value}");
    }
}

#[test]
fn the_worst_of_a_cell_stands_and_the_cursor_names_the_others() {
    let mut dots = hourly(&[
        (12.5, Grade::Early),
        (12.5, Grade::Worn),
        (12.5, Grade::Sound),
    ]);
    for dot in &mut dots {
        dot.x = 5.0;
    }
    let chart = Chart {
        dots: &dots,
        cursor: Some(0),
        span: (0.0, 10.0),
        ..Chart::default()
    };
    let drawn = chart.drawn(60, 10, &PLAIN);
    assert_eq!(drawn.beside, [1, 2]);
    let (column, row) = drawn.cursor.expect("a place");
    let sign = |drawn: &Drawn, row: usize| drawn.lines[row].to_string().chars().nth(column);
    assert_eq!(sign(&drawn, row), Some('2'));
    assert_eq!(sign(&drawn, 8), Some('▴'));
    // Without the cursor too, and a stray stands only where nothing else does.
    let plain = Chart {
        cursor: None,
        ..chart.clone()
    };
    assert_eq!(sign(&plain.drawn(60, 10, &PLAIN), row), Some('2'));
    let mut strays = dots.clone();
    strays[1].stray = true;
    let told = |dots: &[Dot]| {
        sign(
            &Chart {
                dots,
                ..plain.clone()
            }
            .drawn(60, 10, &PLAIN),
            row,
        )
    };
    assert_eq!(told(&strays), Some('1'));
    strays.iter_mut().for_each(|dot| dot.stray = true);
    assert_eq!(told(&strays), Some('◇'));
}

#[test]
fn a_pause_is_dotted_and_named_and_clipped_to_what_is_in_sight() {
    let dots = hourly(&[(1.0, Grade::Sound), (1.0, Grade::Sound)]);
    let axis = |span, pauses: &[(f64, f64)]| {
        let chart = Chart {
            dots: &dots,
            pauses,
            span,
            ..Chart::default()
        };
        let lines = chart.drawn(60, 8, &PLAIN).lines;
        lines[6].to_string()
    };
    let text = axis((0.0, 100.0), &[(20.0, 80.0)]);
    assert!(text.contains("┈ no reading ┈"), "{text}");
    assert!(text.ends_with('─'), "{text}");
    assert_eq!(
        axis((0.0, 100.0), &[(200.0, 300.0)]),
        axis((0.0, 100.0), &[])
    );
    let text = axis((50.0, 60.0), &[(20.0, 80.0)]);
    assert!(!text.contains('─'), "{text}");
    // Side by side, as when she was laid up and the meter stood.
    let text = axis((0.0, 100.0), &[(50.0, 50.0)]);
    assert!(text.contains("─┤├─"), "{text}");
}
