//! What is said line by line before a sitting goes on, and after it was left.

use std::fmt::Display;
use std::path::Path;

use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;

/// What starts the clock again.
pub const START_TO_GO_ON: &str = "Type start to carry on, or leave to stop here.";

/// Asked again after any other word.
pub const START_OR_LEAVE: &str =
    "Type start or leave, then Enter. Type help to hear what else there is.";

/// That everything reached the disk after all.
pub const SAVED_AGAIN: &str = "Everything is saved again.";

/// That somebody has touched the sitting's file, which was then written anew.
pub const SAVED_ANEW: &str = "Another program changed your file. It's all saved again.";

/// That a pupil has an open sitting.
pub fn has_one_open(pupil: &Alias, paper: &str) -> String {
    format!("{pupil} has an unfinished sitting: {paper}.")
}

/// That a sitting was left, and where it is kept: in two lines.
pub fn stays_open(path: &Path) -> String {
    format!(
        "You can carry on with this sitting later.\nSaved in {}",
        path.shown()
    )
}

/// The same for one who listens and has heard that all is saved: what to type to carry on, and where
/// the sitting is kept; `sessions` is the folder of sittings, where it has to be named.
pub fn to_carry_on(pupil: &Alias, sessions: Option<&Path>, path: &Path) -> Vec<String> {
    vec![
        format!(
            "To carry on with this sitting later, type {}",
            carries_on(pupil, sessions)
        ),
        format!("Its file: {}", path.shown()),
    ]
}

/// What to type to carry on with a sitting.
pub fn carries_on(pupil: &Alias, sessions: Option<&Path>) -> String {
    let mut typed = format!("pacebell sit --pupil {pupil}");
    if let Some(folder) = sessions.map(|folder| folder.shown().to_string()) {
        typed += " --sessions ";
        if folder.contains(' ') {
            typed.extend(["\"", &folder, "\""]);
        } else {
            typed += &folder;
        }
    }
    typed
}

/// That a sitting was left before its clock ran.
pub const NOT_STARTED: &str = "Stopped. The clock was not started.";

/// Where a sitting that is over is kept.
pub fn kept(pupil: &Alias, path: &Path) -> String {
    format!("{pupil}: saved in {}", path.shown())
}

/// That the disk does not take it, and the word that saves it elsewhere.
pub fn not_saved(trouble: impl Display, elsewhere: Option<(&str, &Path)>) -> String {
    match elsewhere {
        None => format!("Not saved: {trouble}"),
        Some((word, dir)) => format!(
            "Not saved: {trouble} Or type {word} to save in {}.",
            dir.shown()
        ),
    }
}
