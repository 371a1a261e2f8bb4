//! What the register arranges: shown, and changed by nobody; and a machine that pupils share.

use pacebell::domain::register::{Register, Registered};

use super::*;

fn registered(shared_machine: bool) -> Offer {
    let otter = Registered {
        extra_percent: Mark::whole(25),
        rest_breaks: true,
        remind: Some(Elapsed::minutes(5)),
        marks: false,
        ..Registered::usual(Alias::new("otter").unwrap())
    };
    let teasel = Registered::usual(Alias::new("teasel").unwrap());
    Offer {
        register: Some(Register {
            group: Some("7 Blue".into()),
            shared_machine,
            pupils: vec![otter, teasel],
        }),
        ..offer()
    }
}

/// The offer as it is made for a shared machine: sittings that are over are not in it.
fn shared() -> Offer {
    let mut offer = registered(true);
    offer
        .past
        .retain(|sitting| matches!(sitting.state, made_up::PastState::Open { .. }));
    offer
}

/// To otter's arrangements, past the open sitting.
const ARRANGED: &str = "otter<enter><down><enter><enter>";

#[test]
fn the_pages_of_a_register_are_drawn_as_agreed() {
    let pages = [
        ("bound", registered(false), ARRANGED),
        ("shared", shared(), ""),
        (
            "shared-new",
            shared(),
            "new<enter>fox<enter><enter><enter><down><down><down><down><down><down><down>",
        ),
    ];
    for (name, offer, script) in pages {
        for size in [Size::new(60, 18), USUAL, Size::new(120, 40)] {
            let (start, choice) = play_at(offer.clone(), script, size);
            assert_eq!(choice, None, "{name}");
            let name = format!("{name}-{}x{}", size.width, size.height);
            insta::assert_snapshot!(name, drawn(&start, size));
        }
        let (start, _) = play_at(offer, script, USUAL);
        keyboard::every_key_that_works_is_named(name, &start, |start, key| {
            start.press(key, USUAL).is_some()
        });
    }
}

fn seated(offer: Offer, script: &str) -> Seating {
    match play_at(offer, script, USUAL).1 {
        Some(Choice::Sit(seating)) => *seating,
        other => panic!("{script}: {other:?}"),
    }
}

#[test]
fn no_key_changes_what_is_arranged() {
    let arranged = Arrangements {
        extra_percent: Mark::whole(25),
        rest_breaks: true,
        remind_before: Elapsed::minutes(5),
        ..Arrangements::usual(Elapsed::minutes(60))
    };
    for tried in [
        "",
        "<right><down><right><down>n<down>1-10<down>1<down>n<down>y<down>y",
        "45<down>10<down><back><down><back><down><back><down><left><down><left><down><right>",
    ] {
        let seating = seated(
            registered(false),
            &format!("{ARRANGED}{tried}<enter>s<enter>"),
        );
        assert_eq!(seating.minutes, None, "{tried}");
        assert_eq!(seating.arrangements, arranged, "{tried}");
        assert!(!seating.marks_at_end, "{tried}");
    }
}

#[test]
fn words_typed_to_sit_stay_as_they_are_typed_on_the_page_too() {
    let seating = Seating {
        pupil: Alias::new("otter").unwrap(),
        paper: PathBuf::from("sample-papers/saltmarsh-a.paper.ron"),
        minutes: Some(Elapsed::minutes(10)),
        arrangements: Arrangements::usual(Elapsed::minutes(10)),
        marks_at_end: true,
    };
    let mut start = Start::at_read_out(registered(false), &seating);
    let mut choice = None;
    for press in keys("<esc><right><down>y<enter>s<enter>") {
        choice = start.press(press, USUAL);
    }
    assert_eq!(choice, Some(Choice::Sit(Box::new(seating))));
}

#[test]
fn an_alias_that_is_not_in_the_register_is_as_without_one() {
    let seating = seated(
        registered(false),
        "heron<enter><enter><down>25<enter><enter>s<enter>",
    );
    assert_eq!(seating.arrangements.extra_percent, Mark::whole(25));
    assert!(seating.marks_at_end);
    let seating = seated(
        registered(false),
        "teasel<enter><enter><enter><down>25<enter>s<enter>",
    );
    assert_eq!(seating.arrangements.extra_percent, Mark::ZERO);
}

#[test]
fn on_a_shared_machine_nobody_learns_who_sat_what() {
    let scripts = [
        "",
        "new<enter>heron<enter>",
        "teasel<enter>",
        "teasel<enter><enter>",
        "teasel<enter><enter><enter>",
        "new<enter>heron<enter><enter>",
        "new<enter>heron<enter><enter><enter>",
        "past<enter>",
        "what<enter>",
        "past<enter><enter><enter>",
        "<f1>",
    ];
    for script in scripts {
        let (start, choice) = play_at(shared(), script, Size::new(120, 40));
        assert_eq!(choice, None, "{script}");
        let shown = drawn(&start, Size::new(120, 40));
        for told in [
            "wren",
            "sat on",
            "Past sittings  ",
            "left blank",
            "62",
            "66",
            "owl",
        ] {
            assert!(!shown.contains(told), "{script}: {told}\n{shown}");
        }
        assert!(!shown.contains("12 answers"), "{script}\n{shown}");
    }
    let mine = drawn(&play_at(shared(), "new<enter>WREN<enter>", USUAL).0, USUAL);
    assert!(mine.contains("wren has an unfinished sitting"), "{mine}");
    let marks = seated(shared(), "teasel<enter><enter><enter><enter>s<enter>").marks_at_end;
    assert!(!marks);
    let unlisted = "new<enter>fox<enter><enter><enter><end>y<right><enter>s<enter>";
    assert!(!seated(shared(), unlisted).marks_at_end);
}
