//! Draws what the walks of the seasons say besides: the step of a row, and what of it is left open.

use crate::keys::Action;
use crate::paint::widgets;
use crate::screen::kind::View;
use crate::screen::walk::item::Part;
use crate::screen::walk::leave_open::told_of;
use crate::screen::walk::state::WalkScreen;
use crate::text::safe_line;

/// What is done at the row in front: what can hurt first, then what to do, then what that leaves open.
pub fn step_parts(view: &View<'_>, screen: &WalkScreen, columns: usize) -> Vec<Part> {
    let theme = view.setup.theme;
    let Some(step) = screen.row().and_then(|row| row.step.as_ref()) else {
        return Vec::new();
    };
    let caution = step.caution.iter().map(|caution| {
        let told = format!("{} {caution}", theme.glyphs.caution());
        let lines = widgets::wrapped(&told, columns, theme.caution());
        (8, lines.len(), lines)
    });
    let mut parts: Vec<Part> = caution.collect();
    // The key that shows the cautions shows it whole where the ladder leaves it no room.
    let told = widgets::wrapped(&step.action, columns, theme.text());
    parts.push((7, 2, told));
    let key = view.setup.key(Action::LeftOpen);
    let leaves = screen.still_to_leave().into_iter().flat_map(|leaves| {
        let told = format!("{key} left open: {}", told_of(&leaves));
        widgets::wrapped(&told, columns, theme.key())
    });
    parts.push((5, 1, leaves.collect()));
    parts
}

/// What of the row is left open, with the key by which it is seen put back.
pub fn open_part(view: &View<'_>, screen: &WalkScreen, columns: usize) -> Part {
    let theme = view.setup.theme;
    let key = view.setup.key(Action::PutBack);
    let open = screen.open_here().into_iter().flat_map(|(.., words)| {
        let told = format!("{key} put back? {}", safe_line(&words));
        widgets::wrapped(&told, columns, theme.mark())
    });
    (6, 1, open.collect())
}
