//! What a former owner keeps back is left out of a record, field by field. Of every field it is known
//! here what it is; one that is not known counts as words of one's own, so that a new one is kept back
//! until somebody has thought of it.

use std::collections::{BTreeSet, HashMap};

use serde_json::{Map, Value};

use crate::defects::Private;

/// What stands where words were left out that a record cannot do without.
pub const LEFT_OUT: &str = "(left out)";

/// Ids of the former owner's records, and what they are in the copy.
pub(super) type Ids<'a> = HashMap<&'a str, String>;

/// What is kept back of records, and by what names records go on.
pub(super) struct Redaction<'a> {
    pub(super) kept_back: &'a BTreeSet<Private>,
    pub(super) ids: &'a Ids<'a>,
}

/// Texts that say what was looked at, how and of what: the method rests on them.
const KEPT: &[&str] = &[
    "added",
    "against",
    "ah",
    "air_plate_at",
    "app",
    "arrival",
    "asked",
    "at",
    "at_rpm",
    "base",
    "begun_at",
    "better",
    "between_marks",
    "bilge_pumps_at",
    "boat-type",
    "build",
    "builder",
    "built",
    "bypass",
    "capacity",
    "cause",
    "charged_by",
    "checklist",
    "code",
    "coolant",
    "cooling",
    "currency",
    "day_ahead",
    "differs",
    "disturbed",
    "drain_back",
    "drive",
    "due_at",
    "effect",
    "engine",
    "engine-serial",
    "engine-year",
    "ev",
    "extinguisher_at",
    "extinguisher_port_at",
    "fact",
    "fans_off_at",
    "fits",
    "fits_not",
    "fitted",
    "fitted_bypass",
    "fitted_drain_back",
    "fitted_number",
    "fitted_once",
    "flag",
    "fluid",
    "from",
    "fuel",
    "fuel_added",
    "fuel_off_at",
    "fuel_per_hour",
    "gearbox",
    "gearbox-ratio",
    "gearbox-serial",
    "grade",
    "holds",
    "hour-meter",
    "hull-number",
    "hull_number",
    "id",
    "in",
    "isolators_at",
    "item",
    "items",
    "joins",
    "kept",
    "kept_back",
    "kind",
    "last",
    "leak",
    "left",
    "level",
    "look",
    "looks",
    "lying",
    "machine",
    "maker",
    "makers_number",
    "mark",
    "measures",
    "method",
    "model",
    "moved",
    "not_known",
    "of",
    "only",
    "open",
    "order",
    "out",
    "packing",
    "part",
    "parts",
    "path",
    "phase",
    "profile",
    "propeller",
    "question",
    "radio_at",
    "rated-power",
    "rated-speed",
    "reading",
    "recheck",
    "records",
    "registration",
    "renewed",
    "renews",
    "replaces",
    "restarted",
    "role",
    "rule",
    "seacocks_at",
    "section",
    "serial",
    "serves",
    "session",
    "severity",
    "shaft_turns",
    "source",
    "spare",
    "specification",
    "starts_by",
    "state",
    "station",
    "stopping",
    "stops_by",
    "sump",
    "tank",
    "task",
    "temporary",
    "text",
    "thread",
    "turn",
    "type",
    "unit",
    "units",
    "until",
    "use_by",
    "used_for",
    "value",
    "verdict",
    "walk",
    "waters",
    "when_stop_fails",
    "where",
    "without",
];

/// What goes along as it is: answers by the ids of questions, and what is asked of her alone.
const WHOLE: &[&str] = &["signs", "file"];

/// Names of people, in records that can do without.
const NAMES: &[&str] = &["by", "who"];

/// What only some records have and all can do without, when it is kept back.
const SPARE: &[(&str, Private)] = &[
    ("cost", Private::Prices),
    ("currency", Private::Prices),
    ("price", Private::Prices),
    ("bought", Private::Places),
    ("lies", Private::Places),
    ("agreed", Private::Notes),
    ("note", Private::Notes),
    ("hand_over_note", Private::Notes),
    ("caption", Private::Notes),
    ("grade_reason", Private::Notes),
    ("photos", Private::Photographs),
    ("photo", Private::Photographs),
];

impl Redaction<'_> {
    fn keeps_back(&self, what: Private) -> bool {
        self.kept_back.contains(&what)
    }

    /// The payload of a record without what is kept back; true where something was.
    pub(super) fn payload(&self, payload: &mut Map<String, Value>) -> bool {
        let before = payload.len();
        payload.retain(|key, value| !self.is_spare(key, value));
        let mut left_out = payload.len() != before;
        for (key, value) in payload.iter_mut() {
            left_out |= self.value(key, value);
        }
        left_out
    }

    /// True for a field that is kept back and that every record can do without.
    fn is_spare(&self, key: &str, value: &Value) -> bool {
        let name = NAMES.contains(&key) && self.keeps_back(Private::Names);
        // What the seller said is words; what the program said quotes names and words.
        let said = match value {
            Value::Object(_) => self.keeps_back(Private::Names) || self.keeps_back(Private::Notes),
            _ => self.keeps_back(Private::Notes),
        };
        let said = key == "said" && said;
        let mut spare = SPARE.iter();
        name || said || spare.any(|(known, what)| *known == key && self.keeps_back(*what))
    }

    fn value(&self, key: &str, value: &mut Value) -> bool {
        match value {
            // The method rests on what a question was answered with, and on what the boat has of her own.
            Value::Object(_) if WHOLE.contains(&key) => false,
            Value::Object(fields) => self.payload(fields),
            Value::Array(all) => {
                let each = all.iter_mut().map(|value| self.value(key, value));
                each.fold(false, |any, one| any | one)
            }
            Value::String(text) => self.text(key, text),
            _ => false,
        }
    }

    fn text(&self, key: &str, text: &mut String) -> bool {
        if let Some(id) = self.id(text) {
            *text = id;
            return false;
        }
        let what = match key {
            "whom" | "client" | "instruction" | "users" | "surveyor" | "qualification"
            | "insurance" | "attending" => Private::Names,
            "place" => Private::Places,
            key if KEPT.contains(&key) || NAMES.contains(&key) => return false,
            // A machine, a tank or a bank; a plan stays behind with the notes.
            "name" => return false,
            _ => Private::Notes,
        };
        let out = self.keeps_back(what) && !text.trim().is_empty();
        if out {
            *text = LEFT_OUT.to_owned();
        }
        out
    }

    /// What a record that is named goes by in the copy, and what a service left owed or open.
    fn id(&self, text: &str) -> Option<String> {
        if let Some(id) = self.ids.get(text) {
            return Some(id.clone());
        }
        let parts = [".owed.", ".open."];
        let at = parts.iter().find_map(|part| text.rfind(part))?;
        let (id, part) = text.split_at_checked(at)?;
        Some(format!("{}{part}", self.ids.get(id)?))
    }
}
