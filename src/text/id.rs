//! Ids made from what people call a thing.

/// An id for something of a name: its letters and digits in lower case with hyphens between, at most
/// `longest` bytes, `unnamed` where none is left, and a number where that id is not free.
pub fn id_from(name: &str, longest: usize, unnamed: &str, free: impl Fn(&str) -> bool) -> String {
    let lower = name.to_lowercase();
    let plain = lower.replace(|c: char| !c.is_ascii_alphanumeric(), " ");
    let mut id = plain.split_whitespace().collect::<Vec<_>>().join("-");
    id.truncate(longest);
    let id = match id.trim_end_matches('-') {
        "" => unnamed,
        id => id,
    };
    let numbered = (2..).map(|n| format!("{id}-{n}"));
    let mut ids = [id.to_owned()].into_iter().chain(numbered);
    ids.find(|id| free(id)).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_and_digits_stay_and_what_is_taken_gets_a_number() {
        let free = |_: &str| true;
        assert_eq!(id_from("  Davit, No. 2 ", 30, "item", free), "davit-no-2");
        assert_eq!(id_from("Öl\u{202e}", 30, "item", free), "l");
        assert_eq!(id_from("…", 30, "item", free), "item");
        assert_eq!(id_from("a b c", 4, "item", free), "a-b");
        let taken = |id: &str| !["belt", "belt-2"].contains(&id);
        assert_eq!(id_from("Belt", 30, "item", taken), "belt-3");
    }
}
