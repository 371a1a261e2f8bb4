//! `overview` as typed: the text, the page, the tables, who needs a word, what people outside may see, and its cost.
#![cfg(test)]

#[path = "overview/cost.rs"]
mod cost;
#[path = "overview/limits.rs"]
mod limits;
#[path = "common/markup.rs"]
mod markup;
#[path = "overview/outside.rs"]
mod outside;
#[path = "overview/page.rs"]
mod page;
#[path = "common/papers.rs"]
mod papers;
#[path = "common/paths.rs"]
mod paths;
#[path = "overview/room.rs"]
mod room;
#[path = "common/sat.rs"]
mod sat;
#[path = "common/user.rs"]
mod user;
#[path = "overview/words.rs"]
mod words;
#[path = "common/written.rs"]
mod written;
