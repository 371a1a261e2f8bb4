//! Where the hour went: times, passes, changes, marks by minute, batches, thresholds.
#![cfg(test)]

#[path = "pacing/analysed.rs"]
mod analysed;
#[path = "pacing/batches.rs"]
mod batches;
#[path = "pacing/by_hand.rs"]
mod by_hand;
#[path = "pacing/by_property.rs"]
mod by_property;
#[path = "common/papers.rs"]
mod papers;
#[path = "common/sat.rs"]
mod sat;
#[path = "pacing/script.rs"]
mod script;
#[path = "pacing/thresholds.rs"]
mod thresholds;
