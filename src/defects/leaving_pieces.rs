//! A sentence in pieces: read one after the other it is what the command says, and each piece can be said in
//! another language by itself.

use std::fmt;

/// A piece of a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    /// Words.
    Words(String),
    /// A code or a figure, which reads alike in every language.
    Alike(String),
    /// A name that people gave.
    Name(String),
}

impl Piece {
    fn text(&self) -> &str {
        match self {
            Piece::Words(text) | Piece::Alike(text) | Piece::Name(text) => text,
        }
    }
}

/// A sentence in pieces, each with the signs before it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Pieces(Vec<(&'static str, Piece)>);

impl Pieces {
    /// One that begins with these words.
    pub fn of(words: impl Into<String>) -> Pieces {
        Pieces::default().then("", words)
    }

    /// With words behind it, and signs before them.
    #[must_use]
    pub fn then(mut self, signs: &'static str, words: impl Into<String>) -> Pieces {
        self.0.push((signs, Piece::Words(words.into())));
        self
    }

    /// With words behind it, where there are any.
    #[must_use]
    pub fn and(self, signs: &'static str, words: Option<impl Into<String>>) -> Pieces {
        match words {
            Some(words) => self.then(signs, words),
            None => self,
        }
    }

    /// With a code or a figure behind it.
    #[must_use]
    pub fn alike(mut self, signs: &'static str, code: impl Into<String>) -> Pieces {
        self.0.push((signs, Piece::Alike(code.into())));
        self
    }

    /// With a name behind it that people gave.
    #[must_use]
    pub fn name(mut self, signs: &'static str, name: impl Into<String>) -> Pieces {
        self.0.push((signs, Piece::Name(name.into())));
        self
    }

    /// With another one behind it.
    #[must_use]
    pub fn with(mut self, other: Pieces) -> Pieces {
        self.0.extend(other.0);
        self
    }

    /// Each piece with the signs before it.
    pub fn each(&self) -> impl Iterator<Item = (&'static str, &Piece)> {
        self.0.iter().map(|(signs, piece)| (*signs, piece))
    }
}

impl fmt::Display for Pieces {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.each()
            .try_for_each(|(signs, piece)| write!(f, "{signs}{}", piece.text()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn its_pieces_read_one_after_the_other() {
        let said = Pieces::of("fire")
            .then(", ", "serious")
            .alike(" ", "2B")
            .and("; ", None::<String>)
            .with(Pieces::default().then("; ", "it waits"));
        assert_eq!(said.to_string(), "fire, serious 2B; it waits");
        assert_eq!(
            said.each()
                .filter(|(_, piece)| matches!(piece, Piece::Alike(_)))
                .count(),
            1
        );
    }
}
