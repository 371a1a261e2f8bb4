//! A sitting told line by line: no table, no sign, no column, each line a sentence of its own.

use super::marks::went;
use super::question::{chosen_says, meaning, note};
use super::said;
use super::study::{QuestionFacts, Study};
use crate::analysis::{Keyed, SectionPace, per_minute};
use crate::domain::marking::Outcome;
use crate::domain::notes::Cause;
use crate::domain::rule::QuestionNo;
use crate::domain::thresholds::Limit;
use crate::domain::time::Elapsed;
use crate::words::aloud::{figure, questions_aloud};
use crate::words::cause::means;
use crate::words::luck::of_a_sitting;
use crate::words::review as words;
use crate::words::review_aloud as told;

/// A part of a sitting that can be heard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpokenPart {
    /// What a tutor would say.
    Findings,
    /// The marks, the awards, the sections, and how the time went.
    Marks,
    /// The time on each question.
    Time,
    /// One question.
    Question(QuestionNo),
}

/// The lines of a part.
pub(super) fn lines(study: &Study, part: SpokenPart) -> Vec<String> {
    let lines = match part {
        SpokenPart::Findings => findings(study),
        SpokenPart::Marks => marks(study),
        SpokenPart::Time => time(study),
        // The paper's own words stay as they are.
        SpokenPart::Question(number) => return question(study, number),
    };
    lines.iter().map(|line| questions_aloud(line)).collect()
}

/// Whose sitting it is, and what has to be known of it first.
pub(super) fn title(study: &Study) -> Vec<String> {
    let mut lines = vec![format!("{}.", study.title(usize::MAX))];
    lines.extend(study.opened.remarks.iter().cloned());
    lines
}

fn findings(study: &Study) -> Vec<String> {
    let mut lines: Vec<String> = study
        .why_unmarked(words::WHAT_WAS_EARNED)
        .into_iter()
        .collect();
    if study.all.is_empty() {
        lines.push(words::NOTHING_STANDS_OUT.to_owned());
    }
    let mut tone = None;
    for told in &study.all {
        if tone != Some(told.tone) {
            tone = Some(told.tone);
            lines.push(format!("{}:", words::tone(told.tone)));
        }
        lines.push(told.words.trim_end().to_owned());
    }
    let least = study.opened.limits.count(Limit::GroupLeast);
    let people = study.group.as_ref().map(|group| group.people);
    lines.push(words::held_against(people, least));
    lines
}

fn marks(study: &Study) -> Vec<String> {
    let mut lines = Vec::new();
    match &study.known {
        Some(known) => lines.extend(marked(known)),
        None => lines.extend(study.why_unmarked(words::MARKS_AWARDS_SIGNS)),
    }
    lines.extend(said::about_times(study));
    lines.extend(went(study));
    for outcome in [
        Outcome::Right,
        Outcome::Wrong,
        Outcome::Blank,
        Outcome::Void,
    ] {
        let own = study.facts.iter();
        let own = own.filter(|facts| facts.outcome == Some(outcome));
        let own: Vec<_> = own.map(|facts| facts.number).collect();
        lines.extend(told::with_outcome(outcome, &own));
    }
    let late = study.facts.iter().filter(|facts| facts.after_time);
    let late: Vec<_> = late.map(|facts| facts.number).collect();
    lines.extend(told::after_time(&late));
    lines.extend(notes(study));
    if study.known.is_some() {
        lines.push(words::NOT_OFFICIAL.to_owned());
    }
    lines
}

fn marked(known: &Keyed) -> Vec<String> {
    let marks = &known.marks;
    let (in_time, round) = (marks.in_time.total, marks.with_guess_round.total);
    let round = Some(round).filter(|round| *round != in_time);
    let mut lines = vec![
        format!("{}.", words::mark_in_time(in_time, marks.max())),
        words::other_marks(marks.worked.total, round),
    ];
    lines.extend(of_a_sitting(&marks.luck));
    let awards = marks.awards.iter().rev();
    lines.extend(awards.map(|award| format!("{}.", words::award(award))));
    let paces = &known.earned.sections;
    lines.extend(marks.with_guess_round.sections.iter().map(|section| {
        let pace = paces.iter().find(|pace| pace.name == section.name);
        let time = pace.and_then(|pace| pace.time);
        let rate = |pace: &SectionPace| per_minute(pace.earned, pace.time?);
        told::section(section, time, pace.and_then(rate))
    }));
    lines
}

/// The causes that the tutor has set, and the note on the whole.
fn notes(study: &Study) -> Vec<String> {
    let notes = match &study.opened.notes {
        Ok(notes) => notes,
        Err(reason) => return vec![reason.clone()],
    };
    let causes = Cause::ALL.into_iter().filter_map(|cause| {
        let of = |facts: &&QuestionFacts| notes.cause(facts.number) == Some(cause);
        let own: Vec<_> = study.facts.iter().filter(of).collect();
        let lost = own.iter().filter_map(|facts| facts.lost()).sum();
        let numbers: Vec<_> = own.iter().map(|facts| facts.number).collect();
        told::cause(cause, lost, &numbers)
    });
    let mut lines: Vec<String> = causes.collect();
    lines.extend(study.steps());
    let whole = notes.whole.as_ref();
    let whole = whole.filter(|said| !said.text.is_empty());
    lines.extend(whole.map(|said| told::note(&said.by, &said.text)));
    lines
}

fn time(study: &Study) -> Vec<String> {
    let mut lines = said::about_times(study);
    lines.extend(study.facts.iter().map(|facts| {
        let outcome = facts.outcome.map(Outcome::word);
        told::time_on(facts.number, outcome, &said::effort(study, facts))
    }));
    let whole = study.analysis.whole();
    let breaks = whole.breaks + whole.away;
    if breaks > Elapsed::ZERO {
        lines.push(told::breaks_apart(breaks));
    }
    lines
}

fn question(study: &Study, number: QuestionNo) -> Vec<String> {
    let Some(facts) = study.facts(number) else {
        return Vec::new();
    };
    let mut lines = vec![said::became(study, facts)];
    lines.extend(study.why_unmarked(words::WHETHER_RIGHT));
    if let Some(given) = facts
        .given
        .filter(|_| facts.outcome == Some(Outcome::Wrong))
    {
        let says = chosen_says(study, facts);
        lines.push(says.map_or_else(
            || words::key_says_nothing(given),
            |says| told::option_says(given, says),
        ));
    }
    lines.push(said::effort(study, facts));
    lines.extend(facts.sunk.map(words::sunk));
    let group = facts.right_in_group;
    lines.extend(group.map(|(right, marked)| words::right_in_group(right, marked)));
    if let Ok(notes) = &study.opened.notes
        && let Some(said) = notes.questions.get(&number)
    {
        lines.extend(said.cause.map(|cause| told::set_cause(cause, means(cause))));
        if !said.text.is_empty() {
            lines.push(told::note(&said.by, &said.text));
        }
    }
    lines.extend(itself(study, facts));
    lines
}

/// The question's own words, with what each option says.
fn itself(study: &Study, facts: &QuestionFacts) -> Vec<String> {
    let number = facts.number;
    let paper = study.opened.paper.as_ref();
    let printed = paper.and_then(|paper| paper.question(number));
    let mut lines = Vec::new();
    match printed.map(|question| (question, &question.stem)) {
        None => lines.push(words::PAPER_NOT_AT_HAND.to_owned()),
        Some((_, None)) => lines.push(words::PAPER_PRINTED.to_owned()),
        Some((question, Some(stem))) => {
            lines.push(told::THE_QUESTION.to_owned());
            lines.extend(stem.lines().map(str::to_owned));
            match (&question.figure, &question.figure_words) {
                (Some(_), Some(said)) => lines.push(figure(said)),
                (Some(drawn), None) => lines.extend(drawn.lines().map(str::to_owned)),
                (None, _) => {}
            }
        }
    }
    let labels = study.opened.header.paper.labels(number);
    let known = study.known.as_ref();
    let texts = printed.map(|question| question.options.as_slice());
    let mut texts = texts.unwrap_or_default().iter();
    lines.extend(labels.iter().map(|label| {
        let chosen = facts.given == Some(label);
        told::option(&told::OptionSaid {
            label,
            text: texts.next().map_or("", String::as_str),
            chosen,
            right: known.is_some_and(|known| known.key.accepts(number, label)),
            // Of the chosen one it has been told.
            says: meaning(study, number, label).filter(|_| !chosen),
        })
    }));
    let topics = printed.map(|question| question.topics.as_slice());
    let topics = topics.filter(|topics| !topics.is_empty());
    lines.extend(topics.map(|topics| format!("Topics: {}.", topics.join(", "))));
    if let Some(note) = note(study, number) {
        lines.extend(note.hint.as_ref().map(|hint| format!("Hint: {hint}")));
        let working = note.working.as_ref();
        lines.extend(working.map(|working| format!("Working: {working}")));
    }
    lines
}
