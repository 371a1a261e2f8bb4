//! Luck taken out.

use pacebell::domain::event::How;
use pacebell::domain::mark::Mark;
use pacebell::domain::marking::{Answer, mark as marked};
use pacebell::domain::rule::QuestionNo;
use pacebell::season::progress::luck_taken_out;

use crate::script::{header, key, label, q};

pub(crate) fn mark(text: &str) -> Mark {
    text.parse().unwrap()
}

fn answers(text: &str, how: How) -> Vec<Answer> {
    let answer = |(index, c): (usize, char)| Answer {
        number: QuestionNo::from_index(index),
        given: (c != '-').then(|| label(c)),
        how: (c != '-').then_some(how),
        after_time: false,
    };
    text.chars().enumerate().map(answer).collect()
}

/// Two guesses at 4 for right among five options: .8 each is expected, 4 came; two guesses at 6
/// and -1: (6 - 4) / 5 = .4 each is expected, -1 - 1 came.
#[test]
fn each_guess_is_replaced_by_what_it_brings_on_average() {
    let outline = header(60, &[(1, 4, "4", "0", "0"), (5, 8, "6", "-1", "0")]).paper;
    let mut key = key("AAAAAAAA");
    let mut sheet = answers("AAABAABB", How::Worked);
    for index in [2, 3, 6, 7] {
        sheet[index].how = Some(How::Guessed);
    }
    let in_time = marked(&sheet, &key, &outline.rule);
    assert_eq!(in_time.total, mark("22"));
    // 22 - (4 - 1.6) - (-2 - .8)
    assert_eq!(luck_taken_out(&in_time, &key, &outline), mark("22.4"));
    // A second right option doubles the chance on question 4: 1.6 instead of .8.
    key.also_right.insert(q(4), [label('C')].into());
    let in_time = marked(&sheet, &key, &outline.rule);
    assert_eq!(luck_taken_out(&in_time, &key, &outline), mark("23.2"));
    let worked = answers("AAABAABB", How::Worked);
    let in_time = marked(&worked, &key, &outline.rule);
    assert_eq!(luck_taken_out(&in_time, &key, &outline), in_time.total);
}
