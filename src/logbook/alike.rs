//! Looks that say the same, each kept once. Of years of mornings most looks say what others said
//! before them, byte for byte: such a look is neither parsed nor kept again.

use std::sync::Arc;

use super::exact::{Exact, time};
use super::record::LookMade;
use crate::text::Hashed;
use crate::walk::Look;

/// Different looks held at most; what comes after is read each by itself.
const MOST: usize = 4096;

/// What reading has met so far.
#[derive(Default)]
pub(super) struct Alike {
    looks: Hashed<Box<str>, Arc<Look>>,
    /// The walk of the last look: the next is nearly always of the same.
    walk: Option<Arc<str>>,
}

impl Alike {
    /// The record of a look whose JSON is, byte for byte, what this program writes of it; none of any
    /// other. So its JSON need not be kept.
    pub(super) fn look(&mut self, payload: &str) -> Option<LookMade> {
        let mut json = Exact::new(payload);
        json.past("{\"walk\":\"")?;
        let walk = json.string()?;
        json.past(",\"at\":\"")?;
        let written = json.string()?;
        let at = time(written)?;
        // Greenwich is written with a letter there.
        let is_utc = at.offset().local_minus_utc() == 0;
        (is_utc == written.ends_with('Z')).then_some(())?;
        json.past(",\"look\":")?;
        let look = self.of(json.rest().strip_suffix('}')?)?;
        Some(LookMade {
            walk: self.in_walk(walk),
            at,
            look,
        })
    }

    /// What a look in JSON says; none where it would be written otherwise.
    fn of(&mut self, json: &str) -> Option<Arc<Look>> {
        if let Some(known) = self.looks.get(json) {
            return Some(Arc::clone(known));
        }
        let look: Look = serde_json::from_str(json).ok()?;
        if serde_json::to_string(&look).ok()? != json {
            return None;
        }
        let look = Arc::new(look);
        if self.looks.len() < MOST {
            self.looks.insert(json.into(), Arc::clone(&look));
        }
        Some(look)
    }

    fn in_walk(&mut self, walk: &str) -> Arc<str> {
        match &self.walk {
            Some(last) if **last == *walk => Arc::clone(last),
            _ => Arc::clone(self.walk.insert(walk.into())),
        }
    }
}
