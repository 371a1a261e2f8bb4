//! What is said of a file of which not every line can be taken.

use std::fmt::Display;
use std::path::Path;

/// That the marks go up to the damage.
pub fn marked_up_to(damage: impl Display) -> String {
    format!("{damage}. These are the marks up to the damage.")
}

/// That the pages go up to the damage.
pub fn shown_up_to(damage: impl Display) -> String {
    format!("{damage}. Everything up to the damage is shown.")
}

/// That a last line was not written completely.
pub const TORN: &str = "The last line of this file is incomplete, so it is left out.";

/// The same where the file has to be named.
pub fn torn_in(path: &Path) -> String {
    format!("{}: {TORN}", path.display())
}
