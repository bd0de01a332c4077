//! `report`: what it says in each form, and that it replaces a file whole or not at all.

use scraper::{Html, Selector};
use serde_json::{Value, json};

use super::harness::{Place, full_walk};
use super::pictures::{jpeg, looks, picture, survey};

/// A boat with everything a report can tell: findings, readings of weeks, estimates, services,
/// things not seen, looks by engine speed.
pub fn full_place() -> Place {
    let mut place = Place::with_boat();
    for week in 0..8_u32 {
        let day = chrono::NaiveDate::from_ymd_opt(2026, 5, 1).expect("a date")
            + chrono::Duration::days(i64::from(week) * 7);
        let at = format!("{day}T07:40:00+02:00");
        let looks = [
            json!({"item":"drive-belt","grade":if week > 4 {"worn"} else {"sound"}}),
            json!({"item":"engine-oil-level","phase":"cold","grade":"sound","reading":{"value":90 - 4 * week,"unit":"%"},
                   "grade_reason":"between the marks"}),
            json!({"item":"oil-pressure","phase":"idle","grade":"sound","reading":{"value":3.1,"unit":"bar"},"at_rpm":850}),
        ];
        let walk = full_walk(
            &format!("w{week}"),
            &at,
            1200.0 + 5.0 * f64::from(week),
            &looks,
        );
        place.at(&format!("{day}T09:00:00+02:00"));
        place.record(&serde_json::from_str(&walk).expect("JSON"));
    }
    place.record(&json!({"type":"walk","id":"s1","checklist":"survey","machine":"main","at":"2026-06-19T10:00:00+02:00",
        "by":"R. Quay","hours":1236.0,"looks":[
        {"item":"raw-water-pump-seal","grade":"early","note":"damp below the hole","leak":"i"},
        {"item":"fuel-hoses","grade":"failing","note":"<img src=http://h.example/x>"},
        {"item":"oil-pressure","grade":"sound","reading":{"value":2.9,"unit":"bar"},"at_rpm":900},
        {"item":"oil-pressure","grade":"sound","reading":{"value":3.6,"unit":"bar"},"at_rpm":2000},
        {"item":"shaft-alignment","not_seen":"lining screwed down","close_by":"lift the aft board"}]}));
    place.at("2026-06-19T16:00:00+02:00");
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
    let done = place.run(&["service", "done", "oil-and-filter", "--hours", "1236"]);
    assert_eq!(done.code, Some(0), "{}", done.stderr);
    place.at("2026-06-19T17:00:00+02:00");
    place
}

pub fn written(place: &Place, of: &str, name: &str) -> String {
    let run = place.run(&["report", of, "--to", name]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    std::fs::read_to_string(place.path().join(name)).expect("written")
}

#[test]
fn a_report_tells_everything_there_is_to_tell() {
    let place = full_place();
    let text = written(&place, "w7", "w7.json");
    let path = format!("{}/assets/schema/report.json", env!("CARGO_MANIFEST_DIR"));
    let schema = std::fs::read_to_string(path).expect("the schema is committed");
    let schema = serde_json::from_str(&schema).expect("JSON");
    let report: Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(report["schema"], "handlamp/report/1");
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    let faults: Vec<_> = validator
        .iter_errors(&report)
        .map(|e| e.to_string())
        .collect();
    assert!(faults.is_empty(), "{faults:?}");
    let sealed = place.json("logbook-seal", &["logbook", "seal", "--walk", "w7"]);
    assert_eq!(
        report["seal"]["code"], sealed["code"],
        "the walk's own seal"
    );
    let page = written(&place, "w7", "w7.html");
    let marked = written(&place, "w7", "w7.md");
    for heading in [
        "Summary",
        "Scope",
        "Limitations",
        "Not seen",
        "Coverage",
        "Stations",
        "Defects, worst first",
        "Recommendations",
        "Costs",
        "Readings",
        "Sea trial",
        "Appendix: every look of the walk",
        "How the numbers come about",
        "Cautions",
        "Seal of the records",
    ] {
        assert!(
            page.contains(&format!("title\">{heading}</h2>")),
            "{heading}"
        );
        assert!(marked.contains(&format!("## {heading}\n")), "{heading}");
    }
    let code = sealed["code"].as_str().expect("a code");
    assert!(page.contains(code));
    // The two ways of adding up stand explained.
    assert!(
        page.contains("if one job says nothing of another")
            && page.contains("dear or cheap together")
    );
    // The oil level falls and is drawn with its line; the pressure does not and has none.
    assert!(page.contains("Readings of Engine oil level"));
    assert!(page.contains("Theil–Sen line"));
    assert!(!page.to_lowercase().contains("hereby certif"));
}

#[test]
fn a_survey_reports_gaps_speeds_and_how_to_close_them() {
    let place = full_place();
    let report: Value = serde_json::from_str(&written(&place, "s1", "s1.json")).expect("JSON");
    assert_eq!(report["verdict"], json!(null), "a survey has none");
    let rows = report["trial"]["rows"].as_array().expect("rows");
    let columns = report["trial"]["columns"].as_array().expect("columns");
    let oil = columns.iter().position(|c| c["item"] == "oil-pressure");
    let oil = oil.expect("a column");
    let looked = |row: &&Value| !row["cells"][oil]["looks"][0].is_null();
    let read = rows.iter().filter(looked).map(|row| {
        let look = &row["cells"][oil]["looks"][0];
        (
            row["rpm"].clone(),
            look["reading"].clone(),
            look["grade"].clone(),
        )
    });
    let at = |rpm: u32, reading: &str| (json!(rpm), json!(reading), json!("sound"));
    assert_eq!(
        read.collect::<Vec<_>>(),
        [at(900, "2.9 bar"), at(2000, "3.6 bar")]
    );
    let advice = report["recommendations"].as_array().expect("rows");
    let numbers: Vec<_> = advice.iter().map(|r| r["number"].as_u64()).collect();
    assert_eq!(
        numbers,
        (1..=advice.len() as u64).map(Some).collect::<Vec<_>>()
    );
    let gap = advice.last().expect("a gap");
    assert_eq!(gap["what"], "lift the aft board");
    assert_eq!(gap["rank"], json!(null));
    assert!(report["coverage"]["weighted"].as_f64().expect("a share") < 1.0);
    assert!(
        !report["coverage"]["hidden"]
            .as_array()
            .expect("rows")
            .is_empty()
    );
}

#[test]
fn what_was_agreed_said_told_and_photographed_stands_in_its_place() {
    let place = Place::with_boat();
    picture(&place, "trial/hose.jpg", &jpeg());
    place.record(&survey(looks()));
    let page = written(&place, "s1", "s1.html");
    for told in [
        "Walked blind",
        "Who runs the engine: <bdi>the owner</bdi>",
        "What may be opened: not agreed",
        "What owner or seller said",
        "new last year",
        "Unsafe findings, and who was told",
    ] {
        assert!(page.contains(told), "{told}");
    }
    let article = page.split("<article ").nth(1).expect("a defect");
    let article = article.split("</article>").next().expect("its end");
    assert!(
        article.contains("<img src=\"data:image/jpeg;base64,/9j/"),
        "beside its finding"
    );
    assert!(article.contains("<figcaption><b>1a</b> <bdi>at the lift pump</bdi>"));
    assert_eq!(page.matches("<img ").count(), 1, "and nowhere else");
    assert!(!page.contains("Other photographs"));
    // A picture that is gone leaves its caption and the rest of the report.
    std::fs::remove_dir_all(place.logbook().join("photos")).expect("removed");
    let page = written(&place, "s1", "again.html");
    assert!(!page.contains("<img "));
    assert!(page.contains("at the lift pump"));
}

/// A survey with a photograph of each of these items, each of one colour.
fn photographed(items: &[&str]) -> Place {
    let place = Place::with_boat();
    let mut sheet = survey(json!([]));
    for (n, item) in items.iter().enumerate() {
        let mut out = Vec::new();
        let mut encoder = image::codecs::jpeg::JpegEncoder::new(&mut out);
        let colour = image::Rgb([40 * n as u8, 120, 60]);
        let plain = image::RgbImage::from_pixel(320, 240, colour);
        encoder.encode_image(&plain).expect("encoded");
        picture(&place, &format!("trial/{n}.jpg"), &out);
        let look = json!({"item":item,"grade":"worn","photos":[{"path":format!("trial/{n}.jpg"),"caption":item}]});
        sheet["looks"].as_array_mut().expect("a list").push(look);
    }
    sheet["told"] = json!([]);
    place.record(&sheet);
    place
}

const ITEMS: [&str; 5] = [
    "fuel-hoses",
    "bilge-water",
    "drive-belt",
    "bilge-oil",
    "engine-space-smell",
];

#[test]
fn the_same_report_has_the_same_bytes_and_its_pictures_beside_their_items() {
    let place = photographed(&ITEMS);
    let first = written(&place, "s1", "first.html");
    assert_eq!(first.matches("<img ").count(), ITEMS.len());
    for n in 0..8 {
        let again = written(&place, "s1", &format!("{n}.html"));
        assert!(again == first, "run {n} differs");
    }
    // A picture of each colour stands with the caption of its item.
    let figures: Vec<_> = first.split("\"><img ").skip(1).collect();
    for figure in figures {
        let address = figure.split('"').nth(1).expect("an address");
        let told = figure.split('"').nth(3).expect("an alternative");
        let caption = told.rsplit(": ").next().expect("a caption");
        let shown = decoded(address);
        let n = ITEMS.iter().position(|i| *i == caption).expect("an item");
        let red = image::load_from_memory(&shown)
            .expect("a picture")
            .to_rgb8()[(9, 9)][0];
        assert!(red.abs_diff(40 * n as u8) < 6, "{caption}: {red}");
    }
}

/// The bytes behind an address of base64 (RFC 4648, section 4).
fn decoded(address: &str) -> Vec<u8> {
    let letters = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let (_, text) = address.split_once("base64,").expect("base64");
    let mut bits = 0_u32;
    let mut out = Vec::new();
    for (n, c) in text.bytes().filter(|c| *c != b'=').enumerate() {
        let value = letters.iter().position(|l| *l == c).expect("a letter");
        bits = bits << 6 | value as u32;
        if n % 4 > 0 {
            out.push((bits >> (6 - 2 * (n % 4))) as u8);
        }
    }
    out
}

#[test]
fn where_nobody_watches_nothing_is_said_of_how_far_it_is() {
    let place = photographed(&ITEMS);
    let run = place.run(&["report", "s1", "--to", "s1.html"]);
    assert_eq!(run.code, Some(0), "{run}");
    assert_eq!(run.stderr, "");
}

#[test]
fn photographs_that_cannot_be_read_are_counted() {
    let place = photographed(&ITEMS);
    let folder = place.logbook().join("photos");
    let mut names: Vec<_> = std::fs::read_dir(&folder)
        .expect("a folder")
        .map(|e| e.expect("a name").path())
        .collect();
    names.sort();
    std::fs::remove_file(&names[0]).expect("removed");
    std::fs::write(&names[1], b"spoilt").expect("spoilt");
    let run = place.run(&["report", "s1", "--to", "s1.html"]);
    assert_eq!(run.code, Some(0), "{run}");
    assert_eq!(
        run.stderr,
        "handlamp: 2 photograph(s) cannot be read and are left out; see: handlamp logbook check\n"
    );
    let body = place.json("report-written", &["report", "s1", "--to", "s1.html"]);
    assert_eq!(body["left_out"], 2);
    let page = std::fs::read_to_string(place.path().join("s1.html")).expect("read");
    assert_eq!(page.matches("<img ").count(), ITEMS.len() - 2);
    // The page itself says it, by name.
    let told = page
        .split("2 photographs cannot be read and are left out: ")
        .nth(1);
    let told = told.and_then(|rest| rest.split("</li>").next());
    assert_eq!(told.expect("said").matches("<bdi>").count(), 2, "{told:?}");
}

#[test]
fn the_logbook_now_is_reported_with_services() {
    let place = full_place();
    let page = written(&place, "now", "now.html");
    for heading in ["Recurring work", "Seal of the records"] {
        assert!(
            page.contains(&format!("title\">{heading}</h2>")),
            "{heading}"
        );
    }
    assert!(!page.contains("<h2>Coverage</h2>"), "that is of a walk");
}

#[test]
fn without_estimates_or_readings_nothing_is_said_of_them() {
    let place = Place::with_findings();
    let page = written(&place, "w1", "w1.html");
    for heading in ["Costs", "Readings", "Sea trial"] {
        assert!(
            !page.contains(&format!("title\">{heading}</h2>")),
            "{heading}"
        );
    }
}

#[test]
fn what_is_no_plain_file_is_refused_with_a_sentence() {
    let place = Place::with_findings();
    let at = |name: &str| place.path().join(name);
    std::fs::create_dir(at("folder.html")).expect("made");
    std::fs::write(at("target"), "mine").expect("written");
    std::os::unix::fs::symlink(at("target"), at("link.html")).expect("linked");
    std::os::unix::fs::symlink("/dev/null", at("null.html")).expect("linked");
    std::os::unix::net::UnixListener::bind(at("pipe.html")).expect("made");
    for (of, to, says) in [
        ("w1", "folder.html", "is a folder; name a plain file"),
        (
            "w1",
            "link.html",
            "is a link to somewhere else; name a plain file",
        ),
        (
            "w1",
            "null.html",
            "is a link to somewhere else; name a plain file",
        ),
        ("w1", "pipe.html", "is a device or pipe; name a plain file"),
        (
            "w1",
            "report.pdf",
            "says no form; end it in .html, .md, .csv or .json",
        ),
        (
            "w1",
            "report",
            "says no form; end it in .html, .md, .csv or .json",
        ),
        ("w9", "report.html", "w9"),
    ] {
        let run = place.run(&["report", of, "--to", to]);
        assert_eq!(run.code, Some(2), "{run}");
        assert!(run.stderr.contains(says), "{run}");
        assert!(run.stdout.is_empty());
    }
    assert_eq!(std::fs::read_to_string(at("target")).expect("read"), "mine");
    assert!(!at("report.html").exists());
}

#[test]
fn an_earlier_report_is_replaced_whole_or_stays() {
    let place = Place::with_findings();
    let path = place.path().join("out/report.html");
    std::fs::create_dir(place.path().join("out")).expect("made");
    std::fs::write(&path, "an earlier report").expect("written");
    let args = ["report", "w1", "--to", "out/report.html"];
    let Some(run) = place.run_limited(4096, &args) else {
        crate::skip::skipped("prlimit", "no limit can be set; no disk was filled");
        return;
    };
    assert_eq!(run.code, Some(3), "{run}");
    assert!(run.stderr.contains("cannot be written"), "{run}");
    let kept = || std::fs::read_to_string(&path).expect("read");
    assert_eq!(kept(), "an earlier report");
    let names = || {
        std::fs::read_dir(place.path().join("out"))
            .expect("a folder")
            .count()
    };
    assert_eq!(names(), 1, "nothing half written is left beside it");
    assert_eq!(place.run(&args).code, Some(0));
    assert!(kept().ends_with("</html>\n"));
}

/// Each finding's ladder in time is a drawing with a name and a description, drawn inside its own edges;
/// Markdown says the same in words.
#[test]
fn a_finding_stands_in_time_drawn_and_in_words() {
    let place = full_place();
    let page = Html::parse_document(&written(&place, "now", "now.html"));
    let of = |selector: &str| Selector::parse(selector).expect("a selector");
    let (mut drawn, [svg, text]) = (0, [of("article svg"), of("text")]);
    for ladder in page.select(&svg) {
        let named = ladder.attr("aria-labelledby").expect("it is named");
        let words: Vec<String> = named
            .split(' ')
            .map(|id| {
                page.select(&of(&format!("#{id}")))
                    .next()
                    .expect("of the page")
            })
            .map(|said| said.text().collect())
            .collect();
        assert!(words[0].contains("in time"), "{words:?}");
        assert!(words[1].starts_with("Graded "), "{words:?}");
        for label in ladder.select(&text) {
            let at = |name| label.attr(name).and_then(|v| v.parse::<f64>().ok());
            let (x, y) = at("x").zip(at("y")).expect("its place");
            assert!((0.0..=720.0).contains(&x) && (0.0..=122.0).contains(&y));
        }
        drawn += 1;
    }
    assert!(drawn >= 1, "the book has findings");
    let marked = written(&place, "now", "now.md");
    assert_eq!(marked.matches("Graded ").count(), drawn);
    assert!(marked.contains("which is judgement"), "{marked}");
}

#[test]
fn a_german_report_says_why_a_row_ranks_and_which_stop_is_in_force_in_german() {
    let place = super::law::failing();
    let page = place.path().join("r.html");
    let to = page.to_str().expect("UTF-8");
    for of in ["now", "w2"] {
        let run = place.run(&["report", of, "--language", "de", "--to", to]);
        assert_eq!(run.code, Some(0), "{run}");
        let text = std::fs::read_to_string(&page).expect("text");
        for english in [
            "it stops at",
            "to fail within",
            " decides: ",
            "Stops the engine",
        ] {
            assert!(!text.contains(english), "{of}: {english}");
        }
        for german in ["Stopp ab: kurz vor dem Ausfall", "es entscheidet: "] {
            assert!(text.contains(german), "{of}: {german}");
        }
    }
}
