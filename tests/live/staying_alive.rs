//! Signals, closed and hanging windows, and what is no key: the file stays sound, the terminal is
//! given back, no process is left behind, and the sitting can be carried on.

use std::fs;
use std::path::Path;
use std::time::Duration;

use crate::common::process::{child_of, processor_time, state};
use crate::common::{Room, Seat, Start, begin, files, go_on, until};
use crate::sheet;

/// More than a page that waits can use; a spinning one uses it in a moment.
const MOST_PROCESSOR_TIME: Duration = Duration::from_millis(200);

/// A sitting with its first question answered and saved.
fn answered(room: &Room) -> Seat {
    let mut seat = begin(room.sit("5"));
    answer_first(&mut seat);
    seat
}

fn answer_first(seat: &mut Seat) {
    seat.press("c");
    seat.wait("the first answer", |text| chosen(text, 1) == Some('C'));
    seat.sees_saved();
}

fn chosen(text: &str, question: u16) -> Option<char> {
    sheet::rows(text).get(&question)?.chosen
}

/// Leaves by a key: a letter, then Enter.
fn leave(seat: &mut Seat) {
    seat.press("\x03");
    seat.sees("Leave now and carry on later?");
    seat.press("y");
    seat.sees("You typed y.");
    seat.press("\r");
}

/// Checks that the file is sound with this at its end, and that the sitting goes on with its answer.
fn goes_on(room: &Room, last: &str) {
    let session = files::session(room.path());
    files::assert_sound(&session, last);
    let mut seat = go_on(room.go_on());
    let text = seat.sees_saved();
    assert_eq!(chosen(&text, 1), Some('C'), "{text}");
    let left = sheet::seconds_left(&text).unwrap();
    assert!((200..=300).contains(&left), "{left} seconds left");
    leave(&mut seat);
    assert_eq!(seat.end(), 0);
    seat.assert_given_back();
}

#[test]
fn a_sitting_open_in_another_window_is_said_on_the_page() {
    let room = Room::new();
    let mut first = answered(&room);
    let mut second = Start::new(room.path(), &[]).run();
    second.sees("Who is sitting?");
    second.press("\r");
    second.sees("> Carry on with it");
    second.press("s");
    second.sees("Enter starts the clock at once");
    second.press("\r");
    let text = second.sees("window.");
    assert!(text.contains("[1 pupil]"), "the page stays\n{text}");
    // What is typed next reaches the page, which still runs.
    second.press("\r");
    second.sees("Press S first");
    second.press("\x03");
    second.sees("Quit?");
    second.press("\x03");
    assert_eq!(second.end(), 0);
    second.assert_given_back();
    leave(&mut first);
    assert_eq!(first.end(), 0);
}

#[test]
fn a_signal_ends_with_its_number_and_gives_the_terminal_back() {
    for (name, code) in [("TERM", 143), ("INT", 130), ("HUP", 129), ("QUIT", 131)] {
        let room = Room::new();
        let mut seat = answered(&room);
        seat.signal(name);
        assert_eq!(seat.end(), code, "SIG{name}");
        seat.assert_given_back();
        let last = if name == "HUP" {
            "Interrupted(terminal_lost)"
        } else {
            "Interrupted(left_by_signal)"
        };
        goes_on(&room, last);
    }
}

#[test]
fn a_closed_window_ends_the_program() {
    let room = Room::new();
    let mut seat = answered(&room);
    seat.close_window();
    assert_eq!(seat.end(), 129);
    goes_on(&room, "Interrupted(terminal_lost)");
}

/// A shell that ignores hang-ups stays, so that nobody tells the program: it has to notice itself.
#[test]
fn a_window_closed_without_a_signal_ends_the_program_too() {
    let room = Room::new();
    let script = r#"trap "" HUP; "$0" "$@"; echo $? > ended"#;
    let mut seat = begin(room.sit("5").by("sh", script));
    answer_first(&mut seat);
    let program = child_of(seat.pid());
    seat.close_window();
    until("the program's end", || {
        state(program).is_none().then_some(())
    });
    until("its exit code", || {
        let code = fs::read_to_string(room.path().join("ended")).ok()?;
        (code.trim() == "129").then_some(())
    });
    goes_on(&room, "Interrupted(terminal_lost)");
}

/// A page can be left from the start page too.
#[test]
fn the_start_page_ends_with_its_window() {
    let room = Room::new();
    let mut seat = room.sit("5").run();
    seat.sees("Read this out");
    seat.signal("TERM");
    assert_eq!(seat.end(), 143);
    seat.assert_given_back();
    let mut seat = room.sit("5").run();
    seat.sees("Read this out");
    seat.close_window();
    assert_eq!(seat.end(), 129);
    assert!(files::sessions(room.path()).is_empty());
}

#[test]
fn ctrl_c_asks_and_then_leaves_with_the_sitting_open() {
    let room = Room::new();
    let mut seat = answered(&room);
    seat.press("\x03");
    seat.sees("Leave now and carry on later?");
    seat.sees("The clock keeps running while you're away.");
    seat.press("\x1b");
    seat.sees("Your answer: C");
    leave(&mut seat);
    assert_eq!(seat.end(), 0);
    seat.assert_given_back();
    let text = seat.text();
    assert!(text.contains("carry on with this sitting later"), "{text}");
    goes_on(&room, "Interrupted(left_by_key)");
}

#[test]
fn ctrl_z_stops_neither_the_program_nor_the_clock() {
    let room = Room::new();
    let mut seat = answered(&room);
    seat.press("\x1a");
    seat.sees("Ctrl-Z doesn't work here");
    assert_ne!(state(seat.pid()).as_deref(), Some("T"));
    seat.press("b");
    seat.wait("another answer", |text| chosen(text, 1) == Some('B'));
}

#[test]
fn stopped_from_outside_and_brought_back_it_takes_the_terminal_again() {
    let room = Room::new();
    // The shell takes the terminal back as a shell does, and brings the program back at a line.
    let script = r#"set -m; "$0" "$@"; stty sane; echo STOPPED; read line; fg; echo $? > ended"#;
    let mut seat = begin(room.sit("5").by("bash", script));
    answer_first(&mut seat);
    let program = child_of(seat.pid());
    crate::common::process::signal(program, "TSTP");
    seat.sees("STOPPED");
    assert_eq!(state(program).as_deref(), Some("T"));
    assert!(!seat.is_raw());
    let before = processor_time(program);
    seat.press("\n");
    seat.wait("the page again", |text| {
        let page = text.contains("Question 1") && text.contains("Esc menu");
        page && !text.contains("STOPPED") && chosen(text, 1) == Some('C')
    });
    until("raw keys", || seat.is_raw().then_some(()));
    seat.press("d");
    seat.wait("a new answer", |text| chosen(text, 1) == Some('D'));
    assert!(processor_time(program) < before + MOST_PROCESSOR_TIME);
    seat.press("c");
    leave(&mut seat);
    until("the exit code", || {
        fs::read_to_string(room.path().join("ended"))
            .ok()
            .filter(|code| code == "0\n")
    });
    goes_on(&room, "Interrupted(left_by_key)");
}

/// What no program can refuse; the clock runs on, and it is told.
#[test]
fn a_held_up_program_goes_on_with_the_right_time() {
    let room = Room::new();
    let seat = answered(&room);
    let before = sheet::seconds_left(&seat.text()).unwrap();
    seat.signal("STOP");
    until("the stop", || {
        state(seat.pid()).filter(|state| state == "T")
    });
    std::thread::sleep(Duration::from_millis(2700));
    seat.signal("CONT");
    seat.wait("the clock", |text| {
        let left = sheet::seconds_left(text);
        left.is_some_and(|left| left + 2 <= before) && chosen(text, 1) == Some('C')
    });
    let stalled = files::wait_for_event(room.path(), "Stalled(");
    assert!(stalled.number("span") >= 1600, "{stalled:?}");
}

#[test]
fn a_window_down_to_one_cell_and_back_loses_nothing() {
    let room = Room::new();
    let mut seat = answered(&room);
    let before = processor_time(seat.pid());
    for (columns, rows) in [(59, 24), (80, 17), (20, 5), (2, 2), (1, 1)] {
        let before = seat.bytes().len();
        seat.resize(columns, rows);
        until("a new page", || (seat.bytes().len() > before).then_some(()));
    }
    // Keys work there too, and the small page says what they did.
    seat.press("b");
    seat.resize(59, 18);
    seat.sees("Question 1: B");
    seat.resize(120, 40);
    // The small page has the same foot, but no sheet.
    seat.sees("A [B] C");
    seat.resize(80, 24);
    seat.wait("80 columns", |text| chosen(text, 1) == Some('B'));
    seat.press("c");
    seat.wait("the answer it had", |text| chosen(text, 1) == Some('C'));
    assert!(processor_time(seat.pid()) < before + 2 * MOST_PROCESSOR_TIME);
    seat.signal("TERM");
    assert_eq!(seat.end(), 143);
    goes_on(&room, "Interrupted(left_by_signal)");
}

/// The parameters of every `ESC [ ... m` (ECMA-48, 8.3.117 SGR).
fn renditions(bytes: &[u8]) -> Vec<String> {
    let text = String::from_utf8_lossy(bytes);
    let sequences = text.split("\x1b[").skip(1);
    let parameters = sequences.filter_map(|text| {
        let (parameters, ending) = text.split_at(text.find(|c: char| c.is_ascii_alphabetic())?);
        ending.starts_with('m').then(|| parameters.to_owned())
    });
    parameters.collect()
}

/// ECMA-48, 8.3.117: 30 to 48 are colours, but for 39, the terminal's own again. 58 (underlines)
/// and 90 to 107 are common practice. An empty parameter is 0: all off.
fn is_colour(rendition: &str) -> bool {
    let mut numbers = rendition
        .split(';')
        .map(|number| number.parse().unwrap_or_default());
    numbers.any(|number: u32| matches!(number, 30..=38 | 40..=48 | 58 | 90..=107))
}

/// no-color.org: no colour when the variable is there and not empty; bold and reversed stay.
#[test]
fn no_colour_where_none_is_wanted_and_bold_survives() {
    for (value, coloured) in [("1", false), ("", true)] {
        let room = Room::new();
        let mut seat = begin(room.sit("5").env("NO_COLOR", value));
        answer_first(&mut seat);
        let renditions = renditions(&seat.bytes());
        assert_eq!(
            renditions.iter().any(|one| is_colour(one)),
            coloured,
            "{renditions:?}"
        );
        let cells = |screen: &vt100::Screen| {
            let cells = (0..24).flat_map(|row| (0..80).map(move |column| (row, column)));
            let cells = cells.filter_map(|(row, column)| screen.cell(row, column));
            let styled =
                |cell: &&vt100::Cell| cell.has_contents() && (cell.bold() || cell.inverse());
            let styled: String = cells.filter(styled).map(vt100::Cell::contents).collect();
            styled
        };
        let styled = seat.screen(cells);
        assert!(styled.starts_with("otter"), "{styled}");
        assert!(
            styled.contains("[C]") && styled.contains("saved"),
            "{styled}"
        );
    }
}

#[test]
fn what_is_no_key_answers_nothing() {
    let room = Room::new();
    let mut seat = begin(room.sit("5"));
    let nothing = [
        // Pasted (xterm's bracketed paste).
        "\x1b[200~abc\r\x1b[201~".as_bytes(),
        // A key let go, and a key of which only the modifier is pressed (the kitty protocol).
        b"\x1b[97;1:3u",
        b"\x1b[57441;2u",
        // What terminals answer to questions, mouse and focus reports, nobody having asked.
        b"\x1b[24;80R\x1b[?62;22c\x1b[<0;10;10M\x1b[<0;10;10m\x1b[I\x1b[O",
        // No text at all.
        b"\xff\xfe\xc3\x00\x80",
        // Keys with Alt or Control held, and keys that have no meaning.
        b"\x1ba\x02\x01\x1b[20~\x1b[2~",
    ];
    for bytes in nothing {
        seat.press(bytes);
        // A key that shows that everything before it was taken.
        seat.tap("\t");
        seat.sees("Flag on 1.");
        seat.tap("\t");
        seat.sees("Flag off 1.");
    }
    let answers = files::answers(&files::session(room.path()));
    assert!(answers.is_empty(), "{answers:?}");
    seat.press("b");
    seat.wait("a real answer", |text| chosen(text, 1) == Some('B'));
}

/// A terminal that takes nothing more holds up the page, and neither the clock nor the end.
pub(crate) fn a_terminal_that_hangs_holds_up_neither_time_up_nor_the_end() {
    let room = Room::new();
    let mut seat = begin(room.sit("0.04"));
    answer_first(&mut seat);
    seat.hang();
    // Each of these paints the whole page: more than any terminal's buffer takes.
    seat.press([0x0c; 400]);
    let main = Path::new("/proc")
        .join(seat.pid().to_string())
        .join("syscall");
    until("a page that waits for its terminal", || {
        // The first number is the call (x86-64: 1, elsewhere 64, is write), the second the file: output.
        let call = fs::read_to_string(&main).ok()?;
        (call.starts_with("1 0x1 ") || call.starts_with("64 0x1 ")).then_some(())
    });
    let up = files::wait_for_event(room.path(), "TimeUp(");
    assert_eq!(up.number("due"), 2400);
    assert!(up.at < 2400 + 2000, "{up:?}");
    // Since it waits for the terminal it has done little else.
    let before = processor_time(seat.pid());
    std::thread::sleep(Duration::from_millis(300));
    assert!(processor_time(seat.pid()) < before + MOST_PROCESSOR_TIME);
    seat.signal("TERM");
    assert_eq!(seat.end(), 143);
    let session = files::session(room.path());
    files::assert_sound(&session, "Interrupted(left_by_signal)");
    assert_eq!(files::answers(&session)[&1], ['C']);
}

/// No machine has memory for as many cells as a terminal can say that it has.
#[test]
fn a_terminal_of_any_size_is_drawn() {
    let room = Room::new();
    let told = "ulimit -v 3000000; stty cols 65535 rows 65535; exec \"$0\" \"$@\"";
    let mut seat = room.sit("5").by("sh", told).run();
    until("the first page", || {
        let page = seat.bytes();
        page.windows(4).any(|four| four == b"Read").then_some(())
    });
    seat.press("s");
    seat.tap("\r");
    files::wait_for_event(room.path(), "Opened(1)");
    seat.press("b");
    files::wait_for_event(room.path(), "Answered(1,'B')");
    seat.signal("TERM");
    assert_eq!(seat.end(), 143);
}

/// A window manager may give a new window its size while the first page is being drawn.
#[test]
fn a_size_that_changes_at_the_very_start_is_kept_to() {
    for wait in 0..6 {
        let room = Room::new();
        let seat = room.sit("5").run();
        until("its first bytes", || {
            (!seat.bytes().is_empty()).then_some(())
        });
        std::thread::sleep(Duration::from_micros(200 * wait));
        seat.resize(40, 10);
        seat.wait("the sentence that wants a larger window", |text| {
            !text.contains("Read this out") && text.contains("60") && text.contains("18")
        });
    }
}
