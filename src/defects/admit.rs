//! What may be recorded: the checks a look or an act passes before it becomes a record. Screens and
//! commands ask the same questions here.

use chrono::{DateTime, Duration, FixedOffset};

use super::condition::Condition;
use super::history::History;
use super::life::Life;
use super::meter_reads::MeterRead;
use super::subject::Subject;
use crate::assess::slope::median_of_sorted;
use crate::boat::{Boat, Hours, Measure, MeterLine, Unit};
use crate::checklist::leak::leak_grade;
use crate::checklist::{Checklist, Closing, Grade, Item, Kind, PhaseState, Versus};
use crate::text::safe_line;
use crate::walk::{FuelLeft, Look, Outcome, Photo};

/// What is wrong: the field of the record, and a plain sentence without a full stop.
pub type Fault = (String, String);

/// The longest note, bytes.
pub const LONGEST_NOTE: usize = 16 * 1024;
/// The longest other text, bytes.
pub const LONGEST_TEXT: usize = 1024;
/// Fewer earlier readings than this make no baseline (judgement).
const FEWEST_FOR_BASELINE: usize = 3;

/// A rung that a reading or a leak class proposes.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// The rung proposed.
    pub grade: Grade,
    /// What proposes it, in words: a reading or a leak class.
    pub by: String,
    /// It rests on the boat's own usual value, which other records may change.
    pub relative: bool,
}

impl Condition {
    /// The worst rung that a look's reading and leak class propose.
    pub fn proposal(
        &self,
        item: &Item,
        machine: &str,
        look: &Look,
        state: Option<PhaseState>,
    ) -> Option<Proposal> {
        let by_leak =
            look.leak
                .zip(item.fluid)
                .zip(item.place)
                .and_then(|((leak, fluid), place)| {
                    let grade = leak_grade(fluid, place, item.near_heat, leak)?;
                    let by = format!("leak class {}", leak.as_str());
                    Some(Proposal {
                        grade,
                        by,
                        relative: false,
                    })
                });
        let by_reading = self.by_reading(item, machine, look, state);
        match (by_leak, by_reading) {
            (Some(a), Some(b)) => Some(if b.grade > a.grade { b } else { a }),
            (a, b) => a.or(b),
        }
    }

    fn by_reading(
        &self,
        item: &Item,
        machine: &str,
        look: &Look,
        state: Option<PhaseState>,
    ) -> Option<Proposal> {
        let usual = || self.usual(item, machine, look.phase.as_deref());
        let by_bands = self.reading_proposal(item, machine, look.reading?, state, usual);
        // What rose says so at the stick, and not only in the verdict.
        let risen = self.risen_to(item, machine, look, state);
        let risen = risen.map(|(grade, by)| Proposal {
            grade,
            by,
            relative: true,
        });
        match (by_bands, risen) {
            (Some(bands), Some(risen)) if bands.grade >= risen.grade => Some(bands),
            (bands, risen) => risen.or(bands),
        }
    }

    /// The rung that a reading proposes in a state of the engine; `usual` gives the boat's own
    /// usual value where the bands compare with it. The handbook figure of the machine outranks
    /// the bands.
    pub(super) fn reading_proposal(
        &self,
        item: &Item,
        machine: &str,
        measure: Measure,
        state: Option<PhaseState>,
        usual: impl FnOnce() -> Option<f64>,
    ) -> Option<Proposal> {
        let reading = item.reading.as_ref()?;
        let machines = &self.boat.machines;
        let known = machines.iter().find(|m| m.id == machine);
        let handbook = known.and_then(|m| m.handbook.iter().find(|h| h.item == item.id));
        if let Some((limit, value)) = handbook.and_then(|h| Some((h, measure.value_in(h.unit)?))) {
            let good = limit.from.is_none_or(|from| value >= from)
                && limit.to.is_none_or(|to| value <= to);
            let grade = if good { Grade::Sound } else { Grade::Failing };
            let by = format!("the handbook ({})", limit.source);
            return Some(Proposal {
                grade,
                by,
                relative: false,
            });
        }
        let value = self.value_in(item, machine, measure, reading.unit)?;
        let compared = match reading.versus {
            Versus::Absolute => value,
            Versus::BaselineDifference => value - usual()?,
            Versus::BaselineRatio => value / usual().filter(|u| *u != 0.0)?,
        };
        let grade = reading.grade_of(compared, state, known.and_then(|m| m.packing))?;
        let relative = reading.versus != Versus::Absolute;
        Some(Proposal {
            grade,
            by: format!("the reading {measure}"),
            relative,
        })
    }

    /// A reading in a unit; an engine speed held against the rated one, where the item is read so and the
    /// rated one is told. None where that is not another way to say it.
    pub fn value_in(
        &self,
        item: &Item,
        machine: &str,
        measure: Measure,
        unit: Unit,
    ) -> Option<f64> {
        let of_rated = || {
            item.reading.as_ref().filter(|reading| reading.of_rated)?;
            measure.short_of(self.rated(machine)?)?.value_in(unit)
        };
        measure.value_in(unit).or_else(of_rated)
    }

    /// The rated speed of a machine, where it is told.
    pub fn rated(&self, machine: &str) -> Option<f64> {
        let mut machines = self.boat.machines.iter();
        machines.find(|m| m.id == machine)?.rated_rpm
    }

    /// The boat's own usual value of a reading in a phase: the median of earlier sound readings
    /// since the last repair, in the unit of the catalogue; none before there are three.
    pub fn usual(&self, item: &Item, machine: &str, phase: Option<&str>) -> Option<f64> {
        let unit = item.reading.as_ref()?.unit;
        let life = self.life(&item.id, machine)?;
        let same = life
            .status
            .readings
            .iter()
            .filter(|r| r.grade == Grade::Sound && r.phase.as_deref() == phase);
        let mut values: Vec<f64> = same
            .filter_map(|r| self.value_in(item, machine, r.measure, unit))
            .collect();
        values.sort_unstable_by(f64::total_cmp);
        usual_of(&values)
    }

    /// True where a better grade has to say why: the item moves down a ladder of its own, stood
    /// lower at the last look, and no repair was recorded since, a temporary one neither.
    pub fn asks_why_better(&self, item: &Item, life: &Life, grade: Grade) -> bool {
        let standing = &life.status;
        item.kind.wears()
            && !standing.unconfirmed
            && standing.patch.is_none()
            && standing.grade.is_some_and(|before| grade < before)
    }

    /// Faults of a look made in a walk of a checklist on a machine.
    pub fn look_faults(&self, look: &Look, machine: &str, checklist: &Checklist) -> Vec<Fault> {
        let mut faults = Vec::new();
        let mut fault = |field: &str, message: String| faults.push((field.to_owned(), message));
        let Some(item) = self.library.catalogue.item(&look.item) else {
            fault("item", self.unknown_item(&look.item));
            return faults;
        };
        // What its role does not ask for can be seen all the same.
        let nothing = Life::default();
        let unasked = || {
            self.is_unasked(&self.subject(&item.id, machine))
                .then_some(&nothing)
        };
        let Some(life) = self.life(&item.id, machine).or_else(unasked) else {
            fault("item", format!("machine '{machine}' has no {}", item.id));
            return faults;
        };
        let phase = look
            .phase
            .as_deref()
            .map(|id| checklist.phases.iter().find(|p| p.id == id));
        if let Some(None) = phase {
            let known: Vec<_> = checklist.phases.iter().map(|p| p.id.as_str()).collect();
            fault(
                "phase",
                format!(
                    "the checklist '{}' has no such phase; it has {}",
                    checklist.id,
                    known.join(", ")
                ),
            );
        }
        if look.leak.is_some() && item.fluid.is_none() {
            fault("leak", format!("nothing leaks at {}", item.id));
        }
        match (&item.reading, look.reading) {
            (None, Some(_)) => fault("reading", format!("{} has no reading", item.id)),
            (Some(reading), Some(measure)) if !reading.takes(measure.unit()) => {
                fault(
                    "reading.unit",
                    format!(
                        "{} does not fit; expected {} or the like",
                        measure.unit(),
                        reading.unit
                    ),
                );
            }
            (Some(reading), Some(measure))
                if reading
                    .quantity
                    .least()
                    .is_some_and(|least| measure.unit().to_base(measure.value()) < least) =>
            {
                fault(
                    "reading.value",
                    format!("{measure} is less than there can be; mend the figure"),
                );
            }
            _ => {}
        }
        if look.added.is_some() && item.kind != Kind::Level {
            fault("added", format!("{} is no level to top up", item.id));
        }
        faults.extend(self.sign_faults(look));
        let mut fault = |field: &str, message: String| faults.push((field.to_owned(), message));
        if let Outcome::NotSeen { close_by, .. } = &look.outcome
            && checklist.closes_with == Closing::Survey
            && close_by.as_ref().is_none_or(|text| text.trim().is_empty())
        {
            fault(
                "close_by",
                format!("say how {} could be seen: a survey needs it", item.id),
            );
        }
        faults.extend(text_faults(look));
        let mut fault = |field: &str, message: String| faults.push((field.to_owned(), message));
        let Some(grade) = look.grade() else {
            return faults;
        };
        if look.as_last_time && life.status.grade != Some(grade) {
            let stood = life
                .status
                .grade
                .map_or("nobody graded it".to_owned(), |g| g.to_string());
            fault(
                "as_last_time",
                format!("{} stood otherwise: {stood}", item.id),
            );
        }
        if self.asks_why_better(item, life, grade) && look.better.is_none() {
            let before = life.status.grade.unwrap_or(Grade::Sound);
            fault(
                "better",
                format!(
                    "{} is better than last time ({before}) and no repair is recorded; say why: cleaned, adjusted, repaired or misjudged",
                    item.id
                ),
            );
        }
        let state = phase.flatten().map(|p| p.state);
        let proposal = self
            .proposal(item, machine, look, state)
            .filter(|p| !p.relative);
        // A top-up is a reason: the reading was taken before it, the grade may speak of after.
        let reasoned = look.grade_reason.is_some() || look.added.is_some();
        if let Some(p) = proposal.filter(|p| p.grade != grade && !reasoned) {
            fault(
                "grade_reason",
                format!(
                    "{grade} differs from {}, which {} proposes; say why",
                    p.grade, p.by
                ),
            );
        }
        faults
    }

    /// Faults of the joints a walk says were disturbed before it.
    pub fn disturbed_faults(
        &self,
        disturbed: &[String],
        machine: &str,
        checklist: &Checklist,
    ) -> Vec<Fault> {
        let mut faults = Vec::new();
        if !disturbed.is_empty() && checklist.closes_with != Closing::LeakRun {
            let message = format!("{} is no leak run", checklist.id);
            return vec![("disturbed".to_owned(), message)];
        }
        for (n, item) in disturbed.iter().enumerate() {
            let message = if self.library.catalogue.item(item).is_none() {
                self.unknown_item(item)
            } else if self.life(item, machine).is_none() {
                format!("machine '{machine}' has no {item}")
            } else if disturbed[..n].contains(item) {
                format!("{item} is named twice")
            } else {
                continue;
            };
            faults.push((format!("disturbed[{n}]"), message));
        }
        faults
    }

    /// Faults of an act's item and machine. The subject is what the act speaks of.
    pub fn subject_of(&self, item: &str, machine: Option<&str>) -> Result<Subject, Fault> {
        let Some(known) = self.library.catalogue.item(item) else {
            return Err(("item".into(), self.unknown_item(item)));
        };
        let machines = &self.boat.machines;
        if let Some(id) = machine
            && !machines.iter().any(|m| m.id == id)
        {
            return Err(("machine".into(), self.unknown_machine(id)));
        }
        if known.scope == crate::checklist::Scope::Boat {
            return Ok(Subject {
                item: item.to_owned(),
                machine: None,
            });
        }
        let having: Vec<_> = machines
            .iter()
            .filter(|m| !m.without.iter().any(|w| w == item))
            .collect();
        let chosen = match machine {
            Some(id) => having.iter().find(|m| m.id == id).map(|m| m.id.clone()),
            None if having.is_empty() => {
                return Err(("item".into(), format!("no machine has a {item}")));
            }
            None => {
                let asked = having.iter().filter(|m| known.is_for(m.role));
                let asked: Vec<_> = asked.map(|m| m.id.as_str()).collect();
                let all = || having.iter().map(|m| m.id.as_str()).collect();
                let ids: Vec<&str> = if asked.is_empty() { all() } else { asked };
                if let [only] = ids.as_slice() {
                    return Ok(Subject {
                        item: item.to_owned(),
                        machine: Some((*only).to_owned()),
                    });
                }
                return Err((
                    "machine".into(),
                    format!(
                        "several machines have a {item}; name one of {}",
                        ids.join(", ")
                    ),
                ));
            }
        };
        let machine = chosen.ok_or_else(|| {
            (
                "item".to_owned(),
                format!("machine '{}' has no {item}", machine.unwrap_or("")),
            )
        })?;
        Ok(Subject {
            item: item.to_owned(),
            machine: Some(machine),
        })
    }

    /// The sentence for an item nobody knows.
    pub fn unknown_item(&self, id: &str) -> String {
        let near = nearest(
            id,
            self.library.catalogue.items().iter().map(|i| i.id.as_str()),
        );
        format!("'{}' is no item known here{near}", safe_line(id))
    }

    /// The sentence for a machine the boat does not have.
    pub fn unknown_machine(&self, id: &str) -> String {
        let ids: Vec<_> = self.boat.machines.iter().map(|m| m.id.as_str()).collect();
        format!(
            "{} has no machine '{}'; expected {}",
            self.boat.name,
            safe_line(id),
            ids.join(" or ")
        )
    }
}

/// The usual among ascending sound readings: their median; none of fewer than three.
pub(super) fn usual_of(ascending: &[f64]) -> Option<f64> {
    let enough = ascending.len() >= FEWEST_FOR_BASELINE;
    median_of_sorted(ascending).filter(|_| enough)
}

/// A fault where a text is longer than [`LONGEST_TEXT`].
pub fn too_long(field: &str, text: &str) -> Option<Fault> {
    longer_than(LONGEST_TEXT, field, text)
}

/// A fault where a text is longer than so many bytes.
pub fn longer_than(longest: usize, field: &str, text: &str) -> Option<Fault> {
    let message = || format!("the text is longer than {longest} bytes");
    (text.len() > longest).then(|| (field.to_owned(), message()))
}

fn text_faults(look: &Look) -> Vec<Fault> {
    let mut faults = Vec::new();
    let note = look.note.iter();
    faults.extend(note.filter_map(|t| longer_than(LONGEST_NOTE, "note", t)));
    let mut check = |field: &str, text: Option<&String>| {
        faults.extend(text.and_then(|text| too_long(field, text)));
    };
    check("said", look.said.as_ref());
    check("grade_reason", look.grade_reason.as_ref());
    if let Outcome::NotSeen { why, close_by } = &look.outcome {
        check("not_seen", Some(why));
        check("close_by", close_by.as_ref());
    }
    for (n, wear) in look.wear.iter().enumerate() {
        check(&format!("wear[{n}].where"), wear.r#where.as_ref());
        check(&format!("wear[{n}].against"), wear.against.as_ref());
    }
    for (n, photo) in look.photos.iter().enumerate() {
        check(&format!("photos[{n}].path"), Some(&photo.path));
        check(&format!("photos[{n}].caption"), photo.caption.as_ref());
    }
    faults
}

fn nearest<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> String {
    crate::checklist::nearest(typed, known).unwrap_or_default()
}

/// Times before 1900 are slips of the pen: no engine here is older.
const EARLIEST: i64 = -2_208_988_800;
/// Clocks may differ by this much before a time lies in the future.
const CLOCK_SLACK: Duration = Duration::hours(48);

/// Faults of a time: what has not happened yet cannot be recorded, nor what happened before there
/// were engines.
pub fn time_fault(at: DateTime<FixedOffset>, now: DateTime<FixedOffset>) -> Option<Fault> {
    let message = if at - now > CLOCK_SLACK {
        format!("{} lies in the future", at.to_rfc3339())
    } else if at.timestamp() < EARLIEST {
        "this lies before any engine was built".to_owned()
    } else {
        return None;
    };
    Some(("at".to_owned(), message))
}

/// True where two readings of a meter cannot both be right: it shows one figure at a time, and runs
/// neither backwards nor faster than time.
pub fn contradict(
    line: &MeterLine,
    one: (DateTime<FixedOffset>, Hours),
    other: (DateTime<FixedOffset>, Hours),
) -> bool {
    let (first, then) = match one.0 <= other.0 {
        true => (one, other),
        false => (other, one),
    };
    let run = line
        .total(then.1, then.0)
        .since(line.total(first.1, first.0));
    let most = match then.0 == first.0 {
        true => 0.0,
        false => most_run(first.0, then.0),
    };
    !(0.0..=most).contains(&run)
}

/// The most that a meter goes on from one time to another, with what its reading may be off, hours.
fn most_run(from: DateTime<FixedOffset>, to: DateTime<FixedOffset>) -> f64 {
    (to - from).num_seconds() as f64 / 3600.0 + 0.2
}

/// True for a reading of before that cannot be right beside one at a later time: it is above that, or so
/// far below that no meter runs as much between. Both in total hours.
pub fn speaks_against(
    (before, then): (Hours, DateTime<FixedOffset>),
    (hours, at): (Hours, DateTime<FixedOffset>),
) -> bool {
    then < at && (before > hours || hours.since(before) > most_run(then, at))
}

/// What is wrong with what is said of a picture, in a sentence; its file is another matter.
pub fn photo_fault(photo: &Photo) -> Option<String> {
    let unnamed = photo.path.trim().is_empty();
    let unnamed = unnamed.then(|| "name the file of the picture".to_owned());
    let caption = photo.caption.as_ref();
    let long = too_long("path", &photo.path);
    let long = long.or_else(|| too_long("caption", caption?));
    unnamed.or(long.map(|(field, why)| format!("{field}: {why}")))
}

/// Faults of what fuel is said to be left. The owner's walk says nothing of it: it is there for the owner
/// to read.
pub fn fuel_faults(boat: &Boat, guest: bool, fuel: &[FuelLeft]) -> Vec<Fault> {
    let owners = (!guest && !fuel.is_empty()).then(|| {
        let message = "what fuel is left is told at the end of a guest's walk";
        ("fuel".to_owned(), message.to_owned())
    });
    let faults = fuel.iter().enumerate().filter_map(|(n, left)| {
        let twice = fuel[..n].iter().any(|before| before.tank == left.tank);
        let twice =
            twice.then(|| format!("the tank '{}' stands there twice", safe_line(&left.tank)));
        let why = left.fault(boat).or(twice)?;
        Some((format!("fuel[{n}]"), why))
    });
    owners.into_iter().chain(faults).collect()
}

/// Faults of a meter reading against those before and after it: a meter does not run backwards.
pub fn hours_fault(
    history: &History,
    machine: &str,
    hours: Hours,
    at: DateTime<FixedOffset>,
) -> Option<Fault> {
    let line = history.meter_line(machine);
    let total = line.total(hours, at);
    let (before, after) = history.meter_reads_around(machine, at);
    let told = |read: MeterRead<'_>| (read.when.at, line.total(read.hours, read.when.at));
    let (before, after) = (before.map(told), after.map(told));
    let message = if let Some((t, h)) = before.filter(|(_, h)| *h > total) {
        let shown = line.reading(h, at);
        format!(
            "the meter showed {shown} h on {} and cannot go back to {hours}; mend the figure, or record a replaced meter",
            t.date_naive()
        )
    } else if let Some((t, h)) = before.filter(|(t, h)| total.since(*h) > most_run(*t, at)) {
        let shown = line.reading(h, at);
        format!(
            "the meter showed {shown} h on {} and cannot have run to {hours} since; mend the figure",
            t.date_naive()
        )
    } else if let Some((t, h)) = after.filter(|(_, h)| *h < total) {
        let shown = line.reading(h, at);
        format!(
            "the meter shows only {shown} h later, on {}; mend the figure",
            t.date_naive()
        )
    } else {
        return None;
    };
    Some(("hours".to_owned(), message))
}
