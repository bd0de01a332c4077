//! How long a job takes, typed by its owner at the list: an earlier figure stands in sight before it is changed.

use crate::defects::JobMinutes;
use crate::defects::leaving_words::time_in_words;
use crate::defects::plan_words::read_job_minutes;
use crate::logbook::record::Record;
use crate::screen::kind::{Cx, Shown};
use crate::screen::layers::Layer;
use crate::screen::leaving::{LeavingScreen, Line};

impl LeavingScreen {
    /// Asks for the minutes of the job under the arrow, with those that count in the line.
    pub(super) fn ask_minutes(&self, cx: &mut Cx<'_, Self>) {
        let Some(job) = self.job().filter(|job| job.is_work) else {
            return cx.tell("that is no job with minutes of its own; up and down go to one");
        };
        let item = job.item.clone().filter(|_| job.task.is_none());
        let of = JobMinutes {
            item,
            task: job.task.clone(),
            machine: job.machine.clone(),
            ..JobMinutes::default()
        };
        let left = cx.leaving.minutes.take().filter(|(left, _)| *left == of);
        let stands = job.minutes.map(time_in_words);
        // What is judged or learned is not made one's own by Enter alone.
        let own = stands.clone().filter(|_| job.own_minutes);
        let typed = left.map(|(_, typed)| typed).or(own);
        let empty = match stands.filter(|_| !job.own_minutes) {
            Some(stands) => format!("as it stands, {stands}"),
            None => "no figure of your own".to_owned(),
        };
        let hint = format!("in all, such as 50 (minutes) or 2h30; empty: {empty}");
        cx.ask(Layer::typed(
            "How long does it take here?",
            hint,
            &typed.unwrap_or_default(),
            Line::Minutes(of),
        ));
    }

    /// Puts them on record, and chooses anew.
    pub(super) fn minutes_typed(
        &mut self,
        of: JobMinutes,
        text: &str,
        cx: &mut Cx<'_, Self>,
    ) -> Result<(), String> {
        let minutes = match text.trim() {
            "" => None,
            text => Some(read_job_minutes(text)?),
        };
        let own = self.job().is_some_and(|job| job.own_minutes);
        if minutes.is_none() && !own {
            cx.tell("no figure of your own; nothing is changed");
            return Ok(());
        }
        if cx
            .record_act(Record::from(JobMinutes { minutes, ..of }))?
            .is_some()
        {
            self.renew(cx.book);
            cx.tell(match minutes {
                Some(minutes) => {
                    format!("{} by your own figure; chosen anew", time_in_words(minutes))
                }
                None => "no figure of your own any more; chosen anew".to_owned(),
            });
        }
        Ok(())
    }
}
