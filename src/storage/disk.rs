//! The disk: a file replaced as a whole, a file read up to a size, and what only its owner may open.
//!
//! Everything else in `storage`, and every command that writes a page, goes through here. What is read
//! has an end: a folder, a device and a file beyond its size are refused in a sentence.

pub mod operations;

mod canonical;
mod change;
mod replace;

use std::fs::{self, DirBuilder, File, OpenOptions};
use std::io::{self, Read};
use std::path::Path;
use std::time::Duration;

pub use canonical::canonical;
pub use change::{ChangeStamp, ChangeTimes};
pub use replace::{
    Rights, create, create_on, create_private_dir_all, put_on, replace, replace_itself, replace_on,
};
pub(super) use replace::{put, take_away, take_away_parts};

/// A size that no file of a kind comes near.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size {
    mib: u64,
    kind: &'static str,
}

impl Size {
    /// Papers, keys, plans, notes, thresholds.
    pub const PAPER: Self = Self {
        mib: 4,
        kind: "paper or key",
    };
    /// Session files: an hour's sitting has some hundred kilobytes.
    pub const SESSION: Self = Self {
        mib: 64,
        kind: "session file",
    };
    /// Tables: five million answer sheets.
    pub const TABLE: Self = Self {
        mib: 256,
        kind: "list of answers or marks",
    };

    /// How many bytes there may be.
    pub const fn bytes(self) -> u64 {
        self.mib << 20
    }
}

/// The longest line of a table, in bytes.
const LONGEST_LINE: usize = 1 << 20;

/// Why a file is not read, or not to its end, although the system would let us.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Unfit {
    /// It is larger than any file of its kind.
    #[error("the file is over {} MiB, too large for a {}; check that it's the right file", .0.mib, .0.kind)]
    TooLarge(Size),
    /// A line of it is longer than any line of a table.
    #[error("a line is over 1 MiB, too long for a row of a table; check that it's the right file")]
    LongLine,
    /// It is a folder.
    #[error("that's a folder; name a file in it")]
    Folder,
    /// It is no file but a device, which may have no end.
    #[error("that's a device, not a file; name a file")]
    Device,
    /// It is a pipe where a file is wanted.
    #[error("that's a pipe, not a file; save what comes through it in a file, and name that")]
    Pipe,
    /// It lies where a lock belongs and is a link, a folder, a pipe or large.
    #[error("a small file of Pacebell's belongs here, and this is something else")]
    NoLock,
    /// It is neither a file nor a folder, and nobody named it.
    #[error("this isn't an ordinary file; move it out of the folder")]
    NoFile,
}

impl From<Unfit> for io::Error {
    fn from(unfit: Unfit) -> Self {
        Self::new(io::ErrorKind::InvalidData, unfit)
    }
}

/// What of ours an error of the system carries.
pub fn unfit(error: &io::Error) -> Option<Unfit> {
    error.get_ref()?.downcast_ref::<Unfit>().copied()
}

/// Why a file that was named cannot be read, and the way out.
pub fn why_unread(error: &io::Error) -> String {
    match (unfit(error), error.kind()) {
        (Some(unfit), _) => unfit.to_string(),
        (None, io::ErrorKind::NotFound) => {
            "there's no such file; check its name and folder".to_owned()
        }
        (None, io::ErrorKind::PermissionDenied) => {
            "you're not allowed to read the file; ask its owner".to_owned()
        }
        (None, _) => format!("the file cannot be read ({error}); try again, or copy it elsewhere"),
    }
}

/// Reads a file to its end. Nothing is waited for: a pipe is refused, as a device is.
///
/// # Errors
/// The system's refusal, or an [`Unfit`].
pub fn read(path: &Path, most: Size) -> io::Result<Vec<u8>> {
    let (file, size) = open(open_without_waiting(path)?, most)?;
    if !file.metadata()?.is_file() {
        return Err(Unfit::Pipe.into());
    }
    let mut bytes = Vec::with_capacity(usize::try_from(size).unwrap_or_default());
    file.take(most.bytes() + 1).read_to_end(&mut bytes)?;
    if within(bytes.len(), most) {
        Ok(bytes)
    } else {
        Err(Unfit::TooLarge(most).into())
    }
}

/// Reads a file that was found in a folder: nobody named it, so a pipe there is not waited for.
///
/// # Errors
/// As [`read`], and [`Unfit::NoFile`].
pub fn read_found(path: &Path, most: Size) -> io::Result<Vec<u8>> {
    let about = fs::metadata(path)?;
    if about.is_file() || about.is_dir() {
        read(path, most)
    } else {
        Err(Unfit::NoFile.into())
    }
}

fn within(length: usize, most: Size) -> bool {
    u64::try_from(length).is_ok_and(|length| length <= most.bytes())
}

/// Opens a file; a pipe that nobody writes to yet is opened too, and nothing is made our terminal.
fn open_without_waiting(path: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    #[cfg(unix)]
    {
        use rustix::fs::OFlags;
        use std::os::unix::fs::OpenOptionsExt;
        let flags = OFlags::NONBLOCK | OFlags::NOCTTY;
        options.custom_flags(flags.bits().cast_signed());
    }
    open_no_folder(path, &options.read(true).clone())
}

/// Opens a file. Windows opens no folder and calls that a lack of rights, so a folder is told apart here.
fn open_no_folder(path: &Path, options: &OpenOptions) -> io::Result<File> {
    options.open(path).map_err(|error| {
        let is_folder = error.kind() == io::ErrorKind::PermissionDenied && path.is_dir();
        if is_folder {
            Unfit::Folder.into()
        } else {
            error
        }
    })
}

/// Takes what may have an end, with its size as far as one is known.
fn open(file: File, most: Size) -> io::Result<(File, u64)> {
    let about = file.metadata()?;
    if about.is_dir() {
        Err(Unfit::Folder.into())
    } else if is_device(&file, &about) {
        Err(Unfit::Device.into())
    } else if about.len() > most.bytes() {
        Err(Unfit::TooLarge(most).into())
    } else {
        Ok((file, about.len()))
    }
}

/// A terminal is a device with an end: people can type it.
#[cfg(unix)]
fn is_device(file: &File, about: &fs::Metadata) -> bool {
    use std::io::IsTerminal;
    use std::os::unix::fs::FileTypeExt;
    let kind = about.file_type();
    kind.is_block_device() || (kind.is_char_device() && !file.is_terminal())
}

#[cfg(not(unix))]
const fn is_device(_: &File, _: &fs::Metadata) -> bool {
    false
}

/// A table that is read piece by piece: a file, or what comes through a pipe.
#[derive(Debug)]
pub struct Table {
    file: File,
    size: u64,
    again: bool,
    read: u64,
    line: usize,
}

impl Table {
    /// Opens it.
    ///
    /// # Errors
    /// The system's refusal, or an [`Unfit`].
    pub fn open(path: &Path) -> io::Result<Self> {
        let file = open_no_folder(path, OpenOptions::new().read(true))?;
        let (file, size) = open(file, Size::TABLE)?;
        let again = file.metadata()?.is_file();
        Ok(Self {
            file,
            size,
            again,
            read: 0,
            line: 0,
        })
    }

    /// How many bytes it has, none where that is not known before its end.
    pub const fn size(&self) -> u64 {
        self.size
    }

    /// Whether it can be opened and read a second time.
    pub const fn can_be_read_again(&self) -> bool {
        self.again
    }
}

impl Read for Table {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let length = self.file.read(into)?;
        let read = into.get(..length).unwrap_or_default();
        self.read += u64::try_from(length).unwrap_or(u64::MAX);
        let last = read.iter().rposition(|byte| *byte == b'\n');
        self.line = last.map_or(self.line + length, |last| length - last - 1);
        if self.read > Size::TABLE.bytes() {
            return Err(Unfit::TooLarge(Size::TABLE).into());
        }
        if self.line > LONGEST_LINE {
            return Err(Unfit::LongLine.into());
        }
        Ok(length)
    }
}

/// Brings what was written to a file to the disk, with as much of what is known about it as it takes to read it
/// again.
///
/// On macOS that asks the drive to empty its own cache as well. Network folders there refuse that (`fcntl(2)`,
/// `F_FULLFSYNC`: `ENOTSUP`); they are asked for what `fsync(2)` gives.
///
/// # Errors
/// The system's refusal.
pub(super) fn sync(file: &File) -> io::Result<()> {
    or_plain_sync(file.sync_data(), file)
}

/// The same with everything that is known about the file.
///
/// # Errors
/// The system's refusal.
pub(super) fn sync_all(file: &File) -> io::Result<()> {
    or_plain_sync(file.sync_all(), file)
}

#[cfg(unix)]
fn or_plain_sync(synced: io::Result<()>, file: &File) -> io::Result<()> {
    match synced {
        Err(error) if is_unknown_sync(&error) => Ok(rustix::fs::fsync(file)?),
        synced => synced,
    }
}

/// Whether an error says that a file system does not know this way to sync, and nothing about the disk.
#[cfg(unix)]
fn is_unknown_sync(error: &io::Error) -> bool {
    use rustix::io::Errno;
    let unknown = [
        Errno::NOTSUP,
        Errno::OPNOTSUPP,
        Errno::NOTTY,
        Errno::INVAL,
        Errno::NOSYS,
    ];
    Errno::from_io_error(error).is_some_and(|errno| unknown.contains(&errno))
}

#[cfg(not(unix))]
fn or_plain_sync(synced: io::Result<()>, _: &File) -> io::Result<()> {
    synced
}

/// Removes a folder if it is empty, and says whether it went.
pub(super) fn take_away_folder(path: &Path) -> io::Result<bool> {
    match fs::remove_dir(path) {
        Ok(()) => sync_folder(folder_of(path)).map(|()| true),
        Err(error) => match error.kind() {
            io::ErrorKind::NotFound | io::ErrorKind::DirectoryNotEmpty => Ok(false),
            _ => Err(error),
        },
    }
}

/// Puts a file in another's place.
pub(super) fn rename(from: &Path, to: &Path) -> io::Result<()> {
    patiently(|| fs::rename(from, to))
}

/// Another program holds a file: what the system says, and the way out.
#[derive(Debug, thiserror::Error)]
#[error("{0}; another program may have the file open: close it there, then try again")]
struct OpenElsewhere(io::Error);

impl From<OpenElsewhere> for io::Error {
    fn from(held: OpenElsewhere) -> Self {
        let kind = match held.0.kind() {
            io::ErrorKind::PermissionDenied => io::ErrorKind::PermissionDenied,
            _ => io::ErrorKind::ResourceBusy,
        };
        Self::new(kind, held)
    }
}

/// Does what another program may hold up for a moment, where the system lets it.
pub(super) fn patiently<T>(mut act: impl FnMut() -> io::Result<T>) -> io::Result<T> {
    if cfg!(windows) {
        while_held_for_a_moment(PAUSE, act)
    } else {
        act()
    }
}

/// How often a file is tried that another program holds, and how long is waited between two tries.
const TRIES: u32 = 6;
/// See [`TRIES`].
const PAUSE: Duration = Duration::from_millis(40);

/// Tries again where another program may hold a file for a moment: on Windows a virus scanner opens each new file,
/// and nothing can be put in the place of an open one.
fn while_held_for_a_moment<T>(
    pause: Duration,
    mut act: impl FnMut() -> io::Result<T>,
) -> io::Result<T> {
    let mut tries = 1;
    loop {
        match act() {
            Err(error) if tries < TRIES && is_held(&error) => {
                tries += 1;
                std::thread::sleep(pause);
            }
            Err(error) if is_held(&error) => return Err(OpenElsewhere(error).into()),
            done => return done,
        }
    }
}

/// Whether Windows may say this of a file that is held: access denied, sharing violation, lock violation
/// (Microsoft, "System Error Codes").
fn is_held(error: &io::Error) -> bool {
    error.kind() == io::ErrorKind::PermissionDenied || matches!(error.raw_os_error(), Some(32 | 33))
}

/// Gives a file a name that nothing has yet.
pub(super) fn rename_new(from: &Path, to: &Path) -> io::Result<()> {
    match fs::hard_link(from, to) {
        Ok(()) => {
            remove(from);
            Ok(())
        }
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Err(error),
        // A stick's file system may know no links.
        Err(_) if fs::symlink_metadata(to).is_ok() => Err(io::ErrorKind::AlreadyExists.into()),
        Err(_) => rename_over_nothing(from, to),
    }
}

/// Renames a file; where the system can (`renameat2(2)`, `RENAME_NOREPLACE`), it refuses what has come meanwhile.
#[cfg(any(target_os = "linux", target_os = "macos"))]
fn rename_over_nothing(from: &Path, to: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    use rustix::io::Errno;
    match renameat_with(CWD, from, CWD, to, RenameFlags::NOREPLACE) {
        Err(Errno::INVAL | Errno::NOSYS | Errno::NOTSUP) => rename(from, to),
        renamed => Ok(renamed?),
    }
}

#[cfg(not(any(target_os = "linux", target_os = "macos")))]
fn rename_over_nothing(from: &Path, to: &Path) -> io::Result<()> {
    rename(from, to)
}

/// Removes a file that is of no use, if it can.
pub(super) fn remove(path: &Path) {
    let _a_leftover_does_no_harm = fs::remove_file(path);
}

/// Whether a link lies there, wherever it leads.
pub fn is_link(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok_and(|about| about.is_symlink())
}

/// The folder that a file lies in.
pub(super) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if parent != Path::new("") => parent,
        _ => Path::new("."),
    }
}

/// Brings a folder's entries to the disk, so that a new file is found after a power cut. Where the
/// system cannot do that for folders, the file's own sync has to do.
#[cfg(unix)]
pub(super) fn sync_folder(folder: &Path) -> io::Result<()> {
    let synced = File::open(folder).and_then(|folder| sync_all(&folder));
    synced.or_else(|error| match error.kind() {
        io::ErrorKind::Unsupported
        | io::ErrorKind::InvalidInput
        | io::ErrorKind::PermissionDenied => Ok(()),
        _ => Err(error),
    })
}

/// Folders need no sync here.
#[cfg(not(unix))]
#[expect(clippy::unnecessary_wraps, reason = "it can go wrong on Unix")]
pub(super) fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}

/// Lets the owner open what this program makes, whatever mask the shell has: a file that not even its owner may open
/// is lost to the next program. What the mask keeps from others it goes on keeping.
pub fn keep_the_owners_rights() {
    #[cfg(unix)]
    {
        use rustix::fs::Mode;
        use rustix::process::umask;
        let given = umask(Mode::RWXG | Mode::RWXO);
        umask(given - Mode::RWXU);
    }
}

/// Makes folders that nobody but the owner can enter.
pub(super) fn private_folders() -> DirBuilder {
    #[cfg_attr(not(unix), expect(unused_mut, reason = "rights are set on Unix only"))]
    let mut builder = DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder
}

/// Opens a file; on Unix nobody but the owner can read one that it makes, and a link in its place is refused.
///
/// # Errors
/// The system's refusal.
pub fn open_private(options: &mut OpenOptions, path: &Path) -> io::Result<File> {
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::custom_flags(
        options,
        rustix::fs::OFlags::NOFOLLOW.bits().cast_signed(),
    );
    as_owner(options).open(path)
}

/// On Unix nobody but the owner can read what is made with these options.
#[cfg_attr(
    not(unix),
    expect(clippy::missing_const_for_fn, reason = "rights are set on Unix only")
)]
fn as_owner(options: &mut OpenOptions) -> &mut OpenOptions {
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(options, 0o600);
    options
}

#[cfg(test)]
mod tests;
