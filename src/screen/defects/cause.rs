//! A repair told on the list, and whether it put the cause right: asked only where what was found names
//! one that has to do with the item, and answered with the first key by saying nothing.

use super::{DefectsScreen, Line, Pick};
use crate::defects::acts::{HoldsUntil, Repair};
use crate::defects::plan_words::read_job_minutes;
use crate::defects::subject::Subject;
use crate::logbook::book::Book;
use crate::logbook::record::Record;
use crate::screen::kind::Cx;
use crate::screen::layers::Layer;
use crate::text::capital;

/// A repair of which only the cause is not said yet.
#[derive(Clone, Debug)]
pub struct Mended {
    /// What was done.
    pub(super) done: String,
    /// Until when it is to hold.
    pub(super) temporary: Option<HoldsUntil>,
    /// Ids of the causes that are named, in the order of the lines after the first.
    causes: Vec<String>,
}

impl Mended {
    /// The cause of a line; none where nothing is said of it.
    pub(super) fn cause(&self, at: usize) -> Option<&String> {
        self.causes.get(at.checked_sub(1)?)
    }
}

impl DefectsScreen {
    /// Records a repair; where what was found names a cause of the item, that is asked first.
    pub(super) fn mended(
        &mut self,
        done: String,
        temporary: Option<HoldsUntil>,
        cx: &mut Cx<'_, Self>,
    ) -> Result<(), String> {
        let question = self.ask_cause(&done, temporary.as_ref(), cx.book);
        let Some(repair) = self.repair(done, temporary, None, cx) else {
            return Ok(());
        };
        match question {
            Some(question) => {
                cx.check_act(Record::from(repair))?;
                cx.ask(question);
                Ok(())
            }
            None => self.ask_took(repair, cx),
        }
    }

    pub(super) fn repair(
        &self,
        done: String,
        temporary: Option<HoldsUntil>,
        cause: Option<String>,
        cx: &Cx<'_, Self>,
    ) -> Option<Repair> {
        let Subject { item, machine } = self.asked.clone()?;
        Some(Repair {
            item,
            machine,
            at: None,
            hours: None,
            done,
            by: cx.setup.by.clone(),
            temporary,
            cause,
            minutes: None,
        })
    }

    /// Asks last how long a lasting repair took, which Enter passes; a temporary one teaches nothing.
    pub(super) fn ask_took(&mut self, repair: Repair, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        if repair.temporary.is_some() {
            return self.record(Record::from(repair), cx);
        }
        cx.check_act(Record::from(repair.clone()))?;
        let hint = "in all, in minutes such as 50, or 2h30; it is learned from. Enter: not said";
        cx.ask(Layer::line(
            "How long did it take?",
            hint,
            Line::RepairTook(repair),
        ));
        Ok(())
    }

    /// Records it with the minutes that were typed.
    pub(super) fn took(
        &mut self,
        repair: Repair,
        text: &str,
        cx: &mut Cx<'_, Self>,
    ) -> Result<(), String> {
        let text = text.trim();
        let minutes = (!text.is_empty())
            .then(|| read_job_minutes(text))
            .transpose()?;
        self.record(Record::from(Repair { minutes, ..repair }), cx)
    }

    /// The question; none where what was found names no cause of this item.
    fn ask_cause(
        &self,
        done: &str,
        temporary: Option<&HoldsUntil>,
        book: &Book,
    ) -> Option<Layer<DefectsScreen>> {
        let subject = self.asked.as_ref()?;
        let machines = self.condition.boat.machines.iter();
        let mut machines =
            machines.filter(|m| subject.machine.as_ref().is_none_or(|own| *own == m.id));
        let behind = self.condition.behind(book.history(), &machines.next()?.id);
        let named = behind.named_for(&subject.item);
        let titles = named.iter().map(|cause| capital(&cause.title));
        let mut options = vec!["do not know".to_owned()];
        options.extend(titles);
        options.push("no".to_owned());
        let mended = Mended {
            done: done.to_owned(),
            temporary: temporary.cloned(),
            causes: named.iter().map(|cause| cause.id.clone()).collect(),
        };
        let ask = || Layer::choice("Was this the cause?", options, Pick::Cause(mended));
        (!named.is_empty()).then(ask)
    }
}
