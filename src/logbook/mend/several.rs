//! Fields that hold several things, told in one line of words and read back from it: marks of wear,
//! answers to questions, pictures, names.

use serde_json::{Map, Value};

use crate::checklist::WearMark;
use crate::text::safe_line;
use crate::walk::{Photo, Wear};

/// What stands between marks of wear, and between answers.
const NEXT_MARK: char = ';';
/// What stands between names.
const NEXT_NAME: char = ',';
/// What stands between a question and its answer.
const SAYS: char = ':';
const PLACE: &str = " at ";
const NEIGHBOUR: &str = " against ";

/// Several things in one line; none for a field that holds something else.
pub(super) fn told(field: &str, value: &Value) -> Option<String> {
    match (field, value) {
        ("wear", Value::Array(_)) => {
            let marks: Vec<Wear> = serde_json::from_value(value.clone()).ok()?;
            let marks: Vec<String> = marks.iter().map(mark_told).collect();
            Some(marks.join(&format!("{NEXT_MARK} ")))
        }
        ("signs", Value::Object(answers)) => {
            let pair = |(question, answer): (&String, &Value)| {
                Some(format!("{question}{SAYS} {}", answer.as_str()?))
            };
            let pairs: Option<Vec<String>> = answers.iter().map(pair).collect();
            Some(pairs?.join(&format!("{NEXT_MARK} ")))
        }
        ("photo", Value::Object(_)) => path_of(value),
        (_, Value::Array(all)) => {
            let name = |one: &Value| match (field, one) {
                ("photos", _) => path_of(one),
                (_, Value::String(name)) => Some(name.clone()),
                _ => None,
            };
            let names: Option<Vec<String>> = all.iter().map(name).collect();
            Some(names?.join(&format!("{NEXT_NAME} ")))
        }
        _ => None,
    }
}

/// A line read back; none for a field that holds something else, or for JSON. `is` is what the field
/// holds now: of pictures some can be left out, none can be put in.
pub(super) fn read(field: &str, text: &str, is: Option<&Value>) -> Option<Result<Value, String>> {
    if text.starts_with(['[', '{']) {
        return None;
    }
    match (field, is) {
        ("wear", _) => Some(marks(text)),
        ("signs", _) => Some(signs(text)),
        ("photo" | "photos", _) => Some(pictures(text, is)),
        (_, Some(Value::Array(_))) => {
            let names = text.split(NEXT_NAME).map(str::trim);
            let names = names.filter(|name| !name.is_empty());
            Some(Ok(names
                .map(|name| Value::String(name.to_owned()))
                .collect()))
        }
        _ => None,
    }
}

fn path_of(picture: &Value) -> Option<String> {
    let photo: Photo = serde_json::from_value(picture.clone()).ok()?;
    Some(photo.path)
}

/// As it is said: crack at the ribs against the pulley.
fn mark_told(wear: &Wear) -> String {
    let mut told = wear.mark.to_string();
    let parts = [(PLACE, &wear.r#where), (NEIGHBOUR, &wear.against)];
    for (before, part) in parts {
        if let Some(part) = part {
            told.push_str(before);
            told.push_str(part);
        }
    }
    told
}

fn marks(text: &str) -> Result<Value, String> {
    let marks = text.split(NEXT_MARK).map(str::trim);
    let marks = marks.filter(|mark| !mark.is_empty());
    let marks: Vec<Wear> = marks.map(mark).collect::<Result<_, String>>()?;
    serde_json::to_value(marks).map_err(|e| e.to_string())
}

fn mark(text: &str) -> Result<Wear, String> {
    let (rest, against) = match text.rsplit_once(NEIGHBOUR) {
        Some((rest, against)) => (rest, Some(against)),
        None => (text, None),
    };
    let (word, place) = match rest.split_once(PLACE) {
        Some((word, place)) => (word, Some(place)),
        None => (rest, None),
    };
    let said = |part: Option<&str>| part.map(str::trim).map(str::to_owned);
    let word = word.trim().replace(' ', "-");
    let known: Vec<&str> = WearMark::ALL.iter().map(|mark| mark.as_str()).collect();
    let mark = word.parse::<WearMark>().map_err(|_| {
        format!(
            "'{}' is no mark of wear; say {}, such as: crack at the ribs against the pulley; heat",
            safe_line(&word),
            known.join(", ")
        )
    })?;
    Ok(Wear {
        mark,
        r#where: said(place),
        against: said(against),
    })
}

/// Answers by their questions, both by their ids.
fn signs(text: &str) -> Result<Value, String> {
    let pairs = text.split(NEXT_MARK).map(str::trim);
    let pairs = pairs.filter(|pair| !pair.is_empty());
    let pairs = pairs.map(|pair| {
        let (question, answer) = pair.split_once([SAYS, '=']).ok_or_else(|| {
            format!(
                "'{}' is no question with its answer; say both, such as: plume: sweet",
                safe_line(pair)
            )
        })?;
        let answer = Value::String(answer.trim().to_owned());
        Ok((question.trim().to_owned(), answer))
    });
    pairs
        .collect::<Result<Map<_, _>, String>>()
        .map(Value::Object)
}

/// Those that stay, by their names.
fn pictures(text: &str, is: Option<&Value>) -> Result<Value, String> {
    let had: Vec<Value> = match is {
        Some(Value::Array(all)) => all.clone(),
        Some(one) => vec![one.clone()],
        None => Vec::new(),
    };
    let names = text.split(NEXT_NAME).map(str::trim);
    let names = names.filter(|name| !name.is_empty());
    let stay = names.map(|name| {
        let mut had = had.iter().filter(|one| path_of(one).as_deref() == Some(name));
        had.next().cloned().ok_or_else(|| {
            "a picture is taken in anew where it was taken in; here name those that stay, or leave it empty".to_owned()
        })
    });
    stay.collect()
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn marks_of_wear_are_told_in_words_and_read_back() {
        let marks = json!([
            {"mark": "crack", "where": "the ribs", "against": "the pulley"},
            {"mark": "heat", "where": null, "against": null},
            {"mark": "contamination", "where": "under the body", "against": null}
        ]);
        let line = told("wear", &marks).expect("words");
        assert_eq!(
            line,
            "crack at the ribs against the pulley; heat; contamination at under the body"
        );
        assert_eq!(read("wear", &line, None), Some(Ok(marks)));
        let wrong = read("wear", "scar at the ribs", None).expect("read");
        let why = wrong.expect_err("no mark");
        assert!(
            why.contains("'scar' is no mark") && why.contains("heat"),
            "{why}"
        );
    }

    #[test]
    fn answers_are_told_with_their_questions_and_read_back() {
        let answers = json!({"olook": "fuel", "plume": "sweet"});
        let line = told("signs", &answers).expect("words");
        assert_eq!(line, "olook: fuel; plume: sweet");
        assert_eq!(read("signs", &line, None), Some(Ok(answers.clone())));
        let equal = read("signs", "plume=sweet; olook = fuel", None);
        assert_eq!(equal, Some(Ok(answers)));
        let wrong = read("signs", "sweet", None).expect("read");
        assert!(wrong.expect_err("no pair").contains("'sweet'"));
    }

    #[test]
    fn of_pictures_some_are_left_out_and_none_is_put_in() {
        let photos = json!([{"path": "a.jpg", "kept": "1.jpg"}, {"path": "b.jpg"}]);
        assert_eq!(told("photos", &photos).as_deref(), Some("a.jpg, b.jpg"));
        let one = read("photos", "a.jpg", Some(&photos));
        assert_eq!(one, Some(Ok(json!([{"path": "a.jpg", "kept": "1.jpg"}]))));
        let other = read("photos", "c.jpg", Some(&photos)).expect("read");
        assert!(other.is_err());
    }

    #[test]
    fn names_are_told_with_commas() {
        let names = json!(["oil-filter-seat", "drain-plug"]);
        let line = told("disturbed", &names).expect("words");
        assert_eq!(line, "oil-filter-seat, drain-plug");
        assert_eq!(read("disturbed", &line, Some(&names)), Some(Ok(names)));
        assert_eq!(read("note", "a, b", Some(&json!("a"))), None);
    }
}
