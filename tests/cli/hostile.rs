//! Text from others that would act on a terminal or a spreadsheet.

use serde_json::json;

use super::harness::{PROFILE, Place, session};

const EVIL: &str = "\u{1b}[2J\u{1b}]52;c;cm0=\u{7}\u{9b}31m\u{8}\r\u{202e}x\u{200b}\u{e0041}";

/// Nothing that acts or hides; line breaks are ours.
fn is_tame(text: &str) -> bool {
    let acts = |c: char| {
        (c.is_control() && c != '\n')
            || matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{e0000}'..='\u{e007f}')
    };
    !text.contains(acts)
}

fn evil_place() -> Place {
    let mut profile: serde_json::Value = serde_json::from_str(PROFILE).expect("JSON");
    profile["name"] = format!("Plover{EVIL}").into();
    profile["machines"][0]["name"] = format!("Engine{EVIL}").into();
    let place = Place::with(&profile.to_string());
    let picture = image::RgbImage::new(8, 8);
    let format = image::ImageFormat::Png;
    let saved = picture.save_with_format(place.path().join(EVIL), format);
    saved.expect("a file may be called so");
    place.record(&json!({"type":"walk","id":"w1","checklist":"daily","at":"2026-05-03T07:40:00+02:00","by":EVIL,"hours":1203.6,
        "looks":[{"item":"drive-belt","grade":"worn","note":EVIL,"wear":[{"mark":"chafe","where":EVIL,"against":EVIL}],"photos":[{"path":EVIL,"caption":EVIL}]},
                 {"item":"bilge-alarm","not_seen":format!("dark{EVIL}"),"close_by":EVIL}]}));
    place.record(&json!({"type":"plan","name":format!("p{EVIL}"),"hours":5}));
    place.record(&json!({"type":"part","part":"drive-belt","makers_number":EVIL,"fitted_number":format!("R{EVIL}"),
        "differs":EVIL,"fits":[format!("S{EVIL}")],"section":EVIL,"bought":EVIL,"note":EVIL}));
    place.record(&json!({"type":"spare","spare":"my-tin","title":format!("tin{EVIL}"),"lies":EVIL,"note":EVIL,
        "serves":["drive-belt"],"minutes":20,"litres":1.0}));
    place.record(&json!({"type":"stock","spare":"my-tin","moved":"counted","count":2,"note":EVIL}));
    place.record(&json!({"type":"deferral","item":"drive-belt","why":format!("=1+2{EVIL}"),"until":"2026-06-01"}));
    place
}

#[test]
fn no_answer_carries_anything_that_acts() {
    let place = evil_place();
    let mut shown = 0;
    for args in [
        &["boat", "show"][..],
        &["verdict"],
        &["defects"],
        &["defects", "--all", "--by", "person"],
        &["defects", "--csv"],
        &["defects", "--parts"],
        &["parts"],
        &["locker"],
        &["carry"],
        &["service", "show", "drive-belts"],
        &["explain", "drive-belt"],
        &["walks"],
        &["plan", "list"],
        &["leaving"],
        &["front", "w1"],
        &[
            "issue", "w1", "--why", EVIL, "--by", EVIL, "--to", "w1.html",
        ],
        &["issued"],
        &["fleet", "."],
        &["logbook", "check"],
        &["logbook", "export", "tables"],
    ] {
        for form in [&[][..], &["--json"]] {
            if form == ["--json"] && args.contains(&"--csv") {
                continue;
            }
            let run = place.run(&[args, form].concat());
            assert_eq!(run.code, Some(0), "{}: {}", run.line, run.stderr);
            assert!(is_tame(&run.stdout) && is_tame(&run.stderr), "{run}");
            shown += run.stdout.matches("⟪ESC⟫").count();
        }
    }
    assert!(shown > 5, "what would act is shown, not dropped");
    for entry in std::fs::read_dir(place.path().join("tables")).expect("tables") {
        let text = std::fs::read_to_string(entry.expect("a file").path()).expect("text");
        assert!(is_tame(&text), "{text}");
    }
}

#[test]
fn no_failure_carries_anything_that_acts() {
    let place = evil_place();
    let evil_file = place.file(
        "evil.json",
        &format!(
            "{{\"type\":\"repair\",\"item\":\"{}\",\"done\":\"x\"}}",
            "\u{202e}\u{9b}2J"
        ),
    );
    let evil_type = place.file(
        "type.json",
        &format!("{{\"type\":\"{}\"}}", "\u{202e}\u{9b}2J"),
    );
    let evil_field = place.file(
        "field.json",
        &format!(
            "{{\"type\":\"repair\",\"item\":\"drive-belt\",\"done\":\"x\",\"{}\":1}}",
            "\u{202e}\u{9b}2J"
        ),
    );
    let evil_own = place.file(
        "own.json",
        &format!(
            "{{\"type\":\"checklist\",\"id\":\"{}\"}}",
            "\u{202e}\u{9b}2J"
        ),
    );
    let evil_rates = place.file(
        "rates.json",
        &format!(
            "{{\"type\":\"fleet-rates\",\"rows\":[{{\"kind\":\"{}\"}}]}}",
            "\u{202e}\u{9b}2J"
        ),
    );
    for args in [
        &["record", &evil_file][..],
        &["record", &evil_type],
        &["record", &evil_field],
        &["record", EVIL],
        &["checklist", "check", &evil_own],
        &["checklist", "show", EVIL],
        &["checklist", "schema", EVIL],
        &["explain", EVIL],
        &["repair", EVIL, "--done", "x"],
        &["verdict", "--walk", EVIL],
        &["verdict", "--machine", EVIL],
        &["defects", "--plan", EVIL],
        &["defects", "--waters", EVIL],
        &["defer", "drive-belt", "--why", "x", "--until", EVIL],
        &["leaving", "--work", EVIL],
        &["leaving", "--hands", EVIL],
        &["leaving", "--without", EVIL],
        &["front", EVIL],
        &["front", "w1", &format!("{EVIL}=x")],
        &["front", "w1", &format!("client={EVIL}")],
        &["issue", EVIL, "--to", "x.html"],
        &["issue", "w1", "--to", "x.html", "--number", EVIL],
        &["issue", "w1", "--to", EVIL],
        &["issued", EVIL, "--to", "x.html"],
        &["verify", EVIL, "SKNX4Q-07S8H8-J2WP4Y"],
        &["verify", &evil_file, EVIL],
        &["verify", &evil_file, "SKNX4Q-07S8H8-J2WP4Y"],
        &["fleet", EVIL],
        &["fleet", "--what", EVIL],
        &["learning", "start", EVIL],
        &["learning", "start", &evil_rates],
        &["logbook", "merge", EVIL],
        &["walk", EVIL],
        &["man", EVIL],
        &["completions", EVIL],
        &[EVIL],
        &["defects", "--theme", EVIL],
        &["defects", "--logbook", EVIL],
    ] {
        let run = place.run(args);
        assert!(matches!(run.code, Some(1..=3)), "{run}");
        assert!(is_tame(&run.stdout) && is_tame(&run.stderr), "{run}");
    }
}

#[test]
fn a_spreadsheet_takes_no_cell_for_a_formula() {
    let place = evil_place();
    let run = place.run(&["defects", "--csv"]);
    let mut reader = csv::Reader::from_reader(run.stdout.as_bytes());
    let head = reader.headers().expect("a head").clone();
    let row = reader.records().next().expect("a row").expect("a row");
    let why = head
        .iter()
        .position(|c| c == "deferred_why")
        .expect("a column");
    assert!(row[why].starts_with("'=1+2"), "{}", &row[why]);
    for cell in &row {
        let number = cell.parse::<f64>().is_ok();
        assert!(
            number || !cell.starts_with(['=', '+', '-', '@', '\t', '\r']),
            "{cell}"
        );
    }
}

#[test]
fn odd_files_are_refused_in_one_sentence() {
    let place = Place::with_boat();
    let deep = format!("{{\"type\":\"repair\",\"item\":{}", "[".repeat(200_000));
    let runs: Vec<_> = [
        ("deep.json", deep.as_bytes()),
        ("latin.json", b"{\"type\":\"repair\",\n\"item\":\"\xe9\"}"),
        ("nul.json", b"\0\0\0\0"),
    ]
    .iter()
    .map(|(name, bytes)| {
        std::fs::write(place.path().join(name), bytes).expect("written");
        place.run(&["record", name])
    })
    .collect();
    assert!(
        runs.iter()
            .all(|r| r.code == Some(2) && r.stderr.lines().count() == 1)
    );
    insta::assert_snapshot!(session(&runs));
    let folder = place.run(&["record", "."]);
    assert_eq!(folder.code, Some(2));
}
