//! A group's term: as a page to look at and to print, as text 80 columns wide, and as tables; for the tutor, and
//! without any pupil for people outside.

pub mod aloud;
pub mod csv;
pub mod outside;
pub mod page;
mod pictures;
pub mod text;

use chrono::NaiveDate;

use crate::domain::marking::Outcome;
use crate::domain::paper::PaperId;
use crate::domain::rule::QuestionNo;
use crate::season::overview::{Overview, PaperColumn};
use crate::words::guess::rule_caution;

/// A term with what is to be said of its files.
#[derive(Clone, Debug)]
pub struct OverviewReport {
    /// The term.
    pub overview: Overview,
    /// What the group is called, where it has a name.
    pub group: Option<String>,
    /// Whether any of the sittings is invented.
    pub invented: bool,
    /// Sittings that are not counted and files that could not be read, each with its reason.
    pub remarks: Vec<String>,
    /// The day of the page.
    pub today: NaiveDate,
}

impl OverviewReport {
    /// From when to when the group has sat.
    fn days(&self) -> Option<(NaiveDate, NaiveDate)> {
        let days = || self.overview.columns.iter().filter_map(PaperColumn::days);
        Some((
            days().map(|(from, _)| from).min()?,
            days().map(|(_, to)| to).max()?,
        ))
    }

    /// The day that dates without their year are near to.
    fn near(&self) -> NaiveDate {
        self.overview.week.map_or(self.today, |week| week.to)
    }

    /// What has to be said before advice that is drawn from a rule nobody has checked, once for each paper.
    fn cautions(&self) -> Vec<String> {
        let reasons = self.overview.words.iter().flat_map(|own| &own.reasons);
        let mut papers: Vec<_> = reasons
            .filter_map(|own| Some(&own.advises_by()?.outline))
            .collect();
        papers.sort_by_key(|outline| PaperId::of(outline));
        papers.dedup_by_key(|outline| PaperId::of(outline));
        let mut said: Vec<_> = papers
            .iter()
            .filter_map(|outline| rule_caution(outline, self.today))
            .collect();
        said.dedup();
        said
    }
}

/// The void questions of a paper.
fn void(column: &PaperColumn) -> Vec<QuestionNo> {
    let is_void = |number: &QuestionNo| {
        let mut sheets = column.sheets.values();
        sheets.any(|sheet| {
            let own = sheet.answer(*number);
            own.and_then(|own| own.outcome) == Some(Outcome::Void)
        })
    };
    column.outline.numbers().filter(is_void).collect()
}
