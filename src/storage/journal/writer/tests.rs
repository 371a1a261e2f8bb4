//! The writer on disks that are full, broken or slow.

use std::fs;
use std::sync::mpsc::Receiver;

use super::*;
use crate::domain::event::Event;
use crate::domain::rule::QuestionNo;
use crate::storage::disk::operations::{DiskFile, FileState};
use crate::storage::journal::{read, samples};

/// What goes wrong on a disk at the moment.
#[derive(Debug, Default)]
struct Faults {
    /// Bytes that still fit; a write that does not fit is short, as on a full memory disk.
    room: Option<usize>,
    /// Syncs that answer with an input/output error.
    bad_syncs: usize,
    /// How long each sync takes.
    slow: Duration,
    /// Renames that are refused.
    bad_renames: usize,
    /// Syncs of folders that answer with an input/output error.
    bad_folder_syncs: usize,
    syncs: usize,
    /// Bytes of the newest file that a power cut would leave.
    synced: usize,
    /// How often the writer's own thread looked at the file.
    own_looks: usize,
}

#[derive(Clone, Debug, Default)]
struct Faulty(Arc<Mutex<Faults>>);

#[derive(Debug)]
struct FaultySheet {
    real: Box<dyn DiskFile>,
    faults: Faulty,
    written: usize,
}

impl Faulty {
    fn set(&self, change: impl FnOnce(&mut Faults)) {
        change(&mut self.0.lock().unwrap());
    }
}

fn counted_down(left: &mut usize) -> bool {
    let any = *left > 0;
    *left = left.saturating_sub(1);
    any
}

impl Disk for Faulty {
    fn create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let real = RealDisk.create(path)?;
        let faults = self.clone();
        Ok(Box::new(FaultySheet {
            real,
            faults,
            written: 0,
        }))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        if counted_down(&mut self.0.lock().unwrap().bad_renames) {
            return Err(io::ErrorKind::ReadOnlyFilesystem.into());
        }
        RealDisk.rename(from, to)
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        RealDisk.rename_new(from, to)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        if counted_down(&mut self.0.lock().unwrap().bad_folder_syncs) {
            return Err(io::Error::other("input/output error"));
        }
        RealDisk.sync_folder(folder)
    }

    /// Where a file that was just made is opened once more, the same goes wrong with it.
    fn open(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let real = RealDisk.open(path)?;
        let written = fs::metadata(path)?.len();
        Ok(Box::new(FaultySheet {
            real,
            faults: self.clone(),
            written: usize::try_from(written).unwrap(),
        }))
    }

    fn open_or_create(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        RealDisk.open_or_create(path)
    }

    fn read(&self, path: &Path, most: Size) -> io::Result<Vec<u8>> {
        RealDisk.read(path, most)
    }

    fn make_folder(&self, folder: &Path) -> io::Result<()> {
        RealDisk.make_folder(folder)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        RealDisk.remove(path)
    }

    fn second_name(&self, path: &Path, new: &Path) -> io::Result<()> {
        RealDisk.second_name(path, new)
    }
}

impl DiskFile for FaultySheet {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        let room = self.faults.0.lock().unwrap().room;
        let fits = bytes.len().min(room.unwrap_or(usize::MAX));
        self.real.write_all(&bytes[..fits])?;
        self.written += fits;
        self.faults
            .set(|faults| faults.room = room.map(|room| room - fits));
        if fits < bytes.len() {
            return Err(io::ErrorKind::StorageFull.into());
        }
        Ok(())
    }

    fn write_over(&mut self, from: u64, bytes: &[u8]) -> io::Result<()> {
        self.real.write_over(from, bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        let (slow, bad) = {
            let mut faults = self.faults.0.lock().unwrap();
            faults.syncs += 1;
            (faults.slow, counted_down(&mut faults.bad_syncs))
        };
        std::thread::sleep(slow);
        if bad {
            return Err(io::Error::other("input/output error"));
        }
        self.real.sync()?;
        self.faults.set(|faults| faults.synced = self.written);
        Ok(())
    }

    fn rewind(&mut self) -> io::Result<()> {
        self.real.rewind()
    }

    fn read_to_end(&mut self) -> io::Result<Vec<u8>> {
        self.real.read_to_end()
    }

    fn allow(&mut self, rights: fs::Permissions) -> io::Result<()> {
        self.real.allow(rights)
    }

    fn sync_all(&mut self) -> io::Result<()> {
        self.sync()
    }

    fn try_lock(&self) -> Result<(), fs::TryLockError> {
        self.real.try_lock()
    }

    fn is_at(&self, path: &Path) -> io::Result<bool> {
        self.real.is_at(path)
    }

    fn state(&mut self, last: u64) -> io::Result<FileState> {
        let is_own = std::thread::current().name() == Some(THREAD_NAME);
        self.faults
            .set(|faults| faults.own_looks += usize::from(is_own));
        self.real.state(last)
    }
}

struct Ground {
    dir: tempfile::TempDir,
    disk: Faulty,
    writer: Writer,
    woken: Receiver<()>,
}

fn ground() -> Ground {
    let dir = tempfile::tempdir().unwrap();
    let disk = Faulty::default();
    let (wake, woken) = mpsc::channel();
    let path = dir.path().join("sessions/otter/a.session.ron");
    let wake: Wake = Box::new(move || wake.send(()).unwrap_or_default());
    let writer = Writer::create_on(Arc::new(disk.clone()), &path, &samples::header(), wake);
    Ground {
        writer: writer.unwrap(),
        dir,
        disk,
        woken,
    }
}

fn event(second: u64) -> Stamped {
    samples::stamped(second * 1000, Event::Opened(QuestionNo(1)))
}

fn events(seconds: std::ops::RangeInclusive<u64>) -> Vec<Stamped> {
    seconds.map(event).collect()
}

impl Ground {
    fn append(&mut self, seconds: std::ops::RangeInclusive<u64>) {
        for stamped in events(seconds) {
            self.writer.append(&stamped);
        }
    }

    /// Waits, woken by the writer, for what it says to come true.
    fn until(&self, wanted: impl Fn(&Saved) -> bool) -> Saved {
        loop {
            let saved = self.writer.saved();
            if wanted(&saved) {
                return saved;
            }
            let woken = self.woken.recv_timeout(Duration::from_secs(20));
            assert!(woken.is_ok(), "no wake came; saved so far: {saved:?}");
        }
    }

    fn files(&self) -> Vec<String> {
        let found = fs::read_dir(folder_of(&self.writer.path())).unwrap();
        let mut names: Vec<_> = found
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }
}

#[test]
fn a_full_disk_is_told_at_once_and_nothing_is_lost() {
    let mut ground = ground();
    let path = ground.writer.path();
    ground.append(1..=3);
    ground.until(Saved::is_all);
    ground.disk.set(|faults| faults.room = Some(30));
    ground.append(4..=6);
    let saved = ground.until(|saved| saved.trouble.is_some());
    assert_eq!(saved.trouble, Some(Trouble::Full(path.clone())));
    assert_eq!((saved.sent, saved.durable), (6, 3));
    let left = read(&path).unwrap();
    assert_eq!(left.events, events(1..=3), "a kill now loses no more");
    assert!(left.torn.is_some());

    ground.disk.set(|faults| faults.room = Some(0));
    assert!(!ground.writer.wait_durable(Duration::from_secs(20)));
    assert_eq!(ground.files(), ["a.session.ron"], "no half file is left");

    ground.disk.set(|faults| faults.room = None);
    ground.writer.try_now();
    let saved = ground.until(Saved::is_all);
    assert_eq!(saved.durable, 6);
    assert_eq!(read(&path).unwrap().events, events(1..=6));
    ground.append(7..=7);
    ground.until(|saved| saved.durable == 7);
    assert_eq!(read(&path).unwrap().events, events(1..=7));
}

#[test]
fn nothing_is_told_to_be_saved_before_its_sync() {
    let mut ground = ground();
    ground
        .disk
        .set(|faults| faults.slow = Duration::from_millis(1));
    let path = ground.writer.path();
    let bytes_of = |count| {
        let record = Record::new(&path, samples::header(), events(1..=count));
        record.unwrap().end.good
    };
    for second in 1..=100 {
        ground.append(second..=second);
        let durable = ground.writer.saved().durable;
        let synced = ground.disk.0.lock().unwrap().synced;
        assert!(
            bytes_of(durable) <= synced,
            "{durable} told, {synced} bytes"
        );
    }
    ground.until(Saved::is_all);
    assert_eq!(ground.disk.0.lock().unwrap().synced, bytes_of(100));
}

#[test]
fn it_tries_again_by_itself() {
    let mut ground = ground();
    ground.disk.set(|faults| faults.room = Some(0));
    ground.append(1..=1);
    ground.until(|saved| saved.trouble.is_some());
    ground.disk.set(|faults| faults.room = None);
    assert_eq!(ground.until(Saved::is_all).durable, 1);
}

/// After a failed sync the kernel may hold the lost pages for clean, so that a second sync says
/// that all is well (the Linux manual, `fsync(2)`, under errors and notes; from memory).
#[cfg(unix)]
#[test]
fn after_a_failed_sync_the_old_file_is_not_trusted() {
    use std::os::unix::fs::MetadataExt;
    let mut ground = ground();
    let path = ground.writer.path();
    let old = fs::File::open(&path).unwrap();
    ground.append(1..=2);
    ground.until(Saved::is_all);
    ground.disk.set(|faults| faults.bad_syncs = 1);
    ground.append(3..=3);
    let saved = ground.until(|saved| saved.trouble.is_some());
    assert_eq!(saved.durable, 2);
    assert!(matches!(saved.trouble, Some(Trouble::Disk { .. })));
    ground.writer.try_now();
    ground.until(Saved::is_all);
    assert_eq!(
        old.metadata().unwrap().nlink(),
        0,
        "another is in its place"
    );
    assert_eq!(read(&path).unwrap().events, events(1..=3));
    assert_eq!(ground.files(), ["a.session.ron"]);
}

#[test]
fn a_slow_disk_holds_up_nobody_and_takes_many_lines_at_once() {
    let mut ground = ground();
    ground
        .disk
        .set(|faults| faults.slow = Duration::from_millis(200));
    let clock = crate::clock::SystemClock;
    let start = crate::clock::Clock::read(&clock).mono_ms;
    ground.append(1..=200);
    let took = crate::clock::Clock::read(&clock).mono_ms - start;
    assert!(took < 2000, "200 events took {took} ms");
    assert!(ground.writer.saved().durable < 200);
    let saved = ground.until(Saved::is_all);
    assert_eq!(saved.durable, 200);
    let syncs = ground.disk.0.lock().unwrap().syncs;
    assert!((2..=20).contains(&syncs), "{syncs} syncs");
    let path = ground.writer.path();
    assert_eq!(read(&path).unwrap().events, events(1..=200));
}

#[test]
fn a_sitting_that_cannot_be_saved_at_its_end_is_moved_and_finished() {
    let mut ground = ground();
    let path = ground.writer.path();
    ground.disk.set(|faults| faults.room = Some(0));
    ground.append(1..=4);
    assert_eq!(ground.writer.finish(), Err(Trouble::Full(path.clone())));
    ground.append(5..=5);

    ground.disk.set(|faults| faults.room = None);
    let stick = ground.dir.path().join("stick");
    ground.writer.move_to(&stick);
    let moved = ground.writer.finish().unwrap();
    assert_eq!(moved, stick.join("otter/a.session.ron"));
    assert_eq!(read(&moved).unwrap().events, events(1..=5));
    assert!(!path.exists() && path.with_file_name("a.moved").exists());
    assert_eq!(
        ground.writer.finish(),
        Ok(moved),
        "finished once and for all"
    );
    ground.append(6..=6);
    let after = ground.writer.saved().trouble;
    assert!(matches!(after, Some(Trouble::Ended(_))));
}

#[test]
fn a_new_file_that_cannot_be_put_in_place_is_taken_away_again() {
    let mut ground = ground();
    ground.disk.set(|faults| {
        faults.bad_syncs = 1;
        faults.bad_renames = 1;
    });
    ground.append(1..=1);
    ground.until(|saved| saved.trouble.is_some());
    ground.writer.try_now();
    let read_only = Trouble::ReadOnly(ground.writer.path());
    ground.until(|saved| saved.trouble.as_ref() == Some(&read_only));
    assert_eq!(ground.files(), ["a.session.ron"]);
    ground.writer.try_now();
    ground.until(Saved::is_all);
    assert_eq!(read(&ground.writer.path()).unwrap().events, events(1..=1));
}

/// What is queued is counted at once, so that nobody takes it for saved, and is written in its place before whatever
/// is asked for after it.
#[test]
fn what_is_queued_is_written_once_it_is_handed_on_and_in_its_place() {
    let mut ground = ground();
    assert_eq!(ground.writer.queue(&event(1)), 1);
    assert!(!ground.writer.saved().is_all());
    let there = read(&ground.writer.path()).unwrap().events;
    assert_eq!(there, [], "the thread was told nothing");
    ground.writer.hand_on();
    ground.until(Saved::is_all);
    assert_eq!(read(&ground.writer.path()).unwrap().events, events(1..=1));
    ground.writer.queue(&event(2));
    ground.append(3..=3);
    ground.writer.queue(&event(4));
    assert!(ground.writer.wait_durable(Duration::from_secs(20)));
    assert_eq!(read(&ground.writer.path()).unwrap().events, events(1..=4));
    ground.writer.queue(&event(5));
    let other = ground.dir.path().join("other");
    ground.writer.move_to(&other);
    ground.until(Saved::is_all);
    ground.writer.queue(&event(6));
    let path = ground.writer.finish().unwrap();
    assert!(path.starts_with(&other));
    assert_eq!(read(&path).unwrap().events, events(1..=6));
}

/// Whoever drops the writer without an end waits for nothing, and loses nothing either.
#[test]
fn what_is_queued_is_written_when_the_writer_is_dropped() {
    let Ground {
        mut writer, dir, ..
    } = ground();
    let path = writer.path();
    writer.append(&event(1));
    writer.queue(&event(2));
    drop(writer);
    let written = (0..2000).any(|_| {
        std::thread::sleep(Duration::from_millis(5));
        read(&path).is_ok_and(|record| record.events == events(1..=2))
    });
    assert!(written, "{:?}", fs::read_to_string(&path));
    drop(dir);
}

/// A file that was put in its place and whose folder did not get to the disk is still ours.
#[test]
fn after_a_failed_sync_of_the_folder_no_copy_of_our_own_file_is_kept() {
    let mut ground = ground();
    ground.disk.set(|faults| {
        faults.bad_syncs = 1;
        // However often it is tried by itself meanwhile.
        faults.bad_folder_syncs = usize::MAX;
    });
    ground.append(1..=1);
    ground.until(|saved| saved.trouble.is_some());
    for _ in 0..3 {
        assert!(!ground.writer.wait_durable(Duration::from_secs(20)));
        // The next try may be under way, with a new file of its own.
        let alone = (0..2000).any(|_| {
            std::thread::sleep(Duration::from_millis(5));
            ground.files() == ["a.session.ron"]
        });
        assert!(alone, "{:?}", ground.files());
        ground.append(2..=2);
    }
    ground.disk.set(|faults| faults.bad_folder_syncs = 0);
    ground.writer.try_now();
    ground.until(Saved::is_all);
    assert_eq!(ground.files(), ["a.session.ron"]);
    assert_eq!(ground.writer.saved().rewritten, 0, "nobody touched it");
    let events = read(&ground.writer.path()).unwrap().events;
    assert_eq!(events, [event(1), event(2), event(2), event(2)]);
}

/// Neither a torn end nor a damage can be kept beside the file while the disk is full: the pupil sits all the same,
/// and the old file keeps its own name for it once there is room.
#[test]
fn a_full_disk_keeps_nobody_from_going_on_with_a_spoilt_file() {
    for (ending, spoils) in [
        ("torn", "(n:4,at:90"),
        ("damaged", "(n:4) // 00000000\n(n:5\n"),
    ] {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a.session.ron");
        let whole = record::text_of(&samples::header(), &events(1..=3)).unwrap();
        let spoilt = whole.text + spoils;
        fs::write(&path, &spoilt).unwrap();
        let (before, damage) = crate::storage::journal::read_up_to_damage(&path).unwrap();
        assert_eq!(damage.is_some(), ending == "damaged");
        let disk = Faulty::default();
        disk.set(|faults| faults.room = Some(0));
        let mut writer = Writer::resume(Arc::new(disk.clone()), &before, Box::new(|| {})).unwrap();
        writer.append(&event(4));
        assert!(!writer.wait_durable(Duration::from_secs(20)));
        let saved = writer.saved();
        assert_eq!(saved.trouble, Some(Trouble::Full(path.clone())));
        assert_eq!(saved.durable, 0, "nobody knows what of it is on the disk");
        assert_eq!(fs::read_to_string(&path).unwrap(), spoilt);
        disk.set(|faults| faults.room = None);
        writer.finish().unwrap();
        assert_eq!(read(&path).unwrap().events, events(1..=4));
        let kept = dir.path().join(format!("a.{ending}"));
        assert_eq!(fs::read_to_string(kept).unwrap(), spoilt);
    }
}

#[test]
fn a_session_whose_first_line_cannot_be_saved_is_not_begun() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("otter/a.session.ron");
    let disk = Faulty::default();
    disk.set(|faults| faults.room = Some(10));
    let made = Writer::create_on(Arc::new(disk), &path, &samples::header(), Box::new(|| {}));
    let told = made.unwrap_err().to_string();
    assert!(told.contains("cannot write the file"), "{told}");
    assert!(!path.exists());
}

#[test]
fn every_trouble_names_the_place_and_the_way_out() {
    let path = PathBuf::from("x/otter/a.session.ron");
    let of = |kind: io::ErrorKind| Trouble::of(&path, &kind.into());
    let all = [
        of(io::ErrorKind::StorageFull),
        of(io::ErrorKind::ReadOnlyFilesystem),
        of(io::ErrorKind::PermissionDenied),
        of(io::ErrorKind::NotFound),
        of(io::ErrorKind::BrokenPipe),
        Trouble::FileGone(path.clone()),
        Trouble::Slow(path.clone()),
        Trouble::Ended(path.clone()),
    ];
    for trouble in all {
        let text = trouble.to_string();
        assert!(text.contains("x/otter/a.session.ron"), "{text}");
        assert!(text.contains("tutor") && text.ends_with('.'), "{text}");
        assert_eq!(trouble.path(), path);
    }
}

#[test]
fn while_another_thread_looks_at_the_file_the_writer_sleeps() {
    let mut ground = ground();
    ground.append(1..=1);
    ground.until(Saved::is_all);
    let own_looks_in = |seconds: u64| {
        let own_looks = || ground.disk.0.lock().unwrap().own_looks;
        let before = own_looks();
        for _ in 0..20 * seconds {
            ground.writer.lookout().look();
            std::thread::sleep(Duration::from_millis(50));
        }
        own_looks() - before
    };
    // It may have begun to wait before anybody else looked, and then looks itself at the end of that.
    while own_looks_in(1) > 0 {}
    assert_eq!(own_looks_in(6), 0);
    fs::write(ground.writer.path(), "somebody else's").unwrap();
    ground.writer.lookout().look();
    ground.until(|saved| saved.rewritten == 1);
    assert_eq!(read(&ground.writer.path()).unwrap().events, events(1..=1));
}
