//! What a survey's document says before its findings: who asked for it, who made it, what lay there
//! and how. None of it is a look, and none of it is graded.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::text::words;

words! {
    /// One entry of the front matter, in the order of the page. What is asked of it: ISO/IEC
    /// 17020:2012, 7.4.2, and common practice of condition surveys.
    FrontFact, "entry of the front matter" {
        /// Who asked for the survey.
        Client = "client",
        /// The day and the words of the instruction.
        Instruction = "instruction",
        /// Who besides may read it and for what.
        Users = "users",
        /// Name and address of whoever made it.
        Surveyor = "surveyor",
        /// What they are qualified by.
        Qualification = "qualification",
        /// Their insurance, where they say so.
        Insurance = "insurance",
        /// Where she lay.
        Place = "place",
        /// Afloat, ashore, dried out.
        Lying = "lying",
        /// Whether the engine was cold or warm on arrival.
        Arrival = "arrival",
        /// Weather, sea, temperature of air and water.
        Weather = "weather",
        /// Hull clean or foul, tanks, people aboard.
        Load = "load",
        /// Who was there, for whom, and who ran the engine.
        Attending = "attending",
        /// Her type.
        BoatType = "boat-type",
        /// Who built her.
        Builder = "builder",
        /// The year she was built.
        Built = "built",
        /// The number on her hull.
        HullNumber = "hull-number",
        /// Her registration.
        Registration = "registration",
        /// Her flag.
        Flag = "flag",
        /// Maker and model as on the engine's plate.
        Engine = "engine",
        /// Its serial number.
        EngineSerial = "engine-serial",
        /// Its rated power.
        RatedPower = "rated-power",
        /// Its rated speed.
        RatedSpeed = "rated-speed",
        /// Its year.
        EngineYear = "engine-year",
        /// What the hour meter shows, and whether it runs.
        HourMeter = "hour-meter",
        /// Maker and model of the gearbox.
        Gearbox = "gearbox",
        /// Its ratio.
        GearboxRatio = "gearbox-ratio",
        /// Its serial number.
        GearboxSerial = "gearbox-serial",
        /// Shaft and propeller as marked.
        Propeller = "propeller",
        /// Kind, identity and last comparison of each instrument, one a line.
        Instruments = "instruments",
        /// Documents seen, one a line.
        Documents = "documents",
        /// What is known of oil samples: outstanding, or the laboratory's figures, one a line.
        OilAnalysis = "oil-analysis",
    }
}

/// How an entry is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Entry {
    /// One line.
    Line,
    /// Several lines, one thing each.
    Lines,
    /// One of these words.
    Choice(&'static [&'static str]),
}

/// The entries under one heading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FrontGroup {
    /// Client, instruction, intended users.
    Instruction,
    /// Who made it.
    Surveyor,
    /// Place, weather, who was there.
    Day,
    /// What is on her plates.
    Boat,
    /// What is on the machinery's plates.
    Machinery,
    /// What it rests on besides the looks.
    Basis,
}

impl FrontGroup {
    /// In the order of the page.
    pub const ALL: [FrontGroup; 6] = [
        FrontGroup::Instruction,
        FrontGroup::Surveyor,
        FrontGroup::Day,
        FrontGroup::Boat,
        FrontGroup::Machinery,
        FrontGroup::Basis,
    ];

    /// Its entries.
    pub fn facts(self) -> impl Iterator<Item = FrontFact> {
        let all = FrontFact::ALL.iter().copied();
        all.filter(move |fact| fact.group() == self)
    }
}

impl FrontFact {
    /// The heading it stands under.
    pub const fn group(self) -> FrontGroup {
        use FrontFact as F;
        match self {
            F::Client | F::Instruction | F::Users => FrontGroup::Instruction,
            F::Surveyor | F::Qualification | F::Insurance => FrontGroup::Surveyor,
            F::Place | F::Lying | F::Arrival | F::Weather | F::Load | F::Attending => {
                FrontGroup::Day
            }
            F::BoatType | F::Builder | F::Built | F::HullNumber | F::Registration | F::Flag => {
                FrontGroup::Boat
            }
            F::Engine
            | F::EngineSerial
            | F::RatedPower
            | F::RatedSpeed
            | F::EngineYear
            | F::HourMeter
            | F::Gearbox
            | F::GearboxRatio
            | F::GearboxSerial
            | F::Propeller => FrontGroup::Machinery,
            F::Instruments | F::Documents | F::OilAnalysis => FrontGroup::Basis,
        }
    }

    /// Its name in words.
    pub fn words(self) -> String {
        self.as_str().replace('-', " ")
    }

    /// What belongs in it, for whoever enters it.
    pub const fn asked(self) -> &'static str {
        match self {
            FrontFact::Client => "who asked for the survey, with address",
            FrontFact::Instruction => "day and words of the instruction",
            FrontFact::Users => "who besides may read it, and for what",
            FrontFact::Surveyor => "your name and address",
            FrontFact::Qualification => "what you are qualified by",
            FrontFact::Insurance => "your insurance, or that there is none",
            FrontFact::Place => "where she lay",
            FrontFact::Lying => "afloat, ashore or dried out",
            FrontFact::Arrival => "the engine on arrival: cold, warm or not told",
            FrontFact::Weather => "weather, sea, temperature of air and water",
            FrontFact::Load => "hull clean or foul, tanks, people aboard",
            FrontFact::Attending => "who was there, for whom, and who ran the engine",
            FrontFact::BoatType => "her type",
            FrontFact::Builder => "who built her",
            FrontFact::Built => "the year she was built",
            FrontFact::HullNumber => "the number on her hull, or \"not found\"",
            FrontFact::Registration => "her registration",
            FrontFact::Flag => "her flag",
            FrontFact::Engine => "maker and model as on the plate",
            FrontFact::EngineSerial => "its serial number, or \"not found\"",
            FrontFact::RatedPower => "its rated power as on the plate",
            FrontFact::RatedSpeed => "its rated speed as on the plate",
            FrontFact::EngineYear => "its year",
            FrontFact::HourMeter => "what the hour meter shows, and whether it runs",
            FrontFact::Gearbox => "maker and model of the gearbox",
            FrontFact::GearboxRatio => "its ratio",
            FrontFact::GearboxSerial => "its serial number, or \"not found\"",
            FrontFact::Propeller => "shaft and propeller as marked",
            FrontFact::Instruments => "kind, identity and last comparison of each, one a line",
            FrontFact::Documents => "documents seen, one a line",
            FrontFact::OilAnalysis => {
                "outstanding, or the laboratory's figures, one a line: iron; 42 ppm; its own limit"
            }
        }
    }

    /// How it is written.
    pub const fn entry(self) -> Entry {
        match self {
            FrontFact::Lying => Entry::Choice(&["afloat", "ashore", "dried out"]),
            FrontFact::Arrival => Entry::Choice(&["cold", "warm", "not told"]),
            FrontFact::Instruments | FrontFact::Documents | FrontFact::OilAnalysis => Entry::Lines,
            _ => Entry::Line,
        }
    }
}

/// The front matter of a survey: what was entered of each. What is missing was not entered; what
/// was looked for and not there is entered as "not found".
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct FrontMatter(pub BTreeMap<FrontFact, String>);

/// A line of what is known of oil samples.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OilLine<'a> {
    /// A figure of a laboratory.
    Figure {
        /// What was measured, and in which sample.
        what: &'a str,
        /// How much, with its unit.
        value: &'a str,
        /// The laboratory's own limit; none where it was not entered.
        limit: Option<&'a str>,
    },
    /// Anything else, as it was written.
    Words(&'a str),
}

impl<'a> OilLine<'a> {
    /// `iron; 42 ppm; 75 ppm` is a figure with its limit, `iron; 42 ppm` one without; a line of any
    /// other form is words.
    fn of(line: &'a str) -> OilLine<'a> {
        let mut parts = line.split(';').map(str::trim);
        match (parts.next(), parts.next(), parts.next(), parts.next()) {
            (Some(what), Some(value), limit, None) if !what.is_empty() && !value.is_empty() => {
                let limit = limit.filter(|limit| !limit.is_empty());
                OilLine::Figure { what, value, limit }
            }
            _ => OilLine::Words(line),
        }
    }
}

impl FrontMatter {
    /// What was entered of oil samples, line by line.
    pub fn oil(&self) -> impl Iterator<Item = OilLine<'_>> {
        self.lines(FrontFact::OilAnalysis).map(OilLine::of)
    }

    /// What was entered of one.
    pub fn get(&self, fact: FrontFact) -> Option<&str> {
        self.0.get(&fact).map(String::as_str)
    }

    /// The lines entered of one, without empty ones.
    pub fn lines(&self, fact: FrontFact) -> impl Iterator<Item = &str> {
        let text = self.get(fact).unwrap_or_default();
        text.lines().map(str::trim).filter(|line| !line.is_empty())
    }

    /// True where nothing was entered.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_has_its_limit_and_all_else_is_words() {
        let figure = |what, value, limit| OilLine::Figure { what, value, limit };
        let cases = [
            (
                "iron; 42 ppm; 75 ppm",
                figure("iron", "42 ppm", Some("75 ppm")),
            ),
            ("water;0,2 %", figure("water", "0,2 %", None)),
            ("soot; 0.4 %;", figure("soot", "0.4 %", None)),
            ("; 42 ppm", OilLine::Words("; 42 ppm")),
            ("iron;", OilLine::Words("iron;")),
            ("a; b; c; d", OilLine::Words("a; b; c; d")),
            ("result outstanding", OilLine::Words("result outstanding")),
        ];
        for (line, read) in cases {
            assert_eq!(OilLine::of(line), read, "{line}");
        }
    }
}
