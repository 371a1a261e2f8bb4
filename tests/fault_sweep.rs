//! Every operation on the disk refused in turn, and the power cut after each: what showed as saved is there.
#![cfg(test)]
#![cfg(unix)]

#[path = "common/campaign.rs"]
mod campaign;
#[path = "fault_sweep/disk.rs"]
mod disk;
#[path = "fault_sweep/images.rs"]
mod images;
#[path = "common/memory.rs"]
mod memory;
#[path = "common/papers.rs"]
mod papers;
#[path = "fault_sweep/practice.rs"]
mod practice;
#[path = "fault_sweep/replaced.rs"]
mod replaced;
#[path = "fault_sweep/sat.rs"]
mod sat;
#[path = "fault_sweep/sweep.rs"]
mod sweep;
#[path = "fault_sweep/table.rs"]
mod table;
