//! A pupil's drills, `sweep.drill.ron` and `keys.drill.ron` in the pupil's folder: a line a drill, each
//! with its checksum as in a session file, appended, synced, and never changed.
//!
//! Every line states the format, so that a file may go on in a newer one.

use std::fs::{self, OpenOptions};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::chained::{ChainedLine, append, hold, sealed};
use crate::domain::character::ShownPath as _;
use crate::domain::drill::{DRILL_FORMAT, Drill, DrillKind};
use crate::domain::header::Alias;
use crate::storage::disk::{self, Size};

/// How the name of a file of drills ends.
const DRILLS_ENDING: &str = ".drill.ron";

/// The most files of one kind in a folder: a new one is begun where the last is damaged.
const MOST_FILES: u32 = 100;

#[derive(Serialize, Deserialize)]
struct DrillLine {
    format: u32,
    n: u64,
    drill: Drill,
}

/// Why a drill was not saved.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum DrillNotSaved {
    /// It cannot be written as text.
    #[error("this drill cannot be written as text ({0})")]
    Unwritable(#[from] ron::Error),
    /// The system refuses, or every name is taken by a damaged file.
    #[error(
        "{}: this drill could not be saved ({source}); free some space or check who owns the folder",
        path.shown()
    )]
    Io {
        /// The file.
        path: PathBuf,
        /// The refusal.
        source: io::Error,
    },
}

impl ChainedLine for DrillLine {
    type Record = Drill;
    const FORMAT: u32 = DRILL_FORMAT;

    fn new(n: u64, drill: Drill) -> Self {
        let format = DRILL_FORMAT;
        Self { format, n, drill }
    }

    fn parts(self) -> (u64, Drill) {
        (self.n, self.drill)
    }
}

fn path_of(sessions: &Path, pupil: &Alias, kind: DrillKind, number: u32) -> PathBuf {
    let kind = match kind {
        DrillKind::Sweep => "sweep",
        DrillKind::Keys => "keys",
    };
    let name = match number {
        1 => format!("{kind}{DRILLS_ENDING}"),
        number => format!("{kind}-{number}{DRILLS_ENDING}"),
    };
    sessions.join(pupil.as_str()).join(name)
}

/// A pupil's drills of a kind, the oldest first; what is damaged ends there, and is left as it is.
pub fn drills_of(sessions: &Path, pupil: &Alias, kind: DrillKind) -> Vec<Drill> {
    let mut all = Vec::new();
    for number in 1..=MOST_FILES {
        let path = path_of(sessions, pupil, kind, number);
        match disk::read_found(&path, Size::SESSION) {
            Ok(bytes) => {
                let held = hold::<DrillLine>(&bytes).records.into_iter();
                // A file that somebody gave another's name still says of which kind its drills are.
                all.extend(held.filter(|drill| drill.kind == kind));
            }
            Err(error) if error.kind() == io::ErrorKind::NotFound => break,
            Err(_) => {}
        }
    }
    all
}

/// The pupils who have drills of a kind.
pub fn who_tried(sessions: &Path, kind: DrillKind) -> Vec<Alias> {
    let folders = fs::read_dir(sessions).into_iter().flatten().flatten();
    let names = folders.filter_map(|folder| folder.file_name().into_string().ok());
    let aliases = names.filter_map(|name| Alias::try_from(name).ok());
    aliases
        .filter(|alias| path_of(sessions, alias, kind, 1).is_file())
        .collect()
}

/// Adds a drill to a pupil's: it is on the disk when this returns.
///
/// # Errors
/// The system's refusal; what was there is then as it was.
pub fn add_drill(sessions: &Path, pupil: &Alias, drill: &Drill) -> Result<PathBuf, DrillNotSaved> {
    for number in 1..=MOST_FILES {
        let path = path_of(sessions, pupil, drill.kind, number);
        let io = |source| DrillNotSaved::Io {
            path: path.clone(),
            source,
        };
        disk::create_private_dir_all(disk::folder_of(&path)).map_err(io)?;
        if fs::symlink_metadata(&path).is_ok_and(|about| !about.is_file()) {
            continue;
        }
        let mut options = OpenOptions::new();
        options.read(true).write(true).create(true).truncate(false);
        let open = || disk::open_private(&mut options, &path);
        let mut file = disk::patiently(open).map_err(io)?;
        // Two windows may end a drill at once.
        file.lock().map_err(io)?;
        let mut bytes = Vec::new();
        let limit = Size::SESSION.bytes();
        Read::by_ref(&mut file)
            .take(limit)
            .read_to_end(&mut bytes)
            .map_err(io)?;
        let mut held = hold::<DrillLine>(&bytes);
        if held.damage.is_some() {
            continue;
        }
        let line = sealed::<DrillLine>(&mut held.chain, drill.clone())?;
        append(&mut file, &path, &bytes, held.good, &line).map_err(io)?;
        return Ok(path);
    }
    Err(DrillNotSaved::Io {
        path: path_of(sessions, pupil, drill.kind, MOST_FILES),
        source: io::ErrorKind::AlreadyExists.into(),
    })
}

#[cfg(test)]
mod tests {
    use chrono::DateTime;

    use super::*;
    use crate::domain::time::Elapsed;

    fn drill(filled: u16) -> Drill {
        Drill {
            kind: DrillKind::Sweep,
            paper: Some("saltmarsh-a".to_owned()),
            at: DateTime::parse_from_rfc3339("2026-11-25T16:05:00+00:00").unwrap(),
            blanks: 25,
            filled,
            took: Elapsed::seconds(60),
        }
    }

    fn otter() -> Alias {
        Alias::new("otter").unwrap()
    }

    #[test]
    fn each_drill_is_a_line_with_a_chained_checksum() {
        let dir = tempfile::tempdir().unwrap();
        for filled in [9, 20] {
            add_drill(dir.path(), &otter(), &drill(filled)).unwrap();
        }
        let path = dir.path().join("otter/sweep.drill.ron");
        let text = fs::read_to_string(&path).unwrap();
        let lines: Vec<_> = text.lines().collect();
        assert_eq!(lines.len(), 2);
        // The checksum of the first line, after eight zeros; that of the second, after the first's.
        let mut before = "00000000".to_owned();
        for (number, line) in lines.iter().enumerate() {
            let (record, sum) = line.split_once(" // ").unwrap();
            let own = crc32fast::hash(format!("{before}{record}").as_bytes());
            assert_eq!(sum, format!("{own:08x}"));
            assert!(record.starts_with(&format!("(format:1,n:{number},drill:(kind:sweep")));
            sum.clone_into(&mut before);
        }
        assert_eq!(
            drills_of(dir.path(), &otter(), DrillKind::Sweep),
            [drill(9), drill(20)]
        );
        assert_eq!(drills_of(dir.path(), &otter(), DrillKind::Keys), []);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            assert_eq!(
                fs::metadata(&path).unwrap().permissions().mode() & 0o777,
                0o600
            );
        }
    }

    #[test]
    fn a_drill_is_of_the_kind_that_its_line_states_whatever_its_file_is_called() {
        let dir = tempfile::tempdir().unwrap();
        let keys = Drill {
            kind: DrillKind::Keys,
            ..drill(9)
        };
        let path = add_drill(dir.path(), &otter(), &keys).unwrap();
        fs::rename(&path, path.with_file_name("sweep.drill.ron")).unwrap();
        assert_eq!(drills_of(dir.path(), &otter(), DrillKind::Sweep), []);
        add_drill(dir.path(), &otter(), &drill(20)).unwrap();
        assert_eq!(
            drills_of(dir.path(), &otter(), DrillKind::Sweep),
            [drill(20)]
        );
    }

    #[test]
    fn every_cut_keeps_the_whole_lines_and_the_next_drill_goes_behind_them() {
        let dir = tempfile::tempdir().unwrap();
        for filled in [9, 20] {
            add_drill(dir.path(), &otter(), &drill(filled)).unwrap();
        }
        let path = dir.path().join("otter/sweep.drill.ron");
        let full = fs::read(&path).unwrap();
        for cut in 0..full.len() {
            fs::write(&path, &full[..cut]).unwrap();
            let kept = drills_of(dir.path(), &otter(), DrillKind::Sweep);
            assert!(
                [drill(9), drill(20)].starts_with(&kept),
                "cut at byte {cut}"
            );
            add_drill(dir.path(), &otter(), &drill(25)).unwrap();
            let now = drills_of(dir.path(), &otter(), DrillKind::Sweep);
            assert_eq!(now, [kept, vec![drill(25)]].concat(), "cut at byte {cut}");
        }
    }

    /// Another window that waits for the lock has this file open, and goes on in it.
    #[test]
    fn a_torn_end_is_taken_off_in_the_file_that_others_have_open() {
        let dir = tempfile::tempdir().unwrap();
        add_drill(dir.path(), &otter(), &drill(9)).unwrap();
        let path = dir.path().join("otter/sweep.drill.ron");
        let whole = fs::read_to_string(&path).unwrap();
        fs::write(&path, format!("{whole}(format:1,n:1,dri")).unwrap();
        let mut open_before = fs::File::open(&path).unwrap();
        add_drill(dir.path(), &otter(), &drill(20)).unwrap();
        let mut there = String::new();
        open_before.read_to_string(&mut there).unwrap();
        assert_eq!(there, fs::read_to_string(&path).unwrap());
        assert!(there.starts_with(&whole), "{there}");
        assert_eq!(
            drills_of(dir.path(), &otter(), DrillKind::Sweep),
            [drill(9), drill(20)]
        );
        let torn = fs::read_to_string(path.with_extension("torn")).unwrap();
        assert_eq!(torn, "(format:1,n:1,dri");
    }

    #[test]
    fn a_damaged_file_is_left_as_it_is_and_another_begun() {
        let dir = tempfile::tempdir().unwrap();
        for filled in [9, 20, 21] {
            add_drill(dir.path(), &otter(), &drill(filled)).unwrap();
        }
        let path = dir.path().join("otter/sweep.drill.ron");
        let damaged = fs::read_to_string(&path)
            .unwrap()
            .replace("filled:20", "filled:25");
        fs::write(&path, &damaged).unwrap();
        let second = add_drill(dir.path(), &otter(), &drill(22)).unwrap();
        assert!(second.ends_with("sweep-2.drill.ron"), "{second:?}");
        assert_eq!(fs::read_to_string(&path).unwrap(), damaged);
        assert_eq!(
            drills_of(dir.path(), &otter(), DrillKind::Sweep),
            [drill(9), drill(22)]
        );
    }
}
