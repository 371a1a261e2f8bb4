//! A disk over a real folder that counts its operations, refuses one of them or all from one on, and knows
//! what a power cut would leave.
//!
//! What is on the disk for certain is what POSIX promises and no more (`fsync`, `rename` and their rationale in
//! IEEE Std 1003.1-2017; from memory): a file's bytes after its sync, a folder's entries after the folder's.
//! After a failed sync the bytes that were to be written count as lost, although they can still be read: Linux
//! marks such pages clean, and the next sync says that all is well (`fsync(2)`, notes; from memory).

use std::collections::BTreeMap;
use std::fs::{Permissions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard};

use pacebell::storage::disk::Size;
use pacebell::storage::disk::operations::{Disk, DiskFile, FileState, RealDisk};

/// What is asked of a disk.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Operation {
    Create,
    Open,
    Read,
    Write,
    Sync,
    Rename,
    SyncFolder,
    Remove,
    Lock,
    MakeFolder,
    Look,
}

/// Input/output error on this system (`errno(3)`, Linux and macOS alike).
pub(crate) const INPUT_OUTPUT: i32 = 5;

/// What kind of file a path is: the ending of its name, without the number that tells copies apart; a folder's own
/// path.
fn kind_of(inside: &Path) -> String {
    let ending = inside.extension().map(|ending| ending.to_string_lossy());
    let Some(ending) = ending else {
        return inside.display().to_string();
    };
    let plain = ending.trim_end_matches(|c: char| c.is_ascii_digit());
    plain.strip_suffix('-').unwrap_or(&ending).to_owned()
}

/// How long it goes wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Mode {
    /// Once.
    Once,
    /// From then on, until the disk is mended.
    ForEver,
    /// From then on, but only below the first folder of sittings: another disk is well.
    OneDisk,
}

/// What goes wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Fault {
    /// The operation's number, from 1.
    pub(crate) at: u64,
    pub(crate) mode: Mode,
    /// The error's number on this system.
    pub(crate) errno: i32,
}

/// What lies under a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Entry {
    File(usize),
    Folder,
}

/// A write that is not on the disk for certain: from where on, and what.
#[derive(Clone, Debug)]
struct Patch(usize, Vec<u8>);

/// A file: what can be read of it, and what of it is on the disk.
#[derive(Clone, Debug, Default)]
pub(crate) struct Node {
    now: Vec<u8>,
    safe: Vec<u8>,
    waiting: Vec<Patch>,
}

/// A change of a folder's entries that is not on the disk for certain.
#[derive(Clone, Debug)]
enum Change {
    Put(PathBuf, Entry),
    Moved(PathBuf, PathBuf),
    Gone(PathBuf),
}

impl Change {
    fn folder(&self) -> Option<&Path> {
        match self {
            Self::Put(path, _) | Self::Gone(path) | Self::Moved(_, path) => path.parent(),
        }
    }

    fn apply(&self, names: &mut BTreeMap<PathBuf, Entry>) {
        match self {
            Self::Put(path, entry) => {
                names.insert(path.clone(), *entry);
            }
            Self::Gone(path) => {
                names.remove(path);
            }
            Self::Moved(from, to) => {
                if let Some(entry) = names.remove(from) {
                    names.insert(to.clone(), entry);
                }
            }
        }
    }
}

/// How much of what is not on the disk for certain a power cut leaves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Left {
    Nothing,
    All,
    /// The files have their lengths, and zeros where the bytes should be.
    Zeros,
    /// The first of what was written, the last of it to its half.
    Half,
}

/// Everything that a power cut may leave of, at one moment.
#[derive(Clone, Debug)]
pub(crate) struct Platter {
    nodes: Vec<Node>,
    names: BTreeMap<PathBuf, Entry>,
    waiting: Vec<Change>,
}

impl Platter {
    /// Every state that a power cut can leave: so many of the folders' changes, in their order, and of the
    /// files' bytes none, all, zeros or a part.
    pub(crate) fn images(&self) -> Vec<BTreeMap<PathBuf, Option<Vec<u8>>>> {
        let mut all: Vec<BTreeMap<_, _>> = Vec::new();
        for changes in 0..=self.waiting.len() {
            let mut names = self.names.clone();
            for change in &self.waiting[..changes] {
                change.apply(&mut names);
            }
            for left in [Left::Nothing, Left::All, Left::Zeros, Left::Half] {
                let image = names.iter().filter(|(path, _)| is_reached(path, &names));
                let image = image.map(|(path, entry)| {
                    let bytes = match entry {
                        Entry::File(id) => Some(self.nodes[*id].left(left)),
                        Entry::Folder => None,
                    };
                    (path.clone(), bytes)
                });
                let image = image.collect();
                if !all.contains(&image) {
                    all.push(image);
                }
            }
        }
        all
    }
}

/// Whether every folder on the way to a name is there; the outermost is.
fn is_reached(path: &Path, names: &BTreeMap<PathBuf, Entry>) -> bool {
    match path.parent() {
        None => true,
        Some(parent) if parent == Path::new("") => true,
        Some(parent) => names.get(parent) == Some(&Entry::Folder) && is_reached(parent, names),
    }
}

impl Node {
    fn left(&self, left: Left) -> Vec<u8> {
        let mut bytes = self.safe.clone();
        match left {
            Left::Nothing => {}
            Left::All => return self.now.clone(),
            Left::Zeros => {
                for Patch(at, new) in &self.waiting {
                    write(&mut bytes, *at, &vec![0; new.len()]);
                }
            }
            Left::Half => {
                let whole = self.waiting.len().saturating_sub(1);
                for (number, Patch(at, new)) in self.waiting.iter().enumerate() {
                    let length = if number == whole {
                        new.len() / 2
                    } else {
                        new.len()
                    };
                    write(&mut bytes, *at, &new[..length]);
                }
            }
        }
        bytes
    }

    fn change(&mut self, at: usize, new: &[u8]) {
        write(&mut self.now, at, new);
        self.waiting.push(Patch(at, new.to_vec()));
    }

    fn synced(&mut self) {
        for Patch(at, new) in std::mem::take(&mut self.waiting) {
            write(&mut self.safe, at, &new);
        }
    }
}

/// Writes into bytes, zeros before it where they are shorter.
fn write(bytes: &mut Vec<u8>, at: usize, new: &[u8]) {
    if bytes.len() < at + new.len() {
        bytes.resize(at + new.len(), 0);
    }
    bytes[at..at + new.len()].copy_from_slice(new);
}

/// A moment of a run: what the disk holds, and what had been promised when it was so.
#[derive(Clone, Debug)]
pub(crate) struct Moment<P> {
    pub(crate) platter: Platter,
    pub(crate) promise: P,
    /// How many operations there had been.
    pub(crate) after: u64,
}

#[derive(Debug)]
struct State<P> {
    nodes: Vec<Node>,
    names: BTreeMap<PathBuf, Entry>,
    /// Names on the disk for certain, and the changes since.
    safe: BTreeMap<PathBuf, Entry>,
    waiting: Vec<Change>,
    count: u64,
    counted: BTreeMap<Operation, u64>,
    fault: Option<Fault>,
    /// Whether the program was killed, and so asks for nothing any more.
    killed: bool,
    /// The operations that were refused, and on what kind of file.
    refused: Vec<(Operation, String)>,
    /// One more that is refused when it is asked for next.
    next: Option<Operation>,
    /// Whether somebody removes the next sitting's file that is synced, when it is.
    removed_next: bool,
    promise: P,
    /// Moments, where they are wanted.
    moments: Option<Vec<Moment<P>>>,
}

/// A disk; its clones are the same one.
#[derive(Debug)]
pub(crate) struct CountingDisk<P> {
    root: PathBuf,
    /// The folder that [`Mode::OneDisk`] is about, below the root.
    first: PathBuf,
    state: Arc<Mutex<State<P>>>,
}

impl<P> Clone for CountingDisk<P> {
    fn clone(&self) -> Self {
        Self {
            root: self.root.clone(),
            first: self.first.clone(),
            state: Arc::clone(&self.state),
        }
    }
}

impl<P: Clone + Default> CountingDisk<P> {
    /// The disk below `root`, with what lies there; its moments are kept if they are `wanted`.
    pub(crate) fn new(root: &Path, first: &str, fault: Option<Fault>, wanted: bool) -> Self {
        let mut state = State {
            nodes: Vec::new(),
            names: BTreeMap::new(),
            safe: BTreeMap::new(),
            waiting: Vec::new(),
            count: 0,
            counted: BTreeMap::new(),
            fault,
            killed: false,
            refused: Vec::new(),
            next: None,
            removed_next: false,
            promise: P::default(),
            moments: wanted.then(Vec::new),
        };
        let mut folders = vec![root.to_owned()];
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                let inside = path.strip_prefix(root).unwrap().to_owned();
                if path.is_dir() {
                    folders.push(path);
                    state.names.insert(inside, Entry::Folder);
                } else {
                    let bytes = std::fs::read(&path).unwrap();
                    let id = state.nodes.len();
                    state.nodes.push(Node {
                        now: bytes.clone(),
                        safe: bytes,
                        waiting: Vec::new(),
                    });
                    state.names.insert(inside, Entry::File(id));
                }
            }
        }
        state.safe.clone_from(&state.names);
        Self {
            root: root.to_owned(),
            first: PathBuf::from(first),
            state: Arc::new(Mutex::new(state)),
        }
    }

    fn state(&self) -> MutexGuard<'_, State<P>> {
        self.state.lock().unwrap()
    }

    fn inside(&self, path: &Path) -> PathBuf {
        let inside = path.strip_prefix(&self.root);
        inside.expect("everything lies below the root").to_owned()
    }

    /// How many operations there were, by kind.
    pub(crate) fn counted(&self) -> BTreeMap<Operation, u64> {
        self.state().counted.clone()
    }

    /// How many operations there were.
    pub(crate) fn count(&self) -> u64 {
        self.state().count
    }

    /// What was refused.
    pub(crate) fn refused(&self) -> Vec<(Operation, String)> {
        self.state().refused.clone()
    }

    /// Refuses the next one of a kind, whatever else goes wrong.
    pub(crate) fn refuse_next(&self, operation: Operation) {
        self.state().next = Some(operation);
    }

    /// Somebody removes the next sitting's file that is synced, just when it is.
    pub(crate) fn remove_next(&self, does: bool) {
        self.state().removed_next = does;
    }

    /// Nothing goes wrong from now on.
    pub(crate) fn mend(&self) {
        self.state().fault = None;
    }

    /// The program is killed: whatever its threads still ask for is not done, and changes nothing.
    pub(crate) fn kill(&self) {
        self.state().killed = true;
    }

    /// Another program starts.
    pub(crate) fn revive(&self) {
        self.state().killed = false;
    }

    /// What is promised from now on.
    pub(crate) fn promise(&self, promise: P) {
        self.state().promise = promise;
    }

    /// The moments that were kept, and this one.
    pub(crate) fn moments(&self) -> Vec<Moment<P>> {
        let mut state = self.state();
        state.keep_moment();
        state.moments.take().unwrap_or_default()
    }

    /// Whoever keeps the sitting has let go of the disk.
    pub(crate) fn wait_until_let_go(&self, own: usize) {
        while Arc::strong_count(&self.state) > own {
            std::thread::sleep(std::time::Duration::from_micros(50));
        }
    }

    /// How many hold it.
    pub(crate) fn holders(&self) -> usize {
        Arc::strong_count(&self.state)
    }

    /// Bytes behind a file that somebody else has left there; on the disk for certain.
    pub(crate) fn append_junk(&self, path: &Path, junk: &[u8]) {
        let mut file = std::fs::OpenOptions::new().append(true).open(path).unwrap();
        io::Write::write_all(&mut file, junk).unwrap();
        let mut state = self.state();
        let Some(Entry::File(id)) = state.names.get(&self.inside(path)).copied() else {
            panic!("{path:?} is not known");
        };
        state.nodes[id].now.extend(junk);
        state.nodes[id].safe = state.nodes[id].now.clone();
        state.nodes[id].waiting.clear();
    }

    /// Somebody else takes a file away, or a folder with all that is in it, for certain. Whoever keeps the sitting finds it
    /// there or gone: nothing is asked of the disk meanwhile.
    pub(crate) fn take_away(&self, path: &Path) {
        let inside = self.inside(path);
        self.state().take_away(path, &inside);
    }

    /// Somebody else puts a file of theirs under a name, whatever has it, for certain.
    pub(crate) fn put(&self, path: &Path, bytes: &[u8]) {
        let mut state = self.state();
        let theirs = path.with_extension("theirs");
        std::fs::write(&theirs, bytes).unwrap();
        std::fs::rename(&theirs, path).unwrap();
        let id = state.nodes.len();
        state.nodes.push(Node {
            now: bytes.to_vec(),
            safe: bytes.to_vec(),
            waiting: Vec::new(),
        });
        let inside = self.inside(path);
        state.forget(&inside);
        state.names.insert(inside.clone(), Entry::File(id));
        state.safe.insert(inside, Entry::File(id));
    }

    /// Counts an operation, and refuses it where it is to go wrong.
    fn ask(&self, operation: Operation, path: &Path) -> io::Result<MutexGuard<'_, State<P>>> {
        let mut state = self.state();
        if state.killed {
            return Err(io::ErrorKind::Other.into());
        }
        state.keep_moment();
        state.count += 1;
        *state.counted.entry(operation).or_default() += 1;
        let count = state.count;
        let wrong = state.fault.is_some_and(|fault| match fault.mode {
            Mode::Once => count == fault.at,
            Mode::ForEver => count >= fault.at,
            Mode::OneDisk => count >= fault.at && self.inside(path).starts_with(&self.first),
        });
        if state.next == Some(operation) {
            state.next = None;
            return Err(io::Error::from_raw_os_error(INPUT_OUTPUT));
        }
        match state.fault {
            Some(fault) if wrong => {
                let kind = kind_of(&self.inside(path));
                state.refused.push((operation, kind));
                Err(io::Error::from_raw_os_error(fault.errno))
            }
            _ => Ok(state),
        }
    }

    fn opened(
        &self,
        state: &mut State<P>,
        path: &Path,
        real: Box<dyn DiskFile>,
    ) -> Box<dyn DiskFile>
    where
        P: std::fmt::Debug + Send + 'static,
    {
        let inside = self.inside(path);
        let id = if let Some(Entry::File(id)) = state.names.get(&inside) {
            *id
        } else {
            let id = state.nodes.len();
            state.nodes.push(Node::default());
            state.change(Change::Put(inside, Entry::File(id)));
            id
        };
        Box::new(CountingFile {
            disk: self.clone(),
            path: path.to_owned(),
            real,
            id,
            place: 0,
        })
    }
}

impl<P> State<P> {
    /// Takes away what lies at a path, on the machine's disk and here.
    fn take_away(&mut self, path: &Path, inside: &Path) {
        if path.is_dir() {
            std::fs::remove_dir_all(path).unwrap();
        } else if path.exists() {
            std::fs::remove_file(path).unwrap();
        }
        self.forget(inside);
    }

    fn forget(&mut self, inside: &Path) {
        self.names.retain(|path, _| !path.starts_with(inside));
        self.safe.retain(|path, _| !path.starts_with(inside));
        self.waiting.retain(|change| match change {
            Change::Put(path, _) | Change::Gone(path) | Change::Moved(_, path) => {
                !path.starts_with(inside)
            }
        });
    }
}

impl<P: Clone> State<P> {
    fn change(&mut self, change: Change) {
        change.apply(&mut self.names);
        self.waiting.push(change);
    }

    fn keep_moment(&mut self) {
        if let Some(mut moments) = self.moments.take() {
            moments.push(Moment {
                platter: Platter {
                    nodes: self.nodes.clone(),
                    names: self.safe.clone(),
                    waiting: self.waiting.clone(),
                },
                promise: self.promise.clone(),
                after: self.count,
            });
            self.moments = Some(moments);
        }
    }
}

impl<P: Clone + Default + std::fmt::Debug + Send + 'static> Disk for CountingDisk<P> {
    fn create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let mut state = self.ask(Operation::Create, path)?;
        let real = RealDisk.create(path)?;
        Ok(self.opened(&mut state, path, real))
    }

    fn open(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let mut state = self.ask(Operation::Open, path)?;
        let real = RealDisk.open(path)?;
        Ok(self.opened(&mut state, path, real))
    }

    fn open_or_create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let mut state = self.ask(Operation::Open, path)?;
        let real = RealDisk.open_or_create(path)?;
        Ok(self.opened(&mut state, path, real))
    }

    fn read(&self, path: &Path, most: Size) -> io::Result<Vec<u8>> {
        let _state = self.ask(Operation::Read, path)?;
        RealDisk.read(path, most)
    }

    fn make_folder(&self, folder: &Path) -> io::Result<()> {
        let mut state = self.ask(Operation::MakeFolder, folder)?;
        RealDisk.make_folder(folder)?;
        state.change(Change::Put(self.inside(folder), Entry::Folder));
        Ok(())
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        let mut state = self.ask(Operation::Rename, to)?;
        RealDisk.rename(from, to)?;
        state.change(Change::Moved(self.inside(from), self.inside(to)));
        Ok(())
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        let mut state = self.ask(Operation::Rename, to)?;
        RealDisk.rename_new(from, to)?;
        let (from, to) = (self.inside(from), self.inside(to));
        let entry = state.names.get(&from).copied();
        let entry = entry.unwrap_or_else(|| panic!("{from:?} is not known"));
        // A second name, then the first goes: power may be cut in between.
        state.change(Change::Put(to, entry));
        state.change(Change::Gone(from));
        Ok(())
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        let mut state = self.ask(Operation::Remove, path)?;
        RealDisk.remove(path)?;
        state.change(Change::Gone(self.inside(path)));
        Ok(())
    }

    fn second_name(&self, path: &Path, new: &Path) -> io::Result<()> {
        let mut state = self.ask(Operation::Rename, new)?;
        RealDisk.second_name(path, new)?;
        let entry = state.names.get(&self.inside(path)).copied();
        let entry = entry.unwrap_or_else(|| panic!("{path:?} is not known"));
        state.change(Change::Put(self.inside(new), entry));
        Ok(())
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        if !folder.starts_with(&self.root) {
            // What lies above is on the disk for certain.
            return Ok(());
        }
        let mut state = self.ask(Operation::SyncFolder, folder)?;
        let inside = self.inside(folder);
        let waiting = std::mem::take(&mut state.waiting);
        for change in waiting {
            if change.folder() == Some(&inside) {
                change.apply(&mut state.safe);
            } else {
                state.waiting.push(change);
            }
        }
        Ok(())
    }
}

#[derive(Debug)]
struct CountingFile<P> {
    disk: CountingDisk<P>,
    /// Where it was opened; a rename does not change it, as it does not change an open file.
    path: PathBuf,
    real: Box<dyn DiskFile>,
    id: usize,
    place: usize,
}

impl<P: Clone + Default + std::fmt::Debug + Send + 'static> CountingFile<P> {
    /// Asks for a write from this byte on; gives what of it is done. One that goes wrong may have written a part.
    fn write<'a>(&self, from: usize, bytes: &'a [u8]) -> (&'a [u8], io::Result<()>) {
        let asked = self.disk.ask(Operation::Write, &self.path).map(drop);
        let (written, result) = match asked {
            Ok(()) => (bytes, Ok(())),
            Err(error) if self.disk.state().killed => (&bytes[..0], Err(error)),
            Err(error) => (&bytes[..bytes.len() / 2], Err(error)),
        };
        if !written.is_empty() {
            self.disk.state().nodes[self.id].change(from, written);
        }
        (written, result)
    }
}

impl<P: Clone + Default + std::fmt::Debug + Send + 'static> DiskFile for CountingFile<P> {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        let (written, result) = self.write(self.place, bytes);
        self.real.write_all(written)?;
        self.place += written.len();
        result
    }

    fn write_over(&mut self, from: u64, bytes: &[u8]) -> io::Result<()> {
        let (written, result) = self.write(usize::try_from(from).unwrap(), bytes);
        self.real.write_over(from, written)?;
        result
    }

    fn rewind(&mut self) -> io::Result<()> {
        self.place = 0;
        self.real.rewind()
    }

    fn read_to_end(&mut self) -> io::Result<Vec<u8>> {
        let _state = self.disk.ask(Operation::Read, &self.path)?;
        let bytes = self.real.read_to_end()?;
        self.place += bytes.len();
        Ok(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        match self.disk.ask(Operation::Sync, &self.path) {
            Ok(mut state) => {
                state.nodes[self.id].synced();
                let mut named = state.names.iter();
                let named = named.find(|(_, entry)| **entry == Entry::File(self.id));
                let session = named.filter(|(path, _)| kind_of(path) == "ron");
                if let Some((inside, _)) = session
                    && state.removed_next
                {
                    let inside = inside.clone();
                    state.removed_next = false;
                    state.take_away(&self.disk.root.join(&inside), &inside);
                }
                Ok(())
            }
            Err(error) => {
                let mut state = self.disk.state();
                if !state.killed {
                    state.nodes[self.id].waiting.clear();
                }
                Err(error)
            }
        }
    }

    fn allow(&mut self, rights: Permissions) -> io::Result<()> {
        self.real.allow(rights)
    }

    fn sync_all(&mut self) -> io::Result<()> {
        self.sync()
    }

    fn try_lock(&self) -> Result<(), TryLockError> {
        let _state = self
            .disk
            .ask(Operation::Lock, &self.path)
            .map_err(TryLockError::Error)?;
        self.real.try_lock()
    }

    fn is_at(&self, path: &Path) -> io::Result<bool> {
        let _state = self.disk.ask(Operation::Look, path)?;
        self.real.is_at(path)
    }

    fn state(&mut self, last: u64) -> io::Result<FileState> {
        let _state = self.disk.ask(Operation::Look, &self.path)?;
        let state = self.real.state(last)?;
        self.place = usize::try_from(state.length).unwrap();
        Ok(state)
    }
}
