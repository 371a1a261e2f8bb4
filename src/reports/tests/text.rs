//! The page and the table as a tutor reads them.

use super::*;
use crate::domain::questions::QuestionList;
use crate::reports::table::table;
use crate::reports::text::page;

/// In time 4 + 0 + 4 + 7 = 15, with the guess round 22, worked 11; three guesses at one in five
/// for 4, 7 and 7 marks: 3.6 expected, 11 came; 11 or more needs two of three right: 3 x .04 x .8
/// + .008 = .104 (all by hand).
#[test]
fn a_page_tells_marks_sections_questions_awards_and_luck() {
    let expected = "\
otter: Heron paper
20 Nov 2026, 09:00. 10 minutes allowed, 10 minutes used. Time was up.

Mark in time          15  of 33
With the guess round  22  of 33
Worked out            11  of 33  (guesses counted as blank)

Section  Right  Wrong  Blank  Void  Marks  Of
1-3          2      1      0     0      8  12
4-6          2      1      0     0     14  21
Sections and questions include the guess round.

No  Answer  Key  Outcome  How                 Marks  Time  Visits  Changes
 1  A       A    right    worked                  4  1:05       2        0
 2  C       B    wrong    worked                  0  1:00       1        1
 3  C       C    right    guessed                 4  0:15       1        0
 4  D       D    right    worked                  7  4:30       1        0
 5  E       E    right    filled, after time      7     -       0        0
 6  B       A    wrong    filled, after time      0     -       0        0

Award   From  In time
dunlin     8  reached
curlew    18  3 short
tern      26  11 short
For curlew in time: one more right in 1-3, or one in 4-6.

3 guesses (1 in time, 2 after; 2 of them filled at random): about 3.6 marks
expected, 11 came; this much or more happens 10 times in 100.

- For practice only, not official. Check this year's rules with the organiser.
  Checked by T.M. on 3 Sep 2026.
";
    assert_eq!(page(&report()), expected);
}

#[test]
fn another_rule_gives_its_marks_its_awards_and_how_far_they_are() {
    let report = marked(subject(header(), script()), key(), Some(&stricter()));
    // 3 + 4 - 1/4 + 4 + 7 = 17.75 in time; 17.75 + 7 - 2 with the guess round; 13.75 worked.
    let line = "\nUnder the rule of Heron paper, last decade this is 17.75 of 36 in time, 22.75\n\
                with the guess round, 13.75 worked out.\n";
    assert!(page(&report).contains(line), "{}", page(&report));
    let mut higher = stricter();
    higher.awards[0].boundary = Mark::whole(24);
    let report = |under: &Outline| page(&marked(subject(header(), script()), key(), Some(under)));
    // 24 - 17.75 = 6.25 short: question 2 made right gains 4.25; the blank ones gain 7 each.
    let block = "\
For curlew in time: one more right in 1-3, or one in 4-6.

With the rule and the boundaries of Heron paper, last decade:
Award   From  In time
dunlin    24  6.25 short
For dunlin in time: one more right in 4-6.
";
    assert!(report(&higher).contains(block), "{}", report(&higher));
    higher.awards.clear();
    let line = "\n\nHeron paper, last decade names no boundaries.\n\n";
    assert!(report(&higher).contains(line), "{}", report(&higher));
}

fn lucky(given: char, how: How) -> String {
    let events = vec![
        (0, Event::Opened(q(4))),
        (5, Event::Answered(q(4), label(given))),
        (6, Event::Said(q(4), how)),
        (9, Event::Closed(Ending::FinishedEarly)),
    ];
    let own = marked(subject(header(), events), key(), Some(&stricter()));
    let said = |own: &MarkedUnder| crate::words::luck::of_a_sitting(&own.marks.luck);
    format!("{:?} {:?}", said(&own.own), own.under.as_ref().map(said))
}

/// One guess among five: right one time in five, for 7 marks, or 7 and -2.
#[test]
fn guesses_that_brought_nothing_are_told_as_such() {
    assert_eq!(
        lucky('A', How::Guessed),
        "Some(\"1 guess (in time): about 1.4 marks expected, 0 came; none at all happens 80 \
         times in 100.\") Some(Some(\"1 guess (in time): about -0.2 marks expected, -2 came; \
         none right happens 80 times in 100.\"))"
    );
    assert!(
        lucky('D', How::Guessed).contains("7 came; this much or more happens 20 times in 100.")
    );
    assert!(lucky('D', How::Worked).starts_with("None "));
}

#[test]
fn guesses_after_time_are_told_apart() {
    let mut events = script();
    events.remove(7);
    let report = marked(subject(header(), events), key(), None);
    assert!(page(&report).contains("\n2 guesses (after time; all filled at random): about"));
}

#[test]
fn an_entered_sheet_has_no_times() {
    let page = page(&entered());
    assert!(!page.contains("Time") && !page.contains("0:00"), "{page}");
    assert!(
        page.contains("\n- Typed in from an answer sheet done on paper: there are no times.\n")
    );
}

#[test]
fn what_qualifies_a_mark_is_said() {
    let mut header = header();
    header.paper.on_screen = false;
    header.paper.rule_checked = None;
    header.arrangements.only = QuestionList::range(q(1), q(4));
    header.arrangements.extra_percent = Mark::whole(25);
    header.arrangements.rest_breaks = true;
    header.allowed = Elapsed::seconds(750);
    let boot = header.boot.clone();
    let events = vec![
        (0, Event::Opened(q(1))),
        (10, Event::BreakStarted),
        (130, Event::BreakEnded),
        (
            200,
            Event::Interrupted(crate::domain::event::Stop::TerminalLost),
        ),
        (
            260,
            Event::Resumed {
                since: Elapsed::seconds(200),
                counts: false,
                clock: AwayClock::Exact,
                boot,
                left: None,
            },
        ),
        (300, Event::ClockChanged { millis: -5000 }),
        (310, Event::BreakStarted),
    ];
    let mut subject = subject(header, events);
    subject.remarks.push("The file's last line is torn.".into());
    let mut key = key();
    key.voids.insert(q(2), Void::Credited);
    key.voids.insert(q(3), Void::Dropped);
    key.voids.insert(q(6), Void::Dropped);
    key.also_right.insert(q(1), BTreeSet::from([label('B')]));
    let page = page(&marked(subject, key, None));
    for line in [
        "! The file's last line is torn.",
        "! No end of the sitting is recorded: these are the marks so far.",
        "! Questions 5, 6 were not part of this sitting, and the maximum leaves them out.",
        "- The paper was printed: each time is how long the question was open on the",
        "- Extra time of 25%: 12 min 30 s instead of 10 minutes.",
        "- 2 rest breaks, 2 minutes altogether, the last still on; the clock was stopped.",
        "- 1 interruption, 1 minute altogether (the program was closed or stopped).",
        "- The computer's clock was changed 1 time; that didn't affect the timing.",
        "- Question 3: void, left out for everyone.",
        "- Question 2: void, full marks for everyone.",
        "- Question 1: B counts as right too.",
        "- Check this year's rules first: nobody has recorded a check.",
        "- For practice only, not official. Check this year's rules with the organiser.",
        "No awards are worked out: the boundaries are for the whole paper.",
    ] {
        assert!(page.contains(line), "{line}\n{page}");
    }
    assert!(
        page.lines().all(|line| line.chars().count() <= 80),
        "{page}"
    );
}

#[test]
fn several_sittings_are_a_table() {
    let expected = "\
Heron paper

Pupil  Date         In time  With guesses  Worked  Of  Award
otter  20 Nov 2026       15            22      11  33  dunlin
otter  20 Nov 2026        4             4       4  33  -

- For practice only, not official. Check this year's rules with the organiser.
  Checked by T.M. on 3 Sep 2026.
";
    assert_eq!(table(&[report(), entered()]), expected);
}

#[test]
fn a_table_has_the_other_rule_beside_and_says_what_is_open() {
    let mut open = script();
    open.truncate(5);
    let mark = |events| marked(subject(header(), events), key(), Some(&stricter()));
    let table = table(&[mark(script()), mark(open)]);
    assert!(table.contains("Under: the mark in time under the rule of Heron paper, last decade."));
    assert!(
        table.contains("\n! otter, 20 Nov 2026 09:00: No end of the sitting is recorded: these"),
        "{table}"
    );
    assert!(
        table.lines().all(|line| line.chars().count() <= 80),
        "{table}"
    );
}

#[test]
fn a_part_of_a_paper_has_no_awards_under_any_rule() {
    let mut header = header();
    header.arrangements.only = QuestionList::range(q(1), q(2));
    let of = |header: Header| marked(subject(header, vec![]), key(), Some(&stricter()));
    let report = of(header.clone());
    let said = page(&report);
    let words = said.split_whitespace().collect::<Vec<_>>().join(" ");
    let notice = "! Questions 3-6 were not part of this sitting, and the maximum leaves them out. \
                  No awards are worked out: the boundaries are for the whole paper. ";
    assert!(words.contains(notice), "{said}");
    assert!(
        !said.contains("dunlin") && !said.contains("boundaries of"),
        "{said}"
    );
    assert!(table(&[report.clone(), report]).contains("  8  -"));
    header.paper.awards.clear();
    assert!(!page(&of(header)).contains("awards"));
}

#[test]
fn marks_that_cannot_be_reached_are_not_promised() {
    let mut key = key();
    for number in 2..=6 {
        key.voids.insert(q(number), Void::Dropped);
    }
    let report = marked(subject(header(), vec![]), key, None);
    let page = page(&report);
    assert!(
        page.contains("For dunlin in time: more than these questions could give."),
        "{page}"
    );
}

#[test]
fn no_name_in_a_file_reaches_the_terminal_as_a_command() {
    let mut header = header();
    header.paper.title = "Heron \u{1b}[2Jpaper".into();
    header.paper.rule.sections[0].name = "1\u{7}-3".into();
    header.paper.awards[0].name = "bro\u{9b}31mnze".into();
    let subject = subject(header, vec![]);
    let mut under = stricter();
    under.title = "\u{1b}]0;x\u{7}".into();
    let report = marked(subject, key(), Some(&under));
    for text in [page(&report), table(&[report.clone(), report.clone()])] {
        assert!(
            !text.chars().any(|c| c.is_control() && c != '\n'),
            "{text:?}"
        );
    }
}

#[test]
fn a_long_title_keeps_to_the_page() {
    let mut header = header();
    header.paper.title = "A very long title of a paper, ".repeat(5);
    let mut under = stricter();
    under.title.clone_from(&header.paper.title);
    let report = marked(subject(header, script()), key(), Some(&under));
    for text in [page(&report), table(&[report.clone(), report.clone()])] {
        assert!(
            text.lines().all(|line| line.chars().count() <= 80),
            "{text}"
        );
    }
}

/// The options of the sitting's own paper decide how likely a guess was, whoever's rule is taken.
#[test]
fn another_rule_leaves_the_chances_as_they_were() {
    let mut under = stricter();
    under.options = Labels::new("AB").unwrap();
    let report = marked(subject(header(), script()), key(), Some(&under));
    let under = report.under.unwrap().marks.luck;
    // (4 - 4 x 1/4) / 5 + 2 x (7 - 4 x 2) / 5 = 1/5.
    assert!((under.expected - 0.2).abs() < 1e-12, "{}", under.expected);
}
