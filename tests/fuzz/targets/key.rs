#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| pacebell_fuzz::readers::key(bytes));
