//! Each condition for a word at its limit: what is just a reason, and what is just none any more.

use std::fs;

use chrono::TimeDelta;
use pacebell::domain::header::Alias;
use pacebell::domain::labels::Label;
use pacebell::domain::practice::{PaperQuestion, PracticeEvent, PracticeMoment, PracticeStart};
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use pacebell::storage::journal::PracticeFile;
use tempfile::TempDir;

use crate::room::{table, told};
use crate::words::{Sitting, kinds, usual};
use crate::{papers, sat};

const ALL: &str = "AAAAAAAAAAAAAAAAAAAA";
const HIGH: &str = "AAAAAAAAAAAAAAAAAABB";
const LOW: &str = "AABBBBBBBBBBBBBBBBBB";

/// Marks on papers of their own, a week apart.
fn weekly<'a>(pupil: &'a str, letters: &[&str]) -> Vec<Sitting<'a>> {
    let papers = ["Heath", "Moor", "Fen", "Down"];
    let sat = papers.into_iter().zip(letters).zip(0..);
    sat.map(|((paper, letters), week)| usual(pupil, paper, 7 * week, letters))
        .collect()
}

/// Two blanks on which a guess gains are a reason.
#[test]
fn two_blanks_are_worth_a_word() {
    let two = usual("otter", "Heath", 0, "AAAAAAAAAAAAAAAAAA--");
    assert_eq!(kinds(&[two]), ["otter: blanks"]);
}

/// One pupil alone is no group by which the paper could be judged; where half of those who can be judged are below, and two
/// of them, it is the paper.
#[test]
fn a_hard_paper_takes_two_pupils_and_half_of_those_judged() {
    let falls = |pupil| weekly(pupil, &[HIGH, HIGH, LOW]);
    let stays = |pupil| weekly(pupil, &[HIGH, HIGH, HIGH]);
    assert_eq!(kinds(&falls("otter")), ["otter: below_range"]);
    let one_of_two = [falls("otter"), stays("teasel")].concat();
    assert_eq!(kinds(&one_of_two), ["otter: below_range"]);
    let half = [
        falls("otter"),
        falls("teasel"),
        stays("vole"),
        stays("wren"),
    ];
    assert_eq!(kinds(&half.concat()), [""; 0]);
    let fewer = [
        falls("otter"),
        falls("teasel"),
        stays("vole"),
        stays("wren"),
        stays("yarrow"),
    ];
    assert_eq!(
        kinds(&fewer.concat()),
        ["otter: below_range", "teasel: below_range"]
    );
}

/// A mark has to be outside both of the last two ranges, and on the same side.
#[test]
fn a_mark_is_held_against_both_of_the_last_two_ranges() {
    let middle = "AAAAAAAAAABBBBBBBBBB";
    assert_eq!(kinds(&weekly("otter", &[HIGH, LOW, middle])), [""; 0]);
    assert_eq!(kinds(&weekly("otter", &[LOW, HIGH, middle])), [""; 0]);
    assert_eq!(kinds(&weekly("otter", &[HIGH, LOW])), [""; 0], "one before");
    assert_eq!(kinds(&weekly("otter", &[HIGH, HIGH, LOW, LOW])), [""; 0]);
    assert_eq!(
        kinds(&weekly("otter", &[LOW, HIGH, HIGH, LOW])),
        ["otter: below_range"]
    );
}

/// What the newest sitting of the group has left more than six days behind is no news.
#[test]
fn marks_and_long_stays_of_weeks_before_are_no_news() {
    let mut old = weekly("otter", &[HIGH, HIGH, LOW]);
    old.push(usual("teasel", "Fen", 21, ALL));
    assert_eq!(kinds(&old), [""; 0]);
    let mut long = vec![
        stays_long("otter", "Heath", 0),
        stays_long("otter", "Moor", 8),
    ];
    assert_eq!(kinds(&long), ["otter: blanks", "otter: long_stays"]);
    long.push(usual("teasel", "Fen", 20, ALL));
    assert_eq!(kinds(&long), [""; 0]);
}

/// Five minutes on question 5 for nothing, and the last three never begun.
fn stays_long<'a>(pupil: &'a str, paper: &'a str, day: i64) -> Sitting<'a> {
    Sitting {
        long: Some((5, 300)),
        ..usual(pupil, paper, day, "AAAABAAAAAAAAAAAA---")
    }
}

/// Answers keyed together from a printed paper have no times: such a sitting is none of the recent ones.
#[test]
fn a_sitting_without_times_ends_no_habit_of_long_stays() {
    let keyed = Sitting {
        printed: true,
        each: 5,
        long: Some((20, 1_090)),
        ..usual("otter", "Fen", 10, "AAAAAAAAAAAAAAAABBBB")
    };
    let all = [
        stays_long("otter", "Heath", 0),
        stays_long("otter", "Moor", 8),
        keyed,
    ];
    assert_eq!(kinds(&all), ["otter: blanks", "otter: long_stays"]);
}

/// Twenty minutes: seventeen questions of 65 seconds, then three blanks filled in ten seconds each.
fn sweeps<'a>(pupil: &'a str, paper: &'a str, day: i64) -> Sitting<'a> {
    Sitting {
        each: 65,
        swept: 3,
        ..usual(pupil, paper, day, ALL)
    }
}

#[test]
fn a_first_sweep_is_one_after_blanks_and_never_before() {
    let blanks = "AAAAAAAAAAAAAAAA----";
    let before = usual("otter", "Heath", 0, blanks);
    let first = sweeps("otter", "Moor", 8);
    assert_eq!(kinds(&[before, first]), ["otter: first_sweep"]);
    let nothing_blank = usual("otter", "Heath", 0, ALL);
    let swept = sweeps("otter", "Moor", 8);
    assert_eq!(kinds(&[nothing_blank, swept]), [""; 0]);
    assert_eq!(kinds(&[sweeps("otter", "Moor", 8)]), [""; 0], "none before");
    let second = [
        usual("otter", "Heath", 0, blanks),
        sweeps("otter", "Moor", 8),
        usual("otter", "Fen", 16, blanks),
        sweeps("otter", "Down", 24),
    ];
    assert_eq!(kinds(&second), [""; 0]);
}

/// With room for one name that praise is for what is new: an agreed step, then a mark above the ranges, then a first
/// sweep, then what somebody went back to.
#[test]
fn where_praise_has_no_room_what_is_new_comes_first() {
    let dir = TempDir::new().unwrap();
    let names = || {
        told(dir.path(), "overview --keys keys --csv t");
        let rows = table(&dir.path().join("t/overview-words.csv"));
        rows.iter()
            .map(|row| format!("{} {}", &row[0], &row[2]))
            .collect::<Vec<_>>()
    };
    let put = |all: &[Sitting<'_>]| all.iter().for_each(|own| own.write(dir.path()));
    fs::create_dir_all(dir.path().join("sessions")).unwrap();
    let one = "(format: 1, thresholds: {\"word_names\": 1})";
    fs::write(dir.path().join("sessions/thresholds.ron"), one).unwrap();
    put(&[Sitting {
        gone_back_to: Some(9),
        ..usual("avocet", "Down", 28, ALL)
    }]);
    assert_eq!(names(), ["avocet second_pass"]);
    put(&[
        usual("bittern", "Fen", 21, "AAAAAAAAAAAAAAAA----"),
        sweeps("bittern", "Down", 28),
    ]);
    assert_eq!(names(), ["bittern first_sweep"]);
    put(&weekly("curlew", &[LOW, LOW, LOW]));
    put(&[usual("curlew", "Down", 28, HIGH)]);
    assert_eq!(names(), ["curlew above_range"]);
    put(&[
        usual("dunlin", "Fen", 21, ALL),
        usual("dunlin", "Down", 28, ALL),
    ]);
    let notes = "(format: 2, sitting: \"dunlin-Fen-21\", steps: [(at: \"2026-12-17T10:00:00Z\", step: \"stay 1:00\", by: \"T.M.\")])";
    let notes = notes.replace("dunlin-Fen-21", &sitting_id(dir.path(), "dunlin"));
    let file = format!(
        "sessions/dunlin/{}.notes.ron",
        sitting_id(dir.path(), "dunlin")
    );
    fs::write(dir.path().join(file), notes).unwrap();
    assert_eq!(names(), ["dunlin step_done"]);
}

/// The id of a pupil's sitting of day 21, as its file is named.
fn sitting_id(folder: &std::path::Path, pupil: &str) -> String {
    let files = fs::read_dir(folder.join("sessions").join(pupil)).unwrap();
    let names = files.map(|file| file.unwrap().file_name().into_string().unwrap());
    let mut names = names.filter(|name| name.ends_with("-21.session.ron"));
    names.next().unwrap().replace(".session.ron", "")
}

/// Practice of question 1 of the heath on these days after the first sitting, right each time.
fn practises(folder: &std::path::Path, pupil: &str, days: &[i64]) {
    let paper = papers::paper("Heath", 20, vec![papers::section(1, 20, ["4", "0", "0"])]);
    for day in days {
        let started = sat::header(pupil, &paper).started + TimeDelta::days(*day);
        let start = PracticeStart {
            practice: format!("practice-{day}"),
            started,
            program: "test".into(),
        };
        let alias = Alias::new(pupil).unwrap();
        let mut file = PracticeFile::begin(&folder.join("sessions"), &alias, &start).unwrap();
        let which = PaperQuestion {
            paper: paper.outline.id.clone(),
            fingerprint: paper.outline.fingerprint.clone(),
            question: QuestionNo(1),
            words: None,
        };
        let option = Label::new('A').unwrap();
        let unaided = true;
        let tried = PracticeEvent::Tried { option, unaided };
        for (event, at) in [PracticeEvent::Opened(which), tried]
            .into_iter()
            .zip([1, 9])
        {
            let utc = started.to_utc() + TimeDelta::seconds(at);
            let at = Elapsed::seconds(u64::try_from(at).unwrap());
            file.record(&PracticeMoment { at, utc, event });
        }
        file.finish().unwrap();
    }
}

/// The kinds told of otter, whose sitting on the first day had so many wrong; a sitting of teasel's ends the days 20
/// days later.
fn of_practice(wrong: usize, days: &[i64]) -> Vec<String> {
    let dir = TempDir::new().unwrap();
    let letters = "A".repeat(20 - wrong) + &"B".repeat(wrong);
    usual("otter", "Heath", 0, &letters).write(dir.path());
    usual("teasel", "Moor", 20, ALL).write(dir.path());
    practises(dir.path(), "otter", days);
    told(dir.path(), "overview --keys keys --csv t");
    let rows = table(&dir.path().join("t/overview-words.csv"));
    rows.iter().map(|row| row[2].to_owned()).collect()
}

/// Three missed questions due for longer than the seven days, of somebody who practised before these days and not since;
/// practice on two of the days is praise, on one it is neither.
#[test]
fn practice_put_off_takes_three_questions_and_praise_two_days() {
    assert_eq!(of_practice(3, &[5]), ["practice_due"]);
    assert_eq!(of_practice(2, &[5]), [""; 0], "two questions are few");
    assert_eq!(
        of_practice(3, &[]),
        [""; 0],
        "who never practised has put nothing off"
    );
    assert_eq!(
        of_practice(3, &[13]),
        ["practice_due"],
        "the day before the seven"
    );
    assert_eq!(
        of_practice(3, &[14]),
        [""; 0],
        "the first of the seven days"
    );
    assert_eq!(of_practice(3, &[21]), [""; 0], "since the newest sitting");
    assert_eq!(of_practice(3, &[14, 20]), ["practised"]);
    assert_eq!(
        of_practice(3, &[13, 20]),
        [""; 0],
        "one of the days is older"
    );
}
