//! What a survey covers, in lists: looked at with the engine running, looked at with it stopped alone,
//! looked at in a state that nobody told. What was not looked at stands in a table of its own.

use std::collections::BTreeMap;

use super::content::Report;
use super::words::Said;

/// Titles by the station where the things are, in the order looked at.
pub(super) type ByStation<'a> = Vec<(&'a Said, Vec<&'a Said>)>;

/// What was looked at.
#[derive(Default)]
pub(super) struct Scope<'a> {
    /// With the engine running, whatever else.
    pub running: ByStation<'a>,
    /// With the engine stopped, never while it ran.
    pub still: ByStation<'a>,
    /// The state is not told.
    pub untold: ByStation<'a>,
}

impl<'a> Scope<'a> {
    /// Of the looks of a report that have a grade.
    pub fn of(report: &'a Report) -> Scope<'a> {
        // Whether the engine ran at any look at it; none where no look tells.
        let mut ran: BTreeMap<(&str, Option<&str>), Option<bool>> = BTreeMap::new();
        let graded = || report.looks.iter().filter(|look| look.grade.is_some());
        for look in graded() {
            let known = ran.entry((&look.item, look.machine.as_deref()));
            let now = look.state.map(|state| state.is_running());
            let now = now.or(look.at_rpm.map(|_| true));
            let known = known.or_default();
            *known = (*known).max(now);
        }
        let mut scope = Scope::default();
        for look in graded() {
            let list = match ran.remove(&(look.item.as_str(), look.machine.as_deref())) {
                None => continue,
                Some(Some(true)) => &mut scope.running,
                Some(Some(false)) => &mut scope.still,
                Some(None) => &mut scope.untold,
            };
            let place = list
                .iter()
                .position(|(station, _)| **station == look.station);
            let place = place.unwrap_or_else(|| {
                list.push((&look.station, Vec::new()));
                list.len() - 1
            });
            list[place].1.push(&look.title);
        }
        scope
    }

    /// The lists that a page has, each with the name of its heading.
    pub fn lists(&self) -> Vec<(&'static str, &ByStation<'a>)> {
        let untold = (!self.untold.is_empty()).then_some(("doc-looked-any", &self.untold));
        let mut lists = vec![
            ("doc-looked-run", &self.running),
            ("doc-looked-still", &self.still),
        ];
        lists.extend(untold);
        lists
    }
}
