//! What every report says of its scope and its limits. The facts are common practice of published
//! survey guidance, in this project's own words.

/// What limits any look.
pub const LIMITATIONS: [&str; 6] = [
    "Nothing was taken apart beyond what a look names. What lies behind linings, lagging, tanks and castings was not seen.",
    "The inside of the engine was not seen: compression, bearings, bores and valves are beyond this report.",
    "The condition is that of the day. Nothing here says how long a part will last.",
    "Poor light, clutter, a flat battery, an engine warmed beforehand or a swell limit what can be told.",
    "An item that was not seen is neither sound nor a defect. Each stands in its own list with what would close the gap.",
    "A measured value is as good as the instrument, which was not calibrated for this look unless a note says so.",
];

/// How the numbers come about.
pub const METHOD: [&str; 6] = [
    "Each item is graded on a ladder of five rungs: sound, early, worn, failing, failed. The words of the rung are written for that very item.",
    "From the rung seen, the hours and days since, and the hours and days ahead, a chance of failure is reckoned with a chain of rungs. How long things stay on a rung is this program's own judgement, not data of this boat, unless the boat has taught otherwise.",
    "What may follow a failure has a severity from 1 (catastrophic) to 4 (negligible), scaled for small craft after Table I of MIL-STD-882E. The chance gives a level from A to F by the bands of its Table A-II. The two give a risk by its Table III.",
    "Defects are ordered by one thing after another: whether a stop rule is in force, risk, severity, chance. No scores are multiplied.",
    "'Fix within' is the longest stretch at which the risk still stays below the next one that calls for repair. It is an aid to planning and no permission to wait.",
    "Leak classes: I is dampness, II drops that hold, III drops that fall (US Army operator checks); a stream is added.",
];

/// What every report says of working on an engine.
pub const CAUTIONS: [&str; 5] = [
    "The maker's handbook, local codes and licensed practice stand above everything written here.",
    "Stop the engine, take the key and let hot parts cool before hands go in. Belts, shafts and fans start without warning.",
    "Fuel under pressure cuts skin: search with card, never with a hand. Fuel and vapour burn: no flame, no spark, extinguisher at the hatch.",
    "Open nothing on the sea side without a way to close it again.",
    "Exhaust gas kills unseen. If an alarm sounds or heads ache, stop the engine, open up and go into fresh air.",
];

/// Stands under every report.
pub const CLOSING: &str = "This report records what was seen and measured. It is no certificate, no warranty and no permission to run.";
