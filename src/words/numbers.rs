//! Numbers as people read them: questions, marks, shares, chances.

use std::fmt::Display;

use crate::domain::mark::{Mark, MarkTotal};
use crate::domain::rule::QuestionNo;
use crate::words::count::{agree, counted};

/// A chance below this, or above all but this, is not told in tenths (common practice, no source).
const RARE: f64 = 0.05;

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

/// `question 4`, `questions 4, 9 and 11 to 14`.
pub fn questions_in_words(questions: &[QuestionNo]) -> String {
    let noun = agree(questions.len(), "question", "questions");
    format!("{noun} {}", ranges_in_words(questions))
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

/// A total as people write a mark; where its fraction is beyond reading, the whole number it is nearest to.
pub fn plain_total(total: &MarkTotal) -> String {
    let short = total.as_mark().map(plain).filter(|text| text.len() <= 20);
    short.unwrap_or_else(|| format!("about {}", total.rounded()))
}

/// A mark as people write it.
pub fn plain(mark: Mark) -> String {
    mark.to_string()
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

/// A total with its noun.
pub fn marks_in_total(total: &MarkTotal) -> String {
    let noun = total.as_mark().map_or("marks", noun_for);
    format!("{} {noun}", plain_total(total))
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

/// Marks that were worked out, to a tenth: `1 mark`, `7.6 marks`.
pub fn marks_to_a_tenth(value: f64) -> String {
    let text = short(value, 1);
    let noun = if text == "1" { "mark" } else { "marks" };
    format!("{text} {noun}")
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
        "<1%".into()
    } else if share < 1.0 && rounded >= 100.0 {
        ">99%".into()
    } else {
        in_percent(rounded)
    }
}

/// A number that is in per cent already: `25%`, `12.5%`.
pub fn in_percent(number: impl Display) -> String {
    format!("{number}%")
}

/// A range of shares in whole per cent: `40-80%`.
pub fn percent_range(low: f64, high: f64) -> String {
    format!("{:.0}-{:.0}%", low * 100.0, high * 100.0)
}

/// A chance in per cent, with as many digits as a small one needs.
pub fn fine_percent(chance: f64) -> String {
    let hundredth = chance * 100.0;
    if hundredth >= 1.0 || hundredth == 0.0 {
        format!("{hundredth:.2}%")
    } else if hundredth >= 0.001 {
        format!("{hundredth:.4}%")
    } else {
        format!("{hundredth:.1e}%")
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

/// A share in tenths: `6`.
pub fn tenths(share: f64) -> String {
    format!("{:.0}", share * 10.0)
}

/// `about 6 in 10`, `less than 1 in 20`, `more than 19 in 20`.
pub fn in_ten(chance: f64) -> String {
    if chance < RARE {
        "less than 1 in 20".into()
    } else if chance > 1.0 - RARE {
        "more than 19 in 20".into()
    } else {
        format!("about {:.0} in 10", (chance * 10.0).round().clamp(1.0, 9.0))
    }
}

/// The same in a column: `6 in 10`, `<1 in 20`, `>19 in 20`.
pub fn tenths_of(chance: f64) -> String {
    let said = in_ten(chance);
    let said = said.replace("about ", "").replace("less than ", "<");
    said.replace("more than ", ">")
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
mod tests;
