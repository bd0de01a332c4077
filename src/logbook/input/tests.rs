use super::*;

/// File, line, column, field and message of every complaint.
fn complaints(text: &str) -> Vec<(usize, usize, String, String)> {
    let found = read_documents("walk.json", text).expect_err("it was accepted");
    assert!(found.iter().all(|c| c.file == "walk.json"));
    let parts = |c: Complaint| (c.line, c.column, c.field, c.message);
    found.into_iter().map(parts).collect()
}

fn only(text: &str) -> (usize, usize, String, String) {
    let mut all = complaints(text);
    assert_eq!(all.len(), 1, "{all:?}");
    all.remove(0)
}

const WALK: &str =
    r#"{"type":"walk","checklist":"daily","at":"2026-05-03T07:40:00+02:00","looks":[]}"#;
const REPAIR: &str = r#"{"type":"repair","item":"drive-belt","done":"new belt"}"#;

#[test]
fn one_object_an_array_and_lines_say_the_same() {
    let pretty = WALK.replace(',', ",\n  ");
    for (text, count) in [
        (WALK.to_owned(), 1),
        (pretty, 1),
        (format!("\u{feff}{WALK}"), 1),
        (format!("{WALK}\n{REPAIR}\n"), 2),
        (format!("{WALK}\r\n\r\n{REPAIR}"), 2),
        (format!("[{WALK},\n{REPAIR}]"), 2),
        (format!(" \n[{REPAIR}]"), 1),
    ] {
        let read = read_documents("-", &text).expect("whole");
        assert_eq!(read.len(), count, "{text}");
    }
}

/// The sheet of the documentation.
pub(in crate::logbook) const SHEET: &str = r#"{"type":"walk","checklist":"daily","machine":"main","at":"2026-05-03T07:40:00+02:00","by":"R. Quay","hours":1243.6,
 "looks":[{"item":"raw-water-pump-seal","phase":"cold","grade":"early","note":"damp below the hole","leak":"i","wear":[{"mark":"contamination","where":"under the body","against":null}]},
          {"item":"engine-oil-level","grade":"early","reading":{"value":40,"unit":"%"},"added":"0.6 L"},
          {"item":"bilge-alarm","not_seen":"no access","close_by":"lift the aft board"}]}"#;

#[test]
fn the_sheet_of_the_documentation_reads() {
    let read = read_documents("-", SHEET).expect("whole");
    let Body::Walk(sheet) = &read[0].body else {
        unreachable!("it is a walk");
    };
    assert_eq!(sheet.looks.len(), 3);
    assert!(sheet.finished);
}

#[test]
fn nothing_in_it_is_said_so() {
    for text in ["", " \n", "\u{feff}", "[]"] {
        let (line, column, field, message) = only(text);
        assert_eq!((line, column, field.as_str()), (1, 1, ""));
        assert_eq!(message, "there is no record in it");
    }
}

#[test]
fn an_unknown_field_is_named_where_it_stands_however_deep() {
    let text = r#"{"type":"walk","checklist":"daily","at":"2026-05-03T07:40:00+02:00",
 "looks":[
  {"item":"a","grade":"worn","colour":"red"},
  {"item":"b","grade":"worn","wear":[{"mark":"chafe","depth":3}]}]}"#;
    let all = complaints(text);
    assert_eq!(all.len(), 2, "{all:?}");
    assert_eq!((all[0].0, all[0].2.as_str()), (3, "looks[0].colour"));
    assert_eq!(all[0].3, "there is no field 'colour' here");
    assert_eq!((all[1].0, all[1].2.as_str()), (4, "looks[1].wear[0].depth"));
    // The misspelt field and the one it leaves missing are both told.
    let all = complaints(&REPAIR.replace("done", "dun"));
    assert_eq!(all.len(), 2, "{all:?}");
    assert_eq!(all[0].2, "dun");
    assert!(all[1].3.contains("'done' is missing"), "{all:?}");
}

#[test]
fn a_fault_in_the_second_document_has_its_own_line_and_column() {
    let (line, column, field, message) = only(&format!(
        "{REPAIR}\n{}",
        REPAIR.replace(r#""new belt""#, "7")
    ));
    assert_eq!((line, field.as_str()), (2, "done"), "{message}");
    assert!(column > 40, "{column}");
    let (line, column, field, _) = only(&format!(
        "[{REPAIR}, {}]",
        REPAIR.replace("done", "done\":\"x\",\"hue")
    ));
    assert_eq!((line, field.as_str()), (1, "hue"));
    assert!(
        column > REPAIR.len(),
        "counted from the start of the line: {column}"
    );
}

#[test]
fn a_fault_behind_many_documents_has_its_own_line_and_column() {
    let bad = r#"{"type":"repair","item":"drive-belt","done":"new","hue":1}"#;
    let (_, alone, ..) = only(bad);
    let beside = format!("  {REPAIR} {REPAIR} ");
    let (line, column, field, _) = only(&format!(
        "{REPAIR} {REPAIR}\n\n{REPAIR}\n{beside}{bad}\n{REPAIR}"
    ));
    assert_eq!((line, field.as_str()), (4, "hue"));
    assert_eq!(column, beside.len() + alone);
}

#[test]
fn what_is_no_json_or_no_record_is_told_in_a_sentence() {
    let (line, ..) = only("{\"type\":\"repair\",\n \"item\":}");
    assert_eq!(line, 2);
    let (.., message) = only("7");
    assert!(!message.is_empty());
    let (.., message) = only(r#"{"item":"drive-belt"}"#);
    assert!(
        message.starts_with("the field 'type' is missing; expected walk, repair"),
        "{message}"
    );
    let (_, _, field, message) = only(r#"{"type":"repiar"}"#);
    assert_eq!(field, "type");
    assert!(message.contains("'repiar' is no type of record") && message.contains("repair"));
    let (.., message) = only(r#"{"type":"service"}"#);
    assert_eq!(message, "the field 'task' is missing");
    let (.., field, message) = only(r#"{"type":"service","task":"coolant","torque":9}"#);
    assert_eq!(field, "torque");
    assert_eq!(message, "there is no field 'torque' here");
    let (.., message) = only(r#"{"type":"boat"}"#);
    assert!(message.contains("handlamp boat set"));
}

#[test]
fn a_wrong_value_names_its_field() {
    for (text, field, part) in [
        (
            WALK.replace("2026-05-03T07:40:00+02:00", "tomorrow"),
            "at",
            "",
        ),
        (
            WALK.replace("[]", r#"[{"item":"a","grade":"fine"}]"#),
            "looks[0].grade",
            "sound",
        ),
        (
            WALK.replace("[]", r#"[{"item":"a"}]"#),
            "looks",
            "'a': give grade or not_seen",
        ),
        (
            WALK.replace("\"looks\"", "\"hours\":-3,\"looks\""),
            "hours",
            "hour meter",
        ),
        (
            WALK.replace("\"looks\"", "\"hours\":1e9,\"looks\""),
            "hours",
            "hour meter",
        ),
    ] {
        let (_, _, named, message) = only(&text);
        assert!(named.starts_with(field), "{text}: {named}: {message}");
        assert!(message.contains(part), "{message}");
    }
}

#[test]
fn every_fault_of_every_document_is_told_at_once() {
    let bad = r#"{"type":"repair","item":"a"}"#;
    assert_eq!(complaints(&format!("{bad}\n{REPAIR}\n{bad}")).len(), 2);
}
