//! What a figure of a watch round usually is on this machine: the median of earlier rounds, else of the
//! walks. It rests on what was read; a round that claims all as usual adds no figure to it.

use chrono::{DateTime, FixedOffset};

use super::admit::usual_of;
use super::condition::Condition;
use super::history::{History, Stamped};
use super::under_way::Passage;
use super::under_way_line::UnderWay;
use crate::checklist::{Figure, Grade, PhaseState};

/// So many of the last rounds are looked back on (judgement).
const BACK: usize = 30;
/// Engine speeds that differ by no more than this share are alike (judgement).
const ALIKE: f64 = 0.1;
/// With a new filter the first rounds say what is new (judgement).
const NEW: usize = 3;

/// What a figure usually is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Usual {
    /// In the unit it is compared in.
    pub value: f64,
    /// From how many rounds; none where the walks say it.
    pub rounds: Option<usize>,
}

impl Condition {
    /// What a figure usually is for a machine before a time, at the engine speed of a line where the
    /// figure goes by it; none before three readings are known.
    pub fn usual_under_way(
        &self,
        history: &History,
        machine: &str,
        figure: Figure,
        (at, rpm): (DateTime<FixedOffset>, Option<f64>),
    ) -> Option<Usual> {
        let alike = |other: Option<f64>| match (figure.goes_by_speed(), rpm.zip(other)) {
            (true, Some((rpm, other))) => speeds_alike(rpm, other),
            (true, None) => false,
            (false, _) => true,
        };
        let earlier = |line: &&Stamped<UnderWay>| {
            line.rec.machine.as_deref() == Some(machine) && line.at < at && !line.rec.engine_off
        };
        let lines = history.under_way.iter().filter(earlier);
        let lines = lines.filter(|line| alike(line.rec.rpm));
        let read = lines.filter_map(|line| Some((line.at, line.rec.figure(figure)?)));
        let mut values: Vec<f64> = match figure {
            Figure::Vacuum => {
                let since = self.new_filter(history, machine, at);
                let since = read.filter(|(read_at, _)| since.is_none_or(|since| *read_at >= since));
                since.map(|(_, value)| value).take(NEW).collect()
            }
            _ => {
                let all: Vec<f64> = read.map(|(_, value)| value).collect();
                all.get(all.len().saturating_sub(BACK)..)
                    .unwrap_or_default()
                    .to_vec()
            }
        };
        values.sort_unstable_by(f64::total_cmp);
        let rounds = values.len();
        let of_rounds = usual_of(&values).map(|value| Usual {
            value,
            rounds: Some(rounds),
        });
        of_rounds.or_else(|| self.usual_of_walks(machine, figure))
    }

    /// The edges of what is usual for a figure of a machine, in the unit it is compared in, each open where
    /// there is none: the sound band of its item, where the handbook says so that of the handbook.
    pub fn usual_edges(
        &self,
        machine: &str,
        figure: Figure,
        usual: Option<Usual>,
    ) -> [Option<f64>; 2] {
        let item = figure.item().and_then(|id| self.library.catalogue.item(id));
        let Some(item) = item else {
            return [None, None];
        };
        let usual = usual.map(|usual| usual.value);
        let limits = self.limits(item, machine, Some(PhaseState::UnderWay), usual);
        let sound = limits.bands.iter().find(|band| band.rung == Grade::Sound);
        sound.map_or([None, None], |band| [band.from, band.to])
    }

    /// Since when the filter in service is new: the last work that begins its vacuum anew, else the
    /// beginning of this time under way.
    fn new_filter(
        &self,
        history: &History,
        machine: &str,
        at: DateTime<FixedOffset>,
    ) -> Option<DateTime<FixedOffset>> {
        let item = Figure::Vacuum.item()?;
        let begins_anew = |task: &str| {
            let task = self.library.task(task);
            task.is_some_and(|task| task.restarts.iter().any(|own| own == item))
        };
        let mut services = history
            .services
            .iter()
            .filter(|service| service.rec.machine.as_deref() == Some(machine) && service.at <= at);
        let last = services.rfind(|s| begins_anew(&s.rec.task));
        let begun = || {
            let running = Passage::running(history, machine, at)?;
            Some(running.lines.first()?.at)
        };
        last.map(|service| service.at).or_else(begun)
    }

    /// From the walks: the median of the sound readings of the part of the walk that has most of them.
    /// What goes by engine speed is left out, since nobody knows at which it was read.
    fn usual_of_walks(&self, machine: &str, figure: Figure) -> Option<Usual> {
        let item = self.library.catalogue.item(figure.item()?)?;
        if figure.goes_by_speed() || figure == Figure::Drops {
            return None;
        }
        let readings = &self.life(&item.id, machine)?.status.readings;
        let sound = || readings.iter().filter(|r| r.grade == Grade::Sound);
        let many = |phase: &Option<String>| sound().filter(|r| r.phase == *phase).count();
        let phase = sound().map(|r| &r.phase).max_by_key(|phase| many(phase))?;
        let value = self.usual(item, machine, phase.as_deref())?;
        Some(Usual {
            value,
            rounds: None,
        })
    }
}

/// True for two engine speeds at which figures can be held against each other.
pub fn speeds_alike(rpm: f64, other: f64) -> bool {
    (rpm - other).abs() <= ALIKE * rpm.max(other)
}

impl Figure {
    /// It is another one at another engine speed.
    pub const fn goes_by_speed(self) -> bool {
        matches!(self, Figure::Oil | Figure::Vacuum | Figure::Speed)
    }
}
