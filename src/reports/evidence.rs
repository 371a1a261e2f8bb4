//! The evidence sheet for arrangements: a page to print, and a table.

use std::collections::BTreeMap;
use std::iter::zip;

use maud::{Markup, html};

use crate::analysis::standard_time::StandardTime;
use crate::analysis::{Analysis, Studied};
use crate::domain::header::{Alias, Header, INVENTED};
use crate::domain::key::Mismatch;
use crate::domain::mark::Mark;
use crate::domain::notes::Vouched;
use crate::domain::standing::Use;
use crate::domain::time::Elapsed;
use crate::reports::document::document;
use crate::reports::document::tidy::tidy;
use crate::reports::tabular::{CellType, DataCell, DataTable, TableColumn};
use crate::words::evidence as words;

/// One sitting on the sheet.
#[derive(Clone, Debug)]
pub struct EvidenceRow {
    analysis: Analysis,
    time: StandardTime,
    vouched: Option<Vouched>,
}

impl EvidenceRow {
    /// What a sitting gives to the sheet.
    ///
    /// # Errors
    /// A key that does not fit.
    pub fn of(studied: &Studied) -> Result<Self, Mismatch> {
        let key = studied.keyed.as_ref().map(|keyed| &*keyed.key);
        let notes = studied.notes.as_ref();
        Ok(Self {
            time: StandardTime::of(&studied.analysis, key)?,
            vouched: notes.and_then(|notes| notes.vouched.last().cloned()),
            analysis: studied.analysis.clone(),
        })
    }

    fn header(&self) -> &Header {
        self.analysis.header()
    }

    fn has_extra(&self) -> bool {
        self.header().arrangements.extra_percent > Mark::ZERO
    }

    /// What each row of the page's table says of the sitting.
    fn cells(&self) -> Vec<String> {
        let (header, time) = (self.header(), &self.time);
        let stops = self.analysis.interruptions();
        let timed = self.analysis.is_timed();
        let known = |said: String| {
            if timed {
                said
            } else {
                words::NOT_KNOWN.to_owned()
            }
        };
        vec![
            tidy(&words::which(header)),
            words::arranged(header),
            words::span(time.standard),
            words::span(time.allowed),
            if timed {
                words::span(time.used)
            } else {
                "-".to_owned()
            },
            known(words::breaks(&time.breaks)),
            if timed {
                words::mark(&time.at_standard, time.max)
            } else {
                "-".to_owned()
            },
            words::mark(&time.at_allowed, time.max),
            known(words::questions(&time.first_after)),
            known(words::questions(&time.changed_after)),
            words::blanks(time, timed),
            known(words::interruptions(
                stops.away.count,
                stops.slept.count,
                stops.clock_changes,
            )),
            words::trusted(timed, self.analysis.trust().any()).to_owned(),
        ]
    }
}

/// The page, the earliest sitting first.
pub fn page(pupil: &Alias, rows: &[EvidenceRow], remarks: &[String]) -> String {
    let cells: Vec<_> = rows.iter().map(EvidenceRow::cells).collect();
    let invented = rows.iter().any(|row| row.header().invented);
    let inside = html! {
        h1 { (words::title(pupil)) }
        @if invented { p { strong { (INVENTED) } } }
        p { (words::WHAT_IT_IS) }
        @for remark in remarks { p { (tidy(remark)) } }
        @if rows.is_empty() { p { (words::NONE) } }
        @for (row, cells) in zip(rows, &cells) {
            table class="facts print-whole" {
                tbody {
                    @for (head, cell) in zip(words::ROWS, cells) {
                        tr { th scope="row" { (head) } td { (cell) } }
                    }
                    tr { th scope="row" { (words::TICKS) } td { (words::ticks(row.vouched.as_ref())) } }
                }
            }
            @if let Some(vouched) = row.vouched.as_ref().filter(|own| !own.sentence.is_empty()) {
                p dir="auto" { (tidy(&vouched.sentence)) }
            }
        }
        @if rows.len() > 1 { (compared(rows)) }
        p { (words::HOW_READ) }
        p class="sign" { (words::SIGNATURE) " ______________________________" }
    };
    document(&words::title(pupil), &inside)
}

/// How many sittings there were under each kind of arrangement, and the range of their marks.
fn compared(rows: &[EvidenceRow]) -> Markup {
    let mut groups = BTreeMap::<&str, Vec<f64>>::new();
    for row in rows {
        let breaks = row.header().arrangements.rest_breaks;
        let shares = groups
            .entry(words::group(row.has_extra(), breaks))
            .or_default();
        if let (Some(mark), Some(max)) = (row.time.at_allowed.mark, row.time.max)
            && max > Mark::ZERO
        {
            shares.push(mark.to_f64() * 100.0 / max.to_f64());
        }
    }
    html! {
        h2 { (words::COMPARED) }
        table class="facts print-whole" {
            tbody {
                @for (group, shares) in &groups {
                    tr { th scope="row" { (group) } td { (words::range(shares)) } }
                }
            }
        }
    }
}

/// The table, the earliest sitting first.
pub fn table(rows: &[EvidenceRow]) -> DataTable {
    let column =
        |((name, about), kind): (&(&str, &str), CellType)| TableColumn::new(*name, kind, *about);
    DataTable {
        title: words::TABLE.to_owned(),
        columns: zip(&words::COLUMNS, TYPES).map(column).collect(),
        rows: rows.iter().map(row).collect(),
        key: vec!["sitting".to_owned()],
    }
}

/// What the columns hold.
const TYPES: [CellType; 25] = {
    use CellType::{Day, Mark, Number, Text, Whole, YesNo};
    [
        Text, Text, Day, Text, YesNo, Number, YesNo, Number, Number, Number, Whole, Number, Mark,
        Mark, Mark, Text, Text, Whole, Whole, Whole, YesNo, YesNo, YesNo, Text, Text,
    ]
};

fn row(row: &EvidenceRow) -> Vec<DataCell> {
    let (header, time) = (row.header(), &row.time);
    let timed = row.analysis.is_timed();
    let stops = row.analysis.interruptions();
    let list = |questions: &[crate::domain::rule::QuestionNo]| {
        let all: Vec<_> = questions.iter().map(ToString::to_string).collect();
        DataCell::Text(all.join(" "))
    };
    let breaks = time
        .breaks
        .iter()
        .fold(Elapsed::ZERO, |sum, span| sum + *span);
    let breaks = breaks.as_seconds();
    // Without a clock there is nothing to count, which is not the same as none.
    let known = |cell: DataCell| if timed { cell } else { DataCell::Empty };
    let vouched = row.vouched.as_ref();
    vec![
        header.sitting.as_str().into(),
        header.pupil.as_str().into(),
        header.started.date_naive().into(),
        header.paper.id.as_str().into(),
        row.analysis.standing().bars(Use::Evidence).is_none().into(),
        header.arrangements.extra_percent.to_f64().into(),
        header.arrangements.rest_breaks.into(),
        DataCell::Number(time.standard.as_seconds()),
        DataCell::Number(time.allowed.as_seconds()),
        known(DataCell::Number(time.used.as_seconds())),
        known(time.breaks.len().into()),
        known(DataCell::Number(breaks)),
        time.at_standard.mark.filter(|_| timed).into(),
        time.at_allowed.mark.into(),
        time.max.into(),
        known(list(&time.first_after)),
        known(list(&time.changed_after)),
        timed.then_some(time.at_standard.blanks).into(),
        time.at_allowed.blanks.into(),
        known((stops.away.count + stops.slept.count + stops.clock_changes).into()),
        (timed && row.analysis.trust().any()).into(),
        vouched.map(|own| own.timed).into(),
        vouched.map(|own| own.supervised).into(),
        vouched.map(|own| own.sentence.as_str()).into(),
        vouched.map(|own| own.by.as_str()).into(),
    ]
}
