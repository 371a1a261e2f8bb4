//! The papers at hand: where they come from, and who knows them; as text and as JSON.

use std::path::Path;
use std::sync::Arc;

use serde::Serialize;

use super::json::written;
use super::text::COLUMNS;
use crate::domain::header::Alias;
use crate::domain::paper::Paper;
use crate::domain::standing::Exclusion;
use crate::season::exposure::{Exposure, SatBy};
use crate::words::papers as words;
use crate::words::text::hanging;
use crate::words::time::file_day;

/// One paper with what is known of it.
#[derive(Clone, Debug)]
pub struct PaperRow<'a> {
    /// Its file.
    pub file: &'a Path,
    /// The paper.
    pub paper: Arc<Paper>,
    /// Whether a key for it was found.
    pub has_key: bool,
    /// Who has sat it, and who has met its questions.
    pub exposure: Exposure,
}

/// The papers of a group.
#[derive(Clone, Debug)]
pub struct PaperRows<'a> {
    /// Those that can be used.
    pub papers: Vec<PaperRow<'a>>,
    /// Those that cannot, each with the reason.
    pub unusable: Vec<(&'a Path, String)>,
    /// How many pupils were looked at.
    pub pupils: usize,
}

/// The page.
pub fn page(rows: &PaperRows<'_>) -> String {
    let mut lines = Vec::new();
    for row in &rows.papers {
        lines.extend(hanging("", &words::title(&row.paper), COLUMNS));
        let said = [
            Some(words::about(&row.paper, row.has_key)),
            Some(words::source(&row.paper)),
            words::sat(&row.exposure),
            words::met(&row.exposure),
        ];
        for sentence in said.into_iter().flatten() {
            lines.extend(hanging("  ", &sentence, COLUMNS));
        }
        lines.push(String::new());
    }
    for (_, reason) in &rows.unusable {
        let problems = reason.lines();
        lines.extend(problems.flat_map(|problem| hanging("! ", problem, COLUMNS)));
    }
    let new = rows.papers.iter().filter(|row| row.exposure.is_new());
    let new: Vec<_> = new.map(|row| row.paper.outline.id.as_str()).collect();
    lines.extend(hanging(
        "",
        &words::nobody_has_met(&new, rows.pupils),
        COLUMNS,
    ));
    lines.join("\n") + "\n"
}

#[derive(Serialize)]
struct PapersOut<'a> {
    pupils: usize,
    papers: Vec<PaperOut<'a>>,
    unusable: Vec<UnusableOut<'a>>,
}

#[derive(Serialize)]
struct PaperOut<'a> {
    paper: &'a str,
    title: &'a str,
    file: String,
    questions: u16,
    minutes: f64,
    #[serde(flatten)]
    origin: OriginOut<'a>,
    has_key: bool,
    sat: Vec<SatOut<'a>>,
    met: Vec<MetOut<'a>>,
    nobody_met: bool,
}

#[derive(Serialize)]
struct OriginOut<'a> {
    year: Option<u16>,
    source: Option<&'a str>,
    right_to_use: Option<&'a str>,
    rule_checked: Option<String>,
}

#[derive(Serialize)]
struct SatOut<'a> {
    pupil: &'a Alias,
    date: String,
    sitting: &'a str,
    typed_in: bool,
    withdrawn: Option<&'static str>,
}

#[derive(Serialize)]
struct MetOut<'a> {
    pupil: &'a Alias,
    met: usize,
    questions: usize,
    sat_before: bool,
}

#[derive(Serialize)]
struct UnusableOut<'a> {
    file: String,
    problem: &'a str,
}

/// The same as JSON: `{pupils, papers: [{paper, title, file, questions, minutes, year, source, right_to_use,
/// rule_checked, has_key, sat: [{pupil, date, sitting, typed_in, withdrawn}], met: [{pupil, met, questions,
/// sat_before}], nobody_met}], unusable: [{file, problem}]}`.
///
/// # Errors
/// What `serde_json` cannot write; with these fields there is nothing of the kind.
pub fn json(rows: &PaperRows<'_>) -> serde_json::Result<String> {
    let unusable = rows.unusable.iter();
    written(&PapersOut {
        pupils: rows.pupils,
        papers: rows.papers.iter().map(paper).collect(),
        unusable: unusable
            .map(|(file, problem)| UnusableOut {
                file: file.to_string_lossy().into_owned(),
                problem,
            })
            .collect(),
    })
}

fn paper<'a>(row: &'a PaperRow<'_>) -> PaperOut<'a> {
    let Paper {
        outline,
        allowed,
        source,
        right_to_use,
        ..
    } = &*row.paper;
    let met = row.exposure.met.iter();
    PaperOut {
        paper: &outline.id,
        title: &outline.title,
        file: row.file.to_string_lossy().into_owned(),
        questions: outline.questions,
        minutes: allowed.as_seconds() / 60.0,
        origin: OriginOut {
            year: row.paper.year(),
            source: source.as_deref(),
            right_to_use: right_to_use.as_deref(),
            rule_checked: outline
                .rule_checked
                .as_ref()
                .map(|checked| file_day(checked.on)),
        },
        has_key: row.has_key,
        sat: row.exposure.sat.iter().map(sat).collect(),
        met: met
            .map(|(pupil, own)| MetOut {
                pupil,
                met: own.met,
                questions: own.asked,
                sat_before: own.is_sat_before(),
            })
            .collect(),
        nobody_met: row.exposure.is_new(),
    }
}

fn sat(one: &SatBy) -> SatOut<'_> {
    SatOut {
        pupil: &one.pupil,
        date: file_day(one.started.date_naive()),
        sitting: &one.sitting,
        typed_in: one.typed_in,
        withdrawn: one.withdrawn.map(Exclusion::word),
    }
}
