//! Pacebell: sits a pupil at a timed multiple-choice paper, logs everything, marks it.
//!
//! The map, lowest layer first; imports go down only, and `tests/architecture.rs` says so.
//!
//! - [`domain`] papers, keys, marks, the sitting and its marking: pure.
//! - [`stats`] functions over numbers; knows no paper: pure.
//! - [`odds`] a rule's arithmetic: the worth of a guess, luck, what a mark takes: pure.
//! - [`analysis`] one sitting: what its log says, with a key and without: pure.
//! - [`cohort`] a group on a paper: item figures, boundaries, papers on one scale: pure.
//! - [`season`] a pupil's sittings: estimates, forecast, plan, trends: pure.
//! - [`words`] every sentence, list, number and sign that people read: pure.
//! - [`clock`] the only reader of the time.
//! - [`storage`] papers, keys, sittings and folders on the disk, and what can be wrong with them.
//! - [`seat`] a sitting with its clock and its journal: what a pupil sits down to.
//! - [`dialogue`] a sitting as steps: what may be said now, and what comes of it: pure.
//! - [`plain`] the sitting line by line.
//! - [`reports`] marks as text, table, CSV and JSON; feedback as a page.
//! - [`term`] takes the terminal and gives it back; input and signal threads.
//! - [`screens`] the pages on the screen, and their loops.
//! - [`invented`] invented data.
//! - [`commands`] the words typed: a command a file.

#[cfg(test)]
extern crate self as pacebell; // so that the made-up papers and sittings serve the tests in here too

pub mod analysis;
pub mod clock;
pub mod cohort;
pub mod commands;
pub mod dialogue;
pub mod domain;
pub mod invented;
pub mod odds;
#[cfg(test)]
#[path = "../tests/common/papers.rs"]
mod papers;
pub mod plain;
pub mod reports;
#[cfg(test)]
#[path = "../tests/common/sat.rs"]
mod sat;
pub mod screens;
pub mod season;
pub mod seat;
pub mod stats;
pub mod storage;
pub mod term;
pub mod words;
