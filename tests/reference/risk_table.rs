//! MIL-STD-882E w/Change 1 (27 Sep 2023): Table III (4.3.3), Table A-II (Appendix A), and wrong
//! copies of them in circulation.

use handlamp::assess::risk::code;
use handlamp::assess::{Level, Risk, Severity};

use Risk::{Eliminated as X, High as H, Low as L, Medium as M, Serious as S};

/// Table III, rows A to F, columns 1 to 4.
const TABLE_III: [[Risk; 4]; 6] = [
    [H, H, S, M],
    [H, H, S, M],
    [H, S, M, L],
    [S, M, M, L],
    [M, M, M, L],
    [X, X, X, X],
];

fn table() -> [[Risk; 4]; 6] {
    let row = |i: usize| Severity::ALL.map(|severity| Risk::of(severity, Level::ALL[i]));
    [row(0), row(1), row(2), row(3), row(4), row(5)]
}

#[test]
fn all_24_cells_of_table_iii() {
    assert_eq!(table(), TABLE_III);
}

#[test]
fn counts_of_table_iii() {
    let count = |risk| table().iter().flatten().filter(|r| **r == risk).count();
    assert_eq!([H, S, M, L, X].map(count), [5, 4, 8, 3, 4]);
}

#[test]
fn one_step_worse_in_severity_or_level_never_lowers_the_risk() {
    for (row, level) in Level::ALL.iter().enumerate() {
        for (column, severity) in Severity::ALL.iter().enumerate() {
            let here = Risk::of(*severity, *level);
            if column > 0 {
                assert!(Risk::of(Severity::ALL[column - 1], *level) <= here);
            }
            if row > 0 {
                assert!(Risk::of(*severity, Level::ALL[row - 1]) <= here);
            }
        }
    }
}

/// 882E 4.3.3.c: "1A" is catastrophic and frequent.
#[test]
fn codes_are_severity_digit_then_level_letter() {
    assert_eq!(code(Severity::Catastrophic, Level::A), "1A");
    assert_eq!(code(Severity::Negligible, Level::E), "4E");
}

/// Table A-II gives the lower edges as included; data alone never gives F (4.3.3.b).
#[test]
fn band_edges_of_table_a_ii() {
    let cases = [
        (1.0, Level::A),
        (0.1, Level::A),
        (0.0999999, Level::B),
        (0.01, Level::B),
        (0.001, Level::C),
        (0.000999, Level::D),
        (1e-6, Level::D),
        (9.9e-7, Level::E),
        (0.0, Level::E),
    ];
    for (chance, level) in cases {
        assert_eq!(Level::of_chance(chance), level, "{chance}");
    }
}

/// A transcription in circulation has 2B serious, 1C serious, 1D medium, 1E low and 3D low.
#[test]
fn a_copy_with_five_wrong_cells_is_not_this_table() {
    let wrong = [
        (Severity::Critical, Level::B, S, H),
        (Severity::Catastrophic, Level::C, S, H),
        (Severity::Catastrophic, Level::D, M, S),
        (Severity::Catastrophic, Level::E, L, M),
        (Severity::Marginal, Level::D, L, M),
    ];
    for (severity, level, copied, printed) in wrong {
        assert_ne!(Risk::of(severity, level), copied);
        assert_eq!(Risk::of(severity, level), printed);
    }
}

/// Another has 3E low; the standard prints medium.
#[test]
fn a_copy_with_3e_low_is_not_this_table() {
    assert_eq!(Risk::of(Severity::Marginal, Level::E), M);
}

/// The superseded MIL-STD-882D (Feb 2000) wrote its bands "greater than"; 882E includes the edge.
#[test]
fn the_bands_are_not_those_of_the_superseded_edition() {
    let edges = [
        (1e-1, Level::B),
        (1e-2, Level::C),
        (1e-3, Level::D),
        (1e-6, Level::E),
    ];
    for (edge, as_in_882d) in edges {
        assert_ne!(Level::of_chance(edge), as_in_882d);
        assert_eq!(Level::of_chance(edge.next_down()), as_in_882d);
    }
}
