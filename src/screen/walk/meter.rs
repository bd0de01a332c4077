//! The hour meter of a walk. Where it shows less than it did before, one of both readings is wrong, or
//! the meter is another one: which, is asked, and that one is mended.

use crate::boat::{Hours, MeterChange};
use crate::defects::admit::hours_fault;
use crate::logbook::mend::{Reading, Reason, foresee_reckoned, put_right, reading_against};
use crate::logbook::profile_change::{Said, set_profile};
use crate::logbook::record::{Record, WalkNoted};
use crate::screen::kind::in_one;
use crate::screen::layers::Layer;
use crate::screen::walk::ask::{Line, Pick};
use crate::screen::walk::state::{Turn, WalkScreen};

/// The lines of the question, in order.
const THIS_ONE: usize = 0;
const EARLIER: usize = 1;

impl WalkScreen {
    /// Takes the hour meter, or asks which reading is wrong.
    pub fn take_hours(&mut self, hours: Hours, cx: &mut Turn<'_>) -> Result<(), String> {
        let book = &*cx.book;
        // Other readings of this very walk do not stand against a correction.
        let mut history = book.history().clone();
        history.walks.retain(|w| w.id != self.started.walk);
        let (machine, at) = (&self.started.machine, self.started.at);
        if let Some((_, message)) = hours_fault(&history, machine, hours, at) {
            if self.started.guest {
                return Err(format!("{message}; Esc leaves it to the owner"));
            }
            let before = reading_against(book, machine, hours, (at, &self.started.walk));
            let before = before.ok_or(message)?;
            self.ask_which_meter(hours, before, cx);
            return Ok(());
        }
        let noted = WalkNoted {
            hours: Some(hours),
            ..WalkNoted::default()
        };
        self.note_walk(noted, cx);
        Ok(())
    }

    fn ask_which_meter(&self, hours: Hours, before: Reading, cx: &mut Turn<'_>) {
        let day = before.at.format("%-d %b %Y");
        let title = format!(
            "{hours} h now, {} h on {day}: which is wrong?",
            before.hours
        );
        let by = match before.id {
            Some(_) => "of",
            None => "by the profile of",
        };
        let options = vec![
            format!("{hours} h, just typed"),
            format!("{} h, {by} {day}", before.hours),
            "neither: it is another meter".to_owned(),
        ];
        let ask = Pick::WhichMeter(hours, before);
        cx.ask(Layer::choice(title, options, ask));
    }

    /// One of both readings was named as wrong, or neither.
    pub fn which_meter(&mut self, hours: Hours, before: Reading, at: usize, cx: &mut Turn<'_>) {
        match (at, before.id) {
            (THIS_ONE, _) => self.ask_hours(cx),
            (EARLIER, Some(id)) => cx.ask(Layer::line(
                format!("What did it show on {}?", before.at.format("%-d %b %Y")),
                "the false figure stays on record and leaves every sum; empty: not read",
                Line::MendMeter(hours, id),
            )),
            (EARLIER, None) => self.mend_profile(hours, cx),
            (_, from) => {
                let change = MeterChange {
                    machine: self.started.machine.clone(),
                    at: before.at,
                    old: before.hours,
                    from,
                    new: hours,
                };
                match cx.record_act(Record::from(change)) {
                    Ok(_) => self.take_mended(hours, cx),
                    Err(told) => cx.warn(told),
                }
            }
        }
    }

    /// What the profile said was typed wrong and is no reading: it says what the meter shows now, and
    /// that is taken.
    fn mend_profile(&mut self, hours: Hours, cx: &mut Turn<'_>) {
        let mut boat = cx.book.profile().clone();
        let mut machines = boat.machines.iter_mut();
        if let Some(machine) = machines.find(|m| m.id == self.started.machine) {
            machine.hours = Some(hours);
        }
        let said = Said {
            typed_wrong: true,
            ..Said::default()
        };
        match set_profile(cx.book, boat, said) {
            Ok(_) => {
                self.take_in(cx.book);
                self.take_mended(hours, cx);
            }
            Err(refused) => cx.warn(refused.words()),
        }
    }

    /// Puts an earlier reading right, and takes the one that showed it to be wrong; what was reckoned
    /// from the earlier one is shown first.
    pub fn mend_meter(
        &mut self,
        (hours, id): (Hours, &str),
        text: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        let reason = Reason {
            why: format!("typed wrong: the meter shows {hours} h later"),
            by: cx.setup.by.clone(),
        };
        let change = [("hours".to_owned(), text.to_owned())];
        let records = put_right(cx.book, id, &change, &reason).map_err(in_one)?;
        let follows = foresee_reckoned(cx.book, &records);
        if follows.is_empty() {
            self.meter_mended(hours, records, cx);
            return Ok(());
        }
        let options = ["leave it as it is", "record it"].map(str::to_owned);
        cx.ask(Layer::told(
            "This follows from it. Record it?",
            follows,
            options.to_vec(),
            Pick::MeterMended(hours, records),
        ));
        Ok(())
    }

    /// An earlier reading is put right, and the one that showed it to be wrong is taken.
    pub fn meter_mended(&mut self, hours: Hours, records: Vec<Record>, cx: &mut Turn<'_>) {
        if cx.record(records).is_some() {
            self.take_in(cx.book);
            self.take_mended(hours, cx);
        }
    }

    fn take_mended(&mut self, hours: Hours, cx: &mut Turn<'_>) {
        if let Err(told) = self.take_hours(hours, cx) {
            cx.warn(told);
        }
    }
}
