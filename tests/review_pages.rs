//! The tutor's review: every page, every size, the keys, the files behind it.
#![cfg(test)]

#[cfg(unix)]
#[path = "review_pages/cached.rs"]
mod cached;
#[path = "review_pages/files.rs"]
mod files;
#[path = "common/keyboard.rs"]
mod keyboard;
#[path = "review_pages/keys.rs"]
mod keys;
#[path = "review_pages/made.rs"]
mod made;
#[path = "review_pages/pages.rs"]
mod pages;
#[path = "review_pages/reports.rs"]
mod reports;
#[path = "review_pages/room.rs"]
mod room;
#[path = "common/sat.rs"]
mod sat;
#[path = "review_pages/scripts.rs"]
mod scripts;
#[path = "review_pages/sizes.rs"]
mod sizes;
#[path = "common/written.rs"]
mod written;
