//! `plan`: whether plans bring what they promise, and what the command says and saves.

#[path = "plan/command.rs"]
mod command;
#[path = "plan/played.rs"]
mod played;
#[path = "plan/season.rs"]
mod season;
