//! The tables are whole, and say the same things.

use std::collections::{BTreeMap, BTreeSet};

use fluent_bundle::FluentResource;

use super::*;

/// Names of the messages with the names of what is filled in.
fn messages(language: Language) -> BTreeMap<String, BTreeSet<String>> {
    let source = language.source();
    FluentResource::try_new(source.to_owned()).expect("a table without faults");
    let mut found = BTreeMap::new();
    let mut name = String::new();
    for line in source.lines().filter(|line| !line.starts_with('#')) {
        if let Some((key, _)) = line.split_once('=')
            && !line.starts_with([' ', '}', '['])
        {
            name = key.trim().to_owned();
            let twice = found.insert(name.clone(), BTreeSet::new());
            assert!(twice.is_none(), "{language}: {name} stands there twice");
        }
        let fills = line.split('$').skip(1).map(|rest| {
            let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_');
            rest[..end.unwrap_or(rest.len())].to_owned()
        });
        if let Some(known) = found.get_mut(&name) {
            known.extend(fills);
        }
    }
    found
}

#[test]
fn every_language_says_what_english_says_with_the_same_to_fill_in() {
    let english = messages(Language::English);
    assert!(!english.is_empty());
    for language in Language::ALL {
        assert_eq!(messages(*language), english, "{language}");
    }
}

#[test]
fn plurals_and_what_is_filled_in_follow_the_language() {
    let said = |language: Language, n: usize| {
        told!(
            language.words(),
            "photographs-left-out",
            n = n,
            names = "weep.jpg"
        )
        .to_string()
    };
    assert_eq!(
        said(Language::English, 1),
        "1 photograph cannot be read and is left out: weep.jpg."
    );
    assert_eq!(
        said(Language::English, 2),
        "2 photographs cannot be read and are left out: weep.jpg."
    );
    assert_eq!(
        said(Language::German, 1),
        "1 Foto ist nicht lesbar und fehlt hier: weep.jpg."
    );
    assert_eq!(
        said(Language::German, 2),
        "2 Fotos sind nicht lesbar und fehlen hier: weep.jpg."
    );
}

/// The sources of the report, with the names of the files.
fn sources() -> Vec<(String, String)> {
    let room = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/report");
    let mut folders = vec![room];
    let mut found = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).expect("a folder of sources") {
            let path = entry.expect("an entry").path();
            let name = path.display().to_string();
            if path.is_dir() {
                folders.push(path);
            } else if !name.ends_with(".ftl") && !name.ends_with("tests.rs") {
                found.push((name, std::fs::read_to_string(path).expect("a source")));
            }
        }
    }
    found
}

/// Everything in quotation marks that could be the name of a message.
fn quoted(text: &str) -> impl Iterator<Item = &str> {
    let is_name = |text: &&str| {
        let mut letters = text.chars();
        letters.next().is_some_and(|c| c.is_ascii_lowercase())
            && letters.all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
    };
    text.split('"').filter(is_name)
}

#[test]
fn what_is_asked_of_the_table_is_in_it() {
    let table = messages(Language::English);
    for (file, text) in sources() {
        for asked in ["say!(", "told!(", ".say(\"", ".told(\""] {
            for rest in text.split(asked).skip(1) {
                let rest = if asked.ends_with('"') {
                    rest
                } else {
                    // After the words, unless the name is in a variable.
                    let Some((_, rest)) = rest.split_once('"') else {
                        continue;
                    };
                    rest
                };
                let name = rest.split('"').next().unwrap_or_default();
                let known = table.contains_key(name)
                    || file.ends_with("words/mod.rs")
                    || name.contains(['{', '$', '/', ' ']);
                assert!(known, "{file} asks for {name}");
            }
        }
    }
}

#[test]
fn every_message_is_asked_for() {
    let mut asked: BTreeSet<String> = spelled::names().into_iter().collect();
    // Names put together where they are asked for: places, entries of the front page, meanings of words.
    for family in [
        "along", "across", "height", "fact", "front", "term", "class", "reliance",
    ] {
        let own = messages(Language::English).into_keys();
        asked.extend(own.filter(|name| name.starts_with(&format!("{family}-"))));
    }
    for (_, text) in sources() {
        asked.extend(quoted(&text).map(str::to_owned));
    }
    for name in messages(Language::English).into_keys() {
        assert!(asked.contains(&name), "nobody asks for {name}");
    }
}

#[test]
fn every_word_that_records_spell_is_in_the_table() {
    let table = messages(Language::English);
    for name in spelled::names() {
        assert!(table.contains_key(&name), "{name}");
    }
    for x in [-50_i16, 0, 40, 80, 120] {
        for y in [-50_i16, 0, 50] {
            for z in [0_i16, 50, 90] {
                let found = crate::arrangement::words::whereabouts(crate::boat::Point { x, y, z });
                assert!(table.contains_key(&format!("along-{}", found.along)));
                assert!(table.contains_key(&format!("across-{}", found.across)));
                if let Some(height) = found.height {
                    assert!(table.contains_key(&format!("height-{height}")));
                }
            }
        }
    }
}

/// Messages that both languages write alike: signs and names, months, and words they share.
const ALIKE: [&str; 33] = [
    "ahead-failed",
    "climbing",
    "composed-time",
    "composed-time-hours",
    "composed-time-minutes",
    "col-station",
    "date-moment",
    "date-month",
    "doc-code",
    "doc-revision",
    "doc-revision-plain",
    "doc-risk-code",
    "doc-sign-name",
    "doc-word-class",
    "fact-name",
    "fact-warm",
    "machine-hours",
    "mark-said",
    "month-11",
    "month-4",
    "month-8",
    "month-9",
    "of-item",
    "of-rung",
    "over-hours",
    "photo-named",
    "place-at",
    "place-at-height",
    "title-walk",
    "trend-per-hours",
    "value-of-rung",
    "when-hours",
    "who-where",
];

#[test]
fn no_german_is_left_in_english() {
    let text = |language: Language| {
        let words = language.words();
        let names = messages(language).into_iter();
        let said = names.map(move |(name, fills)| {
            let fills: Vec<(&str, Fill)> = fills
                .iter()
                .map(|fill| (&**fill, Fill::from("x")))
                .collect();
            (name.clone(), words.told(&name, &fills).to_string())
        });
        said.collect::<BTreeMap<String, String>>()
    };
    let english = text(Language::English);
    for (name, german) in text(Language::German) {
        let same = english[&name] == german;
        assert_eq!(same, ALIKE.contains(&&*name), "{name}: {german}");
    }
}

#[test]
fn a_seal_proves_what_the_records_say_it_proves() {
    let said = Language::English.words().say("seal-proves");
    assert_eq!(said, crate::logbook::seal::PROVES);
}

#[test]
fn dates_numbers_and_units_are_written_as_the_reader_does() {
    let [english, german] = [Language::English.words(), Language::German.words()];
    let day = chrono::NaiveDate::from_ymd_opt(2026, 5, 3).expect("a day");
    assert_eq!(english.date(day), "3 May 2026");
    assert_eq!(german.date(day), "3. Mai 2026");
    let at = chrono::DateTime::parse_from_rfc3339("2026-05-03T09:07:30+02:00").expect("a time");
    assert_eq!(english.moment(at), "3 May 2026, 09:07 +02:00");
    assert_eq!(german.moment(at), "3. Mai 2026, 09:07 +02:00");
    assert_eq!(german.figure(1234.5), "1234");
    assert_eq!(german.figure(12.34), "12,3");
    for (entered, in_english, in_german) in [
        ("82.5 C", "82.5 C", "82,5 °C"),
        ("-0.5 bar", "-0.5 bar", "-0,5 bar"),
        ("12 drops/min", "12 drops/min", "12 Tropfen/min"),
        ("850 rpm", "850 rpm", "850 1/min"),
        ("15 %", "15 %", "15 %"),
    ] {
        assert_eq!(&*english.measure(entered), in_english);
        assert_eq!(&*german.measure(entered), in_german);
    }
    // What is no measure is somebody's words and stays as it is.
    assert_eq!(&*german.measure("3.5 or so"), "3.5 or so");
    assert_eq!(&*german.measure("<b>1.5</b> bar"), "<b>1.5</b> bar");
    assert_eq!(german.percent(0.0123), "1,2 %");
}

#[test]
fn what_is_filled_in_keeps_whose_it_is_and_is_escaped() {
    let w = Language::German.words();
    let said = told!(
        w,
        "of-item",
        item = w.english("drive belt <b>"),
        said = Said::people("gut & fest")
    );
    assert_eq!(&*said, "drive belt <b>: gut & fest");
    assert_eq!(
        said.html().to_string(),
        "<span lang=\"en\">drive belt &lt;b&gt;</span>: <bdi>gut &amp; fest</bdi>"
    );
    assert_eq!(
        said.clone().sentence().svg().to_string(),
        "<tspan lang=\"en\">Drive belt &lt;b&gt;</tspan>: gut &amp; fest."
    );
    // What people write cannot hold the place of something else.
    let mark = Said::people("\u{2}0\u{2}");
    let said = told!(w, "of-item", item = &mark, said = w.english("x"));
    assert_eq!(&*said, "\u{2}0\u{2}: x");
    // In an English report English needs no mark.
    let w = Language::English.words();
    assert_eq!(w.english("belt").html().to_string(), "belt");
    let long = Said::people("ä".repeat(40)).fit(10);
    assert_eq!(
        long.html().to_string(),
        format!("<bdi>{}…</bdi>", "ä".repeat(9))
    );
    assert_eq!(
        w.english("ßeta x").sentence().html().to_string(),
        "SSeta x."
    );
}

#[test]
fn a_sentence_put_together_elsewhere_is_said_in_german_and_what_is_not_known_of_it_is_marked() {
    let w = Language::German.words();
    let rung = "cord shows, or a chunk missing";
    let why = w.english(format!(
        "Failing, about 3.5 h and 2 d ago; 45 % to fail within 10 h and 2 d; loss of propulsion decides: 2A high. Stops the engine: failing ({rung}); it stops at failing. It came back after a repair."
    ));
    let seen = w.english(rung);
    assert_eq!(
        why.to_string(),
        format!(
            "Kurz vor dem Ausfall, vor etwa 3,5 h und 2 Tagen gesehen; 45 %, dass es binnen 10 h und 2 Tagen ausfällt; es entscheidet: Ausfall des Antriebs, 2A hoch. Stopp: kurz vor dem Ausfall ({seen}); Stopp ab: kurz vor dem Ausfall. Nach einer Reparatur ist es wiedergekommen."
        )
    );
    assert_eq!(why.html().to_string().matches("lang=").count(), 0);
    // A chance that is written otherwise, a word that is not known.
    let partly = w.english("Worn, 3.0 h and 2 d ago; of no use; fire decides: 1E medium.");
    assert_eq!(
        partly.html().to_string(),
        "Verschlissen, vor 3,0 h und 2 Tagen gesehen; <span lang=\"en\">of no use</span>; es entscheidet: Brand, 1E mittel."
    );
    for whole in [
        "owed",
        "Failing, x y h and 2 d ago; a; b decides: 2A high",
        "a (b)",
    ] {
        let said = w.english(whole).html().to_string();
        assert!(said.starts_with("<span lang=\"en\">"), "{said}");
    }
}
