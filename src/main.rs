//! Pacebell's front door.
fn main() {}
