//! The hour meter of a walk. Where it shows less than it did before, one of both readings is wrong, or
//! the meter is another one: which, is asked, and that one is mended.

use crate::boat::{Hours, MeterChange};
use crate::defects::admit::hours_fault;
use crate::logbook::mend::{Reading, Reason, foresee_reckoned, put_right, reading_above};
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
            let above = reading_above(book, machine, hours, (at, &self.started.walk));
            let above = above.ok_or(message)?;
            self.ask_which_meter(hours, above, cx);
            return Ok(());
        }
        let noted = WalkNoted {
            hours: Some(hours),
            ..WalkNoted::default()
        };
        self.note_walk(noted, cx);
        Ok(())
    }

    fn ask_which_meter(&self, hours: Hours, above: Reading, cx: &mut Turn<'_>) {
        let day = above.at.format("%-d %b %Y");
        let title = format!("{hours} h now, {} h on {day}: which is wrong?", above.hours);
        let options = vec![
            format!("{hours} h, just typed"),
            format!("{} h, of {day}", above.hours),
            "neither: it is another meter".to_owned(),
        ];
        cx.ask(Layer::choice(
            title,
            options,
            Pick::WhichMeter(hours, above),
        ));
    }

    /// One of both readings was named as wrong, or neither.
    pub fn which_meter(&mut self, hours: Hours, above: Reading, at: usize, cx: &mut Turn<'_>) {
        match at {
            THIS_ONE => self.ask_hours(cx),
            EARLIER => cx.ask(Layer::line(
                format!("What did it show on {}?", above.at.format("%-d %b %Y")),
                "the false figure stays on record and leaves every sum; empty: not read",
                Line::MendMeter(hours, above.id),
            )),
            _ => {
                let change = MeterChange {
                    machine: self.started.machine.clone(),
                    at: above.at,
                    old: above.hours,
                    from: Some(above.id),
                    new: hours,
                };
                match cx.record_act(Record::Meter(change)) {
                    Ok(_) => self.take_mended(hours, cx),
                    Err(told) => cx.warn(told),
                }
            }
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
