//! Logs that no hour at the keyboard leaves and that the reader of session files takes all the same: they
//! are read by everything that reads a log, nothing falls over, and what must add up adds up.
#![cfg(test)]

#[path = "odd_logs/found.rs"]
mod found;
#[path = "odd_logs/readers.rs"]
mod readers;
#[path = "common/sat.rs"]
mod sat;
#[path = "odd_logs/sound.rs"]
mod sound;
#[path = "odd_logs/strange.rs"]
mod strange;
#[path = "common/written.rs"]
mod written;

use proptest::prelude::*;

use strange::{Odd, odd};

/// Everything that must hold for a log.
fn holds(odd: &Odd) {
    odd.is_taken_by_the_reader();
    let studied = odd.studied();
    sound::times(odd, &studied.analysis);
    sound::marks(odd, &studied);
    readers::all(odd, &studied);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]
    #[test]
    fn every_reader_takes_an_odd_log_and_its_times_and_marks_add_up(odd in odd()) {
        holds(&odd);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(20_000))]
    #[test]
    #[ignore = "a campaign of some minutes"]
    fn thousands_of_odd_logs(odd in odd()) {
        holds(&odd);
    }
}
