//! The shaft that turns under sail with the engine off: nothing pumps oil through the gearbox meanwhile, so
//! the engine is run in neutral from time to time. One maker's boxes ask for it every eight hours
//! (TM 55-1905-221-14-1, 2-11.1); the handbook of the machine decides.

use chrono::{DateTime, Duration, FixedOffset};

use super::condition::Condition;
use super::plan_words::short;
use super::under_way::Passage;
use crate::boat::kinds::ShaftUnderSail;
use crate::checklist::RoundLook;

/// Hours between two runs where the profile says no other.
pub const USUAL_HOURS: f64 = 8.0;

/// The shaft turns with the engine off.
#[derive(Clone, Debug, PartialEq)]
pub struct ShaftTurning {
    /// Hours it has turned so, at the most: since the engine ran last, or was run for it.
    pub turned: f64,
    /// Hours between two runs.
    pub every: f64,
    /// When the engine is to be run.
    pub due: DateTime<FixedOffset>,
    /// What the profile says of it; none where nobody said.
    pub known: Option<ShaftUnderSail>,
    /// What is to be done then.
    pub look: &'static RoundLook,
}

impl ShaftTurning {
    /// The hours are over.
    pub fn is_over(&self) -> bool {
        self.turned >= self.every
    }

    /// In sentences.
    pub fn words(&self) -> String {
        let known = match self.known {
            Some(ShaftUnderSail::HandbookAllows) => "",
            Some(ShaftUnderSail::Turns) => " That the handbook allows it to turn is not said.",
            Some(ShaftUnderSail::Held) | None => {
                " Whether the shaft turns is not said in the profile: hold it where the box allows it."
            }
        };
        let turned = short(self.turned);
        let every = short(self.every);
        match self.is_over() {
            true => format!(
                "RUN THE ENGINE: the shaft may have turned {turned} h with the engine off, {every} h are the most. {}.{known} The handbook decides.",
                self.look.look
            ),
            false => format!(
                "Engine off, the shaft may turn: {turned} of {every} h; run the engine in neutral by {}.{known}",
                self.due.format("%H:%M")
            ),
        }
    }
}

impl Condition {
    /// The shaft of a machine that turns with the engine off now; none where the engine runs, the shaft is
    /// held, or nothing is known of such a look.
    pub fn shaft_turning(
        &self,
        passage: &Passage<'_>,
        machine: &str,
        now: DateTime<FixedOffset>,
    ) -> Option<ShaftTurning> {
        let known = self.boat.machines.iter().find(|m| m.id == machine)?;
        if known.shaft_turns == Some(ShaftUnderSail::Held) {
            return None;
        }
        let look = RoundLook::all()
            .iter()
            .find(|look| look.is_of_the_turning_shaft())?;
        let told = || passage.lines.iter().filter(|line| line.at <= now);
        told().next_back().filter(|line| line.rec.engine_off)?;
        // The engine may have stopped right after the last line that has it running.
        let ran = |line: &&&super::Stamped<super::UnderWay>| {
            !line.rec.engine_off || line.rec.usual.contains(&look.usual)
        };
        let since = told().rfind(ran).or_else(|| told().next())?.at;
        let every = known.shaft_run_hours.unwrap_or(USUAL_HOURS);
        Some(ShaftTurning {
            turned: (now - since).num_minutes() as f64 / 60.0,
            every,
            due: since + Duration::minutes((every * 60.0) as i64),
            known: known.shaft_turns,
            look,
        })
    }
}
