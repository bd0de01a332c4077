//! Text as long as a record may hold, made ready to be shown. `cargo bench --bench text`.
#![allow(missing_docs)]

use divan::{Bencher, black_box};
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
