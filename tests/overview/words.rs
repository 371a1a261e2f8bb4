//! Who needs a word, and why: sittings written by hand, each reason with its figures worked out by hand.

use std::fs;
use std::path::Path;

use chrono::TimeDelta;
use pacebell::domain::event::{Ending, Event, Stamped};
use pacebell::domain::labels::Label;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::time::Elapsed;
use tempfile::TempDir;

use crate::room::{table, told};
use crate::{papers, sat, written};

/// A sitting of a paper of twenty questions, twenty minutes, so many days after the first; every answer of the key
/// is A.
#[derive(Clone)]
pub(crate) struct Sitting<'a> {
    pub(crate) pupil: &'a str,
    pub(crate) paper: &'a str,
    /// Right, wrong and blank.
    pub(crate) marks: [&'a str; 3],
    pub(crate) day: i64,
    /// A letter for each question, `-` for a blank.
    pub(crate) letters: String,
    /// The seconds on each question.
    pub(crate) each: u64,
    /// A question on which it is longer.
    pub(crate) long: Option<(u16, u64)>,
    /// So many of the last questions are filled in ten seconds each.
    pub(crate) swept: u16,
    /// The question left, and gone back to before the end.
    pub(crate) gone_back_to: Option<u16>,
    /// The paper lies beside the screen.
    pub(crate) printed: bool,
}

impl Sitting<'_> {
    pub(crate) fn write(&self, folder: &Path) {
        let paper = papers::paper(self.paper, 20, vec![papers::section(1, 20, self.marks)]);
        let mut header = sat::header(self.pupil, &paper);
        header.paper.on_screen = !self.printed;
        header.started += TimeDelta::days(self.day);
        header.sitting = format!("{}-{}-{}", self.pupil, paper.outline.id, self.day);
        let mut events = Vec::new();
        let mut at = 1_000;
        for (letter, number) in self.letters.chars().zip(1..) {
            let question = QuestionNo(number);
            events.push((at, Event::Opened(question)));
            let each = if number > 20 - self.swept {
                10
            } else {
                self.each
            };
            let long = self.long.filter(|(long, _)| *long == number);
            at += long.map_or(each, |(_, seconds)| seconds) * 1_000;
            let answered = Label::new(letter).map(|label| Event::Answered(question, label));
            let left = (self.gone_back_to == Some(number)).then_some(Event::Skipped(question));
            events.extend(left.or(answered).map(|event| (at - 500, event)));
        }
        if let Some(number) = self.gone_back_to {
            let question = QuestionNo(number);
            events.push((at, Event::Opened(question)));
            at += 20_000;
            let label = Label::new('A').unwrap();
            events.push((at - 500, Event::Answered(question, label)));
        }
        events.push((at, Event::Closed(Ending::FinishedEarly)));
        let stamp = |(at, event): (u64, Event)| Stamped {
            at: Elapsed(at),
            utc: header.started.to_utc() + TimeDelta::milliseconds(i64::try_from(at).unwrap()),
            event,
        };
        let log: Vec<_> = events.into_iter().map(stamp).collect();
        let own = folder.join("sessions").join(self.pupil);
        fs::create_dir_all(&own).unwrap();
        let file = own.join(format!("{}.session.ron", header.sitting));
        fs::write(file, written::file(&header, &log)).unwrap();
        let keys = folder.join("keys");
        fs::create_dir_all(&keys).unwrap();
        let id = &paper.outline.id;
        let key = format!("(format: 1, paper: \"{id}\", answers: \"AAAAAAAAAAAAAAAAAAAA\")");
        fs::write(keys.join(format!("{id}.key.ron")), key).unwrap();
    }
}

/// Free of cost: right 4, wrong and blank 0.
const FREE: [&str; 3] = ["4", "0", "0"];

pub(crate) fn usual<'a>(pupil: &'a str, paper: &'a str, day: i64, letters: &str) -> Sitting<'a> {
    Sitting {
        pupil,
        paper,
        marks: FREE,
        day,
        letters: letters.to_owned(),
        each: 59,
        long: None,
        swept: 0,
        gone_back_to: None,
        printed: false,
    }
}

/// Pupil, kind and evidence of each reason.
fn reasons(sittings: &[Sitting<'_>]) -> Vec<[String; 3]> {
    let dir = TempDir::new().unwrap();
    for sitting in sittings {
        sitting.write(dir.path());
    }
    told(dir.path(), "overview --keys keys --csv t");
    let rows = table(&dir.path().join("t/overview-words.csv"));
    rows.iter()
        .map(|row| [0, 2, 4].map(|at| row[at].to_owned()))
        .collect()
}

pub(crate) fn kinds(sittings: &[Sitting<'_>]) -> Vec<String> {
    let each = reasons(sittings).into_iter();
    each.map(|[pupil, kind, _]| format!("{pupil}: {kind}"))
        .collect()
}

/// Three blanks at 4 marks and five options are worth 3 x 4/5 = 2.4 marks; where a wrong answer costs 1 a blind guess
/// is worth (4 - 4)/5 = 0, and there is nothing to say.
#[test]
fn blanks_are_worth_a_word_where_a_guess_gains_and_only_there() {
    let letters = "AAAAAAAAAAAAAAAAA---";
    let told = reasons(&[usual("otter", "Heath", 0, letters)]);
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!(told[0][..2], ["otter", "blanks"]);
    let evidence = &told[0][2];
    assert!(
        evidence.starts_with("3 questions blank when time was up (Q18, Q19, Q20)"),
        "{evidence}"
    );
    assert!(evidence.contains("about 2.4 marks"), "{evidence}");
    assert!(evidence.ends_with("Heath, 25 Nov."), "{evidence}");
    let costly = Sitting {
        marks: ["4", "-1", "0"],
        ..usual("otter", "Heath", 0, letters)
    };
    assert_eq!(kinds(&[costly]), [""; 0]);
    let one = usual("otter", "Heath", 0, "AAAAAAAAAAAAAAAAAAA-");
    assert_eq!(kinds(&[one]), [""; 0], "a single blank is no habit");
}

/// The seven days end with the newest sitting: six days before it counts, seven don't.
#[test]
fn only_the_seven_days_to_the_newest_sitting_count() {
    let blanks = "AAAAAAAAAAAAAAAA----";
    let all = "A".repeat(20);
    let newest = || usual("teasel", "Moor", 10, &all);
    assert_eq!(
        kinds(&[newest(), usual("otter", "Heath", 4, blanks)]),
        ["otter: blanks"]
    );
    assert_eq!(
        kinds(&[newest(), usual("otter", "Heath", 3, blanks)]),
        [""; 0]
    );
}

/// Twenty questions in 20 s each leave 13 of 20 minutes; with everything right there's nothing to say.
#[test]
fn unused_time_is_worth_a_word_where_marks_were_lost() {
    let quick = |letters: &str| Sitting {
        each: 20,
        ..usual("otter", "Heath", 0, letters)
    };
    let told = reasons(&[quick("AAAAAAAAAABBBBBBBBBB")]);
    let unused = told.iter().find(|own| own[1] == "unused_time").unwrap();
    assert!(
        unused[2].starts_with(
            "Finished with 13 min 19 s of 20 minutes left, with 10 wrong and none blank."
        ),
        "{unused:?}"
    );
    assert_eq!(kinds(&[quick(&"A".repeat(20))]), [""; 0]);
}

/// Two sittings with 18 of 20 right, then one with 2: below both ranges. Where everybody's mark on the paper is below,
/// it is the paper, and nobody is named for it; the same on the other side.
#[test]
fn a_mark_beyond_the_pupils_own_ranges_is_worth_a_word_unless_it_is_the_paper() {
    let (high, low) = ("AAAAAAAAAAAAAAAAAABB", "AABBBBBBBBBBBBBBBBBB");
    let falls = |pupil| {
        [
            usual(pupil, "Heath", 0, high),
            usual(pupil, "Moor", 7, high),
            usual(pupil, "Fen", 14, low),
        ]
    };
    let rises = |pupil| {
        [
            usual(pupil, "Heath", 0, low),
            usual(pupil, "Moor", 7, low),
            usual(pupil, "Fen", 14, high),
        ]
    };
    let stays = |pupil| {
        [
            usual(pupil, "Heath", 0, high),
            usual(pupil, "Moor", 7, high),
            usual(pupil, "Fen", 14, high),
        ]
    };
    let one: Vec<_> = [
        falls("otter"),
        stays("teasel"),
        rises("vole"),
        stays("wren"),
    ]
    .into_iter()
    .flatten()
    .collect();
    assert_eq!(kinds(&one), ["otter: below_range", "vole: above_range"]);
    let told = reasons(&one);
    assert!(
        told[0][2].starts_with("8 of 80 (10%), below the ranges of the sittings before: "),
        "{told:?}"
    );
    assert!(
        told[1][2].starts_with("Praise: 72 of 80 (90%), above the ranges"),
        "{told:?}"
    );
    let all: Vec<_> = [falls("otter"), falls("teasel"), stays("wren")]
        .into_iter()
        .flatten()
        .collect();
    assert_eq!(kinds(&all), [""; 0], "two of three below: it is the paper");
}

/// Seven pupils with blanks and one to praise: five names, the praise among them, those with most at stake first, and
/// the names in order of alias.
#[test]
fn five_names_at_most_with_room_for_praise() {
    let (high, low) = ("AAAAAAAAAAAAAAAAAABB", "AABBBBBBBBBBBBBBBBBB");
    let mut all = vec![
        usual("zander", "Heath", 0, low),
        usual("zander", "Moor", 7, low),
        usual("zander", "Fen", 14, high),
    ];
    let letters: Vec<String> = (2..=8)
        .map(|blanks| format!("{}{}", "A".repeat(20 - blanks), "-".repeat(blanks)))
        .collect();
    let names = ["a2", "g3", "b4", "f5", "c6", "e7", "d8"];
    for (name, letters) in names.iter().zip(&letters) {
        all.push(usual(name, "Fen", 14, letters));
    }
    let mut told: Vec<String> = reasons(&all).into_iter().map(|[pupil, ..]| pupil).collect();
    told.dedup();
    assert_eq!(told, ["c6", "d8", "e7", "f5", "zander"]);
}

/// Every question was open for 59 seconds: a step of a minute at most was kept, one of half a minute was not, and one
/// that was withdrawn, or judged before these days, is no news.
#[test]
fn an_agreed_step_that_these_days_judged_is_worth_a_word() {
    let dir = TempDir::new().unwrap();
    let all = "A".repeat(20);
    let agreed = |pupil: &str, day: i64, steps: &str| {
        let id = usual(pupil, "Heath", day, &all);
        let paper = papers::paper(id.paper, 20, vec![papers::section(1, 20, id.marks)]);
        let sitting = format!("{pupil}-{}-{day}", paper.outline.id);
        let path = format!("sessions/{pupil}/{sitting}.notes.ron");
        let text = format!("(format: 2, sitting: \"{sitting}\", steps: [{steps}])\n");
        fs::write(dir.path().join(path), text).unwrap();
    };
    let said = |step: &str| format!("(at: \"2026-11-26T10:00:00Z\", {step}by: \"T.M.\"),");
    let pupils = ["otter", "teasel", "vole", "wren"];
    for pupil in pupils {
        usual(pupil, "Heath", 0, &all).write(dir.path());
        let next = if pupil == "wren" { 2 } else { 14 };
        usual(pupil, "Moor", next, &all).write(dir.path());
    }
    agreed("otter", 0, &said("step: \"stay 1:00\", "));
    agreed("teasel", 0, &said("step: \"stay 0:30\", "));
    let withdrawn = said("step: \"stay 0:30\", ") + &said("").replace("T10", "T11");
    agreed("vole", 0, &withdrawn);
    agreed("wren", 0, &said("step: \"stay 1:00\", "));

    told(dir.path(), "overview -o page.html --keys keys --csv t");
    let rows = table(&dir.path().join("t/overview-words.csv"));
    let words: Vec<_> = rows.iter().map(|row| [&row[0], &row[2], &row[3]]).collect();
    assert_eq!(
        words,
        [
            ["otter", "step_done", "yes"],
            ["teasel", "step_not_done", "no"]
        ]
    );
    let evidence = &rows[1][4];
    assert!(
        evidence.starts_with("Agreed: no stay over 30 seconds; not this time: ")
            && evidence.contains("59 seconds")
            && evidence.ends_with("(Sitting of 9 Dec 2026.)"),
        "{evidence}"
    );
    let rows = table(&dir.path().join("t/overview-steps.csv"));
    let states: Vec<_> = rows.iter().map(|row| [&row[0], &row[3], &row[4]]).collect();
    assert_eq!(
        states,
        [
            ["otter", "no stay over 1 minute", "done"],
            ["teasel", "no stay over 30 seconds", "not_done"],
            ["vole", "", "withdrawn"],
            ["wren", "no stay over 1 minute", "done"],
        ]
    );
    let page = fs::read_to_string(dir.path().join("page.html")).unwrap();
    let text = told(dir.path(), "overview --keys keys");
    for whole in [&page, &text] {
        let step = "Step: no stay over 1 minute; done: ";
        assert_eq!(whole.matches(step).count(), 2, "{whole}");
    }
    let outside = told(dir.path(), "overview --outside --keys keys");
    assert!(!outside.contains("stay"), "{outside}");
}
