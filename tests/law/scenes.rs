//! Logbooks as people make them: several sittings each, every kind of answer in one of them.

use std::path::Path;

use handlamp::checklist::{Catalogue, Library};
use serde_json::{Value, json};

use super::aboard::{Aboard, BELT, HOSE, profile};

pub struct Scene {
    pub name: &'static str,
    pub play: fn(&Path) -> Aboard,
    /// Quick to read; the others are long or rest on long texts.
    pub short: bool,
}

pub const SCENES: [Scene; 11] = [
    scene("a stop found and standing", standing, true),
    scene("a stop repaired, seen, and found again", repaired, true),
    scene("deferred and withdrawn", settled, true),
    scene("taken back and brought back", undone, true),
    scene(
        "put right for the worse and for the better",
        put_right,
        true,
    ),
    scene("a second machine", second, true),
    scene("a hose of her own", hose, false),
    scene("a service and a part removed", worked, true),
    scene("an age told that nobody knows after all", aged, true),
    scene("left open, put back, left open again", left_open, true),
    scene("mornings by sheet", mornings, false),
];

const fn scene(name: &'static str, play: fn(&Path) -> Aboard, short: bool) -> Scene {
    Scene { name, play, short }
}

/// When everything is asked: after every scene's last sitting.
pub const NOW: &str = "2046-05-09T07:00:00+02:00";

fn begin(root: &Path) -> Aboard {
    let mut aboard = Aboard::begin(root, "2046-05-01T08:00:00+02:00", &["main"], 7);
    aboard.tells_age();
    aboard
        .session("2046-05-02T08:00:00+02:00")
        .walk("main", &[]);
    aboard
}

fn standing(root: &Path) -> Aboard {
    let mut aboard = begin(root);
    aboard
        .session("2046-05-03T08:00:00+02:00")
        .walk("main", &[(BELT, "failing"), ("engine-seacock", "worn")]);
    aboard.session("2046-05-04T08:00:00+02:00");
    let walk = aboard.begin_walk("main");
    for item in ["bilge-water", "engine-oil-level"] {
        aboard.look(&walk, item, "sound");
    }
    aboard.look(&walk, "raw-water-pump-seal", "early");
    aboard.finish_walk(&walk);
    aboard
}

fn repaired(root: &Path) -> Aboard {
    let mut aboard = begin(root);
    aboard
        .session("2046-05-03T08:00:00+02:00")
        .walk("main", &[(BELT, "failing"), ("engine-seacock", "failing")]);
    aboard.session("2046-05-03T15:00:00+02:00");
    let at = aboard.now();
    for item in [BELT, "engine-seacock"] {
        let rec = json!({"item":item,"machine":"main","at":at,"done":"a new one","by":"R. Quay"});
        aboard.record("repair", &rec);
    }
    aboard
        .session("2046-05-04T08:00:00+02:00")
        .walk("main", &[]);
    aboard
        .session("2046-05-05T08:00:00+02:00")
        .walk("main", &[("engine-seacock", "failing")]);
    aboard
}

fn settled(root: &Path) -> Aboard {
    let mut aboard = begin(root);
    let found = [
        ("engine-seacock", "worn"),
        ("raw-water-pump-seal", "worn"),
        ("bilge-water", "worn"),
    ];
    aboard
        .session("2046-05-03T08:00:00+02:00")
        .walk("main", &found);
    aboard.session("2046-05-03T18:00:00+02:00");
    let seal = json!({"item":"raw-water-pump-seal","machine":"main","why":"kit ordered","until":"2046-06-01"});
    aboard.record("deferral", &seal);
    let short = json!({"item":"engine-seacock","machine":"main","why":"until the slip","until":"2046-05-05"});
    aboard.record("deferral", &short);
    aboard.record(
        "withdrawal",
        &json!({"item":"bilge-water","why":"rain through the hatch"}),
    );
    aboard
        .session("2046-05-04T08:00:00+02:00")
        .walk("main", &found[..2]);
    aboard
}

fn undone(root: &Path) -> Aboard {
    let mut aboard = begin(root);
    aboard.session("2046-05-03T08:00:00+02:00");
    let walk = aboard.begin_walk("main");
    let wrong = aboard.look(&walk, BELT, "failed");
    aboard.record("undo", &json!({"of":wrong}));
    aboard.look(&walk, BELT, "early");
    let stop = aboard.look(&walk, "engine-seacock", "failing");
    let undo = aboard.record("undo", &json!({"of":stop})).remove(0);
    aboard.record("undo", &json!({"of":undo}));
    for item in ["bilge-water", "engine-oil-level", HOSE] {
        aboard.look(&walk, item, "sound");
    }
    let better = aboard.look(&walk, "raw-water-pump-seal", "worn");
    aboard.session("2046-05-03T12:00:00+02:00");
    aboard.look(&walk, "raw-water-pump-seal", "sound");
    aboard.record("undo", &json!({"of":better}));
    let mistaken = aboard.look(&walk, "bilge-water", "sound");
    aboard.record("undo", &json!({"of":mistaken}));
    aboard.look(&walk, "bilge-water", "early");
    aboard.finish_walk(&walk);
    aboard
}

fn put_right(root: &Path) -> Aboard {
    let mut aboard = begin(root);
    aboard.session("2046-05-03T08:00:00+02:00");
    let walk = aboard.begin_walk("main");
    let ids: Vec<String> = [
        (BELT, "early"),
        ("engine-seacock", "failing"),
        ("bilge-water", "worn"),
    ]
    .iter()
    .map(|(item, grade)| aboard.look(&walk, item, grade))
    .collect();
    aboard.finish_walk(&walk);
    aboard.session("2046-05-04T08:00:00+02:00");
    let at = "2046-05-03T08:00:00+02:00";
    let look = |item: &str, grade: &str| json!({"walk":walk,"at":at,"look":{"item":item,"phase":"cold","grade":grade}});
    let corrections = [
        (&ids[0], BELT, "failing"),
        (&ids[1], "engine-seacock", "sound"),
        (&ids[2], "bilge-water", "early"),
    ];
    for (of, item, grade) in corrections {
        let rec = json!({"of":of,"ev":"look","rec":look(item, grade),"why":"typed wrong"});
        aboard.record("correction", &rec);
    }
    // The stop that was taken back is owed a look.
    let again = aboard.begin_walk("main");
    aboard.look(&again, "engine-seacock", "sound");
    aboard.finish_walk(&again);
    aboard.session("2046-05-05T08:00:00+02:00");
    let aside = aboard.begin_walk("main");
    let seen = aboard.look(&aside, BELT, "sound");
    let rec = json!({"walk":aside,"looks":[seen],"why":"begun by mistake"});
    aboard.record("set-aside", &rec);
    aboard
}

fn second(root: &Path) -> Aboard {
    let mut aboard = begin(root);
    aboard.session("2046-05-03T08:00:00+02:00");
    let twins = profile(&["main", "port"]);
    aboard.book.set_boat(twins).expect("set");
    aboard.walk("port", &[(BELT, "failing")]);
    aboard
        .session("2046-05-04T08:00:00+02:00")
        .walk("main", &[]);
    aboard
        .session("2046-05-05T08:00:00+02:00")
        .walk("port", &[(BELT, "failing"), (HOSE, "early")]);
    aboard
}

fn hose(root: &Path) -> Aboard {
    let mut aboard = begin(root);
    aboard.keeps_asked = true;
    aboard
        .session("2046-05-03T08:00:00+02:00")
        .walk("main", &[(HOSE, "failing")]);
    aboard.session("2046-05-04T08:00:00+02:00");
    let walk = aboard.begin_walk("main");
    for item in ["bilge-water", "engine-seacock", BELT] {
        aboard.look(&walk, item, "sound");
    }
    // Never finished.
    aboard.look(&walk, "engine-oil-level", "failing");
    aboard
}

fn worked(root: &Path) -> Aboard {
    let mut aboard = begin(root);
    aboard.session("2046-05-03T08:00:00+02:00").walk(
        "main",
        &[(BELT, "worn"), ("raw-water-pump-seal", "failing")],
    );
    aboard.session("2046-05-04T09:00:00+02:00");
    let at = aboard.now();
    aboard.take(&[
        json!({"type":"service","id":"s1","task":"drive-belts","machine":"main","at":at,"hours":1204}),
        json!({"type":"fitted","item":BELT,"machine":"main","at":at}),
        json!({"type":"removed","item":"bilge-alarm","at":at,"why":"a new one comes"}),
        json!({"type":"override","item":BELT,"machine":"main","at":at,"level":"d","why":"a spare is aboard"}),
        json!({"type":"recheck","item":BELT,"machine":"main","at":at,"due_at":"2046-05-08T08:00:00+02:00","why":"settling"}),
    ]);
    aboard.session("2046-05-05T08:00:00+02:00").walk(
        "main",
        &[(BELT, "worn"), ("raw-water-pump-seal", "failing")],
    );
    aboard
}

fn aged(root: &Path) -> Aboard {
    let mut aboard = begin(root);
    aboard
        .session("2046-05-03T08:00:00+02:00")
        .walk("main", &[]);
    aboard.session("2046-05-04T09:00:00+02:00");
    let at = aboard.now();
    aboard.take(&[json!({"type":"when-last","task":"fire-extinguisher","at":at})]);
    aboard
}

fn left_open(root: &Path) -> Aboard {
    let mut aboard = begin(root);
    aboard.session("2046-05-03T18:00:00+02:00");
    let at = aboard.now();
    aboard.take(&[
        json!({"type":"opened","id":"o1","item":"engine-seacock","machine":"main","at":at,"what":"shut","why":"off to town"}),
        json!({"type":"service","id":"s1","task":"drive-belts","machine":"main","at":at,"hours":1204,"open":["drive-belt"]}),
    ]);
    aboard.session("2046-05-04T08:00:00+02:00");
    aboard.take(&[json!({"type":"closed","id":"c1","of":"o1"})]);
    aboard.walk("main", &[]);
    aboard.session("2046-05-04T18:00:00+02:00");
    aboard.take(&[
        json!({"type":"opened","id":"o2","item":"engine-seacock","machine":"main","what":"shut"}),
    ]);
    aboard
}

/// A whole morning check of the program's own, typed in after walking.
fn sheet(id: &str, at: &str, hours: f64, found: &[(&str, &str)]) -> Value {
    let daily = Library::built_in().checklist("daily").expect("built in");
    let catalogue = Catalogue::built_in();
    let without = &profile(&["main"]).machines[0].without;
    let lacks = |id: &String| {
        let item = catalogue.item(id).expect("an item");
        let whole = item.split_from.as_ref().unwrap_or(id);
        without.contains(id) || without.contains(whole)
    };
    let mut looks = Vec::new();
    for phase in &daily.phases {
        let asked = phase.rows.iter().flat_map(|row| &row.items);
        for item in asked.filter(|item| !lacks(item)) {
            let grade = found.iter().find(|(named, _)| named == item);
            let grade = grade.map_or("sound", |(_, grade)| grade);
            looks.push(json!({"item":item,"phase":phase.id,"grade":grade}));
        }
    }
    json!({"type":"walk","id":id,"checklist":"daily","machine":"main","at":at,"hours":hours,"looks":looks})
}

fn mornings(root: &Path) -> Aboard {
    let mut aboard = Aboard::begin(root, "2046-05-01T08:00:00+02:00", &["main"], 7);
    let first = [("fuel-hoses", "early"), ("coolant-level", "worn")];
    aboard.session("2046-05-02T09:00:00+02:00").take(&[sheet(
        "w1",
        "2046-05-02T08:00:00+02:00",
        1200.0,
        &first,
    )]);
    let second = [
        ("fuel-hoses", "failing"),
        ("coolant-level", "worn"),
        ("engine-mounts", "early"),
    ];
    aboard.session("2046-05-03T09:00:00+02:00").take(&[sheet(
        "w2",
        "2046-05-03T08:00:00+02:00",
        1204.5,
        &second,
    )]);
    aboard
        .session("2046-05-04T09:00:00+02:00")
        .walk("main", &[(BELT, "early")]);
    aboard
}
