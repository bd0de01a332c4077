//! The boat's profile, kept as `boat.json` and given to `handlamp boat`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::hours::Hours;
use super::kinds::{
    Battery, Coolant, Cooling, Drive, Fuel, Holds, Lies, Serves, ShaftUnderSail, Stopping,
};
use super::units::{Unit, Volume};
use crate::text::words;

words! {
    /// How far from help, in the words Directive 94/25/EC gave to its design categories D to A.
    Waters, "kind of waters" {
        /// Small lakes, rivers, canals.
        Sheltered = "sheltered",
        /// Coastal waters, large bays, estuaries.
        Inshore = "inshore",
        /// Off the coast, days from help.
        Offshore = "offshore",
        /// Extended voyages, self-sufficient.
        Ocean = "ocean",
    }
}

words! {
    /// What a machine is for.
    Role, "role of a machine" {
        /// It drives the boat.
        Propulsion = "propulsion",
        /// It makes electricity: its failure takes charging away, not propulsion or control.
        Generator = "generator",
        /// It hangs on the transom with gear case and propeller of its own, and drives the boat.
        Outboard = "outboard",
        /// None of these: nothing built in is made for it.
        Other = "other",
    }
}

impl Role {
    /// True for an engine that stands in the boat, for which most of the catalogue is written.
    pub const fn is_inboard(self) -> bool {
        matches!(self, Role::Propulsion | Role::Generator)
    }

    /// What is said before any work on it.
    pub const fn caution(self) -> Option<&'static str> {
        match self {
            Role::Generator => Some("Its start is remote: lock it out before hands go in."),
            Role::Propulsion | Role::Outboard | Role::Other => None,
        }
    }
}

words! {
    /// What a stern gland is packed with.
    Packing, "kind of packing" {
        /// Flax, which has to drip while the shaft turns.
        Flax = "flax",
        /// A packing that may be set nearly dry and is judged by its warmth.
        LowDrip = "low-drip",
    }
}

words! {
    /// The units a person thinks in.
    UnitHabit, "unit habit" {
        /// Litres, bar, degrees Celsius.
        Metric = "metric",
        /// US quarts, psi, degrees Fahrenheit.
        Us = "us",
        /// Imperial pints, psi, degrees Celsius.
        Imperial = "imperial",
    }
}

/// One vessel. Fields not known here are passed over: what comes from outside is held against its
/// form where it is read, and a record may come from a later version.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Boat {
    /// Always `boat`.
    #[serde(rename = "type")]
    pub tag: BoatTag,
    /// Her name, shown in the head of every screen and report.
    pub name: String,
    /// Who built her, as it stands on her plate or papers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub builder: Option<String>,
    /// The year she was built.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub year: Option<u16>,
    /// Her hull number, as it is stamped at the stern.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hull_number: Option<String>,
    /// Her length, metres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length_m: Option<f64>,
    /// Where she usually is; severities follow it unless a plan says otherwise.
    pub waters: Waters,
    /// Units as typed and shown.
    pub units: UnitHabit,
    /// Running hours of a usual month, for the rate of use while the meter has said little.
    pub usual_hours_per_month: f64,
    /// The exposure that decides the verdict; 10 h and 2 days unless given.
    #[serde(default)]
    pub day_ahead: DayAhead,
    /// Where she lies while she stands for a season.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lies_up: Option<Lies>,
    /// Where her seacocks are.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seacocks_at: Option<String>,
    /// Where the fuel is shut off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fuel_off_at: Option<String>,
    /// Where the batteries are switched off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub isolators_at: Option<String>,
    /// Where her extinguishers hang.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub extinguisher_at: Option<String>,
    /// Where an extinguisher is discharged into the closed engine space.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub extinguisher_port_at: Option<String>,
    /// Where the fans and the blower of the engine space are switched off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fans_off_at: Option<String>,
    /// Where the plate lies that shuts the air of an engine which does not stop.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air_plate_at: Option<String>,
    /// Where her bilge pumps are switched, and the handle of the one worked by hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bilge_pumps_at: Option<String>,
    /// Where one calls for help.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub radio_at: Option<String>,
    /// What else somebody has to know who takes her out, whom to call too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hand_over_note: Option<String>,
    /// Her engines and generators, the first one being walked by default.
    pub machines: Vec<Machine>,
    /// Her tanks.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tanks: Vec<Tank>,
    /// Her battery banks.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub banks: Vec<Bank>,
}

impl Boat {
    /// A boat with one engine, as three answers describe her.
    pub fn simple(name: &str, waters: Waters, hours: Option<Hours>) -> Boat {
        Boat {
            tag: BoatTag::Boat,
            name: name.trim().to_owned(),
            builder: None,
            year: None,
            hull_number: None,
            length_m: None,
            waters,
            units: UnitHabit::Metric,
            usual_hours_per_month: USUAL_HOURS,
            day_ahead: DayAhead::default(),
            lies_up: None,
            seacocks_at: None,
            fuel_off_at: None,
            isolators_at: None,
            extinguisher_at: None,
            extinguisher_port_at: None,
            fans_off_at: None,
            air_plate_at: None,
            bilge_pumps_at: None,
            radio_at: None,
            hand_over_note: None,
            machines: vec![Machine {
                hours,
                ..Machine::bare("main", "Main engine")
            }],
            tanks: Vec::new(),
            banks: Vec::new(),
        }
    }

    /// The name of a machine where there are several; none where nothing has to be told apart.
    pub fn name_among(&self, machine: &str) -> Option<&str> {
        let several = self.machines.len() > 1;
        let mut machines = self.machines.iter().filter(|_| several);
        machines.find(|m| m.id == machine).map(|m| m.name.as_str())
    }
}

/// Running hours of a usual month until the boat's meter says more (judgement).
const USUAL_HOURS: f64 = 15.0;

/// Longest exposure that can be asked, hours and days: a year of running, ten years of time.
pub const LONGEST_HOURS: f64 = 8760.0;
/// See [`LONGEST_HOURS`].
pub const LONGEST_DAYS: f64 = 3653.0;

/// The word `boat`, so that a profile says what it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum BoatTag {
    /// The only value.
    Boat,
}

/// The exposure that decides the verdict.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct DayAhead {
    /// Running hours ahead, 0 or more.
    pub hours: f64,
    /// Calendar days ahead, 0 or more.
    pub days: f64,
}

impl Default for DayAhead {
    fn default() -> DayAhead {
        DayAhead {
            hours: 10.0,
            days: 2.0,
        }
    }
}

/// One engine with gearbox, shaft and exhaust; or a generator.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Machine {
    /// Lower-case words joined by hyphens.
    pub id: String,
    /// As it stands on screen.
    pub name: String,
    /// What it is for; it drives the boat unless it says otherwise.
    #[serde(default = "drives", skip_serializing_if = "Machine::is_main")]
    pub role: Role,
    /// Its maker, as on the plate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub maker: Option<String>,
    /// Its model, as on the plate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub model: Option<String>,
    /// Its serial number, as on the plate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub serial: Option<String>,
    /// Rated speed, rpm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated_rpm: Option<f64>,
    /// Rated power, kW.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated_kw: Option<f64>,
    /// What it burns.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fuel: Option<Fuel>,
    /// How it is cooled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cooling: Option<Cooling>,
    /// What kind of coolant is in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub coolant: Option<Coolant>,
    /// Where its thermostat begins to open, degrees Celsius.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thermostat_c: Option<f64>,
    /// How it is started, step by step.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub starts_by: Option<String>,
    /// What stops it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stopping: Option<Stopping>,
    /// How it is stopped, and where the handle or the button is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stops_by: Option<String>,
    /// How it is stopped where that fails.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub when_stop_fails: Option<String>,
    /// How its power comes to the propeller.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drive: Option<Drive>,
    /// It has a turbocharger, or has none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turbocharger: Option<bool>,
    /// Meter reading when the profile was made; absent where there is no meter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<Hours>,
    /// Oil in the sump, filter included.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sump: Option<Volume>,
    /// Oil between the low and the high mark of the dipstick.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub between_marks: Option<Volume>,
    /// Millimetres from the low mark of the dipstick to the high one, for who reads it in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mm_between_marks: Option<f64>,
    /// Fuel burnt in an hour of usual running, against which the oil used is held.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fuel_per_hour: Option<Volume>,
    /// Oil in the gearbox; absent where there is none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gearbox: Option<Volume>,
    /// What her shaft does under sail with the engine off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shaft_turns: Option<ShaftUnderSail>,
    /// Hours it may turn so before the engine is run in neutral, as the handbook says; 8 where it is not
    /// told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shaft_run_hours: Option<f64>,
    /// What her stern gland is packed with; flax, which is the stricter, where that is not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub packing: Option<Packing>,
    /// Items this machine does not have (a packed gland where the seal is dripless).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub without: Vec<String>,
    /// The maker's handbook figures, which outrank the catalogue's bands.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub handbook: Vec<HandbookLimit>,
}

fn drives() -> Role {
    Role::Propulsion
}

impl Machine {
    /// A machine of which nothing but its id and name is known. It counts as one that drives the
    /// boat, which has the more to answer for.
    pub fn bare(id: &str, name: &str) -> Machine {
        Machine {
            id: id.to_owned(),
            name: name.to_owned(),
            role: Role::Propulsion,
            maker: None,
            model: None,
            serial: None,
            rated_rpm: None,
            rated_kw: None,
            fuel: None,
            cooling: None,
            coolant: None,
            thermostat_c: None,
            starts_by: None,
            stopping: None,
            stops_by: None,
            when_stop_fails: None,
            drive: None,
            turbocharger: None,
            hours: None,
            sump: None,
            between_marks: None,
            mm_between_marks: None,
            fuel_per_hour: None,
            gearbox: None,
            shaft_turns: None,
            shaft_run_hours: None,
            packing: None,
            without: Vec::new(),
            handbook: Vec::new(),
        }
    }

    fn is_main(role: &Role) -> bool {
        *role == Role::Propulsion
    }
}

/// The range a maker's handbook gives for one item of one machine: inside is sound, outside is failing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct HandbookLimit {
    /// Id of the catalogue item.
    pub item: String,
    /// Unit of the figures.
    pub unit: Unit,
    /// Lowest good value, where one is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<f64>,
    /// Highest good value, where one is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<f64>,
    /// Which page says so.
    pub source: String,
}

/// A tank.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Tank {
    /// Lower-case words joined by hyphens.
    pub id: String,
    /// What she calls it.
    pub name: String,
    /// What is in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub holds: Option<Holds>,
    /// How much it holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub capacity: Option<Volume>,
}

/// A battery bank: batteries that are switched as one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Bank {
    /// Lower-case words joined by hyphens.
    pub id: String,
    /// What she calls it.
    pub name: String,
    /// What it is for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub serves: Option<Serves>,
    /// What it is made of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind: Option<Battery>,
    /// Its capacity, ampere-hours.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ah: Option<f64>,
    /// When it was fitted, as remembered: a day, a month or a year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fitted: Option<String>,
    /// What charges it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub charged_by: Option<String>,
}
