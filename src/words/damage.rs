//! What is said of a file of which not every line can be taken.

use std::fmt::Display;
use std::path::Path;

use chrono::{DateTime, FixedOffset};

use super::count::counted;
use super::time::time_of_day;

use crate::domain::character::ShownPath as _;

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
    format!("{}: {TORN}", path.shown())
}

/// That a file has been repaired: what it has now, and where it is kept as it was.
pub fn repaired(file: &Path, answers: usize, until: DateTime<FixedOffset>, kept: &Path) -> String {
    format!(
        "{}: repaired, with {} up to {}. What was there before is kept in {}.",
        file.shown(),
        counted(answers, "answer"),
        time_of_day(until),
        kept.shown()
    )
}

/// Why a repaired sitting does not count, and who says so.
pub const END_UNREADABLE: &str = "the file was damaged and its end can't be read";
/// See [`END_UNREADABLE`].
pub const BY_REPAIR: &str = "repair";

/// Behind what was repaired, where the sitting had ended.
pub const SET_ASIDE_SINCE_REPAIRED: &str = "\nThis sitting had ended, but its end can't be read. So it's set aside: it counts nowhere, \
and nobody is asked to carry on with it.";
