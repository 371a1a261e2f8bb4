//! What makes a question the same, and a pupil's questions in parts.

use super::*;
use crate::domain::paper::Question;

#[test]
fn a_question_is_told_by_its_words_figure_and_options() {
    let question = |stem: &str, figure: Option<&str>, options: &[&str]| Question {
        topics: vec!["any".into()],
        stem: (!stem.is_empty()).then(|| stem.into()),
        figure: figure.map(str::to_owned),
        figure_words: None,
        options: options.iter().map(|option| (*option).to_owned()).collect(),
    };
    let own = question("How many?", None, &["1", "2"]).text_fingerprint();
    let mut again = question("How many?", None, &["1", "2"]);
    again.topics.clear();
    again.figure_words = Some("in words".into());
    assert_eq!(own, again.text_fingerprint());
    for other in [
        question("How much?", None, &["1", "2"]),
        question("How many?", Some("|"), &["1", "2"]),
        question("How many?", None, &["2", "1"]),
    ] {
        assert_ne!(own, other.text_fingerprint());
    }
    assert_eq!(
        question("", Some("|"), &["1", "2"]).text_fingerprint(),
        None
    );
}

#[test]
fn parts_are_small_and_share_a_paper_with_the_next() {
    let paper = |first: usize, count: usize| -> Vec<(usize, bool)> {
        (first..first + count).map(|item| (item, true)).collect()
    };
    let own: rows::Own = (0..5).map(|n| paper(n * 30, 30)).collect();
    let parts = rows::parts(&own);
    assert_eq!(parts.iter().map(Vec::len).collect::<Vec<_>>(), [60; 4]);
    for pair in parts.windows(2) {
        let shared = pair[0].iter().filter(|one| pair[1].contains(one));
        assert_eq!(shared.count(), 30);
    }
    assert_eq!(rows::parts(&vec![paper(0, 90)]).len(), 1);
}
