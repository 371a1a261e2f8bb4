//! One pass through a RON text: brackets, strings and comments, and where each value begins and ends.

/// Brackets deeper than this are stepped over as plain characters.
const DEEPEST: usize = 200;

/// A value: where it stands, and what lies in it.
#[derive(Debug)]
pub(super) struct Node {
    pub(super) start: usize,
    pub(super) end: usize,
    pub(super) entries: Vec<MapEntry>,
}

/// A value in another; `start` is where its name begins, if it has one.
#[derive(Debug)]
pub(super) struct MapEntry {
    /// A field's name, or a map's key as text.
    pub(super) name: Option<String>,
    pub(super) start: usize,
    pub(super) node: Node,
}

/// Goes through a text once, from the front.
pub(super) struct Walker<'a> {
    text: &'a str,
    at: usize,
    unclosed: bool,
}

impl<'a> Walker<'a> {
    pub(super) const fn at(text: &'a str, at: usize) -> Self {
        Self {
            text,
            at,
            unclosed: false,
        }
    }

    /// The outermost value of a text, and whether a bracket or quotation mark is open at its end.
    pub(super) fn root(text: &'a str) -> (Node, bool) {
        let mut walker = Self::at(text, 0);
        walker.attributes();
        (walker.value(0), walker.unclosed)
    }

    /// Where the white space and comments that begin at `at` end.
    pub(super) fn past_blanks(text: &str, at: usize) -> usize {
        let mut walker = Walker::at(text, at);
        walker.blanks();
        walker.at
    }

    pub(super) fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or_default()
    }

    fn take(&mut self, start: &str) -> bool {
        let there = self.rest().starts_with(start);
        self.at += if there { start.len() } else { 0 };
        there
    }

    fn take_while(&mut self, wanted: impl Fn(char) -> bool) -> &'a str {
        let rest = self.rest();
        let length = rest.find(|c| !wanted(c)).unwrap_or(rest.len());
        self.at += length;
        rest.get(..length).unwrap_or_default()
    }

    /// Goes past the next `end`, or to the text's end.
    fn go_past(&mut self, end: &str) {
        let found = self.rest().find(end).map(|at| at + end.len());
        self.unclosed |= found.is_none();
        self.at += found.unwrap_or(self.rest().len());
    }

    pub(super) fn blanks(&mut self) {
        loop {
            self.take_while(is_blank);
            if self.take("//") {
                self.take_while(|c| c != '\n');
            } else if self.take("/*") {
                self.comment();
            } else {
                return;
            }
        }
    }

    /// A block comment, those inside it included.
    fn comment(&mut self) {
        let mut open = 1_usize;
        while open > 0 && !self.rest().is_empty() {
            self.take_while(|c| c != '/' && c != '*');
            if self.take("/*") {
                open += 1;
            } else if self.take("*/") {
                open -= 1;
            } else {
                self.skip_char();
            }
        }
    }

    /// What stands between blanks, brackets, commas and quotation marks; nothing at one of these.
    pub(super) fn word(&mut self) -> &'a str {
        self.take_while(|c| !is_blank(c) && !"()[]{},:\"'/".contains(c))
    }

    /// How far it has come, in bytes.
    pub(super) const fn offset(&self) -> usize {
        self.at
    }

    pub(super) fn skip_char(&mut self) {
        self.at += self.rest().chars().next().map_or(0, char::len_utf8);
    }

    /// `#![enable(...)]`, as often as it stands there.
    fn attributes(&mut self) {
        self.blanks();
        while self.take("#") {
            self.go_past("]");
            self.blanks();
        }
    }

    fn value(&mut self, depth: usize) -> Node {
        self.blanks();
        let start = self.at;
        let mut entries = Vec::new();
        if !self.quoted() {
            let word = self.word();
            let end = self.at;
            self.blanks();
            match self.rest().chars().next() {
                Some('(') if depth < DEEPEST => entries = self.entries(")", depth),
                Some('[') if depth < DEEPEST && word.is_empty() => {
                    entries = self.entries("]", depth);
                }
                Some('{') if depth < DEEPEST && word.is_empty() => {
                    entries = self.entries("}", depth);
                }
                _ => self.at = end,
            }
            // What stands in `Some( )` is the value that was meant.
            let some =
                word == "Some" && matches!(entries.as_slice(), [MapEntry { name: None, .. }]);
            if let Some(inner) = entries.pop_if(|_| some) {
                return inner.node;
            }
        }
        Node {
            start,
            end: self.at,
            entries,
        }
    }

    fn entries(&mut self, close: &str, depth: usize) -> Vec<MapEntry> {
        let mut entries = Vec::new();
        self.skip_char();
        loop {
            self.blanks();
            self.unclosed |= self.rest().is_empty();
            if self.rest().is_empty() || self.take(close) {
                return entries;
            }
            let (before, mut node, mut name) = (self.at, self.value(depth + 1), None);
            let end = self.at;
            self.blanks();
            if self.take(":") {
                name = Some(plain(self.text.get(before..end).unwrap_or_default()));
                node = self.value(depth + 1);
                self.blanks();
            }
            self.take(",");
            if self.at == before {
                // A bracket that fits nothing here.
                self.skip_char();
            } else {
                entries.push(MapEntry {
                    name,
                    start: before,
                    node,
                });
            }
        }
    }

    /// Goes past a string, a raw string, or a character in quotes.
    pub(super) fn quoted(&mut self) -> bool {
        let rest = self.rest();
        let opening = opening(rest);
        if let Some(raw) = opening.trim_start_matches('b').strip_prefix('r') {
            self.at += opening.len();
            let hashes = raw.trim_end_matches('"');
            self.go_past(&format!("\"{hashes}"));
        } else if let Some(quote) = opening.chars().next_back() {
            self.at += opening.len();
            while !self.take(quote.encode_utf8(&mut [0; 4])) {
                if self.rest().is_empty() {
                    self.unclosed = true;
                    break;
                }
                self.take("\\");
                self.skip_char();
            }
        }
        !opening.is_empty()
    }
}

/// What opens the string or character that `text` begins with, such as `"` or `r#"`; nothing if
/// none does.
fn opening(text: &str) -> &str {
    let body = text.strip_prefix('b').unwrap_or(text);
    let hashes = body.strip_prefix('r').map(|b| b.trim_start_matches('#'));
    let after = match hashes {
        Some(rest) => rest.strip_prefix('"'),
        None => body.strip_prefix(['"', '\'']),
    };
    let length = after.map_or(0, |after| text.len() - after.len());
    text.get(..length).unwrap_or_default()
}

/// A key as text: a string's content, anything else as written.
fn plain(written: &str) -> String {
    ron::from_str::<String>(written)
        .or_else(|_no_string| ron::from_str::<char>(written).map(String::from))
        .unwrap_or_else(|_no_char| written.strip_prefix("r#").unwrap_or(written).to_owned())
}

/// Where each character that a written string means begins, in bytes from its start.
pub(super) fn char_starts(written: &str) -> impl Iterator<Item = usize> + '_ {
    let opening = opening(written);
    let mut walker = Walker::at(written, opening.len());
    std::iter::from_fn(move || {
        loop {
            let start = walker.at;
            if walker.rest().is_empty() {
                return None;
            }
            if opening.contains('r') || !walker.take("\\") {
                walker.skip_char();
                return Some(start);
            }
            if walker.take("\n") || walker.take("\r\n") {
                // A line that goes on: no character at all.
                walker.take_while(is_blank);
            } else if walker.take("u{") {
                walker.go_past("}");
                return Some(start);
            } else if walker.take("x") {
                let continues = walker.rest().starts_with(['8', '9', 'a', 'b', 'A', 'B']);
                walker.skip_char();
                walker.skip_char();
                if !continues {
                    return Some(start);
                }
            } else {
                walker.skip_char();
                return Some(start);
            }
        }
    })
}

/// White space as RON has it.
fn is_blank(c: char) -> bool {
    c.is_whitespace() && c != '\u{a0}' || matches!(c, '\u{200e}' | '\u{200f}')
}
