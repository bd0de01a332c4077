//! What holds for any looks and any table.

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::subsequence;

use crate::causes::belief::gain;
use crate::causes::file::CausesFile;
use crate::causes::model::{Held, Outcome, answers, shows};
use crate::causes::offers::{candidates, joint};
use crate::causes::{Causes, Look, Reckoned, Seen};

fn file() -> CausesFile {
    let built_in = Causes::built_in();
    let file = serde_json::from_str(crate::causes::BUILT_IN).expect("whole");
    assert_eq!(
        Causes::of(CausesFile::clone(&file)).causes(),
        built_in.causes()
    );
    file
}

/// Answers to a few questions of the built-in table.
fn looks() -> impl Strategy<Value = Vec<Look>> {
    let all: Vec<usize> = (0..Causes::built_in().questions().len()).collect();
    let asked = subsequence(all, 1..7);
    (asked, vec(any::<prop::sample::Index>(), 7)).prop_map(|(asked, picks)| {
        let look = |(n, pick): (usize, prop::sample::Index)| {
            let question = &Causes::built_in().questions()[n];
            let all: Vec<&str> = question.answers.iter().map(|a| a.id.as_str()).collect();
            let all = [all.as_slice(), &["ok", "abnormal"]].concat();
            Look::of(&question.id, all[pick.index(all.len())])
        };
        asked.into_iter().zip(picks).map(look).collect()
    })
}

fn reckoned<'c>(causes: &'c Causes, looks: &[Look]) -> Reckoned<'c> {
    let looks = looks.to_vec();
    Reckoned::of(
        causes,
        &Seen {
            looks,
            ..Seen::default()
        },
    )
}

#[track_caller]
fn alike(one: &Reckoned<'_>, two: &Reckoned<'_>) {
    let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} and {b}");
    for (n, cause) in one.causes.causes().iter().enumerate() {
        let other = two
            .causes
            .causes()
            .iter()
            .position(|c| c.title == cause.title);
        close(one.chances[n], two.chances[other.expect("the same cause")]);
    }
    close(one.alone, two.alone);
    close(one.unlisted, two.unlisted);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// However many causes hold, the answers are a distribution, and one cause more makes the normal
    /// answer no likelier.
    #[test]
    fn answers_sum_to_one_and_more_causes_never_hide(
        leaks in vec(1e-4..0.9f64, 1..6),
        strengths in vec(vec(0.0..0.99f64, 5), 0..6),
    ) {
        let of = |held: &[Vec<f64>]| {
            let shown = leaks.iter().enumerate();
            let shown = shown.map(|(a, leak)| shows(*leak, held.iter().map(|s| s[a])));
            answers(&shown.collect::<Vec<_>>())
        };
        let mut normal = 1.0;
        for more in 0..=strengths.len() {
            let all = of(&strengths[..more]);
            prop_assert!((all.iter().sum::<f64>() - 1.0).abs() < 1e-12);
            prop_assert!(all[leaks.len()] <= normal + 1e-15);
            normal = all[leaks.len()];
        }
    }

    #[test]
    fn the_order_of_looks_and_of_the_file_changes_nothing(looks in looks(), seed in any::<u64>()) {
        let first = reckoned(Causes::built_in(), &looks);
        let mut turned = looks.clone();
        let mut rng = fastrand::Rng::with_seed(seed);
        rng.shuffle(&mut turned);
        let again = reckoned(Causes::built_in(), &turned);
        prop_assert_eq!(&first.chances, &again.chances);
        let mut file = file();
        rng.shuffle(&mut file.causes);
        rng.shuffle(&mut file.questions);
        file.causes.iter_mut().for_each(|cause| rng.shuffle(&mut cause.signs));
        let causes = Causes::of(file);
        alike(&first, &reckoned(&causes, &looks));
    }

    #[test]
    fn a_question_not_asked_is_no_question(looks in looks(), pick in any::<prop::sample::Index>()) {
        let mut file = file();
        let gone = file.questions[pick.index(file.questions.len())].id.clone();
        let looks: Vec<Look> = looks.into_iter().filter(|look| look.question != gone).collect();
        file.questions.retain(|question| question.id != gone);
        file.causes.iter_mut().for_each(|cause| cause.signs.retain(|s| s.question != gone));
        let causes = Causes::of(file);
        alike(&reckoned(Causes::built_in(), &looks), &reckoned(&causes, &looks));
    }

    #[test]
    fn only_the_ratio_of_weights_counts_and_names_do_not(looks in looks(), scale in 1e-3..1e3f64) {
        let mut file = file();
        for (n, cause) in file.causes.iter_mut().enumerate() {
            cause.weight *= scale;
            cause.id = format!("c{n}");
        }
        let causes = Causes::of(file);
        alike(&reckoned(Causes::built_in(), &looks), &reckoned(&causes, &looks));
    }

    /// A normal answer never speaks for a cause that has a sign there, set against none.
    #[test]
    fn a_normal_answer_never_speaks_for_a_cause(pick in any::<prop::sample::Index>(), looks in looks()) {
        let causes = Causes::built_in();
        let n = pick.index(causes.questions().len());
        let question = &causes.questions()[n];
        let looks: Vec<Look> = looks.into_iter().filter(|l| l.question != question.id).collect();
        let before = reckoned(causes, &looks);
        let ok = [looks.as_slice(), &[Look::of(&question.id, "ok")]].concat();
        let after = reckoned(causes, &ok);
        let table = &causes.model.tables[n];
        let normal = Outcome::Answer(question.answers.len());
        for cause in (0..causes.causes().len()).filter(|cause| table.has_sign_of(*cause)) {
            prop_assert!(table.given(Held::One(cause), normal) <= table.given(Held::Nothing, normal));
            let odds = |r: &Reckoned<'_>| r.chance_of(Held::One(cause)) / r.alone;
            prop_assert!(odds(&after) <= odds(&before) * (1.0 + 1e-9));
        }
    }

    #[test]
    fn a_look_tells_nothing_at_least_and_its_answers_at_most(looks in looks()) {
        let reckoned = reckoned(Causes::built_in(), &looks);
        prop_assert!((reckoned.belief.chances().iter().sum::<f64>() - 1.0).abs() < 1e-9);
        let candidates = candidates(&reckoned);
        for (n, question) in reckoned.causes.questions().iter().enumerate() {
            let joint = joint(&reckoned, &candidates, n);
            prop_assert!((joint.iter().flatten().sum::<f64>() - 1.0).abs() < 1e-9);
            let most = (question.answers.len() as f64 + 1.0).log2();
            prop_assert!((0.0..=most + 1e-9).contains(&gain(&joint)));
        }
    }
}

/// Draws what holds from the model, asks 25 questions at random, and sees how often the likeliest cause was
/// there when the model said so.
#[test]
fn chances_are_as_often_right_as_they_say() {
    let causes = Causes::built_in();
    let model = &causes.model;
    let mut rng = fastrand::Rng::with_seed(5);
    let draws = 1_500;
    let mut fifths = [(0.0, 0.0, 0.0); 5];
    let all: f64 = model.priors.iter().sum();
    for _ in 0..draws {
        let held = model.held[drawn(&mut rng, &model.priors, all)];
        let asked = rng.choose_multiple(0..causes.questions().len(), 25);
        let looks = asked.into_iter().map(|n| {
            let question = &causes.questions()[n];
            let said = drawn(&mut rng, model.tables[n].all(held), 1.0);
            let id = question
                .answers
                .get(said)
                .map_or("ok", |reply| reply.id.as_str());
            Look::of(&question.id, id)
        });
        let reckoned = reckoned(causes, &looks.collect::<Vec<_>>());
        let first = (0..reckoned.chances.len())
            .max_by(|a, b| reckoned.chances[*a].total_cmp(&reckoned.chances[*b]))
            .expect("a cause");
        let said = reckoned.chances[first];
        let fifth = &mut fifths[((said * 5.0) as usize).min(4)];
        fifth.0 += 1.0;
        fifth.1 += said;
        fifth.2 += f64::from(u8::from(held.has(first)));
    }
    for (n, (drawn, said, was)) in fifths.into_iter().enumerate() {
        println!(
            "fifth {n}: {drawn} draws, said {:.2}, was {:.2}",
            said / drawn,
            was / drawn
        );
        // Three standard errors of a share, and never finer than the count allows.
        let error = 3.0 * (said / drawn * (1.0 - said / drawn) / drawn).sqrt() + 0.01;
        assert!(
            drawn >= 20.0 && (said - was).abs() / drawn <= error,
            "fifth {n}"
        );
    }
}

fn drawn(rng: &mut fastrand::Rng, weights: &[f64], all: f64) -> usize {
    let mut left = rng.f64() * all;
    let found = weights.iter().position(|weight| {
        left -= weight;
        left < 0.0
    });
    found.unwrap_or(weights.len() - 1)
}
