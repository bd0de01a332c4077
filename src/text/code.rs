//! Short codes that people read out and type: an alphabet without I, L, O and U, two characters that
//! catch a slip of the pen, groups with hyphens between them.

/// What stands for the numbers 0 to 31.
const ALPHABET: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
/// Characters that catch a slip of the pen.
pub const CHECKS: usize = 2;
/// Bits that a character stands for.
pub const BITS: usize = 5;
/// The largest prime below 32²: a remainder by it changes with any one character, and with any two
/// that change places.
const PRIME: u32 = 1021;

/// A number as so many symbols, each 0 to 31, the most significant first; what has no room is left
/// out.
pub fn symbols(value: u128, count: usize) -> impl Iterator<Item = u8> {
    (0..count)
        .rev()
        .map(move |n| (value >> (BITS * n) & 31) as u8)
}

/// The number that symbols stand for, at most 25 of them.
pub fn number(symbols: &[u8]) -> u128 {
    let each = symbols.iter();
    each.fold(0, |n, symbol| n << BITS | u128::from(*symbol))
}

/// The check symbols of these.
pub fn check(symbols: &[u8]) -> [u8; CHECKS] {
    let each = symbols.iter();
    let remainder = each.fold(0, |n, s| (n * 32 + u32::from(*s)) % PRIME);
    [(remainder / 32) as u8, (remainder % 32) as u8]
}

/// Symbols in characters, with a hyphen behind each group but the last.
pub fn grouped(symbols: impl IntoIterator<Item = u8>, group: usize) -> String {
    let mut text = String::new();
    for (n, symbol) in symbols.into_iter().enumerate() {
        if n > 0 && n % group == 0 {
            text.push('-');
        }
        text.push(char::from(ALPHABET[usize::from(symbol & 31)]));
    }
    text
}

/// Symbols as a person may type them: any case, hyphens and spaces anywhere, O for 0, I and L for 1.
///
/// # Errors
/// The first character that no code has.
pub fn read(text: &str) -> Result<Vec<u8>, char> {
    let typed = text.chars().filter(|c| *c != '-' && !c.is_whitespace());
    let symbol = |c: char| {
        let meant = match c.to_ascii_uppercase() {
            'O' => '0',
            'I' | 'L' => '1',
            other => other,
        };
        let found = ALPHABET.iter().position(|a| char::from(*a) == meant);
        found.map(|at| at as u8).ok_or(c)
    };
    typed.map(symbol).collect()
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    #[test]
    fn a_number_comes_back_from_its_symbols_as_typed() {
        let mut rng = fastrand::Rng::with_seed(7);
        for _ in 0..200 {
            let value = rng.u128(..) >> 48;
            let text = grouped(symbols(value, 16), 6);
            let typed = text.to_lowercase().replace('0', "o").replace('1', "l");
            assert_eq!(read(&typed).map(|s| number(&s)), Ok(value), "{text}");
        }
        assert_eq!(read("AB U"), Err('U'));
    }

    #[test]
    fn one_wrong_character_and_two_that_changed_places_are_caught() {
        let mut rng = fastrand::Rng::with_seed(9);
        let body: Vec<u8> = (0..16).map(|_| rng.u8(..32)).collect();
        let checks = check(&body);
        for at in 0..body.len() {
            for other in 0..32 {
                let mut wrong = body.clone();
                wrong[at] = other;
                assert_eq!(check(&wrong) == checks, other == body[at]);
            }
            for with in 0..at {
                let mut wrong = body.clone();
                wrong.swap(at, with);
                assert_eq!(check(&wrong) == checks, wrong == body);
            }
        }
    }
}
