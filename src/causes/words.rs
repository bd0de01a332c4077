//! The words that tables of causes and answers share.

use crate::text::words;

words! {
    /// How often a sign shows where its cause is present. All *judgement*.
    Strength, "strength of a sign" {
        /// 0.90.
        AlmostAlways = "almost-always",
        /// 0.65.
        Often = "often",
        /// 0.30.
        Sometimes = "sometimes",
        /// 0.08.
        Rarely = "rarely",
    }
}

impl Strength {
    /// The chance that the sign shows (*judgement*).
    pub const fn chance(self) -> f64 {
        match self {
            Strength::AlmostAlways => 0.90,
            Strength::Often => 0.65,
            Strength::Sometimes => 0.30,
            Strength::Rarely => 0.08,
        }
    }
}

words! {
    /// How often an answer is given with none of the causes, set against how often with one. All *judgement*.
    Alone, "frequency of an answer by itself" {
        /// Four times as often: age, cold and weather are enough.
        Everyday = "everyday",
        /// As often.
        Common = "common",
        /// Half as often.
        Middling = "middling",
        /// 0.15 times as often.
        HardlyEver = "hardly-ever",
    }
}

impl Alone {
    /// How often, set against how often with a cause (*judgement*).
    pub const fn share(self) -> f64 {
        match self {
            Alone::Everyday => 4.0,
            Alone::Common => 1.0,
            Alone::Middling => 0.5,
            Alone::HardlyEver => 0.15,
        }
    }
}

words! {
    /// What a look asks for that what is known can forbid.
    Act, "act of a look" {
        /// The coolant cap comes off.
        CapOff = "cap-off",
        /// The engine is cranked or started.
        Starting = "starting",
        /// The engine is held at full speed.
        FullSpeed = "full-speed",
        /// Strainer, pump or hose is opened to the sea.
        SeaSideOpen = "sea-side-open",
        /// Somebody goes under the boat.
        UnderBoat = "under-boat",
    }
}

words! {
    /// How the boat lies just now, as far as it decides which looks can be made.
    Now, "state of the boat" {
        /// At rest, the engine still for four hours or more.
        Cold = "cold",
        /// At rest, the engine still for less than four hours.
        Warm = "warm",
        /// At rest, the engine running.
        Running = "running",
        /// Under way.
        UnderWay = "under-way",
    }
}

words! {
    /// How far the findings speak for a cause.
    Standing, "standing of a cause" {
        /// 0.80 and more, and its part looked at or a sign seen that it almost always has.
        PointsStrongly = "points-strongly",
        /// 0.55 and more.
        MostLikely = "most-likely",
        /// 0.20 and more.
        MayBe = "may-be",
        /// 0.05 and more.
        NotRuledOut = "not-ruled-out",
        /// Less.
        Unlikely = "unlikely",
    }
}
