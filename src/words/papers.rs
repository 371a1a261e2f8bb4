//! What the list of papers says of each.

use crate::domain::header::Alias;
use crate::domain::paper::Paper;
use crate::season::exposure::{Exposure, SatBy};
use crate::words::count::counted;
use crate::words::time::{day, time_in_words};

/// A paper's title, with the id that commands take.
pub fn title(paper: &Paper) -> String {
    format!("{} ({})", paper.outline.title, paper.outline.id)
}

/// Its size, its year, its key and whether its rule was checked.
pub fn about(paper: &Paper, has_key: bool) -> String {
    let year = paper
        .year()
        .map_or_else(String::new, |year| format!("{year}. "));
    let questions = counted(usize::from(paper.outline.questions), "question");
    let time = time_in_words(paper.allowed);
    let key = if has_key {
        "Answer key found."
    } else {
        "No answer key here."
    };
    let rule = match &paper.outline.rule_checked {
        Some(checked) => format!("Rule checked {} by {}.", day(checked.on), bare(&checked.by)),
        None => "Nobody has recorded a check of its rule.".to_owned(),
    };
    format!("{year}{questions}, {time}. {key} {rule}")
}

/// A text without the full stop that it may end in.
fn bare(text: &str) -> &str {
    text.trim_end().trim_end_matches('.')
}

/// Where it comes from, and by which right it is used.
pub fn source(paper: &Paper) -> String {
    let source = match &paper.source {
        Some(source) => format!("Source: {}.", bare(source)),
        None => "No source is given.".to_owned(),
    };
    let right = match &paper.right_to_use {
        Some(right) => format!("Right to use: {}.", bare(right)),
        None => "No right to use it is given.".to_owned(),
    };
    format!("{source} {right}")
}

/// Who has sat it, and when.
pub fn sat(exposure: &Exposure) -> Option<String> {
    let sitting = |one: &SatBy| {
        let day = day(one.started.date_naive());
        let typed_in = if one.typed_in { ", on paper" } else { "" };
        let withdrawn = one.withdrawn.map(|reason| format!(", {}", reason.words()));
        let withdrawn = withdrawn.unwrap_or_default();
        if typed_in.is_empty() && withdrawn.is_empty() {
            format!("{} {day}", one.pupil)
        } else {
            format!(
                "{} {day} ({})",
                one.pupil,
                format!("{typed_in}{withdrawn}").trim_start_matches(", ")
            )
        }
    };
    let each: Vec<_> = exposure.sat.iter().map(sitting).collect();
    (!each.is_empty()).then(|| format!("Sat by {}.", each.join(", ")))
}

/// Who has met its questions on other papers.
pub fn met(exposure: &Exposure) -> Option<String> {
    let sat = |pupil: &Alias| exposure.sat.iter().any(|one| one.pupil == *pupil);
    let others = exposure.met.iter().filter(|(pupil, _)| !sat(pupil));
    let each = others.map(|(pupil, own)| format!("{pupil} {} of {}", own.met, own.asked));
    let each: Vec<_> = each.collect();
    (!each.is_empty()).then(|| format!("Questions met on other papers: {}.", each.join(", ")))
}

/// The papers that are new to everybody.
pub fn nobody_has_met(ids: &[&str], pupils: usize) -> String {
    match (ids, pupils) {
        (_, 0) => "There are no sittings here yet, so every paper is new.".to_owned(),
        ([], _) => "Every paper has a question that one of these pupils has met.".to_owned(),
        (ids, _) => format!("New to {}: {}.", counted(pupils, "pupil"), ids.join(", ")),
    }
}
