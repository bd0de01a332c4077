//! Contrast between two colours, after WCAG 2.

/// A colour: red, green, blue, each 0 to 255.
pub type Rgb = (u8, u8, u8);

/// Relative luminance of an sRGB colour, 0 (black) to 1 (white): WCAG 2, "relative luminance".
pub fn luminance((red, green, blue): Rgb) -> f64 {
    let linear = |value: u8| {
        let c = f64::from(value) / 255.0;
        if c <= 0.04045 {
            c / 12.92
        } else {
            ((c + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)
}

/// Contrast ratio of two colours, 1 to 21, in either order: WCAG 2, "contrast ratio". Text needs
/// 4.5 for level AA (SC 1.4.3) and 7 for level AAA (SC 1.4.6), neither rounded.
pub fn contrast(a: Rgb, b: Rgb) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn hex(rgb: u32) -> Rgb {
        ((rgb >> 16) as u8, (rgb >> 8) as u8, rgb as u8)
    }

    /// Worked values of the WCAG formula, to the digits given.
    #[test]
    fn agrees_with_worked_values() {
        for (a, b, ratio) in [
            (0xFFFFFF, 0x000000, 21.0),
            (0x777777, 0xFFFFFF, 4.4781),
            (0x767676, 0xFFFFFF, 4.5422),
            (0x595959, 0xFFFFFF, 7.0047),
            (0x5A5A5A, 0xFFFFFF, 6.8969),
            (0x949494, 0xFFFFFF, 3.0335),
            (0x959595, 0xFFFFFF, 2.9953),
            (0xFF0000, 0xFFFFFF, 3.9985),
            (0xFF0000, 0x000000, 5.2520),
            (0x0000FF, 0x000000, 2.4440),
            (0x0000FF, 0xFFFFFF, 8.5925),
            (0x00FF00, 0x000000, 15.3040),
            (0xFFFF00, 0x000000, 19.5560),
            (0x00FFFF, 0x000000, 16.7480),
            (0xFF00FF, 0x000000, 6.6960),
            (0x808080, 0x000000, 5.3172),
            (0xC0C0C0, 0x000000, 11.5423),
            (0x800000, 0x000000, 1.9178),
            (0x008000, 0x000000, 4.0877),
            (0x000080, 0x000000, 1.3117),
            (0xCD0000, 0x000000, 3.5958),
            (0x0000EE, 0x000000, 2.2346),
        ] {
            let found = contrast(hex(b), hex(a));
            assert!((found - ratio).abs() < 5e-5, "{a:06X} on {b:06X}: {found}");
        }
    }

    #[test]
    fn both_branches_of_the_luminance_are_right() {
        for (rgb, expected) in [
            (0xFF0000, 0.2126),
            (0x00FF00, 0.7152),
            (0x0000FF, 0.0722),
            (0x808080, 0.215861),
            (0x0A0A0A, 0.003035),
            (0x0B0B0B, 0.003347),
        ] {
            assert!((luminance(hex(rgb)) - expected).abs() < 5e-7, "{rgb:06X}");
        }
    }
}
