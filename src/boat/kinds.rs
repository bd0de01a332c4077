//! Kinds of things aboard: how an engine is cooled, stopped and driven on, what tanks hold, what
//! batteries are.

use crate::text::words;

words! {
    /// How the engine gets rid of its heat.
    Cooling, "kind of cooling" {
        /// Water from outside runs through the block itself.
        RawWater = "raw-water",
        /// Coolant in the block, cooled by raw water in a heat exchanger.
        HeatExchanger = "heat-exchanger",
        /// Coolant in the block, cooled through the hull; no raw water.
        Keel = "keel",
    }
}

words! {
    /// Where she lies while she stands for a season.
    Lies, "place where she lies up" {
        /// In the water.
        Afloat = "afloat",
        /// Out of it.
        Ashore = "ashore",
    }
}

words! {
    /// What protects the coolant side; kinds are not mixed.
    Coolant, "kind of coolant" {
        /// With silicates and the like, the older kind.
        Inorganic = "inorganic",
        /// With organic acids alone, long-lived.
        Organic = "organic",
        /// Organic acids with some silicate or phosphate.
        Hybrid = "hybrid",
    }
}

words! {
    /// What the shaft does under sail with the engine off.
    ShaftUnderSail, "way of the shaft under sail" {
        /// It is held, or stands still by itself.
        Held = "held",
        /// It turns; whether the handbook allows it nobody looked up.
        Turns = "turns",
        /// It turns, and the handbook allows it.
        HandbookAllows = "handbook-allows",
    }
}

words! {
    /// How the engine is stopped.
    Stopping, "way of stopping" {
        /// A pull or a lever on the pump, by cable or by hand.
        Pull = "pull",
        /// A solenoid that holds the fuel open: without current she stops.
        SolenoidToRun = "solenoid-to-run",
        /// A solenoid that shuts the fuel: without current she does not stop.
        SolenoidToStop = "solenoid-to-stop",
    }
}

impl Stopping {
    /// What it means for who stops her.
    pub const fn words(self) -> &'static str {
        match self {
            Stopping::Pull => "by a pull or a lever; she needs no current to stop",
            Stopping::SolenoidToRun => {
                "by a solenoid that holds the fuel open: where the current fails she stops by herself"
            }
            Stopping::SolenoidToStop => {
                "by a solenoid that shuts the fuel: without current the key does not stop her"
            }
        }
    }
}

words! {
    /// What the engine burns.
    Fuel, "kind of fuel" {
        /// Diesel.
        Diesel = "diesel",
        /// Petrol.
        Petrol = "petrol",
    }
}

words! {
    /// What brings the power to the propeller.
    Drive, "kind of drive" {
        /// Gearbox, shaft and stern gland.
        Shaft = "shaft",
        /// A leg through the bottom.
        Saildrive = "saildrive",
        /// A leg at the transom.
        Sterndrive = "sterndrive",
    }
}

words! {
    /// What a tank holds.
    Holds, "content of a tank" {
        /// Fuel for the engines.
        Fuel = "fuel",
        /// Fresh water.
        FreshWater = "fresh-water",
        /// Waste water.
        Waste = "waste",
        /// Something else.
        Other = "other",
    }
}

words! {
    /// What a battery bank is for.
    Serves, "use of a battery bank" {
        /// Starting the engine.
        Starting = "starting",
        /// Lights, instruments, fridge.
        House = "house",
        /// Both.
        Both = "both",
        /// A thruster, a windlass, a radio.
        Other = "other",
    }
}

words! {
    /// What a battery is made of.
    Battery, "kind of battery" {
        /// Acid that can be seen and topped up, or sealed the same.
        Flooded = "flooded",
        /// Acid set in a gel.
        Gel = "gel",
        /// Acid held in glass mat.
        Agm = "agm",
        /// Lithium iron phosphate and the like, with its own guard.
        Lithium = "lithium",
    }
}
