//! What a paper of format 2 says more: shares, a figure in words, its source and the right to use it.

use std::path::Path;

use pacebell::domain::mark::Mark;
use pacebell::domain::paper::{AwardShares, Paper, TieSide};
use pacebell::storage::files::paper;

use crate::changed;
use crate::good::PAPER;

fn read(text: &str) -> Paper {
    paper::from_bytes(Path::new("f.ron"), text.as_bytes(), None)
        .unwrap()
        .value
}

/// The paper with all that format 2 can say more.
fn second() -> String {
    let more = "shares: (top: \"1/2\", ratio: \"3:1\", tie: at_least),\n    source: \"our own,\nof 2026\",\n    right_to_use: \"our own\",\n    questions";
    PAPER.replacen("questions", more, 1)
}

/// The paper as format 1 has it.
fn first() -> String {
    PAPER
        .replacen("format: 2", "format: 1", 1)
        .replacen(" figure_words: \"a square\",", "", 1)
}

#[test]
fn a_figure_without_words_is_noted_in_either_format() {
    for text in [first(), first().replacen("format: 1", "format: 2", 1)] {
        let sound = paper::from_bytes(Path::new("f.ron"), text.as_bytes(), None).unwrap();
        let said: Vec<String> = sound.notes.iter().map(ToString::to_string).collect();
        assert_eq!(
            said,
            [
                "note: question 2, figure: nobody who listens to the paper learns what it shows; say it in figure_words, in a sentence or two that don't give the answer (format 2)"
            ]
        );
    }
}

#[test]
fn what_format_2_says_more_is_read_and_changes_no_fingerprint() {
    let (old, new) = (read(&first()), read(&second()));
    let shares = AwardShares {
        top: "1/2".parse().unwrap(),
        ratio: vec![3, 1],
        tie: TieSide::AtLeast,
    };
    assert_eq!(new.shares, Some(shares));
    assert_eq!(new.source.as_deref(), Some("our own,\nof 2026"));
    assert_eq!(new.right_to_use.as_deref(), Some("our own"));
    assert_eq!(new.questions[1].figure_words.as_deref(), Some("a square"));
    assert_eq!(new.outline, old.outline);
    assert_eq!(new.question_fingerprints(), old.question_fingerprints());
    assert_eq!(old.shares, None);
    let whole = second().replacen("\"1/2\"", "1", 1);
    assert_eq!(read(&whole).shares.unwrap().top, Mark::whole(1));
}

#[test]
fn a_paper_that_says_format_1_has_none_of_it() {
    let first = second().replacen("format: 2", "format: 1", 1);
    let told = paper::from_bytes(Path::new("f.ron"), first.as_bytes(), None).unwrap_err();
    let told = told.to_string();
    assert_eq!(told.lines().count(), 4, "{told}");
    for field in ["shares", "source", "right_to_use", "figure_words"] {
        let sentence = format!("the field `{field}` needs format 2; write format: 2 at the top");
        assert!(told.contains(&sentence), "{told}");
    }
}

#[test]
fn shares_and_words_that_fit_nothing_are_told() {
    for (from, to, sentence) in [
        (
            "top: \"1/2\"",
            "top: «0",
            "shares, top: the share that gets an award must be above 0 and at most 1; write it as 0.5 or \"1/2\"",
        ),
        (
            "top: \"1/2\"",
            "top: «50",
            "shares, top: the share that gets an award must be above 0 and at most 1; write it as 0.5 or \"1/2\"",
        ),
        (
            "ratio: \"3:1\"",
            "ratio: «\"3:0\"",
            "shares, ratio: \"3:0\" isn't a ratio; write whole numbers from 1 to 1000000 with colons between them, lowest award first, such as \"5:3:2\"",
        ),
        (
            "ratio: \"3:1\"",
            "ratio: «\"5:3:2\"",
            "shares, ratio: the ratio has 3 parts but the paper has 2 awards; write a part for each award, lowest first",
        ),
        (
            "right_to_use: \"our own\"",
            "right_to_use: «\" \"",
            "right_to_use: this text is empty; fill it in, or leave the field out",
        ),
        (
            "(topics: [\"number\"], ",
            "(figure_words: «\"none\", topics: [\"number\"], ",
            "question 1, figure_words: there's no figure for these words to describe; add the figure, or leave the words out",
        ),
        (
            "figure_words: \"a square\"",
            "figure_words: \"a «\u{7}\"",
            "question 2, figure_words: the text has a control character (U+0007); delete it",
        ),
    ] {
        let (text, line) = changed(&second(), from, to, &[sentence]);
        let trouble = paper::from_bytes(Path::new("f.ron"), text.as_bytes(), None);
        assert_eq!(trouble.unwrap_err().to_string(), line);
    }
    let odd = second().replacen("at_least", "about", 1);
    let told = paper::from_bytes(Path::new("f.ron"), odd.as_bytes(), None).unwrap_err();
    let told = told.to_string();
    assert!(
        told.contains("`about` means nothing here; write one of not_above, at_least, nearest"),
        "{told}"
    );
}
