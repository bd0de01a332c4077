//! A look in words that this version does not know: what of it is known counts, and the rest is said.

use serde_json::Value;

use super::record::{LookMade, Record};
use crate::text::safe_line;

/// A record as far as it was understood.
pub struct InPart {
    /// It, without what was not understood.
    pub(super) record: Record,
    /// The item it speaks of.
    pub(super) item: String,
    /// The walk it was made in.
    pub(super) walk: String,
    /// What was not understood, one plain sentence.
    pub(super) why: String,
    /// It can have been worse than what is left.
    pub(super) matters: bool,
}

impl InPart {
    fn of(look: LookMade, why: String, matters: bool) -> InPart {
        InPart {
            item: look.look.item.clone(),
            walk: look.walk.to_string(),
            record: look.into(),
            why,
            matters,
        }
    }
}

/// Fields of a look, without which it is worth the same or more; and those that can have told of a
/// worse state.
const HARMLESS: [&str; 9] = [
    "note",
    "said",
    "wear",
    "added",
    "grade_reason",
    "better",
    "at_rpm",
    "photos",
    "signs",
];
const TELLING: [&str; 2] = ["leak", "reading"];

/// Reads a look that is not understood whole. Nothing where not even its walk, time and item are.
pub(super) fn look(payload: &str) -> Option<InPart> {
    let mut whole: Value = serde_json::from_str(payload).ok()?;
    let item = whole.pointer("/look/item")?.as_str()?.to_owned();
    let mut left_out: Vec<String> = Vec::new();
    let mut matters = false;
    for field in HARMLESS.into_iter().chain(TELLING) {
        let alone = whole
            .get("look")
            .and_then(|look| look.get(field))
            .filter(|value| !reads_with(&item, field, value))
            .map(ToString::to_string);
        if let (Some(value), Some(look)) = (alone, whole.pointer_mut("/look")?.as_object_mut()) {
            look.remove(field);
            left_out.push(format!("{field} {}", safe_line(&shortened(&value))));
            matters |= TELLING.contains(&field);
        }
    }
    if let Ok(look) = serde_json::from_value::<LookMade>(whole.clone()) {
        let why = format!(
            "a look in words that this version does not know: {}",
            left_out.join(", ")
        );
        return Some(InPart::of(look, why, matters));
    }
    let look = whole.pointer_mut("/look")?.as_object_mut()?;
    let grade = look.remove("grade")?.to_string();
    let why = format!(
        "graded in words that this version does not know: {}",
        safe_line(&shortened(&grade))
    );
    look.insert("not_seen".into(), Value::String(why.clone()));
    let look = serde_json::from_value(whole).ok()?;
    Some(InPart::of(look, why, true))
}

/// True where a field of a look, with nothing but a grade beside it, is understood.
fn reads_with(item: &str, field: &str, value: &Value) -> bool {
    let mut look = serde_json::json!({"item": item, "grade": "sound"});
    if let Some(look) = look.as_object_mut() {
        look.insert(field.to_owned(), value.clone());
    }
    serde_json::from_value::<crate::walk::Look>(look).is_ok()
}

fn shortened(text: &str) -> String {
    text.chars().take(60).collect()
}
