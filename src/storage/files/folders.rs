//! Where sittings are kept, and folders that only their owner reads.

use std::fs::{self, OpenOptions};
use std::io;
use std::path::{Path, PathBuf};

use etcetera::BaseStrategy;

use crate::storage::disk::{create_private_dir_all, open_private};

/// Nobody says where sittings are to be kept, and the system knows no home folder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "there's no folder `sessions` here, and no home folder was found; name the folder of sittings with --sessions DIR"
)]
pub struct NoFolder;

/// The folder of the sittings: the given one, else `sessions` here if there is one, else the one in
/// the user's data folder (which may not exist yet).
///
/// # Errors
/// Nothing is given, nothing is here, and the system names no home folder.
pub fn sessions_dir(given: Option<&Path>) -> Result<PathBuf, NoFolder> {
    sessions_from(given, Path::new("sessions"), data_dir())
}

fn sessions_from(
    given: Option<&Path>,
    here: &Path,
    data: Option<PathBuf>,
) -> Result<PathBuf, NoFolder> {
    match given {
        Some(given) => Ok(given.to_owned()),
        None if here.is_dir() => Ok(here.to_owned()),
        None => data.map(|data| data.join("sessions")).ok_or(NoFolder),
    }
}

/// Pacebell's own folder among the user's data (the XDG base directories; `%APPDATA%` on Windows).
pub(crate) fn data_dir() -> Option<PathBuf> {
    let strategy = etcetera::choose_base_strategy().ok()?;
    Some(strategy.data_dir().join("pacebell"))
}

/// A folder that takes files when the one for sittings does not: in the user's data folder, else
/// among the temporary files. It exists when this returns, and only its owner can read it.
pub fn fallback_dir() -> Option<PathBuf> {
    let data = data_dir().map(|data| data.join("sessions"));
    let temporary = std::env::temp_dir().join("pacebell-sessions");
    data.into_iter()
        .chain([temporary])
        .find(|dir| takes_files(dir).is_ok())
}

/// Folders that may hold somebody else's sittings: those here, and those of what is plugged in.
pub fn folders_to_choose() -> Vec<PathBuf> {
    let plugged_in = ["/media", "/run/media", "/Volumes", "/mnt"];
    let mounts = plugged_in.iter().flat_map(|place| below(Path::new(place)));
    let mounts = mounts.flat_map(|mount| {
        // `/media/USER/NAME` on some systems, `/media/NAME` on others.
        let inner = below(&mount);
        std::iter::once(mount).chain(inner)
    });
    below(Path::new(".")).into_iter().chain(mounts).collect()
}

/// The folders in a folder, by name, hidden ones left out.
fn below(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let is_shown = |path: &PathBuf| {
        let name = path.file_name().unwrap_or_default();
        path.is_dir() && !name.to_string_lossy().starts_with('.')
    };
    let mut found: Vec<_> = entries.map(|entry| entry.path()).filter(is_shown).collect();
    found.sort();
    found
}

/// The folders that may have taken files when the one for sittings did not, and that are ours.
pub fn fallback_dirs() -> Vec<PathBuf> {
    let data = data_dir().map(|data| data.join("sessions"));
    let temporary = std::env::temp_dir().join("pacebell-sessions");
    let all = data.into_iter().chain([temporary]);
    all.filter(|dir| dir.is_dir() && is_ours(dir).is_ok())
        .collect()
}

/// Pacebell's own folder among the user's caches, where there is one.
pub fn cache_dir() -> Option<PathBuf> {
    let strategy = etcetera::choose_base_strategy().ok()?;
    let dir = strategy.cache_dir().join("pacebell");
    dir.is_dir().then_some(dir)
}

/// A folder in it for caches of a kind: it exists when this returns, and only its owner can read what is made in it.
pub(in crate::storage) fn made_cache_dir(kind: &str) -> Option<PathBuf> {
    let strategy = etcetera::choose_base_strategy().ok()?;
    let dir = strategy.cache_dir().join("pacebell").join(kind);
    create_private_dir_all(&dir).ok()?;
    is_ours(&dir).ok().map(|()| dir)
}

/// Makes the folder where needed and tries a file in it.
fn takes_files(dir: &Path) -> io::Result<()> {
    create_private_dir_all(dir)?;
    is_ours(dir)?;
    let probe = dir.join(format!(".probe-{:016x}", rand::random::<u64>()));
    open_private(OpenOptions::new().write(true).create_new(true), &probe)?;
    fs::remove_file(probe)
}

/// Refuses a folder that somebody else made under a name of ours.
#[cfg(unix)]
pub(in crate::storage) fn is_ours(dir: &Path) -> io::Result<()> {
    use std::os::unix::fs::MetadataExt;
    let owner = fs::symlink_metadata(dir)?.uid();
    if owner == rustix::process::geteuid().as_raw() {
        Ok(())
    } else {
        Err(io::ErrorKind::PermissionDenied.into())
    }
}

#[cfg(not(unix))]
pub(in crate::storage) fn is_ours(_dir: &Path) -> io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sittings_are_where_one_says_else_here_else_among_the_users_data() {
        let dir = tempfile::tempdir().unwrap();
        let here = dir.path().join("sessions");
        let data = Some(PathBuf::from("/data/pacebell"));
        let given = Path::new("/given");
        assert_eq!(
            sessions_from(Some(given), &here, data.clone()),
            Ok(given.to_owned())
        );
        assert_eq!(
            sessions_from(None, &here, data.clone()),
            Ok(PathBuf::from("/data/pacebell/sessions"))
        );
        assert_eq!(sessions_from(None, &here, None), Err(NoFolder));
        fs::create_dir(&here).unwrap();
        assert_eq!(sessions_from(None, &here, data), Ok(here));
    }

    #[cfg(unix)]
    #[test]
    fn only_the_owner_reads_what_is_made() {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir().unwrap();
        let made = dir.path().join("a").join("b");
        create_private_dir_all(&made).unwrap();
        create_private_dir_all(&made).unwrap();
        let file = made.join("f");
        open_private(OpenOptions::new().write(true).create_new(true), &file).unwrap();
        let rights = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!(rights(&dir.path().join("a")), 0o700);
        assert_eq!(rights(&made), 0o700);
        assert_eq!(rights(&file), 0o600);
        assert!(takes_files(&made).is_ok());
        assert_eq!(fs::read_dir(&made).unwrap().count(), 1);
    }
}
