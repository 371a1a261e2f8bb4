//! The running program in a pseudo-terminal, held to its promises.
#![cfg(test)]
#![cfg(target_os = "linux")]

mod common;




#[path = "live/sheet.rs"]
mod sheet;


#[path = "live/sitting.rs"]
mod sitting;
#[path = "live/staying_alive.rs"]
mod staying_alive;
