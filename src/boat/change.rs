//! Records that change a profile: the profile as it was set, and a machine that left it.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::value::RawValue;

use super::profile::Boat;

/// A profile as it was set, and the records of the profile it was made from. In a record its fields
/// stand beside those of the boat.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ProfileSet {
    /// The whole profile as it was set; only what differs from its base counts.
    #[serde(flatten)]
    pub boat: Boat,
    /// Ids of the records that made up the profile it was made from: mostly one, several after a
    /// merge, none for the first profile and in records of the first versions.
    #[serde(default, skip_serializing_if = "Vec::is_empty", with = "one_or_more")]
    pub base: Vec<String>,
    /// Why stops went out of sight with it, where some did.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub even_so: Option<EvenSo>,
    /// Figures of earlier profiles that no meter ever showed: they were typed wrong.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub misread: Vec<Misread>,
    /// Fields not known here, as paths; they do not count and are told.
    #[serde(skip)]
    pub unknown: Vec<String>,
}

/// A figure of an hour meter that a profile gave and that was typed wrong: it is no reading.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Misread {
    /// The machine.
    pub machine: String,
    /// Id of the record that gave the figure.
    pub of: String,
}

/// The written reason for which stops went out of sight, and those that did.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct EvenSo {
    /// Why it may go out of sight, in the words of whoever set the profile.
    pub why: String,
    /// The stops meant. Any other stop goes on counting.
    pub stops: Vec<PassedStop>,
}

/// A stop that went out of sight with a written reason.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PassedStop {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; none for what the boat has once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub machine: Option<String>,
    /// Id of the look behind the stop: a later look is not meant.
    pub look: String,
}

/// A machine left the boat. Nothing but this record takes one out of the profile.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Retired {
    /// The machine, by its id in the profile; none for what the boat has once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub machine: Option<String>,
    /// Id of an own item.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub item: Option<String>,
    /// When it left; the time of the record where that is not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DateTime<FixedOffset>>,
    /// Why. Has to be given where a stop goes out of sight with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// The stops that went with it; filled in when it is recorded.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stops: Vec<PassedStop>,
    /// What it was made from, as [`ProfileSet::base`]; filled in when it is recorded.
    #[serde(default, skip_serializing_if = "Vec::is_empty", with = "one_or_more")]
    #[schemars(with = "Vec<String>")]
    pub base: Vec<String>,
}

impl From<Boat> for ProfileSet {
    fn from(boat: Boat) -> ProfileSet {
        ProfileSet {
            boat,
            base: Vec::new(),
            even_so: None,
            misread: Vec::new(),
            unknown: Vec::new(),
        }
    }
}

impl<'de> Deserialize<'de> for ProfileSet {
    /// Reads from JSON text alone: it is read twice, once for the boat and once for what stands
    /// beside her.
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<ProfileSet, D::Error> {
        #[derive(Deserialize)]
        struct Beside {
            #[serde(default, with = "one_or_more")]
            base: Vec<String>,
            #[serde(default)]
            even_so: Option<EvenSo>,
            #[serde(default)]
            misread: Vec<Misread>,
        }
        let raw = Box::<RawValue>::deserialize(deserializer)?;
        let mut unknown = Vec::new();
        let mut json = serde_json::Deserializer::from_str(raw.get());
        let read = serde_ignored::deserialize(&mut json, |path| unknown.push(path.to_string()));
        let boat = read.map_err(serde::de::Error::custom)?;
        let beside: Beside = serde_json::from_str(raw.get()).map_err(serde::de::Error::custom)?;
        unknown.retain(|field| !["base", "even_so", "misread"].contains(&field.as_str()));
        Ok(ProfileSet {
            boat,
            base: beside.base,
            even_so: beside.even_so,
            misread: beside.misread,
            unknown,
        })
    }
}

mod one_or_more {
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    #[derive(Deserialize)]
    #[serde(untagged)]
    enum Either {
        One(String),
        More(Vec<String>),
    }

    pub fn serialize<S: Serializer>(ids: &[String], serializer: S) -> Result<S::Ok, S::Error> {
        match ids {
            [one] => one.serialize(serializer),
            more => more.serialize(serializer),
        }
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<String>, D::Error> {
        Ok(match Either::deserialize(from)? {
            Either::One(id) => vec![id],
            Either::More(ids) => ids,
        })
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    const OLD: &str = r#"{"type":"boat","name":"Grey Plover","waters":"inshore","units":"metric","usual_hours_per_month":15.0,"day_ahead":{"hours":10.0,"days":2.0},"machines":[{"id":"main","name":"Main engine","hours":1200.0,"sump":"7 L","without":["stuffing-box"]}]}"#;

    fn read(text: &str) -> ProfileSet {
        serde_json::from_str(text).expect("a profile")
    }

    #[test]
    fn an_old_record_reads_as_before_and_is_written_as_before() {
        let set = read(OLD);
        assert_eq!(set, ProfileSet::from(set.boat.clone()));
        assert_eq!(serde_json::to_string(&set).expect("JSON"), OLD);
    }

    #[test]
    fn what_it_was_made_from_stands_beside_the_boat() {
        let mut set = read(OLD);
        for base in [vec!["a-b-1"], vec!["a-b-1", "c-d-2"]] {
            set.base = base.into_iter().map(str::to_owned).collect();
            let text = serde_json::to_string(&set).expect("JSON");
            assert_eq!(read(&text), set, "{text}");
        }
        let one = OLD.replacen('{', r#"{"base":"a-b-1","#, 1);
        assert_eq!(read(&one).base, ["a-b-1"]);
    }

    #[test]
    fn fields_not_known_here_are_named_and_do_not_count() {
        let text = OLD
            .replacen('{', r#"{"colour":"grey","base":"x","#, 1)
            .replacen(r#""sump""#, r#""cylinders":4,"sump""#, 1);
        let set = read(&text);
        assert_eq!(set.unknown, ["colour", "machines.0.cylinders"]);
        assert_eq!(set.boat, read(OLD).boat);
    }

    #[test]
    fn one_that_is_no_profile_is_refused() {
        for text in [
            "{}",
            "[]",
            &OLD.replace("inshore", "inland"),
            &OLD.replacen('{', r#"{"even_so":3,"#, 1),
        ] {
            assert!(serde_json::from_str::<ProfileSet>(text).is_err(), "{text}");
        }
    }
}
