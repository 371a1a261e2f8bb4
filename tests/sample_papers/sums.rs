//! Every sum that a working or a reason writes out is right: `60 - 24 = 36`, `16 ÷ (3 + 5) = 2`.

use std::iter::Peekable;
use std::str::Chars;

use crate::files::{self, PAPERS};
use crate::tools::{Exact, fraction};

/// Gives the parts of a text that consist of nothing but numbers and signs.
fn runs(text: &str) -> Vec<String> {
    let signs: Vec<char> = text.chars().collect();
    let mut all = vec![String::new()];
    for (at, &sign) in signs.iter().enumerate() {
        let digit = |sign: Option<&char>| sign.is_some_and(char::is_ascii_digit);
        let decimal = sign == '.' && at > 0 && digit(signs.get(at - 1)) && digit(signs.get(at + 1));
        if sign == '°' {
            continue;
        }
        if decimal || sign.is_ascii_digit() || " +-×÷/()=½¼¾⅔".contains(sign) {
            all.last_mut().unwrap().push(sign);
        } else {
            all.push(String::new());
        }
    }
    all
}

type Signs<'a> = Peekable<Chars<'a>>;

fn skip_blanks(signs: &mut Signs<'_>) {
    while signs.next_if_eq(&' ').is_some() {}
}

/// Reads a sum: products with plus and minus between them.
fn sum(signs: &mut Signs<'_>) -> Option<Exact> {
    let mut value = product(signs)?;
    loop {
        skip_blanks(signs);
        match signs.next_if(|sign| "+-".contains(*sign)) {
            Some('+') => value += product(signs)?,
            Some(_) => value -= product(signs)?,
            None => return Some(value),
        }
    }
}

fn product(signs: &mut Signs<'_>) -> Option<Exact> {
    let mut value = number(signs)?;
    loop {
        skip_blanks(signs);
        match signs.next_if(|sign| "×÷/".contains(*sign)) {
            Some('×') => value *= number(signs)?,
            Some(_) => value /= number(signs)?,
            None => return Some(value),
        }
    }
}

/// Reads a number such as 12, 4.8 or 1½, or a sum in brackets.
fn number(signs: &mut Signs<'_>) -> Option<Exact> {
    skip_blanks(signs);
    if signs.next_if_eq(&'(').is_some() {
        let value = sum(signs)?;
        skip_blanks(signs);
        return signs.next_if_eq(&')').map(|_| value);
    }
    let (mut value, mut tenth, mut digits) = (Exact::from(0), None, 0);
    while let Some(sign) = signs.next_if(|sign| sign.is_ascii_digit() || *sign == '.') {
        digits += 1;
        match (sign.to_digit(10).map(i64::from), tenth) {
            (None, _) => tenth = Some(fraction(1, 10)),
            (Some(digit), None) => value = value * 10 + digit,
            (Some(digit), Some(place)) => {
                value += place * digit;
                tenth = Some(place / 10);
            }
        }
    }
    let parts = [('½', 1, 2), ('¼', 1, 4), ('¾', 3, 4), ('⅔', 2, 3)];
    for (sign, top, bottom) in parts {
        if signs.next_if_eq(&sign).is_some() {
            return Some(value + fraction(top, bottom));
        }
    }
    (digits > 0).then_some(value)
}

/// Gives the value of a text that is a sum and nothing else.
fn value(text: &str) -> Option<Exact> {
    let mut signs = text.chars().peekable();
    let value = sum(&mut signs)?;
    skip_blanks(&mut signs);
    signs.next().is_none().then_some(value)
}

#[test]
fn every_sum_in_a_working_or_a_reason_is_right() {
    assert_eq!(value("16 ÷ (3 + 5) × 1½ - 0.5"), Some(fraction(5, 2)));
    for id in PAPERS {
        let mut found = 0;
        for (no, note) in files::key(id).notes {
            let texts = [note.working]
                .into_iter()
                .chain(note.distractors.into_values());
            for text in texts {
                for run in runs(&text) {
                    // A side is empty where a letter or a word stood beside the sign.
                    let sides: Vec<&str> = run.split('=').map(str::trim).collect();
                    let sides: Vec<&&str> = sides.iter().filter(|side| !side.is_empty()).collect();
                    if sides.len() < 2 {
                        continue;
                    }
                    found += 1;
                    let values: Vec<Option<Exact>> = sides.iter().map(|side| value(side)).collect();
                    assert!(
                        values[0].is_some() && values.windows(2).all(|pair| pair[0] == pair[1]),
                        "{id} question {no}: {run:?} in {text:?}"
                    );
                }
            }
        }
        assert!(found >= 20, "{id}: only {found}");
    }
}
