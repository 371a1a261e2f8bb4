//! How long a key takes to be answered, and what waiting costs: the built program in a pseudo-terminal.
//!
//! `cargo bench --bench key_latency`. Prints figures with the bound each should keep; the machine
//! decides whether it does, so nothing ends in an error. Linux only.
#![cfg(test)]

#[cfg(target_os = "linux")]
#[path = "../common/mod.rs"]
#[expect(dead_code, reason = "the tests use all of it")]
mod common;
#[cfg(target_os = "linux")]
#[path = "key_latency/measures.rs"]
mod measures;

fn main() {
    #[cfg(target_os = "linux")]
    measures::all();
}
