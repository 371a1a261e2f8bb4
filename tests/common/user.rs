//! A folder as the home of the user who runs the program in a test.

use std::path::{Path, PathBuf};

/// The variables to run the program with: what it keeps for its user lies in `.local/share` and `.cache` in the folder,
/// whatever the system.
pub(crate) fn at_home(folder: &Path) -> [(&'static str, PathBuf); 4] {
    [
        ("HOME", folder.to_owned()),
        ("USERPROFILE", folder.to_owned()),
        ("APPDATA", folder.join(".local/share")),
        ("LOCALAPPDATA", folder.join(".cache")),
    ]
}
