//! A group's figures by question as CSV (RFC 4180): a line a question, an empty cell where nothing is defined.

use crate::cohort::items::{Figures, OptionFigures, QuestionFigures};
use crate::domain::key::Void;
use crate::domain::labels::Label;

const HEAD: [&str; 17] = [
    "question",
    "key",
    "void",
    "people",
    "right",
    "facility",
    "discrimination",
    "upper_lower_27",
    "omitted",
    "not_reached",
    "blank",
    "blank_mean_rest",
    "median_seconds",
    "rasch_difficulty",
    "rasch_se",
    "rasch_infit",
    "rasch_outfit",
];

/// The table; behind the columns of every question stand two for each option label that the paper uses.
///
/// # Errors
/// What the CSV writer cannot write; into memory there is nothing of the kind.
pub fn csv(figures: &Figures) -> Result<Vec<u8>, ::csv::Error> {
    let labels = labels(figures);
    let mut table = ::csv::Writer::from_writer(Vec::new());
    let columns = labels
        .iter()
        .flat_map(|label| [format!("{label}_count"), format!("{label}_mean_rest")]);
    table.write_record(HEAD.map(str::to_owned).into_iter().chain(columns))?;
    for question in &figures.questions {
        table.write_record(row(figures, question, &labels))?;
    }
    table
        .into_inner()
        .map_err(|error| error.into_error().into())
}

/// Every label in use, in the order of its first question.
fn labels(figures: &Figures) -> Vec<Label> {
    let mut labels = Vec::new();
    let options = figures.questions.iter().flat_map(|one| &one.options);
    for label in options.filter_map(|option| option.label) {
        if !labels.contains(&label) {
            labels.push(label);
        }
    }
    labels
}

fn row(figures: &Figures, question: &QuestionFigures, labels: &[Label]) -> Vec<String> {
    let void = match question.void {
        None => "",
        Some(Void::Credited) => "credited",
        Some(Void::Dropped) => "dropped",
    };
    let option = |label: Option<Label>| question.options.iter().find(|own| own.label == label);
    let mean_rest = |own: Option<&OptionFigures>| cell(own.and_then(|own| own.mean_rest));
    let measure = question.rasch.and_then(Result::ok);
    let mut row = vec![
        question.number.to_string(),
        question.key(),
        void.to_owned(),
        figures.people.to_string(),
        cell(question.right),
        cell(question.facility),
        cell(question.discrimination),
        cell(question.upper_lower),
        question.blanks.omitted.to_string(),
        question.blanks.not_reached.to_string(),
        question.blank().to_string(),
        mean_rest(option(None)),
        cell(question.seconds.map(|seconds| seconds.quartiles.median)),
        cell(measure.map(|measure| measure.difficulty)),
        cell(measure.map(|measure| measure.error)),
        cell(measure.map(|measure| measure.infit)),
        cell(measure.map(|measure| measure.outfit)),
    ];
    for label in labels {
        let own = option(Some(*label));
        row.push(cell(own.map(|own| own.count)));
        row.push(mean_rest(own));
    }
    row
}

fn cell(value: Option<impl ToString>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}
