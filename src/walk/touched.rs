//! The leak run after a service: which rows it asks, and in which order, once it is known which
//! joints the work disturbed.
//!
//! A row is asked for the first of these that holds of one of its items:
//!
//! 1. *disturbed*: the work opened or moved it;
//! 2. *beside it*: it stands at the station of a disturbed joint, or carries the same fluid at the
//!    next station of the walk round the engine;
//! 3. *below it*: a leak of a disturbed joint's fluid shows there (`checklists/downhill.json`);
//! 4. *moved*: a control or a safeguard that was moved, and with a control its whole station;
//! 5. *always asked*: the row must be seen, or holds a safeguard.
//!
//! Other rows are left out. A disturbed joint that can leak is asked before the start, running,
//! settled and the next morning even where the checklist does not ask it there.

use std::collections::HashMap;

use super::plan::{PlanPhase, PlanRow};
use super::round::LeftOut;
use crate::checklist::downhill::downhill_of;
use crate::checklist::{Catalogue, Checklist, Item, Kind, PhaseState, Row};

/// Why a leak run asks an item, the first reason first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// The work opened or moved it.
    Disturbed,
    /// A neighbour of a disturbed joint.
    Beside,
    /// What leaks from a disturbed joint shows here.
    Below,
    /// A control or safeguard that was moved.
    Moved,
    /// Asked whatever was touched.
    Always,
}

impl Role {
    /// As said beside a row.
    pub const fn words(self) -> &'static str {
        match self {
            Role::Disturbed => "disturbed",
            Role::Beside => "beside it",
            Role::Below => "below it",
            Role::Moved => "moved",
            Role::Always => "always asked",
        }
    }
}

/// What a service touched, as far as it is known.
#[derive(Clone, Debug, Default)]
pub struct Touched<'c> {
    disturbed: Vec<&'c Item>,
    roles: HashMap<&'c str, Role>,
    safeguards: Vec<&'c str>,
}

impl<'c> Touched<'c> {
    /// Nothing is known: every row is asked, in the order of the checklist.
    pub fn unknown() -> Touched<'c> {
        Touched::default()
    }

    /// From the ids of the joints disturbed; ids the catalogue does not know are passed over.
    pub fn of(catalogue: &'c Catalogue, disturbed: &[String]) -> Touched<'c> {
        let disturbed: Vec<&Item> = disturbed.iter().filter_map(|i| catalogue.item(i)).collect();
        if disturbed.is_empty() {
            return Touched::unknown();
        }
        let rank = |item: &Item| catalogue.station_rank(&item.station);
        let mut roles = HashMap::new();
        let (moved, joints): (Vec<&Item>, Vec<&Item>) =
            disturbed.iter().partition(|item| is_moved(item));
        let controls = moved.iter().any(|item| item.station == CONTROLS);
        for item in catalogue.items() {
            let beside = |joint: &&Item| {
                let next = rank(joint).zip(rank(item)).map(|(a, b)| a.abs_diff(b));
                let fluid = item.fluid.is_some() && item.fluid == joint.fluid;
                joint.station == item.station || (fluid && next == Some(1))
            };
            let below = |joint: &&Item| {
                let fluid = joint.fluid.map_or(&[][..], downhill_of);
                fluid.contains(&item.id)
            };
            let role = if joints.iter().any(|j| j.id == item.id) {
                Role::Disturbed
            } else if joints.iter().any(below) {
                Role::Below
            } else if item.kind.wears() && joints.iter().any(beside) {
                Role::Beside
            } else if moved.iter().any(|m| m.id == item.id)
                || (controls && item.station == CONTROLS)
            {
                Role::Moved
            } else {
                continue;
            };
            roles.insert(item.id.as_str(), role);
        }
        let safeguards = catalogue.items().iter();
        let safeguards = safeguards.filter(|i| i.kind == Kind::Safeguard);
        Touched {
            disturbed,
            roles,
            safeguards: safeguards.map(|i| i.id.as_str()).collect(),
        }
    }

    /// True where it is known what was touched.
    pub fn is_known(&self) -> bool {
        !self.disturbed.is_empty()
    }

    /// Why an item is asked; none where it touches nothing of what was done.
    pub fn role(&self, item: &str) -> Option<Role> {
        self.roles.get(item).copied()
    }

    fn row_role(&self, items: &[String], must_see: bool) -> Option<Role> {
        let first = items.iter().filter_map(|i| self.role(i)).min();
        let safe = || items.iter().any(|i| self.safeguards.contains(&i.as_str()));
        first.or_else(|| (must_see || safe()).then_some(Role::Always))
    }

    /// Rows of a checklist that touch nothing of what was done; none where that is not known.
    pub fn rows_left_out(&self, checklist: &Checklist) -> Vec<LeftOut> {
        let mut left_out = Vec::new();
        if !self.is_known() {
            return left_out;
        }
        let untouched = |row: &Row| self.row_role(&row.items, row.must_see).is_none();
        for (p, phase) in checklist.phases.iter().enumerate() {
            let rows = phase.rows.iter().enumerate();
            let rows = rows.filter(|(_, row)| untouched(row));
            left_out.extend(rows.map(|(r, _)| LeftOut { phase: p, row: r }));
        }
        left_out
    }

    /// Puts the rows of each phase, and the items of each row, into the order of their reasons, and
    /// adds the disturbed joints where nothing asks them yet.
    pub(super) fn arrange(&self, phases: &mut [PlanPhase], fitted: impl Fn(&str) -> bool) {
        if !self.is_known() {
            return;
        }
        for item in self.disturbed.iter().filter(|i| fitted(&i.id)) {
            for group in groups_of(item) {
                add_to_group(phases, item, *group);
            }
        }
        for row in phases.iter_mut().flat_map(|p| &mut p.rows) {
            row.role = self
                .row_role(&row.items, row.must_see)
                .or(Some(Role::Always));
            row.items
                .sort_by_key(|i| self.role(i).unwrap_or(Role::Always));
        }
        for phase in phases {
            phase.rows.sort_by_key(|row| row.role);
        }
    }
}

/// The station of the controls.
const CONTROLS: &str = "controls";

/// A control or a safeguard is moved, a joint disturbed; what can leak is a joint.
fn is_moved(item: &Item) -> bool {
    let control = item.station == CONTROLS || item.kind == Kind::Cable;
    item.fluid.is_none() && (control || item.kind == Kind::Safeguard)
}

/// Times at which a joint is looked at, as far as they differ for it.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Group {
    BeforeStart,
    Running,
    Settled,
    NextMorning,
}

impl Group {
    fn holds(self, state: PhaseState) -> bool {
        match self {
            Group::BeforeStart => state.is_before_start(),
            Group::Running => state.is_running(),
            Group::Settled => state == PhaseState::Settled,
            Group::NextMorning => state == PhaseState::NextMorning,
        }
    }
}

/// When an item has to be asked at least: what can leak at every time, all else before the start.
fn groups_of(item: &Item) -> &'static [Group] {
    if item.fluid.is_some() {
        use Group::{BeforeStart, NextMorning, Running, Settled};
        &[BeforeStart, Running, Settled, NextMorning]
    } else {
        &[Group::BeforeStart]
    }
}

fn add_to_group(phases: &mut [PlanPhase], item: &Item, group: Group) {
    let asks = |p: &PlanPhase| p.rows.iter().any(|r| r.items.contains(&item.id));
    let leaks = item.fluid.is_some();
    if phases
        .iter()
        .any(|p| (!leaks || group.holds(p.state)) && asks(p))
    {
        return;
    }
    // While running, idling is when there is time to look.
    let idle = |p: &PlanPhase| group == Group::Running && p.state == PhaseState::Idle;
    let Some(at) = phases
        .iter()
        .position(idle)
        .or_else(|| phases.iter().position(|p| group.holds(p.state)))
    else {
        return;
    };
    let row = PlanRow::alone(&item.id, &item.title, &item.station);
    phases[at].rows.push(row);
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use crate::boat;
    use crate::checklist::Library;
    use crate::walk::Plan;

    fn leak_run() -> &'static Checklist {
        Library::built_in().checklist("leak-run").expect("built in")
    }

    fn after(disturbed: &[&str]) -> Plan {
        let disturbed: Vec<String> = disturbed.iter().map(|i| (*i).to_owned()).collect();
        let touched = Touched::of(Catalogue::built_in(), &disturbed);
        let left_out = touched.rows_left_out(leak_run());
        let machine = boat::Role::Propulsion;
        let list = leak_run();
        Plan::compose(list, machine, &left_out, &[], &touched, |_| None, |_| true)
    }

    fn roles(plan: &Plan, phase: &str) -> Vec<(Role, String)> {
        let phase = plan.phases.iter().find(|p| p.id == phase).expect("asked");
        let role = |r: &PlanRow| (r.role.expect("a reason"), r.title.clone());
        phase.rows.iter().map(role).collect()
    }

    #[test]
    fn with_nothing_known_everything_is_asked_as_the_checklist_has_it() {
        let plan = after(&[]);
        let rows: usize = leak_run().phases.iter().map(|p| p.rows.len()).sum();
        assert_eq!(plan.row_count(), rows);
        let titles = leak_run().phases.iter().flat_map(|p| &p.rows);
        let asked = plan.phases.iter().flat_map(|p| &p.rows);
        assert!(
            titles
                .zip(asked)
                .all(|(a, b)| a.title == b.title && b.role.is_none())
        );
        assert_eq!(after(&["no-such-joint"]), plan);
    }

    #[test]
    fn after_an_oil_change_its_joints_come_first_and_each_row_says_why() {
        let plan = after(&["oil-filter-seat", "sump-drain-plug"]);
        for phase in &plan.phases {
            assert!(phase.rows.is_sorted_by_key(|r| r.role), "{}", phase.id);
            assert!(phase.rows.iter().all(|r| r.role.is_some()));
        }
        let dead = roles(&plan, "dead");
        assert_eq!(
            dead[0],
            (Role::Disturbed, "Oil joints wiped dry".to_owned())
        );
        let role = |title: &str| dead.iter().find(|(_, t)| t == title).map(|(r, _)| *r);
        assert_eq!(role("Breather and intake back on"), Some(Role::Beside));
        assert_eq!(
            role("Front seal, cover, coolant pump"),
            Some(Role::Beside),
            "oil at the next station"
        );
        assert_eq!(role("Tray and bilge wiped, to be read"), Some(Role::Below));
        assert_eq!(role("Engine oil at its mark"), Some(Role::Below));
        assert_eq!(
            role("Extinguisher charged, at the hatch"),
            Some(Role::Always)
        );
        assert_eq!(role("Bowl, fuel hoses, lift pump dry"), Some(Role::Always));
        for gone in [
            "Cables pinned, locked, full travel",
            "Stern seal, stern hose, clips",
        ] {
            assert_eq!(role(gone), None, "{gone}");
        }
        let first = &plan.phases[0].rows[0].items;
        assert_eq!(first[..2], ["oil-filter-seat", "sump-drain-plug"]);
        assert!(
            plan.row_count() * 2 < after(&[]).row_count(),
            "{}",
            plan.row_count()
        );
    }

    #[test]
    fn a_moved_cable_brings_the_controls_and_no_joint() {
        let plan = after(&["shift-cable"]);
        let dead = roles(&plan, "dead");
        let moved: Vec<_> = dead.iter().filter(|(r, _)| *r == Role::Moved).collect();
        assert_eq!(moved.len(), 2, "{dead:?}");
        assert!(dead.iter().all(|(r, _)| *r >= Role::Moved));
        assert!(roles(&plan, "load").iter().any(|(r, _)| *r == Role::Moved));
    }

    #[test]
    fn whatever_can_leak_is_asked_before_running_settled_and_the_next_morning() {
        let catalogue = Catalogue::built_in();
        for item in catalogue.items().iter().filter(|i| i.fluid.is_some()) {
            let plan = after(&[&item.id]);
            use Group::{BeforeStart, NextMorning, Running, Settled};
            for group in [BeforeStart, Running, Settled, NextMorning] {
                let asks = |p: &PlanPhase| p.rows.iter().any(|r| r.items.contains(&item.id));
                let mut phases = plan.phases.iter().filter(|p| group.holds(p.state));
                assert!(phases.any(asks), "{}", item.id);
            }
            let rows = plan.phases.iter().flat_map(|p| &p.rows);
            let own = rows.filter(|r| r.items.contains(&item.id));
            for row in own {
                assert_eq!(row.items[0], item.id, "first in its row");
                assert_eq!(row.role, Some(Role::Disturbed));
            }
        }
    }

    #[test]
    fn what_must_be_seen_and_safeguards_always_stay() {
        for disturbed in [
            "oil-filter-seat",
            "shift-cable",
            "engine-anodes",
            "drive-belt",
        ] {
            let plan = after(&[disturbed]);
            let asked: Vec<_> = plan.phases.iter().flat_map(|p| &p.rows).collect();
            for row in leak_run().phases.iter().flat_map(|p| &p.rows) {
                let safe = |i: &String| {
                    let item = Catalogue::built_in().item(i);
                    item.is_some_and(|i| i.kind == Kind::Safeguard)
                };
                if row.must_see || row.items.iter().any(safe) {
                    assert!(asked.iter().any(|a| a.title == row.title), "{}", row.title);
                }
            }
        }
    }
}
