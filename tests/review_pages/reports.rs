//! Progress and the group, reached from the list.

use chrono::NaiveDate;
use pacebell::commands::progress::season;
use pacebell::domain::header::{Alias, INVENTED};
use pacebell::reports::progress::page;
use pacebell::screens::kit::Key;
use pacebell::screens::review::Report;
use pacebell::screens::run::{Arrived, take};
use pacebell::storage::catalogue::Catalogue;
use ratatui::layout::Size;

use crate::made;
use crate::pages::pictured;
use crate::room::Room;

fn on(pupil: &str, key: Key) -> Room {
    let mut room = Room::season();
    room.types(pupil);
    room.press(&[key]);
    room
}

/// Everything on a page in a window in which nothing is scrolled.
fn whole(room: &mut Room) -> String {
    room.size = Size::new(100, 300);
    room.text()
}

#[test]
fn progress() {
    pictured("report-progress", &on("otter", Key::F(2)));
}

#[test]
fn group() {
    pictured("report-group", &on("plover", Key::F(3)));
}

#[test]
fn from_the_list_to_progress_and_back_and_to_the_group() {
    let mut room = Room::season();
    room.types("plover");
    assert!(room.text().contains("F2 progress") && room.text().contains("F3 group"));
    room.press(&[Key::F(2)]);
    let shown = room.text();
    assert!(shown.contains("Review: progress"), "{shown}");
    assert!(shown.contains("plover: 1 sitting"), "{shown}");
    room.press(&[Key::Down]);
    assert!(!room.text().contains("plover: 1 sitting"), "it scrolls");
    room.press(&[Key::Esc]);
    assert!(room.text().contains("1 with: plover_"), "{}", room.text());
    room.press(&[Key::F(3)]);
    let shown = room.text();
    assert!(shown.contains("Review: the group"), "{shown}");
    assert!(
        shown.contains("7 answer sheets, with what was guessed"),
        "{shown}"
    );
    room.press(&[Key::End, Key::F(2)]);
    assert!(
        room.text().contains("plover: 1 sitting"),
        "from one to the other"
    );
    assert!(room.text().contains("Esc list"));
}

/// F6 opens the group's term from the list and from another report: the text that `overview` prints.
#[test]
fn from_the_list_to_the_groups_term() {
    let mut room = on("plover", Key::F(2));
    assert!(room.text().contains("F6 term"), "{}", room.text());
    room.press(&[Key::F(6)]);
    let shown = whole(&mut room);
    assert!(shown.contains("Review: the group's term"), "{shown}");
    assert!(shown.contains("Everybody on every paper"), "{shown}");
    assert!(shown.contains("Who needs a word") && shown.contains("The sweep habit"));
    for pupil in ["otter", "plover", "heron"] {
        assert!(
            shown.contains(&format!("{pupil} (Practice")),
            "{pupil}: {shown}"
        );
    }
}

/// The season's own page, from the same sittings by the command's own way.
#[test]
fn the_page_is_the_text_that_the_command_prints() {
    let dir = tempfile::tempdir().unwrap();
    for (header, log) in &made::season() {
        made::write(dir.path(), header, log);
    }
    let otter = Alias::new("otter").unwrap();
    let catalogue = Catalogue::open(Some(dir.path()), &[]).with_keys(&[made::sample("")]);
    // The page goes by the computer's day; whatever that is, the season's missed questions are due.
    let day = NaiveDate::from_ymd_opt(2100, 1, 1).unwrap();
    let printed = page(&season(otter, &catalogue.unwrap(), day).unwrap());
    let mut room = on("otter", Key::F(2));
    let shown = whole(&mut room);
    let shown: Vec<&str> = shown.lines().map(str::trim_end).collect();
    let printed: Vec<String> = printed
        .lines()
        .map(|line| format!(" {line}").trim_end().to_owned())
        .collect();
    assert_eq!(shown[3..3 + printed.len()], printed[..]);
}

#[test]
fn the_first_whole_sitting_of_each_counts_and_only_of_what_was_sat() {
    let mut sittings = made::season();
    // All right, and later than one with every third wrong; and one that nobody sat.
    sittings.push(made::other("curlew", 90, 60, 99));
    let (mut header, log) = made::other("avocet", 95, 60, 2);
    header.invented = true;
    sittings.push((header, log));
    let mut room = Room::with(sittings, true);
    room.types("plover");
    room.press(&[Key::F(3)]);
    let shown = whole(&mut room);
    assert!(shown.contains("7 answer sheets"), "{shown}");
    assert!(
        shown.contains("- Left out: 1 sitting of pupils whose first whole sitting counts."),
        "{shown}"
    );
    assert!(!shown.contains("nvented"), "{shown}");
    let before = whole(&mut on("plover", Key::F(3)));
    let mean = |shown: &str| {
        shown
            .lines()
            .find(|line| line.contains("Mean"))
            .unwrap()
            .to_owned()
    };
    assert_eq!(
        mean(&shown),
        mean(&before),
        "the later sheet has other marks, and does not count"
    );
}

#[test]
fn a_missing_key_is_named_with_where_it_was_looked_for() {
    let (mut header, log) = made::otter(40);
    header.paper.id = "nobody-has-this".into();
    let mut other = Room::with(made::season(), false);
    assert!(!other.text().contains("nobody-has-this"));
    for key in [Key::F(2), Key::F(3)] {
        let mut room = Room::with(vec![(header.clone(), log.clone())], false);
        room.press(&[key]);
        let shown = whole(&mut room);
        let flat = shown.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains("for the paper `nobody-has-this`"), "{flat}");
        assert!(
            flat.contains("Places searched for answer keys: ., sample-papers,"),
            "{flat}"
        );
        assert!(flat.contains("--keys"), "{flat}");
    }
    // The sample papers have their keys beside them: none has to be named.
    other.press(&[Key::F(3)]);
    assert!(other.text().contains("Review: the group"));
}

#[test]
fn invented_data_say_so() {
    let sittings = made::season().into_iter().map(|(mut header, log)| {
        header.invented = true;
        (header, log)
    });
    let mut room = Room::with(sittings.collect(), true);
    for key in [Key::F(2), Key::F(3)] {
        room.press(&[key]);
        let shown = room.text();
        let lines = shown.lines().filter(|line| line.contains(INVENTED));
        assert_eq!(lines.count(), 1, "{shown}");
    }
}

#[test]
fn until_it_arrives_the_page_says_so_and_what_comes_too_late_is_dropped() {
    let mut room = Room::season();
    let ask = room.review.press(Key::F(2), room.size);
    assert!(ask.is_some() && room.text().contains("Reading the sittings."));
    let late = |pupil: &str| {
        let text = Ok(format!("the text of {pupil}\n"));
        Arrived::Report(Report::Progress(pupil.into()), text)
    };
    take(&mut room.review, late("somebody-else"));
    assert!(room.text().contains("Reading the sittings."));
    take(&mut room.review, late("heron"));
    assert!(room.text().contains("the text of heron"), "{}", room.text());
    room.press(&[Key::Esc]);
    take(&mut room.review, late("heron"));
    assert!(room.text().contains("9 sittings"), "the list stays");
}

/// At 80 columns and at 200 the text is the same line by line; at 60 every word is still there.
#[test]
fn the_text_is_the_same_at_every_width() {
    for key in [Key::F(2), Key::F(3), Key::F(6)] {
        let mut room = on("otter 2026-11", key);
        let mut at = |width| {
            room.size = Size::new(width, 400);
            let shown = room.text();
            let lines = shown.lines().skip(3).map(|line| line.trim().to_owned());
            let keys = ["F2 progress", "Esc list", "F1 help"];
            let foot = |line: &String| keys.iter().any(|key| line.contains(key));
            let kept = lines.filter(|line| !line.is_empty() && !foot(line));
            kept.collect::<Vec<_>>()
        };
        let (narrow, usual, wide) = (at(60), at(80), at(200));
        assert_eq!(usual, wide);
        assert!(usual.len() > 20 && narrow.len() > usual.len());
        let words = |lines: &[String]| {
            let words = lines.iter().flat_map(|line| line.split_whitespace());
            words.map(str::to_owned).collect::<Vec<_>>()
        };
        assert_eq!(words(&narrow), words(&usual));
    }
}
