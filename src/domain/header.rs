//! What is settled before a sitting starts: who, which paper, how long, under which arrangements.

use std::collections::BTreeMap;
use std::fmt;

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::character::{is_invisible, read_any_on_one_line, read_on_one_line};
use super::mark::Mark;
use super::paper::{Fingerprint, Outline};
use super::questions::QuestionList;
use super::rule::QuestionNo;
use super::time::Elapsed;

/// The version of the session file that this program writes.
pub const SESSION_FORMAT: u32 = 2;

/// What is said wherever a sitting shows that nobody sat.
pub const INVENTED: &str = "Invented data: made with pacebell demo.";

/// Whether this system tells a program that the machine slept. Where it does not, time asleep always counts.
pub const SLEEP_IS_TOLD: bool = cfg!(unix);

/// A pupil's alias: what stands in files and on screens instead of a name.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Alias(String);

/// Why a text is no alias.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NoAlias {
    /// Windows keeps it for a device.
    #[error(
        "{0:?} can't be used as an alias: Windows reserves that name. Choose another, such as otter"
    )]
    Device(String),
    /// It has something else than letters, digits, hyphens and underscores, or too many.
    #[error(
        "{0:?} can't be used as an alias. Use 1 to 40 letters, digits, - or _, such as otter, and not a real name"
    )]
    Characters(String),
}

impl NoAlias {
    fn of(text: String) -> Self {
        if is_device(&text) {
            Self::Device(text)
        } else {
            Self::Characters(text)
        }
    }
}

fn is_plain(text: &str) -> bool {
    let fits = |c: char| (c.is_alphanumeric() && !is_invisible(c)) || c == '-' || c == '_';
    (1..=40).contains(&text.chars().count()) && text.chars().all(fits) && !text.starts_with('-')
}

/// Whether Windows keeps a name for a device, whatever its case, so that no folder can have it
/// (Microsoft, "Naming Files, Paths, and Namespaces").
pub fn is_device(name: &str) -> bool {
    let name = name.to_lowercase();
    let numbered = name
        .strip_prefix("com")
        .or_else(|| name.strip_prefix("lpt"));
    matches!(name.as_str(), "con" | "prn" | "aux" | "nul")
        || numbered.is_some_and(|rest| {
            let mut digits = rest.chars();
            matches!(
                digits.next(),
                Some('1'..='9' | '\u{b9}' | '\u{b2}' | '\u{b3}')
            ) && digits.next().is_none()
        })
}

impl Alias {
    /// Takes 1 to 40 letters, digits, hyphens or underscores that are no device of Windows, so that
    /// it also serves as a folder's name everywhere.
    pub fn new(text: &str) -> Result<Self, NoAlias> {
        let text = text.trim();
        if is_plain(text) && !is_device(text) {
            Ok(Self(text.to_owned()))
        } else {
            Err(NoAlias::of(text.to_owned()))
        }
    }

    /// Whether both are one pupil's: capitals make no other pupil, since some disks do not tell them apart.
    pub fn is_same(&self, other: &Self) -> bool {
        self.0.to_lowercase() == other.0.to_lowercase()
    }

    /// Whether a text has the alias as a word of its own, whatever its capitals; `otter-2` is another word.
    pub fn is_in(&self, text: &str) -> bool {
        let (text, own) = (text.to_lowercase(), self.0.to_lowercase());
        let inner =
            |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '-' || c == '_');
        text.match_indices(&own).any(|(at, _)| {
            let before = text.get(..at).and_then(|before| before.chars().next_back());
            let after = text
                .get(at + own.len()..)
                .and_then(|after| after.chars().next());
            !inner(before) && !inner(after)
        })
    }

    /// The alias as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Alias {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl TryFrom<String> for Alias {
    type Error = NoAlias;
    /// An alias as a file has it: where it was kept once, it could be kept.
    fn try_from(text: String) -> Result<Self, NoAlias> {
        if is_plain(&text) {
            Ok(Self(text))
        } else {
            Err(NoAlias::of(text))
        }
    }
}

impl From<Alias> for String {
    fn from(alias: Alias) -> Self {
        alias.0
    }
}

/// Which start of the machine this is, and where its clock stood when the sitting started.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Boot {
    /// The boot's id as the system gives it; empty where it gives none.
    pub id: String,
    /// The clock's reading, in milliseconds, at the sitting's start; negative when the machine was
    /// restarted since.
    pub zero: i64,
}

/// The most extra time that can be arranged, in percent.
pub const MOST_EXTRA_PERCENT: i64 = 400;

/// What the tutor has arranged for this sitting.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Arrangements {
    /// Extra time, in percent of the paper's own.
    #[serde(default)]
    pub extra_percent: Mark,
    /// Whether the pupil may stop the clock for a rest break.
    #[serde(default)]
    pub rest_breaks: bool,
    /// Whether the machine's sleep counts as time used.
    #[serde(default = "yes")]
    pub sleep_counts: bool,
    /// Whether the time between a crash and the return counts as time used.
    #[serde(default)]
    pub away_counts: bool,
    /// How long before time up the blanks are mentioned.
    pub remind_before: Elapsed,
    /// Which questions are sat; all when nothing is said.
    #[serde(rename = "questions", default, skip_serializing_if = "Option::is_none")]
    pub only: Option<QuestionList>,
}

const fn yes() -> bool {
    true
}

impl Arrangements {
    /// Nothing special: the clock runs through sleep, stands during a crash, and the blanks are
    /// mentioned three minutes before time up, or a tenth of the time where that is less.
    pub fn usual(allowed: Elapsed) -> Self {
        Self {
            extra_percent: Mark::ZERO,
            rest_breaks: false,
            sleep_counts: true,
            away_counts: false,
            remind_before: Elapsed::minutes(3).min(Elapsed(allowed.0 / 10)),
            only: None,
        }
    }
}

/// The time allowed with so much extra time, to the millisecond.
pub fn with_extra_time(standard: Elapsed, percent: Mark) -> Elapsed {
    let millis = standard.0;
    let factor = Mark::whole(100) + percent;
    let grid = u64::try_from(factor.denominator()).unwrap_or(1);
    let steps = factor
        .steps(factor.denominator())
        .and_then(|s| u64::try_from(s).ok())
        .unwrap_or(100);
    Elapsed(millis.saturating_mul(steps) / (100 * grid))
}

/// A question to have reached by a moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Checkpoint {
    /// The question to be done with.
    pub question: QuestionNo,
    /// Minutes of the time allowed used by then.
    pub minutes: Mark,
}

/// A pace plan: a handful of checkpoints, what is left for the end, and when to leave a question.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PacePlan {
    /// The checkpoints, in order.
    pub checkpoints: Vec<Checkpoint>,
    /// The questions that are not tried at first, where the plan leaves any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub leave: Option<QuestionList>,
    /// How long to stay with a question before leaving it, where the plan says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stay: Option<Elapsed>,
}

/// How the answers came in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Mode {
    /// At the keyboard, under the clock.
    #[default]
    Timed,
    /// Typed in afterwards from an answer sheet done on paper: there are no times.
    Entered,
}

/// A sitting's own id: when it started, and a number drawn for it. It names nobody, so that it can
/// stand on a page that others see, and stays when a pupil's alias is changed.
pub fn sitting_id(started: DateTime<FixedOffset>, drawn: u64) -> String {
    format!("{}-{drawn:016x}", started.format("%Y%m%d-%H%M%S"))
}

/// The first record of a session file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Header {
    /// The file's format.
    pub format: u32,
    /// The sitting's own id.
    #[serde(deserialize_with = "read_on_one_line")]
    pub sitting: String,
    /// Whose it is.
    pub pupil: Alias,
    /// How the answers came in.
    #[serde(default)]
    pub mode: Mode,
    /// The sitting whose answer sheet this one replaces, where it does.
    #[serde(
        default,
        deserialize_with = "read_any_on_one_line",
        skip_serializing_if = "Option::is_none"
    )]
    pub replaces: Option<String>,
    /// The marking part of the paper as it was sat.
    pub paper: Outline,
    /// The fingerprint of each question that has words, so that it is known again on another paper.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub question_fingerprints: BTreeMap<QuestionNo, Fingerprint>,
    /// The paper's own time, before extra time.
    pub standard: Elapsed,
    /// The time allowed, extra time included.
    pub allowed: Elapsed,
    /// The arrangements.
    pub arrangements: Arrangements,
    /// The pace plan, where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plan: Option<PacePlan>,
    /// The program's version.
    #[serde(deserialize_with = "read_on_one_line")]
    pub program: String,
    /// Whether nobody sat it: made by the program to show what a season looks like.
    #[serde(default, skip_serializing_if = "is_false")]
    pub invented: bool,
    /// The wall clock at the start, with its zone.
    pub started: DateTime<FixedOffset>,
    /// The machine's boot and clock at the start.
    pub boot: Boot,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands it so")]
const fn is_false(flag: &bool) -> bool {
    !*flag
}

impl Header {
    /// Whether another header is of the same sitting under another alias. An id of format 1 held the alias, and is
    /// another one after a renaming: the start to the millisecond and everything else then tell it.
    pub fn is_same_but_for_alias(&self, other: &Self) -> bool {
        let drawn = |own: &Self| {
            let start = own.started.format("%Y%m%d-%H%M%S-").to_string();
            own.sitting.starts_with(&start)
        };
        let ids = self.sitting == other.sitting
            || self.id_holds_alias() && (drawn(other) || other.id_holds_alias())
            || other.id_holds_alias() && drawn(self);
        let as_other = || Self {
            pupil: other.pupil.clone(),
            sitting: other.sitting.clone(),
            ..self.clone()
        };
        ids && self.pupil != other.pupil && as_other() == *other
    }

    /// Whether the alias stands in the sitting's id, as it did in format 1.
    pub fn id_holds_alias(&self) -> bool {
        let rest = self.sitting.strip_prefix(self.pupil.as_str());
        rest.is_some_and(|rest| rest.starts_with('-'))
    }

    /// Whether `question` is part of this sitting.
    pub fn asks(&self, question: QuestionNo) -> bool {
        match &self.arrangements.only {
            Some(only) => only.holds(question),
            None => (1..=self.paper.questions).contains(&question.0),
        }
    }

    /// The questions of this sitting, in order.
    pub fn questions(&self) -> impl Iterator<Item = QuestionNo> + '_ {
        self.paper.numbers().filter(|question| self.asks(*question))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 60 minutes and 10, 25, 50 %; 45 and 25 % (arithmetic).
    #[test]
    fn extra_time_is_exact() {
        let given = |minutes, percent: &str| {
            with_extra_time(Elapsed::minutes(minutes), percent.parse().unwrap())
        };
        assert_eq!(given(60, "10"), Elapsed::minutes(66));
        assert_eq!(given(60, "25"), Elapsed::minutes(75));
        assert_eq!(given(60, "50"), Elapsed::minutes(90));
        assert_eq!(given(45, "25").stopwatch(), "56:15");
        assert_eq!(given(60, "12.5").stopwatch(), "67:30");
    }

    #[test]
    fn an_alias_is_a_plain_word() {
        assert_eq!(Alias::new(" otter ").unwrap().as_str(), "otter");
        assert_eq!(Alias::new("Müße_2-b").unwrap().as_str(), "Müße_2-b");
        for text in [
            "",
            "..",
            "a b",
            "a/b",
            "-x",
            "a.b",
            "x\u{202e}y",
            "x\u{200b}y",
            "x\u{3164}",
        ] {
            assert!(Alias::new(text).is_err(), "{text:?}");
        }
        assert!(Alias::new(&"x".repeat(41)).is_err());
    }

    #[test]
    fn an_alias_is_a_word_of_its_own_in_a_text() {
        let otter = Alias::new("otter").unwrap();
        for text in ["otter", "(\"Otter\")", "<td>otter</td>", "of otter."] {
            assert!(otter.is_in(text), "{text}");
        }
        for text in ["", "otter-2", "otters", "sea-otter", "_otter", "ott"] {
            assert!(!otter.is_in(text), "{text}");
        }
    }

    /// The names listed in Microsoft's "Naming Files, Paths, and Namespaces".
    #[test]
    fn an_alias_is_no_device_of_windows() {
        for text in [
            "con", "PRN", "Aux", "nul", "com1", "COM9", "lpt1", "Lpt9", "com²",
        ] {
            let said = Alias::new(text).unwrap_err().to_string();
            assert!(said.contains("Windows reserves that name"), "{said}");
            // A file that has it all the same can be read.
            assert!(Alias::try_from(text.to_owned()).is_ok());
        }
        for text in [
            "com", "com0", "com10", "lpt", "console", "con1", "null", "anul",
        ] {
            assert!(Alias::new(text).is_ok(), "{text}");
        }
        assert!(Alias::try_from("a b".to_owned()).is_err());
    }
}
