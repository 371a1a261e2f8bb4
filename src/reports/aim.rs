//! What a mark takes: as a page with a picture, and as JSON.

mod aimed;
mod picture;
mod pupil;

use serde::Serialize;

pub use self::aimed::Aimed;
pub use self::pupil::OfPupil;
use super::json::Exact;
use super::text::COLUMNS;
use crate::domain::mark::Mark;
use crate::domain::rule::Rule;
use crate::odds::aim::{all_blank, size};
use crate::words::aim as words;
use crate::words::guess::caution_first;
use crate::words::numbers::plain;
use crate::words::text::{Side, columns, cut, wrap_whole};

/// The most combinations that a page lists.
const ON_PAGE: usize = 150;
/// The widest that a section's name is shown over a column.
const NAME: usize = 12;

#[derive(Serialize)]
struct AimOut<'a> {
    mark: Exact,
    max: Exact,
    fewest_right: Option<usize>,
    in_order: Option<usize>,
    combinations: Option<&'a Vec<Vec<usize>>>,
    chance: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pupil: Option<pupil::PupilOut<'a>>,
}

/// What the mark takes as JSON.
///
/// # Errors
/// A number that JSON has no form for; there is none here.
pub fn json(aimed: &Aimed<'_>) -> serde_json::Result<String> {
    let needed = aimed.needed;
    let told = AimOut {
        mark: Exact(needed.mark),
        max: Exact(needed.max),
        fewest_right: needed.fewest_right,
        in_order: needed.in_order,
        combinations: needed.combinations.as_ref(),
        chance: aimed
            .totals
            .map(|totals| totals.at_least(needed.mark))
            .or_else(|| Some(aimed.pupil?.likely.as_ref()?.chance)),
        pupil: aimed.pupil.map(pupil::told),
    };
    serde_json::to_string(&told).map(|text| text + "\n")
}

/// What the mark takes as a page.
pub fn page(aimed: &Aimed<'_>) -> String {
    let needed = aimed.needed;
    let mut awards = aimed.outline.awards.iter();
    let award = awards.find(|award| award.boundary == needed.mark);
    let mut lines = vec![
        cut(&aimed.outline.title, COLUMNS),
        words::heading(
            needed.mark,
            needed.max,
            award.map(|award| award.name.as_str()),
        ),
        String::new(),
    ];
    let caution = caution_first(aimed.outline, aimed.today, COLUMNS);
    if !caution.is_empty() {
        lines.extend(caution);
        lines.push(String::new());
    }
    lines.extend(fewest(aimed));
    lines.push(String::new());
    lines.extend(sections(aimed));
    if let Some(totals) = aimed.totals {
        lines.push(String::new());
        lines.extend(wrap_whole(&words::chance(totals, needed.mark), COLUMNS));
    }
    if let Some(of) = aimed.pupil {
        lines.push(String::new());
        lines.extend(pupil::words(of, aimed.needed.mark));
    }
    if aimed.needed.fewest_right.is_some_and(|fewest| fewest > 0) {
        lines.push(String::new());
        lines.extend(combinations(aimed));
    }
    lines.push(String::new());
    lines.extend(picture::picture(aimed));
    lines.join("\n") + "\n"
}

fn fewest(aimed: &Aimed<'_>) -> Vec<String> {
    let needed = aimed.needed;
    let blank = all_blank(&aimed.outline.rule);
    match (needed.fewest_right, needed.in_order) {
        (Some(0), _) => wrap_whole(&words::blank_has_it(blank), COLUMNS),
        (Some(fewest), Some(in_order)) => {
            let row = |words: &str, number: String| vec![words.to_owned(), number];
            let rows = [
                row(words::FEWEST_RIGHT, fewest.to_string()),
                row(words::FROM_THE_FRONT, format!("the first {in_order}")),
            ];
            let mut lines = columns(&[Side::Left, Side::Left], &rows);
            lines.push(words::others_blank(blank));
            lines
        }
        _ => wrap_whole(&words::out_of_reach(needed.max), COLUMNS),
    }
}

fn sections(aimed: &Aimed<'_>) -> Vec<String> {
    let rule = &aimed.outline.rule;
    let with_chance = aimed.more.iter().any(|more| more.chance.is_some());
    let mut heads = vec![
        "Section",
        "Questions",
        "Right",
        "Wrong",
        "Blank",
        words::ONE_MORE,
    ];
    if with_chance {
        heads.push(words::AND_THE_CHANCE);
    }
    let mut rows = vec![heads.into_iter().map(String::from).collect::<Vec<_>>()];
    for (section, more) in rule.sections.iter().zip(aimed.more) {
        let mut row = vec![
            cut(&section.name, NAME),
            size(section).to_string(),
            plain(section.right),
            plain(section.wrong),
            plain(section.blank),
            words::added(more),
        ];
        if with_chance {
            let change = more.chance.map(words::more_in_a_hundred);
            row.push(change.unwrap_or_else(|| words::ALL_CERTAIN.into()));
        }
        rows.push(row);
    }
    let [left, right] = [Side::Left, Side::Right];
    columns(&[left, right, right, right, right, left, left], &rows)
}

fn combinations(aimed: &Aimed<'_>) -> Vec<String> {
    let Some(all) = &aimed.needed.combinations else {
        return vec![words::too_many()];
    };
    let mut lines = vec![words::combinations(all.len())];
    let names = aimed
        .outline
        .rule
        .sections
        .iter()
        .map(|section| cut(&section.name, NAME));
    let names: Vec<String> = names.collect();
    let rows: Vec<Vec<String>> = all
        .iter()
        .take(ON_PAGE)
        .map(|right| right.iter().map(usize::to_string).collect())
        .collect();
    lines.extend(side_by_side(&names, &rows));
    if all.len() > ON_PAGE {
        lines.push(words::more_combinations(all.len() - ON_PAGE));
    }
    lines
}

/// A long table in as many blocks as the width holds, each read from the top down.
fn side_by_side(names: &[String], rows: &[Vec<String>]) -> Vec<String> {
    let sides = vec![Side::Right; names.len()];
    let table = |rows: &[Vec<String>]| {
        let all: Vec<Vec<String>> = std::iter::once(names.to_vec())
            .chain(rows.iter().cloned())
            .collect();
        columns(&sides, &all)
    };
    let width = table(rows)
        .iter()
        .map(|line| line.chars().count())
        .max()
        .unwrap_or(0);
    if width > COLUMNS - 2 {
        // Too many sections for columns: a line each, broken where it has to be.
        let lines = rows
            .iter()
            .flat_map(|row| wrap_whole(&row.join(" "), COLUMNS));
        let names = wrap_whole(&format!("Right in {}:", names.join(", ")), COLUMNS);
        return names.into_iter().chain(lines).collect();
    }
    let blocks = (COLUMNS / (width + 6)).max(1);
    let height = rows.len().div_ceil(blocks).max(rows.len().min(12));
    let blocks: Vec<Vec<String>> = rows.chunks(height.max(1)).map(table).collect();
    (0..=height)
        .map(|line| {
            let cells = blocks.iter().filter_map(|block| block.get(line));
            let cells: Vec<String> = cells.map(|cell| format!("  {cell:>width$}")).collect();
            cells.join("    ").trim_end().to_owned()
        })
        .collect()
}

/// How many are right in the third and later sections of the picture, when nobody says: half of
/// each, and more from the back as far as the mark needs it.
pub fn usual_others(rule: &Rule, mark: Mark) -> Vec<usize> {
    let sizes: Vec<usize> = rule.sections.iter().map(size).collect();
    let mut right: Vec<usize> = sizes
        .iter()
        .enumerate()
        .map(|(index, size)| if index < 2 { *size } else { size / 2 })
        .collect();
    for index in (2..sizes.len()).rev() {
        let full = sizes.get(index).copied().unwrap_or(0);
        while crate::odds::aim::mark_with(rule, &right) < mark {
            match right.get_mut(index) {
                Some(own) if *own < full => *own += 1,
                _ => break,
            }
        }
    }
    right.into_iter().skip(2).collect()
}
