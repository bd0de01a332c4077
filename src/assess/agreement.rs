//! How far two gradings of the same things agree.
//!
//! Weighted kappa is 1 − Σ w·observed / Σ w·expected, with w 0 where both say the same (Cohen,
//! 1968). On the ladder w is the number of rungs between the two, over all five rungs whether used
//! or not: one rung off is a small thing, four are not, and the distance between rungs does not
//! depend on which of them happen to occur.

/// Half the width of a 95 % interval, in standard deviations of the normal distribution.
const Z95: f64 = 1.959_963_984_540_054;

/// Why there is no kappa.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoKappa {
    /// Nothing was graded by both.
    #[error("nothing was graded in both")]
    NothingInCommon,
    /// One of the two used one grade alone, so that chance explains whatever agrees.
    #[error(
        "one of them gave everything the same grade, so that agreement and chance cannot be told apart"
    )]
    OneGradeOnly,
}

/// The distance between two rungs, as the ladder counts it.
pub fn rungs_apart(a: usize, b: usize) -> f64 {
    a.abs_diff(b) as f64
}

/// Weighted kappa of pairs of categories; `weight` is 0 for a category with itself.
///
/// # Errors
/// [`NoKappa`]: no pair, or one side of all pairs is the same.
pub fn kappa(
    pairs: &[(usize, usize)],
    weight: impl Fn(usize, usize) -> f64,
) -> Result<f64, NoKappa> {
    let Some(first) = pairs.first() else {
        return Err(NoKappa::NothingInCommon);
    };
    let one_grade = pairs.iter().all(|p| p.0 == first.0) || pairs.iter().all(|p| p.1 == first.1);
    if one_grade {
        return Err(NoKappa::OneGradeOnly);
    }
    let observed: f64 = pairs.iter().map(|(a, b)| weight(*a, *b)).sum();
    let expected: f64 = counts(pairs.iter().map(|p| p.0))
        .iter()
        .flat_map(|a| {
            counts(pairs.iter().map(|p| p.1))
                .into_iter()
                .map(move |b| (*a, b))
        })
        .map(|((a, n), (b, m))| weight(a, b) * n * m)
        .sum();
    Ok(1.0 - observed * pairs.len() as f64 / expected)
}

/// How often each category occurs.
fn counts(categories: impl Iterator<Item = usize>) -> Vec<(usize, f64)> {
    let mut counts: Vec<(usize, f64)> = Vec::new();
    for category in categories {
        match counts.iter_mut().find(|(known, _)| *known == category) {
            Some((_, n)) => *n += 1.0,
            None => counts.push((category, 1.0)),
        }
    }
    counts
}

/// Wilson's 95 % interval of a proportion, within 0 and 1 (E. B. Wilson, 1927); none of nothing.
pub fn wilson(hits: usize, of: usize) -> Option<(f64, f64)> {
    if of == 0 {
        return None;
    }
    let n = of as f64;
    let share = hits as f64 / n;
    let z2 = Z95 * Z95;
    let middle = (share + z2 / (2.0 * n)) / (1.0 + z2 / n);
    let spread = share * (1.0 - share) / n + z2 / (4.0 * n * n);
    let half = Z95 * spread.sqrt() / (1.0 + z2 / n);
    // At the ends rounding would step over.
    let low = if hits == 0 { 0.0 } else { middle - half };
    let high = if hits == of { 1.0 } else { middle + half };
    Some((low.max(0.0), high.min(1.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kappa_is_refused_where_it_says_nothing() {
        assert_eq!(kappa(&[], rungs_apart), Err(NoKappa::NothingInCommon));
        let same = [(0, 0), (0, 0)];
        assert_eq!(kappa(&same, rungs_apart), Err(NoKappa::OneGradeOnly));
        let one_side = [(0, 0), (0, 3)];
        assert_eq!(kappa(&one_side, rungs_apart), Err(NoKappa::OneGradeOnly));
    }

    #[test]
    fn full_agreement_is_one_and_the_order_of_the_two_does_not_matter() {
        let same = [(0, 0), (2, 2), (4, 4)];
        assert_eq!(kappa(&same, rungs_apart), Ok(1.0));
        let pairs = [(0, 1), (2, 2), (4, 1), (0, 0)];
        let turned = pairs.map(|(a, b)| (b, a));
        assert_eq!(kappa(&pairs, rungs_apart), kappa(&turned, rungs_apart));
    }

    #[test]
    fn nothing_has_no_interval() {
        assert_eq!(wilson(0, 0), None);
    }
}
