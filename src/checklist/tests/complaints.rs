use crate::checklist::complaint::LARGEST_FILE;
use crate::checklist::*;

const LIST: &str = r#"{
  "type": "checklist",
  "id": "my-check",
  "title": "My check",
  "purpose": "A short one.",
  "closes_with": "daily",
  "phases": [
    { "id": "cold", "title": "Cold", "state": "cold", "rows": [
      { "title": "Pump", "station": "front", "items": ["raw-water-pump-seal"] }
    ] }
  ]
}"#;

const ADDED: &str = r#"{
  "type": "catalogue",
  "stations": [{ "id": "tank-room", "title": "Tank room", "after": "fuel-side" }],
  "items": [{
    "id": "day-tank-tap",
    "title": "Day tank tap",
    "scope": "boat",
    "kind": "level",
    "station": "tank-room",
    "look": "Feel below the tap.",
    "ladder": ["dry", "stain", "damp", "drops", "runs"],
    "reading": { "quantity": "level", "unit": "%", "bands": [
      { "grade": "sound", "from": 50 },
      { "grade": "worn", "from": 20, "to": 50 }
    ] },
    "fluid": "fuel",
    "place": "static",
    "effects": [{ "effect": "fire", "beta": 0.3 }],
    "stop_at": "failing",
    "remedy": { "do": "renew", "who": "owner", "where": "in-port" },
    "life": { "months": 60, "source": "handbook" },
    "look_every_days": 7,
    "seconds": 5,
    "source": "common practice"
  }]
}"#;

fn told(text: &str) -> Vec<String> {
    let found = check_file("my.json", text, Catalogue::built_in())
        .err()
        .unwrap_or_default();
    found.iter().map(ToString::to_string).collect()
}

/// The one complaint about a text with one thing changed, without the file's name.
fn one(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from}");
    let told = told(&text.replacen(from, to, 1));
    assert_eq!(told.len(), 1, "{told:#?}");
    told[0]
        .strip_prefix("my.json ")
        .expect("names the file")
        .to_owned()
}

#[test]
fn good_files_pass_with_and_without_a_byte_order_mark() {
    for text in [LIST, ADDED] {
        assert_eq!(told(text), [""; 0]);
        assert_eq!(told(&format!("\u{feff}{text}")), [""; 0]);
    }
}

#[test]
fn faults_of_syntax_name_their_place() {
    for (from, to, expected) in [
        (
            "\"Cold\",",
            "\"Cold\"",
            "line 8, column 37: field `phases[0].state`: expected `,` or `}`",
        ),
        (
            "] }\n    ] }\n",
            "],}\n    ] }\n",
            "line 9, column 79: field `phases[0].rows[0]`: a field name in quotes belongs here; the comma before may be one too many",
        ),
    ] {
        assert_eq!(one(LIST, from, to), expected);
    }
    let cut = told(&LIST[..LIST.len() - 10]);
    assert!(
        cut[0].ends_with("the file ends too early: a bracket, brace or quote is not closed"),
        "{cut:?}"
    );
    assert_eq!(
        told(""),
        [
            "my.json line 1, column 1: the file ends too early: a bracket, brace or quote is not closed"
        ]
    );
}

#[test]
fn faults_of_shape_name_their_field() {
    for (from, to, expected) in [
        (
            "\"state\": \"cold\", ",
            "",
            "line 8, column 5: field `phases[0]`: the field 'state' is missing",
        ),
        (
            "\"items\"",
            "\"itmes\"",
            "line 9, column 55: field `phases[0].rows[0].itmes`: 'itmes' is no field known here; nearest is 'items'",
        ),
        (
            "\"daily\"",
            "\"dayly\"",
            "line 6, column 18: field `closes_with`: 'dayly' is no word known here; nearest is 'daily'; known are daily, short, leak-run, survey, finding, season",
        ),
        (
            "\"Pump\"",
            "7",
            "line 9, column 18: field `phases[0].rows[0].title`: a number stands where a text belongs",
        ),
        (
            "[\"raw-water-pump-seal\"]",
            "\"x\"",
            "line 9, column 55: field `phases[0].rows[0].items`: a text stands where a list belongs",
        ),
        (
            "\"id\": \"my",
            "\"id\": \"a\", \"id\": \"my",
            "line 3, column 20: field `id`: the field 'id' stands here twice",
        ),
        (
            "\"checklist\"",
            "\"cheklist\"",
            "line 2, column 11: field `type`: 'cheklist' is no type of file; it is 'checklist', 'catalogue' or 'service-tasks'; nearest is 'checklist'",
        ),
        (
            "\"type\": \"checklist\",",
            "",
            "line 1, column 1: the field 'type' is missing; it is 'checklist', 'catalogue' or 'service-tasks'",
        ),
    ] {
        assert_eq!(one(LIST, from, to), expected);
    }
    for (from, to, expected) in [
        (
            "\"runs\"",
            "\"runs\", \"more\"",
            "field `items[0].ladder[5]`: more stands here than belongs",
        ),
        (
            ", \"runs\"",
            "",
            "field `items[0].ladder`: 4 values stand where 5 belong",
        ),
        (
            "\"seconds\": 5",
            "\"seconds\": -5",
            "field `items[0].seconds`: integer `-5` does not fit; a whole number belongs here",
        ),
    ] {
        let told = one(ADDED, from, to);
        assert!(told.ends_with(expected), "{told}");
    }
}

#[test]
fn a_fault_in_one_part_does_not_hide_the_next() {
    let rows = r#"{ "title": 1, "station": "front", "items": [] },
      { "title": "b", "station": "front", "items": ["raw-water-pump-seal"] },
      { "title": "c", "items": [] }, { "title": "Pump""#;
    let told = told(
        &LIST
            .replacen("{ \"title\": \"Pump\"", rows, 1)
            .replacen("\"daily\"", "3", 1),
    );
    let fields: Vec<_> = told.iter().filter_map(|t| t.split('`').nth(1)).collect();
    assert_eq!(
        fields,
        [
            "closes_with",
            "phases[0].rows[0].title",
            "phases[0].rows[2]"
        ],
        "{told:#?}"
    );
}

#[test]
fn a_checklist_keeps_to_its_rules() {
    for (from, to, expected) in [
        (
            "raw-water-pump-seal",
            "raw-water-pump-sael",
            "line 9, column 56: field `phases[0].rows[0].items[0]`: 'raw-water-pump-sael' is no item known here; nearest is 'raw-water-pump-seal'",
        ),
        (
            "\"front\"",
            "\"engine\"",
            "line 9, column 37: field `phases[0].rows[0].station`: 'engine' is no station known here",
        ),
        (
            "my-check",
            "My check",
            "line 3, column 9: field `id`: 'My check' is no id: lower-case words and digits joined by hyphens, at most 64 characters",
        ),
        (
            "\"raw-water-pump-seal\"",
            "",
            "line 9, column 55: field `phases[0].rows[0].items`: a row needs an item",
        ),
        (
            "\"raw-water-pump-seal\"",
            "\"drive-belt\", \"drive-belt\"",
            "line 9, column 70: field `phases[0].rows[0].items[1]`: the item of this phase 'drive-belt' stands here twice",
        ),
        (
            "\"state\"",
            "\"minutes\": 0, \"state\"",
            "line 8, column 49: field `phases[0].minutes`: minutes must be above 0 and at most a day",
        ),
        (
            "\"state\"",
            "\"within\": 1441, \"state\"",
            "line 8, column 48: field `phases[0].within`: minutes must be above 0 and at most a day",
        ),
        (
            "\"state\"",
            "\"minutes\": 5, \"since\": \"later\", \"state\"",
            "line 8, column 61: field `phases[0].since`: time counts from an earlier phase of the checklist",
        ),
        (
            "A short one.",
            " ",
            "line 5, column 14: field `purpose`: the text is empty",
        ),
        (
            "Pump",
            "Pu\\u202emp",
            "line 9, column 18: field `phases[0].rows[0].title`: the text holds a hidden control character, U+202E",
        ),
    ] {
        assert_eq!(one(LIST, from, to), expected);
    }
    let empty = LIST
        .find("{ \"id\": \"cold\"")
        .map(|at| format!("{}]}}", &LIST[..at]))
        .expect("there");
    assert_eq!(
        told(&empty),
        ["my.json line 7, column 13: field `phases`: a checklist needs a phase"]
    );
}

#[test]
fn an_item_keeps_to_its_rules() {
    for (from, to, expected) in [
        (
            "\"stop_at\": \"failing\"",
            "\"stop_at\": \"sound\"",
            "`items[0].stop_at`: an item that stops when sound could never run",
        ),
        (
            "\"stop_at\": \"failing\"",
            "\"before_start\": { \"from\": \"sound\", \"do\": \"open\", \"how\": \"turn it\" }",
            "`items[0].before_start.from`: what is sound asks for nothing before starting",
        ),
        (
            "\"stop_at\": \"failing\"",
            "\"before_start\": { \"from\": \"worn\", \"do\": \"top-up\", \"how\": \"fill it\" }",
            "`items[0].before_start.do`: a level says by its reading that it is topped up or read again; here stands drain, charge or open",
        ),
        (
            "\"stop_at\": \"failing\"",
            "\"marks\": { \"filled_with\": \"fuel\", \"between_marks\": \"0 L\" }",
            "`items[0].marks.between_marks`: what lies between the marks is above 0",
        ),
        (
            "\"stop_at\": \"failing\"",
            "\"marks\": { \"filled_with\": \"fuel\", \"dipstick\": true }",
            "`items[0].marks.dipstick`: the dipstick of the profile is that of a machine",
        ),
        (
            "\"stop_at\": \"failing\"",
            "\"marks\": { \"filled_with\": \"fuel\", \"lost_after\": 0 }",
            "`items[0].marks.lost_after`: fillings are counted from 1",
        ),
        (
            "\"kind\": \"level\"",
            "\"kind\": \"hose\", \"marks\": { \"filled_with\": \"fuel\" }",
            "`items[0].marks`: marks belong to a level that is read in %",
        ),
        (
            "\"drops\"",
            "\"\"",
            "`items[0].ladder[3]`: the text is empty",
        ),
        (
            "[{ \"effect\": \"fire\", \"beta\": 0.3 }]",
            "[]",
            "`items[0].effects`: an item needs an effect",
        ),
        (
            "0.3",
            "0",
            "`items[0].effects[0].beta`: beta must be above 0 and at most 1",
        ),
        (
            "0.3",
            "1.01",
            "`items[0].effects[0].beta`: beta must be above 0 and at most 1",
        ),
        (
            "0.3 }",
            "0.3 }, { \"effect\": \"fire\", \"beta\": 1 }",
            "`items[0].effects[1].effect`: the effect 'fire' stands here twice",
        ),
        (
            "0.3 }",
            "0.3, \"from\": \"worn\" }, { \"effect\": \"fire\", \"beta\": 0.2 }",
            "`items[0].effects[1].beta`: beta of fire is 0.3 from worn and only 0.2 from failed: a worse rung has what a better one has, with a chance no smaller",
        ),
        (
            "0.3 }",
            "0.3, \"fluid\": \"oil\" }",
            "`items[0].effects[0].fluid`: what comes out of this item is fuel",
        ),
        (
            "\"scope\": \"boat\",",
            "\"split_from\": \"drive-belt\", \"scope\": \"boat\",",
            "`items[0].split_from`: both are of the machine, or both of the boat",
        ),
        (
            "\"place\": \"static\",",
            "",
            "`items[0]`: a fluid needs the place it leaks from",
        ),
        (
            "\"fluid\": \"fuel\",",
            "",
            "`items[0].place`: a place needs the fluid that leaks",
        ),
        (
            "\"fluid\": \"fuel\",\n    \"place\": \"static\"",
            "\"fluid\": \"oil\",\n    \"place\": \"below-waterline\"",
            "`items[0].place`: no leak class is known for oil at a place of 'below-waterline'",
        ),
        (
            "\"to\": 50",
            "\"to\": 60",
            "`items[0].reading.bands[0]`: the band overlaps [1], which reaches 60",
        ),
        (
            "\"to\": 50",
            "\"to\": 20",
            "`items[0].reading.bands[1]`: a band runs from a value to a higher one",
        ),
        (
            "\"unit\": \"%\"",
            "\"unit\": \"bar\"",
            "`items[0].reading.unit`: bar does not measure a level",
        ),
        (
            "\"months\": 60, ",
            "",
            "`items[0].life`: a life needs hours or months above 0",
        ),
        (
            "\"months\": 60",
            "\"months\": 0",
            "`items[0].life`: a life needs hours or months above 0",
        ),
        (
            "\"seconds\": 5",
            "\"seconds\": 0",
            "`items[0].seconds`: a look takes at least a second",
        ),
        (
            "\"look_every_days\": 7,",
            "",
            "`items[0]`: a level needs look_every_days, at least 1",
        ),
        (
            "\"look_every_days\": 7",
            "\"look_every_days\": 0",
            "`items[0].look_every_days`: a level needs look_every_days, at least 1",
        ),
        (
            "\"station\": \"tank-room\"",
            "\"station\": \"tank-rom\"",
            "`items[0].station`: 'tank-rom' is no station known here; nearest is 'tank-room'",
        ),
        (
            "\"fuel-side\"",
            "\"nowhere\"",
            "`stations[0].after`: 'nowhere' is no station known here or given before",
        ),
        (
            "\"day-tank-tap\"",
            "\"day--tap\"",
            "`items[0].id`: 'day--tap' is no id: lower-case words and digits joined by hyphens, at most 64 characters",
        ),
        (
            "Feel below",
            "Feel\\nbelow",
            "`items[0].look`: the text holds a hidden control character, U+000A",
        ),
    ] {
        let told = one(ADDED, from, to);
        assert!(told.ends_with(&format!("field {expected}")), "{told}");
    }
    let cable = ADDED.replacen("\"kind\": \"level\"", "\"kind\": \"cable\"", 1);
    assert_eq!(
        told(&cable.replacen("\"look_every_days\": 7,", "", 1)),
        [""; 0]
    );
}

#[test]
fn titles_that_only_look_alike_are_refused() {
    let title = &Catalogue::built_in()
        .item("drive-belt")
        .expect("built in")
        .title;
    let twin = format!("\"{}\u{200b}\"", title);
    let told = one(ADDED, "\"Day tank tap\"", &twin);
    assert!(
        told.ends_with("`items[0].title`: the title looks just like that of 'drive-belt'"),
        "{told}"
    );
}

#[test]
fn every_complaint_is_told_in_the_order_of_the_file() {
    let text = ADDED
        .replacen("\"seconds\": 5", "\"seconds\": 0", 1)
        .replacen("\"stain\"", "\" \"", 1)
        .replacen("0.3", "2", 1);
    let told = told(&text);
    let fields: Vec<_> = told.iter().filter_map(|t| t.split('`').nth(1)).collect();
    assert_eq!(
        fields,
        [
            "items[0].ladder[1]",
            "items[0].effects[0].beta",
            "items[0].seconds"
        ]
    );
}

#[test]
fn a_file_too_large_is_not_read() {
    let told = told(&" ".repeat(LARGEST_FILE + 1));
    assert_eq!(
        told,
        ["my.json line 1, column 1: the file is larger than 1024 KiB"]
    );
}

#[test]
fn a_hidden_character_never_reaches_the_screen() {
    let told = told(&LIST.replacen("\"items\"", "\"it\u{1b}[2J\u{202e}ms\"", 1));
    assert!(
        !told
            .concat()
            .chars()
            .any(|c| c.is_control() || c == '\u{202e}'),
        "{told:?}"
    );
}

fn named(name: &str, text: &str) -> (String, String) {
    (name.to_owned(), text.to_owned())
}

#[test]
fn user_files_extend_and_override_whatever_their_order() {
    let list = LIST.replacen("\"title\": \"Pump\", ", "", 1).replacen(
        "raw-water-pump-seal",
        "day-tank-tap",
        1,
    );
    let daily = LIST.replacen("my-check", "daily", 1);
    let files = [
        named("a.json", &list),
        named("b.json", ADDED),
        named("c.json", &daily),
    ];
    let library = Library::with_user_files(&files).expect("good files");
    assert_eq!(
        library.checklists().len(),
        Library::built_in().checklists().len() + 1
    );
    assert_eq!(
        library.checklist("daily").map(|c| c.title.as_str()),
        Some("My check")
    );
    let row = &library.checklist("my-check").expect("added").phases[0].rows[0];
    assert_eq!(row.title, "Day tank tap");
    let rank = |id| library.catalogue.station_rank(id).expect("known");
    assert_eq!(rank("tank-room"), rank("fuel-side") + 1);
    assert!(library.catalogue.item("day-tank-tap").is_some());
    assert!(library.catalogue.item("drive-belt").is_some());
}

#[test]
fn complaints_of_all_user_files_are_told() {
    let files = [
        named(
            "a.json",
            &LIST.replacen("raw-water-pump-seal", "day-tank-tap", 1),
        ),
        named("b.json", "{"),
        named("c.json", LIST),
        named("d.json", LIST),
    ];
    let complaints = Library::with_user_files(&files).expect_err("three faults");
    let told: Vec<_> = complaints.iter().map(ToString::to_string).collect();
    assert_eq!(told.len(), 3, "{told:#?}");
    assert!(told[0].starts_with("b.json"));
    assert!(
        told[1].starts_with("a.json") && told[1].contains("'day-tank-tap' is no item known here")
    );
    assert_eq!(
        told[2],
        "d.json line 3, column 9: field `id`: the checklist 'my-check' stands in c.json too"
    );
}

#[test]
fn roles_are_known_words_named_once_and_never_none() {
    let scope = "\"scope\": \"boat\",";
    let item = |roles: &str| one(ADDED, scope, &format!("{scope} \"roles\": {roles},"));
    let known = "known are propulsion, generator, outboard, other";
    for (roles, expected) in [
        (
            "[\"outbord\"]",
            "field `items[0].roles[0]`: 'outbord' is no word known here; nearest is 'outboard'; ",
        ),
        ("[]", "field `items[0].roles`: name a role, or leave it out"),
        (
            "[\"other\", \"other\"]",
            "field `items[0].roles[1]`: the role 'other' stands here twice",
        ),
    ] {
        let told = item(roles);
        assert!(
            told.starts_with("line 7, column ") && told.contains(expected),
            "{told}"
        );
        assert_eq!(told.contains(known), expected.contains("no word"), "{told}");
    }
    assert_eq!(
        told(&ADDED.replacen(scope, &format!("{scope} \"roles\": [\"other\"],"), 1)),
        [""; 0]
    );
    let row = "\"station\": \"front\",";
    let told = one(
        LIST,
        row,
        &format!("{row} \"first_for\": [\"generator\", \"generator\"],"),
    );
    assert!(
        told.contains("field `phases[0].rows[0].first_for[1]`"),
        "{told}"
    );
    let state = "\"state\": \"cold\",";
    let before = |own: &str| one(LIST, state, &format!("{state} \"before_for\": [{own}],"));
    let told = before("{\"roles\": [\"generator\"], \"before\": \" \"}");
    assert!(
        told.contains("field `phases[0].before_for[0].before`"),
        "{told}"
    );
    let twice = "{\"roles\": [\"generator\"], \"before\": \"Lock it out.\"}";
    let told = before(&format!("{twice}, {twice}"));
    assert!(
        told.contains("field `phases[0].before_for[1].roles[0]`"),
        "{told}"
    );
}
