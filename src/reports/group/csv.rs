//! A group's figures by question as a table: a row a question.

use crate::cohort::items::{Figures, OptionFigures, QuestionFigures};
use crate::domain::key::Void;
use crate::domain::labels::Label;
use crate::reports::tabular::{CellType, DataCell, DataTable, TableColumn};
use crate::words::columns as words;

/// The table; behind the columns of every question stand two for each option label that the paper uses.
pub fn table(figures: &Figures) -> DataTable {
    let labels = labels(figures);
    let head = words::GROUP.iter().zip(KINDS);
    let head = head.map(|((name, about), kind)| TableColumn::new(*name, kind, *about));
    let options = labels.iter().flat_map(|label| {
        let (count, count_about) = words::option_count(label);
        let (rest, rest_about) = words::option_mean_rest(label);
        [
            TableColumn::new(count, CellType::Whole, count_about),
            TableColumn::new(rest, CellType::Number, rest_about),
        ]
    });
    let rows = figures.questions.iter();
    DataTable {
        title: words::GROUP_TITLE.to_owned(),
        columns: head.chain(options).collect(),
        rows: rows
            .map(|question| row(figures, question, &labels))
            .collect(),
        key: vec!["question".to_owned()],
    }
}

/// What the columns of every question hold.
const KINDS: [CellType; 17] = {
    use CellType::{Number, Text, Whole};
    [
        Whole, Text, Text, Whole, Whole, Number, Number, Number, Whole, Whole, Whole, Number,
        Number, Number, Number, Number, Number,
    ]
};

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

fn row(figures: &Figures, question: &QuestionFigures, labels: &[Label]) -> Vec<DataCell> {
    let void = question.void.map(|void| match void {
        Void::Credited => "credited",
        Void::Dropped => "dropped",
    });
    let option = |label: Option<Label>| question.options.iter().find(|own| own.label == label);
    let mean_rest = |own: Option<&OptionFigures>| DataCell::from(own.and_then(|own| own.mean_rest));
    let measure = figures.measure(question);
    let mut row = vec![
        question.number.0.into(),
        question.key().into(),
        void.into(),
        figures.people.into(),
        question.right.into(),
        question.facility.into(),
        question.discrimination.into(),
        question.upper_lower.into(),
        question.blanks.omitted.into(),
        question.blanks.not_reached.into(),
        question.blank().into(),
        mean_rest(option(None)),
        question
            .seconds
            .map(|seconds| seconds.quartiles.median)
            .into(),
        measure.map(|measure| measure.difficulty).into(),
        measure.map(|measure| measure.error).into(),
        measure.map(|measure| measure.infit).into(),
        measure.map(|measure| measure.outfit).into(),
    ];
    for label in labels {
        let own = option(Some(*label));
        row.push(own.map(|own| own.count).into());
        row.push(mean_rest(own));
    }
    row
}
