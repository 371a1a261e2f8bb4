//! How long a key takes to be answered, what waiting costs and what an hour's keys leave in memory: the built
//! program in a pseudo-terminal, beside a bare application of the same toolkit.
//!
//! `cargo bench --bench key_latency`. With `PACEBELL_BEFORE=PROGRAM,PROGRAM` other builds are measured beside this one:
//! keys in turn, in another order each round, waiting in the same minute. Prints figures with the bound each should
//! keep; the machine decides whether it does, so nothing ends in an error. Linux only.
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
