//! What guesses can give: as a page and as JSON.

use chrono::NaiveDate;
use serde::Serialize;

use super::json::{Exact, MarkChance, written};
use super::text::COLUMNS;
use crate::domain::mark::Mark;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::odds::mark_distribution::{Attempt, MarkDistribution, left_blank};
use crate::words::guess::caution_first;
use crate::words::luck as words;
use crate::words::numbers::{fine_percent, plain};
use crate::words::text::{Side, columns, cut, wrap_whole};

/// The most rows shown without leaving the unlikeliest totals out.
const ROWS: usize = 32;
/// What is left out of a longer table: totals less likely than this.
const RARE: f64 = 0.001;
/// The longest bar.
const BAR: f64 = 40.0;

/// Guesses with what they can give.
#[derive(Clone, Copy, Debug)]
pub struct Guessed<'a> {
    /// The paper.
    pub outline: &'a Outline,
    /// The questions that were named.
    pub numbers: &'a [QuestionNo],
    /// Those that count, each with its chance.
    pub guesses: &'a [Attempt],
    /// What the whole paper gives apart from them, where that is asked for.
    pub apart: Option<Mark>,
    /// Every total.
    pub totals: &'a MarkDistribution,
    /// The day of the report.
    pub today: NaiveDate,
}

#[derive(Serialize)]
struct LuckOut {
    expected: f64,
    sd: f64,
    distribution: Vec<MarkChance>,
}

/// The totals as JSON, lowest first.
///
/// # Errors
/// A number that JSON has no form for; there is none here.
pub fn json(totals: &MarkDistribution) -> serde_json::Result<String> {
    let distribution = totals.iter().map(|(marks, chance)| MarkChance {
        marks: Exact(marks),
        chance,
    });
    let told = LuckOut {
        expected: totals.mean(),
        sd: totals.sd(),
        distribution: distribution.collect(),
    };
    written(&told)
}

/// The totals as a page.
pub fn page(guessed: &Guessed<'_>) -> String {
    let totals = guessed.totals;
    let mut lines = vec![cut(&guessed.outline.title, COLUMNS)];
    lines.extend(caution_first(guessed.outline, guessed.today, COLUMNS));
    let numbers: Vec<_> = guessed.guesses.iter().map(|guess| guess.number).collect();
    let void = guessed.numbers.len() - numbers.len();
    lines.extend(wrap_whole(&words::heading(&numbers, void), COLUMNS));
    lines.push(String::new());
    lines.push(words::on_average(totals));
    let blank = left_blank(guessed.outline, guessed.guesses);
    if blank != Mark::ZERO {
        lines.push(words::left_blank(blank));
    }
    lines.push(String::new());
    lines.extend(table(totals));
    lines.push(String::new());
    let counted = match guessed.apart {
        Some(_) => words::OF_THE_WHOLE_PAPER,
        None => words::OF_THE_GUESSES_ALONE,
    };
    lines.extend(wrap_whole(counted, COLUMNS));
    lines.join("\n") + "\n"
}

fn table(totals: &MarkDistribution) -> Vec<String> {
    let all: Vec<_> = totals.iter().collect();
    let likely = |(_, chance): &(Mark, f64)| all.len() <= ROWS || *chance >= RARE;
    let peak = all.iter().map(|(_, chance)| *chance).fold(0.0, f64::max);
    let mut rows = vec![
        ["Marks", "Chance", words::THIS_OR_MORE, ""]
            .map(String::from)
            .to_vec(),
    ];
    // Summed from the high end, so that a small tail keeps its digits.
    let mut above = 0.0;
    let mut body: Vec<Vec<String>> = Vec::new();
    for entry in all.iter().rev() {
        above += entry.1;
        if likely(entry) {
            body.push(vec![
                plain(entry.0),
                fine_percent(entry.1),
                fine_percent(above.min(1.0)),
                bar(entry.1 / peak),
            ]);
        }
    }
    let left_out = all.len() - body.len();
    rows.extend(body.into_iter().rev());
    let [left, right] = [Side::Left, Side::Right];
    let mut lines = columns(&[right, right, right, left], &rows);
    if left_out > 0 {
        lines.push(words::totals_left_out(left_out));
    }
    lines
}

/// A bar of so much of the longest one.
fn bar(part: f64) -> String {
    let mut bar = String::new();
    let mut drawn = 0.5;
    while drawn <= part * BAR {
        bar.push('#');
        drawn += 1.0;
    }
    bar
}
