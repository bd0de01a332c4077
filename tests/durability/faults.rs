//! Every call of every scene fails: once and for ever, with each error a disk has, with a part of
//! the bytes taken or none; and the power goes at any call from there on. What the disk holds
//! then keeps what was acknowledged, and once the disk works again everything is saved.

use std::cell::RefCell;
use std::path::Path;
use std::rc::Rc;
use std::time::Instant;

use rustix::io::Errno;

use super::model::disk::{Fault, Plan};
use super::model::images::{Effort, Image, each};
use super::model::stage::{Stage, files};
use super::scenes::SCENES;

const ERRORS: [Errno; 6] = [
    Errno::IO,
    Errno::NOSPC,
    Errno::DQUOT,
    Errno::ROFS,
    Errno::INTR,
    Errno::FBIG,
];
/// After the failing call the power goes at each of so many calls, and at the end.
const AFTER: usize = 14;
/// No disk interrupts for ever; a program that goes on after an interruption may rely on it.
const INTERRUPTIONS: usize = 20;

fn plans(from: usize) -> Vec<Plan> {
    let mut plans = Vec::new();
    for error in ERRORS {
        let most = if error == Errno::INTR {
            INTERRUPTIONS
        } else {
            usize::MAX
        };
        for calls in [1, most] {
            for fault in [Fault::Error(error), Fault::Part(error)] {
                plans.push(Plan { fault, from, calls });
            }
        }
    }
    for calls in [1, usize::MAX] {
        plans.push(Plan {
            fault: Fault::Short,
            from,
            calls,
        });
    }
    plans
}

/// Plays a scene under a plan; how many images were judged.
fn play(name: &str, scene: fn(&Stage), plan: Plan, base: &Path) -> usize {
    let stage = Stage::new(base);
    let ledger = Rc::clone(&stage.ledger);
    let rng = RefCell::new(fastrand::Rng::with_seed(plan.from as u64));
    let judge = move |image: &Image, call: usize| {
        if ledger.borrow_mut().is_new(image)
            && let Err(why) = ledger.borrow().judge(image)
        {
            panic!("{why} (power cut after call {call}, {plan:?})");
        }
    };
    stage.disk.plan(plan);
    stage.disk.watch(move |state, call| {
        if (plan.from..=plan.from + AFTER).contains(&call) {
            each(state, Effort::Least, &mut rng.borrow_mut(), &mut |image| {
                judge(image, call)
            });
        }
    });
    scene(&stage);
    let mut end = stage.disk.state();
    for settled in [false, true] {
        if settled {
            end.settle();
        }
        let image = Image {
            files: files(&end),
            rubbish: false,
        };
        let judged = stage.ledger.borrow().judge(&image);
        judged.unwrap_or_else(|why| panic!("{name}, {plan:?}, at the end: {why}"));
    }
    stage.ledger.borrow().states
}

fn sweep(first: usize) {
    let dir = tempfile::tempdir().expect("a folder");
    std::fs::create_dir(dir.path().join("other")).expect("a folder");
    let started = Instant::now();
    let (mut runs, mut states) = (0, 0);
    for scene in SCENES.iter().skip(first).step_by(2) {
        let dry = Stage::new(dir.path());
        (scene.play)(&dry);
        let calls = dry.disk.calls();
        assert!(calls > 20, "{}: {calls} calls", scene.name);
        for plan in (0..calls).flat_map(plans) {
            states += play(scene.name, scene.play, plan, dir.path());
            runs += 1;
        }
    }
    let seconds = started.elapsed().as_secs_f32();
    println!(
        "{runs} stories with a failing disk, {states} power cuts in them, none lost, {seconds:.1} s"
    );
    assert!(runs > 5_000 && states > 10_000);
}

#[test]
fn a_failing_disk_loses_nothing_acknowledged() {
    sweep(0);
}

#[test]
fn a_failing_disk_loses_nothing_acknowledged_in_the_other_scenes() {
    sweep(1);
}
