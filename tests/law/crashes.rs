//! A program that ends anywhere: what is on the disk then answers as what was acknowledged does, or
//! as the record that was on its way does, and no better.

use super::aboard::time;
use super::count::Count;
use super::damage::{Spoilt, lines};
use super::oracle::{Asked, ask};
use super::scenes::{NOW, SCENES};

/// Of each line these parts are on the disk, in hundredths; the last is all but its newline.
const PARTS: [usize; 5] = [1, 30, 60, 97, 100];

#[test]
fn a_program_that_ends_anywhere_leaves_no_better_answer() {
    let mut count = Count::new("crashes of the last session");
    for scene in &SCENES {
        let mut spoilt = Spoilt::new(scene);
        // Session by session, each the last one in its turn.
        while let Some(at) = spoilt
            .files
            .iter()
            .position(|(file, _)| *file == spoilt.last)
        {
            let (file, bytes) = spoilt.files[at].clone();
            let every = if scene.short { 1 } else { 5 };
            let mut written = 0;
            let mut acknowledged = spoilt.with(&file, Some(&[]));
            for (n, line) in lines(&bytes).iter().enumerate() {
                let whole = written + line.len();
                let attempted = spoilt.with(&file, Some(&bytes[..whole]));
                for part in PARTS.iter().filter(|_| n % every == 0) {
                    let part = ((line.len() - 1) * part).div_ceil(100);
                    let answer = spoilt.with(&file, Some(&bytes[..written + part]));
                    let arrived = answer.breach(&attempted).is_none();
                    let breach = answer.breach(&acknowledged).filter(|_| !arrived);
                    count.holds(breach.is_none(), || {
                        format!(
                            "{}, {} line {} at {part}: {breach:?}",
                            spoilt.name,
                            file.display(),
                            n + 1
                        )
                    });
                }
                written = whole;
                acknowledged = attempted;
            }
            std::fs::remove_file(spoilt.root.join(&file)).expect("removed");
            spoilt.files.remove(at);
            let Some(last) = spoilt.newest() else { break };
            spoilt.last = last;
            spoilt.intact = ask(&spoilt.root, time(NOW), Asked::default());
        }
    }
    count.tell(1_400);
}
