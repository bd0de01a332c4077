//! Text as long as a record or a file may hold, made ready to be shown, and checked. `cargo bench --bench text`.
#![allow(missing_docs)]

use divan::{Bencher, black_box};
use handlamp::checklist::{Catalogue, check_file};
use handlamp::text::{safe_text, wrap};

fn main() {
    divan::main();
}

#[divan::bench]
fn one_word_of_40_000_letters_wrapped_at_3_columns(bencher: Bencher<'_, '_>) {
    let word = "é漢".repeat(20_000);
    bencher.bench(|| wrap(black_box(&word), 3));
}

#[divan::bench]
fn thirty_thousand_tabs_expanded(bencher: Bencher<'_, '_>) {
    let tabs = "\ta".repeat(30_000);
    bencher.bench(|| safe_text(black_box(&tabs)).into_owned());
}

#[divan::bench]
fn a_checklist_file_of_1_mebibyte_with_every_row_wrong(bencher: Bencher<'_, '_>) {
    let row = "{\"grade\":\"early\"},".repeat((1 << 20) / 18);
    let text =
        format!("{{\"type\":\"catalogue\",\"items\":[{{\"reading\":{{\"bands\":[{row}{{}}]}}}}]}}");
    bencher.bench(|| check_file("own.json", black_box(&text), Catalogue::built_in()).is_err());
}
