//! Pacebell: sits a pupil at a timed multiple-choice paper, logs everything, marks it.
//!
//! The map, lowest layer first; imports go down only, and `tests/architecture.rs` says so.
//!
//! - [`domain`] papers, keys, marks, the sitting and its marking: pure.
//! - [`stats`] free functions over numbers; knows no paper: pure.
//! - [`coach`] joins the two: luck, what is missing for an award, what a guess is worth: pure.
//! - [`clock`] the only reader of the time.
//! - [`files`] papers, keys and folders on the disk, and everything that can be wrong with them.
//! - [`journal`] the session file: the only writer below a sessions folder.
//! - [`seat`] a sitting with its clock and its journal: what a pupil sits down to.
//! - [`report`] marks as text, table and JSON; feedback as a page.
//! - [`term`] takes the terminal and gives it back; input and signal threads.
//! - [`tui`] the pages on the screen.
//! - [`plain`] the same sitting line by line, without a page.
//! - [`cli`] the words typed: a command a file.

pub mod cli;
pub mod clock;
pub mod coach;
pub mod domain;
pub mod files;
pub mod journal;
pub mod plain;
pub mod report;
pub mod seat;
pub mod stats;
pub mod term;
pub mod tui;
