//! The talk's sheet and the agreed step, held against logs written line by line.
#![cfg(test)]

#[path = "talk/held.rs"]
mod held;
#[path = "common/markup.rs"]
mod markup;
#[path = "talk/room.rs"]
mod room;
#[path = "common/sat.rs"]
mod sat;
#[path = "talk/sheet.rs"]
mod sheet;
#[path = "talk/told.rs"]
mod told;
#[path = "common/typed.rs"]
mod typed;
#[path = "common/user.rs"]
mod user;
#[path = "common/written.rs"]
mod written;

use pacebell::domain::event::{Ending, Event};
use pacebell::domain::header::{Checkpoint, Mode, PacePlan};
use pacebell::domain::mark::Mark;
use pacebell::domain::questions::QuestionList;
use pacebell::domain::rule::QuestionNo;
use room::{Log, Room, SECOND, TALK};

/// What a step agreed about the first sitting has come to after this second one.
#[track_caller]
#[expect(clippy::needless_pass_by_value, reason = "it is made for this call")]
fn after(step: &str, next: Log) -> String {
    let room = Room::new();
    room.put(&room::first());
    room.agreed(&room::first(), step, TALK);
    room.put(&next);
    room.state(&room::first())
}

/// The minutes and seconds in milliseconds.
const fn ms(minutes: u64, seconds: u64) -> u64 {
    (minutes * 60 + seconds) * 1000
}

/// Questions 1 to 22 answered, two minutes each, up to 44:00; then nothing is open but what follows.
fn up_to_22() -> Log {
    (1..=22).fold(Log::of(SECOND), |log, number| log.answer(number, 120))
}

/// The sweep's three blanks, ten seconds each, the first opened at this moment.
fn swept_from(at: u64) -> Log {
    let log = up_to_22().open(22).until(at);
    let log = (23..=25).fold(log, |log, number| log.answer(number, 10));
    log.time_up()
}

#[test]
fn a_sweep_is_done_up_to_its_very_moment() {
    // 60 minutes: 3:00 are left at 57:00.
    assert_eq!(after("sweep 3:00", swept_from(ms(57, 0))), "done");
    assert_eq!(after("sweep 3:00", swept_from(ms(57, 0) + 1)), "not_done");
    assert_eq!(after("sweep 3:00", swept_from(ms(56, 0))), "done");
}

#[test]
fn without_a_sweep_only_a_full_sheet_keeps_the_step() {
    let none = up_to_22().time_up();
    assert_eq!(after("sweep 3:00", none), "not_done");
    let full = |last: u64| {
        let log = up_to_22().answer(23, 120).answer(24, 120).open(25);
        log.until(last).choose(25).time_up()
    };
    // The last blank went at 57:00, or a millisecond after it.
    assert_eq!(after("sweep 3:00", full(ms(57, 0))), "done");
    assert_eq!(after("sweep 3:00", full(ms(57, 0) + 1)), "not_done");
}

/// A sweep fills every blank: one that leaves blanks on which a blind guess gains on average is not done, however early
/// it began. On Saltmarsh A nothing is lost for a wrong answer.
#[test]
fn a_sweep_that_leaves_blanks_worth_a_guess_is_not_done() {
    let next = |last: u16| {
        let log = up_to_22()
            .open(22)
            .until(ms(56, 0))
            .event(Event::SweepBegun);
        let log = (23..=last).fold(log, |log, number| log.answer(number, 10));
        log.time_up()
    };
    assert_eq!(after("sweep 3:00", next(25)), "done");
    assert_eq!(after("sweep 3:00", next(24)), "not_done");
    let room = Room::new();
    room.put(&room::first());
    room.agreed(&room::first(), "sweep 3:00", TALK);
    room.put(&next(23));
    let said = room.json(&room::first())["step"]["said"].clone();
    assert_eq!(
        said,
        "Agreed: sweep begun with 3 minutes left; not this time: begun with 4 minutes left, but 2 blanks."
    );
    let told = room.told(&["overview"]);
    assert!(!told.contains("Praise: Agreed"), "{told}");
    // The pupil's row and the sweep habit count the same sweeps.
    let counts = |next: &Log| {
        let room = Room::new();
        room.put(next);
        let told = room.told(&["overview"]);
        let cells = |from: &str| {
            let line = told.lines().rfind(|line| line.starts_with(from)).unwrap();
            line.split_whitespace()
                .map(str::to_owned)
                .collect::<Vec<_>>()
        };
        (cells("  20 Sep").pop().unwrap(), cells("P1 ")[1].clone())
    };
    assert_eq!(counts(&next(24)), ("-".into(), "0".into()));
    assert_eq!(counts(&next(25)), ("3".into(), "1".into()));
}

/// Of Saltmarsh A's last questions each is worth 7 marks with five options: 1.4 marks a guess.
#[test]
fn what_a_guess_brings_is_told_to_a_tenth_and_of_one_question_as_of_one() {
    let told = |answered: u16| {
        let log = (1..=answered).fold(Log::of(SECOND), |log, number| log.answer(number, 120));
        let room = Room::new();
        room.put(&log.clone().time_up());
        room.told(&["mark", &Room::file(&log), "--json"])
    };
    let one = told(24);
    let said = "A blind guess on it would bring about 1.4 marks on average.";
    assert!(one.contains(said), "{one}");
    let two = told(23);
    let said = "Blind guesses on them would bring about 2.8 marks on average.";
    assert!(two.contains(said), "{two}");
}

/// Where a wrong answer costs so much that a guess loses, leaving a question blank is the better choice, and the
/// sweep is done.
#[test]
fn blanks_that_are_better_left_do_not_undo_a_sweep() {
    let mut log = up_to_22()
        .open(22)
        .until(ms(56, 0))
        .event(Event::SweepBegun);
    for section in &mut log.header.paper.rule.sections {
        section.wrong = Mark::whole(-4);
    }
    let log = log.answer(23, 10).answer(24, 10).time_up();
    assert_eq!(after("sweep 3:00", log), "done");
}

/// Questions 1 to 10 answered in order at the beginning, and the rest left, is no sweep.
#[test]
fn a_quick_first_pass_keeps_no_sweep() {
    let pass = || (1..=10).fold(Log::of(SECOND), |log, number| log.answer(number, 3));
    for next in [pass().finish(), pass().time_up()] {
        let room = Room::new();
        room.put(&room::first());
        room.agreed(&room::first(), "sweep 3:00", TALK);
        room.put(&next);
        assert_eq!(
            room.json(&room::first())["step"]["said"],
            "Agreed: sweep begun with 3 minutes left; not this time: no sweep, 15 blanks."
        );
        let told = room.told(&["overview"]);
        assert!(!told.contains("Praise"), "{told}");
    }
}

/// One blank is no run of short visits; the key says that it was swept.
#[test]
fn the_key_begins_a_sweep_of_a_single_blank() {
    let swept = |at: u64| {
        let log = up_to_22().answer(23, 120).answer(24, 120).until(at);
        let log = log.event(Event::SweepBegun).open(25).wait(40).choose(25);
        log.time_up()
    };
    assert_eq!(after("sweep 3:00", swept(ms(57, 0))), "done");
    assert_eq!(after("sweep 3:00", swept(ms(57, 0) + 1)), "not_done");
    // Begun early and left again, with the blanks filled late.
    let log = up_to_22()
        .until(ms(50, 0))
        .event(Event::SweepBegun)
        .open(23);
    let log = log.wait(2).event(Event::SweepLeft).open(1).until(ms(58, 0));
    let log = (23..=25).fold(log, |log, number| log.answer(number, 10));
    assert_eq!(after("sweep 3:00", log.time_up()), "not_done");
}

/// Visits to question 8 of these lengths, with so many seconds on question 9 between them.
fn stays(visits: &[u64], between: u64) -> Log {
    let mut log = Log::of(SECOND).answer(1, 60);
    for visit in visits {
        log = log.open(8).pass(*visit).open(9).wait(between);
    }
    log.answer(2, 30).finish()
}

#[test]
fn a_stay_is_one_stretch_and_a_glance_elsewhere_does_not_end_it() {
    assert_eq!(after("stay 4:00", stays(&[ms(4, 0)], 30)), "done");
    assert_eq!(after("stay 4:00", stays(&[ms(4, 0) + 1], 30)), "not_done");
    // Left, and come back to.
    assert_eq!(after("stay 4:00", stays(&[ms(3, 0); 3], 30)), "done");
    // Under 10 seconds elsewhere leave nothing; 10 do.
    assert_eq!(after("stay 4:00", stays(&[ms(3, 0); 2], 9)), "not_done");
    assert_eq!(after("stay 4:00", stays(&[ms(3, 0); 2], 10)), "done");
}

/// A checkpoint may be passed a minute late, the usual `late_seconds`.
#[test]
fn a_checkpoint_is_kept_up_to_a_minute_after_its_moment() {
    let reached = |at: u64| {
        let log = (1..=9).fold(Log::of(SECOND), |log, number| log.answer(number, 60));
        log.open(10)
            .until(at)
            .choose(10)
            .open(11)
            .wait(30)
            .time_up()
    };
    let step = "checkpoint 10 by 12:00";
    assert_eq!(after(step, reached(ms(11, 0))), "done");
    assert_eq!(after(step, reached(ms(13, 0))), "done");
    assert_eq!(after(step, reached(ms(13, 0) + 1)), "not_done");
    // Left for later is done with; never opened is not.
    let left = (1..=10).fold(Log::of(SECOND), |log, number| log.open(number).wait(60));
    assert_eq!(after(step, left.open(11).wait(60).time_up()), "done");
    let few = (1..=3).fold(Log::of(SECOND), |log, number| log.answer(number, 60));
    assert_eq!(after(step, few.time_up()), "not_done");
    // Finished before the moment, with questions never opened: nobody can tell.
    let early = (1..=3).fold(Log::of(SECOND), |log, number| log.answer(number, 60));
    assert_eq!(after(step, early.finish()), "open: ended_before");
}

#[test]
fn the_checkpoints_need_a_plan() {
    let log = || (1..=10).fold(Log::of(SECOND), |log, number| log.answer(number, 60));
    let planned = |minutes: i64| {
        let mut log = log();
        let points = [(5, 6), (10, minutes)];
        let checkpoints = points.map(|(question, minutes)| Checkpoint {
            question: QuestionNo(question),
            minutes: Mark::whole(minutes),
        });
        log.header.plan = Some(PacePlan {
            checkpoints: checkpoints.to_vec(),
            ..PacePlan::default()
        });
        log.time_up()
    };
    assert_eq!(after("checkpoints", log().time_up()), "open: no_plan");
    // Question 10 is done at 10:00: a minute after 9:00, two after 8:00.
    assert_eq!(after("checkpoints", planned(9)), "done");
    assert_eq!(after("checkpoints", planned(8)), "not_done");
}

/// Kept by leaving time unused, the checkpoints are no praise, and what is told says so.
#[test]
fn checkpoints_kept_with_much_time_unused_are_no_praise() {
    let mut log = (1..=10).fold(Log::of(SECOND), |log, number| log.answer(number, 60));
    log.header.plan = Some(PacePlan {
        checkpoints: vec![Checkpoint {
            question: QuestionNo(10),
            minutes: Mark::whole(10),
        }],
        ..PacePlan::default()
    });
    let said = |next: Log| {
        let room = Room::new();
        room.put(&room::first());
        room.agreed(&room::first(), "checkpoints", TALK);
        room.put(&next);
        let said = room.json(&room::first())["step"]["said"].clone();
        let told = room.told(&["overview"]);
        (said.to_string(), told.contains("Praise: Agreed"))
    };
    let (early, praised) = said(log.clone().finish());
    let but = "1 of 1 checkpoint kept, but at a pace that left time unused";
    assert!(early.contains(but), "{early}");
    assert!(!praised);
    let (to_the_end, praised) = said(log.time_up());
    assert!(
        to_the_end.contains("1 of 1 checkpoint kept.\""),
        "{to_the_end}"
    );
    assert!(praised);
}

#[test]
fn a_flag_is_looked_at_on_a_later_visit_that_is_no_glance() {
    let flagged = || {
        let log = Log::of(SECOND).open(4).wait(30);
        let log = log.event(Event::Flagged(QuestionNo(4)));
        log.wait(30).answer(5, 60)
    };
    assert_eq!(after("flags", flagged().finish()), "not_done");
    let again = |millis| flagged().open(4).pass(millis).open(6).wait(30).finish();
    assert_eq!(after("flags", again(10_000)), "done");
    assert_eq!(after("flags", again(9_999)), "not_done");
    // A glance with an answer, or with the flag taken off, is more than one.
    assert_eq!(after("flags", flagged().answer(4, 2).finish()), "done");
    let off = Event::Unflagged(QuestionNo(4));
    let taken_off = flagged().open(4).event(off.clone()).wait(1).finish();
    assert_eq!(after("flags", taken_off), "done");
    let slip = Log::of(SECOND).open(4).event(Event::Flagged(QuestionNo(4)));
    let slip = slip.event(off).wait(30).answer(5, 60).finish();
    assert_eq!(after("flags", slip), "open: no_flags");
}

#[test]
fn a_sitting_that_does_not_count_judges_nothing() {
    let kept = || swept_from(ms(56, 0));
    assert_eq!(after("sweep 3:00", kept()), "done");
    let mut given_up = up_to_22();
    given_up = given_up.event(Event::Closed(Ending::Abandoned));
    assert_eq!(after("sweep 3:00", given_up), "open");
    let broken_off = up_to_22();
    assert_eq!(after("sweep 3:00", broken_off), "open");
    let mut part = kept();
    part.header.arrangements.only = QuestionList::read("1-24").ok();
    assert_eq!(after("sweep 3:00", part), "open");
    let mut invented = kept();
    invented.header.invented = true;
    assert_eq!(after("sweep 3:00", invented), "open");
    let mut other = kept();
    other.header.pupil = "heron".parse_alias();
    assert_eq!(after("sweep 3:00", other), "open");
    let mut before_the_talk = kept();
    before_the_talk.header.started = room::moment("2026-09-11T09:00:00+00:00");
    assert_eq!(after("sweep 3:00", before_the_talk), "open");
    let mut at_the_talk = kept();
    at_the_talk.header.started = room::moment(TALK);
    assert_eq!(after("sweep 3:00", at_the_talk), "open");
}

use room::ParseAlias as _;

#[test]
fn a_sitting_set_aside_judges_nothing_and_the_next_one_does() {
    let room = Room::new();
    room.put(&room::first());
    room.agreed(&room::first(), "sweep 3:00", TALK);
    let aside = swept_from(ms(58, 0));
    room.put(&aside);
    assert_eq!(room.state(&room::first()), "not_done");
    room.set_aside(&aside);
    assert_eq!(room.state(&room::first()), "open");
    let mut third = swept_from(ms(56, 0));
    third.header.started = room::moment("2026-10-05T09:00:00+00:00");
    third.header.sitting = "third".into();
    room.put(&third);
    assert_eq!(room.state(&room::first()), "done");
}

/// The step waits for a sitting that can tell, unless another step is agreed first.
#[test]
fn a_typed_in_sheet_cannot_judge_and_the_step_stays_open_for_the_next() {
    let room = Room::new();
    room.put(&room::first());
    room.agreed(&room::first(), "stay 4:00", TALK);
    let mut typed_in = Log::of(SECOND);
    typed_in.header.mode = Mode::Entered;
    let typed_in = (1..=20).fold(typed_in, Log::choose);
    let typed_in = typed_in.event(Event::Closed(Ending::Entered));
    room.put(&typed_in);
    assert_eq!(room.state(&room::first()), "open: typed_in");
    let said = room.json(&room::first())["step"]["said"].to_string();
    assert!(said.contains("typed in afterwards"), "{said}");
    let mut third = stays(&[ms(5, 0)], 30);
    third.header.started = room::moment("2026-10-05T09:00:00+00:00");
    third.header.sitting = "third".into();
    room.put(&third);
    assert_eq!(room.state(&room::first()), "not_done");
    room.agreed(&typed_in, "flags", "2026-09-21T10:00:00+00:00");
    assert_eq!(room.state(&room::first()), "not_judged: typed_in");
    assert_eq!(room.state(&typed_in), "open: no_flags");
}

/// A printed paper beside the screen, and every answer keyed within a few seconds.
#[test]
fn answers_keyed_together_cannot_judge_a_time() {
    let keyed = || {
        let mut log = Log::of(SECOND);
        log.header.paper.on_screen = false;
        let log = log.open(1).until(ms(50, 0));
        (1..=20)
            .fold(log, |log, number| log.answer(number, 2))
            .time_up()
    };
    for step in [
        "sweep 3:00",
        "stay 4:00",
        "checkpoint 10 by 12:00",
        "checkpoints",
    ] {
        assert_eq!(after(step, keyed()), "open: entered_together", "{step}");
    }
}

/// Some answers keyed together on a printed paper may have been stayed on for longer than the others; a longer stay seen
/// on another is one all the same.
#[test]
fn a_batch_keeps_a_longest_stay_open_unless_a_longer_one_is_seen() {
    let keyed = |seconds: u64| {
        let mut log = Log::of(SECOND);
        log.header.paper.on_screen = false;
        let log = (1..=3).fold(log, |log, number| log.answer(number, 60));
        let log = (4..=6).fold(log, |log, number| log.answer(number, 2));
        let log = (7..=20).fold(log, |log, number| log.answer(number, 60));
        log.answer(21, seconds).finish()
    };
    assert_eq!(after("stay 4:00", keyed(60)), "open: entered_together");
    assert_eq!(after("stay 4:00", keyed(300)), "not_done");
}

#[test]
fn the_last_word_holds() {
    let room = Room::new();
    let (first, next) = (room::first(), swept_from(ms(58, 0)));
    room.put(&first);
    room.agreed(&first, "sweep 3:00", TALK);
    room.agreed(&first, "sweep 1:00", "2026-09-12T11:00:00+00:00");
    room.put(&next);
    assert_eq!(room.state(&first), "done");
    assert_eq!(room.json(&first)["step"]["kind"], "sweep 1:00");
    // Agreed after the sitting, it is for the one after that.
    room.agreed(&first, "sweep 1:00", "2026-09-22T11:00:00+00:00");
    assert_eq!(room.state(&first), "open");
    room.withdrawn(&first, "2026-09-23T11:00:00+00:00");
    assert_eq!(room.state(&first), "withdrawn");
    assert_eq!(room.json(&first)["step"]["kind"], serde_json::Value::Null);
}

#[test]
fn words_of_their_own_are_never_judged() {
    let room = Room::new();
    let first = room::first();
    room.put(&first);
    room.agreed_in_words(&first, "Read each question twice.", TALK);
    assert_eq!(room.state(&first), "open");
    room.put(&swept_from(ms(56, 0)));
    assert_eq!(room.state(&first), "not_judged");
}
