//! The seeds of the fuzz targets, through the same laws.

use std::path::Path;

use super::laws;

#[test]
fn every_seed_keeps_the_laws() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz-seeds");
    for (target, law) in [
        ("record-line", laws::record_line as fn(&[u8])),
        ("whole-file", laws::whole_file),
        ("checklist", laws::checklist),
        ("walk-sheet", laws::walk_sheet),
        ("text", laws::text),
    ] {
        let mut seeds = 0;
        for seed in std::fs::read_dir(root.join(target)).expect("seeds") {
            let path = seed.expect("a seed").path();
            println!("{}", path.display());
            law(&std::fs::read(&path).expect("read"));
            seeds += 1;
        }
        assert!(seeds >= 5, "{target}: {seeds}");
    }
}

#[test]
fn every_seed_cut_short_or_joined_to_another_keeps_them_too() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz-seeds");
    let all = |target: &str| -> Vec<Vec<u8>> {
        let listed = std::fs::read_dir(root.join(target)).expect("seeds");
        listed
            .map(|seed| std::fs::read(seed.expect("a seed").path()).expect("read"))
            .collect()
    };
    for (target, law) in [
        ("record-line", laws::record_line as fn(&[u8])),
        ("whole-file", laws::whole_file),
        ("text", laws::text),
    ] {
        let seeds = all(target);
        for (n, seed) in seeds.iter().enumerate() {
            for cut in 0..seed.len().min(400) {
                law(&seed[..cut]);
            }
            law(&[seed.as_slice(), &seeds[(n + 1) % seeds.len()]].concat());
        }
    }
}
