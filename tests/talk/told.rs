//! Where a step is read out, and where what became of it is told.

use std::fs;

use super::markup::well_formed;
use super::room::{Room, TALK, first};
use super::{ms, swept_from};

const TO_DO: &str = "Begin the sweep with at least 3 minutes left.";
const AGREED: &str =
    "Agreed: sweep begun with 3 minutes left; done: begun with 4 minutes left, 0 blanks.";

/// A first sitting with a step agreed about it.
fn with_a_step() -> Room {
    let room = Room::new();
    room.put(&first());
    room.agreed(&first(), "sweep 3:00", TALK);
    room
}

/// The same after the sitting that kept it.
fn with_a_step_kept() -> Room {
    let room = with_a_step();
    room.put(&swept_from(ms(56, 0)));
    room
}

fn register(room: &Room, shared: bool, read_out: bool) {
    let text = format!(
        "(format: 1, shared_machine: {shared}, pupils: [(alias: \"otter\", step_read_out: {read_out})])"
    );
    fs::write(room.path().join("sessions/register.ron"), text).unwrap();
}

/// What is said before a sitting line by line, which is then not begun.
fn before(room: &Room) -> String {
    let words = ["sit", "saltmarsh-a", "--pupil", "otter", "--plain"];
    let said = room.typed(&words, "leave\n");
    assert!(said.status.success(), "{said:?}");
    String::from_utf8(said.stdout).unwrap().replace('\n', " ")
}

#[test]
fn an_open_step_is_read_out_where_the_register_says_so() {
    let room = with_a_step();
    assert!(!before(&room).contains(TO_DO), "no register");
    register(&room, false, false);
    assert!(!before(&room).contains(TO_DO));
    register(&room, false, true);
    let said = before(&room);
    assert!(said.contains(&format!("Your step: {TO_DO}")), "{said}");
    register(&room, true, true);
    assert!(!before(&room).contains(TO_DO), "a shared machine");
}

#[test]
fn a_step_that_is_judged_or_withdrawn_is_read_out_no_more() {
    let room = with_a_step_kept();
    register(&room, false, true);
    assert!(!before(&room).contains(TO_DO));
    let room = with_a_step();
    register(&room, false, true);
    room.withdrawn(&first(), "2026-09-13T10:00:00+00:00");
    assert!(!before(&room).contains(TO_DO));
    // A later talk's step stands in the place of an earlier one that nothing judged.
    let room = with_a_step();
    register(&room, false, true);
    let mut next = swept_from(ms(56, 0));
    next.header.arrangements.only = pacebell::domain::questions::QuestionList::read("1-24").ok();
    room.put(&next);
    room.agreed(&next, "flags", "2026-09-21T10:00:00+00:00");
    let said = before(&room);
    assert!(!said.contains(TO_DO), "{said}");
    assert!(
        said.contains("look again at every question you flagged"),
        "{said}"
    );
}

#[test]
fn what_became_of_it_is_told_wherever_the_sitting_is() {
    let room = with_a_step_kept();
    let next = swept_from(ms(56, 0));
    let flat = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let file = Room::file(&next);
    for words in [
        vec!["mark", &file],
        vec!["talk", &file],
        vec!["progress", "otter"],
        vec!["feedback", &file],
    ] {
        let said = flat(room.told(&words));
        assert!(said.contains(AGREED), "{words:?}: {said}");
    }
    // Of the sitting that was talked about only its own step is told.
    let said = flat(room.told(&["mark", &Room::file(&first())]));
    assert!(!said.contains("Agreed:"), "{said}");
    let json = room.json(&next);
    assert_eq!(json["judged"]["state"], "done");
    assert!(json["step"].is_null());
}

/// The review, line by line: what the sitting judged, and what was agreed about the one before.
#[test]
fn the_review_tells_what_became_of_it_line_by_line() {
    let room = with_a_step_kept();
    let heard = |sitting: &str| {
        let lines = format!("{sitting}\n2\nleave\n");
        let said = room.typed(&["review", "--plain"], &lines);
        assert!(said.status.success(), "{said:?}");
        let said = String::from_utf8(said.stdout).unwrap();
        said.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    // The newest stands first.
    let next = heard("1");
    assert!(
        next.contains(&format!("Before this sitting. {AGREED}")),
        "{next}"
    );
    let talked_about = heard("2");
    let own = format!("{AGREED} (Sitting of 20 Sep 2026.)");
    assert!(talked_about.contains(&own), "{talked_about}");
    assert!(!talked_about.contains("Before this sitting."));
}

/// After a sitting line by line; on a shared machine nothing is told of the talk.
#[test]
fn the_result_line_by_line_tells_what_became_of_it() {
    let sat = |shared: bool| {
        let room = Room::new();
        room.put(&first());
        room.agreed(&first(), "stay 4:00", TALK);
        register(&room, shared, false);
        let words = ["sit", "saltmarsh-a", "--pupil", "otter", "--plain"];
        let said = room.typed(&words, "start\nA\nfinish\ny\n");
        assert!(said.status.success(), "{said:?}");
        let said = String::from_utf8(said.stdout).unwrap();
        assert!(said.contains("You've finished."), "{said}");
        said.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let said = sat(false);
    let agreed = "Agreed: no stay over 4 minutes; done: question 1 was open the longest, for ";
    assert!(said.contains(agreed), "{said}");
    let said = sat(true);
    assert!(!said.contains("Agreed:"), "{said}");
}

#[test]
fn feedback_carries_the_agreed_causes_and_the_step_for_pupil_and_parents() {
    let room = with_a_step();
    let log = first();
    let notes = fs::read_to_string(room.notes(&log)).unwrap();
    let causes = [(16, "no_time"), (17, "no_time"), (2, "slip")];
    let causes: String = causes
        .map(|(number, cause)| {
            format!("{number}: (cause: {cause}, by: \"T.M.\", at: \"{TALK}\"), ")
        })
        .concat();
    let notes = notes.replace(
        "    steps:",
        &format!("    questions: {{{causes}}},\n    steps:"),
    );
    fs::write(room.notes(&log), notes).unwrap();
    let pupil = room.told(&["feedback", &Room::file(&log)]);
    assert_eq!(well_formed(&pupil), Ok(()));
    assert!(
        pupil.contains(&format!("For next time: {TO_DO}")),
        "{pupil}"
    );
    assert!(pupil.contains("Agreed cause: no time"), "{pupil}");
    let parents = room.told(&["feedback", &Room::file(&log), "--for", "parents"]);
    assert_eq!(well_formed(&parents), Ok(()));
    assert!(parents.contains(TO_DO), "{parents}");
    assert!(
        parents.contains("ran out of time for it (2 questions)"),
        "{parents}"
    );
    assert!(!parents.contains("Question 16"), "{parents}");
}

#[test]
fn a_step_survives_a_new_alias_a_gathering_and_an_export_and_goes_with_its_pupil() {
    let room = with_a_step();
    room.told(&["talk", &Room::file(&first())]);
    let gathered = room.told(&["gather", "sessions", "--sessions", "here"]);
    assert!(!gathered.is_empty());
    let notes = Room::file(&first()).replace(".session.ron", ".notes.ron");
    let here = room.path().join(notes.replace("sessions/", "here/"));
    assert!(fs::read_to_string(here).unwrap().contains("sweep 3:00"));
    room.told(&["export", "otter", "out"]);
    let out = fs::read_dir(room.path().join("out")).unwrap();
    assert!(out.count() > 0);
    room.told(&["rename", "otter", "heron"]);
    let renamed = notes.replace("otter", "heron");
    let renamed = fs::read_to_string(room.path().join(&renamed)).unwrap();
    assert!(renamed.contains("step: \"sweep 3:00\""), "{renamed}");
    let page = room.path().join("sessions/pages");
    let pages = || fs::read_dir(&page).map_or(0, Iterator::count);
    let erased = room.typed(&["erase", "heron"], "heron\n");
    assert!(erased.status.success(), "{erased:?}");
    assert_eq!(pages(), 0, "{erased:?}");
}

/// Notes of two places: both words are kept, and the later one holds, in either order.
#[test]
fn steps_of_two_places_are_joined() {
    for (one, other) in [("sweep 3:00", "flags"), ("flags", "sweep 3:00")] {
        let room = Room::new();
        room.put(&first());
        room.agreed(&first(), one, TALK);
        let sessions = room.path().join("sessions");
        fs::rename(&sessions, room.path().join("stick")).unwrap();
        fs::create_dir_all(&sessions).unwrap();
        room.put(&first());
        room.agreed(&first(), other, "2026-09-12T11:00:00+00:00");
        room.told(&["gather", "stick"]);
        let json = room.json(&first());
        assert_eq!(json["step"]["kind"], other);
        let notes = fs::read_to_string(room.notes(&first())).unwrap();
        assert!(notes.contains(one) && notes.contains(other), "{notes}");
    }
}

/// Two pupils, one paper: the plan's file says whose it is; one of before, which names nobody, is still taken.
#[test]
fn a_plan_is_taken_by_its_own_pupil_and_for_its_own_paper_alone() {
    let room = with_a_step();
    let points = "checkpoints: [(question: 10, minutes: 18)]";
    let sat = |whose: &str| {
        let text = format!("(format: 2, {whose}{points})");
        fs::write(room.path().join("pace.plan.ron"), text).unwrap();
        let words = [
            "sit",
            "saltmarsh-a",
            "--pupil",
            "otter",
            "--plain",
            "--plan",
            "pace.plan.ron",
        ];
        let said = room.typed(&words, "leave\n");
        let error = String::from_utf8(said.stderr).unwrap();
        (said.status.code(), error)
    };
    for own in ["", "pupil: \"Otter\", ", "paper: \"saltmarsh-a\", "] {
        assert_eq!(sat(own).0, Some(0), "{own}");
    }
    for (other, says) in [
        ("pupil: \"heron\", ", "`heron`'s plan"),
        ("paper: \"saltmarsh-b\", ", "for the paper `saltmarsh-b`"),
    ] {
        let (code, error) = sat(other);
        assert_eq!(code, Some(2), "{error}");
        assert!(error.contains(says), "{error}");
    }
}
