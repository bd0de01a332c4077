//! Every boat of a folder, each read by herself: one that cannot be read takes nothing from the others and
//! is missing in every sum.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::stand::Stand;
use crate::checklist::Library;
use crate::logbook::shelf::{Beside, beside_logbooks, logbooks_in};
use crate::logbook::{Clock, LogbookError};

/// The boats whose logbooks lie in one folder.
#[derive(Debug)]
pub struct Fleet {
    /// The folder.
    pub dir: PathBuf,
    /// By the names of their folders.
    pub boats: Vec<Member>,
    /// What else lies there and is no logbook.
    pub beside: Vec<Beside>,
}

/// One logbook of the folder.
#[derive(Debug)]
pub struct Member {
    /// Where it lies.
    pub root: PathBuf,
    /// The name of its folder.
    pub folder: String,
    /// The boat's name; none where her profile cannot be read.
    pub name: Option<String>,
    /// Another boat of the folder bears the same name.
    pub is_namesake: bool,
    /// How she stands, or why that cannot be said.
    pub told: Result<Box<Stand>, String>,
}

impl Member {
    /// How she is called among the others: by her name, with her folder where another bears the same,
    /// and by the folder alone where no name is known.
    pub fn label(&self) -> String {
        match &self.name {
            Some(name) if self.is_namesake => format!("{name} ({})", self.folder),
            Some(name) => name.clone(),
            None => self.folder.clone(),
        }
    }

    /// How she stands, where that can be said.
    pub fn stand(&self) -> Option<&Stand> {
        self.told.as_deref().ok()
    }
}

impl Fleet {
    /// Reads every logbook that lies directly in a folder, one after another, by what had happened by a
    /// time where one is given. Changes nothing there.
    ///
    /// # Errors
    /// The folder itself cannot be listed.
    pub fn read(
        dir: &Path,
        (clock, as_of): (&Rc<dyn Clock>, Option<DateTime<FixedOffset>>),
        library: &Arc<Library>,
        marks: Option<&Path>,
    ) -> Result<Fleet, LogbookError> {
        let found = logbooks_in(dir)?;
        let beside = beside_logbooks(dir, &found)?;
        let read = found.into_iter().map(|(root, boat)| {
            let told = Stand::at(&root, (Rc::clone(clock), as_of), library, marks);
            Member {
                folder: root
                    .file_name()
                    .unwrap_or_default()
                    .to_string_lossy()
                    .into_owned(),
                name: match (&told, &boat) {
                    (Ok(stand), _) => Some(stand.glance.boat.clone()),
                    (Err(_), Ok(boat)) => Some(boat.name.clone()),
                    (Err(_), Err(_)) => None,
                },
                is_namesake: false,
                told: told
                    .map(Box::new)
                    .map_err(|error| boat.err().unwrap_or(error).to_string()),
                root,
            }
        });
        let mut boats: Vec<Member> = read.collect();
        let names: Vec<Option<String>> = boats.iter().map(|boat| boat.name.clone()).collect();
        for boat in &mut boats {
            let bearing = names.iter().filter(|name| **name == boat.name);
            boat.is_namesake = boat.name.is_some() && bearing.count() > 1;
        }
        Ok(Fleet {
            dir: dir.to_owned(),
            boats,
            beside,
        })
    }

    /// The boats that could be read.
    pub fn read_ones(&self) -> impl Iterator<Item = (&Member, &Stand)> {
        let boats = self.boats.iter();
        boats.filter_map(|boat| Some((boat, boat.stand()?)))
    }

    /// The same, of several copies of one logbook only the one with the most records.
    pub fn each_once(&self) -> Vec<(&Member, &Stand)> {
        let mut once: BTreeMap<&str, (&Member, &Stand)> = BTreeMap::new();
        for (boat, stand) in self.read_ones() {
            let known = once.entry(&stand.id).or_insert((boat, stand));
            if known.1.records < stand.records {
                *known = (boat, stand);
            }
        }
        let kept = |(boat, _): &(&Member, &Stand)| {
            once.values().any(|(known, _)| std::ptr::eq(*known, *boat))
        };
        self.read_ones().filter(kept).collect()
    }

    /// What is worth knowing of the folder, a sentence each: names borne twice, several copies of one
    /// logbook.
    pub fn notes(&self) -> Vec<String> {
        let mut names: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        let mut ids: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for boat in &self.boats {
            if let Some(name) = &boat.name {
                names.entry(name).or_default().push(&boat.folder);
            }
            if let Some(stand) = boat.stand() {
                ids.entry(&stand.id).or_default().push(&boat.folder);
            }
        }
        let several = |(_, folders): &(_, Vec<&str>)| folders.len() > 1;
        let named = names.into_iter().filter(several).map(|(name, folders)| {
            format!(
                "{} boats are called {name}; they are told apart by their folders: {}",
                folders.len(),
                folders.join(", ")
            )
        });
        let copies = ids.into_iter().filter(|(_, folders)| folders.len() > 1);
        let copies = copies.map(|(_, folders)| {
            format!(
                "the logbooks in {} are copies of one: they are shown apart, and what is counted over all boats takes the one with the most records; join them with: handlamp logbook merge",
                folders.join(", ")
            )
        });
        named.chain(copies).collect()
    }
}
