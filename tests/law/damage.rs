//! Every logbook, damaged in every way a disk, an editor or a copying program can.
//!
//! A file cut at its end ends as one whose session stopped there. Where nothing later had read what
//! is lost, and this computer kept no mark, nothing on the disk tells it: those cases alone may go
//! unsaid, and they are counted.

use std::path::{Path, PathBuf};

use super::aboard::{Aboard, files, time};
use super::count::Count;
use super::harness::copy;
use super::oracle::{Answer, Asked, ask};
use super::scenes::{NOW, SCENES, Scene};

/// One bit in so many is flipped, and a file cut at one byte in so many.
const BIT: usize = 43;
const CUT: usize = 41;

pub const CUT_END: &str = "the end of the last file cut off";
pub const GONE: &str = "the last file gone";

/// A logbook and copies of its files, to be spoilt and made whole again.
pub struct Spoilt {
    _dir: tempfile::TempDir,
    pub root: PathBuf,
    pub files: Vec<(PathBuf, Vec<u8>)>,
    /// The file that was written last, which nothing later had read.
    pub last: PathBuf,
    pub intact: Answer,
    pub name: &'static str,
}

impl Spoilt {
    pub fn new(scene: &Scene) -> Spoilt {
        let dir = tempfile::tempdir().expect("a folder");
        let root = dir.path().join("logbook");
        let mut aboard: Aboard = (scene.play)(&root);
        aboard.book.finish();
        let read = |path: PathBuf| {
            let bytes = std::fs::read(root.join(&path)).expect("read");
            (path, bytes)
        };
        let files: Vec<_> = files(&root).into_iter().map(read).collect();
        let intact = ask(&root, time(NOW), Asked::default());
        assert_eq!(intact.told, Vec::<String>::new(), "{}", scene.name);
        let mut spoilt = Spoilt {
            _dir: dir,
            root,
            files,
            last: PathBuf::new(),
            intact,
            name: scene.name,
        };
        spoilt.last = spoilt.newest().expect("a file");
        spoilt
    }

    /// The file written last.
    pub fn newest(&self) -> Option<PathBuf> {
        let newest = self.files.iter().max_by_key(|(_, bytes)| mark(bytes));
        newest.map(|(file, _)| file.clone())
    }

    /// The answer with these bytes in the place of a file; none for a file that is gone.
    pub fn with(&self, file: &Path, bytes: Option<&[u8]>) -> Answer {
        let path = self.root.join(file);
        match bytes {
            Some(bytes) => std::fs::write(&path, bytes).expect("written"),
            None => std::fs::remove_file(&path).expect("removed"),
        }
        let answer = ask(&self.root, time(NOW), Asked::default());
        let (_, whole) = self
            .files
            .iter()
            .find(|(own, _)| own == file)
            .expect("known");
        std::fs::write(&path, whole).expect("made whole");
        answer
    }
}

/// The newest mark of a file, by its last line.
fn mark(bytes: &[u8]) -> u64 {
    let text = std::str::from_utf8(bytes).expect("UTF-8");
    let last = text.lines().last().expect("a line");
    let after = last.split("\"t\":[").nth(1).expect("a mark");
    let digits = after.split(',').next().expect("milliseconds");
    digits.parse().expect("a number")
}

/// The lines of a file, each with its end.
pub fn lines(bytes: &[u8]) -> Vec<&[u8]> {
    bytes.split_inclusive(|b| *b == b'\n').collect()
}

/// Bits flipped in every second file of every scene, so that two tests share the machine.
fn bits(name: &'static str, first: usize) {
    let mut count = Count::new(name);
    for scene in &SCENES {
        let spoilt = Spoilt::new(scene);
        let step = if scene.short { BIT } else { BIT * 8 };
        for (file, bytes) in spoilt.files.iter().skip(first).step_by(2) {
            let mut bytes = bytes.clone();
            for bit in (0..bytes.len() * 8).step_by(step) {
                bytes[bit / 8] ^= 1 << (bit % 8);
                let answer = spoilt.with(file, Some(&bytes));
                count.law(&answer, &spoilt.intact, None, || {
                    format!(
                        "{}, {}: bit {} of byte {}",
                        spoilt.name,
                        file.display(),
                        bit % 8,
                        bit / 8
                    )
                });
                bytes[bit / 8] ^= 1 << (bit % 8);
            }
        }
    }
    count.tell(4_000);
}

#[test]
fn flipped_bits_make_nothing_better_in_silence() {
    bits("bits flipped", 0);
}

#[test]
fn flipped_bits_of_the_other_files_make_nothing_better_in_silence() {
    bits("bits flipped, the other files", 1);
}

#[test]
fn lost_lines_make_nothing_better_in_silence() {
    let mut count = Count::new("lines deleted, blanked, doubled, swapped");
    for scene in &SCENES {
        let spoilt = Spoilt::new(scene);
        for (file, bytes) in &spoilt.files {
            let whole = lines(bytes);
            for at in 0..whole.len() {
                let what = |how: &str| {
                    format!("{}, {} line {}: {how}", spoilt.name, file.display(), at + 1)
                };
                let mut fewer = whole.clone();
                fewer.remove(at);
                let answer = spoilt.with(file, Some(&fewer.concat()));
                let cut = at + 1 == whole.len() && *file == spoilt.last;
                count.law(&answer, &spoilt.intact, cut.then_some(CUT_END), || {
                    what("deleted")
                });
                let zeros = vec![0; whole[at].len() - 1];
                for blank in [&[&zeros[..], b"\n"].concat()[..], b"\n"] {
                    let mut blanked = whole.clone();
                    blanked[at] = blank;
                    let answer = spoilt.with(file, Some(&blanked.concat()));
                    let cut = cut && blank == b"\n";
                    count.law(&answer, &spoilt.intact, cut.then_some(CUT_END), || {
                        what("blanked")
                    });
                }
                let mut more = whole.clone();
                more.insert(at, whole[at]);
                let mut swapped = whole.clone();
                swapped.swap(at, (at + 1) % whole.len());
                for same in [more, swapped] {
                    let answer = spoilt.with(file, Some(&same.concat()));
                    count.equal(&answer, &spoilt.intact, || what("doubled or swapped"));
                }
            }
        }
    }
    count.tell(2_000);
}

#[test]
fn cut_files_make_nothing_better_in_silence() {
    let mut count = Count::new("files cut and gone");
    for scene in &SCENES {
        let spoilt = Spoilt::new(scene);
        let step = if scene.short { CUT } else { CUT * 8 };
        for (file, bytes) in &spoilt.files {
            let what = |how: &str| format!("{}, {}: {how}", spoilt.name, file.display());
            let untold = (*file == spoilt.last).then_some(CUT_END);
            for length in (0..bytes.len()).step_by(step) {
                let answer = spoilt.with(file, Some(&bytes[..length]));
                count.law(&answer, &spoilt.intact, untold, || {
                    what(&format!("cut at {length}"))
                });
            }
            let answer = spoilt.with(file, None);
            let untold = (*file == spoilt.last).then_some(GONE);
            count.law(&answer, &spoilt.intact, untold, || what("gone"));
        }
    }
    assert!(
        count
            .undetectable
            .keys()
            .all(|kind| [CUT_END, GONE].contains(kind))
    );
    count.tell(1_000);
}

/// Every field of a record that an answer rests on, changed by hand, its checksum left.
#[test]
fn edits_by_hand_make_nothing_better_in_silence() {
    const GRADES: [&str; 5] = ["sound", "early", "worn", "failing", "failed"];
    const OTHERS: [(&str, &str); 20] = [
        ("\"ev\":\"look\"", "\"ev\":\"end\""),
        ("\"ev\":\"undo\"", "\"ev\":\"session\""),
        ("\"ev\":\"retired\"", "\"ev\":\"note\""),
        ("\"ev\":\"walk\"", "\"ev\":\"walk-noted\""),
        ("\"machine\":\"main\"", "\"machine\":\"port\""),
        ("\"machine\":\"port\"", "\"machine\":\"main\""),
        ("\"machine\":\"main\"", "\"machine\":\"mizzen\""),
        ("\"done\":\"a new one\"", "\"done\":\"an old one\""),
        ("\"until\":\"2046-05-05\"", "\"until\":\"2047-05-05\""),
        ("\"item\":\"drive-belt\"", "\"item\":\"coolant-level\""),
        ("\"item\":\"coolant-level\"", "\"item\":\"drive-belt\""),
        ("\"item\":\"engine-seacock\"", "\"item\":\"no-such-thing\""),
        ("\"checklist\":\"short\"", "\"checklist\":\"survey\""),
        ("\"at\":\"2046-05-0", "\"at\":\"2047-05-0"),
        ("\"ev\":\"look\"", "\"ev\":\"lock\""),
        ("\"ev\":\"look\"", "\"ev\":\"walk-finished\""),
        ("\"ev\":\"walk\"", "\"ev\":\"draft\""),
        ("\"ev\":\"undo\"", "\"ev\":\"draft\""),
        ("\"ev\":\"own-items\"", "\"ev\":\"draft\""),
        ("\"ev\":\"boat\"", "\"ev\":\"draft\""),
    ];
    let mut count = Count::new("edits by hand");
    for scene in &SCENES {
        let spoilt = Spoilt::new(scene);
        for (file, bytes) in &spoilt.files {
            let text = std::str::from_utf8(bytes).expect("UTF-8");
            for (n, line) in text.lines().enumerate() {
                let graded = |grade: &&&str| line.contains(&format!("\"grade\":\"{grade}\""));
                let mut changed: Vec<String> = Vec::new();
                if let Some(own) = GRADES.iter().find(graded) {
                    let others = GRADES.iter().filter(|other| *other != own);
                    let every = if scene.short { 1 } else { 4 };
                    changed.extend(
                        others
                            .skip(n % every)
                            .step_by(every)
                            .map(|other| line.replace(*own, other)),
                    );
                }
                let edits = OTHERS.iter().filter(|(from, _)| line.contains(from));
                let edits = edits.filter(|_| scene.short || n % 8 == 0);
                changed.extend(edits.map(|(from, to)| line.replace(*from, to)));
                for edit in changed {
                    let answer = spoilt.with(file, Some(text.replace(line, &edit).as_bytes()));
                    count.law(&answer, &spoilt.intact, None, || {
                        format!("{}, {} line {}: {edit}", spoilt.name, file.display(), n + 1)
                    });
                }
            }
        }
    }
    count.tell(1_000);
}

#[test]
fn texts_and_profile_spoilt_make_nothing_better_in_silence() {
    let mut count = Count::new("texts and profile gone and spoilt");
    for scene in &SCENES {
        let spoilt = Spoilt::new(scene);
        let mut beside: Vec<PathBuf> = std::fs::read_dir(spoilt.root.join("texts"))
            .expect("texts")
            .map(|text| text.expect("a text").path())
            .collect();
        beside.push(spoilt.root.join("boat.json"));
        for path in &beside {
            let whole = std::fs::read(path).expect("read");
            let half = whole[..whole.len() / 2].to_vec();
            let mut flipped = whole.clone();
            flipped[whole.len() / 2] ^= 4;
            let milder = String::from_utf8(whole.clone()).expect("UTF-8");
            let milder = milder.replace("\"failing\"", "\"failed\"").into_bytes();
            for bytes in [
                None,
                Some(half),
                Some(flipped),
                Some(milder),
                Some(Vec::new()),
            ] {
                match &bytes {
                    None => std::fs::remove_file(path).expect("removed"),
                    Some(bytes) => std::fs::write(path, bytes).expect("written"),
                }
                let answer = ask(&spoilt.root, time(NOW), Asked::default());
                std::fs::write(path, &whole).expect("made whole");
                let how = bytes.map_or("gone".to_owned(), |b| format!("{} bytes", b.len()));
                count.law(&answer, &spoilt.intact, None, || {
                    format!("{}, {}: {how}", spoilt.name, path.display())
                });
            }
        }
        let folder = spoilt.root.join("texts");
        let aside = spoilt.root.join("texts-aside");
        std::fs::rename(&folder, &aside).expect("moved");
        let answer = ask(&spoilt.root, time(NOW), Asked::default());
        count.law(&answer, &spoilt.intact, None, || {
            format!("{}: no texts", spoilt.name)
        });
        std::fs::write(&folder, "no folder").expect("written");
        let answer = ask(&spoilt.root, time(NOW), Asked::default());
        count.law(&answer, &spoilt.intact, None, || {
            format!("{}: a file for texts", spoilt.name)
        });
    }
    count.tell(100);
}

/// A few of all this, asked of the real program.
#[test]
fn the_program_itself_keeps_the_law_of_damaged_logbooks() {
    let mut count = Count::new("damaged, asked of the program");
    let dir = tempfile::tempdir().expect("a folder");
    for scene in &SCENES {
        let spoilt = Spoilt::new(scene);
        let machines: Vec<&str> = spoilt.intact.now.keys().map(String::as_str).collect();
        let intact = super::program::asked_of(&spoilt.root, NOW, &machines);
        for (n, (file, bytes)) in spoilt.files.iter().enumerate() {
            let whole = lines(bytes);
            let at = (n * 3 + 2).min(whole.len() - 2);
            let mut blanked = whole.clone();
            blanked[at] = b"?\n";
            let root = dir
                .path()
                .join(format!("{}-{n}", spoilt.name))
                .join("logbook");
            copy(&spoilt.root, &root);
            std::fs::write(root.join(file), blanked.concat()).expect("written");
            let answer = super::program::asked_of(&root, NOW, &machines);
            count.law(&answer, &intact, None, || {
                format!("{}, {} line {}", spoilt.name, file.display(), at + 1)
            });
        }
    }
    count.tell(SCENES.len());
}
