//! A pupil's weeks through the program's front door: a sitting, a talk with a step agreed, practice on three days, the
//! next sitting, which judges the step, and what hindsight and the group's overview say of it all. Every figure is counted by hand from what was typed, or from the raw logs.

use std::collections::BTreeMap;
use std::fs;
use std::io::{BufRead as _, BufReader, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use chrono::{Days, NaiveDate};
use pacebell::domain::header::Alias;
use pacebell::storage::journal::practice_of;
use serde_json::Value;
use tempfile::TempDir;

use crate::typed::typed;

/// A clock that runs so many days ahead; nothing where there is no C compiler to build it with.
#[expect(clippy::print_stderr, reason = "a test says what it leaves out")]
fn later_clock(dir: &Path) -> Option<PathBuf> {
    let library = dir.join("later_clock.so");
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shim/later_clock.c");
    let mut cc = Command::new("cc");
    cc.args(["-shared", "-fPIC", "-O1", "-Wall", "-Werror", "-o"]);
    let built = cc.arg(&library).arg(source).arg("-ldl").output();
    let Ok(built) = built else {
        eprintln!("skipped: no C compiler (`cc`) to build a later clock with");
        return None;
    };
    let said = String::from_utf8_lossy(&built.stderr);
    assert!(built.status.success(), "{said}");
    Some(library)
}

/// Six questions a paper, each worth 4 marks, B right everywhere; two of the second paper's are on the first.
const PAPERS: [(&str, [&str; 6]); 3] = [
    ("fen", ["p", "q", "r", "s", "t", "u"]),
    ("heath", ["a", "b", "c", "d", "e", "f"]),
    ("reed", ["b", "c", "v", "w", "x", "y"]),
];

struct Weeks {
    dir: TempDir,
    clock: PathBuf,
}

impl Weeks {
    fn begin() -> Option<Self> {
        let dir = tempfile::tempdir().unwrap();
        let clock = later_clock(dir.path())?;
        for (id, stems) in PAPERS {
            let question = |stem| {
                format!(
                    "(stem: \"How many? ({stem})\", options: [\"1\", \"2\", \"3\", \"4\", \"5\"])"
                )
            };
            let questions = stems.map(question).join(", ");
            let paper = format!(
                "(format: 2, id: {id:?}, title: \"The {id} paper\", minutes: 10, options: \"ABCDE\",
                  rule: (sections: [(first: 1, last: 6, right: 4)]), questions: [{questions}])"
            );
            fs::write(dir.path().join(format!("{id}.paper.ron")), paper).unwrap();
            let key = format!("(format: 1, paper: {id:?}, answers: \"BBBBBB\")");
            fs::write(dir.path().join(format!("{id}.key.ron")), key).unwrap();
        }
        fs::create_dir(dir.path().join("sessions")).unwrap();
        let register =
            "(format: 1, pupils: [(alias: \"otter\", questions_after: true, step_read_out: true)])";
        fs::write(dir.path().join("sessions/register.ron"), register).unwrap();
        Some(Self { dir, clock })
    }

    /// The program so many days later.
    fn program(&self, day: u32, words: &str) -> Command {
        let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
        program
            .current_dir(self.dir.path())
            .args(words.split(' ').filter(|word| !word.is_empty()))
            .env("HOME", self.dir.path())
            .env("PACEBELL_PLAIN", "1")
            .env("LD_PRELOAD", &self.clock)
            .env("LATER_DAYS", day.to_string());
        program
    }

    /// Sits a paper: a letter a question, `-` for a blank, a small letter for a guess.
    fn sits(&self, day: u32, paper: &str, answers: &str) -> String {
        let mut input = "start\n".to_owned();
        for (number, c) in (1_u32..).zip(answers.chars()) {
            if c != '-' {
                let how = if c.is_ascii_lowercase() { "??\n" } else { "" };
                let letter = c.to_ascii_uppercase().to_string();
                input.extend([&number.to_string(), "\n", &letter, "\n", how]);
            }
        }
        input += "finish\ny\n";
        let words = format!("sit {paper}.paper.ron --pupil otter");
        let done = typed(&mut self.program(day, &words), &input);
        assert!(done.status.success(), "{done:?}");
        String::from_utf8(done.stdout).unwrap()
    }

    /// The file of the sitting of a paper.
    fn session(&self, paper: &str) -> String {
        let own = fs::read_dir(self.dir.path().join("sessions/otter")).unwrap();
        let names = own.map(|entry| entry.unwrap().file_name().into_string().unwrap());
        let ending = format!("-{paper}.session.ron");
        let mut names = names.filter(|name| name.ends_with(&ending));
        format!("sessions/otter/{}", names.next().unwrap())
    }

    fn table(&self, name: &str) -> Vec<csv::StringRecord> {
        let mut reader = csv::Reader::from_path(self.dir.path().join(name)).unwrap();
        reader.records().map(Result::unwrap).collect()
    }

    /// Practises from the start page: what is typed for each question, first try and second.
    fn practises(&self, day: u32, tries: &BTreeMap<&str, &str>) -> Vec<String> {
        let mut child = self
            .program(day, "")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut input = child.stdin.take().unwrap();
        writeln!(input, "1\n2").unwrap();
        let (mut asked, mut left) = (Vec::new(), String::new());
        for line in BufReader::new(child.stdout.take().unwrap()).lines() {
            let line = line.unwrap();
            if let Some((_, stem)) = line.split_once("How many? (") {
                let stem = stem.trim_end_matches(')');
                tries[stem].clone_into(&mut left);
                asked.push(stem.to_owned());
            } else if line.starts_with("Answer A to") || line.starts_with("Try once more") {
                writeln!(input, "{}", left.remove(0)).unwrap();
            } else if line.starts_with("What was the catch?") {
                writeln!(input).unwrap();
            } else if line.starts_with("You worked through") {
                writeln!(input, "leave").unwrap();
            }
        }
        assert!(child.wait().unwrap().success());
        asked
    }

    fn json(&self, day: u32, words: &str) -> Value {
        let done = typed(&mut self.program(day, words), "");
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert!(done.status.success(), "{words}: {said}");
        serde_json::from_slice(&done.stdout).unwrap()
    }
}

/// What is chosen for one question on one day.
type Chosen = BTreeMap<&'static str, &'static str>;

#[test]
#[expect(clippy::too_many_lines, reason = "weeks, day by day")]
fn a_sitting_practice_on_three_days_and_the_next_sitting_are_told_as_they_were() {
    let Some(weeks) = Weeks::begin() else { return };
    weeks.sits(0, "fen", "BBCB-B");
    // Heath: a right, b and d wrong though worked out, c a wrong guess, e blank, f right.
    let said = weeks.sits(0, "heath", "BCcC-B");
    assert!(!said.contains("Your step"), "nothing is agreed yet: {said}");
    let marked = weeks.json(0, "mark otter --json");
    let marks = marked.as_array().unwrap().iter();
    let mut marks: Vec<&str> = marks
        .map(|own| own["mark"]["in_time"].as_str().unwrap())
        .collect();
    marks.sort_unstable();
    assert_eq!(
        marks,
        ["16", "8"],
        "four right on the fen paper, two on the heath paper"
    );
    // The talk on the next day: four questions within five minutes, which whoever types as fast as this keeps.
    let (heath, step) = (weeks.session("heath"), "checkpoint 4 by 5:00");
    let log = fs::read(weeks.dir.path().join(&heath)).unwrap();
    let mut talk = weeks.program(1, "talk");
    talk.args([&heath, "--step", step, "--by", "T.M.", "--json"]);
    let talk = typed(&mut talk, "");
    assert!(talk.status.success(), "{talk:?}");
    let sheet: Value = serde_json::from_slice(&talk.stdout).unwrap();
    assert_eq!(sheet["step"]["state"], "open", "{sheet}");
    assert_eq!(
        fs::read(weeks.dir.path().join(&heath)).unwrap(),
        log,
        "a talk leaves the log alone"
    );

    let first: Chosen = [
        ("r", "B"),
        ("t", "B"),
        ("b", "B"),
        ("c", "B"),
        ("d", "CB"),
        ("e", "CD"),
    ]
    .into();
    let asked = weeks.practises(1, &first);
    assert_eq!(asked.len(), 6, "everything missed is due: {asked:?}");
    // Nobody asks for them before a week has passed.
    let none = typed(&mut weeks.program(7, "practise otter"), "");
    let none = String::from_utf8(none.stdout).unwrap();
    assert!(none.starts_with("Nothing to try again today."), "{none}");
    let second: Chosen = [
        ("r", "B"),
        ("t", "B"),
        ("b", "B"),
        ("c", "CB"),
        ("d", "B"),
        ("e", "B"),
    ]
    .into();
    assert_eq!(weeks.practises(8, &second).len(), 6);
    // r, t and b were right on days 1 and 8: two weeks after the first they are secure, and not asked for.
    let third: Chosen = [("c", "B"), ("d", "B"), ("e", "CB")].into();
    let mut asked = weeks.practises(15, &third);
    asked.sort();
    assert_eq!(asked, ["c", "d", "e"]);

    let otter = Alias::new("otter").unwrap();
    let read = practice_of(&weeks.dir.path().join("sessions"), &otter);
    assert!(read.unread.is_empty(), "{:?}", read.unread);
    let days: Vec<NaiveDate> = read
        .logs
        .iter()
        .map(|log| log.start.started.date_naive())
        .collect();
    let begun = days[0] - Days::new(1);
    assert_eq!(days, [1, 8, 15].map(|days| begun + Days::new(days)));
    let tries: usize = read.logs.iter().map(|log| log.tries().len()).sum();
    assert_eq!(tries, 6 + 6 + 3);

    let practice = &weeks.json(15, "progress otter --json")["practice"];
    assert_eq!(practice["sessions"], 3);
    // First tries in practice of the six missed: r, t, b, c right, d and e wrong.
    let table = &practice["second_tries"];
    assert_eq!(
        (&table["second_only"], &table["neither"]),
        (&4.into(), &2.into())
    );
    assert_eq!(
        (&table["both"], &table["first_only"]),
        (&0.into(), &0.into())
    );
    // Four letters were wrong, with four options left; two were blank, with five.
    let expected = practice["by_guessing"]["expected"].as_f64().unwrap();
    assert!(
        (expected - (4.0 / 4.0 + 2.0 / 5.0)).abs() < 1e-12,
        "{expected}"
    );
    // Exact two-sided McNemar of 4 against 0: 2 / 2^4.
    let chance = table["p"].as_f64().unwrap();
    assert!((chance - 0.125).abs() < 1e-9, "{chance}");
    // r, t and b are secure; d was right on days 8 and 15, too early; c was wrong on day 8, e is today: both wait.
    let states = |practice: &Value| {
        ["due", "waiting", "too_early", "secure"].map(|name| practice[name].as_u64().unwrap())
    };
    assert_eq!(states(practice), [0, 2, 1, 3], "{practice}");

    // Reed asks b and c once more: b right, c wrong, and of the others two right.
    let ahead = weeks.json(16, "forecast otter --paper reed --json");
    assert_eq!(ahead["sources"]["questions_met"], 2);
    let said = weeks.sits(16, "reed", "BCBB-C");
    assert!(
        said.contains("Your step: Be done with questions 1 to 4 by 5 minutes"),
        "{said}"
    );
    let look = weeks.json(16, "hindsight otter --json");
    let sittings = look["sittings"].as_array().unwrap();
    assert_eq!(sittings.len(), 3);
    let last = &sittings[2];
    assert_eq!(
        (&last["paper"], &last["mark"]),
        (&"reed".into(), &"12".into())
    );
    assert_eq!(
        last["expected"], ahead["expected"],
        "what would have been said is what was said"
    );
    // Each answer was typed within a second: nothing was worked out, and nothing is forecast from it.
    for name in ["expected", "interval_80", "inside"] {
        assert!(last[name].is_null(), "{last}");
    }
    assert_eq!(last["not_forecast"], "too_few", "{last}");
    let after = &weeks.json(16, "progress otter --json")["practice"];
    // c was missed again today, x and y for the first time; e still waits.
    assert_eq!(states(after), [3, 1, 1, 3], "{after}");

    // The step, from the log's own lines: the fourth answer stands long before 300,000 ms.
    let raw = fs::read_to_string(weeks.dir.path().join(weeks.session("reed"))).unwrap();
    let fourth = raw
        .lines()
        .find(|line| line.contains("Answered(4,"))
        .unwrap();
    let at: u64 = fourth
        .split(|c: char| !c.is_ascii_digit())
        .filter(|digits| !digits.is_empty())
        .nth(1)
        .unwrap()
        .parse()
        .unwrap();
    assert!(at < 300_000, "{fourth}");
    let steps = &weeks.json(16, "progress otter --json")["steps"];
    assert_eq!(steps.as_array().unwrap().len(), 1, "{steps}");
    assert_eq!(steps[0]["state"], "done", "{steps}");

    let done = typed(&mut weeks.program(16, "overview --csv term"), "");
    assert!(done.status.success(), "{done:?}");
    let sheets = weeks.table("term/overview-sheets.csv");
    let mut marks: Vec<_> = sheets
        .iter()
        .map(|row| [row[1].to_owned(), row[7].to_owned(), row[14].to_owned()])
        .collect();
    marks.sort();
    // Each left one question blank; fen 4, heath 2 and reed 3 right.
    let expected = [["fen", "16", "1"], ["heath", "8", "1"], ["reed", "12", "1"]];
    assert_eq!(marks, expected);
    let words = weeks.table("term/overview-words.csv");
    let kinds: Vec<_> = words.iter().map(|row| &row[2]).collect();
    assert!(kinds.contains(&"step_done"), "{words:?}");
    let own = weeks.table("term/overview-steps.csv");
    let own: Vec<_> = own.iter().map(|row| (&row[0], &row[4])).collect();
    assert_eq!(own, [("otter", "done")]);
    let practice = weeks.table("term/overview-practice.csv");
    assert_eq!((&practice[0][0], &practice[0][1]), ("otter", "3"));
}
