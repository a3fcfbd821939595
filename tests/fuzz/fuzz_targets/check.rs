//! See [`casewright_fuzz::check`].

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| casewright_fuzz::check(text));
