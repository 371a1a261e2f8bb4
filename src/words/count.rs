//! A number with its noun, and the words that follow it.

/// A number with its noun: `1 mark`, `3 marks`.
pub fn counted(number: impl TryInto<u64>, noun: &str) -> String {
    let number = number.try_into().unwrap_or(u64::MAX);
    let s = agree(number, "", "s");
    format!("{number} {noun}{s}")
}

/// A number with a noun that takes more than an `s`: `1 person`, `3 people`.
pub fn counted_as(number: impl TryInto<u64>, one: &str, many: &str) -> String {
    let number = number.try_into().unwrap_or(u64::MAX);
    format!("{number} {}", agree(number, one, many))
}

/// The word that agrees with a number: `was` or `were`, `it` or `them`.
pub fn agree<'a>(number: impl TryInto<u64>, one: &'a str, many: &'a str) -> &'a str {
    match number.try_into() {
        Ok(1) => one,
        Ok(_) | Err(_) => many,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_alone_takes_the_singular() {
        assert_eq!(counted(0_u64, "mark"), "0 marks");
        assert_eq!(counted(1_usize, "mark"), "1 mark");
        assert_eq!(counted(3_u16, "mark"), "3 marks");
        assert_eq!(counted_as(1_usize, "person", "people"), "1 person");
        assert_eq!(counted_as(2_usize, "person", "people"), "2 people");
        assert_eq!(
            (agree(1, "it", "them"), agree(0, "it", "them")),
            ("it", "them")
        );
    }
}
