//! A paper as the program uses it: a [`Paper`] that exists has been checked.

use std::collections::BTreeMap;
use std::fmt;

use chrono::{NaiveDate, TimeDelta};
use serde::{Deserialize, Deserializer, Serialize};
use sha2::{Digest, Sha256};

use super::character::{on_one_line, read_on_one_line};
use super::labels::Labels;
use super::mark::Mark;
use super::rule::{QuestionNo, Rule};
use super::time::Elapsed;

/// The most questions that a paper may have.
pub const MOST_QUESTIONS: usize = 200;

/// What tells one version of a paper's questions from another: sixteen hex digits.
///
/// It covers what decides which answers are right (id, labels, stems, figures, option texts), and
/// not what may change from year to year (title, time, rule, boundaries).
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Fingerprint(#[serde(deserialize_with = "read_on_one_line")] String);

impl Fingerprint {
    /// Takes the fingerprint of some parts, each told apart from the next. How a text's lines end
    /// makes no difference.
    pub fn of<'a>(parts: impl IntoIterator<Item = &'a str>) -> Self {
        let mut hash = Sha256::new();
        for part in parts {
            let part = part.replace("\r\n", "\n");
            hash.update(part.len().to_le_bytes());
            hash.update(part.as_bytes());
        }
        let bytes = hash.finalize();
        Self(
            bytes
                .iter()
                .take(8)
                .fold(String::new(), |hex, byte| format!("{hex}{byte:02x}")),
        )
    }
}

impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// An award and the lowest mark that reaches it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Award {
    /// What the paper calls it.
    pub name: String,
    /// The lowest mark for it.
    pub boundary: Mark,
}

/// The boundaries of an earlier year.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PastBoundaries {
    /// The year.
    pub year: i32,
    /// Award name to lowest mark.
    pub boundaries: BTreeMap<String, Mark>,
}

/// On which side of its quota an award's boundary falls, where no mark meets it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TieSide {
    /// The lowest mark with no more people at or above it than the quota.
    NotAbove,
    /// The highest mark with at least the quota of people at or above it.
    AtLeast,
    /// The mark whose number of people at or above it is nearest the quota, the lower of two.
    Nearest,
}

/// Which share of those who sit the paper gets awards, and how the awards share it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AwardShares {
    /// The share that gets any award: above 0, at most 1.
    pub top: Mark,
    /// How it is split, lowest award first; a part for each award, none of them 0.
    pub ratio: Vec<u32>,
    /// On which side of a quota a boundary falls.
    pub tie: TieSide,
}

/// When, and by whom, the rule was last held against the organiser's.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RuleChecked {
    /// The day.
    pub on: NaiveDate,
    /// Initials.
    pub by: String,
}

impl RuleChecked {
    /// Whether the check is a year old or less on `today`; one in the future counts as none.
    pub fn holds_on(&self, today: NaiveDate) -> bool {
        let age = today.signed_duration_since(self.on);
        age >= TimeDelta::zero() && age <= TimeDelta::days(366)
    }
}

/// The part of a paper that marking and the clock need; a sitting's file carries it along.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Outline {
    /// The paper's id.
    #[serde(deserialize_with = "read_on_one_line")]
    pub id: String,
    /// The paper's title.
    #[serde(deserialize_with = "read_on_one_line")]
    pub title: String,
    /// Which version of the questions it is.
    pub fingerprint: Fingerprint,
    /// How many questions there are.
    pub questions: u16,
    /// The option labels of every question that has none of its own.
    pub options: Labels,
    /// Questions with option labels of their own.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub own_options: BTreeMap<QuestionNo, Labels>,
    /// The marking rule.
    #[serde(deserialize_with = "read_rule")]
    pub rule: Rule,
    /// The awards, lowest boundary first.
    #[serde(
        default,
        deserialize_with = "read_awards",
        skip_serializing_if = "Vec::is_empty"
    )]
    pub awards: Vec<Award>,
    /// When and by whom the rule was last checked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rule_checked: Option<RuleChecked>,
    /// Whether the questions were on the screen; if not, a printed paper lay beside it.
    #[serde(default)]
    pub on_screen: bool,
}

/// A paper's file says where a name can't be shown; a record's are made fit.
fn read_rule<'de, D: Deserializer<'de>>(from: D) -> Result<Rule, D::Error> {
    let mut rule = Rule::deserialize(from)?;
    for section in &mut rule.sections {
        section.name = on_one_line(&section.name);
    }
    Ok(rule)
}

/// See [`read_rule`].
fn read_awards<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<Award>, D::Error> {
    let mut awards = Vec::<Award>::deserialize(from)?;
    for award in &mut awards {
        award.name = on_one_line(&award.name);
    }
    Ok(awards)
}

impl Outline {
    /// The labels of `question`'s options.
    pub fn labels(&self, question: QuestionNo) -> &Labels {
        self.own_options.get(&question).unwrap_or(&self.options)
    }

    /// Every question's number, in order.
    pub fn numbers(&self) -> impl Iterator<Item = QuestionNo> + use<> {
        (1..=self.questions).map(QuestionNo)
    }
}

/// One question as printed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Question {
    /// What it is about, for practice.
    pub topics: Vec<String>,
    /// Its words, where the paper is on the screen.
    pub stem: Option<String>,
    /// A figure drawn with characters, to be shown as it stands.
    pub figure: Option<String>,
    /// The same figure in words, for whoever does not see it.
    pub figure_words: Option<String>,
    /// The options' texts, one for each label; none where the paper is printed.
    pub options: Vec<String>,
}

/// A whole, checked paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paper {
    /// What marking and the clock need.
    pub outline: Outline,
    /// The time that everybody is allowed.
    pub allowed: Elapsed,
    /// Lines to read out before the start.
    pub conditions: Vec<String>,
    /// Earlier years' boundaries.
    pub past: Vec<PastBoundaries>,
    /// How a group's awards are shared out, where the paper says.
    pub shares: Option<AwardShares>,
    /// Where the questions come from.
    pub source: Option<String>,
    /// By which right they are used.
    pub right_to_use: Option<String>,
    /// The questions; entry `i` is question `i + 1`.
    pub questions: Vec<Question>,
}

impl Paper {
    /// The fingerprint of each question that has words.
    pub fn question_fingerprints(&self) -> BTreeMap<QuestionNo, Fingerprint> {
        let questions = self.questions.iter().enumerate();
        let own = questions.filter_map(|(index, question)| {
            Some((QuestionNo::from_index(index), question.text_fingerprint()?))
        });
        own.collect()
    }

    /// The year that its source, its title or its id names, the first of them that does.
    pub fn year(&self) -> Option<u16> {
        let outline = &self.outline;
        let texts = [
            self.source.as_deref(),
            Some(&outline.title),
            Some(&outline.id),
        ];
        texts.into_iter().flatten().find_map(year_in)
    }

    /// A question by its number.
    pub fn question(&self, number: QuestionNo) -> Option<&Question> {
        self.questions.get(number.index())
    }
}

/// The first number of four digits that is a year of this century or the last.
fn year_in(text: &str) -> Option<u16> {
    let numbers = text.split(|c: char| !c.is_ascii_digit());
    let years = numbers.filter(|digits| digits.len() == 4);
    let mut years = years.filter_map(|digits| digits.parse().ok());
    years.find(|year| (1900..2100).contains(year))
}

/// Which version of which paper.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PaperId {
    id: String,
    fingerprint: String,
}

impl PaperId {
    /// That version of the paper with this id.
    pub fn new(id: &str, version: &Fingerprint) -> Self {
        Self {
            id: id.to_owned(),
            fingerprint: version.to_string(),
        }
    }

    /// The paper's id with its fingerprint.
    pub fn of(outline: &Outline) -> Self {
        Self::new(&outline.id, &outline.fingerprint)
    }

    /// The paper's id, without its version.
    pub fn id(&self) -> &str {
        &self.id
    }
}

impl Question {
    /// The fingerprint of its stem, figure and options; `None` for a question without words.
    pub fn text_fingerprint(&self) -> Option<Fingerprint> {
        let stem = self
            .stem
            .as_deref()
            .filter(|stem| !stem.trim().is_empty())?;
        let figure = self.figure.as_deref().unwrap_or_default();
        let options = self.options.iter().map(String::as_str);
        Some(Fingerprint::of([stem, figure].into_iter().chain(options)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fingerprint_tells_parts_apart() {
        assert_eq!(Fingerprint::of(["ab", "c"]), Fingerprint::of(["ab", "c"]));
        assert_ne!(Fingerprint::of(["ab", "c"]), Fingerprint::of(["a", "bc"]));
        assert_eq!(Fingerprint::of([]).to_string(), "e3b0c44298fc1c14"); // SHA-256 of nothing, FIPS 180-4 (from memory)
    }

    #[test]
    fn a_rule_checked_over_a_year_ago_no_longer_holds() {
        let day = |y, m, d| NaiveDate::from_ymd_opt(y, m, d).unwrap();
        let checked = RuleChecked {
            on: day(2025, 9, 3),
            by: "K.".into(),
        };
        assert!(checked.holds_on(day(2025, 9, 3)));
        assert!(checked.holds_on(day(2026, 9, 3)));
        assert!(!checked.holds_on(day(2026, 9, 5)));
        assert!(!checked.holds_on(day(2025, 9, 2)));
    }
}
