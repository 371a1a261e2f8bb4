//! A group's figures as JSON: field names are promises.

use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

use crate::cohort::items::{Figures, OptionFigures, QuestionFigures, TotalFigures};
use crate::domain::rule::QuestionNo;
use crate::reports::json::{Exact, written};

#[derive(Serialize)]
struct GroupOut<'a> {
    people: usize,
    max: Exact,
    #[serde(flatten)]
    totals: TotalsOut,
    kr20: Option<f64>,
    alpha: Option<f64>,
    sem: Option<f64>,
    questions: Vec<QuestionFiguresOut<'a>>,
    marks: Vec<MarkCountOut>,
}

#[derive(Serialize)]
struct TotalsOut {
    mean: f64,
    sd: Option<f64>,
    sd_population: f64,
    median: f64,
    q1: f64,
    q3: f64,
}

#[derive(Serialize)]
struct QuestionFiguresOut<'a> {
    number: QuestionNo,
    facility: Option<f64>,
    discrimination: Option<f64>,
    upper_lower_27: Option<f64>,
    omitted: usize,
    not_reached: usize,
    blank: usize,
    options: Options<'a>,
    median_seconds: Option<f64>,
    rasch: Rasch,
}

/// The options in the paper's order, then the blank.
struct Options<'a>(&'a [OptionFigures]);

#[derive(Serialize)]
struct ChoiceOut {
    count: usize,
    mean_rest: Option<f64>,
}

impl Serialize for Options<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.0.len()))?;
        for option in self.0 {
            let choice = ChoiceOut {
                count: option.count,
                mean_rest: option.mean_rest,
            };
            match option.label {
                Some(label) => map.serialize_entry(&label, &choice)?,
                None => map.serialize_entry("blank", &choice)?,
            }
        }
        map.end()
    }
}

#[derive(Default, Serialize)]
struct Rasch {
    difficulty: Option<f64>,
    se: Option<f64>,
    infit: Option<f64>,
    outfit: Option<f64>,
}

#[derive(Serialize)]
struct MarkCountOut {
    mark: Exact,
    count: usize,
}

/// The object.
///
/// # Errors
/// What `serde_json` cannot write; with these fields there is nothing of the kind.
pub fn json(figures: &Figures) -> Result<String, serde_json::Error> {
    let marks = figures.marks.iter().map(|(mark, count)| MarkCountOut {
        mark: Exact(*mark),
        count: *count,
    });
    let group = GroupOut {
        people: figures.people,
        max: Exact(figures.max),
        totals: totals(&figures.totals),
        kr20: figures.reliability.kr20,
        alpha: figures.reliability.alpha,
        sem: figures.reliability.sem,
        questions: figures
            .questions
            .iter()
            .map(|one| question(figures, one))
            .collect(),
        marks: marks.collect(),
    };
    written(&group)
}

const fn totals(of: &TotalFigures) -> TotalsOut {
    TotalsOut {
        mean: of.mean,
        sd: of.sd,
        sd_population: of.sd_population,
        median: of.quartiles.median,
        q1: of.quartiles.lower,
        q3: of.quartiles.upper,
    }
}

fn question<'a>(figures: &Figures, of: &'a QuestionFigures) -> QuestionFiguresOut<'a> {
    let measure = figures.measure(of);
    QuestionFiguresOut {
        number: of.number,
        facility: of.facility,
        discrimination: of.discrimination,
        upper_lower_27: of.upper_lower,
        omitted: of.blanks.omitted,
        not_reached: of.blanks.not_reached,
        blank: of.blank(),
        options: Options(&of.options),
        median_seconds: of.seconds.map(|seconds| seconds.quartiles.median),
        rasch: measure.map_or_else(Rasch::default, |measure| Rasch {
            difficulty: Some(measure.difficulty),
            se: Some(measure.error),
            infit: Some(measure.infit),
            outfit: Some(measure.outfit),
        }),
    }
}
