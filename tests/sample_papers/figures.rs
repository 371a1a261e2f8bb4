//! Figures in words: a listener is told what the figure shows, and not the answer.

use crate::files::{self, PAPERS, Question};

/// Gives each question that has a figure, with its right option.
fn drawn() -> Vec<(String, Question, String)> {
    let mut all = Vec::new();
    for id in PAPERS {
        let (paper, key) = (files::paper(id), files::key(id));
        let questions = paper.questions.into_iter().zip(key.letters());
        for ((question, letter), no) in questions.zip(1..) {
            let right = paper.options.find(letter).unwrap();
            let answer = question.options[right].clone();
            if question.figure.is_some() {
                all.push((format!("{id} question {no}"), question, answer));
            }
        }
    }
    all
}

/// Gives the words and numbers of a text in small letters, times such as 06:10 whole.
fn words(text: &str) -> Vec<String> {
    let split = text.split(|sign: char| !sign.is_alphanumeric() && !":-".contains(sign));
    let trimmed = split.map(|word| word.trim_end_matches(':').to_lowercase());
    trimmed.filter(|word| !word.is_empty()).collect()
}

#[test]
fn what_is_written_in_a_figure_is_said_in_its_words_or_in_the_stem() {
    for (which, question, _) in drawn() {
        let said = format!("{} {}", question.figure_words.unwrap(), question.stem);
        let said = words(&said);
        let drawn = words(&question.figure.unwrap());
        // A circle for a post, and an hour cut short.
        let plain = drawn
            .iter()
            .filter(|word| !["o", "h", "-"].contains(&word.as_str()));
        for word in plain {
            assert!(said.contains(word), "{which}: {word:?} is not said");
        }
    }
}

#[test]
fn no_words_of_a_figure_give_the_answer_away() {
    for (which, question, answer) in drawn() {
        let told = question.figure_words.unwrap();
        let bare = answer.split(' ').next().unwrap().to_owned();
        let number = bare.starts_with(|first: char| first.is_numeric());
        let gives = words(&told).contains(&bare) && number || told.contains(&answer) && !number;
        // All eight winds are on the compass, and the answer is one of them.
        assert!(
            !gives || told.contains("From there clockwise"),
            "{which}: {told}"
        );
    }
}
