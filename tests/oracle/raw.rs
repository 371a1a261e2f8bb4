//! Session files, papers and keys as text, read by types of the tests' own.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use chrono::{DateTime, FixedOffset, Utc};
use num_rational::Rational64;
use serde::Deserialize;
use serde::de::IgnoredAny;

/// A number of marks or minutes: `4`, `2.5` or `"-1/4"`.
#[derive(Clone, Debug, Deserialize)]
#[serde(untagged)]
enum Written {
    Whole(i64),
    Real(f64),
    Text(String),
}

#[derive(Clone, Debug, Deserialize)]
#[serde(from = "Written")]
pub(crate) struct Exact(pub(crate) Rational64);

impl Default for Exact {
    fn default() -> Self {
        Self(Rational64::from_integer(0))
    }
}

impl From<Written> for Exact {
    fn from(written: Written) -> Self {
        Self(match written {
            Written::Whole(whole) => Rational64::from_integer(whole),
            Written::Real(real) => Rational64::approximate_float(real).unwrap(),
            Written::Text(text) => exact(&text),
        })
    }
}

/// `62`, `-1/4` or `1.5`.
pub(crate) fn exact(text: &str) -> Rational64 {
    match text.split_once('.') {
        None => text.parse().unwrap(),
        Some((whole, part)) => {
            let places = 10_i64.pow(u32::try_from(part.len()).unwrap());
            Rational64::new(format!("{whole}{part}").parse().unwrap(), places)
        }
    }
}

#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Section {
    pub(crate) name: String,
    pub(crate) first: u16,
    pub(crate) last: u16,
    pub(crate) right: Exact,
    #[serde(default)]
    pub(crate) wrong: Exact,
    #[serde(default)]
    pub(crate) blank: Exact,
}

#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Rule {
    #[serde(default)]
    pub(crate) start: Exact,
    pub(crate) sections: Vec<Section>,
}

#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Award {
    pub(crate) name: String,
    pub(crate) boundary: Exact,
}

#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Outline {
    pub(crate) id: String,
    pub(crate) title: String,
    pub(crate) questions: u16,
    pub(crate) options: String,
    #[serde(default)]
    pub(crate) own_options: BTreeMap<u16, String>,
    pub(crate) rule: Rule,
    #[serde(default)]
    pub(crate) awards: Vec<Award>,
    #[serde(default)]
    pub(crate) on_screen: bool,
}

#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Arrangements {
    #[serde(default)]
    pub(crate) questions: Option<String>,
}

#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Checkpoint {
    pub(crate) question: u16,
    pub(crate) minutes: Exact,
}

#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Plan {
    pub(crate) checkpoints: Vec<Checkpoint>,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Mode {
    #[default]
    Timed,
    Entered,
}

#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Header {
    pub(crate) sitting: String,
    pub(crate) pupil: String,
    pub(crate) started: DateTime<FixedOffset>,
    #[serde(default)]
    pub(crate) invented: bool,
    /// Each question by its words.
    #[serde(default)]
    pub(crate) question_fingerprints: BTreeMap<u16, String>,
    #[serde(default)]
    pub(crate) mode: Mode,
    pub(crate) paper: Outline,
    pub(crate) allowed: u64,
    pub(crate) arrangements: Arrangements,
    #[serde(default)]
    pub(crate) plan: Option<Plan>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum How {
    Worked,
    Unsure,
    Guessed,
    Filled,
}

impl How {
    pub(crate) fn is_luck(self) -> bool {
        matches!(self, Self::Guessed | Self::Filled)
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Ending {
    FinishedEarly,
    TimeUp,
    GuessRoundDone,
    Abandoned,
    Entered,
}

#[derive(Clone, Debug, Deserialize)]
pub(crate) enum Event {
    Opened(u16),
    Answered(u16, char),
    RubbedOut(u16),
    Skipped(u16),
    Flagged(u16),
    Unflagged(u16),
    Said(u16, How),
    CrossedOut(IgnoredAny, IgnoredAny),
    CrossedBack(IgnoredAny, IgnoredAny),
    ClockHidden,
    ClockShown,
    SweepBegun,
    SweepLeft,
    BreakStarted,
    BreakEnded,
    Slept { span: u64, counts: bool },
    Stalled {},
    ClockChanged {},
    Interrupted(IgnoredAny),
    Resumed { since: u64, counts: bool },
    TimeUp { due: u64 },
    GuessRoundStarted,
    Filled { answers: Vec<(u16, char)> },
    Closed(Ending),
}

/// One line behind the first.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Line {
    pub(crate) at: u64,
    pub(crate) utc: DateTime<Utc>,
    pub(crate) event: Event,
}

#[derive(Deserialize)]
struct First {
    header: Header,
}

/// One session file.
#[derive(Clone, Debug)]
pub(crate) struct Session {
    pub(crate) header: Header,
    pub(crate) lines: Vec<Line>,
}

impl Session {
    pub(crate) fn read(path: &Path) -> Self {
        let text = fs::read_to_string(path).unwrap();
        Self::of(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
    }

    fn of(text: &str) -> Result<Self, ron::error::SpannedError> {
        let mut lines = text.lines();
        let First { header } = ron::from_str(lines.next().unwrap_or_default())?;
        let lines = lines
            .filter(|line| !line.contains(",sealed:("))
            .map(ron::from_str)
            .collect::<Result<_, _>>()?;
        Ok(Self { header, lines })
    }
}

/// The letters of a key.
#[derive(Clone, Debug)]
pub(crate) struct Key {
    pub(crate) answers: Vec<char>,
}

#[derive(Deserialize)]
struct KeyFile {
    answers: String,
}

impl Key {
    pub(crate) fn read(path: &Path) -> Self {
        let text = fs::read_to_string(path).unwrap();
        assert!(!text.contains("voids"), "a key with void questions");
        assert!(!text.contains("also_right"), "a key with second answers");
        let file: KeyFile = ron::from_str(&text).unwrap();
        let answers = file.answers.chars().filter(|c| !c.is_whitespace());
        Self {
            answers: answers.collect(),
        }
    }

    pub(crate) fn right(&self, question: u16) -> char {
        self.answers[usize::from(question) - 1]
    }
}

/// `1-10,13` as numbers.
pub(crate) fn numbers(list: &str) -> Vec<u16> {
    let mut all = Vec::new();
    for part in list.split(',') {
        let (from, to) = part.split_once('-').unwrap_or((part, part));
        all.extend(from.trim().parse::<u16>().unwrap()..=to.trim().parse().unwrap());
    }
    all.sort_unstable();
    all.dedup();
    all
}
