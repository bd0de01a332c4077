//! What there is before a passage, as it is typed and as it is said: a time to work, a sum, hands.

use super::job_minutes::minutes_fault;
use super::leaving_words::time_in_words;
use super::list::Scenario;
use super::plan::{Hand, LARGEST_SUM, LONGEST_WORK, NamedPlan};
use crate::checklist::Who;

/// A figure with one decimal where it has one.
pub fn short(value: f64) -> String {
    let rounded = (value * 10.0).round() / 10.0;
    if rounded.fract() == 0.0 {
        format!("{rounded:.0}")
    } else {
        format!("{rounded:.1}")
    }
}

impl Scenario {
    /// As a sentence has it: `60 h and 3 d, 20 h a day, in offshore waters`.
    pub fn in_words(&self) -> String {
        let per_day = self.hours_per_day;
        let per_day = per_day.map(|hours| format!(", {} h a day,", short(hours)));
        format!(
            "{} h and {} d{} in {} waters",
            short(self.exposure.hours),
            short(self.exposure.days),
            per_day.unwrap_or_default(),
            self.waters
        )
    }
}

/// A time to work as it is typed: `6h`, `90min`, `2h30`, `2.5h`; a bare figure is hours.
pub fn read_minutes(text: &str) -> Result<u32, String> {
    let most = LONGEST_WORK / 60.0;
    let wrong = || format!("expected a time to work such as 6h, 90min or 2h30, up to {most} h");
    let text = text.trim();
    let number = |text: &str| text.trim().parse::<f64>().ok().filter(|n| *n >= 0.0);
    let hours = if let Some((hours, minutes)) = text.split_once('h') {
        // As it is said too: `2 h 15 min`.
        let minutes = minutes.trim();
        let minutes = match minutes.strip_suffix("min").unwrap_or(minutes).trim() {
            "" => Some(0.0),
            minutes => number(minutes).filter(|m| *m < 60.0),
        };
        number(hours).zip(minutes).map(|(h, m)| h + m / 60.0)
    } else if let Some(minutes) = text.strip_suffix("min") {
        number(minutes).map(|m| m / 60.0)
    } else {
        number(text)
    };
    let hours = hours.filter(|h| *h <= most).ok_or_else(wrong)?;
    Ok((hours * 60.0).round() as u32)
}

/// Minutes of a job as they are typed: `50`, `50min`, `2h30`; a bare figure is minutes.
///
/// # Errors
/// It is no such time, or none at all.
pub fn read_job_minutes(text: &str) -> Result<u32, String> {
    let text = text.trim();
    let bare = text.bytes().all(|b| b.is_ascii_digit()) && !text.is_empty();
    let minutes = match bare {
        true => read_minutes(&format!("{text}min")),
        false => read_minutes(text),
    };
    let minutes = minutes
        .map_err(|_| "expected minutes such as 50, or a time such as 2h30 or 90min".to_owned())?;
    minutes_fault(minutes).map_or(Ok(minutes), Err)
}

/// A sum of money as it is typed, in hundredths.
pub fn read_sum(text: &str) -> Result<u64, String> {
    let sum = text.trim().parse::<f64>().ok();
    let sum = sum.filter(|s| (0.0..=LARGEST_SUM).contains(s));
    let sum = sum.ok_or_else(|| format!("expected a sum of money, 0 to {LARGEST_SUM:.0}"))?;
    Ok((sum * 100.0).round() as u64)
}

/// Somebody who can lend a hand, with a time where it is limited.
pub fn read_hand(text: &str) -> Result<(Who, Option<u32>), String> {
    let (who, time) = match text.split_once('=') {
        Some((who, time)) => (who, Some(read_minutes(time)?)),
        None => (text, None),
    };
    let who = who.trim().parse::<Who>().map_err(|e| e.to_string())?;
    Ok((who, time))
}

/// Hands as they are typed, with commas between.
///
/// # Errors
/// Which of them is none, in a sentence.
pub fn read_hands(text: &str) -> Result<Vec<Hand>, String> {
    let each = text.split(',').filter(|one| !one.trim().is_empty());
    each.map(|one| read_hand(one).map(|(who, minutes)| Hand { who, minutes }))
        .collect()
}

impl Hand {
    /// As it is typed: `owner`, `mechanic=3 h`.
    pub fn in_words(&self) -> String {
        match self.minutes {
            Some(minutes) => format!("{}={}", self.who, time_in_words(minutes)),
            None => self.who.to_string(),
        }
    }
}

impl NamedPlan {
    /// What there is before it, in words: `6 h of work, 300 to spend, by owner`; none where nobody said.
    pub fn means_in_words(&self) -> Option<String> {
        let work = self.work.map(|w| format!("{} of work", time_in_words(w)));
        let spend = self
            .spend
            .map(|sum| format!("{} to spend", super::costs::money(sum)));
        let hands: Vec<String> = self.hands.iter().map(Hand::in_words).collect();
        let hands = (!hands.is_empty()).then(|| format!("hands: {}", hands.join(", ")));
        let ashore = self
            .ashore_days
            .map(|days| format!("ashore for {} d", short(days)));
        let all: Vec<String> = [work, spend, hands, ashore].into_iter().flatten().collect();
        (!all.is_empty()).then(|| all.join(", "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_as_people_write_them() {
        for (text, known) in [
            ("6h", 360),
            ("6", 360),
            ("2.5h", 150),
            ("2h30", 150),
            ("90min", 90),
            ("2 h 15 min", 135),
            (" 1 h 05 ", 65),
            ("0", 0),
        ] {
            assert_eq!(read_minutes(text), Ok(known), "{text}");
        }
        for text in [
            "", "h", "-1h", "2h75", "NaN", "inf", "6 days", "99999h", "min",
        ] {
            assert!(read_minutes(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_bare_figure_of_a_job_is_minutes_and_none_is_refused() {
        assert_eq!(read_job_minutes("50"), Ok(50));
        assert_eq!(read_job_minutes(" 2h30 "), Ok(150));
        assert_eq!(read_job_minutes("90min"), Ok(90));
        for text in ["0", "0min", "", "-5", "long", "120001", "99999999999"] {
            assert!(read_job_minutes(text).is_err(), "{text}");
        }
    }

    #[test]
    fn hands_may_have_hours_of_their_own() {
        assert_eq!(read_hand("owner"), Ok((Who::Owner, None)));
        assert_eq!(read_hand("mechanic=3h"), Ok((Who::Mechanic, Some(180))));
        assert!(read_hand("cousin").is_err() && read_hand("owner=long").is_err());
        assert_eq!(read_sum("300"), Ok(30_000));
        assert!(read_sum("-1").is_err() && read_sum("NaN").is_err());
    }
}
