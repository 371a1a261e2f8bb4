//! Every page at every size: nothing may fall over, whatever the window.

use pacebell::screens::kit::Key;
use pacebell::screens::theme::Theme;
use ratatui::layout::Size;

use crate::room::Room;

#[test]
fn every_page_is_drawn_at_every_size() {
    let mut rooms = vec![Room::season()];
    let mut keys = vec!["m", "t", "l", "c", "f", "q", "r", "b", "qe", "qn"];
    keys.push("tsg");
    for keys in keys {
        let mut room = Room::season().open("otter");
        room.types(keys);
        rooms.push(room);
    }
    let mut beside = Room::season().open("otter");
    beside.types("b");
    beside.press(&[Key::Down, Key::Down, Key::Enter]);
    rooms.push(beside);
    for key in [Key::F(2), Key::F(3)] {
        let mut report = Room::season();
        report.press(&[key, Key::End]);
        rooms.push(report);
    }
    for room in &rooms {
        for height in 0..=40 {
            for width in 0..=90 {
                let size = Size::new(width, height);
                let drawn = room.painted(&Theme::plain(), size);
                assert_eq!(drawn.area.as_size(), size);
            }
        }
    }
}

#[test]
fn a_window_too_small_says_so_and_hears_no_key_but_leaving() {
    let mut room = Room::season();
    room.size = Size::new(59, 18);
    assert!(room.text().contains("needs 60 columns and 18 rows"));
    assert_eq!(room.press(&[Key::Enter]), None);
    assert_eq!(room.review.tab(), None);
    room.press(&[Key::STOP]);
    assert_eq!(
        room.press(&[Key::STOP]),
        Some(pacebell::screens::review::Request::Leave)
    );
}

#[test]
fn the_foot_names_the_keys_in_two_lines_at_the_smallest_size() {
    for keys in ["m", "t", "l", "c", "f", "q", "r", "b"] {
        let mut room = Room::season().open("otter");
        room.size = Size::new(60, 18);
        room.types(keys);
        let shown = room.text();
        assert!(shown.contains("Esc list"), "{keys}: {shown}");
        assert!(shown.contains("   F1 "), "{keys}: {shown}");
    }
}
