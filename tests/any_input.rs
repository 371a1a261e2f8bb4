//! Input of any kind: lines that are no text, names and titles that would act on a screen, outputs that nobody reads.

#![cfg(test)]
#![cfg(unix)]

#[path = "common/tree.rs"]
mod tree;

use std::fs;
use std::io::Write as _;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::Duration;

const PROGRAM: &str = env!("CARGO_BIN_EXE_pacebell");

/// Words that make a new paper with its key.
const NEW: [&str; 11] = [
    "paper",
    "new",
    "fresh",
    "--questions",
    "3",
    "--minutes",
    "5",
    "--sections",
    "1-3:4",
    "--answers",
    "ABC",
];

fn room() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let papers = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-papers");
    tree::copy(&papers, dir.path());
    dir
}

/// The program in a folder of its own, as its own home.
fn program(dir: &Path, words: &[&str]) -> Command {
    let mut program = Command::new(PROGRAM);
    program
        .current_dir(dir)
        .env_clear()
        .env("HOME", dir)
        .args(words);
    program
}

fn fed(dir: &Path, words: &[&str], input: &[u8]) -> Output {
    let mut child = program(dir, words)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let _it_may_have_ended = child.stdin.take().unwrap().write_all(input);
    child.wait_with_output().unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn sessions(dir: &Path) -> Vec<String> {
    let mut found = Vec::new();
    let mut open = vec![dir.to_owned()];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else if path.to_string_lossy().ends_with(".session.ron") {
                found.push(fs::read_to_string(path).unwrap());
            }
        }
    }
    found
}

const SIT: [&str; 7] = [
    "sit",
    "saltmarsh-first.paper.ron",
    "--pupil",
    "otter",
    "--plain",
    "--sessions",
    "sessions",
];

#[test]
fn a_line_that_is_no_text_ends_no_sitting() {
    let dir = room();
    let typed = b"start\nb\n\xff\xfe\xc3\n\0\x1b[2J\nnext\nc\n2\xe2\x80\n3\nd\nfinish\ny\n";
    let output = fed(dir.path(), &SIT, typed);
    let said = out(&output);
    assert_eq!(output.status.code(), Some(0), "{said}");
    let log = sessions(dir.path());
    for event in [
        "Answered(1,'B')",
        "Answered(2,'C')",
        "Answered(3,'D')",
        "Closed(finished_early)",
    ] {
        assert!(log[0].contains(event), "{event}\n{said}\n{}", log[0]);
    }
    assert!(!said.contains(['\x1b', '\0']), "{said:?}");
}

/// A line of 40 MB, and a hundred thousand more than anybody types.
#[test]
fn lines_without_an_end_and_without_number_are_neither_kept_nor_lost() {
    let dir = room();
    let mut typed = b"start\nb\n".to_vec();
    typed.resize(40 << 20, b'a');
    typed.extend(b"\n");
    typed.extend(b"2\n1\n".repeat(500));
    typed.extend(b"3\nd\nfinish\ny\n");
    let output = fed(dir.path(), &SIT, &typed);
    assert_eq!(output.status.code(), Some(0));
    assert!(
        output.stdout.len() < 4 << 20,
        "{} bytes",
        output.stdout.len()
    );
    let log = sessions(dir.path());
    assert!(log[0].contains("Answered(1,'B')") && log[0].contains("Answered(3,'D')"));
}

#[test]
fn typed_in_sheets_and_the_question_before_erasing_take_any_bytes() {
    let dir = room();
    let words = [
        "enter",
        "saltmarsh-first.paper.ron",
        "--pupil",
        "otter",
        "--date",
        "2026-11-20",
    ];
    let output = fed(dir.path(), &words, b"ab\xff\n");
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(
        output.status.code() == Some(1) && said.contains("isn't an answer"),
        "{said}"
    );
    let sheet = fed(dir.path(), &words, b"abcdabcdabcd\n");
    assert_eq!(sheet.status.code(), Some(0), "{sheet:?}");
    let erase = fed(dir.path(), &["erase", "otter"], b"\xff\xff\n");
    let said = String::from_utf8_lossy(&erase.stderr).into_owned();
    assert!(
        erase.status.code() == Some(1) && !said.contains("UTF-8"),
        "{said}"
    );
}

/// Writes a session's records anew, with their checksums and without the seal.
fn forge(session: &Path, edit: impl Fn(&str) -> String) {
    let mut before = "00000000".to_owned();
    let text = fs::read_to_string(session).unwrap();
    let open = text.lines().filter(|line| !line.contains("sealed:"));
    let lines = open.map(|line| {
        let (record, _) = line.split_once(" // ").unwrap();
        let record = edit(record);
        let sum = crc32fast::hash(format!("{before}{record}").as_bytes());
        before = format!("{sum:08x}");
        format!("{record} // {before}\n")
    });
    let lines: String = lines.collect();
    fs::write(session, lines).unwrap();
}

/// What a screen acts on: the categories Cc but for line feed and tab, and `Bidi_Control` (Unicode, from memory).
fn acts(c: char) -> bool {
    (c.is_control() && !matches!(c, '\n' | '\t'))
        || matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

#[test]
fn no_name_and_no_title_acts_on_a_screen() {
    let dir = room();
    let evil = "e\u{1b}[2J\u{202e}\u{2066}v\u{9b}31m\u{7}";
    let path = dir.path();
    let paper = format!("{evil}.paper.ron");
    fs::copy(path.join("saltmarsh-a.paper.ron"), path.join(&paper)).unwrap();
    let broken = format!("{evil}-b.paper.ron");
    fs::write(path.join(&broken), "(format: 2,").unwrap();
    let key = format!("{evil}.key.ron");
    fs::write(path.join(&key), format!("(format: 1, paper: \"{evil}\")")).unwrap();
    // A sitting whose title paints: its first line is written anew, with its checksum.
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions/teasel");
    tree::copy(&own, &path.join("sessions/teasel"));
    let session = fs::read_dir(path.join("sessions/teasel"))
        .unwrap()
        .next()
        .unwrap()
        .unwrap()
        .path();
    let title = evil
        .replace('\u{1b}', "\\u{1b}")
        .replace('\u{7}', "\\u{7}")
        .replace('\u{9b}', "\\u{9b}");
    forge(&session, |record| {
        record.replacen("Saltmarsh Shield", &title, 1)
    });
    let session = session.to_str().unwrap().to_owned();
    let evil_dir = format!("{evil}-none");
    let cases: Vec<Vec<&str>> = vec![
        vec!["paper", "check", &paper, &broken, &key],
        vec!["paper", "list", "."],
        vec!["mark", &session, "--key", "."],
        vec!["mark", &session, "--key", ".", "--json"],
        vec!["mark", "sessions", "--key", &key],
        vec!["mark", &evil_dir, "--key", "."],
        vec!["progress", "teasel", "--keys", "."],
        vec!["group", "--paper", &paper, "sessions"],
        vec!["feedback", &session, "--key", "saltmarsh-a.key.ron"],
        vec!["boundary", "--marks", &evil_dir],
        vec!["set-aside", &session, "--list"],
        vec!["sit", &broken, "--pupil", "otter", "--plain"],
        vec!["sit", &paper, "--pupil", &evil_dir, "--plain"],
        vec!["gather", &evil_dir],
        vec!["luck", &evil_dir],
        vec![&evil_dir],
    ];
    let mut told = 0;
    for words in cases {
        let output = fed(path, &words, b"leave\n");
        for text in [&output.stdout, &output.stderr] {
            let text = String::from_utf8_lossy(text);
            let found = text.chars().find(|c| acts(*c));
            assert_eq!(found, None, "{words:?}: {text:?}");
            told += usize::from(text.contains("\\u001b[2J\\u202e"));
        }
    }
    assert!(told >= 4, "the names are shown, written out: {told}");
}

/// A name of a file or a folder, or what a record calls a thing, with a line of its own in it and characters that
/// nobody sees (general category Cf; UnicodeData.txt).
const TWO_LINES: &str = "e\nFORGED\u{200b}\u{2060}\u{feff}\u{ad}\u{e0041}v";

fn hidden(c: char) -> bool {
    matches!(
        c,
        '\u{ad}' | '\u{200b}' | '\u{2060}' | '\u{feff}' | '\u{e0041}'
    )
}

/// Every text of a record's first line gets a second line.
fn with_two_lines(record: &str) -> String {
    let mut rest = record;
    let mut made = String::new();
    for field in [
        "sitting:\"",
        "(id:\"",
        "title:\"",
        "fingerprint:\"",
        "name:\"",
        "by:\"",
        "program:\"",
    ] {
        let (before, behind) = rest.split_once(field).unwrap();
        made = format!("{made}{before}{field}{}", TWO_LINES.replace('\n', "\\n"));
        rest = behind;
    }
    made + rest
}

/// A room in which every name and every field has a second line; gives the sitting whose notes have one.
fn forged_room(path: &Path, sessions: &str, [paper, broken, list]: [&str; 3]) -> PathBuf {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let pupil = path.join(sessions).join("teasel");
    tree::copy(&root.join("sessions/teasel"), &pupil);
    let mut own: Vec<_> = fs::read_dir(&pupil)
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    own.sort_by_key(fs::DirEntry::path);
    let own: Vec<_> = own.iter().map(fs::DirEntry::path).collect();
    forge(&own[0], |record| {
        if record.starts_with("(n:0,") {
            with_two_lines(record)
        } else {
            record.to_owned()
        }
    });
    let ours = own[1].to_str().unwrap();
    let notes = format!(
        "(format: 2, sitting: \"{}\", questions: {{}})",
        TWO_LINES.replace('\n', "\\n")
    );
    fs::write(ours.replace(".session.", ".notes."), notes).unwrap();
    let torn = fs::read_to_string(&own[2]).unwrap();
    fs::write(
        pupil.join(format!("{TWO_LINES}.session.ron")),
        torn.get(..torn.len() - 30).unwrap(),
    )
    .unwrap();
    for ending in [
        "part",
        "other",
        "moved",
        "damaged",
        "lock",
        "tmp",
        "session.ron",
        "practice.ron",
    ] {
        let file = pupil.join(format!("{TWO_LINES}-{ending}.{ending}"));
        fs::write(file, "nothing of the kind").unwrap();
    }
    let other = path.join(sessions).join(format!("pupil{TWO_LINES}"));
    fs::create_dir(&other).unwrap();
    fs::copy(&own[2], other.join("other.session.ron")).unwrap();
    fs::copy(path.join("saltmarsh-a.paper.ron"), path.join(paper)).unwrap();
    fs::write(path.join(broken), "(format: 2,").unwrap();
    let row = format!("\"{TWO_LINES}\",A\n");
    fs::write(path.join(list), format!("pupil,1\n{row}{row}")).unwrap();
    own[1].clone()
}

#[test]
fn no_name_and_no_field_begins_a_line_or_hides_anything() {
    let dir = room();
    let path = dir.path();
    let sessions = format!("sessions{TWO_LINES}");
    let [paper, broken] = ["paper", "broken"].map(|name| format!("{name}{TWO_LINES}.paper.ron"));
    let list = format!("list{TWO_LINES}.csv");
    let page = format!("page{TWO_LINES}.html");
    let ours = forged_room(path, &sessions, [&paper, &broken, &list]);
    let ours = ours.to_str().unwrap();
    let cases: Vec<Vec<&str>> = vec![
        vec!["doctor", &sessions],
        vec!["mark", &sessions, "--key", "."],
        vec!["mark", &sessions, "--key", "saltmarsh-a.key.ron"],
        vec!["mark", ours, "--key", ".", "--json"],
        vec!["review", &sessions, "--plain"],
        vec!["progress", "teasel", "--keys", ".", "--sessions", &sessions],
        vec!["paper", "list", "--sessions", &sessions],
        vec!["paper", "check", &paper, &broken],
        vec![
            "group",
            "--paper",
            "saltmarsh-a.paper.ron",
            "--answers",
            &list,
        ],
        vec!["set-aside", ours, "--because", "a test"],
        vec!["feedback", ours, "--key", ".", "-o", &page],
        vec!["talk", ours, "--key", "."],
        vec!["hindsight", "--sessions", &sessions],
        vec![
            "export",
            "teasel",
            "given",
            "--keys",
            ".",
            "--sessions",
            &sessions,
        ],
        vec!["gather", &sessions, "--sessions", "elsewhere"],
        vec!["rename", "teasel", "otter", "--sessions", &sessions],
        vec!["erase", "teasel", "--sessions", &sessions],
        vec!["sit", &broken, "--pupil", "otter", "--plain"],
        vec![
            "sit",
            &paper,
            "--pupil",
            "otter",
            "--plain",
            "--sessions",
            &sessions,
        ],
    ];
    let mut told = 0;
    for words in cases {
        let output = fed(path, &words, b"start\na\nleave\nn\n");
        for text in [&output.stdout, &output.stderr] {
            let text = String::from_utf8_lossy(text);
            let line = text
                .lines()
                .find(|line| line.trim_start().starts_with("FORGED"));
            assert_eq!(line, None, "{words:?}: {text}");
            assert_eq!(text.find(hidden), None, "{words:?}: {text:?}");
            told += text.matches("\\u000aFORGED\\u200b").count();
        }
    }
    assert!(told >= 20, "the names are shown, written out: {told}");
    // JSON, tables and the page; the copies of the files are as they were.
    for entry in fs::read_dir(path.join("given")).unwrap() {
        let file = entry.unwrap().path();
        if file.is_file() {
            let text = fs::read_to_string(&file).unwrap();
            assert_eq!(text.find(hidden), None, "{}: {text}", file.display());
        }
    }
}

#[test]
fn an_output_that_nobody_reads_is_a_quiet_end() {
    let dir = room();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    tree::copy(&root.join("sessions"), &dir.path().join("sessions"));
    for words in [
        &[
            "paper",
            "check",
            "saltmarsh-a.paper.ron",
            "saltmarsh-b.paper.ron",
        ][..],
        &["paper", "list"],
        &NEW,
        &["mark", "sessions", "--key", "."],
        &["mark", "sessions", "--key", ".", "--json"],
        &["progress", "teasel", "--keys", "."],
        &["group", "--paper", "saltmarsh-a.paper.ron", "sessions"],
        &[
            "sit",
            "saltmarsh-a.paper.ron",
            "--pupil",
            "heron",
            "--plain",
        ],
        &["start", "--help"],
        &["--help"],
        &["--plain"],
    ] {
        let (reads, writes) = std::io::pipe().unwrap();
        drop(reads);
        let mut program = program(dir.path(), words);
        let program = program
            .stdin(Stdio::null())
            .stdout(writes)
            .stderr(Stdio::piped());
        let output = program.output().unwrap();
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(
            !said.contains("roken pipe") && !said.contains("panicked"),
            "{words:?}: {said}"
        );
        if words != ["start", "--help"] {
            assert_eq!(output.status.code(), Some(0), "{words:?}: {said}");
        }
    }
}

/// Everything of a sitting, whatever makes it, and whatever mask the shell has.
#[test]
fn what_is_kept_of_pupils_is_their_owners_alone() {
    let dir = room();
    let path = dir.path();
    assert_eq!(fed(path, &SIT, b"start\nb\nleave\n").status.code(), Some(0));
    let words = [
        "enter",
        "saltmarsh-first.paper.ron",
        "--pupil",
        "teal",
        "--date",
        "2026-11-20",
        "--sessions",
        "sessions",
    ];
    assert_eq!(fed(path, &words, b"abcdabcdabcd\n").status.code(), Some(0));
    assert_eq!(fed(path, &NEW, b"").status.code(), Some(0));
    let list = "pupil,mark\na,5\nb,7\n";
    fs::write(path.join("list.csv"), list).unwrap();
    let mut looked = 0;
    let mut open = vec![path.join("sessions")];
    while let Some(folder) = open.pop() {
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode(&folder), 0o700, "{}", folder.display());
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else {
                assert_eq!(mode(&path), 0o600, "{}", path.display());
                looked += 1;
            }
        }
    }
    assert!(looked >= 2);
    let key = fs::metadata(path.join("fresh.key.ron")).unwrap();
    assert_eq!(key.permissions().mode() & 0o777, 0o600);
}

/// A shell may keep even the owner from what is made in it.
#[test]
fn a_mask_that_keeps_the_owner_out_is_not_kept_to() {
    let dir = room();
    let path = dir.path();
    let words = [
        "-c",
        "umask 0777; exec \"$0\" \"$@\"",
        PROGRAM,
        "enter",
        "saltmarsh-first.paper.ron",
        "--pupil",
        "teal",
        "--date",
        "2026-11-20",
        "--answers",
        "abcdabcdabcd",
        "--sessions",
        "kept/sessions",
    ];
    let mut shell = Command::new("sh");
    let shell = shell.current_dir(path).env_clear().env("HOME", path);
    let output = shell.args(words).output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    for folder in ["kept", "kept/sessions", "kept/sessions/teal"] {
        assert_eq!(mode(&path.join(folder)), 0o700, "{folder}");
    }
    let mut looked = 0;
    for entry in fs::read_dir(path.join("kept/sessions/teal")).unwrap() {
        assert_eq!(mode(&entry.unwrap().path()), 0o600);
        looked += 1;
    }
    assert!(looked > 0);
}

/// The output of a program that ends within so long; its memory has an end.
fn ended(shell: &mut Command) -> Option<Output> {
    let mut child = shell
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    for _ in 0..1500 {
        if child.try_wait().unwrap().is_some() {
            return Some(child.wait_with_output().unwrap());
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    child.kill().unwrap();
    child.wait().unwrap();
    None
}

#[test]
fn a_time_zone_that_is_a_device_or_a_pipe_is_neither_read_nor_waited_for() {
    let dir = room();
    let path = dir.path();
    let pipe = path.join("pipe");
    assert!(
        Command::new("mkfifo")
            .arg(&pipe)
            .status()
            .unwrap()
            .success()
    );
    let pipe = pipe.to_str().unwrap();
    let endless = "../../../../dev/zero";
    let cases = [
        ("/dev/zero", "Z"),
        (":/dev/zero", "Z"),
        (endless, "Z"),
        (pipe, "Z"),
        ("XYZ-5", "+05:00"),
        ("", "Z"),
    ];
    for (place, (zone, offset)) in cases.into_iter().enumerate() {
        let pupil = format!("teal{place}");
        let mut shell = Command::new("sh");
        let shell = shell.current_dir(path).env_clear().env("HOME", path);
        let limited = "ulimit -v 3000000; exec \"$0\" \"$@\"";
        let words = ["enter", "saltmarsh-first.paper.ron", "--pupil", &pupil];
        let more = ["--answers", "abcdabcdabcd", "--sessions", "sessions"];
        let shell = shell.args(["-c", limited, PROGRAM]).args(words).args(more);
        let output = ended(shell.env("TZ", zone)).expect("it ends");
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(0), "{zone}: {said}");
        let is_refused = zone.contains('/');
        assert_eq!(said.contains("pacebell: TZ "), is_refused, "{zone}: {said}");
        let log = sessions(&path.join("sessions").join(&pupil));
        let (_, started) = log[0].split_once("started:\"").unwrap();
        let (started, _) = started.split_once('"').unwrap();
        assert!(started.ends_with(offset), "{zone}: {started}");
    }
}

/// A link under the name that is to be written must not lead the writing elsewhere.
#[test]
fn no_link_is_followed_to_where_a_drill_would_be_written() {
    use pacebell::domain::drill::{Drill, DrillKind};
    use pacebell::domain::header::Alias;
    use pacebell::domain::time::Elapsed;
    use pacebell::storage::disk;

    let dir = tempfile::tempdir().unwrap();
    let elsewhere = dir.path().join("elsewhere");
    fs::write(&elsewhere, "as it was").unwrap();
    let pupil = dir.path().join("otter");
    fs::create_dir(&pupil).unwrap();
    std::os::unix::fs::symlink(&elsewhere, pupil.join("sweep.drill.ron")).unwrap();
    let drill = Drill {
        kind: DrillKind::Sweep,
        paper: None,
        at: chrono::DateTime::parse_from_rfc3339("2026-11-25T16:05:00+00:00").unwrap(),
        blanks: 5,
        filled: 5,
        took: Elapsed::seconds(60),
    };
    let alias = Alias::new("otter").unwrap();
    let saved = pacebell::storage::journal::add_drill(dir.path(), &alias, &drill).unwrap();
    assert!(saved.ends_with("otter/sweep-2.drill.ron"), "{saved:?}");
    let mut options = fs::OpenOptions::new();
    options.append(true).create(true);
    assert!(disk::open_private(&mut options, &pupil.join("sweep.drill.ron")).is_err());
    assert_eq!(fs::read_to_string(&elsewhere).unwrap(), "as it was");
}
