//! What is said of a season that was made up.

use std::path::Path;

/// What was made, and what to try next.
pub fn season_made(
    pupils: usize,
    sittings: usize,
    dir: &Path,
    seed: u64,
    commands: &[String],
) -> String {
    let dir = dir.display();
    let commands = commands.join("\n  ");
    format!(
        "A season of {pupils} invented pupils, {sittings} sittings, is in {dir}\n\
         Nobody sat them, and every page says so. --seed {seed} makes the same season again.\n\n\
         Try next:\n  cd {dir}\n  {commands}\n"
    )
}
