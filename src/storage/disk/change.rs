//! Whether a file is as it was, told without reading it.
//!
//! A file's date can be set by anybody who may write to it, so it tells nothing. The time of its last change of any
//! kind cannot: the system sets it to the present at each write, and at each setting of the date (POSIX.1-2024,
//! `<sys/stat.h>`, "last file status change timestamp"; `inode(7)`, `st_ctime`). It is asked for on Linux alone, and
//! only of file systems that are known to keep it: a memory stick's has none, a network folder's is another
//! computer's.

use std::fmt;
use std::path::Path;
use std::str::FromStr;
#[cfg(target_os = "linux")]
use std::{
    collections::HashMap, fs, os::linux::fs::MetadataExt as _, sync::Mutex, sync::PoisonError,
};

/// What the system says of a file, which is another whenever its bytes have changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct ChangeStamp {
    /// The device it lies on, and its number there.
    place: (u64, u64),
    /// Its length in bytes.
    length: u64,
    /// When it was written to last and when it was changed last, in seconds and nanoseconds since 1970.
    modified: (i64, i64),
    changed: (i64, i64),
}

impl fmt::Display for ChangeStamp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let ((device, number), (modified, changed)) = (self.place, (self.modified, self.changed));
        write!(f, "{device}.{number}.{}", self.length)?;
        write!(
            f,
            ".{}.{}.{}.{}",
            modified.0, modified.1, changed.0, changed.1
        )
    }
}

/// A text is no [`ChangeStamp`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("it isn't seven numbers with points between them")]
pub struct NoStamp;

impl FromStr for ChangeStamp {
    type Err = NoStamp;

    fn from_str(text: &str) -> Result<Self, NoStamp> {
        fn next<T: FromStr>(numbers: &mut std::str::Split<'_, char>) -> Result<T, NoStamp> {
            numbers
                .next()
                .and_then(|own| own.parse().ok())
                .ok_or(NoStamp)
        }
        let mut numbers = text.split('.');
        let numbers = &mut numbers;
        let stamp = Self {
            place: (next(numbers)?, next(numbers)?),
            length: next(numbers)?,
            modified: (next(numbers)?, next(numbers)?),
            changed: (next(numbers)?, next(numbers)?),
        };
        numbers.next().is_none().then_some(stamp).ok_or(NoStamp)
    }
}

/// What of a disk tells whether files have changed, as far as it has been asked for.
#[derive(Debug)]
pub struct ChangeTimes {
    /// A file that was changed later is not told of, in seconds since 1970.
    #[cfg_attr(
        not(target_os = "linux"),
        expect(dead_code, reason = "nothing is told")
    )]
    before: i64,
    /// The devices, each with whether it keeps such times.
    #[cfg(target_os = "linux")]
    devices: Mutex<HashMap<u64, bool>>,
}

impl ChangeTimes {
    /// Those of files that were last changed before this moment, in seconds since 1970.
    ///
    /// It is to lie so far back that a change since would have another time: clocks go in steps of up to two seconds,
    /// and a program that writes through memory has the time set when the system takes the page over, in half a
    /// minute (`mmap(2)`; `dirty_expire_centisecs`).
    pub fn before(moment: i64) -> Self {
        Self {
            before: moment,
            #[cfg(target_os = "linux")]
            devices: Mutex::default(),
        }
    }

    /// What the system says of a file that it keeps such a time of; none where only its bytes tell whether it has
    /// changed.
    #[cfg(target_os = "linux")]
    pub fn of(&self, path: &Path) -> Option<ChangeStamp> {
        let about = fs::metadata(path).ok().filter(fs::Metadata::is_file)?;
        if about.st_ctime() >= self.before {
            return None;
        }
        let device = about.st_dev();
        let mut devices = self.devices.lock().unwrap_or_else(PoisonError::into_inner);
        let keeps = *devices.entry(device).or_insert_with(|| keeps_them(path));
        keeps.then(|| ChangeStamp {
            place: (device, about.st_ino()),
            length: about.st_size(),
            modified: (about.st_mtime(), about.st_mtime_nsec()),
            changed: (about.st_ctime(), about.st_ctime_nsec()),
        })
    }

    /// Every file's bytes are read here.
    #[cfg(not(target_os = "linux"))]
    #[expect(clippy::unused_self, reason = "on Linux the system is asked")]
    pub const fn of(&self, _: &Path) -> Option<ChangeStamp> {
        None
    }
}

/// Whether a file lies on a file system of this computer that sets the time of a change at each of them: those of
/// `linux/magic.h`, and ZFS, by its number from memory.
#[cfg(target_os = "linux")]
fn keeps_them(path: &Path) -> bool {
    const EXT: u64 = 0xef53;
    const BTRFS: u64 = 0x9123_683e;
    const XFS: u64 = 0x5846_5342;
    const F2FS: u64 = 0xf2f5_2010;
    const TMPFS: u64 = 0x0102_1994;
    const OVERLAY: u64 = 0x794c_7630;
    const ZFS: u64 = 0x2fc1_2fc1;
    let kind = rustix::fs::statfs(path).map(|about| u64::try_from(about.f_type));
    matches!(
        kind,
        Ok(Ok(EXT | BTRFS | XFS | F2FS | TMPFS | OVERLAY | ZFS))
    )
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use std::fs::{File, FileTimes};
    use std::thread::sleep;
    use std::time::Duration;

    use super::*;

    const EVER: i64 = i64::MAX;

    #[test]
    fn every_change_of_a_file_is_another_stamp_whatever_its_date_is_set_to() {
        let room = tempfile::tempdir().unwrap();
        let (path, other) = (room.path().join("a"), room.path().join("b"));
        let times = ChangeTimes::before(EVER);
        fs::write(&path, "one").unwrap();
        let first = times.of(&path).unwrap();
        assert_eq!(times.of(&path), Some(first));
        let date = fs::metadata(&path).unwrap().modified().unwrap();
        // Clocks of files go in steps of some milliseconds.
        sleep(Duration::from_millis(20));
        fs::write(&path, "two").unwrap();
        let file = File::options().write(true).open(&path).unwrap();
        file.set_times(FileTimes::new().set_modified(date)).unwrap();
        let second = times.of(&path).unwrap();
        assert_eq!(
            (first.modified, first.length),
            (second.modified, second.length)
        );
        assert_ne!(first, second);
        // The same bytes in another file.
        fs::write(&other, "two").unwrap();
        fs::rename(&other, &path).unwrap();
        let third = times.of(&path).unwrap();
        assert_ne!(third.place, second.place);
        assert_eq!(times.of(&other), None);
        assert_eq!(times.of(room.path()), None);
    }

    #[test]
    fn a_file_that_was_changed_a_moment_ago_or_lies_where_no_such_time_is_kept_is_not_told_of() {
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("a");
        fs::write(&path, "one").unwrap();
        let changed = fs::metadata(&path).unwrap().st_ctime();
        assert_eq!(ChangeTimes::before(changed).of(&path), None);
        assert!(ChangeTimes::before(changed + 1).of(&path).is_some());
        let made_when_asked = Path::new("/proc/self/status");
        assert_eq!(ChangeTimes::before(EVER).of(made_when_asked), None);
    }

    #[test]
    fn a_stamp_is_read_as_it_is_written() {
        let stamp = ChangeStamp {
            place: (u64::MAX, 0),
            length: 7,
            modified: (-3, 5),
            changed: (i64::MAX, i64::MIN),
        };
        let text = stamp.to_string();
        assert_eq!(text.parse(), Ok(stamp));
        for wrong in [
            "",
            "-",
            "1.2.3",
            &format!("{text}.1"),
            &text.replace('7', "seven"),
        ] {
            assert_eq!(wrong.parse::<ChangeStamp>(), Err(NoStamp), "{wrong}");
        }
    }
}
