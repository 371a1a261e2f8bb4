//! A report on more than one sitting: the text of a page that can also be printed, to read on screen.

use super::listed::Listed;
use super::request::Report;
use crate::reports::text::COLUMNS;
use crate::screens::kit::PageWriter;
use crate::words::review as words;
use crate::words::text::{clean, hung, start, width as columns_of, wrap};

/// A line that has to be broken goes on so much further in.
const FURTHER: usize = 4;

/// A report as it stands on the screen.
#[derive(Clone, Debug)]
pub(super) struct Reported {
    pub(super) of: Report,
    /// Whose, or on what.
    about: String,
    /// The text or why there is none; nothing while it is put together.
    pub(super) text: Option<Result<String, String>>,
    pub(super) scroll: usize,
}

impl Reported {
    /// A report on a row of the list, still to come.
    pub(super) fn new(of: Report, row: &Listed) -> Self {
        let about = match &of {
            Report::Progress(pupil) => words::over_the_sittings(pupil.as_str()),
            Report::Group(_) => format!("Everybody on {}", row.paper),
            Report::Overview => words::EVERYBODYS_TERM.to_owned(),
        };
        Self {
            of,
            about,
            text: None,
            scroll: 0,
        }
    }

    /// Where you are.
    pub(super) const fn place(&self) -> &'static str {
        match self.of {
            Report::Progress(_) => "Review: progress",
            Report::Group(_) => words::THE_GROUP,
            Report::Overview => words::THE_TERM,
        }
    }

    pub(super) fn write(&self, ink: &mut PageWriter) {
        ink.heading(&self.about);
        ink.pin();
        match &self.text {
            None => ink.text(words::READING),
            Some(Err(reason)) => {
                let style = ink.theme.trouble;
                ink.signed("! ", style, reason);
            }
            Some(Ok(text)) => {
                for line in narrowed(text, ink.width) {
                    ink.plain(&line);
                }
            }
        }
    }
}

/// A page in so many columns: as it is where it fits; else words are wrapped anew, and a row of a table goes on in
/// the next line, so that nothing is lost.
fn narrowed(text: &str, width: usize) -> Vec<String> {
    let mut narrow = Vec::new();
    let lines: Vec<String> = text.lines().map(clean).collect();
    let mut rest = lines.iter().peekable();
    while let Some(line) = rest.next() {
        let mut block = vec![line];
        let hang = indent(line) + sign(line).len();
        while let Some(next) = rest.next_if(|next| {
            let last = block.last().map_or("", |last| last.as_str());
            goes_on(last, next, hang)
        }) {
            block.push(next);
        }
        if block.iter().all(|line| columns_of(line) <= width) {
            narrow.extend(block.into_iter().cloned());
        } else if is_words(line) {
            let words: Vec<&str> = block.iter().map(|line| line.trim_start()).collect();
            let words = words.join(" ");
            let after = words.strip_prefix(sign(line)).unwrap_or(&words);
            let before = format!("{}{}", " ".repeat(indent(line)), sign(line));
            let wrapped = wrap(after, width.saturating_sub(hang));
            narrow.extend(hung(&before, &wrapped));
        } else {
            narrow.extend(broken(line, width));
        }
    }
    narrow
}

/// A row broken at the last blank that fits.
fn broken(row: &str, width: usize) -> Vec<String> {
    let blank = start(row, width).rfind(' ').filter(|at| *at > indent(row));
    let Some((first, rest)) = blank.and_then(|at| row.split_at_checked(at)) else {
        return wrap(row, width);
    };
    let hang = indent(row) + FURTHER;
    let rest = wrap(rest.trim_start(), width.saturating_sub(hang));
    let rest = hung(&" ".repeat(hang), &rest);
    std::iter::once(first.trim_end().to_owned())
        .chain(rest)
        .collect()
}

fn indent(line: &str) -> usize {
    line.len() - line.trim_start().len()
}

/// The sign before a text, with its blank.
fn sign(line: &str) -> &'static str {
    let signs = ["! ", "- "];
    let text = line.trim_start();
    let sign = signs.into_iter().find(|sign| text.starts_with(sign));
    sign.unwrap_or("")
}

/// Whether a line is words, and no row of a table.
fn is_words(line: &str) -> bool {
    let text = line.trim_start();
    !text.is_empty() && !text.contains("  ")
}

/// Whether a line goes on with the words of the one before it, which had no room for the next word.
fn goes_on(line: &str, next: &str, hang: usize) -> bool {
    let word = next.split_whitespace().next().unwrap_or("");
    let full = columns_of(line) + 1 + columns_of(word) > COLUMNS;
    full && is_words(line) && is_words(next) && indent(next) == hang && sign(next).is_empty()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_wrapped_anew_and_rows_go_on_where_the_page_is_narrow() {
        let long = "word ".repeat(14) + "last1";
        let page = format!(
            "Head\n- {long}\n  more words\n\na table  {}  end\n",
            "x".repeat(50)
        );
        let narrow = narrowed(&page, 60);
        assert_eq!(narrow[0], "Head");
        assert!(narrow[1].starts_with("- word") && narrow[2].starts_with("  word"));
        assert!(narrow[2].ends_with("last1 more words"), "{narrow:?}");
        assert_eq!(narrow[3], "");
        assert_eq!(narrow[5], "    end");
        assert!(
            narrow.iter().all(|line| columns_of(line) <= 60),
            "{narrow:?}"
        );
        assert_eq!(narrowed(&page, 80).join("\n") + "\n", page);
    }
}
