//! What an earlier walk was asked with, which need not be what would be asked today.

use std::collections::HashMap;
use std::fmt;
use std::ops::Deref;
use std::sync::{Arc, OnceLock};

use serde::{Deserialize, Serialize};

use super::catalogue::{Catalogue, CatalogueFile};
use super::faults::{self, Faults};
use super::item::Item;
use super::list::Checklist;
use super::own::{MOST, MOST_STATIONS, Own};
use super::rules;
use super::wording::plain;

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
    pub(super) texts: Option<Arc<dyn Texts>>,
    /// The names of what would be asked today, by checklist.
    pub(super) names: OnceLock<HashMap<String, String>>,
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

#[derive(Serialize, Deserialize)]
pub(super) struct AskedFile<C, K> {
    pub(super) checklist: C,
    pub(super) catalogue: K,
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
