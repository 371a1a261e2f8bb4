//! A simulated sitting as the program meets it: a header and a log, read and marked as any other.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use chrono::{DateTime, TimeDelta, Utc};
use pacebell::analysis::evidence::Evidence;
use pacebell::analysis::{Analysis, Studied};
use pacebell::domain::event::{Ending, Event, How, Stamped};
use pacebell::domain::header::Header;
use pacebell::domain::key::Key;
use pacebell::domain::labels::Label;
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::{Award, Paper, PastBoundaries, Question};
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::thresholds::Thresholds;
use pacebell::domain::time::Elapsed;

use crate::papers::{self, section};
use crate::sat;
use crate::simulator::{Move, QUESTIONS, SECONDS, Sat, World};

/// First question, last question and marks of each section, as the simulator has them.
const SECTIONS: [(u16, u16, &str); 3] = [(1, 10, "4"), (11, 20, "5"), (21, 25, "7")];
/// Boundaries of the years before, lowest award first: the next year's is one of them.
pub(crate) const YEARS: [[i64; 3]; 4] = [[50, 71, 93], [57, 79, 101], [53, 74, 96], [48, 76, 98]];
pub(crate) const AWARDS: [&str; 3] = ["heron", "plover", "snipe"];

/// The paper of a pupil's sitting.
pub(crate) fn paper(world: &World, sitting: u16) -> Paper {
    let first = if world.is_again(sitting) {
        sitting - 2
    } else {
        sitting
    };
    named(world, &format!("mock-{first}"))
}

/// A paper that nobody has met.
pub(crate) fn named(world: &World, id: &str) -> Paper {
    let of = |(first, last, right): (u16, u16, &str), loss: i64| {
        section(first, last, [right, &(-loss).to_string(), "0"])
    };
    let sections = SECTIONS.into_iter().zip(world.losses);
    let sections: Vec<_> = sections.map(|(own, loss)| of(own, loss)).collect();
    let question = |number| Question {
        stem: Some(format!("Question {number} of {id}")),
        options: ["a", "b", "c", "d", "e"].map(String::from).into(),
        ..Question::default()
    };
    let lines = |lines: [i64; 3]| AWARDS.iter().zip(lines.map(Mark::whole));
    let year = |(year, own)| PastBoundaries {
        year,
        boundaries: lines(own)
            .map(|(name, line)| ((*name).to_owned(), line))
            .collect(),
    };
    let award = |(name, boundary): (&&str, Mark)| Award {
        name: (*name).to_owned(),
        boundary,
    };
    let mut paper = papers::paper(id, SECONDS / 60, sections);
    paper.outline.awards = lines(YEARS[2]).map(award).collect();
    Paper {
        past: (2022..).zip(YEARS).map(year).collect(),
        questions: (1..=QUESTIONS).map(question).collect(),
        ..paper
    }
}

/// The files of a paper and its key, as a tutor would write them.
pub(crate) fn write_paper(folder: &Path, world: &World, paper: &Paper) {
    let id = &paper.outline.id;
    let section = |((first, last, right), loss): ((u16, u16, &str), i64)| {
        format!(
            "(first: {first}, last: {last}, right: {right}, wrong: {})",
            -loss
        )
    };
    let sections = SECTIONS.into_iter().zip(world.losses).map(section);
    let sections: Vec<_> = sections.collect();
    let questions: Vec<_> = (1..=QUESTIONS)
        .map(|number| format!("(stem: \"Question {number} of {id}\", options: [\"a\", \"b\", \"c\", \"d\", \"e\"])"))
        .collect();
    let text = format!(
        "(format: 2, id: \"{id}\", title: \"{id}\", minutes: 60, options: \"ABCDE\", rule: (sections: [{}]), questions: [{}])",
        sections.join(", "),
        questions.join(", ")
    );
    fs::write(folder.join(format!("{id}.paper.ron")), text).unwrap();
    let answers = "B".repeat(usize::from(QUESTIONS));
    let text = format!("(format: 1, paper: \"{id}\", answers: \"{answers}\")");
    fs::write(folder.join(format!("{id}.key.ron")), text).unwrap();
}

/// The key of any of them: B is right throughout.
pub(crate) fn key(paper: &Paper) -> Key {
    Key {
        paper: paper.outline.id.clone(),
        fingerprint: None,
        answers: vec![label('B'); usize::from(QUESTIONS)],
        also_right: std::collections::BTreeMap::new(),
        voids: std::collections::BTreeMap::new(),
        notes: std::collections::BTreeMap::new(),
    }
}

fn label(letter: char) -> Label {
    Label::new(letter).unwrap()
}

/// The header of a pupil's sitting: one every three weeks.
pub(crate) fn header(pupil: &str, sitting: u16, paper: &Paper) -> Header {
    let first = DateTime::parse_from_rfc3339("2025-09-05T16:10:00+01:00").unwrap();
    Header {
        sitting: format!("{pupil}-{sitting}"),
        started: first + TimeDelta::weeks(3 * i64::from(sitting)),
        question_fingerprints: paper.question_fingerprints(),
        ..sat::header(pupil, paper)
    }
}

/// The log of a sitting.
pub(crate) fn log(sat: &Sat) -> Vec<Stamped> {
    let mut log = Vec::new();
    let mut add = |at: Elapsed, event| {
        log.push(Stamped {
            at,
            utc: DateTime::<Utc>::UNIX_EPOCH,
            event,
        });
    };
    for (at, made) in &sat.moves {
        let at = Elapsed(*at);
        match *made {
            Move::Opens(number) => add(at, Event::Opened(QuestionNo(number))),
            Move::Answers(number, right) => {
                let option = label(if right { 'B' } else { 'D' });
                add(at, Event::Answered(QuestionNo(number), option));
            }
            Move::SaysGuess(number) => add(at, Event::Said(QuestionNo(number), How::Guessed)),
            Move::Finishes => add(at, Event::Closed(Ending::FinishedEarly)),
            Move::IsStopped => {
                add(at, Event::TimeUp { due: at });
                add(Elapsed(at.0 + 4000), Event::GuessRoundStarted);
                add(Elapsed(at.0 + 9000), Event::Closed(Ending::GuessRoundDone));
            }
        }
    }
    log
}

/// The sitting with all that lies beside it.
pub(crate) fn studied(pupil: &str, sitting: u16, paper: &Arc<Paper>, sat: &Sat) -> Studied {
    let header = Arc::new(header(pupil, sitting, paper));
    let limits = Arc::new(Thresholds::default());
    let analysis = Analysis::of(header, log(sat).into(), limits);
    Studied {
        paper: Some(Arc::clone(paper)),
        ..Studied::new(analysis, Some(Arc::new(key(paper))))
    }
}

/// What it says; the program's mark of it is the simulator's.
pub(crate) fn evidence(pupil: &str, sitting: u16, paper: &Arc<Paper>, sat: &Sat) -> Evidence {
    let studied = studied(pupil, sitting, paper, sat);
    let mark = studied.marks().unwrap().in_time.total;
    assert_eq!(mark, Mark::whole(sat.mark));
    Evidence::of(&studied).unwrap()
}
