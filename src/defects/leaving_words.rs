//! Before leaving, in words: a share as a skipper says it, never a chance of getting through.

/// What stands on no list of this program.
pub(super) const NOT_HERE: &str = "steering, rig, electronics, weather and crew are not on this list: it sees the engine room alone";

/// Shares as they are said, each with the figure it stands for.
const SHARES: [(f64, &str); 13] = [
    (0.01, "next to nothing"),
    (0.1, "a tenth"),
    (0.2, "a fifth"),
    (0.25, "a quarter"),
    (1.0 / 3.0, "a third"),
    (0.4, "two fifths"),
    (0.5, "half"),
    (0.6, "three fifths"),
    (2.0 / 3.0, "two thirds"),
    (0.75, "three quarters"),
    (0.8, "four fifths"),
    (0.9, "nine tenths"),
    (0.99, "nearly all"),
];

/// A share in words, by the nearest that has some.
pub(super) fn share_in_words(share: f64) -> &'static str {
    let far = |(known, _): &&(f64, &str)| (known - share).abs();
    let nearest = SHARES.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
    nearest.map_or("next to nothing", |(_, words)| words)
}

/// How much so many minutes of work take away, with the range under it.
pub(super) fn takes_away(minutes: u32, [share, low, high]: [&str; 3]) -> String {
    let work = format!("these {} take", time_in_words(minutes));
    let range = range(low, high);
    format!("Of the trouble this list can see, {work} away about {share}, {range}.")
}

/// From where to where a share goes, other paces of wear thought of.
pub(super) fn range(low: &str, high: &str) -> String {
    match low == high {
        true => "and about as much where things wear twice or half as fast as judged".to_owned(),
        false => {
            format!("between {low} and {high} where things wear twice or half as fast as judged")
        }
    }
}

/// Minutes as they are said: `45 min`, `6 h`, `2 h 15 min`.
pub fn time_in_words(minutes: u32) -> String {
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_is_said_by_the_nearest_words() {
        assert_eq!(share_in_words(0.8048), "four fifths");
        assert_eq!(share_in_words(0.0), "next to nothing");
        assert_eq!(share_in_words(1.0), "nearly all");
        assert_eq!(share_in_words(0.34), "a third");
    }

    #[test]
    fn it_never_speaks_of_a_chance() {
        let words = takes_away(360, ["four fifths", "two thirds", "nine tenths"]);
        assert_eq!(
            words,
            "Of the trouble this list can see, these 6 h take away about four fifths, between two thirds and nine tenths where things wear twice or half as fast as judged."
        );
        let words = takes_away(90, ["half"; 3]);
        assert!(words.contains("and about as much") && !words.contains("chance"));
    }

    #[test]
    fn minutes_are_said_as_hours() {
        assert_eq!(time_in_words(45), "45 min");
        assert_eq!(time_in_words(135), "2 h 15 min");
        assert_eq!(time_in_words(360), "6 h");
    }
}
