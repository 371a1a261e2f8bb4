//! When an idle page changes by itself.

use pacebell::domain::time::Elapsed;

use crate::bench::Bench;

/// Every moment of change of a sitting in which nobody presses anything, time up included.
fn changes(mut bench: Bench) -> Vec<Elapsed> {
    let mut moments = Vec::new();
    while let Some(next) = bench.next_change() {
        let before = bench.buffer();
        bench.at_moment(Elapsed(next.as_millis() - 1));
        assert_eq!(before, bench.buffer(), "nothing changes before {next:?}");
        assert_eq!(bench.next_change(), Some(next));
        bench.at_moment(next);
        assert_ne!(before, bench.buffer(), "something changes at {next:?}");
        moments.push(next);
    }
    moments
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
    let planned = changes(Bench::planned());
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
fn nothing_changes_while_the_clock_stands_or_after_time() {
    let mut bench = Bench::with(|header| header.arrangements.rest_breaks = true);
    bench.at(600).keys("<esc>b");
    assert_eq!(bench.next_change(), None);
    bench.at(700).keys("<enter>");
    assert_eq!(bench.next_change(), Some(Elapsed::seconds(730)));
    bench.at(3700);
    assert_eq!(bench.next_change(), None);
}

#[test]
fn the_plan_says_calmly_where_it_would_be() {
    let mut bench = Bench::planned();
    let plan = |bench: &Bench| bench.line("Plan:").unwrap();
    assert_eq!(plan(&bench), "Plan: 10 done at 40 minutes left.");
    bench.at(240);
    assert_eq!(
        plan(&bench),
        "Plan: 2 done by now. You, a little behind. Leave hard ones for later."
    );
    bench.keys("a<right>");
    assert_eq!(
        plan(&bench),
        "Plan: 2 done by now. You: 1, on plan. Next: 10 done at 40 minutes left."
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
    assert!(bench.line("! Last").is_none());
    bench.at(57 * 60);
    assert!(
        bench
            .line("! Last 3 minutes: 25 blanks. / goes to the next.")
            .is_some()
    );
    for _ in 1..=25 {
        bench.keys("a<right>");
    }
    assert!(bench.line("! Last").is_none());
}
