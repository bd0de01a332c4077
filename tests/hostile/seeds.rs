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
        ("picture", laws::picture),
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
        ("picture", laws::picture),
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

/// Wide characters, joined emoji, flags, towers of marks, scripts that run from the right or stack:
/// no line is wider than it may be, and nothing is cut within a cluster.
#[test]
fn every_script_stays_in_its_columns_at_every_width() {
    use handlamp::text::{fit, pad, safe_line, width, wrap};
    use unicode_segmentation::UnicodeSegmentation;
    for raw in [
        "\u{6f22}\u{5b57}\u{ff76}\u{ff9e}\u{3000}\u{30dd}\u{30f3}\u{30d7} \u{d55c}\u{ae00}",
        "\u{1f469}\u{1f3fd}\u{200d}\u{1f692}\u{1f468}\u{200d}\u{1f469}\u{200d}\u{1f467} \u{1f1e9}\u{1f1ea}\u{1f1e9} \u{26a0}\u{fe0f}",
        &format!("e{} x", "\u{301}".repeat(50)),
        "\u{645}\u{636}\u{62e}\u{629} \u{627}\u{644}\u{645}\u{627}\u{621} \u{5de}\u{5e9}\u{5d0}\u{5d1}\u{5d4}",
        "\u{e1b}\u{e31}\u{e49}\u{e21}\u{e19}\u{e49}\u{e33} \u{915}\u{94d}\u{937}\u{93f} \u{92a}\u{902}\u{92a}",
        "\u{1112}\u{1161}\u{11ab}\u{600}1 \u{fdfd} \u{1242b}",
    ] {
        let shown = safe_line(raw);
        let whole: Vec<&str> = shown.graphemes(true).collect();
        for columns in 1..=30 {
            assert!(
                width(&fit(&shown, columns)) <= columns,
                "{shown} in {columns}"
            );
            assert_eq!(
                width(&pad(&shown, columns)),
                columns,
                "{shown} in {columns}"
            );
            for line in wrap(&shown, columns) {
                assert!(width(&line) <= columns, "{line} in {columns}");
                for cluster in line.graphemes(true) {
                    assert!(
                        whole.contains(&cluster) || cluster == "\u{2026}",
                        "{cluster:?} was cut out of {shown}"
                    );
                }
            }
        }
    }
}
