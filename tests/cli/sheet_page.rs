//! A checklist as a page to fill in: what stands on it by the word of a parser that is not this
//! program's, what a browser prints, and that what is typed up from it is taken.

use std::collections::BTreeSet;

use handlamp::boat::Role;
use handlamp::checklist::{
    Catalogue, CatalogueFile, Checklist, Grade, Item, Library, PhaseState, Row, WearMark,
};
use handlamp::report::sheet;
use scraper::{ElementRef, Html, Node, Selector};
use serde_json::{Value, json};

use super::harness::Place;
use super::report_page::{Browser, letters, narrow, pages, text_of};

/// What tries to leave the text it stands in; the commands take all of it.
const MARKUP: &str = "</style></title></bdi></p><script>alert(1)</script><img src=http://h.example/x onerror=z>\" onclick='y &lt;zq &#60; @page{size:1in} שלום עולם مرحبا \u{200b}\u{2028} 👩‍🔧🛥️ e\u{301}";

/// What no file may bring, but a page has to bear.
const CONTROLS: &str = "\u{1b}[2J\u{202e}\u{200f}\u{0}\r\nzq";

const ELEMENTS: [&str; 30] = [
    "header", "main", "html", "head", "meta", "title", "style", "body", "h1", "h2", "h3", "p",
    "span", "strong", "code", "br", "bdi", "ol", "li", "table", "thead", "tbody", "tr", "th", "td",
    "div", "article", "section", "footer", "u",
];

/// Twelve thousand characters of numbered words, so that each can be found again wherever lines and pages break.
fn long(prefix: &str) -> String {
    let words: Vec<String> = (0..2000).map(|n| format!("{prefix}{n:04}")).collect();
    words.join(" ")
}

/// A catalogue file and a checklist whose every free text is the one given, told apart by `zq`.
fn own(text: &str, look: &str) -> (Value, Value) {
    let said = |what: &str| format!("{what} {text}");
    let item = |id: &str, reading: Value, fluid: bool| {
        let mut item = json!({"id":id,"title":said(id),"scope":"machine","kind":"level","station":"zq-place",
            "look":look,"ladder":[said("zq0"),said("zq1"),said("zq2"),said("zq3"),said("zq4")],
            "effects":[{"effect":"nuisance","beta":0.5}],"cautions":[said("zqmind"),look],
            "remedy":{"do":said("zqdo"),"who":"owner","where":"in-port"},"parts":[said("zqpart")],
            "look_every_days":7,"seconds":5,"source":said("zqsource")});
        if fluid {
            item["fluid"] = "oil".into();
            item["place"] = "static".into();
        }
        if !reading.is_null() {
            item["reading"] = reading;
        }
        item
    };
    let level = json!({"quantity":"level","unit":"%","bands":[{"grade":"sound","from":0.0}]});
    let catalogue = json!({"type":"catalogue","stations":[{"id":"zq-place","title":said("zqstation")}],
        "items":[item("zq-dry", Value::Null, false), item("zq-wet", level, true)]});
    let checklist = json!({"type":"checklist","id":"zq-list","title":said("zqtitle"),"purpose":said("zqpurpose"),
        "closes_with":"survey","phases":[
        {"id":"first","title":said("zqfirst"),"state":"cold","before":said("zqbefore"),"minutes":2.5,"rows":[
            {"title":said("zqrow"),"station":"zq-place","cadence":"weekly","must_see":true,"items":["zq-dry","zq-wet"]}]},
        {"id":"then","title":said("zqthen"),"state":"idle","within":5,"since":"first","rows":[
            {"title":said("zqspeeds"),"station":"zq-place","each_speed":true,"items":["zq-wet"]},
            {"station":"zq-place","items":["zq-dry"]}]}]});
    (catalogue, checklist)
}

/// A place whose settings hold the files of [`own`].
fn place_of(files: &(Value, Value)) -> Place {
    let place = Place::empty();
    let folder = "home/.config/handlamp/checklists";
    place.file(&format!("{folder}/a.json"), &files.0.to_string());
    place.file(&format!("{folder}/b.json"), &files.1.to_string());
    place
}

/// The page as the command writes it.
fn page_of(place: &Place, list: &str) -> String {
    let name = format!("{list}.html");
    let run = place.run(&["checklist", "sheet", list, "--html", &name]);
    assert_eq!(
        (run.code, run.stderr.as_str()),
        (Some(0), ""),
        "{}",
        run.line
    );
    assert_eq!(run.stdout, format!("Written to {name}\n"));
    std::fs::read_to_string(place.path().join(name)).expect("written")
}

/// The library with the files of [`own`], no rule asked.
fn unchecked((catalogue, checklist): (Value, Value)) -> (Library, Checklist) {
    let file: CatalogueFile = serde_json::from_value(catalogue).expect("a catalogue");
    let mut library = Library::default();
    library.catalogue = Catalogue::of([file]).into();
    let mut checklist = checklist;
    checklist.as_object_mut().expect("an object").remove("type");
    let mut list: Checklist = serde_json::from_value(checklist).expect("a checklist");
    // A row without a title of its own takes the item's when a file is read.
    for row in list.phases.iter_mut().flat_map(|phase| &mut phase.rows) {
        if row.title.is_empty() {
            let item = library.catalogue.item(&row.items[0]).expect("known");
            row.title.clone_from(&item.title);
        }
    }
    (library, list)
}

fn all<'a>(of: ElementRef<'a>, selector: &str) -> Vec<ElementRef<'a>> {
    let selector = Selector::parse(selector).expect("a selector");
    of.select(&selector).collect()
}

/// The text with single spaces, a line break being one.
fn text(of: ElementRef<'_>) -> String {
    let parts = of.descendants().map(|node| match node.value() {
        Node::Text(text) => &text.text,
        Node::Element(e) if e.name() == "br" => " ",
        _ => "",
    });
    let text: String = parts.collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The id in the brackets of the first code in it.
fn id(of: ElementRef<'_>) -> String {
    let code = text(all(of, "code")[0]);
    code.trim_matches(['[', ']']).to_owned()
}

/// No element or attribute but the program's own, nothing hidden, nothing from elsewhere.
fn assert_own(page: &str) {
    let parsed = Html::parse_document(page);
    assert!(parsed.errors.is_empty(), "{:?}", parsed.errors);
    let mut values = BTreeSet::new();
    for node in parsed.tree.values() {
        match node {
            Node::Element(e) => {
                assert!(
                    ELEMENTS.contains(&e.name()) || e.name() == "i",
                    "<{}>",
                    e.name()
                );
                for (name, value) in e.attrs() {
                    values.insert(format!("{name}={value}"));
                }
            }
            Node::Text(_) | Node::Doctype(_) | Node::Document => {}
            other => panic!("{other:?}"),
        }
    }
    let policy = values.iter().find(|v| v.contains("default-src"));
    let policy = policy.expect("a policy");
    assert!(
        policy.starts_with("content=default-src 'none'; style-src 'unsafe-inline'; "),
        "{policy}"
    );
    assert!(
        values
            .iter()
            .all(|v| !v.contains("zq") && !v.contains("http:") && !v.contains("https:")),
        "{values:?}"
    );
    let names: BTreeSet<&str> = values.iter().filter_map(|v| v.split('=').next()).collect();
    let known = [
        "charset",
        "class",
        "content",
        "http-equiv",
        "lang",
        "name",
        "scope",
    ];
    assert!(names.iter().all(|n| known.contains(n)), "{names:?}");
    assert!(!page.contains([
        '\u{1b}', '\u{202e}', '\u{200f}', '\u{200b}', '\u{2028}', '\0'
    ]));
    let style = all(parsed.root_element(), "style")[0]
        .text()
        .collect::<String>();
    assert!(
        !style.contains("url(") && !style.contains("@import"),
        "{style}"
    );
    assert!(style.contains("color:#000;background:#fff"), "{style}");
}

/// What the page says of text that came from a file.
fn shown(text: &str) -> String {
    let safe = handlamp::text::safe_text(text);
    safe.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Everything that is known of a checklist stands on the page, each caution before what it is for.
fn assert_whole(page: &str, list: &Checklist, library: &Library) {
    let parsed = Html::parse_document(page);
    let root = parsed.root_element();
    assert_eq!(
        text(all(root, "h1")[0]),
        format!("{} [{}]", shown(&list.title), list.id)
    );
    let head = text(all(root, ".front")[0]);
    for name in ["Boat", "Machine", "Date", "Time", "Hour meter", "By"] {
        assert!(head.contains(name), "{name} in {head}");
    }
    assert_eq!(all(root, ".front u").len(), 6);
    let body = text(root);
    for mark in WearMark::ALL {
        assert!(body.contains(mark.as_str()), "{mark}");
    }
    let foot = text(all(root, "footer")[0]);
    assert!(foot.contains(sheet::OUTRANKS) && foot.contains("handlamp record FILE"));
    let sections: Vec<_> = all(root, "section")
        .into_iter()
        .filter(|s| !all(*s, "article").is_empty())
        .collect();
    assert_eq!(sections.len(), list.phases.len());
    for (section, phase) in sections.into_iter().zip(&list.phases) {
        let said = text(section);
        let title = format!(
            "{} [{}] engine: {}",
            shown(&phase.title),
            phase.id,
            phase.state
        );
        assert!(said.starts_with(&title), "{title}");
        if let Some(before) = &phase.before {
            assert!(
                said.find(&format!("Caution: {}", shown(before))) < said.find(" 0 sound "),
                "{before}"
            );
        }
        let asked = phase
            .rows
            .iter()
            .flat_map(|r| r.items.iter().map(move |i| (r, i)));
        let asked: Vec<(&Row, &Item)> = asked
            .map(|(row, id)| (row, library.catalogue.item(id).expect("known")))
            .collect();
        let articles = all(section, "article");
        assert_eq!(articles.len(), asked.len());
        for (article, (row, item)) in articles.into_iter().zip(asked) {
            assert_item(article, row, item, phase.state);
            assert!(said.contains(&shown(&row.title)));
            let station = library.catalogue.station(&row.station).expect("known");
            let titles: Vec<String> = all(section, "h3").into_iter().map(text).collect();
            assert!(titles.contains(&shown(&station.title)));
        }
        let several = phase.rows.iter().filter(|row| row.items.len() > 1);
        assert_eq!(all(section, ".row > i").len(), several.count());
    }
}

fn assert_item(article: ElementRef<'_>, row: &Row, item: &Item, state: PhaseState) {
    let said = text(article);
    assert_eq!(id(article), item.id);
    let look = shown(item.look_in(Some(state)));
    let looks = said.rfind(&look).expect("how to look");
    for caution in &item.cautions {
        let caution = format!("Caution: {}", shown(caution));
        assert!(said.find(&caution).expect("a caution") < looks);
    }
    let rungs = all(article, ".rungs > li");
    let expected: Vec<String> = Grade::ALL
        .iter()
        .zip(&item.ladder)
        .map(|(grade, text)| format!("{} {grade} {}", grade.rung(), shown(text)))
        .collect();
    assert_eq!(rungs.iter().map(|r| text(*r)).collect::<Vec<_>>(), expected);
    let boxes = all(article, ".rungs > li > i").len();
    assert_eq!(boxes, if row.each_speed { 0 } else { 5 });
    assert_eq!(all(article, "td").is_empty(), !row.each_speed);
    let leaks: Vec<String> = all(article, ".leak span").into_iter().map(text).collect();
    if item.fluid.is_some() {
        assert_eq!(leaks, ["Leak", "none", "I", "II", "III", "stream"]);
        assert_eq!(all(article, ".leak i").len(), 5);
    } else {
        assert!(leaks.is_empty());
    }
    assert_eq!(
        unit_of(article),
        item.reading.as_ref().map(|r| r.unit.as_str().to_owned())
    );
    assert!(said.ends_with("not seen because to close it"), "{said}");
    assert_eq!(all(article, ".unseen u").len(), 2);
    assert!(said.contains("Note"));
}

/// The unit beside the line, or over the column, of a reading.
fn unit_of(article: ElementRef<'_>) -> Option<String> {
    let column = all(article, "th").get(2).map(|th| text(*th));
    let lines = all(article, ".line").into_iter().map(text);
    let line = lines
        .filter_map(|l| l.strip_prefix("Reading ").map(str::to_owned))
        .next();
    column.or(line)
}

#[test]
fn a_page_leaves_nothing_out() {
    let place = Place::empty();
    let library = Library::built_in();
    for list in library.checklists() {
        let page = page_of(&place, &list.id);
        assert_own(&page);
        let asked = library.asked_of(list, &[Role::Propulsion]);
        assert_whole(&page, &asked, &library.in_words_of(list));
    }
}

#[test]
fn no_text_of_a_file_leaves_its_place() {
    for (text, look) in [
        (MARKUP.to_owned(), MARKUP.to_owned()),
        ("👩‍🔧 zq".to_owned(), long("w")),
        (CONTROLS.to_owned(), CONTROLS.to_owned()),
    ] {
        let files = own(&text, &look);
        let (library, list) = unchecked(files.clone());
        let page = sheet::html(&list, &library);
        assert_own(&page);
        assert_whole(&page, &list, &library);
        let place = place_of(&files);
        if text == CONTROLS {
            // The file is refused as a whole, and no page is begun.
            let run = place.run(&["checklist", "sheet", "zq-list", "--html", "no.html"]);
            assert_eq!(run.code, Some(2), "{}", run.stdout);
            assert!(!place.path().join("no.html").exists());
        } else {
            assert_eq!(page_of(&place, "zq-list"), page);
        }
    }
}

#[test]
fn a_page_replaces_a_page_and_nothing_else() {
    let place = Place::empty();
    let first = page_of(&place, "daily");
    assert_eq!(page_of(&place, "daily"), first);
    place.file("photo.jpg", "not a page");
    std::fs::create_dir(place.path().join("folder")).expect("made");
    for args in [
        ["daily", "--html", "photo.jpg"].as_slice(),
        &["daily", "--html", "folder"],
        &["daily", "--html", "new.html", "--json"],
        &["dayly", "--html", "new.html"],
    ] {
        let run = place.run(&[["checklist", "sheet"].as_slice(), args].concat());
        assert_eq!((run.code, run.stdout.as_str()), (Some(2), ""), "{args:?}");
        assert_eq!(run.stderr.lines().count(), 1, "{}", run.stderr);
    }
    assert!(!place.path().join("new.html").exists());
    assert_eq!(
        std::fs::read_to_string(place.path().join("photo.jpg")).expect("there"),
        "not a page"
    );
}

/// Looks as somebody types them up who has nothing but the page.
fn typed_up(page: &str) -> Value {
    let parsed = Html::parse_document(page);
    let root = parsed.root_element();
    let mut looks = Vec::new();
    for section in all(root, "section") {
        for article in all(section, "article") {
            let n = looks.len();
            let mut look = json!({"item": id(article), "phase": id(section)});
            if n % 7 == 6 {
                look["not_seen"] = "no access".into();
                look["close_by"] = "lift the aft board".into();
                looks.push(look);
                continue;
            }
            let rung = text(all(article, ".rungs strong")[n % 5]);
            look["grade"] = rung.into();
            look["note"] = format!("note {n}").into();
            look["grade_reason"] = "as ticked".into();
            let leaks = all(article, ".leak span");
            if !leaks.is_empty() {
                look["leak"] = text(leaks[1 + n % 5]).to_lowercase().into();
            }
            let unit = unit_of(article);
            if let Some(unit) = &unit {
                look["reading"] = json!({"value": 3, "unit": unit});
            }
            let lines: Vec<String> = all(article, ".line").into_iter().map(text).collect();
            if lines.iter().any(|line| line == "Added") {
                look["added"] = "0.6 L".into();
            }
            let speeds = all(article, "tbody tr").len();
            for speed in 1..=speeds {
                let mut at = look.clone();
                at["at_rpm"] = (speed * 800).into();
                looks.push(at);
            }
            if speeds == 0 {
                looks.push(look);
            }
        }
    }
    let list = id(all(root, "h1")[0]);
    let mut walk = json!({"type":"walk","id":"typed","checklist":list,"machine":"main","at":"2026-05-03T07:40:00+02:00",
        "by":"R. Quay","hours":1203.6,"looks":looks});
    if text(root).contains("Agreed beforehand") {
        walk["agreed"] = json!({"runs":"the seller","may_open":"what hands open","samples":"oil","full_throttle":"five minutes"});
        walk["told"] =
            json!([{"items":["drive-belt"],"whom":"the owner","at":"2026-05-03T08:40:00+02:00"}]);
    }
    walk
}

#[test]
fn what_is_typed_up_from_a_page_is_taken_as_it_stands() {
    let profile = super::harness::PROFILE.replace(",\"without\":[\"stuffing-box\"]", "");
    for list in ["daily", "leak-run", "survey", "zq-list"] {
        let place = Place::with(&profile);
        let files = own("plain", "plain");
        let folder = "home/.config/handlamp/checklists";
        place.file(&format!("{folder}/a.json"), &files.0.to_string());
        place.file(&format!("{folder}/b.json"), &files.1.to_string());
        let page = page_of(&place, list);
        let walk = typed_up(&page);
        place.record(&walk);
        place.json("logbook-export", &["logbook", "export", "tables"]);
        let rows = |table: &str| -> Vec<Value> {
            let path = place.path().join(format!("tables/{table}.ndjson"));
            let text = std::fs::read_to_string(path).expect("a table");
            let rows = text.lines().map(serde_json::from_str);
            rows.collect::<Result<_, _>>().expect("rows")
        };
        let typed = walk["looks"].as_array().expect("looks");
        let kept = rows("looks");
        assert_eq!(kept.len(), typed.len());
        for (kept, typed) in kept.iter().zip(typed) {
            for field in [
                "item", "phase", "grade", "not_seen", "close_by", "leak", "note", "at_rpm",
            ] {
                assert_eq!(kept[field], typed[field], "{list}: {field} of {typed}");
            }
            let added = if typed["added"].is_null() {
                Value::Null
            } else {
                json!(0.6)
            };
            assert_eq!(kept["added_litres"], added);
        }
        let measured = typed.iter().filter(|look| !look["reading"].is_null());
        assert_eq!(rows("readings").len(), measured.count(), "{list}");
        let walks = place.json("walks", &["walks"]);
        assert_eq!(walks["rows"][0]["checklist"], list);
        assert_eq!(walks["rows"][0]["finished"], true);
        assert_eq!(walks["rows"][0]["hours"], 1203.6);
        let surveyed = ["survey", "zq-list"].contains(&list);
        assert_eq!(walk["agreed"].is_object(), surveyed);
        if surveyed {
            let told = &rows("told")[0];
            assert_eq!(told["item"], "drive-belt");
            assert_eq!(told["whom"], "the owner");
            let run = place.run(&["report", "typed", "--to", "r.json"]);
            assert_eq!(run.code, Some(0), "{}", run.stderr);
            let report = std::fs::read_to_string(place.path().join("r.json")).expect("written");
            let report: Value = serde_json::from_str(&report).expect("JSON");
            let agreed = report["agreed"].to_string();
            for answer in walk["agreed"].as_object().expect("answers").values() {
                assert!(agreed.contains(&answer.to_string()), "{agreed}");
            }
        }
    }
}

#[test]
fn the_example_at_the_foot_is_a_walk_sheet() {
    for list in ["daily", "leak-run", "survey"] {
        let place = Place::with_boat();
        let page = Html::parse_document(&page_of(&place, list));
        let example = text(all(page.root_element(), "footer code")[0]);
        let mut walk: Value = serde_json::from_str(&example).expect("JSON");
        assert_eq!(walk["looks"].as_array().map(Vec::len), Some(2));
        walk["hours"] = 1203.6.into();
        place.record(&walk);
    }
}

/// On each page an item's ladder and its last line come by turns, so none is cut in two.
fn assert_uncut(pdf: &str) {
    for (n, page) in pdf.split('\u{c}').enumerate() {
        let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
        let mut open = false;
        let mut rest = page.as_str();
        loop {
            let (begins, ends) = (
                rest.find(" 0 sound "),
                rest.find("not seen because to close it"),
            );
            let (at, begin) = match (begins, ends) {
                (Some(b), Some(e)) if b < e => (b, true),
                (Some(b), None) => (b, true),
                (_, Some(e)) => (e, false),
                (None, None) => break,
            };
            assert_ne!(open, begin, "page {n} cuts an item: {page}");
            open = begin;
            rest = &rest[at + 5..];
        }
        assert!(!open, "page {n} cuts an item: {page}");
    }
}

/// Every word lies on the paper, clear of its edges.
fn assert_within(bbox: &str) {
    let figure = |line: &str, name: &str| -> f64 {
        let rest = line.split(&format!("{name}=\"")).nth(1).expect(name);
        rest.split('"').next().expect(name).parse().expect(name)
    };
    let (mut width, mut height) = (0.0, 0.0);
    let mut words = 0;
    for line in bbox.lines() {
        if line.contains("<page ") {
            (width, height) = (figure(line, "width"), figure(line, "height"));
        } else if line.contains("<word ") {
            // The box of a drawn character is that of its whole font.
            let word = line.split(['>', '<']).nth(2).unwrap_or_default();
            if !word.contains(|c: char| c.is_ascii_alphanumeric()) {
                continue;
            }
            words += 1;
            // 8 mm are 22.7 points.
            let (left, right) = (figure(line, "xMin"), figure(line, "xMax"));
            let (top, bottom) = (figure(line, "yMin"), figure(line, "yMax"));
            assert!(left > 22.7 && right < width - 22.7, "{line} of {width}");
            assert!(top > 14.0 && bottom < height - 14.0, "{line} of {height}");
        }
    }
    assert!(words > 100, "{words} words");
}

/// Prints a page on both papers, of at most so many pages, and hands over the text of each.
fn print(browser: &Browser, place: &Place, list: &str, most: usize, looked: impl Fn(&str)) {
    let html = page_of(place, list);
    for (size, name) in [("8.27in 11.69in", "(A4)"), ("8.5in 11in", "612 x 792")] {
        let pdf = browser.print(&html, size, place.path());
        let (count, paper) = pages(&pdf);
        assert!(paper.contains(name), "{paper}");
        println!("{list} on {name}: {count} pages");
        assert!((2..=most).contains(&count), "{list}: {count} pages");
        assert_within(&text_of(&pdf, "-bbox").expect("pdftotext"));
        looked(&text_of(&pdf, "-raw").expect("pdftotext"));
    }
    narrow(browser, &place.path().join(format!("{list}.html")));
}

#[test]
fn a_browser_prints_all_of_it_uncut_and_fetches_nothing() {
    let Some(browser) = Browser::find("the sheet") else {
        return;
    };
    let place = Place::empty();
    for (id, most) in [("daily", 20), ("leak-run", 70), ("survey", 44)] {
        let library = Library::built_in();
        let list = library.checklist(id).expect("built in");
        let list = library.asked_of(list, &[Role::Propulsion]);
        let library = library.in_words_of(&list);
        print(&browser, &place, id, most, |raw| {
            assert_uncut(raw);
            let said = letters(raw);
            assert!(said.contains(&letters(sheet::OUTRANKS)));
            assert!(said.contains(&letters(sheet::TYPED_UP)));
            for phase in &list.phases {
                for item in phase.rows.iter().flat_map(|row| &row.items) {
                    let item = library.catalogue.item(item).expect("known");
                    let texts = [item.title.as_str(), item.look_in(Some(phase.state))];
                    let more = item.cautions.iter().chain(&item.ladder).map(String::as_str);
                    for text in texts.into_iter().chain(more) {
                        assert!(said.contains(&letters(text)), "{text}");
                    }
                }
            }
        });
    }
}

#[test]
fn a_browser_prints_what_others_wrote_and_obeys_none_of_it() {
    let Some(browser) = Browser::find("a sheet of one's own") else {
        return;
    };
    let hostile = place_of(&own(MARKUP, MARKUP));
    print(&browser, &hostile, "zq-list", 8, |raw| {
        assert_uncut(raw);
        let markup = "<script>alert(1)</script><img src=http://h.example/x onerror=z>";
        assert!(letters(raw).contains(&letters(markup)));
    });
    // Nobody can keep such a look on one page; no word of it is lost.
    let wordy = place_of(&own("plain", &long("w")));
    print(&browser, &wordy, "zq-list", 70, |raw| {
        let said = letters(raw);
        for n in 0..2000 {
            let times = said.matches(&format!("w{n:04}")).count();
            assert_eq!(times, 8, "w{n:04}: as a caution and as a look of four");
        }
    });
}
