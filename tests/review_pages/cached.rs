//! The list's cache: it changes nothing that is listed, whatever is done to the files or to the cache itself.

use std::fs::{self, File, FileTimes};
use std::os::unix::fs::{PermissionsExt as _, symlink};
use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::{Duration, SystemTime};

use pacebell::clock::{Clock as _, SystemClock};
use pacebell::commands::review::Reader;
use pacebell::domain::event::Stamped;
use pacebell::domain::header::Header;
use pacebell::domain::notes::Ruling;
use pacebell::screens::review::{Listed, State};
use pacebell::screens::run::{Arrived, Shelf as _};
use pacebell::storage::cache::{ContentDigest, Summaries};
use pacebell::storage::journal::line::{Chain, write_event, write_header, write_seal};
use proptest::prelude::*;
use tempfile::TempDir;

use crate::made;

/// A folder of sittings with keys of its own, and a folder for the cache.
struct Desk {
    room: TempDir,
}

impl Desk {
    /// Seven sittings that are over, one that is open.
    fn new() -> Self {
        let desk = Self {
            room: tempfile::tempdir().unwrap(),
        };
        for dir in ["sessions", "keys", "cache"] {
            fs::create_dir(desk.room.path().join(dir)).unwrap();
        }
        for (header, log) in &made::season() {
            let path = made::write(&desk.sessions(), header, log);
            fs::write(path, sealed(header, log)).unwrap();
        }
        for name in ["saltmarsh-a.key.ron", "saltmarsh-b.key.ron"] {
            fs::copy(made::sample(name), desk.keys().join(name)).unwrap();
        }
        desk
    }

    fn sessions(&self) -> PathBuf {
        self.room.path().join("sessions")
    }

    fn keys(&self) -> PathBuf {
        self.room.path().join("keys")
    }

    /// The files of the cache's folder.
    fn caches(&self) -> Vec<PathBuf> {
        let entries = fs::read_dir(self.room.path().join("cache")).unwrap();
        entries.map(|entry| entry.unwrap().path()).collect()
    }

    fn files(&self) -> Vec<PathBuf> {
        let folders = fs::read_dir(self.sessions()).unwrap();
        let folders = folders
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.is_dir());
        let files = folders.flat_map(|folder| fs::read_dir(folder).unwrap());
        let mut files: Vec<_> = files.map(|entry| entry.unwrap().path()).collect();
        files.retain(|path| path.to_string_lossy().ends_with(".session.ron"));
        files.sort();
        files
    }

    /// The list as it is without a cache.
    fn listed(&self) -> Vec<Listed> {
        rows(Reader::new(&self.sessions(), &[self.keys()], "P.B.").unwrap())
    }

    /// The list with the cache, which is written by the time this returns.
    fn remembered(&self) -> Vec<Listed> {
        self.remembered_at(now())
    }

    /// The same a day later, when nothing was changed a short while ago.
    fn remembered_later(&self) -> Vec<Listed> {
        self.remembered_at(now() + 86_400)
    }

    fn remembered_at(&self, now: i64) -> Vec<Listed> {
        let cache = self.room.path().join("cache");
        let summaries = Summaries::kept_in(&cache, &self.sessions(), now);
        let reader = Reader::new(&self.sessions(), &[self.keys()], "P.B.").unwrap();
        rows(reader.remembering(summaries))
    }

    /// Changes the lines of the cache that stand for sittings; its checksum is right then.
    fn rewrite_cache(&self, mut change: impl FnMut(&str) -> String) {
        let mut text = String::new();
        for line in self.kept().lines().filter(|line| !line.starts_with("end ")) {
            let is_sitting = line.contains("\"pupil\":");
            text += &if is_sitting {
                change(line)
            } else {
                line.to_owned()
            };
            text.push('\n');
        }
        let end = ContentDigest::of(text.as_bytes());
        let [path] = self.caches().try_into().unwrap();
        fs::write(path, format!("{text}end {end}\n")).unwrap();
    }

    /// What stands in the cache.
    fn kept(&self) -> String {
        let [path] = self.caches().try_into().unwrap();
        fs::read_to_string(path).unwrap()
    }
}

/// Now, in seconds since 1970.
fn now() -> i64 {
    SystemClock.local().timestamp()
}

/// Everything that is listed, once all is read; the reader's own thread has then ended.
fn rows(mut reader: Reader) -> Vec<Listed> {
    reader.begin(|| {});
    let mut rows = Vec::new();
    while let Some(arrived) = reader.wait() {
        match arrived {
            Arrived::Named(named) => rows = named,
            Arrived::Read(read) => {
                for (place, row) in read {
                    rows[place] = row;
                }
            }
            Arrived::AllRead => break,
            Arrived::Group(..) | Arrived::Report(..) => {}
        }
    }
    reader.finish();
    rows
}

fn sealed(header: &Header, log: &[Stamped]) -> String {
    let mut chain = Chain::default();
    let mut text = write_header(header, &mut chain).unwrap();
    for stamped in log {
        text += &write_event(stamped, &mut chain).unwrap();
    }
    let seal = write_seal(text.as_bytes(), &mut chain).unwrap();
    let is_over = text.contains("event:Closed(");
    if is_over { text + &seal } else { text }
}

/// Sets a file's date, as a copying program or a clock that was set back does.
fn dated(path: &Path, seconds: u64) {
    let date = SystemTime::UNIX_EPOCH + Duration::from_secs(seconds);
    let file = File::options().write(true).open(path).unwrap();
    file.set_times(FileTimes::new().set_modified(date)).unwrap();
}

/// Something that happens between two openings.
#[derive(Clone, Debug)]
enum Act {
    Delete(usize),
    /// A byte of a session is another one; its date is as before.
    Spoil(usize, usize, u8),
    /// The end of a session is gone.
    Cut(usize, usize),
    /// A pupil sat again, or the sitting is there once more under another name.
    Sit(i64, u16),
    Copy(usize),
    /// Two files change places, dates and all.
    Swap(usize, usize),
    Date(usize, u64),
    /// Every answer of the key is another option, or the key is gone.
    Rekey(char),
    Unkey,
    SetAside(usize),
    SpoilNotes(usize),
    Thresholds(u32),
    SpoilCache(usize, u8),
    CutCache(usize),
    OpenCache,
    DropCache,
}

fn act() -> impl Strategy<Value = Act> {
    prop_oneof![
        any::<usize>().prop_map(Act::Delete),
        (any::<usize>(), any::<usize>(), any::<u8>()).prop_map(|(f, at, to)| Act::Spoil(f, at, to)),
        (any::<usize>(), any::<usize>()).prop_map(|(f, at)| Act::Cut(f, at)),
        (60_i64..90, 2_u16..9).prop_map(|(day, every)| Act::Sit(day, every)),
        any::<usize>().prop_map(Act::Copy),
        (any::<usize>(), any::<usize>()).prop_map(|(one, other)| Act::Swap(one, other)),
        (any::<usize>(), 0..2_000_000_000_u64).prop_map(|(f, at)| Act::Date(f, at)),
        prop::char::range('A', 'E').prop_map(Act::Rekey),
        Just(Act::Unkey),
        any::<usize>().prop_map(Act::SetAside),
        any::<usize>().prop_map(Act::SpoilNotes),
        (0_u32..101).prop_map(Act::Thresholds),
        (any::<usize>(), any::<u8>()).prop_map(|(at, to)| Act::SpoilCache(at, to)),
        any::<usize>().prop_map(Act::CutCache),
        Just(Act::OpenCache),
        Just(Act::DropCache),
    ]
}

impl Act {
    #[expect(clippy::too_many_lines, reason = "an arm an act")]
    fn run(&self, desk: &Desk) {
        let files = desk.files();
        let one = |place: &usize| files.get(place % files.len().max(1));
        let spoil = |path: &Path, at: usize, to: u8| {
            let mut bytes = fs::read(path).unwrap();
            let at = at % bytes.len().max(1);
            if let Some(byte) = bytes.get_mut(at) {
                *byte = to;
            }
            fs::write(path, bytes).unwrap();
        };
        let cut = |path: &Path, at: usize| {
            let bytes = fs::read(path).unwrap();
            fs::write(path, &bytes[..at % bytes.len().max(1)]).unwrap();
        };
        match self {
            Self::Delete(place) => {
                if let Some(path) = one(place) {
                    fs::remove_file(path).unwrap();
                }
            }
            Self::Spoil(place, at, to) => {
                if let Some(path) = one(place) {
                    let date = fs::metadata(path).unwrap().modified().unwrap();
                    spoil(path, *at, *to);
                    let since = date.duration_since(SystemTime::UNIX_EPOCH).unwrap();
                    dated(path, since.as_secs());
                }
            }
            Self::Cut(place, at) => {
                if let Some(path) = one(place) {
                    cut(path, *at);
                }
            }
            Self::Sit(day, every) => {
                let (header, log) = made::other("otter", *day, 60, *every);
                let path = made::write(&desk.sessions(), &header, &log);
                fs::write(path, sealed(&header, &log)).unwrap();
            }
            Self::Copy(place) => {
                if let Some(path) = one(place) {
                    let copy = path.with_file_name("copy.session.ron");
                    fs::copy(path, copy).unwrap();
                }
            }
            Self::Swap(first, second) => {
                if let (Some(first), Some(second)) = (one(first), one(second)) {
                    let aside = desk.room.path().join("aside");
                    fs::rename(first, &aside).unwrap();
                    if first != second {
                        fs::rename(second, first).unwrap();
                    }
                    fs::rename(&aside, second).unwrap();
                }
            }
            Self::Date(place, seconds) => {
                if let Some(path) = one(place) {
                    dated(path, *seconds);
                }
            }
            Self::Rekey(option) => {
                let text = format!(
                    "(format: 1, paper: \"saltmarsh-a\", answers: \"{}\")",
                    option.to_string().repeat(25)
                );
                fs::write(desk.keys().join("saltmarsh-a.key.ron"), text).unwrap();
            }
            Self::Unkey => {
                let _ = fs::remove_file(desk.keys().join("saltmarsh-a.key.ron"));
            }
            Self::SetAside(place) => {
                if let Some(path) = one(place) {
                    let mut reader = Reader::new(&desk.sessions(), &[desk.keys()], "P.B.").unwrap();
                    let at = "2026-12-01T10:00:00+00:00".parse().unwrap();
                    let (counts, because, by) =
                        (false, "a false start".to_owned(), "P.B.".to_owned());
                    let ruling = Ruling {
                        at,
                        counts,
                        because,
                        by,
                    };
                    // A file that cannot be read takes no decision.
                    let _ = reader.decide(path, ruling);
                }
            }
            Self::SpoilNotes(place) => {
                if let Some(path) = one(place) {
                    let name = path.to_string_lossy().replace(".session.", ".notes.");
                    fs::write(name, "(format: 1, sitting: \"nobody's\"").unwrap();
                }
            }
            Self::Thresholds(percent) => {
                let share = f64::from(*percent) / 100.0;
                let text = format!("(format: 1, thresholds: {{\"short_share\": {share}}})");
                fs::write(desk.sessions().join("thresholds.ron"), text).unwrap();
            }
            Self::SpoilCache(at, to) => {
                for cache in desk.caches() {
                    spoil(&cache, *at, *to);
                }
            }
            Self::CutCache(at) => {
                for cache in desk.caches() {
                    cut(&cache, *at);
                }
            }
            Self::OpenCache => {
                for cache in desk.caches() {
                    fs::set_permissions(cache, fs::Permissions::from_mode(0o644)).unwrap();
                }
            }
            Self::DropCache => {
                for cache in desk.caches() {
                    fs::remove_file(cache).unwrap();
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn the_list_is_the_same_with_and_without_a_cache(
        days in prop::collection::vec((any::<bool>(), prop::collection::vec(act(), 0..4)), 1..6),
        later: bool,
    ) {
        let desk = Desk::new();
        let remembered = |later: bool| if later { desk.remembered_later() } else { desk.remembered() };
        prop_assert_eq!(remembered(later), desk.listed());
        for (later, acts) in days {
            // Clocks of files go in steps of some milliseconds.
            sleep(Duration::from_millis(12));
            for act in &acts {
                act.run(&desk);
            }
            prop_assert_eq!(remembered(later), desk.listed());
        }
    }
}

/// A cache written by hand, with every checksum right, stands only for the bytes that it names.
#[test]
fn the_cache_is_used_for_the_very_bytes_and_for_no_others() {
    let desk = Desk::new();
    let first = desk.remembered();
    let kept = desk.kept();
    let pupils = |text: &str| text.matches("\"pupil\":\"otter\"").count();
    assert!(pupils(&kept) > 0, "{kept}");
    assert!(kept.contains(" - "), "just written: known by bytes alone");
    // Whoever can write it as this user can say anything of the same bytes: that shows that it is read at all.
    desk.rewrite_cache(|line| line.replace("\"flags\":0", "\"flags\":7"));
    assert!(flags(&desk.remembered()).contains(&7));
    // One byte more, and every file is read.
    for file in desk.files() {
        let crlf = fs::read_to_string(&file).unwrap().replace('\n', "\r\n");
        fs::write(&file, crlf).unwrap();
    }
    assert_eq!(desk.remembered(), first);
    assert!(!flags(&desk.remembered()).contains(&7));
}

/// The same, where it names other bytes than the files', but what the system says of them.
#[cfg(target_os = "linux")]
#[test]
fn a_file_that_nobody_has_changed_for_long_is_not_read_and_one_that_was_is_whatever_its_date() {
    let desk = Desk::new();
    let first = desk.remembered_later();
    let forged = |line: &str| {
        let (digest, rest) = line.split_once(' ').unwrap();
        let rest = rest.replace("\"flags\":0", "\"flags\":7");
        format!("{} {rest}", digest.replace(|_| true, "0"))
    };
    // Lines have digests of their own: the first one's alone is forged.
    let mut is_first = true;
    desk.rewrite_cache(|line| {
        if std::mem::take(&mut is_first) {
            forged(line)
        } else {
            line.to_owned()
        }
    });
    assert_eq!(
        flags(&desk.remembered_later())
            .iter()
            .filter(|own| **own == 7)
            .count(),
        1
    );
    // So short after they were made nothing but their bytes is believed.
    assert_eq!(desk.remembered(), first);
    desk.remembered_later();
    sleep(Duration::from_millis(20));
    for file in desk.files() {
        let date = fs::metadata(&file).unwrap().modified().unwrap();
        let same = fs::read(&file).unwrap();
        fs::write(&file, same).unwrap();
        let times = FileTimes::new().set_modified(date);
        let file = File::options().write(true).open(&file).unwrap();
        file.set_times(times).unwrap();
    }
    assert_eq!(desk.remembered_later(), first);
}

/// The bytes of a file are known; so they are where its place, its name and all that the system says of it are others.
#[test]
fn a_file_that_was_copied_or_moved_is_known_by_its_bytes_and_by_what_the_system_says_of_it_from_then_on()
 {
    let desk = Desk::new();
    desk.remembered_later();
    let kept = desk.kept();
    for file in desk.files() {
        let aside = file.with_extension("aside");
        fs::copy(&file, &aside).unwrap();
        fs::rename(&aside, &file).unwrap();
    }
    desk.rewrite_cache(|line| line.replace("\"flags\":0", "\"flags\":7"));
    assert!(flags(&desk.remembered_later()).contains(&7));
    let anew = desk.kept();
    assert_eq!(anew.lines().count(), kept.lines().count());
    if cfg!(target_os = "linux") {
        let stamps = |kept: &str| -> Vec<String> {
            let lines = kept.lines().filter(|line| line.contains("\"pupil\":"));
            lines
                .map(|line| line.split(' ').nth(1).unwrap().to_owned())
                .collect()
        };
        for (was, is) in stamps(&kept).iter().zip(stamps(&anew)) {
            assert!(is != "-" && is != *was, "{was} {is}");
        }
    }
}

fn flags(rows: &[Listed]) -> Vec<usize> {
    let summaries = rows.iter().filter_map(Listed::summary);
    summaries.map(|own| own.flags).collect()
}

#[test]
fn only_whole_ended_sittings_are_kept_and_only_while_their_files_are_there() {
    let desk = Desk::new();
    let rows = desk.remembered();
    let over = rows.iter().filter_map(Listed::summary);
    let over = over.filter(|own| own.standing.ending.is_some()).count();
    let lines = |kept: &str| kept.matches("\"pupil\":").count();
    assert_eq!(lines(&desk.kept()), over);
    assert!(!desk.kept().contains("\"marks\""));
    let otters = desk.files().into_iter().filter(|path| {
        let folder = path.parent().unwrap();
        folder.ends_with("otter")
    });
    for path in otters {
        fs::remove_file(path).unwrap();
    }
    assert!(desk.remembered().iter().all(|row| row.pupil != "otter"));
    assert!(!desk.kept().contains("otter"), "{}", desk.kept());
}

#[test]
fn a_cache_that_others_can_read_or_a_link_is_none_and_is_written_anew_for_its_owner_alone() {
    let desk = Desk::new();
    let rows = desk.remembered();
    let [path] = desk.caches().try_into().unwrap();
    let rights = || fs::symlink_metadata(&path).unwrap().permissions().mode() & 0o777;
    assert_eq!(rights(), 0o600);
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    assert_eq!(desk.remembered(), rows);
    assert_eq!(rights(), 0o600);
    let elsewhere = desk.room.path().join("elsewhere");
    fs::rename(&path, &elsewhere).unwrap();
    symlink(&elsewhere, &path).unwrap();
    fs::write(&elsewhere, "not ours").unwrap();
    assert_eq!(desk.remembered(), rows);
    assert_eq!(fs::read_to_string(&elsewhere).unwrap(), "not ours");
    assert!(fs::symlink_metadata(&path).unwrap().is_file());
}

#[test]
fn caches_of_folders_that_are_gone_and_halves_of_killed_writers_are_removed() {
    let desk = Desk::new();
    desk.remembered();
    let cache = desk.room.path().join("cache");
    fs::rename(desk.sessions(), desk.room.path().join("moved")).unwrap();
    fs::write(cache.join(".x.cache.0011223344556677.part"), "half").unwrap();
    fs::create_dir(desk.sessions()).unwrap();
    for (header, log) in &made::season() {
        made::write(&desk.sessions(), header, log);
    }
    let moved = desk.room.path().join("moved");
    let reader = Reader::new(&moved, &[desk.keys()], "P.B.").unwrap();
    rows(reader.remembering(Summaries::kept_in(&cache, &moved, now())));
    assert_eq!(desk.caches().len(), 2, "both folders are there");
    fs::remove_dir_all(&moved).unwrap();
    desk.remembered();
    assert_eq!(desk.caches().len(), 1, "{:?}", desk.caches());
}

#[test]
fn a_sitting_that_is_wrong_stays_wrong_beside_a_cache() {
    let desk = Desk::new();
    desk.remembered();
    let path = desk.files().pop().unwrap();
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replacen("Answered(5", "Answered(6", 1)).unwrap();
    for _ in 0..2 {
        let rows = desk.remembered();
        let row = rows.iter().find(|row| row.path == path).unwrap();
        assert!(matches!(row.state, State::Wrong(_)), "{row:?}");
    }
}
