//! Paper files, `NAME.paper.ron`: from what a tutor writes to a checked [`Paper`].

mod awards;
mod rule;
mod year;

use std::collections::BTreeMap;
use std::path::Path;

use chrono::{Datelike as _, NaiveDate};
use serde::Deserialize;

use super::locate::{Places, Spot};
use super::outline_only::OutlineOnly;
use super::problem::{FileTrouble, Findings, MOST_ENTRIES, Problem};
use super::raw::Number;
use super::read::{self, Sound};
use super::text::Shape;
use crate::domain::labels::Labels;
use crate::domain::mark::Mark;
use crate::domain::paper::{Fingerprint, MOST_QUESTIONS, Outline, Paper, Question, RuleChecked};
use crate::domain::rule::{QuestionNo, Rule};

pub use awards::most_marks;

/// The version of the paper file that this program writes; it reads all up to it.
pub const PAPER_FORMAT: u32 = 2;

/// Loads a paper that is sound.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn load(path: &Path) -> Result<Paper, FileTrouble> {
    read(path, None).map(|sound| sound.value)
}

/// Reads a paper with the notes on it; with `today`, a rule checked after that day is wrong.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn read(path: &Path, today: Option<NaiveDate>) -> Result<Sound<Paper>, FileTrouble> {
    from_bytes(path, &read::bytes(path)?, today)
}

/// Reads a paper from the bytes of a file; `path` only names it.
///
/// # Errors
/// Everything that is wrong with them.
pub fn from_bytes(
    path: &Path,
    bytes: &[u8],
    today: Option<NaiveDate>,
) -> Result<Sound<Paper>, FileTrouble> {
    read::sound(path, bytes, PAPER_FORMAT, |form: PaperForm, findings| {
        form.mean(today, findings)
    })
}

/// Notes `sentence` on some questions of a paper's file, each where the question begins in it;
/// nothing where the file cannot be read.
pub fn note_on(path: &Path, questions: &[QuestionNo], sentence: &str) -> Vec<Problem> {
    let bytes = read::bytes(path).ok();
    let text = bytes.as_deref().and_then(|bytes| read::text(bytes).ok());
    let Some(text) = text else {
        return Vec::new();
    };
    let places = Places::new(&text);
    let mut findings = Findings::new(&places);
    for question in questions {
        let spot = Spot::top().at("questions").item(question.index());
        findings.note(&spot, sentence);
    }
    findings.finish()
}

/// What can be read of a paper whose file may be wrong in any way; nothing where it is no text.
pub fn outline_only(path: &Path) -> Option<OutlineOnly> {
    let bytes = read::bytes(path).ok()?;
    let text = read::text(&bytes).ok()?;
    let places = Places::new(&text);
    let written = |spot: &Spot| ron::from_str::<String>(places.written(spot)?).ok();
    let (top, list) = (Spot::top(), Spot::top().at("questions"));
    let form: Option<PaperForm> = read::form(&text).ok();
    let mut found = OutlineOnly {
        id: written(&top.at("id")),
        ..OutlineOnly::default()
    };
    // Behind a bracket or quotation mark that is left open nothing need be where it seems to be.
    if places.unclosed && form.is_none() {
        return Some(found);
    }
    found.questions = places.count(&list).filter(|count| *count > 0);
    let labels = |text: String| Labels::new(&text).ok();
    found.options = written(&top.at("options")).and_then(labels);
    for index in 0..found.questions.unwrap_or(0).min(MOST_QUESTIONS) {
        let spot = list.item(index).at("labels");
        if places.written(&spot).is_some() {
            let own = written(&spot).and_then(labels);
            found.own_options.insert(QuestionNo::from_index(index), own);
        }
    }
    let fits = found.questions.is_some_and(|count| count <= MOST_QUESTIONS);
    if let Some(form) = form.filter(|_| fits && found.unread() == ["the fingerprint"]) {
        let mut findings = Findings::new(&places);
        let (questions, own) = questions(form.questions, found.options.as_ref(), &mut findings);
        let options = found.options.as_ref();
        found.fingerprint = options.map(|options| fingerprint(&form.id, options, &own, &questions));
    }
    Some(found)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Paper")]
struct PaperForm {
    format: u32,
    id: String,
    title: String,
    minutes: Number,
    options: String,
    #[serde(default)]
    conditions: Vec<String>,
    rule_checked: Option<CheckedForm>,
    rule: rule::RuleForm,
    #[serde(default)]
    awards: Vec<awards::AwardForm>,
    #[serde(default)]
    past: Vec<awards::PastForm>,
    shares: Option<awards::SharesForm>,
    source: Option<String>,
    right_to_use: Option<String>,
    questions: Vec<QuestionForm>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "RuleChecked")]
struct CheckedForm {
    on: String,
    by: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Question")]
struct QuestionForm {
    #[serde(default)]
    topics: Vec<String>,
    stem: Option<String>,
    figure: Option<String>,
    figure_words: Option<String>,
    #[serde(default)]
    options: Vec<String>,
    labels: Option<String>,
}

impl PaperForm {
    fn mean(self, today: Option<NaiveDate>, findings: &mut Findings<'_>) -> Option<Paper> {
        let top = Spot::top();
        findings.id(&top.at("id"), &self.id);
        findings.text(&top.at("title"), &self.title, Shape::Line);
        let most = findings.within(&top.at("conditions"), self.conditions.len());
        for (index, line) in self.conditions.iter().take(most).enumerate() {
            findings.text(&top.at("conditions").item(index), line, Shape::Lines);
        }
        self.newer_fields(findings);
        for (field, text) in [
            ("source", &self.source),
            ("right_to_use", &self.right_to_use),
        ] {
            if let Some(text) = text {
                findings.text(&top.at(field), text, Shape::Lines);
            }
        }
        let allowed = self.minutes.minutes(&top.at("minutes"), findings);
        let checked = self.rule_checked.map(|c| c.mean(today, findings));
        let count = self.questions.len();
        count_is_fine(count, findings);
        let rule = self.rule.mean(count, findings);
        if let Some(rule) = &rule {
            start_is_said(rule, &self.conditions, findings);
        }
        topics_spelt_once(&self.questions, findings);
        let names = awards::Awards::mean(self.awards, rule.as_ref(), findings);
        let past = names.past(self.past, rule.as_ref(), findings);
        let shares = self.shares.map(|shares| names.shares(&shares, findings));
        let options = labels(&top.at("options"), &self.options, findings);
        let (questions, own_options) = questions(self.questions, options.as_ref(), findings);
        let options = options?;
        let fingerprint = fingerprint(&self.id, &options, &own_options, &questions);
        Some(Paper {
            outline: Outline {
                id: self.id,
                title: self.title,
                fingerprint,
                questions: u16::try_from(count).ok()?,
                options,
                own_options,
                rule: rule?,
                awards: names.awards,
                rule_checked: match checked {
                    Some(checked) => Some(checked?),
                    None => None,
                },
                on_screen: questions.iter().any(|question| question.stem.is_some()),
            },
            allowed: allowed?,
            conditions: self.conditions,
            past,
            shares: match shares {
                Some(shares) => Some(shares?),
                None => None,
            },
            source: self.source,
            right_to_use: self.right_to_use,
            questions,
        })
    }

    /// A file that says format 1 has none of the fields that came later.
    fn newer_fields(&self, findings: &mut Findings<'_>) {
        findings.of_format_2(self.format, "shares", self.shares.is_some());
        findings.of_format_2(self.format, "source", self.source.is_some());
        findings.of_format_2(self.format, "right_to_use", self.right_to_use.is_some());
        let questions = self.questions.iter().take(MOST_QUESTIONS).enumerate();
        for (index, _) in questions.filter(|(_, form)| form.figure_words.is_some()) {
            if self.format < 2 {
                findings.wrong(
                    &Spot::top().at("questions").item(index).at("figure_words"),
                    "the field `figure_words` needs format 2; write format: 2 at the top",
                );
            }
        }
    }
}

/// Notes a start below zero that no line tells the pupils.
fn start_is_said(rule: &Rule, conditions: &[String], findings: &mut Findings<'_>) {
    let taken = -rule.start;
    let said = |line: &String| line.contains(&taken.to_string());
    if taken > Mark::ZERO && !conditions.iter().any(said) {
        findings.note(
            &Spot::top().at("rule").at("start"),
            format!("everybody starts from {} marks, but no line of `conditions` says so; add one for the pupils to hear", rule.start),
        );
    }
}

/// Notes topics that stand on one question only, where others are shared: often one of two spellings.
fn topics_spelt_once(questions: &[QuestionForm], findings: &mut Findings<'_>) {
    let mut places = BTreeMap::<&str, Vec<Spot>>::new();
    for (index, question) in questions.iter().take(MOST_QUESTIONS).enumerate() {
        let list = Spot::top().at("questions").item(index).at("topics");
        let topics = question.topics.iter().take(MOST_ENTRIES).enumerate();
        for (place, topic) in topics {
            places.entry(topic).or_default().push(list.item(place));
        }
    }
    let shared = places.values().any(|spots| spots.len() > 1);
    for (topic, spots) in places.into_iter().filter(|_| shared) {
        if let [spot] = spots.as_slice() {
            findings.note(
                spot,
                format!("only this question has the topic {topic:?}; check how it's spelt"),
            );
        }
    }
}

fn count_is_fine(count: usize, findings: &mut Findings<'_>) {
    let spot = Spot::top().at("questions");
    if count == 0 {
        findings.wrong(
            &spot,
            "the paper has no questions; write an entry for each, if only an empty one: ()",
        );
    } else if count > MOST_QUESTIONS {
        findings.wrong(
            &spot,
            format!("the paper has {count} questions, but the most is {MOST_QUESTIONS}; divide it into several papers"),
        );
    }
}

impl CheckedForm {
    fn mean(self, today: Option<NaiveDate>, findings: &mut Findings<'_>) -> Option<RuleChecked> {
        let spot = Spot::top().at("rule_checked");
        findings.text(&spot.at("by"), &self.by, Shape::Line);
        let on = self.on.parse::<NaiveDate>().ok();
        match on {
            None => findings.wrong(
                &spot.at("on"),
                format!("{:?} isn't a date; write year-month-day, such as \"2026-09-03\"", self.on),
            ),
            Some(on) if today.is_some_and(|today| on > today) => findings.wrong(
                &spot.at("on"),
                format!("the rule cannot have been checked on {on}, a day in the future; write the day it was checked"),
            ),
            Some(on) => year::is_likely(&spot.at("on"), on.year(), findings),
        }
        Some(RuleChecked {
            on: on?,
            by: self.by,
        })
    }
}

fn labels(spot: &Spot, text: &str, findings: &mut Findings<'_>) -> Option<Labels> {
    let labels = Labels::new(text);
    labels.map_err(|error| findings.wrong(spot, error)).ok()
}

/// Checks the questions, as many as a paper may have.
fn questions(
    forms: Vec<QuestionForm>,
    usual: Option<&Labels>,
    findings: &mut Findings<'_>,
) -> (Vec<Question>, BTreeMap<QuestionNo, Labels>) {
    let list = Spot::top().at("questions");
    let mut own = BTreeMap::new();
    let (with_stem, all) = (
        forms.iter().filter(|form| form.stem.is_some()).count(),
        forms.len(),
    );
    if let Some(bare) = forms.iter().position(|form| form.stem.is_none())
        && with_stem > 0
    {
        findings.note(
            &list.item(bare),
            format!("it has no stem, although {with_stem} of {all} questions have one; write one, or make sure that the pupil has it on paper"),
        );
    }
    let mut questions = Vec::new();
    for (index, form) in forms.into_iter().take(MOST_QUESTIONS).enumerate() {
        let spot = list.item(index);
        let number = QuestionNo::from_index(index);
        let own_labels = form
            .labels
            .as_deref()
            .map(|text| labels(&spot.at("labels"), text, findings));
        let count = match &own_labels {
            Some(own) => own.as_ref().map(Labels::len),
            None => usual.map(Labels::len),
        };
        if let Some(Some(labels)) = own_labels {
            own.insert(number, labels);
        }
        form.check(&spot, count, findings);
        questions.push(Question {
            topics: form.topics,
            stem: form.stem,
            figure: form.figure,
            figure_words: form.figure_words,
            options: form.options,
        });
    }
    (questions, own)
}

impl QuestionForm {
    fn check(&self, spot: &Spot, labels: Option<usize>, findings: &mut Findings<'_>) {
        let most = findings.within(&spot.at("topics"), self.topics.len());
        for (index, topic) in self.topics.iter().take(most).enumerate() {
            findings.text(&spot.at("topics").item(index), topic, Shape::Line);
        }
        if let Some(stem) = &self.stem {
            findings.text(&spot.at("stem"), stem, Shape::Lines);
            if self.options.is_empty() {
                findings.note(
                    spot,
                    "it has a stem but no option texts; write them, unless the stem or the figure shows them",
                );
            }
        }
        if let Some(figure) = &self.figure {
            let spot = spot.at("figure");
            findings.figure(&spot, figure);
            if self.figure_words.is_none() {
                findings.note(
                    &spot,
                    "nobody who listens to the paper learns what it shows; say it in figure_words, in a sentence or two that don't give the answer (format 2)",
                );
            }
        }
        if let Some(words) = &self.figure_words {
            let spot = spot.at("figure_words");
            findings.text(&spot, words, Shape::Lines);
            if self.figure.is_none() {
                findings.wrong(
                    &spot,
                    "there's no figure for these words to describe; add the figure, or leave the words out",
                );
            }
        }
        let list = spot.at("options");
        let texts = self.options.len();
        if let Some(labels) = labels.filter(|labels| texts != 0 && texts != *labels) {
            findings.wrong(
                &list,
                format!("there are {texts} option texts but {labels} option labels; write one text for each label"),
            );
        }
        let most = findings.within(&list, texts);
        for (index, text) in self.options.iter().take(most).enumerate() {
            findings.text(&list.item(index), text, Shape::Lines);
            let before = self.options.iter().take(index);
            if before.into_iter().any(|other| other.trim() == text.trim()) {
                findings.wrong(
                    &list.item(index),
                    format!("the option text {text:?} is there twice; make the two different"),
                );
            }
        }
    }
}

/// The fingerprint of what decides which answers are right.
fn fingerprint(
    id: &str,
    usual: &Labels,
    own: &BTreeMap<QuestionNo, Labels>,
    questions: &[Question],
) -> Fingerprint {
    let mut parts = vec![id.to_owned()];
    for (index, question) in questions.iter().enumerate() {
        let labels = own.get(&QuestionNo::from_index(index)).unwrap_or(usual);
        parts.push(labels.to_string());
        parts.push(question.stem.clone().unwrap_or_default());
        parts.push(question.figure.clone().unwrap_or_default());
        if question.options.is_empty() {
            parts.push(String::new());
        }
        parts.extend(question.options.iter().cloned());
    }
    Fingerprint::of(parts.iter().map(String::as_str))
}
