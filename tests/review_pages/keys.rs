//! The keys of every page of the review, and the help that names them.

use pacebell::screens::kit::Key;
use pacebell::screens::review::Tab;
use ratatui::layout::Size;

use crate::keyboard::every_key_that_works_is_named;
use crate::made;
use crate::pages::pictured;
use crate::room::Room;

fn on(keys: &str) -> Room {
    let mut room = Room::season().open("otter");
    room.types(keys);
    room
}

#[test]
fn every_key_that_works_is_named_and_no_other_works() {
    let mut rooms: Vec<(String, Room)> = Vec::new();
    for keys in [
        "m", "t", "l", "c", "f", "q", "r", "b", "qe", "qn", "mn", "m1", "tsg", "fa",
    ] {
        rooms.push((keys.to_owned(), on(keys)));
    }
    let mut alone = Room::with(vec![made::otter(40)], true).open("otter");
    alone.types("t");
    rooms.push(("no group".to_owned(), alone));
    let mut beside = on("b");
    beside.press(&[Key::Enter]);
    rooms.push(("beside the group".to_owned(), beside));
    rooms.push(("list".to_owned(), Room::season()));
    let mut filtered = Room::season();
    filtered.types("otter");
    rooms.push(("filtered".to_owned(), filtered));
    let mut leaving = Room::season();
    leaving.press(&[Key::Esc]);
    rooms.push(("leaving".to_owned(), leaving));
    let mut report = Room::season();
    report.press(&[Key::F(2)]);
    rooms.push(("report".to_owned(), report));
    let mut wrong = Room::season();
    wrong.review.not_opened("the file is gone".into());
    rooms.push(("wrong".to_owned(), wrong));
    for (name, room) in rooms {
        every_key_that_works_is_named(&name, &room.review, |review, key| {
            review.press(key, room.size).is_some()
        });
    }
}

#[test]
fn help_is_drawn_as_agreed() {
    let mut list = Room::season();
    list.press(&[Key::F(1)]);
    pictured("help-list", &list);
    let mut replay = on("r");
    replay.press(&[Key::F(1)]);
    pictured("help-replay", &replay);
}

#[test]
fn help_goes_back_to_where_it_was() {
    for key in [Key::Esc, Key::Enter, Key::F(1), Key::Char('?')] {
        let mut room = on("mn");
        room.types("why");
        let before = room.text();
        room.press(&[Key::F(1), Key::Down, Key::PageDown, Key::Up]);
        assert!(room.text().contains("Review: help"), "{}", room.text());
        assert!(room.text().contains("Esc back"));
        room.press(&[key]);
        assert_eq!(room.text(), before, "nothing of the note is lost");
    }
}

#[test]
fn a_question_mark_is_part_of_a_note_and_helps_elsewhere() {
    let mut room = on("mn");
    room.types("why?");
    assert!(room.text().contains("why?_"), "{}", room.text());
    room.press(&[Key::Esc]);
    room.types("?");
    assert!(room.text().contains("Review: help"));
}

#[test]
fn a_number_half_typed_hears_nothing_else() {
    let mut room = on("m1");
    let before = room.text();
    assert!(before.contains("Question 1_   Enter open, Esc cancel."));
    room.types("t");
    assert_eq!(room.text(), before);
    room.types("3");
    room.press(&[Key::Backspace, Key::Backspace]);
    assert_eq!(room.review.tab(), Some(Tab::Marks));
    assert!(!room.text().contains("Question 1_"));
    room.types("t");
    assert_eq!(room.review.tab(), Some(Tab::Time));
}

#[test]
fn where_room_is_short_the_foot_says_that_there_are_more_keys() {
    let mut room = on("r");
    room.size = Size::new(60, 18);
    let shown = room.text();
    assert!(
        shown.contains("F1 all keys") && !shown.contains("ends"),
        "{shown}"
    );
}
