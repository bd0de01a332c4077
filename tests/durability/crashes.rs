//! A crash after every call of every scene, in every shape the disk may have then; recovery read
//! twice; and now and then the next program, killed or cut off in its turn.

use std::cell::RefCell;
use std::path::Path;
use std::rc::Rc;
use std::time::Instant;

use super::model::disk::{MemDisk, State};
use super::model::images::{Effort, Image, each};
use super::model::ledger::{Ledger, load, same};
use super::model::stage::{NOW_MS, Stage, files, look};
use super::scenes::{SCENES, walk};

/// One image in so many is read from a real folder too, and one in so many is recovered from.
const ON_DISK: usize = 400;
const RECOVERED: usize = 200;

/// Judges every crash in a state, and what a program does next.
struct Watch {
    scene: String,
    ledger: Rc<RefCell<Ledger>>,
    effort: Effort,
    base: std::path::PathBuf,
    rng: fastrand::Rng,
    /// Images judged in recoveries.
    deeper: Rc<RefCell<usize>>,
    recover: bool,
}

impl Watch {
    fn state(&mut self, state: &State, call: usize) {
        let mut rng = self.rng.fork();
        each(state, self.effort, &mut rng, &mut |image| {
            self.image(image, call)
        });
        if self.recover && (!state.pending.is_empty() || self.rng.usize(..5) == 0) {
            // Killed: what was seen is still seen, though it is not synced.
            let mut ledger = self.ledger.borrow().clone();
            ledger.states = 0;
            self.recover_on(MemDisk::of(state.clone()), ledger, call, "killed");
        }
    }

    fn image(&mut self, image: &Image, call: usize) {
        let states = {
            let mut ledger = self.ledger.borrow_mut();
            if !ledger.is_new(image) {
                return;
            }
            ledger.states
        };
        let ledger = self.ledger.borrow();
        if let Err(why) = ledger.judge(image) {
            panic!("{}, crash after call {call}: {why}", self.scene);
        }
        for root in ledger.books.keys() {
            let (first, second) = (load(&image.files, root), load(&image.files, root));
            assert!(
                same(&first, &second),
                "{}: a second recovery differs",
                self.scene
            );
        }
        if states % ON_DISK == 0 {
            reading_changes_nothing(image, &ledger, &self.base);
        }
        if self.recover && states % RECOVERED == 0 {
            let mut next = ledger.after(image);
            next.states = 0;
            drop(ledger);
            self.recover_on(disk_of(image, &self.base), next, call, "cut off");
        }
    }

    /// The next program reads, copies damage aside and writes, and is cut off in its turn.
    fn recover_on(&mut self, disk: MemDisk, ledger: Ledger, call: usize, how: &str) {
        let stage = Stage::on(disk, ledger, &self.base, 1_000_000);
        let watch = Watch {
            scene: format!("{}, {how} after call {call}", self.scene),
            ledger: Rc::clone(&stage.ledger),
            effort: Effort::Some,
            base: self.base.clone(),
            rng: self.rng.fork(),
            deeper: Rc::clone(&self.deeper),
            recover: false,
        };
        watch.over(&stage);
        stage.aside(&stage.book());
        let mut writer = stage.writer(&stage.book());
        writer.append(&[look(9_001)]);
        writer.append(&[look(9_002)]);
        writer.settle();
        *self.deeper.borrow_mut() += stage.ledger.borrow().states;
    }

    fn over(mut self, stage: &Stage) {
        stage.disk.watch(move |state, call| self.state(state, call));
    }
}

fn disk_of(image: &Image, base: &Path) -> MemDisk {
    let disk = MemDisk::with(base);
    for (path, bytes) in &image.files {
        disk.give(path, bytes);
    }
    disk
}

/// The same through a real folder: reading gives the same and leaves every byte as it was.
fn reading_changes_nothing(image: &Image, ledger: &Ledger, base: &Path) {
    let dir = tempfile::tempdir().expect("a folder");
    for (path, bytes) in &image.files {
        let path = dir
            .path()
            .join(path.strip_prefix(base).expect("below the base"));
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        std::fs::write(path, bytes).expect("written");
    }
    let clock = Stage::new(base).clock;
    for root in ledger.books.keys() {
        let real = dir
            .path()
            .join(root.strip_prefix(base).expect("below the base"));
        let read = handlamp::logbook::read_log(&real, &clock).expect("a log");
        assert!(same(&read, &load(&image.files, root)));
    }
    let mut left = Vec::new();
    let mut folders = vec![dir.path().to_owned()];
    while let Some(folder) = folders.pop() {
        for item in std::fs::read_dir(folder).expect("listed") {
            let path = item.expect("an item").path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let bytes = std::fs::read(&path).expect("read");
                left.push((
                    base.join(path.strip_prefix(dir.path()).expect("inside")),
                    bytes,
                ));
            }
        }
    }
    left.sort();
    let mut before = image.files.clone();
    before.sort();
    assert_eq!(left, before, "reading changed something");
    assert_eq!(handlamp::logbook::clock::wall_ms(&clock), NOW_MS);
}

/// Plays a scene under watch; how many images were judged, and how many in recoveries.
fn play(name: &'static str, scene: impl Fn(&Stage), effort: Effort) -> (usize, usize) {
    let dir = tempfile::tempdir().expect("a folder");
    std::fs::create_dir(dir.path().join("other")).expect("a folder");
    let stage = Stage::new(dir.path());
    let deeper = Rc::new(RefCell::new(0));
    let watch = Watch {
        scene: name.to_owned(),
        ledger: Rc::clone(&stage.ledger),
        effort,
        base: dir.path().to_owned(),
        rng: fastrand::Rng::with_seed(42),
        deeper: Rc::clone(&deeper),
        recover: true,
    };
    watch.over(&stage);
    scene(&stage);
    let end = Image {
        files: files(&stage.disk.state()),
        rubbish: false,
    };
    let judged = stage.ledger.borrow().judge(&end);
    judged.expect("at the end all is there");
    (stage.ledger.borrow().states, *deeper.borrow())
}

fn tell(name: &str, started: Instant, (states, deeper): (usize, usize)) -> usize {
    let seconds = started.elapsed().as_secs_f32();
    println!(
        "{name}: {states} crash states, {deeper} more in recoveries, none lost, {seconds:.1} s"
    );
    states + deeper
}

/// Plays every second scene, so that two tests share the machine.
fn every_second(first: usize) {
    let started = Instant::now();
    let mut all = 0;
    for scene in SCENES.iter().skip(first).step_by(2) {
        let begun = Instant::now();
        all += tell(
            scene.name,
            begun,
            play(scene.name, scene.play, scene.effort),
        );
    }
    let seconds = started.elapsed().as_secs_f32();
    println!("in all {all} crash states in {seconds:.1} s");
    assert!(all > 50_000, "{all} crash states are too few");
}

#[test]
fn nothing_acknowledged_is_lost_in_any_crash() {
    every_second(0);
}

#[test]
fn nothing_acknowledged_is_lost_in_any_other_crash() {
    every_second(1);
}

#[test]
fn nothing_acknowledged_is_lost_in_a_walk_of_sixty() {
    let started = Instant::now();
    let all = play("a walk of 60", |stage| walk(stage, 60), Effort::Least);
    assert!(tell("a walk of 60", started, all) > 500);
}
