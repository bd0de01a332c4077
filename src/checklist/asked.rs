//! What an earlier walk was asked with, which need not be what would be asked today.

use std::collections::HashMap;
use std::fmt;
use std::ops::Deref;
use std::sync::{Arc, OnceLock};

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::catalogue::{Catalogue, CatalogueFile, CatalogueTag};
use super::faults::{self, Faults};
use super::item::Item;
use super::library::{Library, compiled_in};
use super::list::{Checklist, FINDING};
use super::own::{MOST, MOST_STATIONS, Own};
use super::rules;
use super::wording::plain;
use super::words::PhaseState;
use crate::safety::{Safety, stands};
use crate::text::json_guard;

/// The checklist of a walk and the whole catalogue as they were then.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// The checklist with the rows it then had.
    pub checklist: Checklist,
    /// Everything that could be looked at.
    pub catalogue: Catalogue,
}

/// Where the texts of earlier walks are kept, by the SHA-256 of their content.
pub trait Texts: Send + Sync {
    /// The text of a name, read and checked.
    ///
    /// # Errors
    /// Why there is none, one sentence without a full stop that does not name the file.
    fn asked(&self, name: &str) -> Result<Arc<Asked>, String>;
}

/// What a walk was asked with.
#[derive(Clone, Debug)]
pub enum Then {
    /// What would be asked today; also where nobody wrote down what was asked.
    Today,
    /// Something else than today's, as its text has it.
    Other(Arc<Asked>),
    /// Something else that cannot be read any more, and why.
    Lost(String),
}

/// The checklist of a walk as it was asked.
#[derive(Clone, Debug)]
pub enum ListAsked<'a> {
    /// As it would be asked today.
    Today(&'a Checklist),
    /// As its text has it.
    Other(Arc<Asked>),
}

impl Deref for ListAsked<'_> {
    type Target = Checklist;

    fn deref(&self) -> &Checklist {
        match self {
            ListAsked::Today(list) => list,
            ListAsked::Other(asked) => &asked.checklist,
        }
    }
}

/// How a library finds what was asked earlier. It is no part of what the library says.
#[derive(Default)]
pub(super) struct Earlier {
    texts: Option<Arc<dyn Texts>>,
    /// The names of what would be asked today, by checklist.
    names: OnceLock<HashMap<String, String>>,
}

impl Clone for Earlier {
    fn clone(&self) -> Earlier {
        Earlier {
            texts: self.texts.clone(),
            names: OnceLock::new(),
        }
    }
}

impl PartialEq for Earlier {
    fn eq(&self, _: &Earlier) -> bool {
        true
    }
}

impl fmt::Debug for Earlier {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Earlier")
    }
}

/// The names of what the built-in library asks, by checklist, so that no start has to reckon them.
const BUILT_IN_NAMES: &str = include_str!("../../checklists/asked-names.json");

#[derive(Serialize, Deserialize)]
struct AskedFile<C, K> {
    checklist: C,
    catalogue: K,
}

impl Asked {
    /// Reads a text that a logbook kept.
    ///
    /// # Errors
    /// Why it is none, one sentence without a full stop.
    pub fn read(text: &[u8]) -> Result<Asked, String> {
        let file: AskedFile<Checklist, CatalogueFile> =
            serde_json::from_slice(text).map_err(|e| plain(&e))?;
        let AskedFile {
            checklist,
            catalogue,
        } = file;
        if catalogue.stations.len() > MOST_STATIONS || catalogue.items.len() > MOST {
            return Err(format!(
                "it has more than {MOST_STATIONS} stations or {MOST} items"
            ));
        }
        let mut faults = Faults::default();
        rules::checklist_alone(&checklist, &mut faults);
        for (n, station) in catalogue.stations.iter().enumerate() {
            faults::id(&station.id, &format!("stations[{n}].id"), &mut faults);
        }
        faults::hidden_characters(&checklist, &mut faults);
        faults::hidden_characters(&catalogue.stations, &mut faults);
        faults.first().map_or(Ok(()), Err)?;
        Ok(Asked {
            checklist,
            catalogue: Catalogue::of([catalogue]),
        })
    }

    /// An item as it was asked; none where the text has none of that id.
    ///
    /// # Errors
    /// What is wrong with it, one sentence without a full stop.
    pub fn item(&self, id: &str) -> Option<Result<&Item, String>> {
        let item = self.catalogue.item(id)?;
        let mut faults = Faults::default();
        rules::item_alone(item, id, &mut faults);
        faults::hidden_characters(item, &mut faults);
        Some(faults.first().map_or(Ok(item), Err))
    }

    /// Items of these ids with the stations where they stand.
    pub fn some(&self, wanted: impl Fn(&str) -> bool) -> Own {
        let mut own = Own::default();
        let items = self.catalogue.items().iter().filter(|i| wanted(&i.id));
        for item in items.filter(|i| matches!(self.item(&i.id), Some(Ok(_)))) {
            own.stations
                .extend(self.catalogue.station(&item.station).cloned());
            own.items.push(item.clone());
        }
        own
    }
}

impl Library {
    /// The library that finds what was asked earlier in these texts.
    pub fn with_texts(&self, texts: Arc<dyn Texts>) -> Library {
        let mut library = self.clone();
        library.earlier.texts = Some(texts);
        library
    }

    /// The library with what only the texts of walks know.
    pub fn with_found(&self, found: &Own) -> Library {
        let mut library = self.with(found);
        library.found.put(found.clone());
        library
    }

    /// The text of what a checklist asks today: it and the whole catalogue.
    ///
    /// # Errors
    /// None in practice: it holds no map and no number that is not finite.
    pub fn asked_text(&self, checklist: &Checklist) -> serde_json::Result<String> {
        let text = serde_json::to_string(&AskedFile {
            checklist,
            catalogue: self.catalogue.to_file(),
        })?;
        Ok(json_guard(&text).into_owned())
    }

    /// What a walk of a checklist was asked with, by the name of the text it rests on.
    pub fn then(&self, checklist: &str, asked: Option<&str>) -> Then {
        let texts = self.earlier.texts.as_ref();
        let texts = texts.filter(|_| stands(Safety::Texts));
        let Some((texts, asked)) = texts.zip(asked) else {
            return Then::Today;
        };
        let names = self.earlier.names.get_or_init(|| self.names());
        if names.get(checklist).is_some_and(|name| name == asked) {
            return Then::Today;
        }
        texts.asked(asked).map_or_else(Then::Lost, Then::Other)
    }

    /// The names of what would be asked today, by checklist.
    fn names(&self) -> HashMap<String, String> {
        if self.is_built_in() {
            return compiled_in(BUILT_IN_NAMES);
        }
        self.reckoned_names()
    }

    fn reckoned_names(&self) -> HashMap<String, String> {
        let catalogue = serde_json::to_string(&self.catalogue.to_file()).unwrap_or_default();
        let catalogue = json_guard(&catalogue);
        let name = |list: &Checklist| {
            let list = serde_json::to_string(list).unwrap_or_default();
            let parts = [r#"{"checklist":"#, &json_guard(&list), r#","catalogue":"#];
            let start = parts.iter().fold(Sha256::new(), |d, p| d.chain_update(p));
            let digest = start.chain_update(&*catalogue).chain_update("}").finalize();
            digest.iter().map(|byte| format!("{byte:02x}")).collect()
        };
        let lists = self.checklists().iter().chain(self.checklist(FINDING));
        lists.map(|list| (list.id.clone(), name(list))).collect()
    }

    /// The checklist of a walk as it was asked; today's where its text is lost.
    pub fn checklist_of(&self, checklist: &str, asked: Option<&str>) -> Option<ListAsked<'_>> {
        match self.then(checklist, asked) {
            Then::Other(then) if then.checklist.id == checklist => Some(ListAsked::Other(then)),
            _ => self.checklist(checklist).map(ListAsked::Today),
        }
    }

    /// The state of the engine in a phase of a walk as it was asked.
    pub fn phase_state_of(
        &self,
        checklist: &str,
        asked: Option<&str>,
        phase: &str,
    ) -> Option<PhaseState> {
        let list = self.checklist_of(checklist, asked)?;
        list.phases.iter().find(|p| p.id == phase).map(|p| p.state)
    }

    /// The library as it was when a walk was asked: its checklist and catalogue over this one; this one
    /// where they are today's, or lost.
    pub fn as_asked(this: &Arc<Library>, checklist: &str, asked: Option<&str>) -> Arc<Library> {
        match this.then(checklist, asked) {
            Then::Other(then) => Arc::new(this.with_asked(&then)),
            Then::Today | Then::Lost(_) => Arc::clone(this),
        }
    }

    fn with_asked(&self, then: &Asked) -> Library {
        let today = &self.catalogue;
        let own = then.some(|id| today.item(id) != then.catalogue.item(id));
        let mut library = self.with(&own).with_list(&then.checklist);
        let stations = CatalogueFile {
            tag: CatalogueTag::Catalogue,
            stations: then.catalogue.stations().to_vec(),
            items: Vec::new(),
        };
        let all = [library.catalogue.to_file(), stations];
        library.catalogue = Arc::new(Catalogue::of(all));
        library
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    struct None;

    impl Texts for None {
        fn asked(&self, _: &str) -> Result<Arc<Asked>, String> {
            Err("it is not there".into())
        }
    }

    #[test]
    fn what_is_asked_today_is_known_by_its_name_alone() {
        let library = Library::built_in().with_texts(Arc::new(None));
        for list in library.checklists() {
            let text = library.asked_text(list).expect("text");
            let name: String = Sha256::digest(&text)
                .iter()
                .map(|byte| format!("{byte:02x}"))
                .collect();
            assert!(matches!(library.then(&list.id, Some(&name)), Then::Today));
            let asked = Asked::read(text.as_bytes()).expect("readable");
            assert_eq!(asked.checklist, *list);
            assert_eq!(asked.catalogue, *library.catalogue);
        }
        let other = library.then("daily", Some("0"));
        assert!(matches!(other, Then::Lost(_)));
        assert!(matches!(library.then("daily", Option::None), Then::Today));
    }

    #[test]
    fn the_committed_names_are_those_of_the_built_in_texts() {
        let path = format!("{}/checklists/asked-names.json", env!("CARGO_MANIFEST_DIR"));
        let names: std::collections::BTreeMap<_, _> =
            Library::built_in().reckoned_names().into_iter().collect();
        let text = serde_json::to_string_pretty(&names).expect("JSON") + "\n";
        if std::env::var_os("HANDLAMP_BLESS").is_some() {
            std::fs::write(&path, &text).expect("the folder can be written");
        }
        let committed = std::fs::read_to_string(&path).expect("committed");
        assert_eq!(committed, text, "HANDLAMP_BLESS=1 rewrites it");
        assert!(Library::built_in().clone().is_built_in());
        let own = Library::built_in().with(&some_item());
        assert!(!own.is_built_in());
    }

    fn some_item() -> Own {
        let mut own = Own::default();
        own.items
            .extend(Library::built_in().catalogue.items().first().cloned());
        own
    }

    #[test]
    fn hostile_texts_are_refused_in_one_sentence() {
        let library = Library::built_in();
        let daily = library.checklist("daily").expect("built in");
        let text = library.asked_text(daily).expect("text");
        let bad = |from: &str, to: &str| {
            let changed = text.replacen(from, to, 1);
            assert_ne!(changed, text, "{from}");
            Asked::read(changed.as_bytes()).expect_err(to)
        };
        bad(r#""id":"daily""#, r#""id":"\u001b[2J""#);
        bad(r#""title":"#, r#""title":"\u202e","x":"#);
        bad(r#""id":"hatch""#, r#""id":"../hatch""#);
        bad(r#""phases":["#, r#""phases":[{},"#);
        let deep = format!("{}{}", r#"{"checklist":"#, "[".repeat(100_000));
        assert!(Asked::read(deep.as_bytes()).is_err());
        let many: Vec<_> = (0..=MOST_STATIONS)
            .map(|n| format!(r#"{{"id":"s{n}","title":"S","after":"s{}"}}"#, n + 1))
            .collect();
        let many = many.join(",");
        let list = serde_json::to_string(daily).expect("text");
        let wide = format!(
            r#"{{"checklist":{list},"catalogue":{{"type":"catalogue","stations":[{many}],"items":[]}}}}"#
        );
        let why = Asked::read(wide.as_bytes()).expect_err("too many");
        assert!(why.contains("more than"), "{why}");
        // Stations that follow each other in a ring all find a place.
        let ring = r#"{"type":"catalogue","stations":[{"id":"a","title":"A","after":"b"},{"id":"b","title":"B","after":"a"}],"items":[]}"#;
        let ring = format!(r#"{{"checklist":{list},"catalogue":{ring}}}"#);
        let asked = Asked::read(ring.as_bytes()).expect("odd, and readable");
        assert_eq!(asked.catalogue.stations().len(), 2);
    }

    #[test]
    fn an_item_that_no_rule_allows_is_not_taken() {
        let library = Library::built_in();
        let daily = library.checklist("daily").expect("built in");
        let text = library.asked_text(daily).expect("text");
        let text = text.replace(r#""beta":0.5"#, r#""beta":5000.0"#);
        let asked = Asked::read(text.as_bytes()).expect("readable");
        let mut bad = 0;
        for item in asked.catalogue.items() {
            bad += usize::from(asked.item(&item.id).expect("there").is_err());
        }
        assert!(bad > 0);
        assert_eq!(
            asked.some(|_| true).items.len() + bad,
            library.catalogue.items().len()
        );
    }
}
