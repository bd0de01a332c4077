//! Numbers as a person reads them.

/// A number with about three digits that mean something.
pub fn figure(value: f64) -> String {
    digits(value, 3)
}

/// A number with about so many digits that mean something.
pub fn digits(value: f64, digits: u8) -> String {
    let size = value.abs();
    let decimals = if size > 0.0 {
        (f64::from(digits) - 1.0 - size.log10().floor()).clamp(0.0, 9.0) as usize
    } else {
        0
    };
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// The size of a file in words.
pub fn in_bytes(bytes: u64) -> String {
    match bytes {
        0..1_000_000 => format!("{} kB", bytes.div_ceil(1000)),
        _ => format!("{:.1} MB", bytes as f64 / 1e6),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_keep_what_means_something() {
        for (value, text) in [
            (0.0, "0"),
            (-0.0, "0"),
            (1234.5, "1234"),
            (99.96, "100"),
            (12.345, "12.3"),
            (2.0, "2"),
            (-0.01234, "-0.0123"),
            (1e-12, "0"),
        ] {
            assert_eq!(figure(value), text);
        }
    }
}
