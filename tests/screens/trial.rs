//! The sea trial on its grid of engine speeds.

use crate::stage::Stage;

const SIZES: [(u16, u16); 3] = [(60, 20), (80, 24), (140, 45)];

/// In the survey of a new boat whose engine is rated at 3600 rpm, in the phase of the steps, on the grid.
fn on_the_grid() -> Stage {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1200' enter");
    stage.of_known_age();
    stage.keys("f2 / 'rated speed' enter enter '3600' enter esc esc");
    stage.keys("down down enter esc enter / 'at each step' enter %");
    stage
}

fn shown(stage: &Stage, name: &str) {
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("trial-{name}-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
}

#[test]
fn a_row_is_filled_by_keys() {
    let mut stage = on_the_grid();
    shown(&stage, "begun");
    stage.keys("enter '45 psi' enter 0");
    stage.keys("enter '82' enter 0 enter '14.1' enter");
    stage.keys("0 0 1 enter");
    shown(&stage, "row");
}
