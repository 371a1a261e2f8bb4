//! The tutor's files: what is set aside counts nowhere, and what is erased is gone.
#![cfg(test)]

#[path = "common/countdown.rs"]
mod countdown;
#[path = "keeping/doctor.rs"]
mod doctor;
#[path = "keeping/erase.rs"]
mod erase;
#[path = "keeping/evidence.rs"]
mod evidence;
#[path = "keeping/export.rs"]
mod export;
#[path = "keeping/gather.rs"]
mod gather;
#[path = "common/old.rs"]
mod old;
#[path = "keeping/pages.rs"]
mod pages;
#[path = "keeping/power.rs"]
#[cfg(target_os = "linux")]
mod power;
#[path = "keeping/refused.rs"]
mod refused;
#[path = "keeping/rename.rs"]
mod rename;
#[path = "keeping/repair.rs"]
mod repair;
#[path = "keeping/room.rs"]
mod room;
#[path = "keeping/set_aside.rs"]
mod set_aside;
#[path = "keeping/sheets.rs"]
mod sheets;
