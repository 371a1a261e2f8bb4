//! A sitting as steps: what may be said, what comes of it, and the same sitting behind both faces.

#![cfg(test)]

#[path = "plain_lines/desk.rs"]
#[expect(dead_code, reason = "the tests of the lines use all of it")]
mod desk;
#[path = "dialogue/faces.rs"]
mod faces;
#[path = "common/papers.rs"]
mod papers;
#[path = "common/sat.rs"]
mod sat;
#[path = "dialogue/steps.rs"]
mod steps;
#[path = "dialogue/time_up.rs"]
mod time_up;
