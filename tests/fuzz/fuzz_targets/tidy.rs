//! See [`casewright_fuzz::tidy`].

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| casewright_fuzz::tidy(text));
