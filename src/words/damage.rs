//! What is said of a file of which not every line can be taken.

use std::fmt::Display;
use std::path::Path;

/// That the marks go up to the damage.
pub fn marked_up_to(damage: impl Display) -> String {
    format!("{damage}. These are the marks up to there.")
}

/// That the pages go up to the damage.
pub fn shown_up_to(damage: impl Display) -> String {
    format!("{damage}. Shown up to there.")
}

/// That a last line was not written to its end, on a page of marks.
pub fn torn_before_marks(path: &Path, line: impl Display) -> String {
    format!(
        "{}: its last line, {line}, was never written to its end. It is left out; everything before it is whole.",
        path.display()
    )
}

/// The same on a page that names its file anyway.
pub fn torn(line: impl Display) -> String {
    format!("Line {line} was not written to its end, and is left out.")
}

/// The same beside a group's figures.
pub fn torn_in_group(path: &Path) -> String {
    format!(
        "{}: the last line was not written to its end and is not counted",
        path.display()
    )
}
