//! Numbers, read as people read them.

use super::*;

fn questions(numbers: &[u16]) -> Vec<QuestionNo> {
    numbers.iter().copied().map(QuestionNo).collect()
}

#[test]
fn runs_of_three_are_joined() {
    let written = |numbers: &[u16]| ranges(&questions(numbers));
    assert_eq!(written(&[]), "");
    assert_eq!(written(&[7]), "7");
    assert_eq!(written(&[3, 4, 9]), "3, 4, 9");
    assert_eq!(written(&[3, 18, 21, 22, 23, 24, 25]), "3, 18, 21-25");
    let said = |numbers: &[u16]| ranges_in_words(&questions(numbers));
    assert_eq!(said(&[]), "");
    assert_eq!(said(&[3]), "3");
    assert_eq!(said(&[3, 4]), "3 and 4");
    assert_eq!(said(&[3, 9, 11, 12, 13, 20]), "3, 9, 11 to 13 and 20");
    assert_eq!(said(&[11, 12, 13]), "11 to 13");
}

#[test]
fn lists_read_as_spoken() {
    assert_eq!(numbers_in_words(&questions(&[3, 7, 9])), "3, 7 and 9");
    assert_eq!(numbers_in_words(&questions(&[3])), "3");
    assert_eq!(numbers_in_words(&[]), "none");
    assert_eq!(questions_within(&questions(&[4, 9])), "questions 4 and 9");
    assert_eq!(questions_within(&[]), "the open questions");
    assert_eq!(questions_or_count(&questions(&[4]), 4), "question 4");
    assert_eq!(
        questions_or_count(&questions(&[1, 3, 5, 7, 9]), 4),
        "5 questions"
    );
    assert_eq!(questions_or_count(&[], 4), "0 questions");
    assert_eq!(
        questions_by_range(&questions(&[3, 16, 17, 18])).as_deref(),
        Some("Questions 3, 16-18")
    );
    assert_eq!(questions_by_range(&[]), None);
    assert_eq!(
        q_list_of_some(&questions(&[1, 2, 3, 4, 5, 6])),
        "Q1, Q2, Q3, Q4, Q5, Q6"
    );
    assert_eq!(
        q_list_of_some(&questions(&[1, 2, 3, 4, 5, 6, 7])),
        "Q1, Q2, Q3, Q4, Q5 and 2 more"
    );
    assert_eq!(q_list_of_some(&questions(&[8])), "Q8");
    assert_eq!(q_list_of_some(&[]), "none");
}

#[test]
fn differences_of_marks_have_their_sign() {
    assert_eq!(signed_mark("5/2".parse().unwrap()), "+2.5");
    assert_eq!(signed_mark(Mark::ZERO), "0");
}

#[test]
fn marks_take_the_noun_that_fits() {
    let said = |text: &str| marks_in_words(text.parse().unwrap());
    for (text, expected) in [
        ("1", "1 mark"),
        ("4", "4 marks"),
        ("0", "0 marks"),
        ("0.5", "half a mark"),
        ("1.5", "1.5 marks"),
        ("2.25", "2.25 marks"),
        ("1/3", "1/3 of a mark"),
        ("4/3", "1 1/3 marks"),
        ("-1.5", "-1.5 marks"),
    ] {
        assert_eq!(said(text), expected);
    }
    assert_eq!(marks_about(0.9), "1 mark");
    assert_eq!(marks_about(2.6), "2.5 marks");
}

#[test]
fn numbers_lose_their_noughts_and_nothing_has_no_sign() {
    assert_eq!(
        (decimals(-0.001, 2), decimals(2.5, 2)),
        ("0.00".into(), "2.50".into())
    );
    assert_eq!((short(2.5, 2), short(30.0, 1)), ("2.5".into(), "30".into()));
    assert_eq!(
        (short(-0.01, 1), short(100.0, 0)),
        ("0".into(), "100".into())
    );
    let signs = [0.3, -1.2, 0.004, -0.004].map(|value| signed(value, 2));
    assert_eq!(signs, ["+0.30", "-1.20", "0.00", "0.00"]);
}

#[test]
fn shares_never_claim_all_or_nothing() {
    let said = [0.0, 0.001, 0.424, 0.999, 1.0].map(percent);
    assert_eq!(said, ["0%", "<1%", "42%", ">99%", "100%"]);
    let fine = [0.25, 0.0015, 0.000_001].map(fine_percent);
    assert_eq!(fine, ["25.00%", "0.1500%", "1.0e-4%"]);
}

#[test]
fn chances_are_times_in_a_hundred() {
    assert_eq!(times_in_100(0.488), "49 times in 100");
    assert_eq!(times_in_100(0.0101), "1 time in 100");
    assert_eq!(times_in_100(0.004), "less than 1 time in 100");
    assert_eq!(times_in_100(0.999), "more than 99 times in 100");
    assert_eq!(times_in_100(1.0), "every time");
}

#[test]
fn chances_are_said_to_the_nearest_tenth_and_the_ends_in_twentieths() {
    for (chance, words) in [
        (0.0, "less than 1 in 20"),
        (0.000_514, "less than 1 in 20"),
        (0.05, "about 1 in 10"),
        (0.31, "about 3 in 10"),
        (0.62, "about 6 in 10"),
        (0.949, "about 9 in 10"),
        (0.951, "more than 19 in 20"),
        (1.0, "more than 19 in 20"),
    ] {
        assert_eq!(in_ten(chance), words);
        assert!(words.ends_with(tenths_of(chance).trim_start_matches(['<', '>'])));
    }
    assert_eq!(
        (tenths_of(0.62).as_str(), tenths_of(0.01).as_str()),
        ("6 in 10", "<1 in 20")
    );
}

#[test]
fn small_numbers_are_words() {
    assert_eq!(
        (small(0), small(2), small(11)),
        ("none".into(), "two".into(), "11".into())
    );
}
