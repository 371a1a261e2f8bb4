//! What a tutor would say of a sitting: which findings, with which evidence, in which words.
#![expect(clippy::unwrap_used, reason = "a test that cannot go on must stop")]

#[path = "findings/answers.rs"]
mod answers;
#[path = "findings/habits.rs"]
mod habits;
#[path = "findings/looked.rs"]
mod looked;
#[path = "pacing/script.rs"]
mod script;
#[path = "findings/worked_log.rs"]
mod worked_log;
