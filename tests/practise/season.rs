//! Which questions come back, when, and when one is called secure.

use pacebell::domain::rule::QuestionNo;
use pacebell::season::practice::{
    ByGuessing, MissKind, PracticeState, PractisedSeason, RetriedHow, SeasonQuestion, SecondTries,
};

use crate::days::{Diary, day, key, numbers, paper, question};

/// A diary with one sitting of four questions: right, wrong though worked out, a wrong guess, blank.
fn four() -> Diary {
    let mut diary = Diary::new(&[paper("Reed", 4, &[])]);
    diary.sits(0, 0, "BCc-");
    diary
}

fn of(season: &PractisedSeason, number: u16) -> &SeasonQuestion {
    let wanted = QuestionNo(number);
    let mut all = season.questions.iter();
    all.find(|own| own.round.which.question == wanted).unwrap()
}

#[test]
fn wrong_though_worked_comes_first_then_wrong_then_blank_and_right_not_at_all() {
    let mut diary = Diary::new(&[paper("Reed", 6, &[])]);
    diary.sits(0, 0, "-cbC?BC");
    let season = diary.season();
    // 1 blank, 2 a wrong guess, 3 a right guess, 4 wrong and unsure, 5 right, 6 wrong though worked out.
    assert_eq!(numbers(&season.due(day(0), None)), [6, 2, 4, 1]);
    let kinds = season.missed().map(|own| own.missed.unwrap().0);
    let expected = [
        MissKind::Blank,
        MissKind::Wrong,
        MissKind::Wrong,
        MissKind::WrongWorked,
    ];
    assert_eq!(kinds.collect::<Vec<_>>(), expected);
}

/// Each has its turn before a short session comes back to another: what was tried least since it was missed comes first,
/// before the kind; of one kind what has waited longest, whatever its paper's id.
#[test]
fn what_was_tried_least_comes_first_and_of_one_kind_what_waited_longest() {
    let mut diary = four();
    assert_eq!(numbers(&diary.season().due(day(1), None)), [2, 3, 4]);
    let two = vec![question(&paper("Reed", 4, &[]), 2)];
    diary.practises(1, two, "CB.");
    assert_eq!(numbers(&diary.season().due(day(8), None)), [3, 4, 2]);
    diary.sits(0, 9, "BCc-");
    assert_eq!(
        numbers(&diary.season().due(day(9), None)),
        [2, 3, 4],
        "missed again, none has been tried since"
    );
    let mut diary = Diary::new(&[paper("Sedge", 2, &[]), paper("Alder", 2, &[])]);
    diary.sits(0, 0, "CB");
    diary.sits(1, 5, "CB");
    let due = diary.season().due(day(10), None);
    let papers = due.iter().map(|own| own.which.paper.as_str());
    let first = paper("Sedge", 2, &[]).outline.id;
    assert_eq!(papers.collect::<Vec<_>>()[0], first);
}

#[test]
fn an_unaided_right_ends_a_question_for_the_day_and_the_gap_brings_it_back() {
    let mut diary = four();
    let due = diary.season().due(day(1), None);
    assert_eq!(numbers(&due), [2, 3, 4]);
    diary.practises(1, due, "B.CB.?B.");
    let season = diary.season();
    assert!(
        season.due(day(1), None).is_empty(),
        "no question comes twice on a day"
    );
    assert!(of(&season, 2).is_done_on(day(1)));
    assert!(!of(&season, 3).is_done_on(day(1)) && !of(&season, 4).is_done_on(day(1)));
    // No day of the paper: 7 days. Paper on day 15: 14 days, a gap of 3.
    assert!(season.due(day(7), None).is_empty());
    assert_eq!(season.due(day(8), None).len(), 3);
    assert!(season.due(day(3), Some(day(15))).is_empty());
    assert_eq!(season.due(day(4), Some(day(15))).len(), 3);
    assert_eq!(season.next_back(day(2), Some(day(15))), Some((day(4), 3)));
    assert_eq!(season.next_back(day(2), None), Some((day(8), 3)));
}

#[test]
fn secure_takes_two_unaided_rights_in_different_sessions_and_two_weeks() {
    let mut diary = four();
    let two = || vec![question(&paper("Reed", 4, &[]), 2)];
    let state = |diary: &Diary, after| of(&diary.season(), 2).state(day(after), None);
    diary.practises(1, two(), "B.");
    diary.practises(1, two(), "B.");
    assert_eq!(
        state(&diary, 1),
        Some(PracticeState::Waiting(day(8))),
        "one day counts once"
    );
    diary.practises(8, two(), "?B.");
    assert_eq!(
        of(&diary.season(), 2).rights().len(),
        0,
        "a hint is help: it starts anew"
    );
    diary.practises(15, two(), "B.");
    diary.practises(22, two(), "B.");
    assert_eq!(state(&diary, 22), Some(PracticeState::TooEarly(day(29))));
    assert_eq!(state(&diary, 28), Some(PracticeState::TooEarly(day(29))));
    assert_eq!(state(&diary, 29), Some(PracticeState::Secure));
    assert!(!numbers(&diary.season().due(day(60), None)).contains(&2));
    diary.sits(0, 61, "BCc-");
    assert_eq!(
        state(&diary, 61),
        Some(PracticeState::Due(day(61))),
        "missed again"
    );
}

/// Wrong at the first try again, right a week later, with the hint only after that, and then missed in a sitting.
#[test]
fn what_was_wrong_when_tried_again_may_be_right_since() {
    let mut diary = four();
    let two = || vec![question(&paper("Reed", 4, &[]), 2)];
    let since = |diary: &Diary| of(&diary.season(), 2).is_right_since();
    diary.practises(1, two(), "CB.");
    assert!(!since(&diary));
    diary.practises(8, two(), "B.");
    assert_eq!(of(&diary.season(), 2).second(), Some(RetriedHow::Wrong));
    assert!(since(&diary));
    diary.practises(15, two(), "?B.");
    assert!(since(&diary), "a hint is help: it takes nothing back");
    diary.sits(0, 20, "BCc-");
    assert!(!since(&diary), "missed again");
}

#[test]
fn a_wrong_answer_between_two_rights_starts_anew() {
    let mut diary = four();
    let two = || vec![question(&paper("Reed", 4, &[]), 2)];
    for (after, answers) in [(1, "B."), (8, "CB."), (15, "B.")] {
        diary.practises(after, two(), answers);
    }
    assert_eq!(of(&diary.season(), 2).rights().len(), 1);
}

/// The working was shown an hour before: what is right now is remembered.
#[test]
fn a_right_answer_later_on_the_day_of_a_wrong_one_says_nothing() {
    let mut diary = four();
    let two = || vec![question(&paper("Reed", 4, &[]), 2)];
    diary.practises(1, two(), "CB.");
    diary.practises(1, two(), "B.");
    let season = diary.season();
    assert_eq!(of(&season, 2).rights().len(), 0);
    assert!(!of(&season, 2).is_done_on(day(1)));
}

#[test]
fn a_right_answer_in_a_later_sitting_counts_unless_it_was_a_guess() {
    let mut diary = four();
    diary.sits(0, 7, "bBBB");
    let season = diary.season();
    assert_eq!(of(&season, 2).rights().len(), 1);
    assert!(season.due(day(7), None).is_empty());
    let mut diary = four();
    diary.sits(0, 7, "bbbb");
    assert_eq!(numbers(&diary.season().due(day(7), None)), [2, 3, 4]);
}

/// Right in a sitting and again in practice on the same day is once: the second was remembered.
#[test]
fn two_rights_on_one_day_are_one() {
    let mut diary = four();
    diary.sits(0, 7, "bBBB");
    diary.practises(7, vec![question(&paper("Reed", 4, &[]), 2)], "B.");
    assert_eq!(of(&diary.season(), 2).rights().len(), 1);
    diary.practises(8, vec![question(&paper("Reed", 4, &[]), 2)], "B.");
    assert_eq!(of(&diary.season(), 2).rights().len(), 2);
}

#[test]
fn a_question_is_the_same_one_on_another_paper_by_its_words() {
    let mut other = paper("Sedge", 4, &[]);
    other.questions[0] = paper("Reed", 4, &[]).questions[1].clone();
    let mut diary = Diary::new(&[paper("Reed", 4, &[]), other]);
    diary.sits(0, 0, "BCBB");
    diary.sits(1, 7, "BBBB");
    let season = diary.season();
    assert_eq!(season.missed().count(), 1);
    assert_eq!(season.missed().next().unwrap().rights().len(), 1);
    assert!(season.due(day(7), None).is_empty());
}

#[test]
fn sittings_that_count_for_nothing_and_void_questions_bring_nothing_back() {
    let mut diary = four();
    let analysis = diary.sittings[0].analysis.clone();
    let set_aside = analysis.withdrawn(Some(pacebell::domain::standing::Exclusion::SetAside));
    diary.sittings[0].analysis = set_aside;
    assert_eq!(diary.season().questions.len(), 0);
    let mut diary = four();
    let reed = paper("Reed", 4, &[]);
    let mut void = key(&reed);
    void.voids = [(QuestionNo(2), pacebell::domain::key::Void::Dropped)].into();
    let analysis = diary.sittings[0].analysis.clone();
    diary.sittings[0] = pacebell::analysis::Studied {
        paper: diary.sittings[0].paper.clone(),
        ..pacebell::analysis::Studied::new(analysis, Some(std::sync::Arc::new(void)))
    };
    assert_eq!(numbers(&diary.season().due(day(0), None)), [3, 4]);
}

/// The cells by hand: 1 right then right, 2 missed then right, 3 missed then missed, 4 only with its hint; 5 right then
/// missed.
#[test]
fn the_table_sets_the_first_try_beside_the_first_unaided_one_in_practice() {
    let reed = paper("Reed", 6, &[]);
    let mut diary = Diary::new(std::slice::from_ref(&reed));
    diary.sits(0, 0, "BCC-BC");
    let all = |numbers: &[u16]| numbers.iter().map(|n| question(&reed, *n)).collect();
    diary.practises(2, all(&[1, 2, 3, 4, 5]), "B.B.CB.?B.CB.");
    diary.practises(9, all(&[2, 3]), "CB.B.");
    let season = diary.season();
    let table = SecondTries::of(&season.questions);
    let cells = (
        table.both,
        table.first_only,
        table.second_only,
        table.neither,
    );
    assert_eq!(cells, (1, 1, 1, 1));
    assert_eq!(table.chance(), Some(1.0), "one each way");
    let told = ByGuessing::of(&season.questions).unwrap();
    // 2 and 3 were wrong with five options: four are left for a guess.
    assert_eq!((told.missed, told.right), (2, 1));
    assert!((told.expected - 0.5).abs() < 1e-12, "{}", told.expected);
}

#[test]
fn practice_before_the_first_sitting_is_no_second_try() {
    let reed = paper("Reed", 4, &[]);
    let mut diary = Diary::new(std::slice::from_ref(&reed));
    diary.practises(0, vec![question(&reed, 2)], "B.");
    diary.sits(0, 5, "BCBB");
    let season = diary.season();
    assert_eq!(SecondTries::of(&season.questions).all(), 0);
    assert_eq!(numbers(&season.due(day(5), None)), [2]);
}

#[test]
fn the_same_log_from_two_folders_counts_once() {
    let mut diary = four();
    let two = vec![question(&paper("Reed", 4, &[]), 2)];
    diary.practises(1, two, "B.");
    let mut cut = diary.logs[0].clone();
    cut.moments.truncate(1);
    diary.logs = vec![cut, diary.logs[0].clone(), diary.logs[0].clone()];
    let season = diary.season();
    assert_eq!(season.sessions, 1);
    assert_eq!(of(&season, 2).tries.len(), 1);
}
