//! The feedback page: what it says, how it looks, what it never does.
#![expect(clippy::unwrap_used, reason = "a test that cannot go on must stop")]

#[path = "feedback/alone.rs"]
mod alone;
#[path = "common/browser.rs"]
mod browser;
#[path = "feedback/command.rs"]
mod command;
#[path = "feedback/look.rs"]
mod look;
#[path = "feedback/made.rs"]
mod made;
#[path = "common/markup.rs"]
mod markup;
#[path = "common/papers.rs"]
mod papers;
#[path = "feedback/said.rs"]
mod said;
#[path = "common/sat.rs"]
mod sat;
#[path = "feedback/sittings.rs"]
mod sittings;
#[path = "feedback/tools.rs"]
mod tools;
#[path = "feedback/trouble.rs"]
mod trouble;
#[path = "common/user.rs"]
mod user;
#[path = "common/written.rs"]
mod written;
