//! The pages the program writes, looked at in a browser: WCAG 2.2 by axe-core, HTML by html-validate, a window
//! of 320 pixels, wider letters, A4 and Letter. What looks is in `look.mjs` with its exact packages beside it;
//! `.ci/run` installs them. Where a tool is missing that is said with the word SKIPPED.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, missing_docs)]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::rc::Rc;
use std::sync::Arc;

use handlamp::checklist::Library;
use handlamp::logbook::book::Book;
use handlamp::logbook::{FixedClock, Folder};
use handlamp::report::class::Class;
use handlamp::report::gather::Source;
use handlamp::report::making::Progress;
use handlamp::report::parts::{IssuedPart, OwnWalk, RevisionPart, WithdrawnPart};
use handlamp::report::pictures::{PhotoSize, put_pictures};
use handlamp::report::words::Language;
use handlamp::report::{Report, html, of_now, of_walk, proof};
use handlamp::walk::{FrontFact, FrontMatter};
use serde_json::{Value, json};

#[path = "../cli/harness.rs"]
#[allow(
    dead_code,
    reason = "shared with the tests of the commands, which use all of it"
)]
mod harness;

#[path = "../skip/mod.rs"]
#[allow(dead_code)]
mod skip;

use harness::Place;
use skip::skipped;

const NOW: &str = "2026-05-04T09:00:00+02:00";

/// A picture of shapes, so that it is neither empty nor noise.
fn photograph(seed: u32, (width, height): (u32, u32)) -> Vec<u8> {
    let picture = image::RgbImage::from_fn(width, height, |x, y| {
        let wave = |n: u32| ((f64::from(n + 37 * seed) / 41.0).sin() * 60.0 + 120.0) as u8;
        let grain = ((x * 7919 + y * 104_729 + seed) % 23) as u8;
        image::Rgb([wave(x) + grain, wave(y) + grain, wave(x + y) + grain])
    });
    let mut out = Vec::new();
    let mut encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut out, 90);
    encoder.encode_image(&picture).expect("encoded");
    out
}

/// A boat with a survey of findings of every class, photographs, a trial, gaps and the seller's words.
fn surveyed() -> Place {
    let mut place = Place::with_boat();
    for n in 0..6 {
        std::fs::write(
            place.path().join(format!("{n}.jpg")),
            photograph(n, (1600, 1200)),
        )
        .expect("written");
    }
    let photos = |of: &[u32]| {
        let of = of.iter();
        let of =
            of.map(|n| json!({"path":format!("{n}.jpg"),"caption":format!("view {n}, as found")}));
        Value::from(of.collect::<Vec<_>>())
    };
    place.record(&json!({"type":"walk","id":"s1","checklist":"survey","machine":"main","at":"2026-05-03T08:00:00+02:00",
        "by":"A. Tern","hours":1203.6,"blind":true,
        "agreed":{"runs":"the owner","samples":"engine oil","may_open":"the pump cover"},
        "told":[{"items":["fuel-hoses"],"whom":"the owner","at":"2026-05-03T08:40:00+02:00"}],
        "looks":[
        {"item":"fuel-hoses","phase":"oil-and-fuel","grade":"failed","leak":"ii","said":"new last year","note":"wet from the clip down to the tray","photos":photos(&[0, 1])},
        {"item":"drive-belt","phase":"wet-side","grade":"failing","note":"cords showing over two hand-widths","photos":photos(&[2])},
        {"item":"raw-water-pump-seal","grade":"early","leak":"i","note":"damp below the hole"},
        {"item":"engine-mounts","grade":"worn","wear":[{"mark":"crack","where":"after port mount","against":"bracket"}],"photos":photos(&[3])},
        {"item":"engine-seacock","grade":"worn","said":"moves well in summer"},
        {"item":"engine-space-lighting","grade":"early"},
        {"item":"engine-oil-level","grade":"sound","reading":{"value":80,"unit":"%"},"photos":photos(&[4])},
        {"item":"oil-pressure","phase":"under-way","grade":"sound","at_rpm":1500,"reading":{"value":3.1,"unit":"bar"}},
        {"item":"oil-pressure","phase":"under-way","grade":"early","at_rpm":2000,"reading":{"value":2.2,"unit":"bar"}},
        {"item":"coolant-temperature","phase":"under-way","grade":"sound","at_rpm":2000,"reading":{"value":82,"unit":"C"}},
        {"item":"shaft-alignment","not_seen":"lining screwed down","close_by":"lift the aft board"},
        {"item":"engine-oil-sample","not_seen":"no bottle","close_by":"send one with the next oil change"}]}));
    place.at(NOW);
    let estimate = [
        "cost",
        "drive-belt",
        "--low",
        "40",
        "--likely",
        "60",
        "--high",
        "200",
        "--currency",
        "EUR",
    ];
    assert_eq!(place.run(&estimate).code, Some(0));
    place
}

/// The report of a walk of this logbook, or of all of it, with its photographs.
fn report(place: &Place, walk: Option<&str>, language: Language) -> Report {
    let now = NOW.parse().expect("a time");
    let library = Arc::new(Library::built_in().clone());
    let clock = Rc::new(FixedClock::new(now));
    let book = Book::open(&place.logbook(), clock, library, Some(1)).expect("it opens");
    let history = book.history();
    let source = Source {
        boat: book.boat(),
        library: book.library(),
        history,
        now,
    };
    let mut report = match walk {
        Some(id) => of_walk(&source, history.walk(id).expect("the walk"), language),
        None => of_now(&source, language),
    };
    let folder = Folder::new(place.logbook());
    let progress = Progress::default();
    assert_eq!(
        put_pictures(&mut report, PhotoSize::Usual, &folder, &progress),
        0
    );
    report
}

/// The same as it is issued: numbered, with front matter, a revision, an addendum and a withdrawn finding.
fn issued(place: &Place, language: Language) -> Report {
    let at = |text: &str| text.parse().expect("a time");
    let walks = [("A. Tern", false), ("B. Knot", true)].map(|(by, assistant)| OwnWalk {
        walk: "s1".to_owned(),
        by: Some(by.to_owned()),
        assistant,
    });
    let revision = |revision: &str, addendum, what: &str| RevisionPart {
        revision: revision.to_owned(),
        addendum,
        at: at("2026-05-04T18:00:00+02:00"),
        what: what.to_owned(),
        why: addendum.then(|| "the laboratory answered".to_owned()),
    };
    let front = [
        (FrontFact::Client, "C. Curlew"),
        (
            FrontFact::Instruction,
            "2026-04-28: engine and gearbox before purchase",
        ),
        (FrontFact::Users, "her insurer"),
        (FrontFact::Surveyor, "A. Tern, Quay 3"),
        (FrontFact::Qualification, "engineer, twenty years in yards"),
        (FrontFact::Place, "the town quay"),
        (FrontFact::Lying, "afloat"),
        (FrontFact::Arrival, "cold"),
        (FrontFact::Weather, "light air, 12 C, water 9 C"),
        (FrontFact::Attending, "the owner, who ran the engine"),
        (FrontFact::Engine, "four cylinders, as on the plate"),
        (FrontFact::EngineSerial, "not found"),
        (
            FrontFact::Instruments,
            "infrared thermometer, spot 1:12, compared with boiling water\nhand tachometer",
        ),
        (FrontFact::Documents, "log from 2019\nhandbook"),
        (
            FrontFact::OilAnalysis,
            "gearbox: iron; 42 ppm; 75 ppm\nwater; 0.05 %\nengine oil: result outstanding",
        ),
    ];
    let front = front.map(|(fact, text)| (fact, text.to_owned()));
    Report {
        front: FrontMatter(BTreeMap::from(front)),
        issued: Some(IssuedPart {
            number: "T-2026-014".to_owned(),
            revision: "B".to_owned(),
            at: at("2026-05-04T18:00:00+02:00"),
            walks: walks.into(),
            revisions: vec![
                revision("A", false, "issued"),
                revision("1", true, "oil result of the gearbox"),
                revision("B", false, "finding 7 withdrawn"),
            ],
            withdrawn: vec![WithdrawnPart {
                number: 7,
                item: "drip-tray".to_owned(),
                title: "Drip tray".to_owned(),
                why: "seen at the wrong boat".to_owned(),
            }],
            not_in_it: vec!["3 looks of the owner.".into()],
            costs: false,
        }),
        ..report(place, Some("s1"), language)
    }
}

const CODE: &str = "K7QM2-X4RT9-BC6WD-5HNPA";

/// A page as whoever issues it hands it out.
fn filled(report: &Report) -> String {
    let page = html::html(report);
    page.replace(proof::CODE, CODE)
        .replace(proof::DIGEST, "9F3A-51C2")
}

fn pdf_text(pdf: &Path) -> Vec<String> {
    let output = Command::new("pdftotext")
        .arg("-layout")
        .arg(pdf)
        .arg("-")
        .output();
    let text = String::from_utf8_lossy(&output.expect("pdftotext").stdout).into_owned();
    let mut pages: Vec<String> = text.split('\u{c}').map(str::to_owned).collect();
    pages.pop();
    pages
}

#[test]
fn every_page_is_valid_and_can_be_used_by_everybody_on_screen_and_on_paper() {
    let place = surveyed();
    let pages = place.path().join("pages");
    std::fs::create_dir(&pages).expect("made");
    let mut named: Vec<PathBuf> = Vec::new();
    let mut put = |name: &str, text: String| {
        let path = pages.join(name);
        std::fs::write(&path, text).expect("written");
        named.push(path);
    };
    put(
        "draft.html",
        html::html(&report(&place, Some("s1"), Language::English)),
    );
    put("issued.html", filled(&issued(&place, Language::English)));
    put("issued-de.html", filled(&issued(&place, Language::German)));
    put(
        "logbook.html",
        html::html(&report(&place, None, Language::English)),
    );
    let demo = place.path().join("demo");
    let folder = demo.to_str().expect("UTF-8");
    assert_eq!(place.run(&["demo", "--json", folder]).code, Some(0));
    let walks: Value = {
        let run = place.run(&["--logbook", folder, "walks", "--json"]);
        serde_json::from_str(&run.stdout).expect("JSON")
    };
    let mut rows = walks["rows"].as_array().expect("rows").iter();
    let survey = rows.find(|row| row["checklist"] == "survey").expect("one");
    let survey = survey["id"].as_str().expect("an id");
    for args in [
        ["report", survey, "--to", "demo.html"].as_slice(),
        &["report", "now", "--to", "demo-now.html"],
        &["hand-over", "hand-over.html"],
        &["first-minute", "--to", "hatch.html"],
        &["checklist", "sheet", "survey", "--html", "sheet.html"],
    ] {
        let run = place.run(&[&["--logbook", folder], args].concat());
        assert_eq!(run.code, Some(0), "{}", run.stderr);
        let name = args.iter().find(|a| a.ends_with(".html")).expect("a page");
        put(
            name,
            std::fs::read_to_string(place.path().join(name)).expect("written"),
        );
    }
    if let Ok(kept) = std::env::var("HANDLAMP_KEEP_PAGES") {
        std::fs::create_dir_all(&kept).expect("made");
        for path in &named {
            let name = path.file_name().expect("a name");
            std::fs::copy(path, Path::new(&kept).join(name)).expect("copied");
        }
    }
    let Some(found) = looked(&pages, &named) else {
        return;
    };
    for (page, told) in found.as_object().expect("pages") {
        let faults = told["faults"].as_array().expect("a list");
        let faults: Vec<_> = faults.iter().filter_map(Value::as_str).collect();
        assert!(faults.is_empty(), "{page}:\n{}", faults.join("\n"));
    }
    for (name, foot) in [
        ("draft", "Draft, not issued"),
        ("issued", "Report T-2026-014, revision B"),
        ("issued-de", "Bericht T-2026-014, Revision B"),
    ] {
        for size in ["A4", "Letter"] {
            let sheets = pdf_text(&pages.join(format!("{name}-{size}.pdf")));
            eprintln!("{name} {size}: {} sheets", sheets.len());
            for (n, sheet) in sheets.iter().enumerate() {
                let number = match name {
                    "issued-de" => format!("Seite {} von {}", n + 1, sheets.len()),
                    _ => format!("Page {} of {}", n + 1, sheets.len()),
                };
                assert!(sheet.contains(foot), "{name} {size} {n}: {sheet}");
                assert!(
                    sheet.contains(&number),
                    "{name} {size}: {number} in {sheet}"
                );
                assert_eq!(sheet.contains(CODE), name != "draft", "{name} {size} {n}");
                let words = sheet.split_whitespace().count();
                assert!(
                    words > 60,
                    "{name} {size} {n}: a sheet of {words} words: {sheet}"
                );
            }
            let all = sheets.join(" ");
            let last = if name == "issued-de" {
                "Was gesehen"
            } else {
                "What was seen"
            };
            let opened = all.contains(last) || all.contains("What was seen");
            assert!(opened, "{name} {size}: the appendix opens by itself");
        }
    }
}

/// What the browser and the two judges say; none where one of them is not here.
fn looked(folder: &Path, pages: &[PathBuf]) -> Option<Value> {
    let names = ["chromium", "chromium-browser"];
    let there = |name: &&&str| Command::new(name).arg("--version").output().is_ok();
    let Some(browser) = names.iter().find(there) else {
        skipped(
            "pages",
            "chromium is not here; no page was looked at in one",
        );
        return None;
    };
    if Command::new("pdftotext").arg("-v").output().is_err() {
        skipped(
            "pages",
            "pdftotext is not here; no page was looked at on paper",
        );
        return None;
    }
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/pages/look.mjs");
    let out = Command::new("node")
        .arg(script)
        .arg(browser)
        .arg(folder)
        .args(pages)
        .env("HOME", folder)
        .output();
    let Ok(out) = out else {
        skipped("pages", "node is not here; no page was looked at");
        return None;
    };
    let said = String::from_utf8_lossy(&out.stdout).into_owned();
    if out.status.code() == Some(77) {
        skipped("pages", said.trim());
        return None;
    }
    let wrong = String::from_utf8_lossy(&out.stderr);
    assert!(out.status.success(), "{wrong}{said}");
    Some(serde_json::from_str(&said).expect("JSON"))
}

#[test]
fn a_draft_has_no_mark_of_proof_and_an_issued_page_has_one_for_each_part() {
    let place = surveyed();
    let draft = html::html(&report(&place, Some("s1"), Language::English));
    assert!(!draft.contains("<!--") && !draft.contains(['\u{1}', '\u{2}', '\u{3}']));
    let issued = issued(&place, Language::English);
    let page = html::html(&issued);
    assert_eq!(page.matches(proof::CODE).count(), 2, "front page and foot");
    let (begun, ended) = (
        page.matches("<!--part ").count(),
        page.matches(proof::ENDS).count(),
    );
    assert_eq!(begun, ended);
    assert_eq!(
        page.matches(proof::DIGEST).count(),
        begun,
        "each part has its digest"
    );
    let mut wanted = vec![proof::begins("front page")];
    for d in &issued.defects {
        wanted.push(proof::begins(&format!("finding {}", d.row.rank)));
    }
    wanted.push(proof::begins("photograph 1a"));
    wanted.push(proof::begins("section recommendations"));
    for part in &wanted {
        assert_eq!(page.matches(part.as_str()).count(), 1, "{part}");
    }
    // Costs were not to be in it, and one walk alone tells nothing in time.
    assert!(!page.contains("id=\"costs\"") && draft.contains("id=\"costs\""));
}

/// How long each finding may wait, by the classes of port state control and survey practice: a stop rule is
/// before use, a high or serious risk has a date, nothing that has failed is left to be watched.
#[test]
fn each_finding_has_the_class_its_risk_asks_for() {
    let place = surveyed();
    let report = report(&place, Some("s1"), Language::English);
    let mut known = Vec::new();
    for advice in &report.recommendations {
        let Some(rank) = advice.rank else {
            assert_eq!(advice.class, None, "a gap has none");
            continue;
        };
        let row = &report.defects[rank - 1].row;
        let class = advice.class.expect("a class");
        assert_eq!(class == Class::BeforeUse, row.stop, "{}", row.item);
        if matches!(row.risk.as_str(), "high" | "serious") {
            assert!(class <= Class::ByDate, "{}", row.item);
        }
        if row.grade.rung() >= 2 {
            assert!(class <= Class::NextLayUp, "{}", row.item);
        }
        known.push(class);
    }
    assert!(
        known.contains(&Class::BeforeUse) && known.len() >= 5,
        "{known:?}"
    );
    let page = html::html(&report);
    assert!(page.contains("should be put right before the machinery is run."));
}
