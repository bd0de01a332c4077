//! A dipstick read in millimetres from one of its marks.

use super::units::{Measure, Unit};

/// Reads `+2 mm` and `-3 mm` as above and below the low mark, `high +2 mm` and `high -3 mm` as above
/// and below the high one, in per cent of the span between the marks, which are so many millimetres
/// apart; none where the text is nothing of the kind.
pub fn from_mark(text: &str, apart: Option<f64>) -> Option<Result<Measure, String>> {
    let text = text.trim().to_lowercase();
    let (mark, rest) = match (text.strip_prefix("high"), text.strip_prefix("low")) {
        (Some(rest), _) => (100.0, rest),
        (_, Some(rest)) => (0.0, rest),
        _ => (0.0, text.as_str()),
    };
    let rest = rest.trim_start();
    let figure = rest
        .strip_suffix("mm")
        .filter(|f| f.starts_with(['+', '-']))?;
    let figure: String = figure.split_whitespace().collect();
    let Ok(millimetres) = figure.replace(',', ".").parse::<f64>() else {
        return Some(Err(format!(
            "'{text}' has no number; type +2 mm above the low mark, or high -3 mm below the high one"
        )));
    };
    Some(of_the_span(mark, millimetres, apart))
}

/// As [`from_mark`] of a figure in millimetres above the low mark, below it where negative; none of a
/// figure in another unit.
pub fn above_low_mark(measure: Measure, apart: Option<f64>) -> Option<Result<Measure, String>> {
    let is_millimetres = measure.unit() == Unit::Millimetre;
    is_millimetres.then(|| of_the_span(0.0, measure.value(), apart))
}

/// So many millimetres above a mark, in per cent of the span between the marks.
fn of_the_span(mark: f64, millimetres: f64, apart: Option<f64>) -> Result<Measure, String> {
    let Some(apart) = apart.filter(|apart| *apart > 0.0) else {
        return Err(
            "how far the marks are apart is not known; set mm_between_marks of the machine in the boat's profile, or type 1/2 or per cent".to_owned(),
        );
    };
    Measure::new(mark + 100.0 * millimetres / apart, Unit::Percent)
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    /// Marks 20 mm apart: a millimetre is a twentieth (common arithmetic).
    #[test]
    fn millimetres_count_from_the_low_mark_unless_the_high_one_is_named() {
        for (text, percent) in [
            ("+2 mm", 10.0),
            ("-3 mm", -15.0),
            ("- 3mm", -15.0),
            ("low +10 mm", 50.0),
            ("high +2 mm", 110.0),
            ("High -3,5 mm", 82.5),
        ] {
            let read = from_mark(text, Some(20.0))
                .expect("from a mark")
                .expect("a figure");
            assert_eq!(
                (read.value(), read.unit()),
                (percent, Unit::Percent),
                "{text}"
            );
        }
    }

    #[test]
    fn other_texts_are_left_and_an_unknown_distance_is_said() {
        for text in ["1/2", "40", "40 %", "2 mm", "+5", "high"] {
            assert!(from_mark(text, Some(20.0)).is_none(), "{text}");
        }
        for (apart, text, expected) in [
            (None, "+2 mm", "set mm_between_marks"),
            (Some(20.0), "+x mm", "no number"),
            (Some(0.001), "+9e9 mm", "beyond"),
        ] {
            let refused = from_mark(text, apart)
                .expect("from a mark")
                .expect_err("refused");
            assert!(refused.contains(expected), "{refused}");
        }
    }
}
