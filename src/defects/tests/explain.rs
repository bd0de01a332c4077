//! The arithmetic behind a row, told step by step.

#![allow(clippy::panic)]
use super::story::{Story, look};
use crate::assess::words::{Level, Severity};
use crate::checklist::Grade::{Early, Sound, Worn};
use crate::defects::explain::Explanation;
use crate::defects::list::Scenario;

fn explain(story: &Story, on: f64, item: &str) -> Explanation {
    let condition = story.on(on);
    let (exposure, waters) = condition.usual_plan();
    let subject = condition.subject(item, "main");
    let said = condition.explain(&story.history(), &subject, Scenario::new(exposure, waters));
    said.expect("the boat has it")
}

#[test]
fn it_says_what_the_row_says() {
    let seal = "raw-water-pump-seal";
    let story = Story::new().daily(0.0, [look(seal, Worn)]);
    let (said, row) = (
        explain(&story, 3.0, seal),
        story.row(3.0, seal).expect("a row"),
    );
    assert_eq!(said.chance, row.chance);
    assert_eq!(said.grade, Some(row.grade));
    assert_eq!(said.fix_within, row.fix_within);
    let deciding = said
        .effects
        .iter()
        .find(|e| e.effect == row.effect)
        .expect("listed");
    assert_eq!(deciding.code, row.code);
    let shares = said.distribution.expect("a chain");
    assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    assert_eq!(shares[4], said.chance);
    assert!(said.steps[0].starts_with("worn seen 2026-05-01"));
}

#[test]
fn it_tells_of_no_look_no_chain_and_an_override() {
    let story = Story::new();
    assert!(explain(&story, 0.0, "drive-belt").steps[0].contains("nobody has graded it yet"));
    let level = Story::new().daily(0.0, [look("coolant-level", Early)]);
    let said = explain(&level, 30.0, "coolant-level");
    assert_eq!((said.dwell_means, said.distribution), (None, None));
    assert!(
        (said.chance - 1e-3).abs() < 1e-15,
        "ten times early, as the look is old"
    );
    assert!(said.steps.iter().any(|s| s.contains("ten times that")));
    let set = level.set(
        1.0,
        "coolant-level",
        Some(Severity::Critical),
        Some(Level::B),
    );
    let said = explain(&set, 2.0, "coolant-level");
    assert!(said.steps.iter().any(|s| s.contains("set by hand to 2B")));
}

/// Every figure of a sentence, in order; dates and words left aside.
fn figures(text: &str) -> Vec<f64> {
    let kept = |c: char| c.is_ascii_digit() || matches!(c, '.' | 'e' | '-');
    let words = text.split(|c: char| !kept(c));
    words
        .filter_map(|w| w.trim_end_matches('.').parse().ok())
        .collect()
}

/// The chance of having passed through stages of these distinct means within some time: the closed
/// form of the hypoexponential distribution, which the program itself does not use.
fn passed(means: &[f64], time: f64) -> f64 {
    let survive = means.iter().enumerate().map(|(i, m)| {
        let others = means.iter().enumerate().filter(|(j, _)| *j != i);
        let factor: f64 = others.map(|(_, n)| m / (m - n)).product();
        factor * (-time / m).exp()
    });
    1.0 - survive.sum::<f64>()
}

/// A reader with a calculator, who has the sentences and nothing else, comes to the same figures.
#[test]
fn it_can_be_followed_with_a_calculator() {
    let seal = "raw-water-pump-seal";
    let mut story = Story::new();
    let walked = [
        (0.0, 100.0, Sound),
        (9.0, 130.0, Sound),
        (20.0, 160.0, Early),
        (32.0, 185.0, Early),
        (40.0, 230.0, Worn),
        (44.0, 241.5, Worn),
    ];
    for (on, hours, grade) in walked {
        story = story.walk("daily", "main", on, Some(hours), [look(seal, grade)]);
    }
    let said = explain(&story, 47.0, seal);
    let step = |what: &str| -> Vec<f64> {
        let found = said.steps.iter().find(|s| s.starts_with(what));
        figures(found.unwrap_or_else(|| panic!("no step '{what}' in {:#?}", said.steps)))
    };
    let near = |ours: f64, printed: f64| {
        assert!(
            (ours / printed - 1.0).abs() < 1e-3,
            "{ours} {printed} {:#?}",
            said.steps
        );
    };
    // Wear: hours run + standing × days = wear hours.
    let wear = |line: &[f64]| {
        near(line[0] + line[1] * line[2], line[3]);
        line[3]
    };
    let (since, ahead) = (wear(&step("elapsed wear")), wear(&step("ahead")));
    // Each dwell: judgement, moves, hours, and (2 × judgement + hours) / (2 + moves).
    let dwell = |word: &str| {
        let line = step(&format!("{word}: judgement"));
        if line.len() == 1 {
            return line[0];
        }
        let (judgement, moves, hours, learned) = (line[0], line[1], line[2], line[8]);
        assert_eq!(line[3..8], [2.0, judgement, hours, 2.0, moves]);
        near((2.0 * judgement + hours) / (2.0 + moves), learned);
        learned
    };
    let (worn, failing) = (dwell("worn"), dwell("failing"));
    assert!(worn != 250.0 && failing == 60.0, "{worn} {failing}");
    // The chain: what is left of worn, and what has passed both rungs.
    let end = step("at the end of");
    near(since + ahead, end[0]);
    let (sound, early, still, failed) = (end[1], end[2], end[3], end[5]);
    assert_eq!((sound, early), (0.0, 0.0));
    near((-end[0] / worn).exp(), still);
    near(passed(&[worn, failing], end[0]), failed);
    // Each effect: chance × beta, and the band of MIL-STD-882E it falls into.
    for effect in &said.effects {
        let words = effect.effect.as_str().replace('-', " ");
        let line = step(&format!("{words}: "));
        near(line[0], failed);
        near(line[0] * line[1], line[2]);
        let bands = [(1e-1, 'A'), (1e-2, 'B'), (1e-3, 'C'), (1e-6, 'D')];
        let level = bands
            .iter()
            .find(|(edge, _)| line[2] >= *edge)
            .map_or('E', |b| b.1);
        let code = format!("{}{level}", line[3]);
        let sentence = said
            .steps
            .iter()
            .find(|s| s.starts_with(&format!("{words}: ")));
        assert!(
            sentence.is_some_and(|s| s.contains(&format!("→ {code} "))),
            "{code}"
        );
    }
    // The waits: the chance at the end of each is the one that was named.
    let line = said
        .steps
        .iter()
        .find(|s| s.starts_with("the risk becomes high"));
    let breach = figures(line.expect("a threshold"))[0];
    let fix = step("fix within")[0];
    if fix > 0.0 {
        near(passed(&[worn, failing], since + fix), breach);
    }
    let look = step("look again within")[0];
    let likely = passed(&[worn, failing], since + look);
    // Half of it counts from the look, so what has passed since is taken off.
    let half = ((since + fix) / 2.0 - since).max(0.0);
    assert!((look - half).abs() < 0.02 || (likely / 1e-2 - 1.0).abs() < 1e-2);
    // And the same in fields.
    assert_eq!(said.judgement_means, Some([1500.0, 600.0, 250.0, 60.0]));
    assert_eq!(said.learned.len(), 4);
    assert_eq!(said.learned[1].moves, 1.0);
    assert_eq!(said.taught_by.len(), 1);
    assert!(said.dwell_means.is_some_and(|m| (m[2] - worn).abs() < 0.01));
}
