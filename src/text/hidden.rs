//! Which characters can act without being seen.

/// Variation selectors. They choose between two pictures of one character and carry no meaning of
/// their own, but terminals disagree on how many columns the chosen picture takes.
pub(super) fn is_variation_selector(c: char) -> bool {
    matches!(c, '\u{FE00}'..='\u{FE0F}' | '\u{E0100}'..='\u{E01EF}' | '\u{180B}'..='\u{180D}' | '\u{180F}')
}

/// True for a character that is no text to look at: controls, the bidirectional controls of UAX 9,
/// the default-ignorable characters of the Unicode Character Database (zero-width, fillers, tags),
/// the line and paragraph separators, interlinear annotation and the noncharacters.
/// Variation selectors and the joiner between two emoji are judged elsewhere.
pub(crate) fn is_hidden(c: char) -> bool {
    if c.is_ascii() {
        return c.is_ascii_control();
    }
    c.is_control()
        || matches!(c,
            '\u{00AD}' | '\u{034F}' | '\u{061C}' | '\u{115F}' | '\u{1160}' | '\u{17B4}' | '\u{17B5}' | '\u{180E}'
            | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{206F}'
            | '\u{3164}' | '\u{FEFF}' | '\u{FFA0}' | '\u{FFF0}'..='\u{FFFB}'
            | '\u{1BCA0}'..='\u{1BCA3}' | '\u{1D173}'..='\u{1D17A}' | '\u{E0000}'..='\u{E0FFF}')
            && !is_variation_selector(c)
        || is_noncharacter(c)
}

/// The 66 code points that Unicode keeps out of interchange.
fn is_noncharacter(c: char) -> bool {
    matches!(c, '\u{FDD0}'..='\u{FDEF}') || (c as u32) & 0xFFFE == 0xFFFE
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_are_66_noncharacters() {
        let n = ('\0'..=char::MAX).filter(|c| is_noncharacter(*c)).count();
        assert_eq!(n, 66);
    }

    #[test]
    fn the_bidirectional_controls_are_hidden() {
        // UAX 9: ALM, LRM, RLM, LRE, RLE, PDF, LRO, RLO, LRI, RLI, FSI, PDI.
        for c in "\u{061C}\u{200E}\u{200F}\u{202A}\u{202B}\u{202C}\u{202D}\u{202E}\u{2066}\u{2067}\u{2068}\u{2069}".chars() {
            assert!(is_hidden(c), "U+{:04X}", c as u32);
        }
    }

    #[test]
    fn letters_of_many_scripts_are_not() {
        for c in "aé\u{301}אعक漢ｶ한😀─█⟪\u{A0}\u{FFFD}\u{E000}".chars() {
            assert!(!is_hidden(c), "U+{:04X}", c as u32);
        }
    }
}
