use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::PathBuf;

use super::*;
use crate::logbook::RealDisk;
use crate::logbook::faulty::{FaultyDisk, Op};

/// A picture of eight pixels square.
fn jpeg() -> Vec<u8> {
    let mut out = Vec::new();
    let mut encoder = image::codecs::jpeg::JpegEncoder::new(&mut out);
    let picture = image::RgbImage::from_pixel(8, 8, image::Rgb([90, 120, 60]));
    encoder.encode_image(&picture).expect("encoded");
    out
}

struct Place(tempfile::TempDir);

impl Place {
    fn new() -> Place {
        Place(tempfile::tempdir().expect("a folder"))
    }

    fn book(&self) -> Folder {
        Folder::new(self.0.path().join("book"))
    }

    fn file(&self, name: &str, bytes: &[u8]) -> PathBuf {
        let path = self.0.path().join(name);
        fs::write(&path, bytes).expect("written");
        path
    }
}

fn rng() -> fastrand::Rng {
    fastrand::Rng::with_seed(1)
}

#[test]
fn a_picture_is_kept_once_private_and_checked_when_read() {
    let place = Place::new();
    let picture = read_picture(&place.file("a.jpg", &jpeg())).expect("a picture");
    let folder = place.book();
    let name = keep_photo(&RealDisk, &folder, &picture, &mut rng()).expect("kept");
    assert_eq!(
        keep_photo(&RealDisk, &folder, &picture, &mut rng()).expect("kept"),
        name
    );
    let path = folder.photos().join(&name);
    let mode = fs::metadata(&path).expect("there").permissions().mode();
    assert_eq!(mode & 0o777, 0o600);
    assert_eq!(
        kept_photo(&RealDisk, &folder, &name).expect("read"),
        picture.bytes
    );
    assert_eq!(photo_problems(&RealDisk, &folder, [name.as_str()]), []);
    fs::write(&path, b"changed").expect("changed");
    assert!(matches!(
        kept_photo(&RealDisk, &folder, &name),
        Err(LogbookError::PhotoChanged { .. })
    ));
    let told = photo_problems(&RealDisk, &folder, [name.as_str(), "0000"]);
    let kinds: Vec<_> = told.iter().map(|p| p.kind).collect();
    assert_eq!(
        kinds,
        [ProblemKind::NotUnderstood, ProblemKind::ChangedOutside]
    );
    fs::remove_file(&path).expect("removed");
    let told = photo_problems(&RealDisk, &folder, [name.as_str()]);
    assert_eq!(told[0].kind, ProblemKind::PhotoMissing);
    let drawing = format!("{}.svg", "0".repeat(64));
    for name in ["../../etc/passwd", "a.jpg", &drawing] {
        assert!(kept_photo(&RealDisk, &folder, name).is_err(), "{name}");
    }
}

#[test]
fn a_failure_at_any_step_leaves_the_picture_whole_or_not_there() {
    let place = Place::new();
    let picture = read_picture(&place.file("a.jpg", &jpeg())).expect("a picture");
    for op in [Op::Create, Op::Write, Op::SyncAll, Op::Rename, Op::SyncDir] {
        let home = Place::new();
        let folder = home.book();
        let disk = FaultyDisk::failing(op, 0..1);
        let refused = keep_photo(&disk, &folder, &picture, &mut rng());
        assert!(refused.is_err(), "{op:?}");
        assert_eq!(photo_problems(&RealDisk, &folder, []), [], "{op:?}");
        let name = keep_photo(&disk, &folder, &picture, &mut rng()).expect("kept");
        assert!(kept_photo(&RealDisk, &folder, &name).is_ok());
    }
}

#[test]
fn what_cannot_be_taken_is_told_in_one_sentence_and_nothing_waits() {
    let place = Place::new();
    let whole = place.file("a.jpg", &jpeg());
    let link = place.0.path().join("link.jpg");
    symlink(&whole, &link).expect("linked");
    let pipe = place.0.path().join("pipe.jpg");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status();
    assert!(made.expect("it runs").success());
    let huge = place.file("huge.jpg", b"\xFF\xD8\xFF");
    let file = fs::OpenOptions::new().write(true).open(&huge);
    file.and_then(|f| f.set_len(MAX_BYTES + 1)).expect("grown");
    let half = jpeg();
    let half = place.file("half\u{202e}gpj.jpg", &half[..half.len() / 2]);
    let folder = place.0.path().to_owned();
    let cases = [
        (folder.join("none.jpg"), "is not there; check the path"),
        (folder, "is a folder; name a picture in it"),
        (link, "is a link; name the picture itself"),
        (pipe, "is no regular file and was not opened"),
        ("/dev/zero".into(), "is no regular file and was not opened"),
        (huge, "is larger than 64 MiB; save it smaller"),
        (
            place.file("a.txt", b"words"),
            "is no picture in a form that is read here: JPEG, PNG, HEIC or WebP",
        ),
        (
            place.file("empty.png", b""),
            "is no picture in a form that is read here: JPEG, PNG, HEIC or WebP",
        ),
        (half, "is damaged: it breaks off before its end"),
    ];
    for (path, why) in cases {
        let told = read_picture(&path).expect_err("refused");
        assert!(told.ends_with(why), "{told}");
        assert!(!told.contains('\u{202e}'), "{told}");
    }
}

#[test]
fn two_copies_end_with_the_pictures_of_both() {
    let place = Place::new();
    let (one, other) = (place.book(), Folder::new(place.0.path().join("other")));
    let mut names = Vec::new();
    for (folder, shade) in [(&one, 1), (&other, 2), (&other, 3)] {
        let picture = image::RgbImage::from_pixel(8, 8, image::Rgb([shade; 3]));
        let path = place.0.path().join("p.png");
        picture.save(&path).expect("written");
        let picture = read_picture(&path).expect("a picture");
        names.push(keep_photo(&RealDisk, folder, &picture, &mut rng()).expect("kept"));
    }
    fs::write(other.photos().join(&names[2]), b"spoilt").expect("spoilt");
    let mut problems = Vec::new();
    let merged = |problems: &mut Vec<Problem>| {
        copy_photos(&RealDisk, &one, &other, &mut rng(), problems).expect("merged")
    };
    assert_eq!(merged(&mut problems), 1);
    assert_eq!(problems[0].kind, ProblemKind::ChangedOutside);
    assert_eq!(merged(&mut problems), 0);
    for name in &names[..2] {
        assert!(kept_photo(&RealDisk, &one, name).is_ok());
    }
    assert!(kept_photo(&RealDisk, &one, &names[2]).is_err());
}
