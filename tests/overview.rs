//! `overview` as typed: the text, the page, the tables, and what people outside may see.
#![cfg(test)]

#[path = "common/markup.rs"]
mod markup;
#[path = "overview/outside.rs"]
mod outside;
#[path = "overview/page.rs"]
mod page;
#[path = "overview/room.rs"]
mod room;
