//! The watch round: what is looked at under way, how often, from where, and when to stop or act. The table
//! is data (`checklists/watch-round.json`); the maker's handbook outranks it.

use std::sync::LazyLock;

use serde::Deserialize;

use super::compiled::compiled_in;
use crate::boat::Unit;
use crate::text::words;

words! {
    /// A figure of a round.
    Figure, "figure of a round" {
        /// Engine speed.
        Rpm = "rpm",
        /// Speed of the boat.
        Speed = "speed",
        /// Oil pressure.
        Oil = "oil",
        /// Coolant temperature.
        Temperature = "temperature",
        /// Charging voltage.
        Volts = "volts",
        /// Vacuum behind the prefilter.
        Vacuum = "vacuum",
        /// Water in the bilge.
        Bilge = "bilge",
        /// Drops of the stern gland in a minute.
        Drops = "drops",
        /// Fuel aboard.
        Fuel = "fuel",
    }
}

impl Figure {
    /// The unit it is kept and compared in.
    pub const fn unit(self) -> Unit {
        match self {
            Figure::Rpm => Unit::Rpm,
            Figure::Speed => Unit::Knot,
            Figure::Oil => Unit::Bar,
            Figure::Temperature => Unit::Celsius,
            Figure::Volts => Unit::Volt,
            Figure::Vacuum => Unit::InchMercury,
            Figure::Bilge => Unit::Millimetre,
            Figure::Drops => Unit::DropsPerMinute,
            Figure::Fuel => Unit::Litre,
        }
    }

    /// As it is called in a sentence.
    pub const fn words(self) -> &'static str {
        match self {
            Figure::Rpm => "engine speed",
            Figure::Speed => "speed",
            Figure::Oil => "oil pressure",
            Figure::Temperature => "coolant temperature",
            Figure::Volts => "charging voltage",
            Figure::Vacuum => "pre-filter vacuum",
            Figure::Bilge => "bilge water",
            Figure::Drops => "gland drops",
            Figure::Fuel => "fuel",
        }
    }

    /// The item of the catalogue that is read so, by its id.
    pub const fn item(self) -> Option<&'static str> {
        match self {
            Figure::Oil => Some("oil-pressure"),
            Figure::Temperature => Some("coolant-temperature"),
            Figure::Volts => Some("charging-voltage"),
            Figure::Vacuum => Some("prefilter-vacuum"),
            Figure::Bilge => Some("bilge-water"),
            Figure::Drops => Some("stuffing-box"),
            Figure::Rpm | Figure::Speed | Figure::Fuel => None,
        }
    }
}

words! {
    /// How often something is looked at under way.
    RoundCadence, "cadence of a watch round" {
        /// Every 15 to 30 minutes from the helm, and with every round.
        Helm = "helm",
        /// With every round.
        Round = "round",
        /// Every four hours.
        FourHours = "4h",
        /// Every eight hours while the shaft turns with the engine off.
        EightHours = "8h",
        /// Every 24 hours, or at each stop.
        Day = "24h",
    }
}

impl RoundCadence {
    /// Hours from one to the next; none where it comes with every round.
    pub const fn hours(self) -> Option<u32> {
        match self {
            RoundCadence::Helm | RoundCadence::Round => None,
            RoundCadence::FourHours => Some(4),
            RoundCadence::EightHours => Some(8),
            RoundCadence::Day => Some(24),
        }
    }

    /// As it is said.
    pub const fn words(self) -> &'static str {
        match self {
            RoundCadence::Helm => "every 15 to 30 min",
            RoundCadence::Round => "every round",
            RoundCadence::FourHours => "every 4 h",
            RoundCadence::EightHours => "every 8 h with the shaft turning",
            RoundCadence::Day => "every 24 h, or at each stop",
        }
    }
}

words! {
    /// From where it is looked at.
    LookFrom, "place to look from" {
        /// At the helm.
        Helm = "helm",
        /// At the hatch, hands out.
        Hatch = "hatch",
        /// In the engine space, with the engine off and the key out.
        Standing = "standing",
    }
}

impl LookFrom {
    /// As it is said.
    pub const fn words(self) -> &'static str {
        match self {
            LookFrom::Helm => "from the helm",
            LookFrom::Hatch => "at the hatch, hands out",
            LookFrom::Standing => "engine off, key out",
        }
    }
}

/// One look of the round.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RoundLook {
    /// Its name in the table.
    pub id: String,
    /// What is looked at, in words.
    pub look: String,
    /// What is claimed by whoever says that it is as usual.
    pub usual: String,
    /// Ids of the items it looks at.
    pub items: Vec<String>,
    /// The figures that say it was looked at, all of them read in one round; none where figures do not.
    #[serde(default)]
    pub figures: Vec<Figure>,
    /// How often.
    pub every: RoundCadence,
    /// From where.
    pub from: LookFrom,
    /// It is made with the engine off, too.
    #[serde(default)]
    pub engine_off: bool,
    /// When to stop or act.
    pub act: String,
    /// Where it is from.
    pub source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[serde(rename = "type")]
    _type: String,
    #[serde(rename = "source")]
    _source: String,
    cautions: Vec<String>,
    looks: Vec<RoundLook>,
}

static TABLE: LazyLock<Table> =
    LazyLock::new(|| compiled_in(include_str!("../../checklists/watch-round.json")));

impl RoundLook {
    /// All of them, in the order they are made.
    pub fn all() -> &'static [RoundLook] {
        &TABLE.looks
    }

    /// The one that is due while the shaft turns with the engine off.
    pub fn is_of_the_turning_shaft(&self) -> bool {
        self.every == RoundCadence::EightHours
    }
}

/// Said before every round.
pub fn cautions() -> &'static [String] {
    &TABLE.cautions
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checklist::Catalogue;

    #[test]
    fn every_look_names_items_of_the_catalogue_and_what_it_claims() {
        let catalogue = Catalogue::built_in();
        let mut ids: Vec<&str> = Vec::new();
        for look in RoundLook::all() {
            assert!(!ids.contains(&look.id.as_str()), "{}", look.id);
            ids.push(&look.id);
            for id in &look.items {
                assert!(catalogue.item(id).is_some(), "{}: {id}", look.id);
            }
            for words in [&look.look, &look.usual, &look.act, &look.source] {
                assert!(!words.trim().is_empty(), "{}", look.id);
            }
            // What is claimed is said in one line of a record.
            assert!(
                look.usual.len() <= 120 && !look.usual.contains(';'),
                "{}",
                look.id
            );
        }
    }

    /// The table of the watch: 15 to 30 minutes, every round, 4, 8 and 24 hours.
    #[test]
    fn every_cadence_has_its_looks_and_no_hand_goes_past_the_hatch_while_she_runs() {
        for cadence in RoundCadence::ALL {
            let mut looks = RoundLook::all().iter();
            assert!(looks.any(|look| look.every == *cadence), "{cadence}");
        }
        for look in RoundLook::all() {
            let daily = look.every == RoundCadence::Day;
            assert_eq!(daily, look.from == LookFrom::Standing, "{}", look.id);
        }
        let said = cautions().join(" ");
        for caution in [
            "alone",
            "eyes and nose at the hatch",
            "No hand passes the hatch",
        ] {
            assert!(said.contains(caution), "{caution}");
        }
    }

    #[test]
    fn every_figure_has_its_item_in_a_unit_that_item_is_read_in() {
        let catalogue = Catalogue::built_in();
        for figure in Figure::ALL {
            let Some(id) = figure.item() else { continue };
            let item = catalogue.item(id);
            let unit = item.and_then(|item| item.reading.as_ref()).map(|r| r.unit);
            assert_eq!(unit, Some(figure.unit()), "{id}");
        }
    }
}
