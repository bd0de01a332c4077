//! Reports of a logbook whose every free text tries to be markup: it stays text in each form, by
//! the word of parsers that are not this program's.

use std::collections::BTreeSet;

use pulldown_cmark::{Event, Options, Parser, Tag};
use scraper::{Html, Node};
use serde_json::json;

use super::harness::{PROFILE, Place};
use super::pictures::{jpeg, picture};
use super::report::written;

/// What tries to leave the text it stands in, each with a word by which it is found again.
const HOSTILE: [&str; 8] = [
    "<script>alert(1)</script>zq0",
    "\" onmouseover=\"x' onclick='y zq1",
    "</style></bdi></td></table></svg><img src=http://h.example/x onerror=z>zq2",
    "[zq3](javascript:alert) ![i](http://h.example/i.png) <http://h.example>",
    "# zq4\n```\n| a | b |\n---\n- x\n> y\n[^1]: z ~~s~~ **b** _e_",
    "=1+2,\"zq5\";=cmd",
    "&lt;zq6&gt; &#60; &copy; <!-- x --> <![CDATA[ y ]]>",
    "\u{1b}[2J\u{202e}\u{200b}\u{e0041}\r\nzq7\u{2028}\u{0}",
];

/// A logbook with all of them in every field that people fill; names are short.
fn place() -> Place {
    let all = HOSTILE.join(" ");
    let mut profile: serde_json::Value = serde_json::from_str(PROFILE).expect("JSON");
    profile["name"] = "</title></style><img src=x onerror=y>\"'|*b* &lt;=1 # [a](b)".into();
    profile["machines"][0]["name"] =
        "</text></svg><script>x</script>\"'|_e_ `c` ![i](j) &#60;".into();
    let mut place = Place::with(&profile.to_string());
    picture(&place, "<b>.jpg", &jpeg());
    for week in 0..3 {
        place.record(&json!({"type":"walk","id":format!("w{week}"),"checklist":"survey","machine":"main",
            "at":format!("2026-05-0{}T07:40:00+02:00", week + 1),"by":all,"hours":1203.6 + f64::from(week),
            "agreed":{"runs":all,"may_open":all,"samples":all,"full_throttle":all},
            "told":[{"items":["drive-belt"],"whom":all,"at":format!("2026-05-0{}T08:00:00+02:00", week + 1)}],"looks":[
            {"item":"drive-belt","grade":"worn","note":all,"wear":[{"mark":"chafe","where":all,"against":all}],
             "said":all,"photos":[{"path":"<b>.jpg","caption":all}]},
            {"item":"oil-pressure","grade":"early","reading":{"value":3,"unit":"bar"},"grade_reason":all,"at_rpm":900},
            {"item":"bilge-alarm","not_seen":all,"close_by":all}]}));
    }
    place.record(&json!({"type":"deferral","item":"drive-belt","why":all,"until":"2026-06-01"}));
    place.at("2026-05-03T09:30:00+02:00");
    let short: String = HOSTILE[5].into();
    let cost = [
        "cost",
        "drive-belt",
        "--low",
        "1",
        "--likely",
        "2",
        "--high",
        "3",
        "--currency",
        "=E",
        "--note",
        &short,
    ];
    let run = place.run(&cost);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    place.record(&json!({"type":"service","task":"oil-and-filter","machine":"main","by":all,"note":all,"parts":[short]}));
    place.at("2026-05-03T10:00:00+02:00");
    place
}

/// Elements and attributes that the program itself writes.
const ELEMENTS: [&str; 53] = [
    "header",
    "nav",
    "b",
    "details",
    "summary",
    "html",
    "head",
    "meta",
    "title",
    "style",
    "body",
    "h1",
    "h2",
    "h3",
    "h4",
    "p",
    "span",
    "strong",
    "code",
    "br",
    "bdi",
    "ul",
    "ol",
    "li",
    "dl",
    "dt",
    "dd",
    "table",
    "thead",
    "tbody",
    "tr",
    "th",
    "td",
    "div",
    "article",
    "figure",
    "figcaption",
    "caption",
    "img",
    "svg",
    "desc",
    "rect",
    "text",
    "path",
    "circle",
    "a",
    "defs",
    "pattern",
    "tspan",
    "g",
    "section",
    "main",
    "footer",
];

/// To a part of the page itself, by a name of the program's own, and nowhere else.
fn leads_within(address: &str) -> bool {
    let plain = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-';
    let name = address.strip_prefix('#');
    name.is_some_and(|n| !n.is_empty() && n.bytes().all(plain))
}

#[test]
fn html_has_no_element_and_no_attribute_from_the_data() {
    let place = place();
    for of in ["w2", "now"] {
        let page = written(&place, of, &format!("{of}.html"));
        let parsed = Html::parse_document(&page);
        assert!(parsed.errors.is_empty(), "{of}: {:?}", parsed.errors);
        let mut values = BTreeSet::new();
        let mut texts = String::new();
        for node in parsed.tree.values() {
            match node {
                Node::Element(e) => {
                    assert!(ELEMENTS.contains(&e.name()), "<{}>", e.name());
                    for (name, value) in e.attrs() {
                        assert!(!name.starts_with("on"), "{name}");
                        assert!(!matches!(name, "action" | "srcset"), "{name}");
                        assert!(name != "href" || leads_within(value), "{value}");
                        assert!(name != "src" || value.starts_with("data:image/"), "{value}");
                        if !matches!(name, "aria-label" | "alt") && value.contains("zq") {
                            values.insert(format!("{name}={value}"));
                        }
                    }
                }
                Node::Text(text) => texts.push_str(&text.text),
                Node::Doctype(_) | Node::Document => {}
                other => panic!("{of}: {other:?}"),
            }
        }
        assert!(values.is_empty(), "{values:?}");
        for n in 0..HOSTILE.len() {
            assert!(texts.contains(&format!("zq{n}")), "{of}: zq{n} is shown");
        }
        for kept in [
            "<script>alert(1)</script>zq0",
            "</svg><img src=http://h.example/x onerror=z>zq2",
            "&lt;zq6&gt; &#60; &copy; <!-- x -->",
            "⟪ESC⟫[2J⟪202E⟫",
        ] {
            assert!(texts.contains(kept), "{of}: {kept} reads as it was written");
        }
        assert!(!page.contains(['\u{1b}', '\u{202e}', '\u{200b}', '\0']));
        assert!(page.contains("default-src 'none'; style-src 'unsafe-inline'; img-src data:"));
    }
}

#[test]
fn markdown_has_no_mark_from_the_data() {
    let place = place();
    for of in ["w2", "now"] {
        let text = written(&place, of, &format!("{of}.md"));
        assert!(!text.contains(['\u{1b}', '\u{202e}', '\u{200b}', '\0']));
        let mut texts = String::new();
        for event in Parser::new_ext(&text, Options::all()) {
            match event {
                Event::Start(tag) => {
                    let ours = matches!(
                        tag,
                        Tag::Paragraph
                            | Tag::Heading { .. }
                            | Tag::List(_)
                            | Tag::Item
                            | Tag::Table(_)
                            | Tag::TableHead
                            | Tag::TableRow
                            | Tag::TableCell
                            | Tag::Strong
                    );
                    assert!(ours, "{of}: {tag:?}");
                    texts.push('\n');
                }
                Event::Text(text) => texts.push_str(&text),
                Event::End(_) | Event::SoftBreak => {}
                other => panic!("{of}: {other:?}"),
            }
        }
        for kept in [
            "<script>alert(1)</script>zq0",
            "[zq3](javascript:alert) ![i](http://h.example/i.png) <http://h.example>",
            "# zq4 ``` | a | b | --- - x > y [^1]: z ~~s~~ **b** _e_",
            "&lt;zq6&gt; &#60; &copy; <!-- x -->",
        ] {
            assert!(texts.contains(kept), "{of}: {kept}");
        }
    }
}

#[test]
fn csv_reads_back_as_text_that_is_no_formula() {
    let place = place();
    let table = written(&place, "w2", "w2.csv");
    // RFC 4180: records end in CR LF; the same number of fields in each.
    assert!(table.ends_with("\r\n"));
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let head: Vec<String> = reader
        .headers()
        .expect("a head")
        .iter()
        .map(str::to_owned)
        .collect();
    let rows: Vec<csv::StringRecord> = reader
        .records()
        .collect::<Result<_, _>>()
        .expect("equal rows");
    assert_eq!(rows.len(), 3);
    let cell = |row: usize, name: &str| {
        let column = head.iter().position(|h| h == name).expect("a column");
        rows[row][column].to_owned()
    };
    let note = cell(0, "note");
    assert!(
        note.starts_with("<script>alert(1)</script>zq0 \" onmouseover=\"x'"),
        "{note}"
    );
    assert!(
        note.contains("=1+2,\"zq5\";=cmd"),
        "quotes and commas come back as they were"
    );
    assert!(
        note.contains("# zq4\n```\n| a | b |\n"),
        "line breaks stay in their field"
    );
    for row in &rows {
        for field in row {
            let first = field.chars().find(|c| !c.is_whitespace());
            assert!(
                !first.is_some_and(|c| "=+-@＝＋－＠".contains(c)),
                "{field}"
            );
            assert!(
                !field.contains(['\u{1b}', '\u{202e}', '\u{200b}', '\0']),
                "{field:?}"
            );
        }
    }
}

#[test]
fn the_vectors_of_the_csv_standard_are_written_as_it_has_them() {
    let place = Place::with_boat();
    let look = |item: &str, note: &str| json!({"item":item,"grade":"early","note":note});
    place.record(&json!({"type":"walk","id":"w1","checklist":"daily","machine":"main","at":"2026-05-03T07:40:00+02:00","hours":1203.6,
        "looks":[look("drive-belt", "b\"bb"), look("bilge-alarm", "b\r\nbb"), look("oil-pressure", "+1"), look("coolant-hoses", " plain, with a comma")]}));
    let table = written(&place, "w1", "w1.csv");
    for field in [
        ",\"b\"\"bb\",",
        "\nbb\",",
        ",'+1,",
        "\" plain, with a comma\"",
    ] {
        assert!(table.contains(field), "{field} in {table}");
    }
}

#[test]
fn json_is_read_back_and_holds_nothing_that_acts() {
    let place = place();
    let text = written(&place, "w2", "w2.json");
    assert!(!text.contains(['\u{1b}', '\u{202e}', '\u{200b}', '\0']));
    let report: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(
        report["looks"][0]["note"],
        HOSTILE.join(" "),
        "the very text"
    );
}
