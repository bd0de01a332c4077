//! The hand-over page in sentences, points and lines to write on: what its text and its page share.

use super::{Check, HandOver, LastCheck, MachineHanded};
use crate::assess::trend::Direction;
use crate::boat::kinds::{Fuel, Holds};
use crate::boat::{Machine, Role};
use crate::defects::NotCounted;
use crate::defects::before_start::BeforeStart;
use crate::defects::hand_over::{KnownDrip, LevelNow, Patched, UsualReading};
use crate::report::sheet::{OUTRANKS, state};
use crate::text::{capital, digits};
use crate::walk::Photo;

/// What stands in place of what nobody told.
pub const NOT_TOLD: &str = "not told";
/// Stands under the page.
pub const CLOSING: &str = "This page says what is on record and what was told. It is no certificate and no permission to run.";

/// Said before the engine is started, whatever it is.
const SMELL: &str = "Open the engine space and smell first. Fuel, gas, exhaust or burning: switch nothing on or off, air the space, find it, do not start.";
const TURNS: &str =
    "Out of gear, nobody near belts, shaft and propeller, hair and cuffs in. Running is eyes only.";
const PETROL: &str = "Petrol: sniff low in the bilge, run the blower four minutes (common practice, no single source), sniff again before the key is turned.";
/// Said where it is told how she is stopped and how when that fails.
const RACES: &str = "A diesel that does not stop is stopped by its fuel, or by its air with a plate over the intake. Never put a hand or a rag there: it is drawn in.";
/// Said where the extinguishers are.
const FIRE: &str = "Fire in the engine space: stop her, shut the fuel, fans and batteries off, leave the hatch shut and discharge through the port. Get everybody out into the air and call for help.";
/// Said where the seacocks are.
const WATER: &str = "Water coming in: do not stop the engine for it. Find it by the seacocks, shut what lets it in, pump, call for help.";

/// A part of the page under its heading.
pub struct Part {
    /// The heading above it.
    pub title: String,
    /// What stands under it.
    pub lines: Vec<Line>,
}

/// A line of it.
#[derive(Clone)]
pub enum Line {
    /// A sentence or more.
    Said(String),
    /// What must not be done, or what is due: nobody may overlook it.
    Stop(String),
    /// What can hurt someone.
    Caution(String),
    /// One of several.
    Point(String),
    /// A heading within the part.
    Under(String),
    /// What was told of something, or room to write it.
    Told(String, Option<String>),
    /// The same with a photograph beside it.
    Shown(String, Option<String>, Photo),
    /// Room to write.
    Write(String),
    /// To be ticked when it was looked at, and how it is when it is sound.
    Tick(String, String),
}

/// What is to be minded of a machine beside what is said of all.
pub(super) fn own_cautions(machine: &Machine) -> Vec<String> {
    let petrol = machine.fuel == Some(Fuel::Petrol) || machine.role == Role::Outboard;
    let all = [machine.role.caution(), petrol.then_some(PETROL)];
    all.into_iter().flatten().map(str::to_owned).collect()
}

impl HandOver {
    /// What it is called.
    pub fn title(&self) -> String {
        format!("{}: for who takes her out", self.boat)
    }

    /// When it was made, from what, and what her meters show.
    pub fn head(&self) -> String {
        let made = format!(
            "Made from her logbook on {}: what was found later is not on it.",
            self.made_at.format("%Y-%m-%d at %H:%M %:z")
        );
        let meter = |m: &MachineHanded| {
            let hours = match m.hours {
                Some(hours) if m.estimated => format!("about {hours:.1} h"),
                Some(hours) => format!("{hours:.1} h"),
                None => "meter not known".to_owned(),
            };
            format!("{}: {hours}.", m.name)
        };
        let meters: Vec<String> = self.machines.iter().map(meter).collect();
        format!("{made} {} {OUTRANKS}", meters.join(" "))
    }

    /// What is on record and not counted, where anything is: it stands before all else.
    pub fn not_counted(&self) -> Option<Part> {
        let told = self.not_counted.iter().map(NotCounted::sentence);
        let told: Vec<Line> = told.map(Line::Point).collect();
        let first = "These things are on record and count in nothing below, which may be better than it should be.";
        (!told.is_empty()).then(|| Part {
            title: "Not counted".to_owned(),
            lines: [Line::Stop(first.to_owned())]
                .into_iter()
                .chain(told)
                .collect(),
        })
    }

    /// The page, part by part.
    pub fn parts(&self) -> Vec<Part> {
        let mut parts = vec![self.stops()];
        parts.extend(self.chores());
        parts.push(self.last_checks());
        parts.push(self.temporary());
        parts.push(self.levels());
        parts.extend(self.fuel());
        parts.push(self.handling());
        parts.push(self.places());
        parts.push(self.usual());
        parts.push(self.drips());
        parts.extend(self.note.clone().map(|note| Part {
            title: "From the owner".to_owned(),
            lines: vec![Line::Said(note)],
        }));
        parts
    }

    /// The sheet behind it: the checks to tick, room to write, and the cautions.
    pub fn sheet(&self) -> Vec<Part> {
        let mut parts: Vec<Part> = self.checks.iter().map(|check| self.check(check)).collect();
        parts.push(Part {
            title: "To write down, and give back with her".to_owned(),
            lines: [
                "Hour meter when you took her",
                "Hour meter when you brought her back",
                "Filled in: what, where, how much",
                "What you found, and when",
                "",
                "",
            ]
            .map(|what| Line::Write(what.to_owned()))
            .into(),
        });
        let cautions = self.cautions.iter().cloned().map(Line::Caution);
        parts.push(Part {
            title: "Cautions".to_owned(),
            lines: cautions.collect(),
        });
        parts
    }

    /// A thing, and whose it is where she has several machines.
    fn of(&self, title: &str, machine: Option<&str>) -> String {
        match machine.filter(|_| self.names.len() > 1) {
            Some(id) => {
                let known = self.names.iter().find(|(known, _)| known == id);
                let name = known.map_or(id, |(_, name)| name);
                format!("{title} ({name})")
            }
            None => title.to_owned(),
        }
    }

    /// What is said where nothing is on record of something.
    fn none(&self, none: &str) -> Line {
        match self.not_counted.is_empty() {
            true => Line::Said(format!("{none}.")),
            false => Line::Stop(format!(
                "{none} that counts; what is not counted stands above."
            )),
        }
    }

    /// What was told of a place, with its photograph where there is one.
    fn shown(&self, words: &str, told: Option<String>, of: (&str, Option<&str>)) -> Line {
        let mut photos = self.photographs.iter();
        let own = photos.find(|shown| (shown.fact.as_str(), shown.machine.as_deref()) == of);
        match own {
            Some(own) => Line::Shown(words.to_owned(), told, own.photo.clone()),
            None => Line::Told(words.to_owned(), told),
        }
    }

    /// The address of a photograph that holds it; none where it cannot be shown.
    pub fn address(&self, photo: &Photo) -> Option<&str> {
        self.pictures.get(photo.kept.as_ref()?).map(String::as_str)
    }

    fn stops(&self) -> Part {
        let mut lines = Vec::new();
        for stop in &self.stops {
            let title = self.of(&stop.title, stop.machine.as_deref());
            lines.push(Line::Stop(format!("{title}: {}", stop.orders.join(" "))));
            lines.push(Line::Said(format!("Why: {}.", stop.rule)));
            lines.extend(stop.cautions.iter().cloned().map(Line::Caution));
            let remedy = stop.remedy.as_ref();
            lines.extend(remedy.map(|remedy| Line::Said(format!("What puts it right: {remedy}."))));
        }
        if lines.is_empty() {
            lines.push(self.none("No stop is on record"));
        }
        Part {
            title: "Stops".to_owned(),
            lines,
        }
    }

    fn chores(&self) -> Option<Part> {
        let words = |chore: &BeforeStart| {
            let title = self.of(&chore.title, chore.machine.as_deref());
            Line::Stop(format!("{title}: {}", chore.how))
        };
        let lines: Vec<Line> = self.before_you_start.iter().map(words).collect();
        (!lines.is_empty()).then(|| Part {
            title: "Before you start".to_owned(),
            lines,
        })
    }

    fn last_checks(&self) -> Part {
        let mut lines = Vec::new();
        for machine in &self.machines {
            lines.extend(checked(machine));
        }
        lines.extend(self.not_looked_at.iter().map(|mended| {
            let title = self.of(&mended.title, mended.machine.as_deref());
            let day = mended.at.map(|at| format!(" on {}", at.format("%Y-%m-%d")));
            Line::Stop(format!(
                "{title}: put right{}, nobody has looked at it since; look at it first",
                day.unwrap_or_default()
            ))
        }));
        Part {
            title: "The last check".to_owned(),
            lines,
        }
    }

    fn temporary(&self) -> Part {
        let words = |patch: &Patched| {
            let title = self.of(&patch.title, patch.machine.as_deref());
            let over = if patch.over { ", which has come" } else { "" };
            let seen = match patch.seen {
                true => "",
                false => "; nobody has looked at it since",
            };
            Line::Stop(format!(
                "{title}: until {}{over}; made on {}; not mended for good{seen}",
                patch.until,
                patch.at.format("%Y-%m-%d")
            ))
        };
        let mut lines: Vec<Line> = self.temporary.iter().map(words).collect();
        if lines.is_empty() {
            lines.push(self.none("No temporary repair is on record"));
        }
        Part {
            title: "Temporary repairs".to_owned(),
            lines,
        }
    }

    fn levels(&self) -> Part {
        let words = |level: &LevelNow| {
            let title = self.of(&level.title, level.machine.as_deref());
            Line::Told(title, level_in_words(level))
        };
        let mut lines = vec![Line::Said("As last seen. Dip oil and look at coolant before each start, cold and level; add never past the high mark, open a coolant cap only cold. Days to dip by are judgement.".to_owned())];
        lines.extend(self.levels.iter().map(words));
        Part {
            title: "Levels, and when to dip next".to_owned(),
            lines,
        }
    }

    fn fuel(&self) -> Option<Part> {
        let mut lines = Vec::new();
        for machine in &self.machines {
            let burns = machine.fuel.map(|fuel| format!("burns {fuel}"));
            let hour = machine.fuel_per_hour.as_ref();
            let hour = hour.map(|volume| format!("about {volume} in an hour of usual running"));
            let told: Vec<String> = burns.into_iter().chain(hour).collect();
            if !told.is_empty() {
                lines.push(Line::Told(machine.name.clone(), Some(told.join(", "))));
            }
        }
        for tank in &self.tanks {
            let holds = tank.holds.map(|holds| holds.as_str().replace('-', " "));
            let much = tank.capacity.as_ref();
            let much = much.map(|volume| format!("holds {volume}"));
            let told: Vec<String> = holds.into_iter().chain(much).collect();
            let told = (!told.is_empty()).then(|| told.join(", "));
            lines.push(Line::Told(tank.name.clone(), told));
            if tank.holds == Some(Holds::Fuel) {
                lines.push(Line::Told("In it now".to_owned(), None));
            }
        }
        (!lines.is_empty()).then(|| Part {
            title: "Fuel and tanks".to_owned(),
            lines,
        })
    }

    /// Each machine under its name where there are several.
    fn handling(&self) -> Part {
        let mut lines = [SMELL, TURNS, RACES]
            .map(|caution| Line::Caution(caution.to_owned()))
            .to_vec();
        for machine in &self.machines {
            if self.names.len() > 1 {
                lines.push(Line::Under(machine.name.clone()));
            }
            lines.extend(machine.cautions.iter().cloned().map(Line::Caution));
            let stopping = machine.stopping.map(|stopping| stopping.words().to_owned());
            let told = [
                ("Start", machine.starts_by.clone(), "starts_by"),
                ("Stop", machine.stops_by.clone(), "stops_by"),
                ("What stops her", stopping, "stopping"),
                (
                    "When that fails",
                    machine.when_stop_fails.clone(),
                    "when_stop_fails",
                ),
            ];
            let id = Some(machine.id.as_str());
            let lines_of = told.map(|(words, told, fact)| self.shown(words, told, (fact, id)));
            lines.extend(lines_of);
        }
        Part {
            title: "How she starts and stops, and when that fails".to_owned(),
            lines,
        }
    }

    fn places(&self) -> Part {
        let mut lines = vec![
            Line::Caution(FIRE.to_owned()),
            Line::Caution(WATER.to_owned()),
        ];
        let told = |place: &super::FactTold| {
            self.shown(&place.words, place.told.clone(), (&place.fact, None))
        };
        lines.extend(self.places.iter().map(told));
        Part {
            title: "Where things are".to_owned(),
            lines,
        }
    }

    fn usual(&self) -> Part {
        let mut lines = vec![Line::Said("The middle of her own sound readings, in brackets of how many. What differs is new: look for why. A limit of the handbook stands above it.".to_owned())];
        lines.extend(self.usual.iter().map(|reading| {
            let title = self.of(&reading.title, reading.machine.as_deref());
            Line::Told(title, usual_in_words(reading))
        }));
        lines.extend(self.oil_used.iter().map(|oil| {
            let title = self.of("Oil used", oil.machine.as_deref());
            let share = oil.used.share_of_fuel;
            let share = share.map(|s| format!(", {} % of the fuel", digits(s * 100.0, 2)));
            let told = format!("{}{}", oil.used.amount(), share.unwrap_or_default());
            Line::Told(title, Some(told))
        }));
        let known = |m: &&MachineHanded| {
            let mut oil = self.oil_used.iter();
            !oil.any(|oil| oil.machine.as_ref() == Some(&m.id))
        };
        let unknown = self.machines.iter().filter(known);
        lines.extend(unknown.map(|m| Line::Told(self.of("Oil used", Some(&m.id)), None)));
        Part {
            title: "What is normal on her".to_owned(),
            lines,
        }
    }

    /// Those of one machine seen on one day stand together.
    fn drips(&self) -> Part {
        let mut lines = vec![match self.drips.is_empty() {
            true => self.none("Nothing is on record that leaks and stops nothing"),
            false => Line::Said("As last seen, with the rung. More than this is new.".to_owned()),
        }];
        let day = |drip: &KnownDrip| drip.at.date_naive();
        let together = |a: &KnownDrip, b: &KnownDrip| a.machine == b.machine && day(a) == day(b);
        lines.extend(self.drips.chunk_by(together).filter_map(|drips| {
            let first = drips.first()?;
            let told = drips
                .iter()
                .map(|drip| format!("{}: {} ({})", drip.title, drip.words(), drip.grade));
            let told: Vec<String> = told.collect();
            let when = self.of(&day(first).to_string(), first.machine.as_deref());
            Some(Line::Told(when, Some(told.join("; "))))
        }));
        Part {
            title: "What drips and is known".to_owned(),
            lines,
        }
    }

    fn check(&self, check: &Check) -> Part {
        let mut lines = vec![Line::Said(format!(
            "Tick what is as it says. What is not: write it down below, and where it is a smell, fuel or no oil pressure, stop. {OUTRANKS}"
        ))];
        for phase in &check.list.phases {
            lines.push(Line::Under(format!("{} ({})", phase.title, state(phase))));
            lines.extend(phase.before.clone().map(Line::Caution));
            for row in &phase.rows {
                let items = row.items.iter();
                let items = items.filter_map(|id| self.library.catalogue.item(id));
                let sound: Vec<&str> = items
                    .filter_map(|item| item.ladder.first().map(String::as_str))
                    .collect();
                lines.push(Line::Tick(row.title.clone(), sound.join("; ")));
            }
        }
        let title = match self.names.len() > 1 {
            true => format!("{}: {}", check.list.title, check.machine),
            false => check.list.title.clone(),
        };
        Part { title, lines }
    }
}

fn checked(machine: &MachineHanded) -> Vec<Line> {
    let name = &machine.name;
    let mut lines = Vec::new();
    if let Some(told) = &machine.not_covered {
        lines.push(Line::Stop(format!("{}.", capital(told))));
        return lines;
    }
    match &machine.last_check {
        None => lines.push(Line::Stop(format!(
            "{name}: no finished check is on record; nobody can tell from it how she is"
        ))),
        Some(check) => lines.extend(verdict(name, check)),
    }
    let first = machine.full_check_first.as_ref();
    lines.extend(first.map(|why| {
        Line::Stop(format!(
            "{name}: make the full check before the short one, for {why} (when it is too long is judgement)"
        ))
    }));
    lines
}

fn verdict(name: &str, check: &LastCheck) -> Vec<Line> {
    let now = check.now.map(|now| format!("as of now: {}", now.spoken()));
    let now = now.unwrap_or_else(|| "it gives no verdict now".to_owned());
    let (title, day) = (&check.title, check.at.format("%Y-%m-%d"));
    let mut lines = vec![Line::Stop(format!("{name}: {title}, {day}; {now}"))];
    lines.extend(check.reasons.iter().cloned().map(Line::Point));
    if check.more > 0 {
        lines.push(Line::Point(format!(
            "and {} more; see: handlamp verdict",
            check.more
        )));
    }
    lines
}

fn level_in_words(level: &LevelNow) -> Option<String> {
    let (seen, at) = (level.seen.as_ref()?, level.at?);
    let mut told = format!("{seen}, on {}", at.format("%Y-%m-%d"));
    if let Some(said) = &level.said {
        told = format!("{told}; {said}");
    }
    let next = match (level.due, level.read_by) {
        (true, _) => "; dip it now".to_owned(),
        (_, Some(day)) => format!("; dip it by {day}"),
        (_, None) => String::new(),
    };
    Some(format!("{told}{next}"))
}

fn usual_in_words(reading: &UsualReading) -> Option<String> {
    let values = reading.shows.iter().map(|usual| {
        let phase = usual.phase.as_ref();
        let phase = phase.map_or_else(String::new, |phase| format!("{phase}: "));
        format!("{phase}{} (of {})", usual.words(), usual.readings)
    });
    let mut told: Vec<String> = values.collect();
    let moves = match reading.moves {
        Direction::Rising => Some("of late it rises"),
        Direction::Falling => Some("of late it falls"),
        Direction::None => None,
    };
    told.extend(moves.map(str::to_owned));
    let handbook = reading.handbook.as_ref();
    told.extend(handbook.map(|limit| format!("handbook {limit}")));
    (!told.is_empty()).then(|| told.join("; "))
}
