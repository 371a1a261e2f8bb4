//! Paths in what the program says and writes, alike on every system.

/// A text in which folders are parted by `/`, as on Unix.
pub(crate) fn slashed(text: &str) -> String {
    if cfg!(windows) {
        text.replace('\\', "/")
    } else {
        text.to_owned()
    }
}
