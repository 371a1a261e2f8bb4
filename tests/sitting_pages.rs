//! The pages of a sitting: scripts of keys and moments against what the pages then show.
#![cfg(test)]

#[path = "sitting_pages/bench.rs"]
mod bench;
#[path = "sitting_pages/children.rs"]
mod children;
#[path = "sitting_pages/guesses.rs"]
mod guesses;
#[path = "sitting_pages/held.rs"]
mod held;
#[path = "common/keys.rs"]
mod keys;
#[path = "sitting_pages/lantern.rs"]
mod lantern;
#[path = "sitting_pages/moments.rs"]
mod moments;
#[path = "sitting_pages/named.rs"]
mod named;
#[path = "sitting_pages/pages.rs"]
mod pages;
#[path = "common/papers.rs"]
mod papers;
#[path = "common/sat.rs"]
mod sat;
#[path = "sitting_pages/scripts.rs"]
mod scripts;
#[path = "sitting_pages/sizes.rs"]
mod sizes;
