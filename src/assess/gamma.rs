//! The gamma distribution: what a rate may be after looks at a boat. The incomplete gamma function
//! by its series below the mean and by its continued fraction above it (NIST Digital Library of
//! Mathematical Functions, 8.11.4 and 8.9.2), the logarithm of gamma after Lanczos (1964).

/// Terms after which a sum is taken as it is; far more than any shape of a boat's life asks for.
const MOST_TERMS: u32 = 100_000;

/// What is left out of a sum, relative to it.
const LEFT_OUT: f64 = 1e-16;

/// The chance that a gamma variable of this shape (above zero) and rate 1 lies below `x`.
pub fn below(shape: f64, x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    let front = (shape * x.ln() - x - ln_gamma(shape)).exp();
    if x < shape + 1.0 {
        front * series(shape, x)
    } else {
        1.0 - front * fraction(shape, x)
    }
}

/// The point below which a gamma variable of this shape (above zero) and rate 1 lies with chance
/// `share`, between 0 and 1, by bisection.
pub fn quantile(shape: f64, share: f64) -> f64 {
    let mut low = 0.0;
    let mut high = shape + 1.0;
    while below(shape, high) < share && high < f64::MAX / 2.0 {
        low = high;
        high *= 2.0;
    }
    loop {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            return middle;
        }
        if below(shape, middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
}

/// Sum of x^k / (shape (shape + 1) ... (shape + k)).
fn series(shape: f64, x: f64) -> f64 {
    let mut term = 1.0 / shape;
    let mut sum = term;
    for k in 1..MOST_TERMS {
        term *= x / (shape + f64::from(k));
        sum += term;
        if term < sum * LEFT_OUT {
            break;
        }
    }
    sum
}

/// The continued fraction of the upper part, by the modified method of Lentz.
fn fraction(shape: f64, x: f64) -> f64 {
    // Keeps a denominator from vanishing.
    let tiny = f64::MIN_POSITIVE / f64::EPSILON;
    let mut b = x + 1.0 - shape;
    let mut c = 1.0 / tiny;
    let mut d = 1.0 / b;
    let mut value = d;
    for k in 1..MOST_TERMS {
        let k = f64::from(k);
        let a = k * (shape - k);
        b += 2.0;
        d = a * d + b;
        d = 1.0 / if d.abs() < tiny { tiny } else { d };
        c = b + a / c;
        c = if c.abs() < tiny { tiny } else { c };
        let step = d * c;
        value *= step;
        if (step - 1.0).abs() < LEFT_OUT.max(f64::EPSILON) {
            break;
        }
    }
    value
}

/// Logarithm of the gamma function above zero, to about 1e-15 of its value.
fn ln_gamma(x: f64) -> f64 {
    /// Coefficients for g = 7 and nine terms.
    const LANCZOS: [f64; 9] = [
        0.999_999_999_999_809_9,
        676.520_368_121_885_1,
        -1_259.139_216_722_402_8,
        771.323_428_777_653_1,
        -176.615_029_162_140_6,
        12.507_343_278_686_905,
        -0.138_571_095_265_720_12,
        9.984_369_578_019_572e-6,
        1.505_632_735_149_311_6e-7,
    ];
    if x < 0.5 {
        // Upwards by one step, where the formula holds well.
        return ln_gamma(x + 1.0) - x.ln();
    }
    let x = x - 1.0;
    let terms = LANCZOS.iter().enumerate().skip(1);
    let sum: f64 = terms.map(|(k, c)| c / (x + k as f64)).sum();
    let t = x + 7.5;
    0.5 * (2.0 * std::f64::consts::PI).ln() + (x + 0.5) * t.ln() - t + (LANCZOS[0] + sum).ln()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// For a whole shape the lower part has a closed form: 1 - e^-x (1 + x + ... ).
    fn erlang(shape: u32, x: f64) -> f64 {
        let mut term = 1.0;
        let mut sum = 1.0;
        for k in 1..shape {
            term *= x / f64::from(k);
            sum += term;
        }
        1.0 - (-x).exp() * sum
    }

    #[test]
    fn whole_shapes_agree_with_the_closed_form() {
        for shape in [1, 2, 3, 5, 12, 40] {
            for x in [0.1, 0.8, 1.0, 3.0, 11.9, 13.1, 40.0, 90.0] {
                let (ours, theirs) = (below(f64::from(shape), x), erlang(shape, x));
                assert!((ours - theirs).abs() < 1e-13, "{shape} {x} {ours} {theirs}");
            }
        }
    }

    #[test]
    fn a_quantile_is_where_the_share_lies_below() {
        for shape in [0.3, 1.0, 2.0, 4.0, 77.0, 3000.0] {
            for share in [1e-6, 0.05, 0.5, 0.95, 0.999_999] {
                let x = quantile(shape, share);
                assert!(
                    (below(shape, x) - share).abs() < 1e-11,
                    "{shape} {share} {x}"
                );
            }
        }
        assert!((quantile(1.0, 0.5) - std::f64::consts::LN_2).abs() < 1e-14);
    }
}
