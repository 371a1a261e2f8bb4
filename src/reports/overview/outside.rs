//! The term for people outside: no pupil's row, and no count in which somebody could be found.

use maud::{Markup, html};

use super::OverviewReport;
use super::csv::table as named_table;
use crate::domain::header::INVENTED;
use crate::domain::mark::Mark;
use crate::reports::document::document;
use crate::reports::document::tidy::tidy;
use crate::reports::tabular::{CellType, DataCell, DataTable};
use crate::reports::text::COLUMNS;
use crate::season::overview::{OutsidePaper, OutsideSize, PercentBand, outside};
use crate::words::overview as words;
use crate::words::text::{Side, columns, cut, hanging};

/// What may be told of each paper.
fn papers(report: &OverviewReport) -> Vec<OutsidePaper> {
    report.overview.first_columns().map(outside).collect()
}

/// Rows of two cells under a heading.
struct PairTable {
    heading: &'static str,
    heads: [&'static str; 2],
    rows: Vec<[String; 2]>,
}

/// What is said of a paper before its tables.
fn said(paper: &OutsidePaper) -> Vec<String> {
    let mut said = vec![words::outside_size(paper.size)];
    if paper.size == OutsideSize::TooFew {
        return said;
    }
    match paper.max {
        None => said.push(words::OUTSIDE_NO_KEY.to_owned()),
        Some(max) => said.push(words::outside_max(max)),
    }
    said.extend(paper.months.map(words::outside_months));
    let mean = paper.mean;
    said.extend(mean.map(|mean| words::outside_mean(paper.size, mean)));
    said.extend(paper.nothing_blank.map(words::outside_complete));
    said
}

/// The tables of a paper that have anything in them.
fn parts(paper: &OutsidePaper) -> Vec<PairTable> {
    let sections = paper.sections.iter();
    let bands = paper.bands.iter();
    let questions = paper.questions.iter();
    let all = [
        PairTable {
            heading: words::OUTSIDE_SECTIONS,
            heads: [words::SECTION, words::RIGHT],
            rows: sections
                .map(|(name, band)| [name.clone(), words::outside_band(*band)])
                .collect(),
        },
        PairTable {
            heading: words::OUTSIDE_MARKS,
            heads: [words::MARKS, words::PEOPLE],
            rows: bands
                .map(|band| [words::outside_marks(band), words::outside_band(band.people)])
                .collect(),
        },
        PairTable {
            heading: words::OUTSIDE_QUESTIONS,
            heads: [words::QUESTION, words::RIGHT],
            rows: questions
                .map(|own| [own.number.to_string(), words::outside_band(own.right)])
                .collect(),
        },
    ];
    all.into_iter()
        .filter(|part| !part.rows.is_empty())
        .collect()
}

/// The text, 80 columns wide.
pub fn text(report: &OverviewReport) -> String {
    let mut lines = vec![cut(&title(report), COLUMNS)];
    if report.invented {
        lines.extend(hanging("! ", INVENTED, COLUMNS));
    }
    for paper in papers(report) {
        lines.push(String::new());
        lines.push(cut(&paper.outline.title, COLUMNS));
        for said in said(&paper) {
            lines.extend(hanging("", &said, COLUMNS));
        }
        for part in parts(&paper) {
            lines.push(String::new());
            lines.push(part.heading.to_owned());
            let heads = part.heads.map(str::to_owned);
            let rows: Vec<Vec<String>> = [heads]
                .into_iter()
                .chain(part.rows)
                .map(|row| row.map(|cell| cut(&cell, COLUMNS / 2)).to_vec())
                .collect();
            lines.extend(columns(&[Side::Left, Side::Left], &rows));
        }
    }
    lines.push(String::new());
    let made = words::outside_made(report.today);
    lines.extend(hanging("- ", &made, COLUMNS));
    let notes = words::OUTSIDE_NOTES.iter();
    lines.extend(notes.flat_map(|note| hanging("- ", note, COLUMNS)));
    lines.join("\n") + "\n"
}

fn title(report: &OverviewReport) -> String {
    words::outside_heading(report.group.as_deref())
}

/// The page to look at and to print.
pub fn page(report: &OverviewReport) -> String {
    let papers = papers(report);
    let inside = html! {
        header {
            h1 { (tidy(&title(report))) }
            @if report.invented { p { strong { (INVENTED) } } }
            p { (words::outside_made(report.today)) }
            @for note in words::OUTSIDE_NOTES { p { (note) } }
        }
        @for (index, paper) in papers.iter().enumerate() { (section(index, paper)) }
    };
    document(words::OUTSIDE_TITLE, &inside)
}

fn section(index: usize, paper: &OutsidePaper) -> Markup {
    let id = format!("paper-{index}");
    html! {
        section aria-labelledby=(id) {
            h2 id=(id) { (tidy(&paper.outline.title)) }
            @for said in said(paper) { p { (said) } }
            @for part in parts(paper) {
                div class="wide" {
                    table {
                        caption { (part.heading) }
                        thead { tr { @for head in part.heads { th scope="col" { (head) } } } }
                        tbody {
                            @for [first, second] in &part.rows {
                                tr { th scope="row" { (tidy(first)) } td { (second) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The file's name of the table.
pub const NAME: &str = "overview-outside.csv";

/// The table with its file's name.
pub fn table(report: &OverviewReport) -> (&'static str, DataTable) {
    const KINDS: [CellType; 9] = {
        use CellType::{Mark, Number, Text, Whole};
        [Text, Text, Text, Whole, Text, Text, Mark, Number, Number]
    };
    let rows = papers(report).iter().flat_map(figures).collect();
    let key = ["paper", "version", "figure", "of"];
    let names = &words::OUTSIDE_COLUMNS;
    (
        NAME,
        named_table(words::OUTSIDE_TABLE, names, &KINDS, rows, &key),
    )
}

fn figures(paper: &OutsidePaper) -> Vec<Vec<DataCell>> {
    let people = match paper.size {
        OutsideSize::Tens(people) => Some(people),
        OutsideSize::Few | OutsideSize::TooFew => None,
    };
    let row = |figure: &str, of: String, below: Option<Mark>, (low, high): PercentBand| {
        vec![
            paper.outline.id.as_str().into(),
            paper.outline.fingerprint.to_string().into(),
            paper.outline.title.as_str().into(),
            people.into(),
            figure.into(),
            of.into(),
            below.into(),
            f64::from(low).into(),
            f64::from(high).into(),
        ]
    };
    let mean = paper.mean;
    let mean = mean.map(|band| row("mean_percent", String::new(), None, band));
    let sections = paper.sections.iter();
    let sections =
        sections.map(|(name, band)| row("section_right_percent", name.clone(), None, *band));
    let bands = paper.bands.iter().map(|band| {
        let from = band.from.map(|from| from.to_string());
        let from = from.unwrap_or_default();
        row("people_by_marks_percent", from, band.below, band.people)
    });
    let questions = paper.questions.iter();
    let questions = questions.map(|own| {
        row(
            "people_right_percent",
            own.number.to_string(),
            None,
            own.right,
        )
    });
    let complete = paper.nothing_blank;
    let complete =
        complete.map(|band| row("people_without_blank_percent", String::new(), None, band));
    mean.into_iter()
        .chain(sections)
        .chain(bands)
        .chain(questions)
        .chain(complete)
        .collect()
}
