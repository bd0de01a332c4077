//! Draws an item of one's own: its questions, or as it will be asked.

use std::sync::Arc;

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;

use super::{OwnItemScreen, Row};
use crate::checklist::Item;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::paint::ladder::{LadderView, ladder_lines};
use crate::paint::widgets;
use crate::screen::facts::{FactRow, Facts};
use crate::screen::kind::{Shown, View};

impl Shown for OwnItemScreen {
    fn context(&self) -> Context {
        Context::Profile
    }

    /// No picture stands beside words of one's own.
    fn offers(&self, action: Action) -> bool {
        action != Action::Photo
    }

    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let Some(item) = &self.item else { return };
        if self.as_asked {
            return widgets::lines(frame, area, as_asked(view, item, area));
        }
        let told = |row: &Row| FactRow::of(self.words(row), false);
        let facts = Facts {
            left: &item.title,
            right: "your own",
            rows: self.rows.iter().map(told).collect(),
            cursor: self.cursor,
            why: (self.row().map(Row::why).unwrap_or_default(), ""),
            more: "",
        };
        facts.draw(view, frame, area);
    }

    fn renew(&mut self, book: &Book) -> bool {
        self.library = Arc::clone(book.library());
        let Some(id) = self.item.as_ref().map(|item| item.id.clone()) else {
            return true;
        };
        let here = self.row().cloned();
        self.item = self.library.catalogue.item(&id).cloned();
        self.rows = self.rows();
        if let Some(here) = here {
            self.go_to(&here);
        }
        self.cursor = self.cursor.min(self.rows.len().saturating_sub(1));
        self.item.is_some()
    }
}

/// As whoever walks will see it: caution, how to look, the rungs.
fn as_asked(view: &View<'_>, item: &Item, area: Rect) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let columns = usize::from(area.width);
    let mut lines = vec![widgets::spread(
        &item.title,
        "as it will be asked",
        columns,
        theme.title(),
    )];
    for caution in &item.cautions {
        let told = format!("{} {caution}", theme.glyphs.caution());
        lines.extend(widgets::wrapped(&told, columns, theme.caution()));
    }
    lines.extend(widgets::wrapped(&item.look, columns, theme.text()));
    lines.push(Line::default());
    let ladder = LadderView {
        texts: std::array::from_fn(|n| item.ladder[n].as_str()),
        last: None,
        proposed: None,
        chosen: None,
        width: area.width,
        tall: true,
    };
    lines.extend(ladder_lines(&ladder, &theme));
    lines.push(Line::default());
    let remedy = format!("Then: {}, by the {}", item.remedy.action, item.remedy.who);
    lines.extend(widgets::wrapped(&remedy, columns, theme.quiet()));
    lines
}
