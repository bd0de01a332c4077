//! Acceptance sets: what owners see, with what the table makes of it; and everyday pairs, in which no rare
//! and dear cause may lead.

use super::{judged, offered, order};
use crate::causes::Standing;

/// Two common faults at once, each by its commonest sign (common practice, no single source).
const PAIRS: [[(&str, &str); 2]; 30] = [
    [("start", "white"), ("temp", "slow")],
    [("start", "white"), ("clevel", "falls")],
    [("start", "white"), ("olevel", "low")],
    [("start", "white"), ("vib", "always")],
    [("start", "white"), ("wot", "short")],
    [("start", "white"), ("stall", "hunt")],
    [("start", "white"), ("oleak", "out")],
    [("start", "white"), ("noise", "squeal")],
    [("start", "white"), ("elbow", "rusty")],
    [("start", "white"), ("noise", "rattle")],
    [("start", "white"), ("cwet", "hose")],
    [("clevel", "falls"), ("temp", "slow")],
    [("clevel", "falls"), ("olevel", "low")],
    [("clevel", "falls"), ("plume", "steam")],
    [("clevel", "falls"), ("temp", "load")],
    [("clevel", "falls"), ("bkind", "salt")],
    [("clook", "rusty"), ("temp", "slow")],
    [("temp", "slow"), ("vib", "always")],
    [("temp", "slow"), ("oleak", "out")],
    [("temp", "slow"), ("bkind", "salt")],
    [("temp", "slow"), ("plume", "blue")],
    [("plume", "steam"), ("olook", "tarry")],
    [("plume", "steam"), ("olevel", "low")],
    [("plume", "black"), ("bkind", "salt")],
    [("plume", "black"), ("rest", "low")],
    [("belt", "dust"), ("stern", "wet")],
    [("start", "slow"), ("flow", "thin")],
    [("rest", "low"), ("bowl", "dirt")],
    [("weep", "water"), ("volts", "low")],
    [("mount", "bad"), ("olevel", "low")],
];

/// Rare, and dear to mend or to open.
const RARE_AND_DEAR: [&str; 11] = [
    "head-gasket",
    "coolant-overboard",
    "oil-cooler",
    "rwp-both-seals",
    "siphon-flood",
    "lift-diaphragm",
    "inj-pump-seal",
    "low-compression",
    "low-oil",
    "clutch",
    "gear-cooler",
];

#[test]
fn no_rare_and_dear_cause_leads_an_everyday_pair() {
    for pair in PAIRS {
        let judged = judged(&pair);
        let first = &judged.candidates[0];
        let told = format!(
            "{pair:?}: {} {:.2}, alone {:.2}",
            first.cause.id, first.chance, judged.reckoned.alone
        );
        println!("{told}");
        // It leads where it would be named by itself.
        let leads = RARE_AND_DEAR.contains(&first.cause.id.as_str())
            && first.chance >= 0.35
            && first.chance >= judged.reckoned.alone;
        assert!(!leads, "{told}");
        let named = judged
            .candidates
            .iter()
            .filter(|c| c.standing <= Standing::MostLikely);
        for candidate in named {
            assert!(
                !RARE_AND_DEAR.contains(&candidate.cause.id.as_str()),
                "{told}"
            );
        }
    }
}

/// What an owner sees; whether it may stand alone; the causes in order; the first looks; and the looks that
/// the sources name as the ones that separate, of which one is offered.
type Row = (
    &'static [(&'static str, &'static str)],
    bool,
    &'static [&'static str],
    &'static [&'static str],
    &'static [&'static str],
);

/// Candidates and separating looks: the sources of the causes; order and offers: made by this table.
const SEEN: &[Row] = &[
    (
        &[
            ("clevel", "falls"),
            ("cwet", "ok"),
            ("plume", "sweet"),
            ("olook", "milky"),
        ],
        false,
        &["head-gasket", "coolant-overboard"],
        &["clook", "bubbles"],
        &["bubbles"],
    ),
    (
        &[
            ("clevel", "falls"),
            ("cwet", "ok"),
            ("plume", "sweet"),
            ("olook", "ok"),
        ],
        false,
        &["coolant-overboard", "head-gasket"],
        &["clook", "bubbles"],
        &["bubbles"],
    ),
    (
        &[
            ("clevel", "falls"),
            ("cwet", "ok"),
            ("plume", "ok"),
            ("olook", "ok"),
        ],
        true,
        &[],
        &["clook", "smell"],
        &["smell", "temp", "bkind"],
    ),
    (
        &[
            ("olook", "milky"),
            ("owater", "salt"),
            ("clevel", "ok"),
            ("clook", "ok"),
        ],
        false,
        &["rwp-both-seals", "siphon-flood", "oil-cooler"],
        &["siph", "weep"],
        &["weep", "siph"],
    ),
    (
        &[("olevel", "risen"), ("olook", "fuel")],
        false,
        &["lift-diaphragm", "inj-pump-seal"],
        &["fdamp"],
        &["fdamp"],
    ),
    (
        &[("plume", "black"), ("wot", "short")],
        false,
        &["prop-growth", "elbow-clogged", "air-filter"],
        &["air", "stall", "bspeed"],
        &["air", "wotn"],
    ),
    (
        &[("weep", "oil")],
        false,
        &["rwp-oil-seal"],
        &["olevel"],
        &["olevel"],
    ),
    (
        &[("weep", "water")],
        true,
        &["rwp-water-seal", "impeller"],
        &["start", "flow"],
        &["flow"],
    ),
    (
        &[("belt", "dust"), ("volts", "low")],
        false,
        &["belt-slack", "pulley", "alternator"],
        &["pull", "alarm", "noise"],
        &["pull"],
    ),
    (
        &[("temp", "load"), ("flow", "thin")],
        false,
        &[
            "inlet-blocked",
            "impeller",
            "exchanger-fouled",
            "suction-air",
            "elbow-clogged",
        ],
        &["strain", "plume"],
        &["strain"],
    ),
    (
        &[
            ("temp", "load"),
            ("flow", "ok"),
            ("clevel", "ok"),
            ("agree", "false"),
        ],
        false,
        &["false-alarm"],
        &[],
        &[],
    ),
    (
        &[("vib", "gear")],
        true,
        &["coupling", "prop-rope"],
        &["coup", "stall"],
        &["coup"],
    ),
    (
        &[("rest", "low"), ("start", "click")],
        false,
        &["battery", "drain", "bad-joint"],
        &["iso", "cdrop"],
        &["iso", "cdrop"],
    ),
    (
        &[("bkind", "salt")],
        true,
        &["stern-gland", "skin-hose", "exhaust-water"],
        &["weep", "stern"],
        &["stern", "bwhen"],
    ),
    (
        &[("stall", "hunt")],
        true,
        &["air-fuel", "filter-clogged", "water-fuel"],
        &["bowl", "vac"],
        &["bowl"],
    ),
    (
        &[("stall", "slow")],
        false,
        &["filter-clogged", "air-fuel", "pickup", "tank-vent"],
        &["bowl", "vac"],
        &["bowl", "filler"],
    ),
    (
        &[("start", "hard")],
        false,
        &["siphon-flood", "head-gasket", "coolant-overboard"],
        &["clevel", "siph"],
        &["siph"],
    ),
    (
        &[("sheen", "oil"), ("olevel", "ok")],
        false,
        &["gear-cooler"],
        &["glook", "glevel"],
        &["glevel", "glook"],
    ),
];

#[test]
fn what_owners_see_comes_out_as_the_sources_have_it() {
    for (looks, alone, causes, looked, separate) in SEEN {
        let judged = judged(looks);
        let told = format!(
            "{looks:?}: {:?}, {:?}",
            &order(&judged)[..5],
            offered(&judged)
        );
        let first = judged.candidates[0].chance;
        assert_eq!(judged.reckoned.alone >= first, *alone, "{told}");
        assert_eq!(order(&judged)[..causes.len()], **causes, "{told}");
        let offered = offered(&judged);
        assert_eq!(
            offered[..looked.len().min(offered.len())],
            **looked,
            "{told}"
        );
        let surest = judged
            .offers
            .surest
            .iter()
            .map(|offer| offer.question.id.as_str());
        let all: Vec<&str> = offered.into_iter().chain(surest).collect();
        let separates = separate.is_empty() || separate.iter().any(|look| all.contains(look));
        assert!(separates, "{told}");
    }
}
