//! From a path to a value that is sound: bytes, text, format, form; then its meaning.

use std::borrow::Cow;
use std::path::Path;

use ron::error::{Error as RonError, SpannedError};
use ron::extensions::Extensions;
use serde::de::DeserializeOwned;

use super::locate::{Place, Places, Spot};
use super::problem::{FileTrouble, Findings, Problem, Severity};
use crate::storage::disk::{self, Size};

/// What some editors put before a text in UTF-8.
const BYTE_ORDER_MARK: &[u8] = b"\xef\xbb\xbf";

/// A value that can be used, with what somebody may want to know about its file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sound<T> {
    /// The value.
    pub value: T,
    /// Notes, in the order of the file.
    pub notes: Vec<Problem>,
}

/// Reads a file's bytes.
pub(super) fn bytes(path: &Path) -> Result<Vec<u8>, FileTrouble> {
    disk::read(path, Size::PAPER)
        .map_err(|error| FileTrouble::one(path, Problem::whole(disk::why_unread(&error))))
}

/// Reads a text in the form `Form` and turns it into what it means.
///
/// `mean` gives the value, or nothing after it has noted at least one thing that is wrong.
pub(super) fn sound<Form: DeserializeOwned, T>(
    path: &Path,
    bytes: &[u8],
    newest: u32,
    mean: impl FnOnce(Form, &mut Findings<'_>) -> Option<T>,
) -> Result<Sound<T>, FileTrouble> {
    let trouble = |problem| FileTrouble::one(path, problem);
    let text = text(bytes).map_err(trouble)?;
    let places = Places::new(&text);
    format_is_known(&places, newest).map_err(trouble)?;
    let form = form(&text).map_err(|error| trouble(unreadable(&error, &places)))?;
    let mut findings = Findings::new(&places);
    let value = mean(form, &mut findings);
    let problems = findings.finish();
    let wrong = problems.iter().any(|p| p.severity == Severity::Wrong);
    match value {
        Some(value) if !wrong => Ok(Sound {
            value,
            notes: problems,
        }),
        _ => Err(FileTrouble {
            path: path.to_owned(),
            problems,
        }),
    }
}

/// Reads a text in its form, whatever it means.
pub(super) fn form<Form: DeserializeOwned>(text: &str) -> Result<Form, SpannedError> {
    let options = ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME);
    options.from_str(text)
}

/// Takes UTF-8. A byte order mark before it is passed over, and each line ends in LF, whatever an
/// editor or a checkout has made of it: so neither changes what a text means, nor a fingerprint.
pub(super) fn text(bytes: &[u8]) -> Result<Cow<'_, str>, Problem> {
    let bytes = bytes.strip_prefix(BYTE_ORDER_MARK).unwrap_or(bytes);
    if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
        return Err(Problem::whole("the file is UTF-16; save it as UTF-8")
            .about(Place { line: 1, col: 1 }, ""));
    }
    let text = str::from_utf8(bytes).map_err(|error| {
        let good = bytes.get(..error.valid_up_to()).unwrap_or_default();
        let good = String::from_utf8_lossy(good);
        let place = Place {
            line: 1 + good.matches('\n').count(),
            col: 1 + good.chars().rev().take_while(|c| *c != '\n').count(),
        };
        Problem::whole("a byte here isn't UTF-8 text; save the file as UTF-8").about(place, "")
    })?;
    Ok(if text.contains("\r\n") {
        Cow::Owned(text.replace("\r\n", "\n"))
    } else {
        Cow::Borrowed(text)
    })
}

/// Looks at `format` alone, so that a newer form is not taken for a wrong one.
fn format_is_known(places: &Places<'_>, newest: u32) -> Result<(), Problem> {
    let spot = Spot::top().at("format");
    let Some(format) = places
        .written(&spot)
        .and_then(|text| ron::from_str::<u64>(text).ok())
    else {
        return Ok(());
    };
    let about = |sentence: String| Problem::whole(sentence).about(places.place(&spot), &spot);
    if format > u64::from(newest) {
        return Err(about(format!(
            "this file was written by a newer Pacebell (format {format}; this one reads up to {newest}); update the program"
        )));
    }
    if format == 0 {
        return Err(about(format!(
            "there's no format 0; write format: {newest}"
        )));
    }
    Ok(())
}

/// Says in a sentence why the text could not be read on.
fn unreadable(error: &SpannedError, places: &Places<'_>) -> Problem {
    // The reader's span may begin with the blanks before what it stumbled over.
    let place = places.past_blanks(Place {
        line: error.span.start.line,
        col: error.span.start.col,
    });
    let reads = matches!(
        error.code,
        RonError::NoSuchStructField { .. }
            | RonError::MissingStructField { .. }
            | RonError::DuplicateStructField { .. }
            | RonError::NoSuchEnumVariant { .. }
    );
    let hint = places.syntax_hint(place).filter(|_| !reads);
    let (place, sentence) = match hint {
        Some((place, sentence)) => (place, sentence.to_owned()),
        None => (place, stumbled(error, places, place)),
    };
    let sentence: String = sentence
        .chars()
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect();
    Problem::whole(format!(
        "{sentence}. Correct this first; then the rest can be checked"
    ))
    .about(place, places.around(place))
}

/// What the reader says itself of the place where it stumbled.
fn stumbled(error: &SpannedError, places: &Places<'_>, place: Place) -> String {
    let end = Place {
        line: error.span.end.line,
        col: error.span.end.col,
    };
    let names = |names: &[&str]| names.join(", ");
    match &error.code {
        RonError::NoSuchStructField {
            expected, found, ..
        } => format!(
            "there's no field `{found}` here; the fields are {}",
            names(expected)
        ),
        RonError::MissingStructField { field, .. } => {
            format!("the field `{field}` is missing; add it before this bracket")
        }
        RonError::DuplicateStructField { field, .. } => {
            format!("the field `{field}` is written twice; keep one of the two")
        }
        RonError::NoSuchEnumVariant {
            expected, found, ..
        } => format!(
            "`{found}` means nothing here; write one of {}",
            names(expected)
        ),
        _ if places.is_end(Place { line: 1, col: 1 }) => {
            "the file is empty; `paper new` makes one to start from".to_owned()
        }
        RonError::ExpectedStringEnd => {
            "the text that begins here has no closing quotation mark; add one".to_owned()
        }
        _ if places.unclosed && places.is_end(end) => {
            "the file stops too soon; a closing bracket or quotation mark is missing".to_owned()
        }
        RonError::ExpectedComma => places.missing_comma(place),
        other => {
            let words = other.to_string();
            let mut letters = words.chars();
            let first = letters.next().map(|c| c.to_lowercase().to_string());
            let words = first.unwrap_or_default() + letters.as_str();
            format!(
                "the file cannot be read from here on: {}",
                words.replace("; ", ", ")
            )
        }
    }
}
