//! Causes: the noisy-OR and exact chances against textbooks and an independent library
//! (`causes_reference.py`, pyAgrum 3.3.1), and published troubles with the cause that was found.

use handlamp::causes::belief::{Belief, entropy, gain, trying_order};
use handlamp::causes::model::{answers, shows};
use handlamp::causes::{Causes, Look, Seen};

use crate::troubles::TROUBLES;

const CLOSE: f64 = 1e-9;

#[track_caller]
fn near(value: f64, published: f64, error: f64) {
    assert!(
        (value - published).abs() <= error,
        "{value} is not {published}"
    );
}

/// Russell and Norvig, Artificial Intelligence, noisy-OR: fever from cold, flu and malaria, with inhibitors
/// 0.6, 0.2 and 0.1.
#[test]
fn the_noisy_or_is_that_of_the_textbook() {
    let (cold, flu, malaria) = (0.4, 0.8, 0.9);
    for (present, fever) in [
        (vec![], 0.0),
        (vec![malaria], 0.9),
        (vec![flu], 0.8),
        (vec![flu, malaria], 0.98),
        (vec![cold], 0.4),
        (vec![cold, malaria], 0.94),
        (vec![cold, flu], 0.88),
        (vec![cold, flu, malaria], 0.988),
    ] {
        near(shows(0.0, present), fever, CLOSE);
    }
}

/// The formula guide of a program for such networks (bayesia.com, NoisyOr): leak 0.1, strengths 0.8, 0.6.
#[test]
fn the_leaky_noisy_or_is_that_of_the_guide() {
    for (present, chance) in [
        (vec![], 0.1),
        (vec![0.6], 0.64),
        (vec![0.8], 0.82),
        (vec![0.8, 0.6], 0.928),
    ] {
        near(shows(0.1, present), chance, CLOSE);
    }
}

/// Every subset of so many causes, by its bits, weighed by independent chances.
fn subsets(priors: &[f64]) -> Belief {
    let weight = |set: usize| {
        let each = priors.iter().enumerate();
        each.map(|(n, p)| if set >> n & 1 == 1 { *p } else { 1.0 - p })
            .product()
    };
    Belief::of((0..1 << priors.len()).map(weight).collect())
}

fn strengths_of(strengths: &[f64], set: usize) -> impl Iterator<Item = f64> {
    let each = strengths.iter().enumerate();
    each.filter(move |(n, _)| set >> n & 1 == 1)
        .map(|(_, s)| *s)
}

/// The same textbook with chances of 0.1 each: the more one explains, the less is left for another (own
/// enumeration by hand, 9 digits).
#[test]
fn what_explains_takes_from_the_others() {
    let strengths = [0.4, 0.8, 0.9];
    let mut belief = subsets(&[0.1; 3]);
    belief.saw(|set| shows(0.0, strengths_of(&strengths, set)));
    for (cause, chance) in [(0, 0.253545810), (1, 0.420443430), (2, 0.464460385)] {
        near(belief.of_those(|set| set >> cause & 1 == 1), chance, CLOSE);
    }
    belief.saw(|set| f64::from(u8::from(set >> 1 & 1 == 1)));
    near(belief.of_those(|set| set >> 2 & 1 == 1), 0.118844513, CLOSE);
}

/// Lauritzen and Spiegelhalter 1988, the chest clinic: asia, smoking, tuberculosis, lung cancer, bronchitis
/// as the bits of what holds.
fn clinic() -> Belief {
    let has = |set: usize, bit: usize| set >> bit & 1 == 1;
    let of = |holds: bool, chance: f64| if holds { chance } else { 1.0 - chance };
    let weight = |set: usize| {
        let (asia, smoke) = (has(set, 0), has(set, 1));
        of(asia, 0.01)
            * of(smoke, 0.5)
            * of(has(set, 2), if asia { 0.05 } else { 0.01 })
            * of(has(set, 3), if smoke { 0.1 } else { 0.01 })
            * of(has(set, 4), if smoke { 0.6 } else { 0.3 })
    };
    Belief::of((0..32).map(weight).collect())
}

#[test]
fn the_chest_clinic_comes_out() {
    let has = |set: usize, bit: usize| set >> bit & 1 == 1;
    let either = |set: usize| has(set, 2) || has(set, 3);
    let xray = |set: usize| if either(set) { 0.98 } else { 0.05 };
    let breathless = |set: usize| match (either(set), has(set, 4)) {
        (true, true) => 0.9,
        (true, false) => 0.7,
        (false, true) => 0.8,
        (false, false) => 0.1,
    };
    let before = clinic();
    let expected = |chance: &dyn Fn(usize) -> f64| -> f64 {
        before
            .chances()
            .iter()
            .enumerate()
            .map(|(n, p)| p * chance(n))
            .sum()
    };
    near(before.of_those(|set| has(set, 2)), 0.0104, CLOSE);
    near(before.of_those(|set| has(set, 3)), 0.055, CLOSE);
    near(before.of_those(|set| has(set, 4)), 0.45, CLOSE);
    near(before.of_those(either), 0.064828, CLOSE);
    near(expected(&xray), 0.11029004, CLOSE);
    near(expected(&breathless), 0.4359706, CLOSE);
    let mut belief = clinic();
    belief.saw(breathless);
    near(belief.of_those(|set| has(set, 4)), 0.83396734, 1e-8);
    belief.saw(xray);
    near(belief.of_those(|set| has(set, 3)), 0.6212528, 1e-7);
    let mut belief = clinic();
    belief.saw(|set| f64::from(u8::from(has(set, 0))));
    belief.saw(breathless);
    near(belief.of_those(|set| has(set, 2)), 0.08775096, 1e-8);
    belief.saw(xray);
    near(belief.of_those(|set| has(set, 2)), 0.39171172, 1e-8);
}

/// Pearl's burglar alarm as in Russell and Norvig: burglary and earthquake as bits 0 and 1, alarm bit 2.
#[test]
fn the_burglar_alarm_comes_out() {
    let has = |set: usize, bit: usize| set >> bit & 1 == 1;
    let of = |holds: bool, chance: f64| if holds { chance } else { 1.0 - chance };
    let weight = |set: usize| {
        let alarm = match (has(set, 0), has(set, 1)) {
            (true, true) => 0.95,
            (true, false) => 0.94,
            (false, true) => 0.29,
            (false, false) => 0.001,
        };
        of(has(set, 0), 0.001) * of(has(set, 1), 0.002) * of(has(set, 2), alarm)
    };
    let mut belief = Belief::of((0..8).map(weight).collect());
    belief.saw(|set| if has(set, 2) { 0.90 } else { 0.05 });
    belief.saw(|set| if has(set, 2) { 0.70 } else { 0.01 });
    near(belief.of_those(|set| has(set, 0)), 0.284171835, CLOSE);
    near(belief.of_those(|set| has(set, 1)), 0.176066838, CLOSE);
}

/// A network of causes and answers with what a library made of it.
#[derive(serde::Deserialize)]
struct Case {
    priors: Vec<f64>,
    questions: Vec<Asked>,
    /// Question and answer; the normal answer comes last.
    said: Vec<(usize, usize)>,
    posteriors: Vec<f64>,
}

#[derive(serde::Deserialize)]
struct Asked {
    leaks: Vec<f64>,
    /// By cause and answer.
    strengths: Vec<Vec<f64>>,
}

#[derive(serde::Deserialize)]
struct Reference {
    pyagrum: String,
    cases: Vec<Case>,
}

fn outcome(asked: &Asked, set: usize) -> Vec<f64> {
    let of = |answer: usize| -> Vec<f64> { asked.strengths.iter().map(|s| s[answer]).collect() };
    let shown = asked.leaks.iter().enumerate();
    let shown = shown.map(|(answer, leak)| shows(*leak, strengths_of(&of(answer), set)));
    answers(&shown.collect::<Vec<_>>())
}

#[test]
fn answers_and_chances_are_those_of_a_library() {
    let text = include_str!("causes_reference.json");
    let reference: Reference = serde_json::from_str(text).expect("the reference");
    assert_eq!(reference.pyagrum, "3.3.1");
    assert!(reference.cases.len() >= 20);
    for case in &reference.cases {
        let mut belief = subsets(&case.priors);
        for (question, said) in &case.said {
            belief.saw(|set| outcome(&case.questions[*question], set)[*said]);
        }
        for (cause, posterior) in case.posteriors.iter().enumerate() {
            near(
                belief.of_those(|set| set >> cause & 1 == 1),
                *posterior,
                1e-12,
            );
        }
    }
}

/// The first network of the reference, in digits that another library (pgmpy) and an enumeration by hand
/// agree on.
#[test]
fn the_small_network_comes_out_in_every_digit() {
    let reference: Reference =
        serde_json::from_str(include_str!("causes_reference.json")).expect("the reference");
    let Case {
        priors, questions, ..
    } = &reference.cases[0];
    let (first, second) = (&questions[0], &questions[1]);
    let chances = [0.009933333, 0.019866667, 0.9702];
    for (made, chance) in outcome(first, 0).into_iter().zip(chances) {
        near(made, chance, 5e-10);
    }
    near(outcome(first, 0b001)[0], 0.640818122, 5e-10);
    near(outcome(first, 0b011)[0], 0.490957059, 5e-10);
    near(outcome(first, 0b011)[1], 0.425848291, 5e-10);
    let after = |said: &[(&Asked, usize)]| {
        let mut belief = subsets(priors);
        said.iter()
            .for_each(|(asked, answer)| belief.saw(|set| outcome(asked, set)[*answer]));
        belief
    };
    let of = |belief: &Belief, cause: usize| belief.of_those(|set| set >> cause & 1 == 1);
    let none = |belief: &Belief| belief.chances()[0];
    let belief = after(&[(first, 0)]);
    near(of(&belief, 0), 0.515521697, 5e-10);
    near(of(&belief, 1), 0.099879705, 5e-10);
    near(none(&belief), 0.386614692, 5e-10);
    let belief = after(&[(first, 0), (second, 1)]);
    near(of(&belief, 0), 0.096173953, 5e-10);
    near(of(&belief, 1), 0.179685143, 5e-10);
    near(of(&after(&[(first, 0), (second, 0)]), 0), 0.99148331, 5e-9);
    let belief = after(&[(first, 2), (second, 0)]);
    near(of(&belief, 0), 0.438666742, 5e-10);
    near(of(&belief, 2), 0.224514251, 5e-10);
    near(none(&belief), 0.338331739, 5e-10);
    // At most two of the three.
    let two = |said: &[(&Asked, usize)]| {
        let mut belief = after(said);
        belief.saw(|set| f64::from(u8::from(set != 0b111)));
        belief
    };
    let belief = two(&[(first, 0)]);
    near(of(&belief, 0), 0.515512106, 5e-10);
    near(none(&belief), 0.386622345, 5e-10);
    near(of(&two(&[(first, 0), (second, 0)]), 0), 0.991482963, 5e-10);
    // What the second question would tell after the first.
    let belief = after(&[(first, 0)]);
    near(
        entropy(belief.chances().iter().copied()),
        1.426019192,
        5e-10,
    );
    let held = belief.chances().iter().enumerate();
    let joint: Vec<Vec<f64>> = held
        .map(|(set, chance)| outcome(second, set).iter().map(|p| p * chance).collect())
        .collect();
    near(gain(&joint), 0.73264595, 5e-9);
    near(joint.iter().map(|row| row[0]).sum(), 0.468383068, 5e-10);
}

/// Shannon 1948: a binary channel of error 0.1; and what is plain: a perfect test that halves eight equal
/// causes, and a question that none of them bears on.
#[test]
fn a_look_tells_what_a_channel_tells() {
    near(
        gain(&[vec![0.45, 0.05], vec![0.05, 0.45]]),
        0.531004406,
        5e-10,
    );
    let halves = |n: usize| {
        if n < 4 {
            vec![0.125, 0.0]
        } else {
            vec![0.0, 0.125]
        }
    };
    near(gain(&(0..8).map(halves).collect::<Vec<_>>()), 1.0, CLOSE);
    near(gain(&vec![vec![0.1, 0.3]; 2]), 0.0, CLOSE);
}

fn seconds_expected(order: &[usize], of: &[(f64, f64)]) -> f64 {
    let mut spent = 0.0;
    let each = order.iter().map(|n| {
        spent += of[*n].1;
        of[*n].0 * spent
    });
    each.sum()
}

/// Kalagnanam and Henrion 1990: falling chance for each second is the best of all orders.
#[test]
fn trying_in_falling_chance_for_each_second_takes_least_time() {
    let three = [(0.5, 240.0), (0.3, 30.0), (0.2, 180.0)];
    assert_eq!(trying_order(&three), [1, 0, 2]);
    near(seconds_expected(&[1, 0, 2], &three), 234.0, CLOSE);
    near(seconds_expected(&[0, 1, 2], &three), 291.0, CLOSE);
    let mut rng = fastrand::Rng::with_seed(90);
    for _ in 0..300 {
        let of: Vec<(f64, f64)> = (0..5)
            .map(|_| (rng.f64() + 0.01, 5.0 + rng.f64() * 600.0))
            .collect();
        let own = seconds_expected(&trying_order(&of), &of);
        let mut orders = vec![vec![]];
        for _ in 0..5 {
            let longer = |order: &Vec<usize>| {
                let left = (0..5).filter(|n| !order.contains(n));
                left.map(|n| [order.as_slice(), &[n]].concat())
                    .collect::<Vec<_>>()
            };
            orders = orders.iter().flat_map(longer).collect();
        }
        assert_eq!(orders.len(), 120);
        let best = orders.iter().map(|order| seconds_expected(order, &of));
        near(own, best.fold(f64::INFINITY, f64::min), 1e-6);
    }
}

#[test]
fn published_troubles_have_their_cause_in_front() {
    let mut first = 0;
    for (told, looks, found) in TROUBLES {
        let looks = looks
            .iter()
            .map(|(question, answer)| Look::of(question, answer));
        let seen = Seen {
            looks: looks.collect(),
            ..Seen::default()
        };
        let judged = Causes::built_in().judge(&seen);
        assert_eq!(
            judged.reckoned.looks.len(),
            seen.looks.len(),
            "{told}: every look counts"
        );
        let three: Vec<&str> = judged
            .candidates
            .iter()
            .take(3)
            .map(|c| c.cause.id.as_str())
            .collect();
        assert!(
            three.iter().any(|id| found.contains(id)),
            "{told}: {three:?}"
        );
        first += usize::from(found.contains(&three[0]));
    }
    println!("first in {first} of {}", TROUBLES.len());
    assert!(first >= 17, "the cause is first in {first} alone");
}
