//! Each page as a picture, at three sizes, with colour and without.

use pacebell::domain::event::Event;
use pacebell::domain::header::Mode;
use pacebell::domain::time::Elapsed;
use pacebell::screens::kit::Key;
use pacebell::screens::theme::Theme;
use ratatui::layout::Size;
use ratatui::style::Color;

use crate::made;
use crate::room::{Room, styled, text};

const SIZES: [Size; 3] = [Size::new(80, 24), Size::new(120, 40), Size::new(200, 60)];

/// The picture with its styles; without colour the same words stand, and nothing has a colour.
pub(crate) fn pictured(name: &str, room: &Room) {
    for size in SIZES {
        let colour = room.painted(&Theme::colour(), size);
        let plain = room.painted(&Theme::plain(), size);
        assert_eq!(text(&colour), text(&plain), "{name}");
        let tinted =
            |cell: &ratatui::buffer::Cell| cell.fg != Color::Reset || cell.bg != Color::Reset;
        assert!(!plain.content.iter().any(tinted), "{name}");
        let name = format!("{name}-{}x{}", size.width, size.height);
        insta::assert_snapshot!(name, styled(&colour));
    }
}

fn on(keys: &str) -> Room {
    let mut room = Room::season().open("otter");
    room.types(keys);
    room
}

#[test]
fn the_list_and_its_filter() {
    pictured("list", &Room::season());
    let mut filtered = Room::season();
    filtered.press(&[Key::Left]);
    filtered.types("otter");
    pictured("list-filtered", &filtered);
}

#[test]
fn marks() {
    pictured("marks", &on(""));
}

#[test]
fn time_against_the_plan_and_against_the_group() {
    let mut room = on("t");
    room.press(&[Key::Down, Key::Down]);
    pictured("time", &room);
    room.types("sg");
    pictured("time-group", &room);
}

#[test]
fn lanes() {
    pictured("lanes", &on("l"));
}

#[test]
fn curve() {
    pictured("curve", &on("c"));
}

#[test]
fn findings() {
    pictured("findings", &on("f"));
}

#[test]
fn one_question() {
    let mut room = on("11");
    room.press(&[Key::Enter]);
    room.types("e8");
    pictured("question", &room);
    room.types("e");
    pictured("cause", &room);
    room.press(&[Key::Esc]);
    room.types("nstayed to finish the map");
    pictured("note", &room);
}

#[test]
fn replay() {
    let mut room = on("r");
    room.press(&[Key::Down]);
    room.press(&[Key::Right; 21]);
    pictured("replay", &room);
}

#[test]
fn two_beside_each_other() {
    let mut room = on("b");
    pictured("beside-choose", &room);
    room.press(&[Key::Enter]);
    pictured("beside-group", &room);
    room.types("o");
    room.press(&[Key::Down, Key::Enter]);
    pictured("beside-earlier", &room);
    room.types("o");
    room.press(&[Key::Down, Key::Enter]);
    pictured("beside-other", &room);
}

/// Without a key, with a printed paper whose answers were keyed in a batch, with a rest break.
#[test]
fn what_cannot_be_shown_is_said() {
    let paper = made::paper("saltmarsh-a");
    let mut header = made::header(&paper, "otter", 40);
    header.paper.on_screen = false;
    header.arrangements.rest_breaks = true;
    let mut events: Vec<(u64, Event)> = Vec::new();
    for stamped in made::log(&header, &made::OTTER[..13]) {
        events.push((stamped.at.as_millis(), stamped.event));
    }
    events.pop();
    let from = events.last().unwrap().0;
    events.push((from + 1000, Event::BreakStarted));
    events.push((from + 181_000, Event::BreakEnded));
    for (index, number) in (14..=20).enumerate() {
        let at = from + 190_000 + u64::try_from(index).unwrap() * 3000;
        let question = pacebell::domain::rule::QuestionNo(number);
        let label = pacebell::domain::labels::Label::new('B').unwrap();
        events.push((at, Event::Opened(question)));
        events.push((at + 2000, Event::Answered(question, label)));
    }
    let log = made::stamped(&header, events);
    let mut room = Room::with(vec![(header, log)], false);
    room.press(&[Key::Enter]);
    for (name, key) in [
        ("bare-marks", "m"),
        ("bare-time", "t"),
        ("bare-lanes", "l"),
        ("bare-curve", "c"),
        ("bare-findings", "f"),
        ("bare-question", "q"),
        ("bare-replay", "r"),
        ("bare-beside", "b"),
    ] {
        room.types(key);
        insta::assert_snapshot!(name, room.text());
    }
}

/// With the key at hand, a sitting that still goes on is marked on no page.
#[test]
fn what_still_goes_on_is_not_marked() {
    let paper = made::paper("saltmarsh-a");
    let header = made::header(&paper, "otter", 40);
    let whole = made::log(&header, &made::OTTER[..13]);
    let still: Vec<_> = whole
        .iter()
        .filter(|stamped| !matches!(stamped.event, Event::Closed(_)))
        .cloned()
        .collect();
    assert_ne!(still.len(), whole.len());
    let mut room = Room::with(vec![(header, still)], true);
    room.press(&[Key::Enter]);
    for key in ["m", "t", "c", "f", "q", "r"] {
        room.types(key);
        let shown = room.text();
        let not_yet = shown.contains("isn't finished, so") || shown.contains("Not finished, so");
        assert!(not_yet || key == "t", "{key}: {shown}");
        for marked in ["of 125", "is right:", "is wrong:", "It brought"] {
            assert!(!shown.contains(marked), "{key}, {marked}: {shown}");
        }
        let rows = shown.lines();
        let rows = rows.filter(|line| !line.contains("+ right") && !line.contains("+ - speed"));
        for row in rows {
            assert!(!row.contains(" + "), "{key}: {row}");
        }
    }
}

#[test]
fn a_sheet_typed_in_from_paper_and_invented_data_say_so_on_every_page() {
    let paper = made::paper("saltmarsh-a");
    let mut header = made::header(&paper, "otter", 40);
    header.mode = Mode::Entered;
    header.invented = true;
    let log = made::otter(40).1.into_iter().map(|mut stamped| {
        stamped.at = Elapsed::ZERO;
        stamped
    });
    let mut room = Room::with(vec![(header, log.collect())], true);
    assert!(
        room.text().contains("all with invented data"),
        "{}",
        room.text()
    );
    room.press(&[Key::Enter]);
    for key in "mtlcfqrb".chars() {
        room.types(&key.to_string());
        let shown = room.text();
        assert!(shown.contains("Invented data: otter"), "{key}: {shown}");
        room.types("n");
        assert!(room.text().contains("Invented data: otter"), "{key}: note");
        room.press(&[Key::Esc]);
        assert!(
            !shown.to_lowercase().contains("never opened"),
            "{key}: {shown}"
        );
        if key == 'q' {
            assert!(shown.contains("Typed in, so no time is known"), "{shown}");
        }
        if "tlc".contains(key) {
            assert!(shown.contains("typed in from paper"), "{key}: {shown}");
        }
    }
}
