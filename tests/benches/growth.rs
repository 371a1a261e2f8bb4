//! How the time of each job grows with the sittings in the folder, the questions of a paper and the sheets of a list.
//!
//! `cargo bench --bench growth` prints the seconds at three sizes and, between them, the slope on two logarithmic
//! scales: 1 is twice the time for twice as much, 2 is four times. Starting the program and reading the papers cost
//! the same at every size, so that slopes lie below 1 while little is read. One name or more may follow, as
//! `-- forecast group`; the shortest of three runs counts, of one where that takes over ten seconds.
#![cfg(test)]

#[path = "../review_pages/made.rs"]
#[expect(dead_code, reason = "the tests use all of it")]
mod made;
#[path = "../common/sat.rs"]
mod sat;
#[path = "../common/written.rs"]
mod written;

use std::fmt::Write as _;
use std::fs;
use std::io::{Write as _, stdout};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use pacebell::domain::labels::Label;
use pacebell::domain::paper::Paper;
use pacebell::storage::files;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

const SITTINGS: [usize; 3] = [100, 1_000, 10_000];
/// A paper has at most 200.
const QUESTIONS: [usize; 3] = [25, 100, 200];
const SHEETS: [usize; 3] = [10_000, 100_000, 1_000_000];
/// Sittings of each of the papers that grow.
const OF_EACH: usize = 200;
const PUPILS: usize = 40;
/// Steeper than this is more than in proportion.
const STEEP: f64 = 1.1;

/// The jobs on a folder of sittings.
const ON_SITTINGS: [(&str, &str); 10] = [
    ("list", "review --plain sessions"),
    ("mark", "mark sessions --json"),
    ("mark, each named", "mark @each --json"),
    ("group", "group --paper p.paper.ron sessions"),
    ("progress", "progress pupil01"),
    ("forecast", "forecast pupil01 --paper p.paper.ron"),
    ("plan", "plan pupil01 --paper p.paper.ron"),
    ("overview", "overview -o o.html --force"),
    ("feedback", "feedback sessions -o f.html --join --force"),
    ("hindsight", "hindsight pupil01"),
];

/// The jobs on a list.
const ON_SHEETS: [(&str, &str); 2] = [
    (
        "sheets group",
        "group --paper p.paper.ron --answers answers.csv",
    ),
    (
        "sheets boundary",
        "boundary --marks marks.csv --top 10% --ratio 1:2:3",
    ),
];

#[expect(clippy::disallowed_methods, reason = "a bench measures real time")]
fn now() -> Instant {
    Instant::now()
}

/// Every session file, by its name from the folder.
fn each(folder: &Path) -> Vec<String> {
    let entries = |dir: &Path| fs::read_dir(dir).into_iter().flatten().flatten();
    let pupils = entries(&folder.join("sessions")).map(|entry| entry.path());
    let files = pupils.flat_map(|pupil| {
        entries(&pupil)
            .map(|entry| entry.path())
            .collect::<Vec<_>>()
    });
    let inside =
        |path: std::path::PathBuf| path.strip_prefix(folder).unwrap().display().to_string();
    files.map(inside).collect()
}

/// The shortest of a few runs.
fn timed(folder: &Path, words: &str) -> Duration {
    let words = words.split(' ').flat_map(|word| match word {
        "@each" => each(folder),
        word => vec![word.to_owned()],
    });
    let words: Vec<String> = words.collect();
    let mut best = Duration::MAX;
    for _ in 0..3 {
        let begun = now();
        let done = Command::new(env!("CARGO_BIN_EXE_pacebell"))
            .args(&words)
            .current_dir(folder)
            .env("HOME", folder)
            // Nothing is remembered from one run to the next.
            .env("XDG_CACHE_HOME", "/dev/null/none")
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status()
            .unwrap();
        assert!(done.success(), "{:?}: {done}", words.first());
        best = best.min(begun.elapsed());
        if best > Duration::from_secs(10) {
            break;
        }
    }
    best
}

/// A paper of so many questions with its key.
fn paper(folder: &Path, questions: usize) -> Paper {
    let answers = "ABCDE".repeat(questions / 5);
    let text = format!(
        "(format: 1, id: \"p\", title: \"P\", minutes: 60, options: \"ABCDE\", rule: (sections: [(name: \"all\", \
         first: 1, last: {questions}, right: 4, wrong: -1, blank: 0)]), questions: [{}])",
        "(),".repeat(questions)
    );
    fs::write(folder.join("p.paper.ron"), text).unwrap();
    let key = format!("(format: 1, paper: \"p\", answers: \"{answers}\")");
    fs::write(folder.join("p.key.ron"), key).unwrap();
    files::paper::load(&folder.join("p.paper.ron")).unwrap()
}

/// Sittings of pupils who answer more and more questions right.
fn sittings(folder: &Path, paper: &Paper, count: usize) {
    let mut chance = ChaCha8Rng::seed_from_u64(7);
    let questions = paper.outline.questions;
    for index in 0..count {
        let day = i64::try_from(index / PUPILS).unwrap();
        let header = made::header(paper, &format!("pupil{:02}", index % PUPILS), day);
        let seconds = 3_400 / u64::from(questions);
        let stay = |number: u16| {
            let right = Label::new(char::from(b'A' + u8::try_from((number - 1) % 5).unwrap()));
            let is_right =
                chance.random::<f64>() < 1.0 - f64::from(number) / f64::from(2 * questions);
            let letter = if is_right {
                right.unwrap().as_char()
            } else {
                'E'
            };
            (number, seconds, letter)
        };
        let stays: Vec<_> = (1..=questions).map(stay).collect();
        made::write(
            &folder.join("sessions"),
            &header,
            &made::log(&header, &stays),
        );
    }
}

/// A list of answers and one of marks.
fn lists(folder: &Path, sheets: usize) {
    let mut chance = ChaCha8Rng::seed_from_u64(8);
    let numbers: Vec<String> = (1..=25).map(|number: u32| number.to_string()).collect();
    let mut answers = format!("pupil,{}\n", numbers.join(","));
    let mut marks = String::from("mark\n");
    for sheet in 0..sheets {
        write!(answers, "p{sheet}").unwrap();
        for _ in 0..25 {
            let option = char::from(b'A' + chance.random_range(0..5_u8));
            write!(answers, ",{option}").unwrap();
        }
        answers.push('\n');
        writeln!(marks, "{}", chance.random_range(0..=100_u8)).unwrap();
    }
    fs::write(folder.join("answers.csv"), answers).unwrap();
    fs::write(folder.join("marks.csv"), marks).unwrap();
}

/// Times the jobs at each size and says how they grow.
fn grow(of: &str, sizes: [usize; 3], jobs: &[(&str, &str)], make: impl Fn(&Path, usize)) {
    let wanted: Vec<String> = std::env::args()
        .skip(1)
        .filter(|word| word != "--bench")
        .collect();
    let is_wanted = |name: &str| wanted.is_empty() || wanted.iter().any(|word| name.contains(word));
    let jobs: Vec<_> = jobs.iter().filter(|(name, _)| is_wanted(name)).collect();
    if jobs.is_empty() {
        return;
    }
    let folders = sizes.map(|size| {
        let folder = tempfile::tempdir().unwrap();
        make(folder.path(), size);
        folder
    });
    let mut out = stdout();
    for (name, words) in jobs {
        let times: Vec<f64> = folders
            .iter()
            .map(|folder| timed(folder.path(), words).as_secs_f64())
            .collect();
        write!(out, "{of} {sizes:?}  {name:<16}").unwrap();
        for time in &times {
            write!(out, " {time:>9.3} s").unwrap();
        }
        for (pair, size) in times.windows(2).zip(sizes.windows(2)) {
            let grown = f64::from(u32::try_from(size[1]).unwrap())
                / f64::from(u32::try_from(size[0]).unwrap());
            let slope = (pair[1] / pair[0]).ln() / grown.ln();
            let steep = if slope > STEEP { " STEEP" } else { "" };
            write!(out, "  {slope:.2}{steep}").unwrap();
        }
        writeln!(out).unwrap();
    }
}

fn main() {
    grow("sittings", SITTINGS, &ON_SITTINGS, |folder, count| {
        let paper = paper(folder, 25);
        sittings(folder, &paper, count);
    });
    grow("questions", QUESTIONS, &ON_SITTINGS, |folder, count| {
        let paper = paper(folder, count);
        sittings(folder, &paper, OF_EACH);
    });
    grow("sheets", SHEETS, &ON_SHEETS, |folder, count| {
        paper(folder, 25);
        lists(folder, count);
    });
}
