//! Numbers as people read them: questions, marks, shares, chances.

use crate::domain::mark::Mark;
use crate::domain::rule::QuestionNo;
use crate::words::count::{agree, counted};

/// Below this a chance is called not likely yet, above the other one likely (common practice, no source).
const NOT_YET: f64 = 0.15;
const LIKELY: f64 = 0.85;

/// Up to so many questions are all named; of more, one less and how many are left.
const NAMED: usize = 6;

/// Numbers with runs of three and more joined by `to`, the parts still apart.
fn runs(questions: &[QuestionNo], to: &str) -> Vec<String> {
    let runs = questions.chunk_by(|one, next| next.0 == one.0.saturating_add(1));
    let parts = runs.flat_map(|run| match run {
        [first, _, .., last] => vec![format!("{first}{to}{last}")],
        few => few.iter().map(QuestionNo::to_string).collect(),
    });
    parts.collect()
}

/// Parts in a sentence: `3`, `3 and 7`, `3, 7 and 9`; nothing of none.
fn spoken(parts: &[String]) -> String {
    match parts {
        [front @ .., last] if !front.is_empty() => format!("{} and {last}", front.join(", ")),
        few => few.concat(),
    }
}

/// Question numbers that come in order, runs of three and more joined: `3, 18, 21-25`.
pub fn ranges(questions: &[QuestionNo]) -> String {
    runs(questions, "-").join(", ")
}

/// The same in a sentence: `3, 9, 11 to 14 and 20`.
pub fn ranges_in_words(questions: &[QuestionNo]) -> String {
    spoken(&runs(questions, " to "))
}

/// Question numbers in a row: `3`, `3 and 7`, `3, 7 and 9`; `none`.
pub fn numbers_in_words(numbers: &[QuestionNo]) -> String {
    let each: Vec<_> = numbers.iter().map(QuestionNo::to_string).collect();
    if each.is_empty() {
        "none".to_owned()
    } else {
        spoken(&each)
    }
}

/// `Question 3`, `Questions 3, 7 and 9`.
pub fn questions_in_words(numbers: &[QuestionNo]) -> String {
    let word = agree(numbers.len(), "Question", "Questions");
    format!("{word} {}", numbers_in_words(numbers))
}

/// `question 3`, `questions 3 and 7`; more than `most` are counted: `6 questions`.
pub fn questions_or_count(numbers: &[QuestionNo], most: usize) -> String {
    if numbers.is_empty() || numbers.len() > most {
        counted(numbers.len(), "question")
    } else {
        questions_within(numbers)
    }
}

/// `question 4`, `questions 4, 9 and 12`; `the open questions` of none.
pub fn questions_within(questions: &[QuestionNo]) -> String {
    if questions.is_empty() {
        return "the open questions".to_owned();
    }
    let word = agree(questions.len(), "question", "questions");
    format!("{word} {}", numbers_in_words(questions))
}

/// `Question 7`, `Questions 3, 16-25`; `None` of none.
pub fn questions_by_range(questions: &[QuestionNo]) -> Option<String> {
    let word = agree(questions.len(), "Question", "Questions");
    (!questions.is_empty()).then(|| format!("{word} {}", ranges(questions)))
}

/// `Q3, Q7`.
pub fn q_list(questions: &[QuestionNo]) -> String {
    let each = questions.iter().map(|question| format!("Q{question}"));
    each.collect::<Vec<_>>().join(", ")
}

/// The first few of a list: `Q3, Q7`, `Q1, Q2, Q3, Q4, Q5 and 4 more`; `none`.
pub fn q_list_of_some(questions: &[QuestionNo]) -> String {
    match questions.split_at_checked(NAMED - 1) {
        _ if questions.is_empty() => "none".to_owned(),
        Some((first, rest)) if rest.len() > 1 => {
            format!("{} and {} more", q_list(first), rest.len())
        }
        _ => q_list(questions),
    }
}

/// `it` or `them`.
pub fn it_or_them(questions: &[QuestionNo]) -> &'static str {
    agree(questions.len(), "it", "them")
}

/// A mark as people write it: `62`, `12.75`, `-2.5`; what has no short decimal, `12 1/3`.
pub fn plain(mark: Mark) -> String {
    let grid = mark.denominator();
    let Some(steps) = mark.steps(grid).map(i64::unsigned_abs) else {
        return mark.to_string();
    };
    let grid = grid.unsigned_abs();
    let sign = if mark < Mark::ZERO { "-" } else { "" };
    let (whole, rest) = (steps / grid, steps % grid);
    if rest == 0 {
        format!("{sign}{whole}")
    } else if 10_000_u64.is_multiple_of(grid) {
        let decimals = format!("{:04}", rest * (10_000 / grid));
        format!("{sign}{whole}.{}", decimals.trim_end_matches('0'))
    } else if whole == 0 {
        format!("{sign}{rest}/{grid}")
    } else {
        format!("{sign}{whole} {rest}/{grid}")
    }
}

/// A difference of marks: `+6`, `-2.5`, `0`.
pub fn signed_mark(mark: Mark) -> String {
    let sign = if mark > Mark::ZERO { "+" } else { "" };
    format!("{sign}{}", plain(mark))
}

/// `1 mark`, `12 1/3 marks`.
pub fn marks(mark: Mark) -> String {
    format!("{} {}", plain(mark), noun_for(mark))
}

/// The noun behind a number of marks.
pub fn noun_for(mark: Mark) -> &'static str {
    if mark == Mark::whole(1) {
        "mark"
    } else {
        "marks"
    }
}

/// Marks as a pupil says them: `1 mark`, `4 marks`, `half a mark`, `1.5 marks`, `1/3 of a mark`.
pub fn marks_in_words(mark: Mark) -> String {
    let part_of_one = mark > Mark::ZERO && mark < Mark::whole(1);
    match mark.steps(4) {
        Some(2) => "half a mark".to_owned(),
        Some(1) => "a quarter of a mark".to_owned(),
        _ if part_of_one => format!("{mark} of a mark"),
        _ => marks(mark),
    }
}

/// Marks to the nearest half: `1 mark`, `2.5 marks`.
pub fn marks_about(value: f64) -> String {
    let halves = (value * 2.0).round() / 2.0;
    let one = (halves - 1.0).abs() < f64::EPSILON;
    format!("{halves} {}", if one { "mark" } else { "marks" })
}

/// A number with so many decimals; a minus nothing is nothing.
pub fn decimals(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let is_nothing = text.bytes().all(|byte| matches!(byte, b'-' | b'0' | b'.'));
    match text.strip_prefix('-') {
        Some(rest) if is_nothing => rest.to_owned(),
        _ => text,
    }
}

/// A number with at most so many decimals, without noughts at its end.
pub fn short(value: f64, places: usize) -> String {
    let text = decimals(value, places);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// A difference with so many decimals: `+0.30`, `-1.20`, `0.00`.
pub fn signed(value: f64, places: usize) -> String {
    let text = decimals(value, places);
    let is_nothing = text.bytes().all(|byte| matches!(byte, b'0' | b'.'));
    if value > 0.0 && !is_nothing {
        format!("+{text}")
    } else {
        text
    }
}

/// A share in whole per cent; what is neither nothing nor everything is never shown as such.
pub fn percent(share: f64) -> String {
    let rounded = (share * 100.0).round();
    if share > 0.0 && rounded < 1.0 {
        "<1 %".into()
    } else if share < 1.0 && rounded >= 100.0 {
        ">99 %".into()
    } else {
        format!("{rounded:.0} %")
    }
}

/// A range of shares in whole per cent: `40-80 %`.
pub fn percent_range(low: f64, high: f64) -> String {
    format!("{:.0}-{:.0} %", low * 100.0, high * 100.0)
}

/// A chance in per cent, with as many digits as a small one needs.
pub fn fine_percent(chance: f64) -> String {
    let hundredth = chance * 100.0;
    if hundredth >= 1.0 || hundredth == 0.0 {
        format!("{hundredth:.2} %")
    } else if hundredth >= 0.001 {
        format!("{hundredth:.4} %")
    } else {
        format!("{hundredth:.1e} %")
    }
}

/// A chance in words: `49 times in 100`.
pub fn times_in_100(chance: f64) -> String {
    let hundredths = (chance * 100.0).round();
    if chance >= 1.0 {
        "every time".into()
    } else if hundredths >= 100.0 {
        "more than 99 times in 100".into()
    } else if hundredths < 1.0 {
        "less than 1 time in 100".into()
    } else if hundredths < 2.0 {
        "1 time in 100".into()
    } else {
        format!("{hundredths:.0} times in 100")
    }
}

/// A chance in hundredths, where `times in 100` follows: `49`, `fewer than 1`.
pub fn hundredths(chance: f64) -> String {
    if chance < 0.01 {
        "fewer than 1".to_owned()
    } else {
        format!("{:.0}", chance * 100.0)
    }
}

/// A share in tenths: `6`.
pub fn tenths(share: f64) -> String {
    format!("{:.0}", share * 10.0)
}

/// `about 6 in 10`, `likely`, `not likely yet`.
pub fn in_ten(chance: f64) -> String {
    if chance < NOT_YET {
        "not likely yet".into()
    } else if chance > LIKELY {
        "likely".into()
    } else {
        format!("about {:.0} in 10", chance * 10.0)
    }
}

/// `4 to 8 in 10`, `about 6 in 10` where both round to the same.
pub fn range_in_ten(low: f64, high: f64) -> String {
    let (low, high) = ((low * 10.0).round().abs(), (high * 10.0).round().abs());
    if (high - low).abs() < 0.5 {
        format!("about {low:.0} in 10")
    } else {
        format!("{low:.0} to {high:.0} in 10")
    }
}

/// A small number as a word, a larger one in digits.
pub fn small(count: usize) -> String {
    let words = [
        "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    ];
    words
        .get(count)
        .map_or_else(|| count.to_string(), |word| (*word).to_owned())
}

#[cfg(test)]
mod tests {
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
        assert_eq!(
            questions_in_words(&questions(&[3, 7, 9])),
            "Questions 3, 7 and 9"
        );
        assert_eq!(questions_in_words(&questions(&[3])), "Question 3");
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
    fn marks_read_as_people_write_them() {
        let said = |text: &str| plain(text.parse().unwrap());
        for (mark, words) in [
            ("62", "62"),
            ("51/4", "12.75"),
            ("-5/2", "-2.5"),
            ("-1/4", "-0.25"),
            ("37/3", "12 1/3"),
            ("-1/3", "-1/3"),
            ("0", "0"),
            ("1/16", "0.0625"),
        ] {
            assert_eq!(said(mark), words);
        }
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
        assert_eq!(said, ["0 %", "<1 %", "42 %", ">99 %", "100 %"]);
        let fine = [0.25, 0.0015, 0.000_001].map(fine_percent);
        assert_eq!(fine, ["25.00 %", "0.1500 %", "1.0e-4 %"]);
    }

    #[test]
    fn chances_are_times_in_a_hundred() {
        assert_eq!(times_in_100(0.488), "49 times in 100");
        assert_eq!(times_in_100(0.0101), "1 time in 100");
        assert_eq!(times_in_100(0.004), "less than 1 time in 100");
        assert_eq!(times_in_100(0.999), "more than 99 times in 100");
        assert_eq!(times_in_100(1.0), "every time");
        assert_eq!(
            (hundredths(0.004), hundredths(0.49)),
            ("fewer than 1".into(), "49".into())
        );
    }

    #[test]
    fn chances_are_said_to_the_nearest_tenth_and_the_ends_in_words() {
        for (chance, words) in [
            (0.0, "not likely yet"),
            (0.149, "not likely yet"),
            (0.15, "about 2 in 10"),
            (0.62, "about 6 in 10"),
            (0.85, "about 8 in 10"),
            (0.86, "likely"),
        ] {
            assert_eq!(in_ten(chance), words);
        }
        assert_eq!(range_in_ten(0.38, 0.81), "4 to 8 in 10");
        assert_eq!(range_in_ten(0.58, 0.61), "about 6 in 10");
        assert_eq!(range_in_ten(-0.0, 0.06), "0 to 1 in 10");
    }

    #[test]
    fn small_numbers_are_words() {
        assert_eq!(
            (small(0), small(2), small(11)),
            ("none".into(), "two".into(), "11".into())
        );
    }
}
