//! A sitting from its start to its marks, key by key, at 80x24.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;

use serde_json::Value;

use crate::common::{PROGRAM, Room, Seat, Start, begin, files};
use crate::sheet::{self, Row};

impl Seat {
    /// Presses keys and waits until a row of the sheet is as it should be then.
    fn row(&mut self, keys: &str, question: u16, fits: impl Fn(&Row) -> bool) {
        self.press(keys);
        let seen = |text: &str| sheet::rows(text).get(&question).is_some_and(&fits);
        self.wait(&format!("question {question} after {keys:?}"), seen);
    }
}

/// Marks and letters of the sample paper, from its file's own text: 4 for 1 to 10, 5 for 11 to 20,
/// 7 for 21 to 25, nothing lost.
fn worth(question: u16) -> u64 {
    match question {
        1..=10 => 4,
        11..=20 => 5,
        _ => 7,
    }
}

fn key(room: &Path) -> BTreeMap<u16, char> {
    let text = fs::read_to_string(room.join("sample-papers/saltmarsh-a.key.ron")).unwrap();
    let (_, text) = text.split_once("answers: \"").unwrap();
    let (letters, _) = text.split_once('"').unwrap();
    (1..)
        .zip(letters.chars().filter(|letter| *letter != ' '))
        .collect()
}

/// Marks by hand, from the lines of the session file.
#[derive(Debug, Default, PartialEq, Eq)]
struct ByHand {
    in_time: u64,
    with_guess_round: u64,
    worked: u64,
}

fn by_hand(session: &Path, key: &BTreeMap<u16, char>) -> ByHand {
    let mut in_time: BTreeMap<u16, (char, bool)> = BTreeMap::new();
    let mut after = BTreeMap::new();
    let mut is_up = false;
    for happened in files::events(session) {
        let event = happened.event.as_str();
        if event.starts_with("TimeUp(") {
            is_up = true;
        } else if let Some((question, option)) = files::answered(event) {
            if is_up {
                after.insert(question, option);
            } else {
                in_time.insert(question, (option, true));
            }
        } else if let Some(question) = event.strip_prefix("RubbedOut(") {
            in_time.remove(&question.trim_end_matches(')').parse().unwrap());
        } else if let Some(said) = event.strip_prefix("Said(") {
            let (question, how) = said.trim_end_matches(')').split_once(',').unwrap();
            in_time.get_mut(&question.parse().unwrap()).unwrap().1 = how != "guessed";
        } else if let Some((_, list)) = event.split_once("answers:[") {
            let list = list.trim_end_matches("])").trim_matches(['(', ')']);
            after.extend(list.split("),(").map(|answer| files::pair(answer).unwrap()));
        }
    }
    let right = |question: u16, option: char| u64::from(key[&question] == option) * worth(question);
    let timely = in_time
        .iter()
        .map(|(question, (option, _))| right(*question, *option))
        .sum();
    let worked = in_time.iter().filter(|(_, (_, worked))| *worked);
    let late = after
        .iter()
        .filter(|(question, _)| !in_time.contains_key(question));
    ByHand {
        in_time: timely,
        with_guess_round: timely
            + late
                .map(|(question, option)| right(*question, *option))
                .sum::<u64>(),
        worked: worked
            .map(|(question, (option, _))| right(*question, *option))
            .sum(),
    }
}

fn by_program(room: &Path, session: &Path) -> Value {
    let key = room.join("sample-papers/saltmarsh-a.key.ron");
    let mut command = Command::new(PROGRAM);
    command
        .arg("mark")
        .arg(session)
        .arg("--key")
        .arg(key)
        .arg("--json")
        .current_dir(room);
    let told = command.output().unwrap();
    assert!(
        told.status.success(),
        "{}",
        String::from_utf8_lossy(&told.stderr)
    );
    serde_json::from_slice(&told.stdout).unwrap()
}

pub(crate) fn a_sitting_runs_out_of_time_by_itself_and_its_marks_are_those_of_hand_arithmetic() {
    let room = Room::new();
    let mut seat = begin(room.sit("0.1"));
    // The key begins CDBEA BDECA: 1, 5 and 6 are right, 2 and 3 are not.
    seat.row("c", 1, |row| row.chosen == Some('C'));
    seat.row("\r", 2, |row| row.open);
    seat.row("a", 2, |row| row.chosen == Some('A'));
    seat.row("\r", 3, |row| row.open);
    seat.row(" ", 3, |row| row.state == '~');
    seat.row("5\r", 5, |row| row.open);
    seat.row("a", 5, |row| row.chosen == Some('A'));
    seat.row("\t", 5, |row| row.signs.contains('F'));
    seat.row("??", 5, |row| row.signs.contains("??"));
    seat.row("\r", 6, |row| row.open);
    seat.row("b", 6, |row| row.chosen == Some('B'));
    seat.row("\r", 7, |row| row.open);
    seat.row("d", 7, |row| row.chosen == Some('D'));
    seat.row("\x7f", 7, |row| row.chosen.is_none());
    seat.row("21\r", 21, |row| row.open);
    seat.row("A", 21, |row| row.chosen == Some('A'));
    seat.sees("Time's up.");
    seat.sees("20 blanks: 3, 4, 7 to 20 and 22 to 25.");
    seat.sees("Your last answer in time: question 21, A.");
    // Nothing counts in the first second.
    std::thread::sleep(std::time::Duration::from_millis(1100));
    seat.press("g\r");
    seat.sees("Guess round: counted separately");
    seat.row("c", 3, |row| row.chosen == Some('C'));
    seat.press("*");
    seat.sees("Fill 19 blanks at random?");
    seat.press("y\r");
    seat.sees("No blanks left.");
    seat.wait("the sign beside what was filled", |text| {
        let rows = sheet::rows(text).into_values();
        rows.filter(|row| row.signs.contains('*')).count() >= 10
    });
    seat.sees_saved();
    seat.press("\x1b");
    seat.sees("Finish the guess round; asks first");
    seat.press("f");
    seat.sees("Finish the guess round?");
    seat.press("y\r");
    seat.sees("Marks");
    let session = files::session(room.path());
    let marks = by_hand(&session, &key(room.path()));
    assert_eq!((marks.in_time, marks.worked), (4 + 4 + 4 + 7, 4 + 4 + 7));
    seat.sees(&format!("In time: {} of 125", marks.in_time));
    seat.sees(&format!(
        "With the guess round: {} of 125",
        marks.with_guess_round
    ));
    seat.press("q");
    assert_eq!(seat.end(), 0);
    seat.assert_given_back();
    files::assert_sound(&session, "Closed(guess_round_done)");

    let told = by_program(room.path(), &session);
    let mark = |name: &str| told["mark"][name].as_str().unwrap().parse::<u64>().unwrap();
    let program = ByHand {
        in_time: mark("in_time"),
        with_guess_round: mark("with_guess_round"),
        worked: mark("worked"),
    };
    assert_eq!((program, mark("max")), (marks, 125));
    let events = files::events(&session);
    let up = events
        .iter()
        .find(|happened| happened.event.starts_with("TimeUp"))
        .unwrap();
    assert_eq!(up.number("due"), 6000);
}

#[test]
fn from_the_start_page_to_a_sitting_handed_in_early_and_back() {
    let room = Room::new();
    let mut seat = Start::new(room.path(), &[]).run();
    seat.sees("Who is sitting?");
    seat.press("\r");
    seat.sees("> Alias:");
    seat.press("heron");
    seat.sees("Alias: heron");
    seat.press("\r");
    seat.sees("> Go straight to the papers");
    seat.press("\r");
    seat.sees("heron: which paper?");
    seat.press("\r");
    seat.sees("Time allowed: 60 minutes");
    seat.press("\r");
    seat.sees("Read this out");
    seat.press("s");
    seat.sees("Enter starts the clock at once");
    seat.press("\r");
    seat.sees("60 minutes left");
    seat.row("c", 1, |row| row.chosen == Some('C'));
    seat.press("\x1b");
    seat.sees("Finish early; asks first");
    seat.press("f");
    seat.sees("Finish now?");
    seat.press("y");
    seat.sees("You typed y.");
    seat.press("\r");
    seat.sees("In time: 4 of 125");
    seat.press("q");
    let text = seat.sees("Who is sitting?");
    assert!(text.contains("heron"), "{text}");
    seat.press("past");
    seat.sees("> Past sittings");
    seat.press("\r");
    seat.sees("Whose past sittings?");
    seat.press("\r");
    seat.sees("Past sittings of heron");
    seat.press("\r");
    seat.sees("In time: 4 of 125");
    seat.press("q");
    seat.sees("Past sittings of heron");
    seat.press("\x1b");
    seat.sees("Whose past sittings?");
    seat.press("\x1b");
    seat.sees("Who is sitting?");
    seat.press("\x1b");
    seat.sees("Quit?");
    seat.press("y");
    seat.sees("Enter quits.");
    seat.press("\r");
    assert_eq!(seat.end(), 0);
    seat.assert_given_back();
    let session = files::session(room.path());
    files::assert_sound(&session, "Closed(finished_early)");
    let told = by_program(room.path(), &session);
    assert_eq!(told["mark"]["in_time"], "4");
    assert_eq!(told["pupil"], "heron");
}

/// A program that was killed leaves the terminal on the other screen, with its page: there entering it
/// clears nothing (xterm, "Alternate Screen Buffer": it is cleared when it is switched to).
#[test]
fn the_first_page_clears_what_a_killed_program_left() {
    const ENTERS: &[u8] = b"\x1b[?1049h";
    let room = Room::new();
    let mut seat = Start::new(room.path(), &[]).run();
    seat.sees("Who is sitting?");
    let text = seat.sees("F1 help");
    let mut written = seat.bytes();
    let at = written
        .windows(ENTERS.len())
        .position(|bytes| bytes == ENTERS)
        .unwrap();
    written.drain(at..at + ENTERS.len());
    let mut left = vt100::Parser::new(24.try_into().unwrap(), 80.try_into().unwrap(), 0);
    left.process(ENTERS);
    left.process("an old page ".repeat(160).as_bytes());
    left.process(&written);
    assert_eq!(left.screen().contents(), text);
    seat.press("\x03\x03");
    assert_eq!(seat.end(), 0);
}

/// Answers lock at the moment itself, not at the next key: letters are pressed through time up, and
/// what counts is what the file has before the moment.
#[test]
fn keys_after_time_is_up_do_not_count() {
    let room = Room::new();
    let mut seat = begin(room.sit("0.025"));
    let letters = ["a", "b", "c", "d", "e"];
    for letter in letters.iter().cycle() {
        if seat.text().contains("Time's up.") {
            break;
        }
        seat.press(letter);
        std::thread::sleep(std::time::Duration::from_millis(7));
    }
    // Sent at once, and again to a page on which letters mean nothing.
    seat.press("g\r");
    seat.sees("That came as time ran out");
    std::thread::sleep(std::time::Duration::from_millis(1100));
    seat.press("abcde");
    seat.sees("Answers are locked now.");
    seat.press("\x03");
    seat.sees("Leave now and carry on later?");
    seat.press("y\r");
    assert_eq!(seat.end(), 0);
    let session = files::session(room.path());
    files::assert_sound(&session, "Interrupted(left_by_key)");
    let events = files::events(&session);
    let up = events
        .iter()
        .position(|happened| happened.event.starts_with("TimeUp"))
        .unwrap();
    assert_eq!(events[up].number("due"), 1500);
    let late = events[up..]
        .iter()
        .filter(|happened| happened.event.starts_with("Answered"));
    assert_eq!(late.count(), 0, "{events:?}");
    let timely: Vec<_> = events[..up]
        .iter()
        .filter(|happened| happened.event.starts_with("Answered"))
        .collect();
    assert!(timely.len() > 5, "{events:?}");
    assert!(
        timely.iter().all(|happened| happened.at < 1500),
        "{timely:?}"
    );
}
