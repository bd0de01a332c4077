//! The last pass over a frame where the terminal shows ASCII alone: whatever drew a cell, it leaves
//! in ASCII, and takes as many columns as before.
//!
//! Signs of the program have twins that say the same ([`glyphs`](crate::paint::glyphs) picks most of them
//! where they are drawn). People's own text keeps its letters without their accents; what has no such
//! letter is a question mark in each place.

use ratatui::buffer::Buffer;
use unicode_normalization::UnicodeNormalization;

/// What stands for a character with no form of its own.
const UNKNOWN: char = '?';

/// Puts every cell into ASCII.
pub fn in_ascii(buffer: &mut Buffer) {
    for cell in &mut buffer.content {
        if !cell.symbol().is_ascii() {
            cell.set_char(plain(cell.symbol()));
        }
    }
}

/// The plain form of what stands in one cell: a character and the marks on it.
fn plain(symbol: &str) -> char {
    let Some(first) = symbol.chars().next() else {
        return ' ';
    };
    if let Some(twin) = twin(first) {
        return twin;
    }
    // Compatibility forms too: a full-width letter is a letter.
    let base = first.nfkd().next().unwrap_or(first);
    match base {
        c if c.is_ascii() && !c.is_ascii_control() => c,
        c => twin(c).unwrap_or(UNKNOWN),
    }
}

/// Signs, and letters that are no letter with a mark on it.
fn twin(c: char) -> Option<char> {
    Some(match c {
        '≈' | '…' | '˜' => '~',
        '·' | '•' | '◦' | '∙' | '▹' => '.',
        '×' | '✕' => 'x',
        '÷' | '╱' | '⁄' => '/',
        '°' | '\u{a0}' => ' ',
        'µ' | 'μ' => 'u',
        'λ' => 'l',
        '±' | '┼' | '┌' | '┐' | '└' | '┘' | '├' | '┤' | '┬' | '┴' | '╭' | '╮' | '╰' | '╯' | '┏'
        | '┓' | '┗' | '┛' | '┠' | '┨' | '┣' | '┫' | '┸' | '┻' => '+',
        '│' | '┃' | '║' | '┊' | '┆' => '|',
        '─' | '━' | '═' | '┄' | '–' | '—' | '−' | '‐' | '‑' | '▭' => '-',
        '→' | '▸' | '⟫' | '»' | '›' | '≥' => '>',
        '←' | '◂' | '◃' | '⟪' | '«' | '‹' | '≤' => '<',
        '↑' | '▴' | '▔' | '▲' => '^',
        '↓' | '▾' => 'v',
        '■' | '□' | '◆' | '◇' | '○' | '●' => 'o',
        '▬' => '=',
        '▁' => '_',
        '▂'..='█' | '▀' => '#',
        '’' | '‘' | '‚' | '′' => '\'',
        '“' | '”' | '„' | '″' => '"',
        'ß' => 's',
        'æ' => 'a',
        'Æ' => 'A',
        'ø' => 'o',
        'Ø' => 'O',
        'œ' => 'o',
        'Œ' => 'O',
        'đ' | 'ð' => 'd',
        'Đ' | 'Ð' => 'D',
        'ł' => 'l',
        'Ł' => 'L',
        'ı' => 'i',
        'þ' => 't',
        'Þ' => 'T',
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use ratatui::layout::Rect;
    use ratatui::style::Style;

    #[test]
    fn every_cell_is_ascii_and_stands_where_it_stood() {
        let mut buffer = Buffer::empty(Rect::new(0, 0, 32, 1));
        let text = "≈Å ñ e\u{301}ß → ⟪ESC⟫ 漢字 Ж 🛥 │×½ end";
        buffer.set_string(0, 0, text, Style::new());
        in_ascii(&mut buffer);
        let line: String = buffer.content.iter().map(|c| c.symbol()).collect();
        assert_eq!(line.trim_end(), "~A n es > <ESC> ? ?  ? ? |x1 end");
    }

    #[test]
    fn what_is_shown_for_each_sign_is_ascii_and_one_column() {
        for c in ('\u{80}'..='\u{ffff}').chain('\u{1f300}'..='\u{1f6ff}') {
            let shown = plain(&c.to_string());
            assert!((' '..='~').contains(&shown), "{c:?}: {shown:?}");
        }
    }
}
