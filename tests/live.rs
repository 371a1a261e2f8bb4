//! The running program in a pseudo-terminal, held to its promises.
#![cfg(test)]
#![cfg(target_os = "linux")]

#[path = "live/away.rs"]
mod away;
mod common;
#[path = "live/faults.rs"]
mod faults;
#[path = "live/kills.rs"]
mod kills;
#[path = "live/marks_kept_back.rs"]
mod marks_kept_back;
#[path = "live/memory.rs"]
mod memory;
#[path = "live/queued.rs"]
mod queued;
#[path = "live/samples.rs"]
mod samples;
#[path = "live/sheet.rs"]
mod sheet;
#[path = "live/sitting.rs"]
mod sitting;
#[path = "live/staying_alive.rs"]
mod staying_alive;
#[path = "live/steps.rs"]
mod steps;
#[path = "live/touching.rs"]
mod touching;
#[path = "common/tree.rs"]
mod tree;
#[path = "live/tutor.rs"]
mod tutor;
#[path = "common/typed.rs"]
mod typed;
