//! Paper, key and plan files as people write them: what is read, and every sentence said about what is wrong.

#[path = "paper_files/good.rs"]
mod good;
