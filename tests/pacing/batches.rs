//! Answers keyed in a batch from a printed paper have one time together.

use pacebell::analysis::{Analysis, QuestionPace, Trust};
use pacebell::domain::event::Event;
use pacebell::domain::header::{Header, Mode};
use pacebell::domain::time::Elapsed;
use pacebell::words::findings as words;

use crate::analysed::{analysed, keyed};
use crate::script::{header, key, label, log, q};

fn printed() -> Header {
    let mut header = header(60, &[(1, 25, "1", "0", "0")]);
    header.paper.on_screen = false;
    header
}

/// Opens each question and answers it at its moment, in milliseconds.
fn paced(header: &Header, moments: &[u64]) -> Analysis {
    let mut events = vec![(0, Event::Opened(q(1)))];
    for (index, at) in (1_u16..).zip(moments) {
        if index > 1 {
            events.push((at - 2_000, Event::Opened(q(index))));
        }
        events.push((*at, Event::Answered(q(index), label('A'))));
    }
    analysed(header, &log(header, events))
}

/// Fifteen answers two minutes apart.
fn steady() -> Vec<u64> {
    (1..=15).map(|n| n * 120_000).collect()
}

#[test]
fn five_answers_keyed_within_twenty_seconds_are_a_batch() {
    let header = printed();
    let mut moments = steady();
    // Questions 16 to 20 are worked on paper until 2200 s and keyed 5 s apart: 20 s in all.
    moments.extend((0..5).map(|n| 2_200_000 + n * 5_000));
    let pacing = paced(&header, &moments);
    let Trust::Blocks(blocks) = pacing.trust() else {
        panic!("{:?}", pacing.trust())
    };
    assert_eq!(blocks.len(), 1);
    let block = &blocks[0];
    assert_eq!(block.questions, [q(16), q(17), q(18), q(19), q(20)]);
    assert_eq!(block.to.since(block.from), Elapsed::seconds(20));
    assert_eq!(pacing.time_on(q(16)), None);
    assert!(pacing.time_on(q(15)).is_some());
    let own = |pace: &QuestionPace| (16..=20).contains(&pace.number.0);
    assert_eq!(pacing.time_on_all(own), Some(block.time));
}

#[test]
fn two_close_answers_or_gaps_of_ten_seconds_are_no_batch() {
    let header = printed();
    let mut two = steady();
    two.extend([2_200_000, 2_205_000]);
    assert_eq!(*paced(&header, &two).trust(), Trust::Own);
    let mut ten = steady();
    ten.extend([2_200_000, 2_210_000, 2_220_000, 2_230_000]);
    assert_eq!(*paced(&header, &ten).trust(), Trust::Own);
}

/// Of 25 questions 6 are no more than a quarter; 7 are.
#[test]
fn past_a_quarter_of_the_paper_all_times_are_withheld() {
    let header = printed();
    let batch = |count| {
        let mut moments = steady();
        moments.extend((0..count).map(|n| 2_200_000 + n * 5_000));
        paced(&header, &moments)
    };
    assert!(matches!(batch(6).trust(), Trust::Blocks(_)));
    let pacing = batch(7);
    let Trust::Withheld {
        blocks,
        batched,
        asked,
    } = pacing.trust()
    else {
        panic!("{:?}", pacing.trust())
    };
    assert_eq!((blocks.len(), *batched, *asked), (1, 7, 25));
    assert!(
        words::trust(pacing.trust())
            .unwrap()
            .starts_with("7 of 25 questions")
    );
    assert_eq!(pacing.time_on(q(1)), None);
    let key = key(&"A".repeat(25));
    let earned = keyed(&pacing, &key).earned;
    assert!(earned.sections.iter().all(|section| section.time.is_none()));
    // The mark of every moment needs no time on a question.
    assert_eq!(earned.by_minute.last().unwrap().mark.to_string(), "22");
}

#[test]
fn with_the_questions_on_the_screen_nothing_is_a_batch() {
    let mut header = printed();
    header.paper.on_screen = true;
    let moments: Vec<_> = (1..=20).map(|n| n * 5_000).collect();
    assert_eq!(*paced(&header, &moments).trust(), Trust::Own);
    header.mode = Mode::Entered;
    assert_eq!(*paced(&header, &moments).trust(), Trust::NoTimes);
    assert_eq!(paced(&header, &moments).time_on(q(1)), None);
}
