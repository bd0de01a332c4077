//! The computer that recorded keeps a mark outside the folder: then even what nothing on the disk
//! tells is told.

use super::aboard::{files, time};
use super::count::Count;
use super::damage::{CUT_END, Spoilt, lines};
use super::oracle::{Asked, ask};
use super::scenes::{NOW, SCENES};

/// The last file is cut at one byte in so many.
const CUT: usize = 173;

#[test]
fn a_mark_kept_outside_tells_what_the_disk_cannot() {
    let mut count = Count::new("the last file cut and gone, with a mark kept outside");
    for scene in &SCENES {
        let dir = tempfile::tempdir().expect("a folder");
        let (root, marks) = (dir.path().join("logbook"), dir.path().join("marks"));
        let mut aboard = (scene.play)(&root);
        aboard.minds(&marks);
        let before = files(&root);
        aboard.session("2046-05-08T08:00:00+02:00");
        aboard.walk(
            "main",
            &[("drive-belt", "failed"), ("bilge-water", "failing")],
        );
        aboard.book.finish();
        let asked = Asked {
            marks: Some(&marks),
            ..Asked::default()
        };
        let intact = ask(&root, time(NOW), asked);
        assert_eq!(intact.told, Vec::<String>::new(), "{}", scene.name);
        let last = files(&root).into_iter().find(|file| !before.contains(file));
        let last = root.join(last.expect("a new file"));
        let whole = std::fs::read(&last).expect("read");
        for length in (0..whole.len()).step_by(CUT) {
            std::fs::write(&last, &whole[..length]).expect("written");
            let answer = ask(&root, time(NOW), asked);
            count.law(&answer, &intact, None, || {
                format!("{}: cut at {length}", scene.name)
            });
            let blind = ask(&root, time(NOW), Asked::default());
            count.law(&blind, &intact, Some(CUT_END), || scene.name.to_owned());
        }
        std::fs::remove_file(&last).expect("removed");
        let answer = ask(&root, time(NOW), asked);
        count.law(&answer, &intact, None, || format!("{}: gone", scene.name));
        count.holds(answer.says_so(), || {
            format!("{}: gone and not told", scene.name)
        });
    }
    assert!(
        count.undetectable.values().sum::<usize>() > 0,
        "without a mark nothing tells"
    );
    count.tell(150);
}

/// One lost look in the middle of each logbook: the quickest proof that losses are counted.
#[test]
fn a_lost_stop_is_said() {
    let mut count = Count::new("a line lost in the middle");
    for scene in SCENES.iter().filter(|scene| scene.short) {
        let spoilt = Spoilt::new(scene);
        for (file, bytes) in &spoilt.files {
            let lines = lines(bytes);
            let is_stop = |line: &&[u8]| {
                let text = std::str::from_utf8(line).expect("UTF-8");
                text.contains("\"ev\":\"look\"") && text.contains("\"fail")
            };
            for stop in lines.iter().filter(|line| is_stop(line)) {
                let left: Vec<&[u8]> = lines.iter().copied().filter(|line| line != stop).collect();
                let answer = spoilt.with(file, Some(&left.concat()));
                count.law(&answer, &spoilt.intact, None, || {
                    format!("{}, {}", scene.name, file.display())
                });
                count.holds(answer.says_so(), || format!("{}: not said", scene.name));
            }
        }
    }
    count.tell(10);
}
