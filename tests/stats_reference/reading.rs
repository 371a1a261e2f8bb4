//! Reads the reference tables: rows by column name, exact fractions, comparisons with a tolerance.

use std::collections::HashMap;
use std::path::PathBuf;

/// One row of a table, by column name.
pub(crate) struct Row(HashMap<String, String>);

impl Row {
    /// The text in a column.
    pub(crate) fn text(&self, column: &str) -> &str {
        self.0
            .get(column)
            .unwrap_or_else(|| panic!("no column {column}"))
    }

    /// The number in a column; `None` where the table says NA or nothing.
    pub(crate) fn number(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        (!matches!(text, "NA" | "")).then(|| fraction(text))
    }

    /// The number in a column that must hold one.
    pub(crate) fn value(&self, column: &str) -> f64 {
        self.number(column)
            .unwrap_or_else(|| panic!("no number in {column}"))
    }

    /// The whole number in a column.
    pub(crate) fn whole(&self, column: &str) -> i64 {
        self.text(column)
            .parse()
            .unwrap_or_else(|_| panic!("no whole number in {column}"))
    }

    /// The count in a column.
    pub(crate) fn count(&self, column: &str) -> usize {
        self.text(column)
            .parse()
            .unwrap_or_else(|_| panic!("no count in {column}"))
    }
}

/// Every row of a table.
pub(crate) fn table(name: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_path(path(name)).unwrap();
    let rows: Vec<Row> = reader.deserialize().map(|row| Row(row.unwrap())).collect();
    assert!(!rows.is_empty(), "{name} is empty");
    rows
}

/// A JSON table.
pub(crate) fn json(name: &str) -> serde_json::Value {
    serde_json::from_str(&std::fs::read_to_string(path(name)).unwrap()).unwrap()
}

fn path(name: &str) -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "tests", "reference", name]
        .iter()
        .collect()
}

/// A decimal number or a fraction such as `4503/50`.
pub(crate) fn fraction(text: &str) -> f64 {
    let part = |text: &str| {
        text.parse::<f64>()
            .unwrap_or_else(|_| panic!("{text} is no number"))
    };
    text.split_once('/')
        .map_or_else(|| part(text), |(top, bottom)| part(top) / part(bottom))
}

/// Fails unless the two numbers differ by no more than the tolerance.
pub(crate) fn close(found: f64, expected: f64, tolerance: f64, what: &str) {
    let gap = (found - expected).abs();
    assert!(
        gap <= tolerance,
        "{what}: found {found}, expected {expected}, apart by {gap:e}"
    );
}

/// Fails unless a chance is right to 1e-12 absolutely and to 1e-9 of itself.
pub(crate) fn chance(found: f64, expected: f64, what: &str) {
    close(found, expected, 1e-12, what);
    close(found, expected, expected * 1e-9, what);
}

/// Fails unless both are missing, or both are there and differ by no more than the tolerance.
pub(crate) fn same(found: Option<f64>, expected: Option<f64>, tolerance: f64, what: &str) {
    match (found, expected) {
        (Some(found), Some(expected)) => close(found, expected, tolerance, what),
        _ => assert_eq!(found, expected, "{what}"),
    }
}
