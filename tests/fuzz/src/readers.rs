//! One function a kind of file: bytes go in as somebody's file would, and whatever they are, nothing panics,
//! and what is refused is refused in sentences.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::AtomicUsize;
use std::sync::atomic::Ordering::Relaxed;

use pacebell::analysis::Analysis;
use pacebell::domain::drill::DrillKind;
use pacebell::domain::header::Alias;
use pacebell::domain::paper::{Outline, Paper};
use pacebell::domain::sitting::Sitting;
use pacebell::domain::thresholds::Thresholds;
use pacebell::storage::files::answers::{AnswerList, ListedRow, class as class_list};
use pacebell::storage::files::{
    self, FileTrouble, key as key_file, marks as marks_file, notes as notes_file,
    paper as paper_file, plan as plan_file, register as register_file,
    thresholds as thresholds_file,
};
use pacebell::storage::journal::line::{self, Chain};
use pacebell::storage::journal::recover::{self, Scan};
use pacebell::storage::journal::{add_drill, drills_of};

/// Files of every kind, each with a name that stands in no sentence.
const NAME: &str = "file.ron";

/// What is said of a file that was refused: something, not endlessly, and each in a sentence that can be read.
fn told(trouble: &FileTrouble) {
    assert!(!trouble.problems.is_empty(), "refused without a reason");
    assert!(trouble.problems.len() <= 202, "{}", trouble.problems.len());
    for problem in &trouble.problems {
        assert!(!problem.what.is_empty());
        let length = problem.to_string().chars().count();
        assert!(length < 1500, "{length} characters");
    }
}

fn read<T>(read: Result<files::Sound<T>, FileTrouble>) -> Option<T> {
    match read {
        Ok(sound) => Some(sound.value),
        Err(trouble) => {
            told(&trouble);
            None
        }
    }
}

/// A paper of five questions, against which keys and lists are read.
fn small_paper() -> Paper {
    let text = include_str!("../seeds/paper/small");
    match paper_file::from_bytes(Path::new(NAME), text.as_bytes(), None) {
        Ok(sound) => sound.value,
        Err(trouble) => panic!("{trouble}"),
    }
}

fn outline() -> &'static Outline {
    static PAPER: std::sync::LazyLock<Paper> = std::sync::LazyLock::new(small_paper);
    &PAPER.outline
}

/// A paper: with its day of today and without.
pub fn paper(bytes: &[u8]) {
    let today = "2026-11-25".parse().ok();
    read(paper_file::from_bytes(Path::new(NAME), bytes, today));
    if let Some(paper) = read(paper_file::from_bytes(Path::new(NAME), bytes, None)) {
        let asked = paper.outline.numbers().count();
        assert_eq!(asked, paper.questions.len());
        assert!(paper.question_fingerprints().len() <= asked);
        for number in paper.outline.numbers() {
            assert!(paper.outline.labels(number).iter().count() >= 2);
        }
    }
}

/// A key, by itself and against a paper.
pub fn key(bytes: &[u8]) {
    read(key_file::from_bytes(Path::new(NAME), bytes, None));
    if let Some(key) = read(key_file::from_bytes(
        Path::new(NAME),
        bytes,
        Some(outline()),
    )) {
        assert!(key.fits(outline()).is_ok());
    }
}

/// A pace plan.
pub fn plan(bytes: &[u8]) {
    if let Some(plan) = read(plan_file::from_bytes(Path::new(NAME), bytes)) {
        let again = plan_file::text(&plan, &[]);
        let again = read(plan_file::from_bytes(Path::new(NAME), again.as_bytes()));
        assert_eq!(again.as_ref(), Some(&plan));
    }
}

/// Notes on a sitting.
pub fn notes(bytes: &[u8]) {
    if let Some(notes) = read(notes_file::from_bytes(Path::new(NAME), bytes)) {
        let _ = (notes.decision(), notes.is_empty());
    }
}

/// Thresholds.
pub fn thresholds(bytes: &[u8]) {
    read(thresholds_file::from_bytes(Path::new(NAME), bytes));
}

/// A register.
pub fn register(bytes: &[u8]) {
    read(register_file::from_bytes(Path::new(NAME), bytes));
}

/// Chains lines that have no checksums, so that what the fuzzer makes gets past them.
fn chained(bytes: &[u8]) -> Vec<u8> {
    let mut out = Vec::with_capacity(bytes.len() * 2);
    let mut before = 0_u32;
    for text in bytes.split(|byte| *byte == b'\n') {
        let mut sum = crc32fast::Hasher::new();
        sum.update(format!("{before:08x}").as_bytes());
        sum.update(text);
        before = sum.finalize();
        out.extend_from_slice(text);
        out.extend_from_slice(format!(" // {before:08x}\n").as_bytes());
    }
    out
}

fn scanned(bytes: &[u8]) {
    let Ok(scan) = recover::scan(bytes) else {
        return;
    };
    assert!(scan.good <= bytes.len());
    let kept = recover::scan(&bytes[..scan.good]);
    let kept = kept.unwrap_or_else(|no| panic!("what is good is no session: {no:?}"));
    assert_eq!((&kept.header, &kept.events), (&scan.header, &scan.events));
    assert!(kept.damage.is_none() && kept.torn.is_none());
    written_again(&scan);
    let header = Arc::new(scan.header);
    let mut sitting = Sitting::new(Arc::clone(&header));
    for stamped in &scan.events {
        sitting.apply(stamped.at, &stamped.event);
    }
    let analysis = Analysis::of(header, scan.events.into(), Arc::new(Thresholds::default()));
    let _ = (analysis.standing(), analysis.blanks(), analysis.unused());
    let _ = (analysis.order(), analysis.gone_back_to(), analysis.replay());
}

/// What was read can be written, and is then read as the same.
fn written_again(scan: &Scan) {
    let mut chain = Chain::default();
    let Ok(mut text) = line::write_header(&scan.header, &mut chain) else {
        return;
    };
    for stamped in &scan.events {
        match line::write_event(stamped, &mut chain) {
            Ok(line) => text += &line,
            Err(_) => return,
        }
    }
    let again = recover::scan(text.as_bytes());
    let again = again.unwrap_or_else(|no| panic!("what was written is no session: {no:?}\n{text}"));
    assert_eq!(again.header, scan.header);
    assert_eq!(again.events.len(), scan.events.len(), "{:?}", again.damage);
}

/// A session's first line.
fn first_line() -> &'static str {
    let session = include_str!("../seeds/session/short");
    session.lines().next().unwrap_or_default()
}

/// A session of a sound first line, and a line for each of these: milliseconds since the line before, a space,
/// and an event. Numbers, moments and checksums are what they should be, and the last line may seal the file.
fn told_shortly(bytes: &[u8]) -> Vec<u8> {
    let mut out = first_line().as_bytes().to_vec();
    let mut at = 0_u64;
    for (number, text) in (1..).zip(bytes.split(|byte| *byte == b'\n')) {
        let digits = text.iter().take_while(|byte| byte.is_ascii_digit());
        let (since, event) = text.split_at(digits.take(9).count());
        let since = str::from_utf8(since)
            .ok()
            .and_then(|text| text.parse().ok());
        at += since.unwrap_or(0);
        let event = event.strip_prefix(b" ").unwrap_or(event);
        out.extend_from_slice(
            format!("\n(n:{number},at:{at},utc:\"2026-11-25T16:05:00Z\",event:").as_bytes(),
        );
        out.extend_from_slice(event);
        out.push(b')');
    }
    chained(&out)
}

/// The same behind which the line stands that seals it.
fn ended(mut session: Vec<u8>) -> Vec<u8> {
    let lines = session.split(|byte| *byte == b'\n').count() - 1;
    let last = session.len().saturating_sub(9);
    let crc = str::from_utf8(&session[last..]).ok();
    let crc = crc.and_then(|digits| u32::from_str_radix(digits.trim_end(), 16).ok());
    let mut chain = Chain {
        next: lines as u64,
        crc: crc.unwrap_or(0),
        format: 2,
    };
    if let Ok(seal) = line::write_seal(&session, &mut chain) {
        session.extend_from_slice(seal.as_bytes());
    }
    session
}

/// A session: as it is, and with the checksums that its lines should have. What does not begin like one is the
/// events of one, a line each.
pub fn session(bytes: &[u8]) {
    if bytes.starts_with(b"(") {
        scanned(bytes);
        scanned(&chained(bytes));
    } else {
        let session = told_shortly(bytes);
        if bytes.ends_with(b"\n") {
            scanned(&session);
        } else {
            scanned(&ended(session));
        }
    }
}

/// A folder of this thread alone, in memory where there is such a place: two tests of one program read files of the
/// same name.
fn folder() -> PathBuf {
    static THREADS: AtomicUsize = AtomicUsize::new(0);
    let memory = Path::new("/dev/shm");
    let place = if memory.is_dir() {
        memory.to_owned()
    } else {
        std::env::temp_dir()
    };
    let (process, thread) = (std::process::id(), THREADS.fetch_add(1, Relaxed));
    let folder = place.join(format!("pacebell-fuzz-{process}-{thread}"));
    let made = fs::create_dir_all(&folder);
    made.unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    folder
}

fn file_of(bytes: &[u8], name: &str) -> PathBuf {
    thread_local! {
        static FOLDER: PathBuf = folder();
    }
    let own = FOLDER.with(PathBuf::clone);
    let file = own.join(name);
    let written = fs::write(&file, bytes).or_else(|_no_folder_yet| {
        fs::create_dir_all(file.parent().unwrap_or(&own))?;
        fs::write(&file, bytes)
    });
    written.unwrap_or_else(|error| panic!("{}: {error}", file.display()));
    file
}

/// A pupil's drills: as they are, and with the checksums that their lines should have; another drill goes
/// behind them, or into a file of its own.
pub fn drill(bytes: &[u8]) {
    let Ok(pupil) = Alias::new("otter") else {
        return;
    };
    for bytes in [bytes.to_vec(), chained(bytes)] {
        let file = file_of(&bytes, "sessions/otter/sweep.drill.ron");
        let sessions = file.ancestors().nth(2).unwrap_or(&file);
        let drills = drills_of(sessions, &pupil, DrillKind::Sweep);
        if let Some(last) = drills.last()
            && bytes.len().is_multiple_of(64)
        {
            let added = add_drill(sessions, &pupil, last);
            let added = added.unwrap_or_else(|no| panic!("{no}"));
            let now = drills_of(sessions, &pupil, DrillKind::Sweep);
            assert_eq!(now.len(), drills.len() + 1);
            if added != file {
                let _ = fs::remove_file(added);
            }
        }
    }
}

/// A list of answer sheets that are only counted.
pub fn answers(bytes: &[u8]) {
    let file = file_of(bytes, "answers.csv");
    let blanks = ["0".to_owned(), "NA".to_owned()];
    match AnswerList::open(&file, outline(), &blanks) {
        Ok(mut list) => {
            let read = loop {
                match list.next_row() {
                    Ok(Some(ListedRow::Sheet(codes))) => {
                        assert_eq!(codes.len(), usize::from(outline().questions));
                    }
                    Ok(Some(ListedRow::NoSheet)) => {}
                    Ok(None) => break list.end(),
                    Err(trouble) => break Err(trouble),
                }
            };
            let _ = list.notes();
            if let Err(trouble) = read {
                told(&trouble);
            }
        }
        Err(trouble) => told(&trouble),
    }
}

/// A class's list of pupils' sheets.
pub fn class(bytes: &[u8]) {
    let file = file_of(bytes, "class.csv");
    let known = Alias::new("Teasel").ok();
    match class_list::read(&file, outline(), &["NA".to_owned()], known) {
        Ok(class) => {
            for sheet in class.sheets {
                assert_eq!(sheet.answers.len(), usize::from(outline().questions));
            }
        }
        Err(trouble) => told(&trouble),
    }
}

/// A column of marks.
pub fn marks(bytes: &[u8]) {
    let file = file_of(bytes, "marks.csv");
    for column in [None, Some("2")] {
        match marks_file::read(&file, column, &mut |_, _| {}) {
            Ok(marks) => assert!(marks.counts.values().all(|people| *people > 0)),
            Err(trouble) => told(&trouble),
        }
    }
}
