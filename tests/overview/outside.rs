//! What people outside are told: no pupil, and no count in which somebody could be found.
#![expect(clippy::float_cmp, reason = "whole numbers")]

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use proptest::prelude::*;

use crate::markup::well_formed;
use crate::room::{aliases, group, large, read, table, told};

fn real(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap())
}

/// A row of the table for people outside: paper, people, figure, of, low, high.
type Figure = (String, Option<usize>, String, String, f64, f64);

/// The rows of that table.
fn figures(folder: &Path) -> Vec<Figure> {
    told(folder, "overview --outside --csv t");
    let rows = table(&folder.join("t/overview-outside.csv"));
    let each = rows.iter().map(|row| {
        let number = |cell: &str| cell.parse().unwrap();
        (
            row[0].to_owned(),
            row[3].parse().ok(),
            row[4].to_owned(),
            row[5].to_owned(),
            number(&row[7]),
            number(&row[8]),
        )
    });
    each.collect()
}

#[test]
fn no_alias_and_no_sitting_is_anywhere_in_it() {
    for pupils in [4, 9, 24] {
        let dir = group(pupils);
        let mut all = vec![told(dir.path(), "overview --outside")];
        all.push(read(dir.path(), "sessions/pages/overview-outside.html"));
        assert_eq!(well_formed(&all[1]), Ok(()));
        told(dir.path(), "overview --outside --csv t");
        for entry in fs::read_dir(dir.path().join("t")).unwrap() {
            all.push(fs::read_to_string(entry.unwrap().path()).unwrap());
        }
        assert_eq!(all.len(), 4);
        for name in aliases(dir.path()) {
            assert!(all.iter().all(|text| !text.contains(&name)), "{name}");
        }
        assert!(all.iter().all(|text| !text.contains("session.ron")));
    }
}

#[test]
fn a_count_of_people_is_ten_or_more_on_both_sides_or_a_range_ten_wide() {
    let dir = group(24);
    let mut exact = 0;
    for (paper, people, figure, of, low, high) in figures(dir.path()) {
        let people = real(people.unwrap());
        assert!(people % 10.0 == 0.0, "{paper}");
        match figure.as_str() {
            "people_right" | "people_without_blank" if low == high => {
                exact += 1;
                assert!(low >= 10.0 && people - low >= 10.0, "{paper} {of}");
            }
            "people_right" | "people_without_blank" => {
                assert!(high - low >= 9.0, "{paper} {of}: {low} to {high}");
                assert!(low == 0.0 || high == people, "{paper} {of}");
            }
            "people_by_marks" => assert!(low >= high && low >= 10.0, "{paper} {of}"),
            "section_right_percent" => assert!(people < 20.0 && high - low == 10.0),
            other => panic!("{other}"),
        }
    }
    assert!(exact > 0, "a group of 24 has something to tell exactly");
}

/// Where a question's count is hidden, nothing else on the page gives it away: people by marks make up everybody and
/// stand alone, so that no other table splits the same people.
#[test]
fn a_paper_has_one_table_that_splits_its_people_and_it_makes_up_everybody() {
    let dir = large();
    let mut sums = BTreeMap::<String, (f64, f64)>::new();
    let mut by_section = BTreeMap::<String, usize>::new();
    for (paper, people, figure, _, low, _) in figures(dir.path()) {
        let people = people.unwrap();
        if figure == "people_by_marks" {
            sums.entry(paper).or_insert((0.0, real(people))).0 += low;
        } else if figure == "section_right_percent" {
            by_section.insert(paper, people);
        }
    }
    assert!(!sums.is_empty());
    for (paper, (sum, people)) in &sums {
        assert_eq!(sum, people, "{paper}");
    }
    assert!(
        by_section.values().all(|people| *people < 20),
        "sections would add up questions that are hidden"
    );
}

/// A group that grows by one pupil at a time: what is told stays the same until ten more have sat a paper, so that
/// taking one table from the next never leaves one person.
#[test]
fn two_tables_of_a_growing_group_differ_by_ten_people_or_not_at_all() {
    let whole = group(24);
    let dir = tempfile::tempdir().unwrap();
    crate::room::copy_papers(whole.path(), dir.path());
    let mut before: Option<Vec<_>> = None;
    let mut changed = 0;
    // Pupils come in the order in which they sat, as they do over a term.
    for name in crate::room::by_first_sitting(whole.path(), "saltmarsh-b") {
        crate::room::copy_pupil(whole.path(), dir.path(), &name);
        let now: Vec<_> = figures(dir.path())
            .into_iter()
            .filter(|(paper, ..)| paper == "saltmarsh-b")
            .collect();
        if let Some(before) = before.replace(now.clone())
            && before != now
        {
            changed += 1;
            let people = |all: &[Figure]| all.first().and_then(|row| row.1).unwrap_or(0);
            let (was, is) = (people(&before), people(&now));
            assert!(is - was == 10 || was == 0, "{was} and {is}");
        }
    }
    assert!((2..=4).contains(&changed), "{changed}");
}

/// Nine people have one range, of the first five; four have nothing.
#[test]
fn a_group_under_ten_has_one_range_and_one_under_five_nothing() {
    let nine = group(9);
    let rows = figures(nine.path());
    assert!(!rows.is_empty());
    for (paper, people, figure, _, low, high) in rows {
        assert_eq!(
            (people, figure.as_str(), high - low),
            (None, "mean_percent", 20.0),
            "{paper}"
        );
    }
    assert_eq!(figures(group(4).path()), []);
}

/// A class list of one day: a row for each alias with its letters.
fn type_in(folder: &Path, sheets: &[(String, String)]) {
    let heads = (1..=25).map(|question| question.to_string());
    let heads: Vec<_> = ["pupil".to_owned()].into_iter().chain(heads).collect();
    let mut list = heads.join(",") + "\n";
    for (alias, letters) in sheets {
        let letters = letters.chars().map(String::from);
        let cells: Vec<_> = [alias.clone()].into_iter().chain(letters).collect();
        list += &(cells.join(",") + "\n");
    }
    fs::write(folder.join("list.csv"), list).unwrap();
    told(
        folder,
        "enter saltmarsh-b --from list.csv --date 2026-03-05 --sessions sessions",
    );
}

fn with_papers() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    crate::room::copy_papers(Path::new(env!("CARGO_MANIFEST_DIR")), dir.path());
    dir
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]

    /// Sheets of one day have no order but that in which they were typed in: a list makes the same figures in any folder,
    /// and one sheet more, whatever its alias, changes none of them unless it makes the next ten.
    #[test]
    fn one_more_sheet_of_the_day_changes_no_figure_short_of_the_next_ten(
        letters in prop::collection::vec("[A-E-]{25}", 5..26),
        last in "[A-E]{25}",
        first_of_all in any::<bool>(),
    ) {
        let sheets: Vec<_> = (10..).zip(letters).map(|(no, own)| (format!("m{no}"), own)).collect();
        let (one, other) = (with_papers(), with_papers());
        type_in(one.path(), &sheets);
        type_in(other.path(), &sheets);
        let before = figures(one.path());
        prop_assert!(!before.is_empty());
        prop_assert_eq!(&before, &figures(other.path()));
        let alias = if first_of_all { "a" } else { "z" };
        type_in(one.path(), &[(alias.to_owned(), last)]);
        if (sheets.len() + 1).is_multiple_of(10) {
            let people = figures(one.path()).first().and_then(|row| row.1);
            prop_assert_eq!(people, Some(sheets.len() + 1));
        } else {
            prop_assert_eq!(before, figures(one.path()));
        }
    }
}
