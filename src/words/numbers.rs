//! Lists of question numbers as people write them: `3, 18, 21-25`.

use crate::domain::rule::QuestionNo;

/// Writes question numbers that come in order, runs of three and more joined.
pub fn ranges(questions: &[QuestionNo]) -> String {
    let mut parts = Vec::new();
    for run in questions.chunk_by(|one, next| next.0 == one.0.saturating_add(1)) {
        match run {
            [first, _, .., last] => parts.push(format!("{first}-{last}")),
            few => parts.extend(few.iter().map(QuestionNo::to_string)),
        }
    }
    parts.join(", ")
}

/// Breaks words into lines of at most `columns` characters; a longer word stands alone.
pub fn wrapped(text: &str, columns: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= columns => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_of_three_are_joined() {
        let written =
            |numbers: &[u16]| ranges(&numbers.iter().map(|n| QuestionNo(*n)).collect::<Vec<_>>());
        assert_eq!(written(&[]), "");
        assert_eq!(written(&[7]), "7");
        assert_eq!(written(&[3, 4, 9]), "3, 4, 9");
        assert_eq!(written(&[3, 18, 21, 22, 23, 24, 25]), "3, 18, 21-25");
    }

    #[test]
    fn lines_keep_to_their_width_and_lose_no_word() {
        assert_eq!(wrapped("aa bb  cc", 5), ["aa bb", "cc"]);
        assert_eq!(wrapped("a toolong b", 4), ["a", "toolong", "b"]);
        assert!(wrapped("", 4).is_empty());
    }
}
