//! What is wrong with a file or with answers is told by file, line and field.

use crate::causes::looks::read_looks;
use crate::causes::{Causes, check_file};
use crate::checklist::Catalogue;

fn told(text: &str) -> Vec<String> {
    let checked = check_file("own.json", text, Causes::built_in(), Catalogue::built_in());
    let complaints = checked.err().unwrap_or_default();
    complaints.iter().map(ToString::to_string).collect()
}

/// A file with one question and one cause; what is to be wrong is put in place of a part of it.
const OWN: &str = r#"{ "type": "causes",
  "questions": [
    { "id": "heads", "title": "heads pump", "ask": "Does the heads pump hold?", "ok": "It does.",
      "answers": [{ "id": "leaks", "words": "It leaks.", "alone": "common" }],
      "seconds": 20, "state": "cold" }
  ],
  "causes": [
    { "id": "heads-seal", "title": "the seal of the heads pump is gone", "weight": 5,
      "signs": [
        { "question": "heads", "answer": "leaks", "strength": "almost-always" },
        { "question": "bkind", "answer": "salt", "strength": "often" }
      ],
      "apart": "Paper below it.", "looks": ["heads"], "ignored": "The sea comes in.",
      "parts": ["bilge-water"], "source": "common practice, no single source" }
  ]
}"#;

#[track_caller]
fn wrong(part: &str, with: &str, line: usize, message: &str) {
    assert!(OWN.contains(part), "{part}");
    let told = told(&OWN.replacen(part, with, 1));
    let place = format!("own.json line {line},");
    let fits = |told: &&String| told.starts_with(&place) && told.contains(message);
    assert!(told.iter().any(|told| fits(&told)), "{message}: {told:#?}");
}

#[test]
fn a_good_file_passes_and_counts() {
    assert_eq!(told(OWN), Vec::<String>::new());
    let file = check_file("own.json", OWN, Causes::built_in(), Catalogue::built_in());
    let causes = Causes::built_in().with(&file.expect("good"));
    let looks = read_looks("", r#"{"heads": "leaks", "bkind": "salt"}"#, &causes).expect("good");
    let seen = crate::causes::Seen {
        looks,
        ..Default::default()
    };
    let judged = causes.judge(&seen);
    assert_eq!(judged.candidates[0].cause.id, "heads-seal");
}

#[test]
fn what_is_wrong_with_a_file_is_told_with_its_place() {
    wrong(
        r#""question": "heads","#,
        r#""question": "haeds","#,
        10,
        "field `causes[0].signs[0].question`: 'haeds' is no question known here; nearest is 'heads'",
    );
    wrong(
        r#""answer": "salt""#,
        r#""answer": "slat""#,
        11,
        "'slat' is no answer to 'bkind' known here; nearest is 'salt'",
    );
    wrong(
        r#""strength": "often""#,
        r#""strength": "mostly""#,
        11,
        "'mostly' is no word known here; known are almost-always, often, sometimes, rarely",
    );
    wrong(
        r#""alone": "common""#,
        r#""alone": "c""#,
        4,
        "'c' is no word known here",
    );
    wrong(
        r#""question": "bkind", "answer": "salt""#,
        r#""question": "heads", "answer": "leaks""#,
        11,
        "this sign stands here twice",
    );
    wrong(r#""weight": 5"#, r#""weight": 0"#, 8, "a weight is above 0");
    wrong(
        r#""seconds": 20"#,
        r#""seconds": 0"#,
        5,
        "a look takes a second to a day",
    );
    wrong(
        r#""id": "leaks""#,
        r#""id": "ok""#,
        4,
        "every question has 'ok' and 'abnormal' by itself, and 'ask' is no answer",
    );
    wrong(
        r#""id": "heads""#,
        r#""id": "Heads!""#,
        3,
        "'Heads!' is no id",
    );
    wrong(
        r#""looks": ["heads"]"#,
        r#""looks": ["temp"]"#,
        13,
        "'temp' is no question with a sign of this cause",
    );
    wrong(
        r#""parts": ["bilge-water"]"#,
        r#""parts": ["bilge-watr"]"#,
        14,
        "'bilge-watr' is no item known here; nearest is 'bilge-water'",
    );
    wrong(
        r#""ignored": "The sea comes in.""#,
        r#""ignored": " ""#,
        13,
        "field `causes[0].ignored`: the text is empty",
    );
    wrong(
        r#""ignored": "The sea"#,
        r#""order": "do-not-start", "ignored": "The sea"#,
        13,
        "says in 'stop' what it orders",
    );
    wrong(
        r#""weight": 5,"#,
        r#""weight": 5, "color": 1,"#,
        8,
        "'color' is no field known here",
    );
    wrong(
        r#""type": "causes""#,
        r#""type": "reasons""#,
        1,
        "'reasons' is no type of file; it is 'causes'",
    );
    wrong(
        r#""title": "heads pump","#,
        "\"title\": \"heads\u{202e} pump\",",
        3,
        "hidden control character",
    );
}

#[test]
fn what_items_and_services_say_is_checked_with_its_place() {
    let with = |more: &str| format!(r#""state": "cold", {more} }}"#);
    let end = r#""state": "cold" }"#;
    let from = |by: &str| with(&format!(r#""from": [{by}]"#));
    let said = [
        (
            from(r#"{"item": "bilge-watr"}"#),
            "field `questions[0].from[0].item`: 'bilge-watr' is no item known here; nearest is 'bilge-water'",
        ),
        (
            from(r#"{"item": "bilge-water", "worn": "laeks"}"#),
            "field `questions[0].from[0].worn`: 'laeks' is no answer to 'heads' known here; nearest is 'leaks'",
        ),
        (
            from(r#"{"item": "bilge-water", "failing": "ask"}"#),
            "field `questions[0].from[0].failing`: there is but one answer to ask for; name it",
        ),
        (
            from(r#"{"item": "drive-belt", "low": "leaks"}"#),
            "field `questions[0].from[0].low`: this is said of a level alone",
        ),
        (
            from(r#"{"item": "bilge-water"}, {"item": "bilge-water"}"#),
            "field `questions[0].from[1].item`: the item 'bilge-water' stands here twice",
        ),
        (
            from(r#"{"item": "bilge-water", "torn": "leaks"}"#),
            "'torn' is no field known here",
        ),
        (
            with(r#""event": true, "services": [{"task": "coolnt", "answer": "leaks"}]"#),
            "field `questions[0].services[0].task`: 'coolnt' is no service task known here; nearest is 'coolant'",
        ),
        (
            with(r#""event": true, "services": [{"task": "coolant", "answer": "ask"}]"#),
            "field `questions[0].services[0].answer`: 'ask' is no answer to 'heads' known here",
        ),
        (
            with(
                r#""event": true, "services": [{"task": "coolant", "answer": "leaks"}, {"task": "coolant", "answer": "leaks"}]"#,
            ),
            "field `questions[0].services[1].task`: the service task 'coolant' stands here twice",
        ),
        (
            with(r#""services": [{"task": "coolant", "answer": "leaks"}]"#),
            "field `questions[0].services`: this tells what happened; say with 'event' that it is asked for that",
        ),
        (
            with(r#""event": true, "stood": "long""#),
            "field `questions[0].stood`: 'long' is no answer to 'heads' known here",
        ),
        (
            with(r#""stood": "leaks""#),
            "field `questions[0].stood`: this tells what happened",
        ),
    ];
    for (with, message) in said {
        wrong(end, &with, 5, message);
    }
    let good = with(
        r#""event": true, "stood": "leaks", "services": [{"task": "coolant", "answer": "leaks"}], "from": [{"item": "bilge-water", "sound": false, "low": "leaks"}]"#,
    );
    assert_eq!(told(&OWN.replacen(end, &good, 1)), Vec::<String>::new());
}

#[test]
fn ids_stand_once_and_an_answer_that_is_named_stays() {
    let question = r#"{"id": "q", "title": "q", "ask": "q?", "ok": "y", "answers": [{"id": "a", "words": "a", "alone": "common"}], "seconds": 1, "state": "cold"}"#;
    let twice = format!(r#"{{"type": "causes", "questions": [{question}, {question}]}}"#);
    assert!(
        told(&twice)[0].contains("the question 'q' stands here twice"),
        "{:?}",
        told(&twice)
    );
    let replaced = question.replace("\"id\": \"q\"", "\"id\": \"temp\"");
    let replaced = told(&format!(
        r#"{{"type": "causes", "questions": [{replaced}]}}"#
    ));
    assert!(
        replaced
            .iter()
            .any(|told| told.contains("names its answer")),
        "{replaced:?}"
    );
    assert!(told(r#"{"type": "causes"}"#)[0].contains("neither a question nor a cause"));
    let cause = |n: usize| {
        format!(
            r#"{{"id": "c{n}", "title": "c", "weight": 1, "signs": [{{"question": "temp", "answer": "load", "strength": "often"}}], "apart": "a", "ignored": "i", "source": "s"}}"#
        )
    };
    let many: Vec<_> = (0..201).map(cause).collect();
    let many = told(&format!(
        r#"{{"type": "causes", "causes": [{}]}}"#,
        many.join(",")
    ));
    assert!(
        many.iter()
            .any(|told| told.contains("no more than 200 causes")),
        "{many:?}"
    );
}

#[track_caller]
fn answers(text: &str, place: &str, message: &str) {
    let told = read_looks("looks.json", text, Causes::built_in()).expect_err("wrong");
    let told: Vec<_> = told.iter().map(ToString::to_string).collect();
    let fits = |told: &&String| told.contains(place) && told.contains(message);
    assert!(told.iter().any(|told| fits(&told)), "{text}: {told:?}");
}

#[test]
fn what_is_wrong_with_answers_is_told_with_its_place() {
    answers(
        "{\n \"tmep\": \"load\"}",
        "looks.json line 2, column 10: field `tmep`",
        "'tmep' is no question known here; nearest is 'temp'",
    );
    answers(
        "{\"temp\": \"hot\"}",
        "line 1, column 10: field `temp`",
        "'hot' is no answer to it; known are ok, abnormal, load, slow, sudden, cold",
    );
    answers(
        "{\"temp\": \"ok\",\n \"temp\": \"load\"}",
        "line 2, column 10",
        "answered twice",
    );
    answers(
        "{\"temp\": \"load\",\n \"temp\": \"load\"}",
        "line 2, column 10",
        "answered twice",
    );
    answers(
        "{\"temp\": 3}",
        "column 10: field `temp`",
        "one word in quotes",
    );
    answers("{\"temp\": null}", "field `temp`", "one word in quotes");
    answers(
        "{\"temp\": [\"load\", \"slow\"]}",
        "field `temp`",
        "one word in quotes",
    );
    answers("{}", "line 1, column 1", "no look is told");
    answers(
        "[]",
        "line 1, column 1",
        "a list stands where an object in braces belongs",
    );
    answers("3", "line 1", "an object in braces belongs");
    answers("", "line 1", "the file ends too early");
    answers("{\"temp\": \"load\"", "line 1", "the file ends too early");
    answers(
        "{\"temp\": \"load\"} {}",
        "line 1",
        "more stands here than belongs",
    );
    answers(
        "{\"a.b[0]\": \"load\"}",
        "line 1",
        "'a.b[0]' is no question",
    );
    answers("{\"te\u{202e}mp\": \"ok\"}", "line 1", "\\u{202e}");
    let good = read_looks(
        "",
        "\u{feff}{\"temp\": \"ok\", \"flow\": \"abnormal\"}",
        Causes::built_in(),
    );
    assert_eq!(good.expect("good").len(), 2);
}

#[test]
fn any_bytes_are_answered_in_words() {
    let mut rng = fastrand::Rng::with_seed(4);
    let parts = [
        "{", "}", "[", "]", "\"temp\"", ":", "\"load\"", ",", "3", "null", "\\", "\"", "type",
        "\u{0}",
    ];
    for _ in 0..2_000 {
        let text: String = (0..rng.usize(0..12))
            .map(|_| parts[rng.usize(0..parts.len())])
            .collect();
        if let Err(told) = read_looks("x", &text, Causes::built_in()) {
            assert!(!told.is_empty(), "{text}");
        }
        assert!(!told(&text).is_empty(), "{text} is no file of causes");
    }
}
