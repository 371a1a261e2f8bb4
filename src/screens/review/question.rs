//! The page of one question: why it went as it did, what it cost, and the question itself.

use super::said;
use super::study::{QuestionFacts, Study};
use super::view::View;
use crate::domain::key::Note;
use crate::domain::labels::Label;
use crate::domain::marking::Outcome;
use crate::domain::rule::QuestionNo;
use crate::screens::kit::{PageWriter, WIDE};
use crate::words::cause::means;
use crate::words::review as words;
use crate::words::text::clean_lines;
use crate::words::time::day;

pub(super) fn write(ink: &mut PageWriter, study: &Study, view: &View) {
    let Some(facts) = study.facts(view.question) else {
        return;
    };
    if ink.width < WIDE {
        why(ink, study, facts);
        notes(ink, study, facts.number);
        ink.blank();
        itself(ink, study, facts);
        return findings(ink, study, facts.number);
    }
    ink.two(
        |ink| {
            why(ink, study, facts);
            notes(ink, study, facts.number);
            findings(ink, study, facts.number);
        },
        |ink| itself(ink, study, facts),
    );
}

/// The tutor's notes on the key's page, where there is one.
pub(super) fn note(study: &Study, number: QuestionNo) -> Option<&Note> {
    study.known.as_ref()?.key.notes.get(&number)
}

fn why(ink: &mut PageWriter, study: &Study, facts: &QuestionFacts) {
    ink.bold(&said::became(study, facts));
    said::no_key(ink, study, words::WHETHER_RIGHT);
    if facts.outcome == Some(Outcome::Wrong)
        && let Some(given) = facts.given
    {
        let style = ink.theme.notice;
        match meaning(study, facts.number, given) {
            Some(said) => ink.signed(&format!("{given} "), style, &format!("says: {said}")),
            None => ink.text(&words::key_says_nothing(given)),
        }
    }
    ink.text(&said::effort(study, facts));
    if let Some(sunk) = facts.sunk {
        ink.text(&words::sunk(sunk));
    }
    if let Some((right, marked)) = facts.right_in_group {
        ink.text(&words::right_in_group(right, marked));
    }
}

/// What a wrong option says about the mistake.
pub(super) fn meaning(study: &Study, number: QuestionNo, option: Label) -> Option<&str> {
    let note = note(study, number)?;
    note.distractors.get(&option).map(String::as_str)
}

/// What the chosen option says about the mistake, where it is wrong and the key says it.
pub(super) fn chosen_says<'a>(study: &'a Study, facts: &QuestionFacts) -> Option<&'a str> {
    let given = facts
        .given
        .filter(|_| facts.outcome == Some(Outcome::Wrong))?;
    meaning(study, facts.number, given)
}

fn notes(ink: &mut PageWriter, study: &Study, number: QuestionNo) {
    let Ok(notes) = &study.opened.notes else {
        return;
    };
    let Some(said) = notes.questions.get(&number) else {
        return;
    };
    let mut text = said.cause.map_or_else(String::new, |cause| {
        format!("Cause: {} ({}). ", cause.word(), means(cause))
    });
    text.push_str(&said.text);
    let day = day(said.at.date_naive());
    let by = if said.by.is_empty() {
        "the tutor"
    } else {
        &said.by
    };
    let style = ink.theme.flag;
    ink.signed("Note: ", style, &format!("{} ({by}, {day})", text.trim()));
}

fn findings(ink: &mut PageWriter, study: &Study, number: QuestionNo) {
    let own: Vec<_> = study
        .all
        .iter()
        .filter(|told| told.questions.contains(&number))
        .collect();
    if own.is_empty() {
        return;
    }
    ink.block(words::HOUR_SAYS);
    for told in own {
        ink.signed("- ", ratatui::style::Style::new(), &told.words);
    }
}

fn itself(ink: &mut PageWriter, study: &Study, facts: &QuestionFacts) {
    let number = facts.number;
    let question = study
        .opened
        .paper
        .as_ref()
        .and_then(|paper| paper.question(number));
    ink.heading(&format!("Question {number}"));
    match question.map(|question| (question, &question.stem)) {
        None => ink.text(words::PAPER_NOT_AT_HAND),
        Some((_, None)) => ink.text(words::PAPER_PRINTED),
        Some((question, Some(stem))) => {
            ink.text(stem);
            if let Some(drawn) = &question.figure {
                clean_lines(drawn).lines().for_each(|line| ink.plain(line));
            }
        }
    }
    let texts = question
        .map(|question| question.options.as_slice())
        .unwrap_or_default();
    options(ink, study, facts, texts);
    if let Some(question) = question.filter(|question| !question.topics.is_empty()) {
        ink.text(&format!("Topics: {}.", question.topics.join(", ")));
    }
    if let Some(note) = note(study, number) {
        if let Some(hint) = &note.hint {
            ink.block("Hint");
            ink.text(hint);
        }
        if let Some(working) = &note.working {
            ink.block("Working");
            ink.text(working);
        }
    }
}

fn options(ink: &mut PageWriter, study: &Study, facts: &QuestionFacts, texts: &[String]) {
    let number = facts.number;
    let known = study.known.as_ref();
    for (index, label) in study.opened.header.paper.labels(number).iter().enumerate() {
        let right = known.is_some_and(|known| known.key.accepts(number, label));
        let chosen = facts.given == Some(label);
        let mark = match (right, chosen) {
            (true, true) => " <- chosen, right",
            (true, false) => " <- right",
            (false, true) => " <- chosen",
            (false, false) => "",
        };
        let said = meaning(study, number, label).filter(|_| !chosen);
        let said = said.map_or_else(String::new, |said| format!(" ({said})"));
        let text = texts.get(index).map_or("", String::as_str);
        let (open, close) = if chosen { ("[", "]") } else { (" ", " ") };
        let style = if chosen {
            ink.theme.filled
        } else {
            ratatui::style::Style::new()
        };
        ink.signed(
            &format!("{open}{label}{close} "),
            style,
            format!("{text}{mark}{said}").trim_start(),
        );
    }
}
