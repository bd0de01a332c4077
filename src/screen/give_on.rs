//! The history of the boat given on with her: what goes along, and into which folder.

use std::collections::BTreeSet;

use crate::defects::Private;
use crate::logbook::give_on::give_on;
use crate::screen::kind::{Asks, Cx, Go, Screen, Shown};
use crate::screen::layers::{Choice, Layer};

/// What can be chosen here; any other mix by command.
const CHOICES: [(&str, &[Private]); 3] = [
    (
        "names, prices, places, notes and photographs stay with me",
        Private::ALL,
    ),
    (
        "notes and photographs go along, as they are; names, prices and places stay",
        &[Private::Names, Private::Prices, Private::Places],
    ),
    ("all of it goes along, as it is", &[]),
];

/// The history on its way into a folder.
#[derive(Default)]
pub struct GiveOnScreen {
    kept_back: BTreeSet<Private>,
}

impl Asks for GiveOnScreen {
    /// What goes along.
    type Pick = ();
    /// Which folder it goes to.
    type Line = ();
}

impl GiveOnScreen {
    /// Asks what goes along.
    pub fn ask(&mut self, cx: &mut Cx<'_, Self>) {
        let lead = vec![
            "The new owner's book begins with hers, as told by you: findings and ages stand, and nothing counts as sound until they have looked.".to_owned(),
        ];
        let options = CHOICES.iter().map(|(words, _)| (*words).to_owned());
        let title = "Her history goes on with her: what stays with you?";
        cx.ask(Layer::told(title, lead, options.collect(), ()));
    }
}

impl Shown for GiveOnScreen {
    fn is_box(&self) -> bool {
        true
    }
}

impl Screen for GiveOnScreen {
    fn picked(&mut self, _ask: (), at: usize, _: &Choice, cx: &mut Cx<'_, Self>) {
        let kept_back = CHOICES.get(at).map_or(Private::ALL, |(_, kept)| kept);
        self.kept_back = kept_back.iter().copied().collect();
        let hint =
            "a new folder, which the new owner copies and opens with: handlamp --logbook FOLDER";
        cx.ask(Layer::line("Into which folder?", hint, ()));
    }

    fn typed(&mut self, _ask: (), text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        if text.trim().is_empty() {
            return Err("name a new folder".to_owned());
        }
        let to = cx.setup.pictures.join(text.trim());
        let given = give_on(cx.book, &to, &self.kept_back).map_err(|e| e.to_string())?;
        let told = format!("Written to {}: {}", to.display(), given.told.words());
        match given.missing.first() {
            None => cx.tell(told),
            Some(missing) => cx.warn(format!("{missing}; {told}")),
        }
        cx.go(Go::Back);
        Ok(())
    }
}
