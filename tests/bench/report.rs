//! What the report of a survey takes by the real binary: time, memory, size. A survey of 120 looks
//! is recorded with 60 photographs of 12 megapixels, and without. `cargo bench --bench report`
//! prints the figures kept in README.md beside this; making the photographs takes most of its time.

#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, missing_docs)]

use std::path::Path;
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use handlamp::checklist::Library;
use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder};
use serde_json::{Value, json};

const LOOKS: usize = 120;
const PHOTOGRAPHS: usize = 60;
const SIZE: (u32, u32) = (4000, 3000);
const BOAT: &str = r#"{"type":"boat","name":"Grey Plover","waters":"inshore","units":"metric",
    "usual_hours_per_month":15,"day_ahead":{"hours":10,"days":2},
    "machines":[{"id":"main","name":"Main engine"}]}"#;

fn main() {
    let dir = tempfile::tempdir().expect("a folder");
    let at = |name: &str| dir.path().join(name);
    std::fs::write(at("boat.json"), BOAT).expect("written");
    let mut bytes = 0;
    for n in 0..PHOTOGRAPHS {
        let jpeg = photograph(n as u64);
        bytes += jpeg.len();
        std::fs::write(at(&format!("{n}.jpg")), jpeg).expect("written");
    }
    println!(
        "{PHOTOGRAPHS} photographs of {:.1} MB each",
        bytes as f64 / PHOTOGRAPHS as f64 / 1e6
    );
    for (name, photographs, times) in [("with", PHOTOGRAPHS, 5), ("without", 0, 20)] {
        let book = at(name);
        std::fs::write(at("survey.json"), survey(photographs).to_string()).expect("written");
        run(&book, &["boat", "new"], &at("boat.json"));
        run(&book, &["record"], &at("survey.json"));
        report(&book, name, &at("report.html"), times);
    }
}

/// Every item of the built-in survey once, and one of them at many engine speeds; a photograph with
/// each of the first looks.
fn survey(photographs: usize) -> Value {
    let library = Library::built_in();
    let checklist = library.checklist("survey").expect("built in");
    let mut looks: Vec<Value> = Vec::new();
    let grades = ["sound", "early", "worn", "failing"];
    for phase in &checklist.phases {
        for item in phase.rows.iter().flat_map(|row| &row.items) {
            if looks.len() < LOOKS && !looks.iter().any(|l| l["item"] == item.as_str()) {
                looks.push(json!({"item":item,"phase":phase.id,"grade":grades[looks.len() % 4]}));
            }
        }
    }
    for speed in 0..LOOKS - looks.len() {
        looks.push(
            json!({"item":"oil-pressure","phase":"under-way","grade":"sound",
            "at_rpm":800 + 100 * speed,"reading":{"value":2.5,"unit":"bar"}}),
        );
    }
    for (n, look) in looks.iter_mut().take(photographs).enumerate() {
        look["photos"] = json!([{"path":format!("{n}.jpg"),"caption":"as found"}]);
    }
    json!({"type":"walk","id":"s1","checklist":"survey","at":"2026-05-03T08:00:00+02:00",
        "by":"R. Quay","hours":1203.6,"looks":looks})
}

/// Broad shapes, finer ones and the grain of a sensor, with a position in its metadata.
fn photograph(seed: u64) -> Vec<u8> {
    let mut rng = fastrand::Rng::with_seed(seed);
    let layers: Vec<(usize, Vec<[f32; 3]>)> = [(900, 60.0), (120, 35.0), (14, 22.0), (4, 8.0)]
        .into_iter()
        .map(|(cell, strength)| {
            let across = SIZE.0 as usize / cell + 2;
            let down = SIZE.1 as usize / cell + 2;
            let mut point = || [(); 3].map(|()| (rng.f32() - 0.5) * 2.0 * strength);
            (cell, (0..across * down).map(|_| point()).collect())
        })
        .collect();
    let mut pixels = Vec::with_capacity(SIZE.0 as usize * SIZE.1 as usize * 3);
    for y in 0..SIZE.1 as usize {
        for x in 0..SIZE.0 as usize {
            let mut colour = [118.0_f32 + (rng.f32() - 0.5) * 10.0; 3];
            for (cell, points) in &layers {
                let across = SIZE.0 as usize / cell + 2;
                let (left, top) = (x / cell, y / cell);
                let (right, low) = (
                    (x % cell) as f32 / *cell as f32,
                    (y % cell) as f32 / *cell as f32,
                );
                for (corner, share) in [
                    (top * across + left, (1.0 - right) * (1.0 - low)),
                    (top * across + left + 1, right * (1.0 - low)),
                    ((top + 1) * across + left, (1.0 - right) * low),
                    ((top + 1) * across + left + 1, right * low),
                ] {
                    for (sum, part) in colour.iter_mut().zip(points[corner]) {
                        *sum += part * share;
                    }
                }
            }
            pixels.extend(colour.map(|value| value.clamp(0.0, 255.0) as u8));
        }
    }
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, 90)
        .write_image(&pixels, SIZE.0, SIZE.1, ExtendedColorType::Rgb8)
        .expect("encoded");
    let told = b"\xFF\xE1\x00\x1DExif\0\0N 54 19.3 E 10 08.4\0\0";
    [&jpeg[..2], told, &jpeg[2..]].concat()
}

fn handlamp(book: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_handlamp"));
    command.arg("--logbook").arg(book).stdout(Stdio::null());
    command
}

fn run(book: &Path, words: &[&str], file: &Path) {
    let done = handlamp(book).args(words).arg(file).status();
    assert!(done.expect("it runs").success(), "{words:?}");
}

fn report(book: &Path, name: &str, to: &Path, times: usize) {
    let (mut taken, mut memory) = (Vec::new(), 0);
    for _ in 0..times {
        let began = Instant::now();
        let mut child = handlamp(book)
            .args(["report", "s1", "--to"])
            .arg(to)
            .spawn()
            .expect("it runs");
        // The peak as far as the system told it before the end.
        while child.try_wait().expect("a child").is_none() {
            memory = memory.max(resident(child.id()));
            thread::sleep(Duration::from_millis(1));
        }
        taken.push(began.elapsed());
        assert!(child.wait().expect("a child").success());
    }
    taken.sort_unstable();
    let length = std::fs::metadata(to).expect("written").len();
    println!(
        "{name} photographs: {:.3} s p50, {:.3} s at most ({times} times), {:.0} MB resident, page of {:.2} MB",
        taken[taken.len() / 2].as_secs_f64(),
        taken[taken.len() - 1].as_secs_f64(),
        memory as f64 / 1024.0,
        length as f64 / 1e6
    );
}

/// Peak resident memory in KiB, as the system tells it.
fn resident(id: u32) -> u64 {
    let status = std::fs::read_to_string(format!("/proc/{id}/status")).unwrap_or_default();
    let line = status.lines().find(|l| l.starts_with("VmHWM"));
    line.and_then(|l| l.split_whitespace().nth(1)?.parse().ok())
        .unwrap_or(0)
}
