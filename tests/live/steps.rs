//! What became of an agreed step, on the pupil's result page and on the review's page of marks.

use std::fs;
use std::path::PathBuf;

use crate::common::{Room, Seat, Start, begin};

const AGREED: &str = "Agreed: no stay over 4 minutes; done: question 1 was open the";

/// One answer, and the paper finished; its result is on the screen.
fn finished(room: &Room) -> Seat {
    let mut seat = begin(room.sit("60"));
    for (keys, then) in [
        ("c", "[C]"),
        ("\x1b", "Finish early; asks first"),
        ("f", "Finish now?"),
        ("y", "You typed y."),
        ("\r", "Marks"),
    ] {
        seat.press(keys);
        seat.sees(then);
    }
    seat
}

fn only_session(room: &Room) -> PathBuf {
    let entries = fs::read_dir(room.path().join("sessions/otter")).unwrap();
    let paths = entries.map(|entry| entry.unwrap().path());
    let mut sessions = paths.filter(|path| path.to_string_lossy().ends_with(".session.ron"));
    sessions.next().unwrap()
}

#[test]
fn the_result_page_and_the_review_tell_what_became_of_a_step() {
    let room = Room::new();
    let mut seat = finished(&room);
    assert!(!seat.text().contains("Agreed:"));
    seat.press("q");
    assert_eq!(seat.end(), 0);
    let file = only_session(&room).to_string_lossy().into_owned();
    let words = ["talk", &file, "--step", "stay 4:00", "--by", "T.M."];
    let mut talk = Start::new(room.path(), &words).run();
    assert_eq!(talk.end(), 0);
    let mut seat = finished(&room);
    // A page further on.
    seat.press("\x1b[6~");
    seat.sees("Your step");
    seat.sees(AGREED);
    seat.press("q");
    assert_eq!(seat.end(), 0);
    let mut seat = Start::new(room.path(), &["review"]).run();
    // The newest sitting stands first.
    seat.sees(">  otter");
    seat.press("\r");
    seat.sees("[Marks]");
    seat.press("\x1b[F");
    seat.sees("Before this sitting. Agreed: no stay over 4 minutes; done:");
}
