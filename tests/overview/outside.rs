//! What people outside are told: no pupil, and no count in which somebody could be found.
#![expect(clippy::float_cmp, reason = "whole numbers")]

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use proptest::prelude::*;

use crate::markup::well_formed;
use crate::room::{aliases, group, large, read, run, table, told};

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

/// Edges lie where they lie in every version, so a range moves only where a share passes one of them.
#[test]
fn every_figure_is_a_range_of_ten_points_from_one_ten_to_the_next() {
    let dir = large();
    let (mut kinds, mut by_section) = (BTreeSet::new(), 0);
    for (paper, people, figure, of, low, high) in figures(dir.path()) {
        let people = people.unwrap();
        assert!(people.is_multiple_of(10), "{paper}");
        assert!(low % 10.0 == 0.0 && high - low == 10.0, "{paper} {of}");
        assert!((0.0..100.0).contains(&low), "{paper} {of}");
        let single = figure == "people_right_percent" || figure == "people_without_blank_percent";
        assert!(people >= 20 || !single, "{paper} {of}");
        by_section += usize::from(figure == "section_right_percent" && people >= 20);
        kinds.insert(figure);
    }
    assert_eq!(kinds.len(), 5, "{kinds:?}");
    assert!(by_section > 0);
}

/// Who is counted, what it isn't and when it was made stand on the page; what the tutor has to know doesn't.
#[test]
fn the_page_says_of_whom_its_figures_are_and_what_they_are_not() {
    let (dir, few) = (large(), group(9));
    let text = told(dir.path(), "overview --outside");
    let page = read(dir.path(), "sessions/pages/overview-outside.html");
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for says in [
        " people are counted; up to nine more may have sat.",
        "Their mean mark is between",
        "measure a pupil, a teacher or a school",
        "read papers side by side as progress",
        "Made on ",
        "Sat in ",
    ] {
        assert!(text.contains(says) && page.contains(says), "{says}");
    }
    assert!(!text.contains("version") && !page.contains("version"));
    let text = told(few.path(), "overview --outside");
    assert!(text.contains("The first five people's mean mark is between"));
    let advice = run(few.path(), "overview --outside");
    let advice = String::from_utf8(advice.stderr).unwrap();
    assert!(advice.contains("give out only one version"), "{advice}");
}

/// A folder that is handed on has no pupil's row in it.
#[test]
fn it_goes_into_no_folder_with_the_tables_of_pupils() {
    let dir = group(9);
    told(dir.path(), "overview --csv t");
    let refused = run(dir.path(), "overview --outside --csv t");
    let said = String::from_utf8(refused.stderr).unwrap();
    assert!(!refused.status.success());
    for word in [
        "overview-sheets.csv",
        "overview-answers.csv",
        "another folder",
    ] {
        assert!(said.contains(word), "{said}");
    }
    assert!(!dir.path().join("t/overview-outside.csv").exists());
}

/// Nor does one with pupils' rows come into a folder that is handed on already.
#[test]
fn no_table_of_pupils_is_put_beside_it() {
    let dir = group(9);
    told(dir.path(), "overview --outside --csv o");
    let names = || {
        let names = fs::read_dir(dir.path().join("o")).unwrap();
        let names: BTreeSet<_> = names.map(|entry| entry.unwrap().file_name()).collect();
        names
    };
    let before = names();
    let alias = aliases(dir.path()).into_iter().next().unwrap();
    let progress = format!("progress {alias} --csv");
    for words in ["overview --csv o", &format!("{progress} o/own.csv")] {
        let refused = run(dir.path(), words);
        let said = String::from_utf8(refused.stderr).unwrap();
        assert_eq!(refused.status.code(), Some(1), "{words}: {said}");
        let is_told = said.contains("overview-outside.csv") && said.contains("another folder");
        assert!(is_told, "{words}: {said}");
        assert_eq!(names(), before, "{words}");
    }
    told(dir.path(), "overview --outside --csv o");
    // What lay there before can be made again: erasing a pupil does.
    fs::create_dir(dir.path().join("p")).unwrap();
    told(dir.path(), &format!("{progress} p/own.csv"));
    told(dir.path(), "overview --outside --csv p");
    told(dir.path(), &format!("{progress} p/own.csv"));
}

/// A page without aliases isn't one that still has the old alias.
#[test]
fn renaming_a_pupil_names_no_page_for_people_outside() {
    let dir = group(9);
    told(dir.path(), "overview");
    told(dir.path(), "overview --outside");
    told(dir.path(), "overview --outside --csv o");
    let renamed = aliases(dir.path()).into_iter().find_map(|alias| {
        let done = run(dir.path(), &format!("rename {alias} other-{alias}"));
        done.status.success().then_some(done)
    });
    let said = String::from_utf8(renamed.unwrap().stderr).unwrap();
    assert!(said.contains("overview.html"), "{said}");
    assert!(!said.contains("outside"), "{said}");
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
