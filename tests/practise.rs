//! Missed questions tried again: which, when, in which order, how a try goes on, and what is kept.

#![cfg(test)]

#[path = "practise/command.rs"]
mod command;
#[path = "practise/days.rs"]
mod days;
#[path = "common/drawn.rs"]
mod drawn;
#[path = "common/keyboard.rs"]
mod keyboard;
#[path = "practise/pages.rs"]
mod pages;
#[path = "common/papers.rs"]
mod papers;
#[path = "practise/round.rs"]
mod round;
#[path = "common/sat.rs"]
mod sat;
#[path = "practise/season.rs"]
mod season;
#[path = "practise/simulated.rs"]
mod simulated;
#[cfg(target_os = "linux")]
#[path = "practise/through.rs"]
mod through;
#[path = "common/tree.rs"]
mod tree;
#[path = "common/typed.rs"]
mod typed;
#[path = "common/user.rs"]
mod user;
#[path = "common/written.rs"]
mod written;
