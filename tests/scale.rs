//! Sittings of several papers on one scale, and the chances that `aim` draws from a pupil's sittings.
#![expect(clippy::unwrap_used, reason = "a test that cannot go on must stop")]

#[path = "scale/aimed.rs"]
mod aimed;
#[path = "scale/command.rs"]
mod command;
#[path = "plan/folder.rs"]
mod folder;
#[path = "scale/linked.rs"]
mod linked;
#[path = "common/sat.rs"]
mod sat;
#[path = "plan/season.rs"]
mod season;
#[path = "common/user.rs"]
mod user;
#[path = "common/written.rs"]
mod written;
