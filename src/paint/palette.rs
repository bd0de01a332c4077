//! Colours a terminal may give to its names, for pictures of a screen.

use ratatui::style::Color;

use crate::paint::contrast::Rgb;

/// What a picture shows for the terminal's own ground, ink and sixteen named colours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Palette {
    /// The ground.
    pub background: Rgb,
    /// The ink.
    pub foreground: Rgb,
    /// The sixteen named colours in the order of their numbers: black, red, green, yellow, blue,
    /// magenta, cyan, grey, then the bright eight.
    pub named: [Rgb; 16],
}

impl Palette {
    /// A dark terminal.
    pub const DARK: Palette = Palette {
        background: (0x15, 0x1A, 0x1E),
        foreground: (0xDD, 0xD9, 0xCE),
        named: [
            (0x15, 0x1A, 0x1E),
            (0xF0, 0x6A, 0x5C),
            (0x86, 0xC2, 0x6B),
            (0xE0, 0xB4, 0x50),
            (0x74, 0xA4, 0xEC),
            (0xD8, 0x8A, 0xD8),
            (0x5C, 0xC4, 0xC4),
            (0xC0, 0xBC, 0xB2),
            (0x7C, 0x84, 0x8A),
            (0xFF, 0x8E, 0x80),
            (0xA8, 0xDC, 0x8E),
            (0xF2, 0xD0, 0x78),
            (0x9C, 0xC0, 0xF8),
            (0xEC, 0xAC, 0xEC),
            (0x88, 0xE0, 0xE0),
            (0xFA, 0xF8, 0xF0),
        ],
    };

    /// A light terminal.
    pub const LIGHT: Palette = Palette {
        background: (0xFA, 0xF8, 0xF2),
        foreground: (0x22, 0x2A, 0x30),
        named: [
            (0x22, 0x2A, 0x30),
            (0xB0, 0x22, 0x1C),
            (0x2C, 0x6E, 0x22),
            (0x7E, 0x5A, 0x00),
            (0x20, 0x50, 0xA8),
            (0x8E, 0x2C, 0x90),
            (0x00, 0x68, 0x70),
            (0x8A, 0x8A, 0x84),
            (0x5C, 0x62, 0x66),
            (0xC8, 0x36, 0x2C),
            (0x34, 0x78, 0x2A),
            (0x8A, 0x64, 0x00),
            (0x30, 0x62, 0xC0),
            (0xA0, 0x3C, 0xA2),
            (0x00, 0x76, 0x7E),
            (0xFA, 0xF8, 0xF2),
        ],
    };

    /// Red on black, whatever the name.
    pub const NIGHT: Palette = Palette {
        background: (0, 0, 0),
        foreground: (0xFF, 0, 0),
        named: [
            (0, 0, 0),
            (0xFF, 0, 0),
            (0xFF, 0, 0),
            (0xFF, 0, 0),
            (0xFF, 0, 0),
            (0xFF, 0, 0),
            (0xFF, 0, 0),
            (0xFF, 0, 0),
            (0xEE, 0, 0),
            (0xFF, 0, 0),
            (0xFF, 0, 0),
            (0xFF, 0, 0),
            (0xFF, 0, 0),
            (0xFF, 0, 0),
            (0xFF, 0, 0),
            (0xFF, 0, 0),
        ],
    };

    /// The colour shown; `reset` stands for the terminal's own. Numbers from 16 are the usual
    /// cube of 6 × 6 × 6 and the ramp of 24 greys.
    pub(crate) fn rgb(&self, colour: Color, reset: Rgb) -> Rgb {
        let number = match colour {
            Color::Reset => return reset,
            Color::Rgb(r, g, b) => return (r, g, b),
            Color::Indexed(number) => number,
            Color::Black => 0,
            Color::Red => 1,
            Color::Green => 2,
            Color::Yellow => 3,
            Color::Blue => 4,
            Color::Magenta => 5,
            Color::Cyan => 6,
            Color::Gray => 7,
            Color::DarkGray => 8,
            Color::LightRed => 9,
            Color::LightGreen => 10,
            Color::LightYellow => 11,
            Color::LightBlue => 12,
            Color::LightMagenta => 13,
            Color::LightCyan => 14,
            Color::White => 15,
        };
        let step = |n: u8| if n == 0 { 0 } else { 55 + 40 * n };
        match number {
            0..=15 => self.named[usize::from(number)],
            16..=231 => {
                let n = number - 16;
                (step(n / 36), step(n / 6 % 6), step(n % 6))
            }
            232.. => {
                let grey = 8 + 10 * (number - 232);
                (grey, grey, grey)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paint::contrast::contrast;

    #[test]
    fn every_named_ink_can_be_read_on_its_ground() {
        for palette in [Palette::DARK, Palette::LIGHT, Palette::NIGHT] {
            assert!(contrast(palette.foreground, palette.background) >= 4.5);
            for (number, ink) in palette.named.into_iter().enumerate() {
                let ratio = contrast(ink, palette.background);
                // Black and the greys are grounds as often as inks.
                assert!(
                    ratio >= 4.5 || matches!(number, 0 | 7 | 8 | 15),
                    "{number}: {ratio}"
                );
            }
        }
    }

    #[test]
    fn numbered_colours_follow_the_cube_and_the_ramp() {
        let rgb = |number| Palette::DARK.rgb(Color::Indexed(number), (1, 2, 3));
        assert_eq!(rgb(1), Palette::DARK.named[1]);
        assert_eq!(rgb(16), (0, 0, 0));
        assert_eq!(rgb(67), (95, 135, 175));
        assert_eq!(rgb(231), (255, 255, 255));
        assert_eq!(rgb(232), (8, 8, 8));
        assert_eq!(rgb(255), (238, 238, 238));
        assert_eq!(Palette::DARK.rgb(Color::Reset, (1, 2, 3)), (1, 2, 3));
    }
}
