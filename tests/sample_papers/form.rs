//! The form of the sample papers: rule, boundaries, notes, letters, and what fits on a screen.

use std::collections::BTreeMap;

use pacebell::domain::rule::QuestionNo;
use pacebell::screens::sitting::question_fits;
use ratatui::layout::Size;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::files::{self, PAPERS, Paper};
use crate::tools::{Exact, fraction};

/// Each paper's questions, minutes, letters and most marks.
const SIZES: [(&str, usize, u32, &str, i64); 6] = [
    ("saltmarsh-a", 25, 60, "ABCDE", 125),
    ("saltmarsh-b", 25, 60, "ABCDE", 125),
    ("saltmarsh-first", 12, 20, "ABCD", 40),
    ("saltmarsh-long", 28, 70, "ABCDE", 168),
    ("saltmarsh-old", 25, 60, "ABCDE", 125),
    ("saltmarsh-short", 20, 45, "ABCD", 80),
];
const TOPICS: [&str; 6] = [
    "number",
    "fractions and ratio",
    "algebra in words",
    "geometry",
    "counting",
    "logic",
];

/// Words that no pupil is to read.
const UNKIND: [&str; 6] = ["fail", "careless", "weak", "ability", "streak", "points"];

/// Gives right, wrong and blank marks of every question in order.
fn marks(paper: &Paper) -> Vec<(i64, Exact, i64)> {
    let mut all = Vec::new();
    for section in &paper.rule.sections {
        assert_eq!(section.first, all.len() + 1);
        assert_eq!(section.name, format!("{}-{}", section.first, section.last));
        let each = (section.right, section.wrong.exact(), section.blank);
        all.extend((section.first..=section.last).map(|_| each));
    }
    all
}

/// Gives the marks for a paper without a mistake.
fn most(paper: &Paper) -> i64 {
    let rights = marks(paper).iter().map(|&(right, ..)| right).sum::<i64>();
    paper.rule.start + rights
}

#[test]
fn every_paper_has_its_questions_minutes_letters_and_marks() {
    for (id, questions, minutes, letters, most_marks) in SIZES {
        let paper = files::paper(id);
        assert_eq!((paper.format, paper.id.as_str()), (2, id));
        assert_eq!((paper.minutes, paper.options.as_str()), (minutes, letters));
        assert_eq!(
            (paper.questions.len(), marks(&paper).len()),
            (questions, questions)
        );
        assert_eq!(most(&paper), most_marks, "{id}");
        assert!(marks(&paper).iter().all(|&(.., blank)| blank == 0));
        assert_eq!(
            (&*paper.rule_checked.on, &*paper.rule_checked.by),
            ("2026-11-20", "P.B.")
        );
        assert!((4..=6).contains(&paper.conditions.len()));
        let told = format!("You have {minutes} minutes for {questions} questions.");
        assert_eq!(paper.conditions[0], told);
        assert!(paper.title.starts_with("Saltmarsh Shield"));
        let ratio = |top: &str, ratio: &str| files::Shares {
            top: top.into(),
            ratio: ratio.into(),
            tie: files::Tie::Nearest,
        };
        let shares = match id {
            "saltmarsh-first" => ratio("3/5", "3:2:1"),
            _ => ratio("2/5", "5:3:2"),
        };
        assert_eq!((paper.shares, paper.awards.len()), (shares, 3));
    }
    assert_eq!(SIZES.map(|(id, ..)| id), PAPERS);
}

/// A blind guess of five is worth a fifteenth less than nothing, one of four just nothing.
#[test]
fn the_older_rule_takes_marks_for_a_wrong_answer_everywhere() {
    for (right, wrong, _) in marks(&files::paper("saltmarsh-old")) {
        let guess = |of: i64| (Exact::from(right) + wrong * (of - 1)) / of;
        assert_eq!(guess(5), -fraction(right, 15));
        assert_eq!(guess(4), Exact::from(0));
    }
}

#[test]
fn three_papers_take_nothing_for_a_wrong_answer_and_one_in_its_last_section_only() {
    let wrong = |id: &str| {
        marks(&files::paper(id))
            .into_iter()
            .map(|(_, wrong, _)| wrong)
    };
    for id in [
        "saltmarsh-a",
        "saltmarsh-b",
        "saltmarsh-first",
        "saltmarsh-short",
    ] {
        assert!(wrong(id).all(|wrong| wrong == Exact::from(0)), "{id}");
    }
    let long = files::paper("saltmarsh-long");
    let last = long.rule.sections.last().unwrap();
    assert_eq!((last.first, last.last), (21, 28));
    for (at, wrong) in wrong("saltmarsh-long").enumerate() {
        let loss = if at + 1 < last.first { 0 } else { -3 };
        assert_eq!(wrong, Exact::from(loss));
    }
    // Even with all of them wrong nobody ends below nothing.
    assert_eq!(long.rule.start, 24);
    assert_eq!(wrong("saltmarsh-long").sum::<Exact>(), Exact::from(-24));
    // A guess gains on average only once two of the five options are crossed out.
    let guess = |of: i64| Exact::from(last.right) + last.wrong.exact() * (of - 1);
    assert!(guess(4) < Exact::from(0) && guess(3) > Exact::from(0));
    assert!(
        long.conditions
            .iter()
            .any(|line| line.contains("start with 24 marks"))
    );
}

#[test]
fn boundaries_rise_with_the_award_in_every_year() {
    for id in PAPERS {
        let paper = files::paper(id);
        let now: Vec<_> = paper
            .awards
            .iter()
            .map(|award| (&*award.name, award.boundary))
            .collect();
        let [("dunlin", dunlin), ("curlew", curlew), ("tern", tern)] = now[..] else {
            panic!("{id}: {now:?}");
        };
        assert!(paper.rule.start < dunlin && dunlin < curlew && curlew < tern);
        assert!(tern <= most(&paper));
        // A first paper has no years before it.
        let years = if id == "saltmarsh-first" {
            0..=0
        } else {
            3..=4
        };
        assert!(years.contains(&paper.past.len()));
        assert!(
            paper
                .past
                .windows(2)
                .all(|pair| pair[0].year < pair[1].year)
        );
        for past in &paper.past {
            let of = |name: &str| past.boundaries[name];
            assert_eq!(past.boundaries.len(), 3);
            assert!(of("dunlin") < of("curlew") && of("curlew") < of("tern"));
        }
    }
}

#[test]
fn the_older_rule_has_lower_boundaries() {
    let (new, old) = (files::paper("saltmarsh-a"), files::paper("saltmarsh-old"));
    let mut pairs = new.awards.iter().zip(&old.awards);
    assert!(pairs.all(|(new, old)| new.name == old.name && old.boundary < new.boundary));
}

#[test]
fn the_older_rule_paper_asks_the_questions_of_paper_a() {
    let (new, old) = (files::paper("saltmarsh-a"), files::paper("saltmarsh-old"));
    assert_eq!(new.questions, old.questions);
    let (new, old) = (files::key("saltmarsh-a"), files::key("saltmarsh-old"));
    assert_eq!((new.letters(), new.notes), (old.letters(), old.notes));
}

#[test]
fn each_letter_is_right_about_as_often_and_never_three_times_running() {
    for (id, questions, _, labels, _) in SIZES {
        let key = files::key(id);
        let letters = key.letters();
        assert_eq!((key.format, &*key.paper, letters.len()), (1, id, questions));
        assert!(key.fingerprint.is_some_and(|print| print.len() == 16));
        for letter in labels.chars() {
            let times = letters.iter().filter(|&&other| other == letter).count();
            let share = questions / labels.len();
            // 28 is no number of fives.
            let most = if questions % labels.len() == 0 {
                share
            } else {
                share + 2
            };
            assert!((share..=most).contains(&times), "{id}, {letter}: {times}");
        }
        assert!(
            letters
                .windows(3)
                .all(|run| run[0] != run[1] || run[1] != run[2])
        );
    }
}

#[test]
fn every_question_has_a_hint_a_working_and_a_reason_for_each_wrong_option() {
    for (id, questions, _, labels, _) in SIZES {
        let key = files::key(id);
        assert!(key.notes.keys().copied().eq(1..=questions), "{id}");
        for (no, note) in &key.notes {
            let right = key.letters()[no - 1];
            let wrong: Vec<char> = labels.chars().filter(|&letter| letter != right).collect();
            let named: String = note.distractors.keys().map(String::as_str).collect();
            assert!(named.chars().eq(wrong), "{id} question {no}");
            let reasons = note
                .distractors
                .values()
                .collect::<std::collections::BTreeSet<_>>();
            assert_eq!(
                reasons.len(),
                note.distractors.len(),
                "{id} question {no} gives one reason twice"
            );
            for text in [&note.hint, &note.working].into_iter().chain(reasons) {
                assert!(text.chars().count() >= 15, "{id} question {no}: {text:?}");
            }
        }
    }
}

#[test]
fn no_hint_gives_the_answer_away() {
    for id in PAPERS {
        let (paper, key) = (files::paper(id), files::key(id));
        for (no, note) in &key.notes {
            let index = "ABCDE".find(key.letters()[no - 1]).unwrap();
            let answer = &paper.questions[no - 1].options[index];
            let words: Vec<&str> = note.hint.split([' ', '.', ',', '?']).collect();
            let plain = answer.split(' ').next().unwrap();
            let number = plain.starts_with(|first: char| first.is_ascii_digit());
            let told = number && words.contains(&plain) || note.hint.contains(answer) && !number;
            assert!(!told, "{id} question {no}: {}", note.hint);
        }
    }
}

#[test]
fn options_are_different_texts_and_numbers_rise() {
    for (id, _, _, labels, _) in SIZES {
        for (at, question) in files::paper(id).questions.iter().enumerate() {
            let mut texts = question.options.clone();
            texts.sort();
            texts.dedup();
            assert_eq!(texts.len(), labels.len(), "{id} question {}", at + 1);
            let number = |option: &String| {
                let digits: String = option.chars().take_while(char::is_ascii_digit).collect();
                digits.parse::<u32>().ok()
            };
            let numbers: Vec<u32> = question.options.iter().filter_map(number).collect();
            assert!(numbers.is_sorted(), "{id} question {}: {numbers:?}", at + 1);
        }
    }
}

#[test]
fn topics_are_of_the_list_and_all_six_come_on_every_paper() {
    for (id, questions, ..) in SIZES {
        let least = if questions < 20 { 2 } else { 3 };
        let mut count: BTreeMap<String, usize> = BTreeMap::new();
        for question in files::paper(id).questions {
            assert!(!question.topics.is_empty());
            for topic in question.topics {
                assert!(TOPICS.contains(&&*topic), "{id}: {topic}");
                *count.entry(topic).or_default() += 1;
            }
        }
        assert!(
            count.len() == 6 && count.values().all(|&times| times >= least),
            "{id}: {count:?}"
        );
    }
}

#[test]
fn every_question_is_in_sight_in_a_window_of_80_columns_by_24_rows() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-papers");
    let mut hidden = Vec::new();
    for id in PAPERS {
        let paper =
            pacebell::storage::files::paper::load(&folder.join(format!("{id}.paper.ron"))).unwrap();
        let numbers = (1..=paper.outline.questions).map(QuestionNo);
        let out = numbers.filter(|number| !question_fits(&paper, *number, Size::new(80, 24)));
        hidden.extend(out.map(|number| format!("{id} {number}")));
    }
    assert_eq!(hidden, [""; 0]);
}

#[test]
fn figures_are_narrow_and_stems_are_short() {
    for id in PAPERS {
        for (at, question) in files::paper(id).questions.iter().enumerate() {
            let figure = question.figure.as_deref().unwrap_or_default();
            assert!(
                figure.lines().all(|line| line.width() <= 48),
                "{id} question {}",
                at + 1
            );
            assert!(question.stem.chars().count() <= 350);
        }
    }
}

#[test]
fn all_text_is_kind_and_one_cell_a_character() {
    for id in PAPERS {
        let (paper, key) = (files::paper(id), files::key(id));
        let mut texts = paper.conditions.clone();
        texts.extend([paper.source, paper.right_to_use]);
        for question in paper.questions {
            texts.push(question.stem);
            assert_eq!(question.figure.is_some(), question.figure_words.is_some());
            texts.extend(question.figure_words);
            texts.extend(question.figure);
            texts.extend(question.options);
        }
        for note in key.notes.into_values() {
            texts.extend([note.hint, note.working]);
            texts.extend(note.distractors.into_values());
        }
        for text in texts {
            let cells = |sign: char| sign == '\n' || sign.width() == Some(1);
            assert!(text.chars().all(cells), "{id}: {text:?}");
            let small = text.to_lowercase();
            assert!(
                !UNKIND.iter().any(|word| small.contains(word)),
                "{id}: {text:?}"
            );
        }
    }
}
