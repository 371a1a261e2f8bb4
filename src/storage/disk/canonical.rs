//! The one name of a file or folder, as people write it.

use std::ffi::OsString;
use std::path::{Component, Path, PathBuf, Prefix};
use std::{fs, io};

/// The one name of what is there. Windows answers with `\\?\C:\`, which neither people nor most programs know;
/// the name that is written and shown is without it.
///
/// # Errors
/// The system's refusal, also where nothing is there.
pub fn canonical(path: impl AsRef<Path>) -> io::Result<PathBuf> {
    fs::canonicalize(path).map(|path| as_written(&path).unwrap_or(path))
}

/// A name that begins as only Windows itself writes it, in the usual way.
fn as_written(path: &Path) -> Option<PathBuf> {
    let mut rest = path.components();
    let Some(Component::Prefix(first)) = rest.next() else {
        return None;
    };
    let mut name = OsString::new();
    match first.kind() {
        Prefix::VerbatimDisk(letter) => name.push(format!("{}:", char::from(letter))),
        Prefix::VerbatimUNC(server, share) => {
            name.push(r"\\");
            name.push(server);
            name.push(r"\");
            name.push(share);
        }
        _ => return None,
    }
    name.push(rest.as_path());
    Some(name.into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_has_one_name_in_which_nothing_is_only_the_systems_own() {
        let dir = tempfile::tempdir().unwrap();
        let folder = dir.path().join("pages");
        fs::create_dir(&folder).unwrap();
        fs::write(folder.join("otter.html"), "page").unwrap();
        let name = canonical(folder.join("..").join("pages").join("otter.html")).unwrap();
        assert_eq!(name, canonical(folder.join("otter.html")).unwrap());
        assert_eq!(fs::read_to_string(&name).unwrap(), "page");
        assert!(!name.display().to_string().starts_with(r"\\?\"), "{name:?}");
        assert!(canonical(folder.join("marten.html")).is_err());
    }

    #[cfg(windows)]
    #[test]
    fn windows_own_beginnings_are_written_as_people_do() {
        for (own, written) in [
            (
                r"\\?\C:\papers\moor.paper.ron",
                Some(r"C:\papers\moor.paper.ron"),
            ),
            (
                r"\\?\UNC\desk\maths\moor.paper.ron",
                Some(r"\\desk\maths\moor.paper.ron"),
            ),
            (r"C:\papers\moor.paper.ron", None),
        ] {
            assert_eq!(
                as_written(Path::new(own)),
                written.map(PathBuf::from),
                "{own}"
            );
        }
    }
}
