//! A text as a reader takes it in: words, and sentences.

/// What stands for a value in a format string, and is read as one short word.
const VALUE: &str = "0";

/// Signs of arithmetic, which make one word of what stands on both sides.
const SIGNS: [&str; 11] = ["+", "-", "−", "×", "÷", "=", "<", ">", ":", "*", "/"];

/// A format string with each value in braces as a number.
pub(crate) fn filled_in(format: &str) -> String {
    let mut text = String::new();
    let mut left = format.chars().peekable();
    while let Some(c) = left.next() {
        match c {
            '{' | '}' if left.peek() == Some(&c) => {
                left.next();
                text.push(c);
            }
            '{' => {
                while left.next().is_some_and(|inside| inside != '}') {}
                text.push_str(VALUE);
            }
            _ => text.push(c),
        }
    }
    text
}

/// Words and signs in lower case; `25%`, `1/3`, `7.60` and `you've` are each one, `25 %` is two.
pub(crate) fn tokens(text: &str) -> Vec<String> {
    let chars: Vec<char> = text.chars().collect();
    let word = |at: usize| chars.get(at).is_some_and(|c| c.is_alphanumeric());
    let mut found: Vec<String> = Vec::new();
    let mut joined = false;
    for (at, c) in chars.iter().enumerate() {
        let inside = word(at) || at > 0 && word(at - 1) && "'’.:-/_".contains(*c) && word(at + 1);
        let percent = *c == '%' && at > 0 && word(at - 1);
        match found.last_mut() {
            Some(last) if joined && (inside || percent) => last.extend(c.to_lowercase()),
            _ if !c.is_whitespace() => found.push(c.to_lowercase().to_string()),
            _ => {}
        }
        joined = inside;
    }
    found
}

/// The words of a text; a number is one, and so is a calculation.
pub(crate) fn words(text: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    let mut after_sign = false;
    for part in text.split_whitespace() {
        if SIGNS.contains(&part) {
            after_sign = !found.is_empty();
            continue;
        }
        let word = part.trim_matches(|c: char| !c.is_alphanumeric());
        if word.is_empty() {
            continue;
        }
        match found.last_mut() {
            Some(last) if after_sign && word.starts_with(|c: char| c.is_ascii_digit()) => {
                *last = word.to_owned();
            }
            _ => found.push(word.to_owned()),
        }
        after_sign = false;
    }
    found
}

/// Whether a stop, with what follows it, ends a sentence: not behind an initial.
fn ends(before: &str) -> bool {
    let bare = before.trim_end_matches(['"', '\'', '’', '”', ')']);
    let last = bare.split_whitespace().next_back().unwrap_or_default();
    let initials = last.len() > 2
        && last.split('.').all(|part| part.chars().count() <= 1)
        && last.chars().all(|c| c == '.' || c.is_uppercase());
    bare.ends_with(['.', '?', '!']) && !initials
}

/// The sentences of a text, each with its stop; the last may have none.
pub(crate) fn sentences(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for paragraph in text.split('\n') {
        let mut sentence = String::new();
        for part in paragraph.split_whitespace() {
            if !sentence.is_empty() {
                sentence.push(' ');
            }
            sentence.push_str(part);
            if ends(&sentence) {
                found.push(std::mem::take(&mut sentence));
            }
        }
        if !sentence.is_empty() {
            found.push(sentence);
        }
    }
    found
}

/// Whether a sentence is whole: a caption or a part of a sentence ends without a stop.
pub(crate) fn is_whole(sentence: &str) -> bool {
    ends(sentence) && words(sentence).len() >= 3
}

#[test]
fn values_in_braces_are_numbers() {
    assert_eq!(filled_in("{n:>3} of {{x}}, {}%"), "0 of {x}, 0%");
}

#[test]
fn a_percent_sign_belongs_to_the_number_it_touches() {
    assert_eq!(
        tokens("You've 25% or 25 %, \"1/3 of 7.60\"."),
        [
            "you've", "25%", "or", "25", "%", ",", "\"", "1/3", "of", "7.60", "\"", "."
        ]
    );
}

#[test]
fn a_calculation_is_one_word() {
    assert_eq!(words("So 24 - 9 = 15 are left (of 24).").len(), 6);
    assert_eq!(words("Going round: 10 + 4 + 4 = 18 m.").len(), 4);
}

#[test]
fn sentences_end_at_a_stop_and_at_a_line() {
    assert_eq!(
        sentences("Checked by P.B. on 6 Jan. Is it 2.5? \"Yes.\" No\nTime"),
        [
            "Checked by P.B. on 6 Jan.",
            "Is it 2.5?",
            "\"Yes.\"",
            "No",
            "Time"
        ]
    );
    assert!(is_whole("It is over.") && !is_whole("Marks in time") && !is_whole("Yes."));
}
