//! What came to a history beside its walks: since it was last asked, or as time went on.

use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset};

use super::history::{History, by_time};
use crate::walk::Walk;

/// How long each list of a history was, and of how many records it was made.
pub(super) struct Length {
    lists: Vec<usize>,
    /// Records taken in.
    pub(super) records: usize,
}

/// What came beside the walks.
pub(super) struct News {
    /// Nothing else stands in it.
    pub(super) history: History,
    /// How many records brought it.
    pub(super) records: usize,
}

impl History {
    /// How long its lists are.
    pub(super) fn lengths(&self) -> Length {
        macro_rules! lengths {
            ($($list:ident)+) => { vec![$(self.$list.len()),+] };
        }
        Length {
            lists: by_time!(lengths),
            records: self.length,
        }
    }

    /// What came beside the walks since it was so long; none where something was taken out, or took the
    /// place of another.
    pub(super) fn grown_since(&self, length: &Length) -> Option<News> {
        let mut lists = length.lists.iter();
        let mut news = History::default();
        let mut places = BTreeSet::new();
        macro_rules! grown {
            ($($list:ident)+) => {$({
                let more = self.$list.len().checked_sub(*lists.next()?)?;
                let new = self.$list.iter().rev().filter(|s| s.place >= length.records);
                news.$list.extend(new.take(more).cloned());
                news.$list.reverse();
                places.extend(news.$list.iter().map(|s| s.place));
                if news.$list.len() != more {
                    return None;
                }
            })+};
        }
        by_time!(grown);
        Some(News {
            history: news,
            records: places.len(),
        })
    }

    /// What happened beside the walks after a time and up to another.
    pub(super) fn between(
        &self,
        after: DateTime<FixedOffset>,
        until: DateTime<FixedOffset>,
    ) -> History {
        let mut came = History::default();
        macro_rules! between {
            ($($list:ident)+) => {$({
                let from = self.$list.partition_point(|s| s.at <= after);
                let new = self.$list.get(from..).unwrap_or_default().iter();
                came.$list.extend(new.take_while(|s| s.at <= until).cloned());
            })+};
        }
        by_time!(between);
        came
    }

    /// When the first thing happened beside the walks after a time.
    pub(super) fn next_beside(
        &self,
        after: DateTime<FixedOffset>,
    ) -> Option<DateTime<FixedOffset>> {
        macro_rules! next {
            ($($list:ident)+) => {
                [$({
                    let next = self.$list.partition_point(|s| s.at <= after);
                    self.$list.get(next).map(|s| s.at)
                }),+]
            };
        }
        by_time!(next).into_iter().flatten().min()
    }

    /// When the first other thing happened after a time: a walk or a look, a change of the profile, what
    /// was taken back.
    pub(super) fn next_otherwise(
        &self,
        after: DateTime<FixedOffset>,
    ) -> Option<DateTime<FixedOffset>> {
        let in_walk = |walk: &Walk| {
            let looks = walk.looks.iter().map(|timed| timed.at);
            let told = walk.told.iter().map(|told| told.at);
            let ends = looks.chain(told).chain(walk.started_at.iter().copied());
            let ends = ends.chain(walk.finished).chain([walk.at]);
            ends.filter(|time| *time > after).min()
        };
        let walks = self.walks.iter().filter_map(in_walk);
        let profiles = &self.profiles;
        let others = self.taken_back.iter().map(|taken| taken.when.at);
        let others = others.chain(self.began);
        let others = others.chain(profiles.steps.iter().map(|step| step.at));
        let others = others.chain(profiles.waters.iter().map(|(from, _)| *from));
        let others = others.chain(profiles.passed.iter().map(|passed| passed.at));
        let others = others.chain(profiles.left.iter().map(|(left, _)| *left));
        walks.chain(others.filter(|time| *time > after)).min()
    }

    /// True where all of it had happened by a time and nothing of it is half typed: then
    /// [`History::as_of`] that time is the same.
    pub fn is_all_by(&self, at: DateTime<FixedOffset>) -> bool {
        let half_typed = !self.drafts.is_empty() || !self.service_drafts.is_empty();
        let is_past = self.latest.is_none_or(|latest| latest <= at) && self.is_in_order();
        let ended = self.walks.iter().filter(|walk| walk.finished.is_some());
        let said = ended
            .filter(|walk| self.said.contains_key(&walk.id))
            .count();
        is_past
            && !half_typed
            && said == self.said.len()
            && self.next_beside(at).is_none()
            && self.next_otherwise(at).is_none()
    }

    /// Takes in what came.
    pub(super) fn put_news(&mut self, news: &History) {
        macro_rules! put {
            ($($list:ident)+) => {$(
                for new in &news.$list {
                    new.clone().put_among(&mut self.$list);
                }
            )+};
        }
        by_time!(put);
    }

    /// True where all beside the walks stands in the order of time.
    pub(super) fn is_in_order(&self) -> bool {
        macro_rules! in_order {
            ($($list:ident)+) => { $(self.$list.is_sorted_by_key(|s| s.when()))&&+ };
        }
        by_time!(in_order)
    }

    /// Takes out what happened beside the walks after a time; when the first of it did.
    pub(super) fn part_at(&mut self, at: DateTime<FixedOffset>) -> Option<DateTime<FixedOffset>> {
        let next = self.next_beside(at);
        macro_rules! part {
            ($($list:ident)+) => {$( self.$list.retain(|s| s.at <= at); )+};
        }
        by_time!(part);
        next
    }
}
