//! The words the catalogue, the walk and the method share.

use crate::text::words;

words! {
    /// What is to be done before starting.
    Chore, "chore before starting" {
        /// Put back what was left open.
        PutBack = "put-back",
        /// Fill a level up.
        TopUp = "top-up",
        /// Read a level again that was filled, or that stands too high.
        ReadAgain = "read-again",
        /// Let water out.
        Drain = "drain",
        /// Charge a battery.
        Charge = "charge",
        /// Open what was found shut.
        Open = "open",
    }
}

words! {
    /// A rung of the ladder, best first. The discriminant is the rung's digit.
    Grade, "grade" {
        /// Nothing to see.
        Sound = "sound",
        /// First sign; keep looking.
        Early = "early",
        /// Clearly going; plan the work.
        Worn = "worn",
        /// Near its end; mend before relying on it.
        Failing = "failing",
        /// It no longer does its work.
        Failed = "failed",
    }
}

impl Grade {
    /// The rung's digit, 0 (sound) to 4 (failed).
    pub const fn rung(self) -> usize {
        self as usize
    }

    /// The grade at a digit, if the digit names a rung.
    pub fn from_rung(rung: usize) -> Option<Grade> {
        Self::ALL.get(rung).copied()
    }

    /// One rung worse; failed stays failed.
    pub fn worse(self) -> Grade {
        Grade::from_rung(self.rung() + 1).unwrap_or(Grade::Failed)
    }
}

words! {
    /// What sort of thing an item is: decides how fast it moves down its ladder.
    Kind, "kind" {
        /// A moving seal.
        Seal = "seal",
        /// A gasket, union, plug or filter seat.
        Joint = "joint",
        /// A hose with its clips.
        Hose = "hose",
        /// A control cable.
        Cable = "cable",
        /// A place where one thing rubs another.
        ChafePoint = "chafe-point",
        /// A drive belt.
        Belt = "belt",
        /// Cables, terminals, straps.
        Wiring = "wiring",
        /// Engine mounts and couplings.
        Mount = "mount",
        /// Manifold, elbow, exhaust hose, lift box.
        ExhaustPart = "exhaust-part",
        /// Pumps, seacocks, strainers, coolers, batteries, starters.
        Machinery = "machinery",
        /// What saves the day: alarms, extinguishers, shut-offs, bilge pumps.
        Safeguard = "safeguard",
        /// A level between marks; has no chain.
        Level = "level",
        /// A measured value; has no chain.
        Reading = "reading",
        /// A smell, a smoke, a noise, a look of the oil; has no chain.
        Sign = "sign",
    }
}

impl Kind {
    /// True for what wears its way down a ladder; a level, a reading or a sign comes and goes.
    pub const fn wears(self) -> bool {
        !matches!(self, Kind::Level | Kind::Reading | Kind::Sign)
    }
}

words! {
    /// One per machine, or one for the whole boat.
    Scope, "scope" {
        /// Each machine has its own.
        Machine = "machine",
        /// The boat has one, whichever machine is walked.
        Boat = "boat",
    }
}

words! {
    /// The engine's state during a part of a walk.
    PhaseState, "phase state" {
        /// Stopped long enough to touch, normally overnight.
        Cold = "cold",
        /// Stopped with the start disabled.
        Dead = "dead",
        /// Panel on, engine still.
        KeyOn = "key-on",
        /// Turning on the starter.
        Crank = "crank",
        /// The first minute of running.
        FirstMinute = "first-minute",
        /// Running, neutral, idle speed.
        Idle = "idle",
        /// Running, neutral, raised speed.
        Fast = "fast",
        /// In gear against lines, or dead slow.
        InGear = "in-gear",
        /// Under way at working load.
        UnderWay = "under-way",
        /// Held at full throttle.
        FullThrottle = "full-throttle",
        /// The first ten minutes after stopping.
        JustStopped = "just-stopped",
        /// Ten to thirty minutes after stopping.
        Settled = "settled",
        /// The next morning, cold again.
        NextMorning = "next-morning",
    }
}

impl PhaseState {
    /// True while the engine runs.
    pub const fn is_running(self) -> bool {
        use PhaseState::{Fast, FirstMinute, FullThrottle, Idle, InGear, UnderWay};
        matches!(
            self,
            FirstMinute | Idle | Fast | InGear | UnderWay | FullThrottle
        )
    }

    /// True where the starter or the engine itself turns it.
    pub const fn turns(self) -> bool {
        matches!(self, PhaseState::Crank) || self.is_running()
    }

    /// True before the engine has run.
    pub const fn is_before_start(self) -> bool {
        use PhaseState::{Cold, Crank, Dead, KeyOn};
        matches!(self, Cold | Dead | KeyOn | Crank)
    }
}

words! {
    /// What a stop orders.
    Order, "order" {
        /// Fire, fuel spray, gas, no oil pressure, no water: the engine off at once.
        StopNow = "stop-now",
        /// Off as soon as the boat lies safe.
        WhenSafe = "when-safe",
        /// The engine stays still.
        DoNotStart = "do-not-start",
        /// The engine itself may run; the boat stays where she lies.
        DoNotLeave = "do-not-leave",
    }
}

impl Order {
    /// As it is said to whoever stands there.
    pub const fn words(self) -> &'static str {
        match self {
            Order::StopNow => "stop the engine now",
            Order::WhenSafe => "stop the engine as soon as the boat is safe",
            Order::DoNotStart => "do not start the engine",
            Order::DoNotLeave => "do not leave",
        }
    }
}

words! {
    /// How much comes out, by the classes of the US Army operator checks, with a stream added.
    Leak, "leak class" {
        /// Looked at and dry.
        None = "none",
        /// Wet or discoloured, not enough for a drop.
        I = "i",
        /// Drops form and hold.
        Ii = "ii",
        /// Drops form and fall.
        Iii = "iii",
        /// A stream, spray or mist.
        Stream = "stream",
    }
}

words! {
    /// What comes out of a leak; with the place it decides which rung a leak class means.
    Fluid, "fluid" {
        /// Diesel fuel.
        Fuel = "fuel",
        /// Engine oil.
        Oil = "oil",
        /// Gearbox oil.
        GearOil = "gear-oil",
        /// The engine's own cooling water.
        Coolant = "coolant",
        /// Sea water.
        RawWater = "raw-water",
        /// Exhaust gas or fresh soot.
        ExhaustGas = "exhaust-gas",
    }
}

words! {
    /// Where a fluid can come out, as far as it changes what a leak class means.
    Place, "place" {
        /// A gasket, union or hose end that should be dry.
        Static = "static",
        /// A seal on a turning shaft, where a moist lip may be normal.
        Rotating = "rotating",
        /// Sea side of the boat's skin, below the waterline.
        BelowWaterline = "below-waterline",
        /// Sea water above the waterline or on the discharge side.
        AboveWaterline = "above-waterline",
        /// A packed gland: judged by drops per minute, not by class.
        Gland = "gland",
    }
}

words! {
    /// What follows when the item fails.
    EffectKind, "effect" {
        /// Fire in the engine space.
        Fire = "fire",
        /// Exhaust gas where people breathe.
        ExhaustGas = "exhaust-gas",
        /// The sea comes in.
        Flooding = "flooding",
        /// Cannot stop, shift or set the throttle.
        LossOfControl = "loss-of-control",
        /// Someone is hurt.
        Injury = "injury",
        /// An alarm, extinguisher or pump that is not there when needed.
        LossOfSafeguard = "loss-of-safeguard",
        /// She cannot drive herself.
        LossOfPropulsion = "loss-of-propulsion",
        /// Expensive damage.
        EngineDamage = "engine-damage",
        /// Cannot start or charge.
        LossOfStarting = "loss-of-starting",
        /// Oil or fuel over the side.
        Pollution = "pollution",
        /// Mess, noise, bother.
        Nuisance = "nuisance",
    }
}

words! {
    /// A mark left by wear, with where and against what.
    WearMark, "wear mark" {
        /// Rubbed by a neighbour.
        Chafe = "chafe",
        /// Worn by its own work.
        Wear = "wear",
        /// Eaten by rust, salt or acid.
        Corrosion = "corrosion",
        /// A crack, however fine.
        Crack = "crack",
        /// Browned, charred, melted.
        Heat = "heat",
        /// Oil, salt or dirt where it should be clean.
        Contamination = "contamination",
        /// Not tight.
        Loose = "loose",
    }
}

words! {
    /// What is to be done where nobody knows how old it is.
    UnknownAge, "answer to an unknown age" {
        /// It cannot be judged by looking: it is due now.
        Due = "due",
        /// Look at it now, and that look starts its clock.
        Look = "look",
    }
}

impl UnknownAge {
    /// What holds where nothing is said.
    pub const fn unsaid() -> UnknownAge {
        UnknownAge::Due
    }

    /// True for what is due now.
    pub fn is_due(&self) -> bool {
        *self == UnknownAge::Due
    }
}

words! {
    /// Who can put it right.
    Who, "person" {
        /// The owner with hand tools.
        Owner = "owner",
        /// A marine diesel mechanic.
        Mechanic = "mechanic",
        /// A marine electrician.
        Electrician = "electrician",
        /// A yard with a lift.
        Yard = "yard",
    }
}

words! {
    /// Where it can be put right.
    Where, "place of work" {
        /// While under way.
        UnderWay = "under-way",
        /// At anchor.
        AtAnchor = "at-anchor",
        /// Tied up.
        InPort = "in-port",
        /// Out of the water.
        HauledOut = "hauled-out",
    }
}

words! {
    /// What something left open forbids; what forbids to float forbids to start and to leave too,
    /// what forbids to start forbids to leave.
    Forbids, "thing it forbids" {
        /// To float: a hose off, a log fitting out, a gland drawn, a drain open.
        Float = "float",
        /// To start: impeller out, intake or outlet closed, oil out, preserved, belt off.
        Start = "start",
        /// To leave: a cable off, the extinguisher ashore.
        Leave = "leave",
    }
}

impl Forbids {
    /// True where it forbids this too.
    pub fn forbids(self, deed: Forbids) -> bool {
        self <= deed
    }

    /// After "forbids".
    pub const fn words(self) -> &'static str {
        match self {
            Forbids::Float => "to float",
            Forbids::Start => "to start",
            Forbids::Leave => "to leave",
        }
    }
}
