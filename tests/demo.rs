//! `demo`: an invented season, how it comes about, what lies in its folder, and the set kept here.
#![cfg(test)]

#[path = "demo/believable.rs"]
mod believable;
#[path = "demo/folder.rs"]
mod folder;
#[path = "demo/kept.rs"]
mod kept;
#[path = "demo/lived.rs"]
mod lived;
