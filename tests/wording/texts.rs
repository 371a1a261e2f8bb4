//! The texts in quotation marks of a Rust source, comments and tests left out.

/// Every string of a source up to its tests, escapes as they are written.
pub(crate) fn texts(source: &str) -> Vec<String> {
    let source = source
        .split("#[cfg(test)]\nmod tests {")
        .next()
        .unwrap_or_default();
    let chars: Vec<char> = source.chars().collect();
    let mut texts = Vec::new();
    let mut at = 0;
    while at < chars.len() {
        at = match (chars[at], chars.get(at + 1)) {
            ('/', Some('/')) => after(&chars, at, &['\n']),
            ('/', Some('*')) => after(&chars, at + 2, &['*', '/']),
            ('\'', _) => after_char(&chars, at),
            ('r', Some('"' | '#')) if !joined(&chars, at) => raw(&chars, at, &mut texts),
            ('"', _) => plain(&chars, at, &mut texts),
            _ => at + 1,
        };
    }
    texts
}

/// Whether the character before belongs to the same word.
fn joined(chars: &[char], at: usize) -> bool {
    at > 0 && (chars[at - 1].is_alphanumeric() || chars[at - 1] == '_')
}

/// The place after the next `end`.
fn after(chars: &[char], from: usize, end: &[char]) -> usize {
    let found = (from..chars.len()).find(|at| chars[*at..].starts_with(end));
    found.map_or(chars.len(), |at| at + end.len())
}

/// The place after a character in quotation marks, or after the mark of a lifetime.
fn after_char(chars: &[char], at: usize) -> usize {
    match (chars.get(at + 1), chars.get(at + 2)) {
        (Some('\\'), _) => after(chars, at + 3, &['\'']),
        (Some(_), Some('\'')) => at + 3,
        _ => at + 1,
    }
}

fn raw(chars: &[char], at: usize, texts: &mut Vec<String>) -> usize {
    let hashes = chars[at + 1..].iter().take_while(|c| **c == '#').count();
    let start = at + 1 + hashes;
    if chars.get(start) != Some(&'"') {
        return at + 1;
    }
    let end: Vec<char> = std::iter::once('"')
        .chain(std::iter::repeat_n('#', hashes))
        .collect();
    let next = after(chars, start + 1, &end);
    texts.push(
        chars[start + 1..next.saturating_sub(end.len())]
            .iter()
            .collect(),
    );
    next
}

fn plain(chars: &[char], at: usize, texts: &mut Vec<String>) -> usize {
    let mut text = String::new();
    let mut next = at + 1;
    while let Some(c) = chars.get(next).filter(|c| **c != '"') {
        let escaped = *c == '\\';
        let taken = if escaped { 2 } else { 1 };
        // An escaped line end or letter parts words, as it does on the screen.
        if escaped {
            text.push(' ');
        } else {
            text.push(*c);
        }
        next += taken;
    }
    texts.push(text);
    next + 1
}

#[test]
fn texts_are_found_and_comments_characters_and_tests_are_not() {
    let source = "// \"no\"\nfn a<'a>(x: &'a str) { let c = '\"'; b(\"yes \\\" {x}\"); /* \"no\" */ }\nr#\"raw \"text\"\"#;\n#[cfg(test)]\nmod tests {\n\"no\"";
    assert_eq!(texts(source), ["yes   {x}", "raw \"text\""]);
}
