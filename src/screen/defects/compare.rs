//! The defect list held against another plan: which rows rise.

use crate::assess::words::Risk;
use crate::defects::compare::{Compared, Place, Shift, changed};
use crate::defects::list::Scenario;
use crate::screen::defects::{DefectsScreen, Pick};
use crate::screen::kind::Cx;
use crate::screen::layers::Layer;
use crate::text::pad;

/// A space at which no line is broken.
const NO_BREAK: &str = "\u{a0}";

impl DefectsScreen {
    /// The plans the list can be held against: all but the one it is ranked over.
    fn other_plans(&self) -> Vec<(String, Scenario)> {
        let mut plans = self.all_plans();
        plans.retain(|(name, scenario)| {
            Some(name) != self.plan.as_ref() && *scenario != self.scenario
        });
        plans
    }

    /// Asks which plan the list is held against.
    pub fn ask_compare(&self, cx: &mut Cx<'_, Self>) {
        let plans = self.other_plans();
        if plans.is_empty() {
            cx.tell("there is no other plan");
            return;
        }
        let options = plans
            .iter()
            .map(|(name, o)| format!("{name}: {}", words(*o)));
        let title = "Held against which plan?";
        cx.ask(Layer::choice(title, options.collect(), Pick::Plan));
    }

    /// Shows what changes under the plan picked.
    pub fn compare_picked(&self, at: usize, cx: &mut Cx<'_, Self>) {
        let Some((name, scenario)) = self.other_plans().into_iter().nth(at) else {
            return;
        };
        let mut rows = self.condition.compare(self.scenario, scenario);
        let all = rows.len();
        rows.retain(|row| row.shift() != Shift::Stays);
        let rises = rows.iter().filter(|r| r.shift() == Shift::Rises).count();
        let mut lines = vec![
            format!("from {} to {}", words(self.scenario), words(scenario)),
            format!(
                "{rises} of {all} rows rise, {} fall, {} stay",
                rows.len() - rises,
                all - rows.len()
            ),
            String::new(),
            "change, code, place in the list, item".to_owned(),
        ];
        let several = self.condition.boat.machines.len() > 1;
        lines.extend(changed(rows).iter().map(|row| line(row, several)));
        cx.ask(Layer::page(format!("Under {name}"), lines));
    }
}

/// `rises 3D → 2B 14 → 9 Drive belt: medium → high`, fitting 60 columns but for long names.
fn line(row: &Compared, several: bool) -> String {
    let code = |p: &Place| if p.stop { "!!" } else { p.code.as_str() }.to_owned();
    let codes = format!("{} → {}", code(&row.a), code(&row.b));
    let ranks = format!("{} → {}", row.a.rank, row.b.rank);
    let machine = row.machine.as_deref().filter(|_| several);
    let machine = machine.map(|m| format!(" [{m}]")).unwrap_or_default();
    let risk = |from: Risk, to: Risk| match from == to {
        true => String::new(),
        false => format!(": {from} → {to}"),
    };
    let columns = format!(
        "{} {} {}",
        pad(row.shift().as_str(), 5),
        pad(&codes, 7),
        pad(&ranks, 7)
    );
    // No breaks, so that the columns stay where they are when the page wraps.
    let columns = columns.replace(' ', NO_BREAK);
    format!(
        "{columns} {}{machine}{}",
        row.title,
        risk(row.a.risk, row.b.risk)
    )
}

fn words(scenario: Scenario) -> String {
    let e = scenario.exposure;
    format!(
        "{:.0} h and {:.0} d in {} waters",
        e.hours, e.days, scenario.waters
    )
}
