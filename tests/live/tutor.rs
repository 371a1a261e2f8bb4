//! The tutor's list hands the terminal to a job and takes it back, and no key is lost between.

use crate::common::{Room, Seat, Start, begin};

#[test]
fn a_job_has_every_key_and_the_list_comes_back() {
    let room = Room::new();
    let mut seat = Start::new(room.path(), &["tutor"]).run();
    for (keys, then) in [
        ("", "> Open the start page for pupils"),
        // The start page is a program of its own on the same terminal: its first key counts.
        ("\r", "Who is sitting?"),
        ("\r", "> Alias:"),
        ("wren\r", "> Go straight to the papers"),
        ("\r", "wren: which paper?"),
        ("\x1b", "Who is sitting?"),
        ("\x1b", "Quit?"),
        ("y", "Enter quits."),
        ("\r", "> Open the start page for pupils"),
        ("see what g\r", "Which paper?"),
        ("\r", "Which questions are guessed?"),
        ("3,18\r", "Press Enter to go back to the list."),
        ("\r", "> See what guesses can give"),
        ("open the start page\r", "Who is sitting?"),
        ("\x03", "Quit?"),
        ("\x03", "> Open the start page for pupils"),
    ] {
        seat.press(keys);
        seat.sees(then);
    }
    assert!(seat.text().contains("What would you like to do?"));
    seat.press("\x1b");
    assert_eq!(seat.end(), 0);
}

#[test]
fn a_pupil_who_sits_line_by_line_does_so_from_the_start_page() {
    let room = Room::new();
    let register = "(format: 1, pupils: [(alias: \"otter\", extra_time: 25, plain: true)])";
    std::fs::write(room.path().join("sessions/register.ron"), register).unwrap();
    let mut seat = Start::new(room.path(), &[]).run();
    for (keys, then) in [
        ("", "> otter"),
        ("\r", "> Go straight to the papers"),
        ("\r", "otter: which paper?"),
        ("\r", "Your tutor has arranged this."),
        ("\r", "Read this out"),
        ("s", "Enter starts the clock at once"),
        ("\r", "Type start to start the clock now"),
        ("start\r", "The clock is running: 75 minutes"),
        ("finish\ry\r", "Press Enter to go back"),
        ("\r", "Who is sitting?"),
    ] {
        seat.press(keys);
        seat.sees(then);
    }
}

/// A pupil who may open the questions has answered one, finished, and chooses among them.
fn among_own_questions(room: &Room) -> Seat {
    let register = "(format: 1, pupils: [(alias: \"otter\", questions_after: true)])";
    std::fs::write(room.path().join("sessions/register.ron"), register).unwrap();
    let mut seat = begin(room.sit("60"));
    for (keys, then) in [
        ("c", "[C]"),
        ("\x1b", "Finish early; asks first"),
        ("f", "Finish now?"),
        ("y", "You typed y."),
        ("\r", "Marks"),
        ("q", "Choose a question to see it again"),
    ] {
        seat.press(keys);
        seat.sees(then);
    }
    seat
}

#[test]
fn after_a_sitting_the_questions_open_where_the_register_lets_them() {
    let room = Room::new();
    let mut seat = among_own_questions(&room);
    for (keys, then) in [
        ("\r", "Hint:"),
        ("\x1b", "> Question 1  C, right"),
        ("\x1b[B\r", "Your answer: blank."),
    ] {
        seat.press(keys);
        seat.sees(then);
    }
}

#[test]
fn a_clock_in_large_steps_stays_so_when_it_is_hidden_and_shown_again() {
    let room = Room::new();
    let register = "(format: 1, pupils: [(alias: \"otter\", large_steps: true)])";
    std::fs::write(room.path().join("sessions/register.ron"), register).unwrap();
    let mut seat = begin(room.sit("60"));
    seat.sees("over 55 minutes left");
    seat.press(".");
    seat.wait("no clock", |text| !text.contains("minutes left"));
    seat.tap(".");
    seat.sees("over 55 minutes left");
}

/// From the start page and from the review, each of which comes back with every key.
#[test]
fn practice_begins_on_the_start_page_and_in_the_review() {
    let room = Room::new();
    let mut seat = among_own_questions(&room);
    seat.press("\x1b");
    assert_eq!(seat.end(), 0);
    let mut seat = Start::new(room.path(), &[]).run();
    for (keys, then) in [
        ("", "> otter"),
        ("\r", "> Sit a paper"),
        ("\x1b[B", "> Practice: "),
        ("\r", "There's no clock here."),
        ("\x1b", "Nothing was finished this time."),
        ("q", "Who is sitting?"),
        ("\x1b", "Quit?"),
        ("y", "Enter quits."),
    ] {
        seat.press(keys);
        seat.sees(then);
    }
    seat.press("\r");
    assert_eq!(seat.end(), 0);
    let mut seat = Start::new(room.path(), &["review"]).run();
    for (keys, then) in [
        ("", ">  otter"),
        ("\x1b[18~", "There's no clock here."),
        ("\x1b", "Nothing was finished this time."),
        ("q", ">  otter"),
        ("\x1b", "Leave"),
    ] {
        seat.press(keys);
        seat.sees(then);
    }
    seat.press("\r");
    assert_eq!(seat.end(), 0);
    let kept = std::fs::read_dir(room.path().join("sessions/otter")).unwrap();
    let names = kept.map(|file| file.unwrap().file_name().into_string().unwrap());
    assert_eq!(
        names.filter(|name| name.ends_with(".practice.ron")).count(),
        2
    );
}
