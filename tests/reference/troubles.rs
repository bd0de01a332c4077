//! Published troubles in which the cause was found. Owners' forums, weblogs, two investigators' reports;
//! signs as told, a few states assumed that are not told.

/// Where it was told; what was seen, question and answer; what it was.
pub type Trouble = (
    &'static str,
    &'static [(&'static str, &'static str)],
    &'static [&'static str],
);

/// Published troubles.
pub const TROUBLES: [Trouble; 21] = [
    (
        "owners' forum, exhaust elbow job",
        &[
            ("wot", "short"),
            ("plume", "black"),
            ("start", "ok"),
            ("temp", "ok"),
        ],
        &["elbow-clogged"],
    ),
    (
        "boating weblog 2019, coolant leak",
        &[
            ("plume", "sweet"),
            ("clevel", "falls"),
            ("cwet", "ok"),
            ("olook", "ok"),
        ],
        &["coolant-overboard"],
    ),
    (
        "cruisersforum.com f54 4181",
        &[
            ("stall", "slow"),
            ("bowl", "dirt"),
            ("start", "ok"),
            ("bleed", "nothing"),
        ],
        &["pickup"],
    ),
    (
        "cruising weblog 2020, new filter",
        &[
            ("stall", "slow"),
            ("bleed", "bubbles"),
            ("hist", "filter"),
            ("vac", "high"),
        ],
        &["filter-clogged", "air-fuel"],
    ),
    (
        "owners' association 673",
        &[
            ("temp", "load"),
            ("alarm", "temp"),
            ("flow", "thin"),
            ("plume", "steam"),
            ("imp", "ok"),
        ],
        &["exchanger-fouled"],
    ),
    (
        "owners' group 12481",
        &[
            ("glook", "milky"),
            ("ghot", "hot"),
            ("stall", "stop"),
            ("gear", "oneway"),
        ],
        &["gear-cooler"],
    ),
    (
        "cruising weblog, leaks",
        &[("bkind", "salt"), ("bwhen", "engine"), ("stern", "ok")],
        &["exhaust-water"],
    ),
    (
        "sailboat owners' forum 90908",
        &[("olevel", "risen"), ("olook", "fuel")],
        &["lift-diaphragm"],
    ),
    (
        "cruisersforum.com f54 2197",
        &[("wot", "short"), ("bspeed", "slow"), ("start", "ok")],
        &["prop-growth"],
    ),
    (
        "mechanic's guide, engine vibration",
        &[("vib", "gear")],
        &["prop-rope"],
    ),
    (
        "NTSB, passenger vessel fire, Florida, 14 Jan 2018",
        &[
            ("alarm", "temp"),
            ("temp", "sudden"),
            ("smell", "rubber"),
            ("note", "hollow"),
        ],
        &["impeller"],
    ),
    (
        "engine forum 409851",
        &[
            ("start", "click"),
            ("term", "bad"),
            ("rest", "ok"),
            ("smell", "wire"),
        ],
        &["bad-joint"],
    ),
    (
        "crew.org.nz 2088",
        &[
            ("olook", "milky"),
            ("alarm", "oil"),
            ("clevel", "ok"),
            ("clook", "ok"),
            ("hist", "rough"),
        ],
        &["rwp-both-seals", "siphon-flood"],
    ),
    (
        "MAIB Safety Digest, 38 ft angling boat",
        &[("stall", "slow"), ("start", "dry"), ("bowl", "ok")],
        &["filter-clogged", "pickup"],
    ),
    (
        "sailboat owners' forum 17174",
        &[("start", "hard")],
        &["siphon-flood"],
    ),
    (
        "sailnet.com 99693",
        &[("olevel", "over"), ("hist", "oil"), ("plume", "blue")],
        &["overfill-breather"],
    ),
    (
        "iboats.com 379399",
        &[("start", "click"), ("rest", "ok"), ("lamps", "ok")],
        &["bad-joint"],
    ),
    (
        "sailing weblog, short trip",
        &[
            ("note", "hollow"),
            ("plume", "black"),
            ("bkind", "salt"),
            ("bwhen", "engine"),
            ("smell", "exhaust"),
        ],
        &["exhaust-leak", "exhaust-water"],
    ),
    (
        "sentoa.org, gear cooler",
        &[("sheen", "oil"), ("olevel", "ok")],
        &["gear-cooler"],
    ),
    (
        "service adviser's weblog, battery",
        &[
            ("rest", "low"),
            ("volts", "ok"),
            ("start", "click"),
            ("iso", "holds"),
        ],
        &["drain"],
    ),
    (
        "sailboat owners' forum 110276",
        &[
            ("alarm", "temp"),
            ("xdrop", "ok"),
            ("flow", "ok"),
            ("strain", "ok"),
            ("agree", "false"),
        ],
        &["false-alarm"],
    ),
];
