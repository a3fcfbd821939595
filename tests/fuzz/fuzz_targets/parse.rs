//! See [`casewright_fuzz::parse`].

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| casewright_fuzz::parse(text));
