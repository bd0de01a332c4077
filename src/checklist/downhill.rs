//! Where a leak shows besides at its joint: tray, bilge, levels, signs. The table is data
//! (`checklists/downhill.json`, common practice).

use std::sync::LazyLock;

use serde::Deserialize;

use super::compiled::compiled_in;
use super::words::Fluid;

#[derive(Deserialize)]
struct Table {
    rows: Vec<Row>,
}

#[derive(Deserialize)]
struct Row {
    fluid: Fluid,
    items: Vec<String>,
}

static TABLE: LazyLock<Table> =
    LazyLock::new(|| compiled_in(include_str!("../../checklists/downhill.json")));

/// Ids of the items at which a leak of this fluid shows downhill of its joint.
pub fn downhill_of(fluid: Fluid) -> &'static [String] {
    let row = TABLE.rows.iter().find(|row| row.fluid == fluid);
    row.map_or(&[], |row| &row.items)
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use crate::checklist::Catalogue;

    #[test]
    fn every_fluid_shows_somewhere_the_catalogue_knows() {
        for fluid in Fluid::ALL {
            let items = downhill_of(*fluid);
            assert!(!items.is_empty(), "{fluid}");
            for item in items {
                assert!(Catalogue::built_in().item(item).is_some(), "{item}");
            }
        }
    }
}
