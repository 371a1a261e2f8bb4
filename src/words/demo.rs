//! What is said of a season that was made up.

use std::path::Path;

use crate::domain::character::ShownPath as _;
use crate::words::count::counted;

/// What was made, and what to try next.
pub fn season_made(
    pupils: usize,
    sittings: usize,
    dir: &Path,
    seed: u64,
    commands: &[String],
) -> String {
    let dir = dir.shown();
    let commands = commands.join("\n  ");
    format!(
        "{} of {} were written to {dir}\n\
         Every page says that the data is invented. --seed {seed} makes the same season again.\n\n\
         Try next:\n  cd {dir}\n  {commands}\n",
        counted(sittings, "sitting"),
        counted(pupils, "invented pupil")
    )
}
