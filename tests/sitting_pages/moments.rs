//! When an idle page changes by itself.

use pacebell::domain::header::{Checkpoint, PacePlan};
use pacebell::domain::mark::Mark;
use pacebell::domain::questions::QuestionList;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::screens::sitting::NextChange;
use ratatui::layout::Size;

use crate::bench::Bench;

/// Every moment of change of a sitting in which nobody presses anything, time up included.
fn changes(bench: Bench) -> Vec<Elapsed> {
    let all = all_changes(bench).into_iter();
    all.map(|change| change.at).collect()
}

/// The same, each with what changes; where that is the clock alone, its row drawn anew makes the page.
fn all_changes(mut bench: Bench) -> Vec<NextChange> {
    let mut moments = Vec::new();
    while let Some(next) = bench.next_change() {
        let before = bench.buffer();
        bench.at_moment(Elapsed(next.at.as_millis() - 1));
        assert_eq!(before, bench.buffer(), "nothing changes before {next:?}");
        assert_eq!(bench.next_change(), Some(next));
        bench.at_moment(next.at);
        let after = bench.buffer();
        assert_ne!(before, after, "something changes at {next:?}");
        if next.is_clock_alone(next.at) {
            // A machine that wakes nobody in time draws late.
            let last = next.clock_alone_before.unwrap().as_millis() - 1;
            for at in [Elapsed(last), next.at] {
                bench.at_moment(at);
                let row = bench.with_top_row(before.clone());
                assert_eq!(row, bench.buffer(), "one row at {at:?} of {next:?}");
            }
        }
        moments.push(next);
    }
    moments
}

/// The reminder comes at 57:00 and counts minutes to the nearest: it says less at 57:30, 58:30 and 59:30. Time up is a
/// page of its own.
#[test]
fn the_clock_alone_changes_but_for_the_reminder_and_time_up() {
    for size in [Size::new(60, 18), Size::new(80, 24), Size::new(200, 50)] {
        let mut bench = Bench::new();
        bench.size = size;
        let all = all_changes(bench).into_iter();
        let more = all.filter(|change| !change.is_clock_alone(change.at));
        let more: Vec<_> = more.map(|change| change.at.as_millis() / 1000).collect();
        let expected = [57 * 60, 57 * 60 + 30, 58 * 60 + 30, 59 * 60 + 30, 60 * 60];
        assert_eq!(more, expected, "{size}");
    }
}

#[test]
fn a_page_that_lies_on_top_is_drawn_whole() {
    for keys in ["?", "<esc>", ":", "f"] {
        let mut bench = Bench::new();
        bench.at(55 * 60 + 10).keys(keys);
        let on_top = bench.line("Esc menu").is_none();
        let next = bench.next_change().unwrap();
        let alone = next.is_clock_alone(next.at);
        assert_eq!(alone, !on_top, "{keys}");
    }
}

/// 55 minutes at one a minute, then 300 seconds; of the first the change to seconds comes apart.
#[test]
fn an_idle_page_is_drawn_once_a_minute_until_the_last_five() {
    let moments = changes(Bench::new());
    assert_eq!(moments.first(), Some(&Elapsed::seconds(30)));
    assert_eq!(moments.get(1), Some(&Elapsed::seconds(90)));
    assert_eq!(moments.last(), Some(&Elapsed::minutes(60)));
    assert_eq!(moments.len(), 55 + 1 + 300);
}

#[test]
fn a_plan_adds_its_own_moments() {
    let calm = changes(Bench::new());
    let planned = all_changes(Bench::planned());
    let clock_alone = planned
        .iter()
        .filter(|change| change.is_clock_alone(change.at));
    assert!(clock_alone.count() >= 290);
    let planned: Vec<_> = planned.into_iter().map(|change| change.at).collect();
    let own: Vec<_> = planned.iter().filter(|m| !calm.contains(m)).collect();
    // 10 questions in 20 minutes: one due every 2 minutes. 15 in 35 minutes: every 2:20, of which
    // two of three fall on no half minute at which the clock changes, up to 55 minutes.
    assert!(own.contains(&&Elapsed::minutes(2)) && own.contains(&&Elapsed::minutes(20)));
    assert!(own.contains(&&Elapsed::seconds(20 * 60 + 140)));
    assert_eq!(own.len(), 10 + 14);
}

#[test]
fn a_hidden_clock_leaves_the_reminder_and_time_up() {
    let mut bench = Bench::new();
    bench.keys(".");
    assert_eq!(changes(bench), [Elapsed::minutes(57), Elapsed::minutes(60)]);
}

#[test]
fn nothing_changes_while_the_clock_is_stopped_or_after_time() {
    let mut bench = Bench::with(|header| header.arrangements.rest_breaks = true);
    bench.at(600).keys("<esc>b");
    assert_eq!(bench.next_change(), None);
    bench.at(700).keys("<enter>");
    let next = bench.next_change().map(|change| change.at);
    assert_eq!(next, Some(Elapsed::seconds(730)));
    bench.at(3700);
    assert_eq!(bench.next_change(), None);
}

/// What a plan leaves is said where such a question is open, and else behind the next checkpoint, as far as it fits.
#[test]
fn the_plan_says_what_to_leave_and_how_long_to_stay() {
    let mut bench = Bench::with(|header| {
        header.plan = Some(PacePlan {
            checkpoints: vec![Checkpoint {
                question: QuestionNo(20),
                minutes: Mark::whole(50),
            }],
            leave: QuestionList::read("2,25").ok(),
            stay: Some(Elapsed::minutes(4)),
        });
    });
    let plan = |bench: &Bench| bench.line("lan").unwrap();
    assert_eq!(
        bench.line("Plan:").unwrap(),
        "Plan: 20 done with 10 minutes left. Leave questions 2 and 25 until the end."
    );
    bench.keys("<right>");
    assert!(plan(&bench).starts_with("Your plan leaves question 2 until the end."));
    bench.keys("<right>");
    assert!(bench.line("Your plan leaves").is_none());
}

#[test]
fn the_plan_says_calmly_where_it_would_be() {
    let mut bench = Bench::planned();
    let plan = |bench: &Bench| bench.line("Plan:").unwrap();
    assert_eq!(plan(&bench), "Plan: 10 done with 40 minutes left.");
    bench.at(240);
    assert_eq!(
        plan(&bench),
        "Plan: 2 done by now. You, a little behind. Leave hard ones for later."
    );
    bench.keys("a<right>");
    assert_eq!(
        plan(&bench),
        "Plan: 2 done by now. You: 1, on plan. Next: 10 done with 40 minutes left."
    );
    bench.keys(" a ");
    assert!(plan(&bench).starts_with("Plan: 2 done by now. You: 3, ahead."));
    bench.at(56 * 60);
    assert_eq!(
        plan(&bench),
        "Plan: 25 done by now. You: 3, a little behind. Leave hard ones for later."
    );
}

#[test]
fn the_reminder_comes_once_and_only_with_blanks() {
    let mut bench = Bench::new();
    bench.at(57 * 60 - 1);
    assert!(bench.line("25 blanks,").is_none());
    bench.at(57 * 60);
    // By hand: 4 and 5 marks among five options, nothing lost, for 1 to 10 and two options on 24.
    let band = bench.line("25 blanks, 3 minutes left.").unwrap();
    assert!(band.contains("! goes through them"), "{band}");
    bench.keys(".");
    assert_eq!(bench.text().matches(" marks on average").count(), 1);
    let band = bench.line("25 blanks. ! goes through them").unwrap();
    assert!(!band.contains("minute"), "a hidden clock stays hidden");
    bench.keys(".").at(59 * 60 + 35);
    assert!(bench.line("25 blanks, less than a minute left.").is_some());
    for _ in 1..=25 {
        bench.keys("aa<right>");
    }
    assert!(bench.line("! goes through").is_none());
}

/// The row on which the sheet begins.
fn sheet_top(bench: &Bench) -> Option<usize> {
    bench
        .text()
        .lines()
        .position(|line| line.contains("Question 1"))
}

#[test]
fn the_reminder_has_a_place_kept_for_it_and_moves_nothing() {
    for planned in [false, true] {
        for (width, height) in [(60, 18), (80, 24), (120, 40)] {
            let mut bench = if planned {
                Bench::planned()
            } else {
                Bench::new()
            };
            bench.size = Size::new(width, height);
            let before = sheet_top(&bench);
            bench.at(57 * 60);
            assert_eq!(before, sheet_top(&bench), "{planned} {width}x{height}");
            let band = bench.line("25 blanks, 3 minutes left.");
            assert!(band.is_some(), "{planned} {width}x{height}");
        }
    }
}

#[test]
fn advice_from_an_unchecked_rule_is_not_given_but_whom_to_ask() {
    for (width, height) in [(60, 18), (80, 24), (120, 40)] {
        let mut bench = Bench::with(|header| header.paper.rule_checked = None);
        bench.size = Size::new(width, height);
        bench.at(57 * 60);
        assert!(bench.line("costs nothing").is_none(), "{width}x{height}");
        let asked = bench.line("The rules aren't checked: ask your tutor before guessing.");
        assert!(asked.is_some(), "{width}x{height}");
        bench.at(3600).keys("g<enter>");
        assert!(bench.line("costs nothing").is_none(), "{width}x{height}");
        assert!(
            bench
                .line("The rules aren't checked: ask your tutor before guessing.")
                .is_some()
        );
    }
}

#[test]
fn the_signs_are_told_on_the_page() {
    let legend = "Signs: [C] chosen  o seen  ~ later  ? unsure  ?? guess  F flag";
    let mut bench = Bench::new();
    assert_eq!(bench.keys("a<enter>").line("o seen").unwrap(), legend);
    bench.size = Size::new(60, 18);
    assert!(bench.line("?? guess  F flag").is_some());
    let mut planned = Bench::planned();
    assert_eq!(planned.message(), legend, "until the first key");
    assert!(planned.keys("a").line("o seen").is_none());
    planned.size = Size::new(80, 30);
    assert_eq!(planned.line("o seen").unwrap(), legend);
    planned.at(3600).keys("g<enter>");
    assert!(planned.line("* filled").is_some());
}
