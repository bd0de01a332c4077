//! What the records of a boat put into her logbook of her own.

use std::collections::HashSet;

use super::library::{Library, LostText};
use super::own::{Own, Sort};

/// How a text came into a boat's logbook.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Given {
    /// Taken over from a settings folder.
    Settings,
    /// As files put in together by hand, by somebody who sees what there is.
    Files,
    /// By hand, a change of single things.
    Change,
}

/// What the records of a boat put into her logbook, one after another.
#[derive(Clone, Debug, Default)]
pub struct BoatsOwn {
    own: Own,
    /// Given by hand: what the settings folder says of them does not count for this boat.
    given: HashSet<(Sort, String)>,
    /// Everything ever taken over from a settings folder.
    seen: Vec<Own>,
    /// What records put in and nobody can read, since things were last given by hand.
    lost: Vec<LostText>,
}

impl BoatsOwn {
    /// Takes a record's text in. What was lost before is past once somebody puts files in by hand, who
    /// sees what there is; a lost change of single things once those are given anew, and not before.
    pub fn put(&mut self, own: Own, given: Given) {
        let mut new = own.clone();
        if given != Given::Settings {
            let names = own.names();
            self.lost.retain(|lost| match lost.only.is_empty() {
                true => given != Given::Files,
                false => !lost.only.iter().all(|name| names.contains(name)),
            });
            let ids = own.things().map(|(sort, id, _)| (sort, id.to_owned()));
            self.given.extend(ids);
        } else {
            let free = |sort, id: &str| !self.given.contains(&(sort, id.to_owned()));
            new = own.only(&free);
            self.seen.push(own);
        }
        self.own.put(new.with_scopes(|id| self.own.scope_of(id)));
    }

    /// Notes a text that cannot be read.
    pub fn lose(&mut self, lost: LostText) {
        self.lost.push(lost);
    }

    /// What the boat has.
    pub fn own(&self) -> &Own {
        &self.own
    }

    /// Whether all of it was given by hand in the same words.
    pub fn has_by_hand(&self, own: &Own) -> bool {
        own.things().all(|(sort, id, _)| {
            let given = self.given.contains(&(sort, id.to_owned()));
            given && own.agrees(&self.own, sort, id)
        })
    }

    /// What a settings folder says and the boat has not: what was not given by hand, in words no
    /// settings folder ever said on this boat.
    pub fn fresh(&self, settings: &Own) -> Own {
        settings.only(&|sort, id| {
            let known = self.given.contains(&(sort, id.to_owned()));
            !known && !self.seen.iter().any(|own| own.agrees(settings, sort, id))
        })
    }

    /// The library of a boat over one with a settings folder.
    pub fn over(&self, base: &Library, fresh: &Own) -> Library {
        let mine = self.own.only(&|sort, id| !fresh.has(sort, id));
        // What the settings say anew of an item of the boat's does not change whose it is.
        let anew = fresh.only(&|sort, id| sort == Sort::Item && self.own.has(sort, id));
        let anew = anew.with_scopes(|id| self.own.scope_of(id));
        let mut library = base.with(&anew).with(&mine);
        library.boat = mine;
        library.lost.clone_from(&self.lost);
        library
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use crate::checklist::own::tests::own;

    fn stop(own: &BoatsOwn, base: &Library, id: &str) -> Option<String> {
        let library = own.over(base, &own.fresh(base.settings()));
        let stop = library.catalogue.item(id)?.stop_at?;
        Some(format!("{stop} {}", library.source(Sort::Item, id)))
    }

    fn settings(own: Own) -> Library {
        let mut library = Library::built_in().with(&own);
        library.settings = own;
        library
    }

    #[test]
    fn the_boat_comes_before_the_settings_and_what_is_new_there_is_taken_over() {
        let mut boat = BoatsOwn::default();
        let base = settings(own("worn", &["a", "b"]));
        assert_eq!(boat.fresh(base.settings()), *base.settings());
        assert_eq!(stop(&boat, &base, "a").as_deref(), Some("worn settings"));
        boat.put(boat.fresh(base.settings()), Given::Settings);
        assert!(boat.fresh(base.settings()).is_empty());
        assert_eq!(stop(&boat, &base, "a").as_deref(), Some("worn boat"));
        assert_eq!(
            stop(&boat, Library::built_in(), "b").as_deref(),
            Some("worn boat")
        );
        // Changed in the settings: it counts at once, and is the boat's with the next record.
        let changed = settings(own("early", &["a", "b"]));
        assert_eq!(
            stop(&boat, &changed, "a").as_deref(),
            Some("early settings")
        );
        boat.put(boat.fresh(changed.settings()), Given::Settings);
        // A computer whose settings are older changes nothing.
        assert!(boat.fresh(base.settings()).is_empty());
        assert_eq!(stop(&boat, &base, "a").as_deref(), Some("early boat"));
        // Given by hand: no settings folder says otherwise from then on.
        boat.put(own("failing", &["a"]), Given::Files);
        assert_eq!(stop(&boat, &changed, "a").as_deref(), Some("failing boat"));
        let newer = settings(own("failed", &["a", "b"]));
        assert_eq!(stop(&boat, &newer, "a").as_deref(), Some("failing boat"));
        assert_eq!(stop(&boat, &newer, "b").as_deref(), Some("failed settings"));
        boat.put(own("failed", &["a", "b"]), Given::Settings);
        assert_eq!(stop(&boat, &base, "a").as_deref(), Some("failing boat"));
    }

    #[test]
    fn what_was_lost_is_past_once_somebody_puts_things_in() {
        let mut boat = BoatsOwn::default();
        let lost = LostText {
            name: "0".into(),
            why: "it is not there".into(),
            only: Vec::new(),
        };
        boat.lose(lost.clone());
        boat.put(own("worn", &["a"]), Given::Settings);
        let lost_of = |boat: &BoatsOwn| boat.over(Library::built_in(), &Own::default()).lost;
        assert_eq!(lost_of(&boat), std::slice::from_ref(&lost));
        // A change of one thing says nothing of the others.
        boat.put(own("worn", &["a"]), Given::Change);
        assert_eq!(lost_of(&boat).len(), 1);
        boat.put(own("worn", &["a"]), Given::Files);
        assert!(lost_of(&boat).is_empty());
        // A change that was lost is past with a later one of the same things alone.
        boat.lose(LostText {
            only: vec!["item a".to_owned()],
            ..lost
        });
        boat.put(own("worn", &["b"]), Given::Files);
        boat.put(own("worn", &["b"]), Given::Change);
        assert_eq!(lost_of(&boat).len(), 1);
        boat.put(own("worn", &["a", "b"]), Given::Change);
        assert!(lost_of(&boat).is_empty());
    }
}
