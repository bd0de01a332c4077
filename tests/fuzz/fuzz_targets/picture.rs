#![no_main]

#[allow(dead_code, reason = "each target checks one of them")]
#[path = "../laws.rs"]
mod laws;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| laws::picture(bytes));
