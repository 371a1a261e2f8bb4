//! `plan`: whether plans bring what they promise, and what the command says and saves.
#![expect(clippy::unwrap_used, reason = "a test that cannot go on must stop")]

#[path = "plan/command.rs"]
mod command;
#[path = "plan/folder.rs"]
mod folder;
#[path = "plan/ordered.rs"]
mod ordered;
#[path = "common/paths.rs"]
mod paths;
#[path = "plan/played.rs"]
mod played;
#[path = "common/sat.rs"]
mod sat;
#[path = "plan/season.rs"]
mod season;
#[path = "common/user.rs"]
mod user;
#[path = "common/written.rs"]
mod written;
