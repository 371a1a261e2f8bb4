//! What every page says of its window: how much of it shows, and that it is too small.

/// The heading over the keys of a help.
pub const KEYS_OF_THE_HELP: &str = "Keys of the help";

/// Which lines show.
pub fn lines(first: usize, last: usize, all: usize) -> String {
    format!("lines {first} to {last} of {all}")
}

/// That a window of so many columns and rows is too small.
pub fn too_small(needed: (u16, u16), has: (u16, u16)) -> String {
    format!(
        "Pacebell needs {} columns and {} rows. This window has {} and {}. \
         Make it larger, or the letters smaller. Ctrl-C twice quits.",
        needed.0, needed.1, has.0, has.1
    )
}
