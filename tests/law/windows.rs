//! An open window beside another: what it answers after a look again has every record of both.

use super::aboard::{Aboard, BELT, files, time};
use super::count::Count;
use super::oracle::{Asked, answer, ask};
use super::scenes::{NOW, SCENES};

#[test]
fn an_open_window_answers_as_one_opened_anew() {
    let mut count = Count::new("windows side by side");
    for scene in &SCENES {
        let dir = tempfile::tempdir().expect("a folder");
        let root = dir.path().join("logbook");
        let mut aboard = (scene.play)(&root);
        aboard.session("2046-05-08T08:00:00+02:00");
        let mut other = Aboard::on(&root, time("2046-05-08T08:01:00+02:00"), 77);
        for (n, grade) in ["failing", "sound", "failed"].into_iter().enumerate() {
            let (writes, reads) = match n % 2 {
                0 => (&mut other, &mut aboard),
                _ => (&mut aboard, &mut other),
            };
            writes.after(60);
            writes.walk("main", &[(BELT, grade)]);
            reads.book.refresh().expect("read again");
            reads.clock.set(time(NOW));
            let there = ask(&root, time(NOW), Asked::default());
            count.equal(&answer(&reads.book, false), &there, || {
                format!("{}, {grade}", scene.name)
            });
            reads
                .clock
                .set(time("2046-05-08T08:10:00+02:00") + chrono::Duration::minutes(n as i64));
        }
        assert!(files(&root).len() > 2);
    }
    count.tell(3 * SCENES.len());
}
