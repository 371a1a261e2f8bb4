//! A year's boundaries written into a paper file, everything else in it left as it stands.

use std::path::Path;

use super::locate::{Places, Spot};
use super::problem::{FileTrouble, Problem};
use super::{paper, read};
use crate::domain::mark::Mark;
use crate::domain::paper::PastBoundaries;
use crate::storage::disk::{self, Rights};

/// Adds a year to the field `past` of a paper file: the text around it, comments and all, stays.
///
/// The new text is read again before it replaces the file, and must hold the same paper with that
/// one year more; else nothing is written.
///
/// # Errors
/// A paper that is not sound, has that year already or lists no awards, boundaries that do not fit
/// it, and what the system refuses.
pub fn add(path: &Path, year: i32, boundaries: &[(String, Mark)]) -> Result<(), FileTrouble> {
    let bytes = read::bytes(path)?;
    let before = paper::from_bytes(path, &bytes, None)?.value;
    let trouble = |sentence: String| FileTrouble::one(path, Problem::whole(sentence));
    if before.past.iter().any(|past| past.year == year) {
        return Err(trouble(format!(
            "the paper already has boundaries for {year}; delete that line of `past` first, or choose another --year"
        )));
    }
    if before.outline.awards.is_empty() {
        return Err(trouble(
            "the paper has no awards for these boundaries; fill in its field `awards` first".into(),
        ));
    }
    let text = String::from_utf8_lossy(&bytes);
    // What an editor has put before the text stays there.
    let (mark, text) = match text.strip_prefix('\u{feff}') {
        Some(rest) => ("\u{feff}", rest),
        None => ("", &*text),
    };
    let after = with_year(text, year, boundaries).ok_or_else(|| {
        trouble(format!("no place for the boundaries was found in the file; add this line to `past` yourself: {}", entry(year, boundaries)))
    })?;
    let after = format!("{mark}{after}");
    let read_again = paper::from_bytes(path, after.as_bytes(), None)?.value;
    let mut expected = before;
    expected.past.push(PastBoundaries {
        year,
        boundaries: boundaries.iter().cloned().collect(),
    });
    if read_again != expected {
        return Err(trouble(format!(
            "the file is written in a way that cannot be changed safely; add this line to `past` yourself: {}",
            entry(year, boundaries)
        )));
    }
    disk::replace(path, after.as_bytes(), Rights::AsBefore)
        .map_err(|error| trouble(format!("the file cannot be written ({error}); check that you may write there and that the disk isn't full")))
}

/// `(year: 2026, boundaries: {"dunlin": 54, "curlew": "123/4"})`
fn entry(year: i32, boundaries: &[(String, Mark)]) -> String {
    let mark = |mark: Mark| match mark.denominator() {
        1 => mark.exact(),
        _ => format!("\"{}\"", mark.exact()),
    };
    let awards: Vec<_> = boundaries
        .iter()
        .map(|(name, own)| format!("{name:?}: {}", mark(*own)))
        .collect();
    format!("(year: {year}, boundaries: {{{}}})", awards.join(", "))
}

/// The text with one more entry at the end of `past`, or with a `past` of one entry after `awards`.
fn with_year(text: &str, year: i32, boundaries: &[(String, Mark)]) -> Option<String> {
    let places = Places::new(text);
    let top = Spot::top();
    let entry = entry(year, boundaries);
    let Some(past) = places.written(&top.at("past")) else {
        let (start, awards) = stretch(text, &places, &top.at("awards"))?;
        let end = start + awards.len();
        let indent = indent(text, start);
        let field = format!(",\n{indent}past: [\n{indent}    {entry},\n{indent}]");
        return Some(splice(text, end, end, &field));
    };
    let (start, _) = stretch(text, &places, &top.at("past"))?;
    let close = start + past.len().checked_sub(1)?;
    let last = (0..text.len())
        .map(|index| top.at("past").item(index))
        .take_while(|spot| places.written(spot).is_some())
        .last();
    let Some(last) = last else {
        let outer = indent(text, start);
        let inner = format!("\n{outer}    {entry},\n{outer}");
        return Some(splice(text, start + 1, close, &inner)).filter(|_| {
            text.get(start + 1..close)
                .is_some_and(|t| t.trim().is_empty())
        });
    };
    let (from, own) = stretch(text, &places, &last)?;
    let end = from + own.len();
    let tail = text.get(end..close)?;
    let kept = tail.trim_end();
    let comma = if has_comma(tail) { "" } else { "," };
    let inner = format!(
        "{comma}{kept}\n{}{entry},\n{}",
        indent(text, from),
        indent(text, close)
    );
    Some(splice(text, end, close, &inner))
}

/// Whether a comma stands outside comments, in what lies between two values.
fn has_comma(between: &str) -> bool {
    let mut rest = between;
    while let Some(c) = rest.chars().next() {
        let skip = if c == ',' {
            return true;
        } else if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if let Some(comment) = rest.strip_prefix("/*") {
            comment.find("*/").map_or(rest.len(), |at| at + 4)
        } else {
            c.len_utf8()
        };
        rest = rest.get(skip..).unwrap_or_default();
    }
    false
}

/// Where a value begins, in bytes, and its text.
fn stretch<'a>(text: &str, places: &Places<'a>, spot: &Spot) -> Option<(usize, &'a str)> {
    let written = places.written(spot)?;
    let place = places.place(spot);
    let line = text
        .split_inclusive('\n')
        .take(place.line - 1)
        .map(str::len)
        .sum::<usize>();
    let before: usize = text
        .get(line..)?
        .chars()
        .take(place.col - 1)
        .map(char::len_utf8)
        .sum();
    Some((line + before, written))
}

/// The blanks that the line of a byte begins with.
fn indent(text: &str, at: usize) -> String {
    let before = text.get(..at).unwrap_or_default();
    let line = before.rsplit('\n').next().unwrap_or_default();
    line.chars()
        .take_while(|c| *c == ' ' || *c == '\t')
        .collect()
}

/// The text with `inner` in place of a stretch; line ends as the file has them.
fn splice(text: &str, from: usize, to: usize, inner: &str) -> String {
    let (before, after) = (
        text.get(..from).unwrap_or_default(),
        text.get(to..).unwrap_or_default(),
    );
    let inner = inner.replace("\r\n", "\n");
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    format!("{before}{}{after}", inner.replace('\n', end))
}
