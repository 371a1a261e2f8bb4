//! Tables for other programs: RFC 4180 for programs, or as spreadsheets of the user's country read them, each
//! described by CSVW metadata (W3C, "Metadata Vocabulary for Tabular Data", 2015).
//!
//! An undefined cell is empty. For programs a mark is exact, as in `--json`: a whole number or a fraction, `37/3`. A
//! spreadsheet would take that for a day or a text: there it is a decimal, the nearest double.

use chrono::NaiveDate;
use serde_json::{Value, json};

use crate::domain::generator::GENERATOR;
use crate::domain::mark::Mark;
use crate::words::text::visible;
use crate::words::time::file_day;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CellType {
    /// Text.
    Text,
    /// A whole number.
    Whole,
    /// A decimal number.
    Number,
    /// A mark: exact for programs, a decimal number for a spreadsheet.
    Mark,
    /// A day, `2026-11-25`.
    Day,
    /// `yes` or `no`.
    YesNo,
}

/// A column: its name, what it holds, and what that means.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TableColumn {
    /// The heading; letters, digits and `_`.
    pub name: String,
    /// What its cells hold.
    pub kind: CellType,
    /// What they mean, for whoever reads the metadata.
    pub about: String,
}

impl TableColumn {
    /// A column.
    pub fn new(name: impl Into<String>, kind: CellType, about: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            kind,
            about: about.into(),
        }
    }
}

/// One cell.
#[derive(Clone, Debug, PartialEq)]
pub enum DataCell {
    /// Nothing is defined here.
    Empty,
    /// Text.
    Text(String),
    /// A number.
    Number(f64),
    /// A mark.
    Mark(Mark),
    /// A whole number.
    Whole(u64),
    /// A day.
    Day(NaiveDate),
    /// Yes or no.
    YesNo(bool),
}

impl From<&str> for DataCell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for DataCell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<f64> for DataCell {
    /// A number that is none is an empty cell.
    fn from(number: f64) -> Self {
        if number.is_finite() {
            Self::Number(number)
        } else {
            Self::Empty
        }
    }
}

impl From<Mark> for DataCell {
    fn from(mark: Mark) -> Self {
        Self::Mark(mark)
    }
}

impl From<usize> for DataCell {
    fn from(count: usize) -> Self {
        u64::try_from(count).map_or(Self::Empty, Self::Whole)
    }
}

impl From<u16> for DataCell {
    fn from(number: u16) -> Self {
        Self::Whole(number.into())
    }
}

impl From<NaiveDate> for DataCell {
    fn from(day: NaiveDate) -> Self {
        Self::Day(day)
    }
}

impl From<bool> for DataCell {
    fn from(yes: bool) -> Self {
        Self::YesNo(yes)
    }
}

impl<T: Into<Self>> From<Option<T>> for DataCell {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::Empty, Into::into)
    }
}

/// Who is to read the file.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum CsvForm {
    /// Programs: RFC 4180 to the letter.
    #[default]
    Rfc4180,
    /// A spreadsheet: a byte order mark, so that it reads UTF-8; `;` and decimal commas where the country has them;
    /// no text that it could take for a formula.
    Spreadsheet {
        /// Whether numbers have a decimal comma.
        decimal_comma: bool,
    },
}

impl CsvForm {
    const fn has_decimal_comma(self) -> bool {
        matches!(
            self,
            Self::Spreadsheet {
                decimal_comma: true
            }
        )
    }

    const fn separator(self) -> char {
        if self.has_decimal_comma() { ';' } else { ',' }
    }

    /// A text in a cell. What a screen would act on or nobody would see is written out as on a screen: a table is
    /// looked at with a spreadsheet or in a terminal, and what is hidden there would be taken for another text.
    fn text(self, text: &str) -> String {
        let guarded = matches!(self, Self::Spreadsheet { .. }) && is_like_a_formula(text);
        let shown = visible(text);
        if guarded {
            format!("'{shown}")
        } else {
            shown.into_owned()
        }
    }

    fn cell(self, cell: &DataCell) -> String {
        match cell {
            DataCell::Empty => String::new(),
            DataCell::Text(text) => self.text(text),
            DataCell::Whole(number) => number.to_string(),
            DataCell::Mark(mark) if self == Self::Rfc4180 => mark.exact(),
            DataCell::Mark(mark) => self.cell(&DataCell::Number(mark.to_f64())),
            DataCell::Number(number) if self.has_decimal_comma() => {
                number.to_string().replace('.', ",")
            }
            DataCell::Number(number) => number.to_string(),
            DataCell::Day(day) => file_day(*day),
            DataCell::YesNo(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        }
    }

    fn datatype(self, kind: CellType) -> Value {
        match kind {
            CellType::Text => json!("string"),
            CellType::Whole => json!("integer"),
            CellType::Mark if self == Self::Rfc4180 => {
                json!({"base": "string", "format": "-?[0-9]+(/[0-9]+)?"})
            }
            CellType::Number | CellType::Mark if self.has_decimal_comma() => {
                json!({"base": "decimal", "format": {"decimalChar": ","}})
            }
            CellType::Number | CellType::Mark => json!("decimal"),
            CellType::Day => json!({"base": "date", "format": "yyyy-MM-dd"}),
            CellType::YesNo => json!({"base": "boolean", "format": "yes|no"}),
        }
    }
}

/// Whether a spreadsheet may take a text for a formula (OWASP, "CSV Injection", lists these; from memory).
fn is_like_a_formula(text: &str) -> bool {
    matches!(
        text.chars().next(),
        Some('=' | '+' | '-' | '@' | '\t' | '\r')
    )
}

/// A table with a heading.
#[derive(Clone, Debug, PartialEq)]
pub struct DataTable {
    /// What it is, for whoever reads the metadata.
    pub title: String,
    /// The columns.
    pub columns: Vec<TableColumn>,
    /// The rows, a cell a column.
    pub rows: Vec<Vec<DataCell>>,
    /// The columns that tell one row from every other.
    pub key: Vec<String>,
}

impl DataTable {
    /// The file's bytes.
    ///
    /// # Errors
    /// What the CSV writer cannot write; into memory there is nothing of the kind.
    pub fn bytes(&self, form: CsvForm) -> Result<Vec<u8>, ::csv::Error> {
        let start = match form {
            CsvForm::Rfc4180 => Vec::new(),
            CsvForm::Spreadsheet { .. } => "\u{feff}".as_bytes().to_vec(),
        };
        let mut table = ::csv::WriterBuilder::new()
            .terminator(::csv::Terminator::CRLF)
            .delimiter(u8::try_from(form.separator()).unwrap_or(b','))
            .from_writer(start);
        table.write_record(self.columns.iter().map(|column| &column.name))?;
        for row in &self.rows {
            table.write_record(row.iter().map(|cell| form.cell(cell)))?;
        }
        table
            .into_inner()
            .map_err(|error| error.into_error().into())
    }

    /// The metadata of the file of this name, as JSON.
    ///
    /// # Errors
    /// What `serde_json` cannot write; with these fields there is nothing of the kind.
    pub fn metadata(&self, file_name: &str, form: CsvForm) -> serde_json::Result<String> {
        let column = |column: &TableColumn| {
            json!({
                "name": column.name,
                "titles": column.name,
                "dc:description": column.about,
                "datatype": form.datatype(column.kind),
            })
        };
        let columns: Vec<Value> = self.columns.iter().map(column).collect();
        let metadata = json!({
            "@context": ["http://www.w3.org/ns/csvw", {"@language": "en"}],
            "url": percent_encoded(file_name),
            "dc:title": self.title,
            "dc:creator": GENERATOR,
            "dialect": {
                "delimiter": form.separator().to_string(),
                "encoding": "utf-8",
                "commentPrefix": null,
            },
            "tableSchema": {"columns": columns, "primaryKey": self.key},
        });
        super::json::written(&metadata)
    }
}

/// A file's name as a relative reference (RFC 3986, section 2.3: what is unreserved stays).
fn percent_encoded(name: &str) -> String {
    let encoded = name.bytes().map(|byte| {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            char::from(byte).to_string()
        } else {
            format!("%{byte:02X}")
        }
    });
    encoded.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const COMMA: CsvForm = CsvForm::Spreadsheet {
        decimal_comma: true,
    };
    const POINT: CsvForm = CsvForm::Spreadsheet {
        decimal_comma: false,
    };

    fn table() -> DataTable {
        let day = NaiveDate::from_ymd_opt(2026, 11, 25);
        let row = |text: &str, number: f64| {
            vec![
                text.into(),
                number.into(),
                3_usize.into(),
                day.into(),
                true.into(),
            ]
        };
        DataTable {
            title: "A table".into(),
            columns: vec![
                TableColumn::new("text", CellType::Text, "A text"),
                TableColumn::new("number", CellType::Number, "A number"),
                TableColumn::new("count", CellType::Whole, "How many"),
                TableColumn::new("day", CellType::Day, "A day"),
                TableColumn::new("yes", CellType::YesNo, "Whether"),
            ],
            rows: vec![
                row("a, \"b\"\nc", -0.25),
                row("=1+1", f64::NAN),
                row("x;y", 1e-7),
            ],
            key: vec!["text".into()],
        }
    }

    fn text(form: CsvForm) -> String {
        String::from_utf8(table().bytes(form).unwrap()).unwrap()
    }

    /// RFC 4180, section 2: CRLF between records (1), a heading (3), quotes around cells with line ends, quotes or
    /// commas (6), a quote doubled (7).
    #[test]
    fn the_file_keeps_to_rfc_4180() {
        let lines = "text,number,count,day,yes\r\n\
             \"a, \"\"b\"\"\nc\",-0.25,3,2026-11-25,yes\r\n\
             =1+1,,3,2026-11-25,yes\r\n\
             x;y,0.0000001,3,2026-11-25,yes\r\n";
        assert_eq!(text(CsvForm::Rfc4180), lines);
    }

    #[test]
    fn a_spreadsheet_gets_its_own_separator_and_no_formula() {
        let lines = "\u{feff}text;number;count;day;yes\r\n\
             \"a, \"\"b\"\"\nc\";-0,25;3;2026-11-25;yes\r\n\
             '=1+1;;3;2026-11-25;yes\r\n\
             \"x;y\";0,0000001;3;2026-11-25;yes\r\n";
        assert_eq!(text(COMMA), lines);
        assert!(text(POINT).starts_with("\u{feff}text,number"));
        for start in ["=", "+", "-", "@", "\t", "\r"] {
            let cell = DataCell::Text(format!("{start}cmd"));
            let shown = start.replace('\r', "\\u000d") + "cmd";
            assert_eq!(POINT.cell(&cell), format!("'{shown}"));
            assert_eq!(CsvForm::Rfc4180.cell(&cell), shown);
        }
        assert_eq!(
            POINT.cell(&DataCell::Number(-1.5)),
            "-1.5",
            "a number isn't a formula"
        );
    }

    #[test]
    fn nothing_in_a_cell_acts_on_a_screen_or_is_hidden() {
        let cell = DataCell::Text("a\u{1b}[2J\u{202e}b\u{200b}\u{9b}\nc".to_owned());
        for form in [CsvForm::Rfc4180, POINT, COMMA] {
            assert_eq!(form.cell(&cell), "a\\u001b[2J\\u202eb\\u200b\\u009b\nc");
        }
    }

    #[test]
    fn a_mark_is_exact_for_programs_and_a_decimal_for_a_spreadsheet() {
        for (mark, exact, decimal) in [
            ("62", "62", 62.0),
            ("37/3", "37/3", 37.0 / 3.0),
            ("-1/4", "-1/4", -0.25),
        ] {
            let mark: Mark = mark.parse().unwrap();
            assert_eq!(CsvForm::Rfc4180.cell(&mark.into()), exact);
            let cell = POINT.cell(&mark.into());
            assert_eq!(cell.parse::<f64>().ok(), Some(decimal));
            let comma = COMMA.cell(&mark.into());
            assert_eq!(comma, cell.replace('.', ","));
        }
        let kind = |form: CsvForm| form.datatype(CellType::Mark);
        assert_eq!(kind(CsvForm::Rfc4180)["format"], "-?[0-9]+(/[0-9]+)?");
        assert_eq!(kind(POINT), "decimal");
        assert_eq!(kind(COMMA)["base"], "decimal");
    }

    #[test]
    fn the_metadata_names_file_separator_and_columns() {
        let metadata = table().metadata("März 1.csv", COMMA).unwrap();
        let metadata: Value = serde_json::from_str(&metadata).unwrap();
        assert_eq!(metadata["url"], "M%C3%A4rz%201.csv");
        assert_eq!(metadata["dialect"]["delimiter"], ";");
        let columns = metadata["tableSchema"]["columns"].as_array().unwrap();
        let names: Vec<_> = columns.iter().map(|column| &column["titles"]).collect();
        assert_eq!(names, ["text", "number", "count", "day", "yes"]);
        assert_eq!(columns[1]["datatype"]["format"]["decimalChar"], ",");
        assert_eq!(columns[2]["datatype"], "integer");
    }
}
