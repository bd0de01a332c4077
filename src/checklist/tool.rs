//! What an item can be measured with at the spot, by what it reads and what can leak there.

use super::item::{Item, Versus};
use super::words::{Fluid, Kind};
use crate::boat::units::Quantity;
use crate::text::words;

/// The station from which the water of the exhaust is watched, and can be caught.
const OUTLET: &str = "over-side";

words! {
    /// A way of measuring with nothing but a lamp, a key and a bucket.
    Tool, "tool" {
        /// A key for each drop that falls.
        Drops = "drop-counter",
        /// Seconds until something happens.
        Stopwatch = "stopwatch",
        /// A bucket of known size and the time it takes to fill.
        Bucket = "bucket",
    }
}

impl Item {
    /// The tools that fit this item; those whose figure is its reading first.
    pub fn tools(&self) -> Vec<Tool> {
        let mut tools: Vec<Tool> = Tool::ALL
            .iter()
            .copied()
            .filter(|tool| self.takes(*tool))
            .collect();
        tools.sort_by_key(|tool| !self.reads(*tool));
        tools
    }

    /// True where the tool's figure is the item's reading; else it goes into the note.
    pub fn reads(&self, tool: Tool) -> bool {
        self.reading.as_ref().is_some_and(|r| match tool {
            Tool::Drops => r.quantity == Quantity::DropRate,
            Tool::Stopwatch => r.quantity == Quantity::Time,
            // A flow against the usual is worked out from the log, not caught in a bucket.
            Tool::Bucket => r.quantity == Quantity::Flow && r.versus == Versus::Absolute,
        })
    }

    fn takes(&self, tool: Tool) -> bool {
        let by_fluid = match tool {
            Tool::Drops => self.fluid.is_some_and(|f| f != Fluid::ExhaustGas),
            Tool::Stopwatch => false,
            Tool::Bucket => {
                let outlet = self.station == OUTLET && self.kind == Kind::Sign;
                self.fluid == Some(Fluid::RawWater) || (outlet && self.reading.is_some())
            }
        };
        by_fluid || self.reads(tool)
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::Tool::{Bucket, Drops, Stopwatch};
    use crate::checklist::Library;

    #[test]
    fn tools_go_where_they_measure_something() {
        let catalogue = &Library::built_in().catalogue;
        for (id, tools) in [
            ("stuffing-box", vec![Drops, Bucket]),
            ("raw-water-flow", vec![Stopwatch, Bucket]),
            ("cold-start", vec![Stopwatch]),
            ("front-crankshaft-seal", vec![Drops]),
            ("engine-seacock", vec![Drops, Bucket]),
            ("exhaust-manifold-gasket", vec![]),
            ("engine-oil-use", vec![]),
            ("drive-belt", vec![]),
            ("exhaust-smoke", vec![]),
        ] {
            let item = catalogue.item(id).expect(id);
            assert_eq!(item.tools(), tools, "{id}");
        }
    }
}
