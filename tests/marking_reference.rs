//! Marking held against marks computed outside this program, person by person and exactly.
//!
//! Source of every number: `tests/reference/README.md`, "Item analysis" and "Marks".

#[cfg(test)]
#[path = "marking_reference/cohorts.rs"]
mod cohorts;
