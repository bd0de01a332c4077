//! No word of a report escapes the table of its language: the reports of the demo are written in a
//! language of nobody, and what still stands there in plain letters must be somebody's words or be marked
//! as English.

use std::collections::BTreeSet;

use scraper::{Html, Node};

use super::*;
use crate::boat::Unit;
use crate::defects::NamedPlan;
use crate::report::Report;
use crate::report::gather::{Source, of_now, of_walk};
use crate::report::html::html;
use crate::report::leaving_part::BeforeLeavingPart;
use crate::report::markdown::markdown;
use crate::report::words::{Language, pseudo};
use crate::text::{ELLIPSIS, markdown_text};

/// Attributes that are read out.
const READ_OUT: [&str; 5] = [
    "alt",
    "aria-label",
    "title",
    "placeholder",
    "aria-description",
];

/// The demo's reports, by what each is of.
fn reports() -> Vec<(String, Report)> {
    let now = time(MORNING);
    let (boat, written) = written(now);
    let history = fold(&written);
    let library = library();
    let source = Source {
        boat: &boat,
        library: &library,
        history: &history,
        now,
    };
    let last = |checklist: &str| {
        let walks = history.walks.iter().rev();
        let mut of = walks.filter(|walk| walk.checklist == checklist && walk.finished.is_some());
        of.next().map(|walk| {
            (
                checklist.to_owned(),
                of_walk(&source, walk, Language::German),
            )
        })
    };
    let mut reports: Vec<_> = ["survey", "daily", "leak-run"]
        .into_iter()
        .filter_map(last)
        .collect();
    assert!(reports.iter().any(|(of, _)| of == "survey"));
    let mut now = of_now(&source, Language::German);
    reports.push(("logbook".to_owned(), now.clone()));
    let plan = NamedPlan {
        name: boat.name.clone(),
        days: Some(4.0),
        hours_per_day: Some(10.0),
        work: Some(240),
        spend: Some(120.0),
        ashore_days: Some(2.0),
        ..NamedPlan::default()
    };
    let part = BeforeLeavingPart::of(&source, &plan, Language::German);
    now.before_leaving = Some(part.expect("one currency"));
    reports.push(("logbook before leaving".to_owned(), now));
    reports
}

/// Every text of the demo's records and profile, and what they name.
fn of_people() -> Vec<String> {
    fn texts(of: &serde_json::Value, all: &mut Vec<String>) {
        match of {
            serde_json::Value::String(text) => all.push(text.clone()),
            serde_json::Value::Array(parts) => parts.iter().for_each(|part| texts(part, all)),
            serde_json::Value::Object(parts) => parts.iter().for_each(|(name, part)| {
                all.push(name.clone());
                texts(part, all);
            }),
            _ => {}
        }
    }
    let (boat, written) = written(time(MORNING));
    let mut all = Vec::new();
    texts(&serde_json::to_value(&boat).expect("JSON"), &mut all);
    for entry in &written {
        let said = entry.record.payload().expect("JSON");
        texts(&serde_json::from_str(&said).expect("JSON"), &mut all);
    }
    all
}

/// What a page has in plain letters: what is marked as English or stands apart as people's, and the rest.
#[derive(Default)]
struct Plain {
    english: BTreeSet<String>,
    people: BTreeSet<String>,
    rest: Vec<String>,
    /// What can hold no mark: attributes, and the titles of drawings and of the page.
    bare: Vec<String>,
}

fn plain(page: &str) -> Plain {
    let page = Html::parse_document(page);
    let mut plain = Plain::default();
    for node in page.tree.nodes() {
        match node.value() {
            Node::Element(element) => {
                let read = |name: &str| element.attr(name).map(str::to_owned);
                plain.bare.extend(READ_OUT.into_iter().filter_map(read));
            }
            Node::Text(text) => {
                let within = |of: &dyn Fn(&scraper::node::Element) -> bool| {
                    let mut above = node.ancestors().filter_map(|n| n.value().as_element());
                    above.any(of)
                };
                let text = text.trim().to_owned();
                if text.is_empty() || within(&|e| matches!(e.name(), "style" | "script")) {
                    continue;
                }
                if within(&|e| e.attr("lang") == Some("en")) {
                    plain.english.insert(text);
                } else if within(&|e| e.name() == "bdi") {
                    plain.people.insert(text);
                } else if within(&|e| matches!(e.name(), "title" | "desc")) {
                    plain.bare.push(text);
                } else {
                    plain.rest.push(text);
                }
            }
            _ => {}
        }
    }
    plain
}

/// The first word of plain letters, but for signs of units.
fn word(text: &str) -> Option<&str> {
    let mut words = text.split(|c: char| !c.is_ascii_alphabetic());
    let is_sign = |word: &str| Unit::ALL.iter().any(|unit| unit.as_str() == word);
    words.find(|word| word.len() > 1 && !is_sign(word))
}

/// Texts that may stand anywhere, the longest first.
struct Known(Vec<String>);

impl Known {
    fn of(texts: impl IntoIterator<Item = String>) -> Known {
        let texts: BTreeSet<String> = texts
            .into_iter()
            .filter(|text| word(text).is_some())
            .collect();
        let mut texts: Vec<String> = texts.into_iter().collect();
        texts.sort_by_key(|text| std::cmp::Reverse(text.len()));
        Known(texts)
    }

    /// The first word of plain letters that stands in none of them.
    fn escaped(&self, text: &str) -> Option<String> {
        word(text)?;
        let known = self.0.iter();
        let rest = known.fold(text.to_owned(), |text, known| {
            text.replace(known.as_str(), "")
        });
        word(&rest).map(str::to_owned)
    }
}

#[test]
fn no_word_of_a_report_escapes_the_table() {
    let people = Known::of(of_people());
    let written: Vec<(String, String, String, Vec<String>)> = pseudo::instead(|| {
        let reports = reports().into_iter();
        let written = reports.map(|(of, report)| {
            // The document of a survey has a title of its own, and neither the walk's id nor parts.
            let walk = report.walk.iter();
            let own = walk.flat_map(|w| [w.title.to_string(), w.purpose.to_string(), w.id.clone()]);
            let parts = report.defects.iter().flat_map(|d| d.row.parts.clone());
            let list = own.chain(parts).collect();
            (of, html(&report), markdown(&report), list)
        });
        written.collect()
    });
    let mut escaped = BTreeSet::new();
    for (of, page, file, list) in &written {
        assert!(page.contains("<html lang=\"de\">"));
        let plain = plain(page);
        assert!(plain.english.len() > 20, "{of}: English is marked");
        for said in &plain.people {
            let said = said.trim_end_matches(ELLIPSIS);
            let known = people.0.iter().any(|text| text.contains(said));
            let word = people.escaped(said).filter(|_| !known);
            escaped.extend(word.map(|word| format!("{of}, as if of people: {word} in {said}")));
        }
        let words = plain
            .rest
            .iter()
            .filter_map(|text| Some((word(text)?, text)));
        escaped.extend(words.map(|(word, text)| format!("{of}: {word} in {text}")));
        let marked = || plain.english.iter().chain(&plain.people);
        let in_page = Known::of(marked().cloned());
        let marked_or_list = marked().chain(list);
        let in_file = Known::of(marked_or_list.map(|text| markdown_text(text)));
        for (known, what, lines) in [
            (
                &in_page,
                "unmarked",
                plain.bare.iter().map(String::as_str).collect(),
            ),
            (&in_file, "Markdown", file.lines().collect::<Vec<_>>()),
        ] {
            let words = lines
                .iter()
                .filter_map(|line| Some((known.escaped(line)?, line)));
            escaped.extend(words.map(|(word, line)| format!("{of}, {what}: {word} in {line}")));
        }
    }
    let all: Vec<String> = escaped.into_iter().collect();
    assert!(
        all.is_empty(),
        "{} words escaped:\n{}",
        all.len(),
        all.join("\n")
    );
}

#[test]
fn an_english_report_marks_no_part_of_it_and_a_german_one_says_once_what_is_english() {
    let limits = |language: Language| language.words().say("limits-english").into_owned();
    for (of, report) in reports() {
        let german = markdown(&report);
        let said = markdown_text(&limits(Language::German));
        assert_eq!(german.matches(&said).count(), 1, "{of}");
    }
    let (boat, written) = written(time(MORNING));
    let (history, library) = (fold(&written), library());
    let source = Source {
        boat: &boat,
        library: &library,
        history: &history,
        now: time(MORNING),
    };
    let report = of_now(&source, Language::English);
    let page = html(&report);
    assert!(page.contains("<html lang=\"en\">"));
    assert!(!page.contains("<span lang="), "all of it is English");
    assert!(!page.contains(&limits(Language::English)));
}

/// The words of a report are those of the screens where both are English.
#[test]
fn in_english_a_report_says_what_the_screens_say() {
    let (boat, written) = written(time(MORNING));
    let (history, library) = (fold(&written), library());
    let source = Source {
        boat: &boat,
        library: &library,
        history: &history,
        now: time(MORNING),
    };
    let report = of_now(&source, Language::English);
    let file = markdown(&report);
    let mut told = 0;
    for part in &report.trends {
        // Dates are written with their month in words in a report.
        let told_without_dates = part.answer.sentences(report.units).into_iter();
        for sentence in told_without_dates.filter(|s| !s.contains("20") && !s.contains("tau")) {
            told += 1;
            assert!(file.contains(&markdown_text(&sentence)), "{sentence}");
        }
    }
    assert!(told > 5, "{told}");
    let short = |words: &str| {
        let months = [
            ("January", "Jan"),
            ("February", "Feb"),
            ("March", "Mar"),
            ("April", "Apr"),
            ("June", "Jun"),
            ("July", "Jul"),
            ("August", "Aug"),
            ("September", "Sep"),
            ("October", "Oct"),
            ("November", "Nov"),
            ("December", "Dec"),
        ];
        months.iter().fold(words.to_owned(), |text, (long, short)| {
            text.replace(long, short)
        })
    };
    let file = short(&file);
    let drawn = report
        .defects
        .iter()
        .filter_map(|defect| defect.in_time.as_ref());
    let drawn: Vec<_> = drawn.filter(|ladder| ladder.stands.is_some()).collect();
    assert!(drawn.len() > 5);
    for ladder in drawn {
        let said = markdown_text(&short(&ladder.words().join(" ")));
        assert!(file.contains(&said), "{said}");
    }
}
