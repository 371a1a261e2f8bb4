//! What a tutor would say of a sitting: which findings, with which evidence, in which words.
#![cfg(test)]

#[path = "pacing/analysed.rs"]
mod analysed;
#[path = "findings/answers.rs"]
mod answers;
#[path = "findings/bounds.rs"]
mod bounds;
#[path = "findings/definitions.rs"]
mod definitions;
#[path = "findings/habits.rs"]
mod habits;
#[path = "findings/looked.rs"]
mod looked;
#[path = "common/papers.rs"]
mod papers;
#[path = "findings/printed.rs"]
mod printed;
#[path = "common/sat.rs"]
mod sat;
#[path = "pacing/script.rs"]
mod script;
#[path = "findings/worked_log.rs"]
mod worked_log;
