//! Keys that come faster than anybody types: queued ones, a paste without an end, a megabyte of letters.

use std::time::Duration;

use crate::common::process::{processor_time, state};
use crate::common::{Room, Seat, begin, files, until};
use crate::sheet;

fn chosen(text: &str, question: u16) -> Option<char> {
    sheet::rows(text).get(&question)?.chosen
}

/// Stops the program, as a busy machine does, while keys are pressed.
fn press_while_stopped(seat: &mut Seat, keys: &[u8]) {
    seat.signal("STOP");
    until("the program to stop", || {
        state(seat.pid()).filter(|state| state == "T")
    });
    seat.press(keys);
    seat.signal("CONT");
}

/// Presses a key like a patient pupil, until it does something.
fn press_until(seat: &mut Seat, key: &str, seen: impl Fn(&str) -> bool) {
    until("a key to be taken", || {
        seat.press(key);
        std::thread::sleep(Duration::from_millis(100));
        seen(&seat.text()).then_some(())
    });
}

#[test]
fn thousands_of_queued_keys_are_read_without_another() {
    let room = Room::new();
    let mut seat = begin(room.sit("5"));
    // On and back, so that each acts; the letter is the last of 4,001 bytes, and a terminal holds 4,095.
    let keys = [b"\x1b[B\x1b[A".repeat(666), b"\x1b[B\x1b[Ad".to_vec()].concat();
    assert!(keys.len() > 3 * 1024 && keys.len() < 4095);
    press_while_stopped(&mut seat, &keys);
    seat.wait("the last key", |text| chosen(text, 1) == Some('D'));
    seat.kill();
}

#[test]
fn a_paste_without_an_end_leaves_the_keyboard_alive() {
    let room = Room::new();
    let mut seat = begin(room.sit("5"));
    seat.press("\x1b[200~bbb");
    press_until(&mut seat, "c", |text| chosen(text, 1) == Some('C'));
    let log = std::fs::read_to_string(files::session(room.path())).unwrap();
    assert!(!log.contains("'B'"), "{log}");
    seat.kill();
}

#[test]
fn a_megabyte_of_letters_does_not_hold_the_processor() {
    let room = Room::new();
    let mut seat = begin(room.sit("5"));
    let before = processor_time(seat.pid());
    for _ in 0..256 {
        seat.press(b"abcd".repeat(1024));
    }
    // The flood is over, and a key is a key again.
    press_until(&mut seat, "\x1b[B", |text| {
        let rows = sheet::rows(text);
        rows.iter().any(|(number, row)| *number > 1 && row.open)
    });
    let used = processor_time(seat.pid()).saturating_sub(before);
    assert!(used < Duration::from_secs(20), "{used:?}");
    let log = std::fs::read_to_string(files::session(room.path())).unwrap();
    assert!(log.lines().count() < 9000, "{}", log.lines().count());
    seat.kill();
}
