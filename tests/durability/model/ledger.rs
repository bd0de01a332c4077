//! What was tried and what was acknowledged; and the judgement: acknowledged ⊆ loaded ⊆ tried,
//! each record once, as it was written and in its order, nothing damaged by a mere crash.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};

use chrono::DateTime;
use handlamp::logbook::line::{decode, encode};
use handlamp::logbook::{Checked, EntryId, Gravity, Log, Problem, ProblemKind, Reader, Stamp};

use super::images::Image;

/// What is claimed of one logbook.
#[derive(Clone, Default)]
pub struct Claims {
    /// Every record tried, with its place in the order of trying.
    pub tried: HashMap<String, usize>,
    /// Those acknowledged.
    pub acked: HashSet<String>,
    /// Every profile tried, and how many of them are outdated by an acknowledged one.
    pub boats: Vec<Vec<u8>>,
    pub boats_gone: usize,
    /// Texts acknowledged, by name.
    pub texts: BTreeMap<String, Vec<u8>>,
    /// Pictures acknowledged, by name.
    pub photos: BTreeMap<String, Vec<u8>>,
}

#[derive(Clone, Default)]
pub struct Ledger {
    pub books: BTreeMap<PathBuf, Claims>,
    /// Records of several writers at once have no order of trying.
    pub unordered: bool,
    /// The disk was damaged before the story began.
    pub damaged: bool,
    /// The writers had read what was not synced: after a crash they rightly miss it.
    pub read_unsynced: bool,
    seen: HashSet<u64>,
    /// Different images judged.
    pub states: usize,
}

/// A record as a reader sees it, whoever numbered it.
pub fn key(ev: &str, rec: &str) -> String {
    let id = EntryId::new("x").expect("an id");
    let at = DateTime::UNIX_EPOCH.fixed_offset();
    let line = encode(&id, Stamp(0, 0), at, ev, rec).expect("a line");
    let entry = decode(line.trim_end().as_bytes()).expect("a record");
    format!("{ev} {}", entry.rec.get())
}

/// Reads the record files of one logbook in an image.
pub fn load(files: &[(PathBuf, Vec<u8>)], root: &Path) -> Log {
    let mut reader = Reader::new(super::stage::NOW_MS);
    for (path, bytes) in files {
        let Ok(inside) = path.strip_prefix(root) else {
            continue;
        };
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        if inside.starts_with("log") && name.ends_with(".jsonl") && !name.starts_with('.') {
            reader.file(inside.to_owned(), bytes, || false);
        }
    }
    reader.finish()
}

impl Ledger {
    pub fn book(&mut self, root: &Path) -> &mut Claims {
        self.books.entry(root.to_owned()).or_default()
    }

    /// Whether this image was not judged before with the same records acknowledged.
    pub fn is_new(&mut self, image: &Image) -> bool {
        let mut hasher = DefaultHasher::new();
        image.files.hash(&mut hasher);
        for claims in self.books.values() {
            (
                claims.acked.len(),
                claims.boats_gone,
                claims.texts.len(),
                claims.photos.len(),
            )
                .hash(&mut hasher);
        }
        let new = self.seen.insert(hasher.finish());
        self.states += usize::from(new);
        new
    }

    /// Judges one image.
    pub fn judge(&self, image: &Image) -> Result<(), String> {
        for (root, claims) in &self.books {
            self.judge_book(image, root, claims)
                .map_err(|why| format!("{}: {why}", root.display()))?;
        }
        Ok(())
    }

    fn judge_book(&self, image: &Image, root: &Path, claims: &Claims) -> Result<(), String> {
        let log = load(&image.files, root);
        let harm = |p: &&Problem| {
            let missed = p.kind == ProblemKind::NotHere && self.read_unsynced;
            p.gravity() == Gravity::Damage && !missed
        };
        let harm = log.problems.iter().find(harm);
        if let Some(problem) = harm.filter(|_| !image.rubbish && !self.damaged) {
            return Err(format!("a crash looks like damage: {problem}"));
        }
        let mut found = HashSet::new();
        let mut last = None;
        for entry in log
            .entries
            .iter()
            .filter(|e| !matches!(&*e.ev, "session" | "end"))
        {
            let key = format!("{} {}", entry.ev, entry.rec.get());
            if entry.checked == Checked::ChangedOutside {
                let told = |p: &Problem| p.gravity() == Gravity::Damage;
                if !log.problems.iter().any(told) {
                    return Err(format!("changed and not told: {key}"));
                }
                continue;
            }
            let place = claims
                .tried
                .get(&key)
                .ok_or(format!("never tried: {key}"))?;
            if !self.unordered && last.replace(*place) > Some(*place) {
                return Err(format!("out of order: {key}"));
            }
            if entry.shared_id {
                return Err(format!("an id given twice: {key}"));
            }
            if !found.insert(key.clone()) {
                return Err(format!("loaded twice: {key}"));
            }
        }
        if let Some(lost) = claims.acked.iter().find(|key| !found.contains(*key)) {
            return Err(format!("acknowledged and lost: {lost}"));
        }
        let content = |path: PathBuf| image.files.iter().find(|(p, _)| *p == path).map(|f| &f.1);
        match content(root.join("boat.json")) {
            None if claims.boats_gone > 0 => return Err("the profile is lost".into()),
            Some(boat) if !claims.boats[claims.boats_gone.saturating_sub(1)..].contains(boat) => {
                return Err("the profile is neither the old nor a new one".into());
            }
            _ => {}
        }
        for (name, text) in &claims.texts {
            if content(root.join(format!("texts/{name}.json"))) != Some(text) {
                return Err(format!("a kept text is lost: {name}"));
            }
        }
        for (name, picture) in &claims.photos {
            if content(root.join(format!("photos/{name}"))) != Some(picture) {
                return Err(format!("a kept picture is lost: {name}"));
            }
        }
        Ok(())
    }

    /// A ledger for a logbook recovered from an image: what was loaded now counts as acknowledged.
    pub fn after(&self, image: &Image) -> Ledger {
        let mut next = Ledger {
            books: self.books.clone(),
            unordered: self.unordered,
            damaged: image.rubbish || self.damaged,
            ..Ledger::default()
        };
        for (root, claims) in &mut next.books {
            let log = load(&image.files, root);
            let good = log.entries.iter().filter(|e| e.checked == Checked::Good);
            claims.acked = good
                .filter(|e| !matches!(&*e.ev, "session" | "end"))
                .map(|e| format!("{} {}", e.ev, e.rec.get()))
                .collect();
        }
        next
    }
}

/// Two readings of the same bytes say the same.
pub fn same(a: &Log, b: &Log) -> bool {
    let told = |log: &Log| -> Vec<String> {
        let entries = log.entries.iter();
        entries
            .map(|e| {
                format!(
                    "{} {:?} {} {} {:?}",
                    e.id,
                    e.stamp,
                    e.ev,
                    e.rec.get(),
                    e.checked
                )
            })
            .chain(log.problems.iter().map(|p| format!("{p:?}")))
            .collect()
    };
    told(a) == told(b) && a.newest == b.newest
}
