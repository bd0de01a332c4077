//! What counts, what the parts say, what is learned, and when there is silence.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{judged, order, said, seen};
use crate::causes::{Causes, Headline, Held, Look, PartLook, Seen, Standing};
use crate::checklist::Grade;

fn part(item: &str, grade: Grade) -> PartLook {
    PartLook {
        item: item.to_owned(),
        grade,
        on: None,
    }
}

fn place(id: &str) -> usize {
    let causes = Causes::built_in().causes();
    causes
        .iter()
        .position(|cause| cause.id == id)
        .expect("a cause")
}

fn with_parts(looks: &[(&str, &str)], parts: Vec<PartLook>) -> Seen {
    Seen {
        parts,
        ..seen(looks)
    }
}

/// A part seen sound leaves its only cause a tenth, set against none; failing speaks for it; the rungs
/// between say nothing.
#[test]
fn a_part_is_one_more_sign() {
    let causes = Causes::built_in();
    let looks = [("plume", "black"), ("wot", "short")];
    let filter = place("impeller");
    let odds = |grade: Grade| {
        let parts = vec![part("raw-water-impeller", grade)];
        let judged = causes.judge(&with_parts(&looks, parts));
        judged.reckoned.chance_of(Held::One(filter)) / judged.reckoned.alone
    };
    let bare = causes.judge(&seen(&looks));
    let before = bare.reckoned.chance_of(Held::One(filter)) / bare.reckoned.alone;
    assert!((odds(Grade::Sound) / before - 0.1).abs() < 1e-9);
    assert!((odds(Grade::Early) / before - 1.0).abs() < 1e-9);
    assert!((odds(Grade::Worn) / before - 1.0).abs() < 1e-9);
    assert!(odds(Grade::Failing) / before > 5.0);
    assert_eq!(odds(Grade::Failing), odds(Grade::Failed));
}

/// A cause with several parts is spoken against only when all of them are sound.
#[test]
fn one_sound_part_of_several_clears_no_cause() {
    let causes = Causes::built_in();
    let looks = [("flow", "thin")];
    let chance = |items: &[&str]| {
        let parts = items.iter().map(|item| part(item, Grade::Sound)).collect();
        causes.judge(&with_parts(&looks, parts)).reckoned.chances[place("inlet-blocked")]
    };
    let bare = chance(&[]);
    assert!((chance(&["raw-water-strainer"]) - bare).abs() < 1e-12);
    assert!((chance(&["engine-seacock"]) - bare).abs() < 1e-12);
    assert!(chance(&["raw-water-strainer", "engine-seacock"]) < bare / 3.0);
}

/// What an item has said by a question it does not say again as a part.
#[test]
fn an_item_counts_once() {
    let causes = Causes::built_in();
    let look = Look {
        by: Some("raw-water-impeller".into()),
        ..Look::of("imp", "worn")
    };
    let mut seen = Seen {
        looks: vec![look],
        ..Seen::default()
    };
    let once = causes.judge(&seen).reckoned.chances[place("impeller")];
    seen.parts.push(part("raw-water-impeller", Grade::Failing));
    let judged = causes.judge(&seen);
    assert_eq!(judged.reckoned.looks.len(), 1);
    assert_eq!(judged.reckoned.chances[place("impeller")], once);
}

/// What is normal was said by all the items that had to be sound for it, and none of them says it again.
#[test]
fn items_that_were_sound_together_count_once() {
    let causes = Causes::built_in();
    let look = Look {
        by: Some("stuffing-box".into()),
        ..Look::of("stern", "ok")
    };
    let both = ["stuffing-box", "dripless-shaft-seal"];
    let with = |parts: &[&str]| {
        let parts = parts.iter().map(|item| part(item, Grade::Sound));
        let seen = Seen {
            looks: vec![look.clone()],
            parts: parts.collect(),
            ..Seen::default()
        };
        let reckoned = causes.judge(&seen).reckoned;
        (reckoned.looks.len(), reckoned.chances[place("stern-gland")])
    };
    assert_eq!(with(&both), with(&[]));
    // Told in words alone the parts are another look.
    let told = causes.judge(&with_parts(
        &[("stern", "ok")],
        both.map(|item| part(item, Grade::Sound)).to_vec(),
    ));
    assert_eq!(told.reckoned.looks.len(), 2);
}

/// Of two answers to one question the worse counts, and of two findings the later; in any order.
#[test]
fn the_worse_answer_counts_and_then_the_later() {
    let day = |d| NaiveDate::from_ymd_opt(2026, 5, d);
    let look = |answer: &str, on| Look {
        on,
        ..Look::of("clook", answer)
    };
    for (all, counts) in [
        ([look("ok", day(9)), look("oil", day(3))], "Oil"),
        ([look("salty", day(3)), look("oil", day(9))], "Oil"),
        ([look("oil", None), look("salty", day(9))], "crust"),
    ] {
        for looks in [all.to_vec(), all.iter().rev().cloned().collect()] {
            let seen = Seen {
                looks,
                ..Seen::default()
            };
            let judged = Causes::built_in().judge(&seen);
            let [look] = judged.reckoned.looks.as_slice() else {
                panic!("one look counts");
            };
            assert!(look.words.contains(counts), "{}", look.words);
        }
    }
}

/// Fifty imaginary cases beside what repairs confirmed: three impellers make the impeller likelier and
/// leave the order of the others; nothing confirmed changes nothing.
#[test]
fn repairs_teach_how_often() {
    let causes = Causes::built_in();
    let looks = seen(&[("temp", "load"), ("flow", "thin")]);
    let before = causes.judge(&looks);
    let same = causes.learned(&BTreeMap::new());
    let same = same.judge(&looks);
    for (one, two) in before.reckoned.chances.iter().zip(&same.reckoned.chances) {
        assert!((one - two).abs() < 1e-9);
    }
    let taught = causes.learned(&BTreeMap::from([("impeller".to_owned(), 3)]));
    let all: f64 = causes.causes().iter().map(|cause| cause.weight).sum();
    let own = causes.causes()[place("impeller")].weight;
    let weight = taught.causes()[place("impeller")].weight;
    assert!((weight - (50.0 * own / all + 3.0)).abs() < 1e-12);
    let after = taught.judge(&looks);
    assert_eq!(order(&after)[0], "impeller");
    assert!(after.candidates[0].chance > before.reckoned.chances[place("impeller")] + 0.1);
}

#[test]
fn it_is_silent_where_little_was_found() {
    // One finding that many things bring about.
    assert!(!judged(&[("temp", "slow")]).speaks);
    // Two everyday findings that stand alone.
    assert!(!judged(&[("start", "white"), ("temp", "slow")]).speaks);
    // Nothing found at all.
    let nothing = judged(&[("temp", "ok"), ("flow", "ok")]);
    assert!(!nothing.speaks);
    assert_eq!(nothing.headline, Headline::Alone);
    assert!(said(&nothing).contains("Nothing here asks for a cause."));
    // One answer that hardly ever stands alone and that a cause almost always gives.
    assert!(judged(&[("weep", "oil")]).speaks);
    // Two findings with one cause behind them.
    assert!(judged(&[("olevel", "risen"), ("olook", "fuel")]).speaks);
}

#[test]
fn the_words_are_those_of_their_chances() {
    let wet = judged(&[("cwet", "hose"), ("clevel", "falls")]);
    assert_eq!(order(&wet)[0], "coolant-hose");
    assert_eq!(wet.candidates[0].standing, Standing::PointsStrongly);
    assert!(said(&wet).contains("The findings point strongly to this: A coolant hose"));
    let near = judged(&[("temp", "load"), ("flow", "thin")]);
    assert_eq!(near.headline, Headline::Among(2));
    assert!(said(&near).contains("One of these; the look below tells them apart:"));
    let one = judged(&[("temp", "slow")]);
    assert!(said(&one).contains("This finding may stand alone."));
    for judged in [&wet, &near, &one] {
        let said = said(judged);
        for forbidden in ["%", "0.", "the cause is", "probab"] {
            assert!(!said.contains(forbidden), "{forbidden} in {said}");
        }
        for candidate in &judged.candidates {
            let standing = match candidate.chance {
                c if c >= 0.55 => candidate.standing <= Standing::MayBe,
                c if c >= 0.20 => candidate.standing == Standing::MayBe,
                c if c >= 0.05 => candidate.standing == Standing::NotRuledOut,
                _ => candidate.standing == Standing::Unlikely,
            };
            assert!(standing, "{}: {}", candidate.cause.id, candidate.chance);
        }
    }
}

/// Belt dust and a broken shift cable have nothing to do with each other: both are named.
#[test]
fn two_at_once_are_said_to_be_two() {
    let judged = judged(&[
        ("pull", "out"),
        ("belt", "dust"),
        ("lever", "short"),
        ("gear", "none"),
    ]);
    let (one, two) = judged.both.expect("two");
    let mut both = [one.id.as_str(), two.id.as_str()];
    both.sort_unstable();
    assert_eq!(both, ["pulley", "shift-cable"]);
    assert!(said(&judged).contains("Two at once fit best: "));
    // Two seals that let fuel into one sump stand for one another.
    let either = super::judged(&[("olevel", "risen"), ("olook", "fuel")]);
    assert!(either.candidates[1].chance >= 0.4 && either.both.is_none());
}

/// The arithmetic adds up by hand: prior times factors, set against the sum of all.
#[test]
fn the_arithmetic_adds_up() {
    let judged = judged(&[("plume", "sweet"), ("clevel", "falls"), ("olook", "ok")]);
    let rows = judged.reckoned.arithmetic();
    let weight = |n: usize| rows[n].prior * rows[n].factors.iter().product::<f64>();
    let all: f64 = (0..rows.len()).map(weight).sum();
    let causes = judged.reckoned.causes.causes().len();
    assert_eq!(rows.len(), 2 + causes + causes * (causes - 1) / 2);
    for (n, row) in rows.iter().enumerate() {
        assert!((weight(n) / all - row.chance).abs() < 1e-9);
        assert!(n == 0 || row.chance <= rows[n - 1].chance);
    }
    for candidate in &judged.candidates {
        let holds = rows.iter().filter(|row| row.held.has(candidate.place));
        let sum: f64 = holds.map(|row| row.chance).sum();
        assert!((sum - candidate.chance).abs() < 1e-9);
    }
}
