//! Records that cannot be saved: what now.

use std::path::Path;

use crate::logbook::book::Moved;
use crate::screen::kind::{Asks, Cx, Go, Screen, Shown};
use crate::screen::layers::{Choice, Layer};

/// So many records are in memory only.
pub struct Unsaved(pub usize);

impl Asks for Unsaved {
    type Pick = ();
    type Line = ();
}

impl Unsaved {
    /// Asks what to do.
    pub fn ask(&mut self, cx: &mut Cx<'_, Self>) {
        cx.ask(Layer::choice(
            format!("{} record(s) are NOT SAVED and in memory only", self.0),
            vec![
                "try again".into(),
                "save to another folder".into(),
                "leave, and keep them in a rescue file".into(),
                "stay".into(),
            ],
            (),
        ));
    }
}

impl Shown for Unsaved {
    fn is_box(&self) -> bool {
        true
    }

    fn asks_where_to_save(&self) -> bool {
        true
    }
}

impl Screen for Unsaved {
    fn picked(&mut self, _ask: (), at: usize, _of: &Choice, cx: &mut Cx<'_, Self>) {
        match at {
            0 if cx.book.retry() => cx.tell("saved; nothing was lost"),
            0 => cx.warn("still not saved"),
            1 => {
                let hint = "a path, such as a stick's";
                return cx.ask(Layer::line("Save to which folder?", hint, ()));
            }
            2 => return cx.go(Go::Leave),
            _ => {}
        }
        cx.go(Go::Back);
    }

    fn typed(&mut self, _ask: (), text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        if text.is_empty() {
            return Err("name a folder".into());
        }
        let moved = cx
            .book
            .move_to(Path::new(text))
            .map_err(|e| e.to_string())?;
        let back = "bring it back with: handlamp logbook merge";
        match moved {
            Moved::Whole => {
                cx.tell(format!(
                    "saved in {text}, which opens as her logbook; {back}"
                ));
                cx.setup.root = cx.book.writes_to().to_owned();
            }
            Moved::SessionAlone(why) => {
                let why = why.in_short();
                cx.warn(format!(
                    "saved in {text}, this session alone ({why}); {back}"
                ));
            }
        }
        cx.go(Go::Back);
        Ok(())
    }
}
