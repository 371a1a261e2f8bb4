//! Item analysis against two other implementations, on a cohort made up to be checked by hand and on the
//! 1525 people of Condon & Revelle (2014), *Intelligence* 43, 52-64.

use crate::cohort::{Cohort, GRID_REAL, SCHEMES, cohort, filled};
use crate::reading::{Row, close, same, table};
use pacebell::stats::item::{ItemAnalysis, KELLEY_PERCENT, analyse};
use pacebell::stats::tally::{Item, ItemMarks, Tally};

const COHORTS: [&str; 2] = ["tiny", "iqitems"];
const EXACT: f64 = 1e-10;

fn analysed(tally: &Tally) -> ItemAnalysis {
    analyse(tally, KELLEY_PERCENT).unwrap()
}

fn size(people: usize) -> f64 {
    f64::from(u32::try_from(people * 27 / 100 + usize::from(people * 27 % 100 >= 50)).unwrap())
}

#[test]
fn questions_agree() {
    for prefix in COHORTS {
        let found = analysed(&cohort(prefix).by_number_right());
        let rows = table(&format!("{prefix}_item_stats.csv"));
        assert_eq!(rows.len(), found.items.len());
        for (row, item) in rows.iter().zip(&found.items) {
            let what = format!("{prefix} {}", row.text("item"));
            assert_eq!(item.right, row.count("n_right"), "{what}: right");
            assert_eq!(item.wrong, row.count("n_wrong"), "{what}: wrong");
            assert_eq!(
                item.blanks.omitted,
                row.count("omitted_strict"),
                "{what}: omitted"
            );
            let missed = row.count("not_reached_strict");
            assert_eq!(item.blanks.not_reached, missed, "{what}: not reached");
            let told = item.discrimination;
            let figures = [
                (Some(item.facility), "facility"),
                (item.facility_of_reached, "facility_of_reached_strict"),
                (told.item_total, "r_item_total"),
                (told.item_rest, "r_item_rest"),
                (told.upper, "pU27_prop"),
                (told.lower, "pL27_prop"),
                (told.difference, "D27_prop"),
                (item.alpha_without, "alpha_if_deleted"),
            ];
            for (value, column) in figures {
                same(
                    value,
                    row.number(column),
                    EXACT,
                    &format!("{what}: {column}"),
                );
            }
        }
    }
}

#[test]
fn options_agree() {
    for prefix in COHORTS {
        let Cohort { names, .. } = cohort(prefix);
        let found = analysed(&cohort(prefix).by_number_right());
        let rows = table(&format!("{prefix}_option_stats.csv"));
        let shown: usize = found.items.iter().map(|item| item.options.len()).sum();
        assert_eq!(rows.len(), shown);
        for row in rows {
            let what = format!(
                "{prefix} {} option {}",
                row.text("item"),
                row.text("option")
            );
            let index = names
                .iter()
                .position(|name| name == row.text("item"))
                .unwrap();
            let code = row.text("option").parse().unwrap_or(0);
            let option = found.items[index].options[code];
            assert_eq!(usize::from(option.code), code, "{what}");
            assert_eq!(option.is_right, row.text("is_key") == "1", "{what}");
            assert_eq!(option.count, row.count("count"), "{what}");
            let figures = [
                (Some(option.share), "proportion"),
                (option.mean_total, "mean_total_of_choosers"),
                (option.mean_rest, "mean_rest_of_choosers"),
                (option.rest_correlation, "r_choice_rest"),
                (Some(option.upper), "U27_prop_count"),
                (Some(option.lower), "L27_prop_count"),
            ];
            for (value, column) in figures {
                same(
                    value,
                    row.number(column),
                    EXACT,
                    &format!("{what}: {column}"),
                );
            }
        }
    }
}

#[test]
fn the_paper_agrees() {
    for prefix in COHORTS {
        let found = analysed(&cohort(prefix).by_number_right());
        let rows = table(&format!("{prefix}_test_stats.csv"));
        let expected = |name: &str| {
            let row = rows.iter().find(|row| row.text("statistic") == name);
            row.and_then(|row| row.number("value"))
        };
        let (totals, trust) = (&found.totals, found.reliability);
        close(
            size(totals.people),
            expected("g27_group_size").unwrap(),
            0.0,
            "27 % group",
        );
        let omitted: usize = found.items.iter().map(|item| item.blanks.omitted).sum();
        let missed: usize = found.items.iter().map(|item| item.blanks.not_reached).sum();
        let whole = |count: usize| Some(f64::from(u32::try_from(count).unwrap()));
        let figures = [
            (whole(totals.people), "n_persons"),
            (whole(omitted), "total_omitted_strict"),
            (whole(missed), "total_not_reached_strict"),
            (Some(totals.mean), "mean"),
            (totals.sd, "sd_n_minus_1"),
            (Some(totals.sd_population), "sd_n"),
            (Some(totals.quartiles.lower), "q1_type7"),
            (Some(totals.quartiles.median), "median"),
            (Some(totals.quartiles.upper), "q3_type7"),
            (trust.alpha, "cronbach_alpha_01"),
            (trust.kr20, "kr20"),
            (trust.kr21, "kr21_population_variance"),
            (trust.sem, "sem_sd_n_minus_1"),
        ];
        for (value, name) in figures {
            same(value, expected(name), EXACT, &format!("{prefix}: {name}"));
        }
    }
}

#[test]
fn the_distribution_of_the_number_right_agrees() {
    for prefix in COHORTS {
        let tally = cohort(prefix).by_number_right();
        let expected: Vec<usize> = table(&format!("{prefix}_score_distribution.csv"))
            .iter()
            .map(|row| row.count("count"))
            .collect();
        assert_eq!(tally.numbers_right(), expected, "{prefix}");
    }
}

#[test]
fn alpha_and_error_on_marks_agree_under_ten_rules() {
    for prefix in COHORTS {
        let people = cohort(prefix);
        let rows = table(&format!("{prefix}_scheme_stats.csv"));
        assert_eq!(rows.len(), SCHEMES.len());
        for row in rows {
            under_one_rule(&people, &row, prefix);
        }
    }
}

fn under_one_rule(people: &Cohort, row: &Row, prefix: &str) {
    let found = analysed(&people.under(row.text("scheme")));
    let ItemAnalysis {
        totals,
        reliability,
        items,
    } = &found;
    let lowest = totals.histogram.first().map(|(total, _)| *total).unwrap();
    let highest = totals.histogram.last().map(|(total, _)| *total).unwrap();
    let negative: usize = totals
        .histogram
        .iter()
        .filter(|(total, _)| *total < 0)
        .map(|(_, count)| count)
        .sum();
    assert_eq!(negative, row.count("n_negative_totals"));
    assert_eq!(items.len(), row.count("n_items_scored"));
    let marks = |steps: i64| Some(f64::from(i32::try_from(steps).unwrap()) / GRID_REAL);
    let figures = [
        (marks(lowest), "min"),
        (marks(highest), "max"),
        (Some(totals.mean / GRID_REAL), "mean_exact"),
        (totals.sd.map(|sd| sd / GRID_REAL), "sd_n_minus_1"),
        (Some(totals.sd_population / GRID_REAL), "sd_n"),
        (Some(totals.quartiles.median / GRID_REAL), "median"),
        (reliability.alpha, "cronbach_alpha_of_item_marks"),
        (
            reliability.sem.map(|sem| sem / GRID_REAL),
            "sem_sd_n_minus_1",
        ),
    ];
    for (value, column) in figures {
        let what = format!("{prefix} {}: {column}", row.text("scheme"));
        same(value, row.number(column), EXACT, &what);
    }
}

#[test]
fn five_items_of_bock_and_lieberman_agree() {
    // Bock & Lieberman (1970), Psychometrika 35, 179-197: 1000 people; alpha 0.295 (from memory).
    let rows: Vec<Vec<u8>> = table("lsat6.csv")
        .iter()
        .map(|row| ["I1", "I2", "I3", "I4", "I5"].map(|item| row.text(item)))
        .map(|row| row.map(|text| u8::from(text != "1") + 1).to_vec())
        .collect();
    let one = Item {
        options: 2,
        accepted: vec![1],
        marks: ItemMarks::NUMBER_RIGHT,
    };
    let found = analysed(&filled(vec![one; 5], 0, &rows));
    same(
        found.reliability.kr20,
        Some(0.295),
        5e-5,
        "alpha as remembered",
    );
    for row in table("lsat6_ctt_test.csv") {
        let value = match row.text("statistic") {
            "kr20" => found.reliability.kr20,
            "cronbach_alpha" => found.reliability.alpha,
            "kr21_population_variance" => found.reliability.kr21,
            "sem_sd_n_minus_1" => found.reliability.sem,
            _ => continue,
        };
        same(value, row.number("value"), EXACT, row.text("statistic"));
    }
    for (row, item) in table("lsat6_ctt_items.csv").iter().zip(&found.items) {
        assert_eq!(item.right, row.count("n_right"));
        same(
            item.discrimination.item_rest,
            row.number("r_item_rest"),
            EXACT,
            "item-rest",
        );
        same(
            item.alpha_without,
            row.number("alpha_if_deleted"),
            EXACT,
            "alpha without",
        );
    }
}

#[test]
fn a_cohort_a_hundred_times_as_large_has_the_same_figures() {
    let people = cohort("tiny");
    let many: Vec<Vec<u8>> = std::iter::repeat_n(people.rows.clone(), 100)
        .flatten()
        .collect();
    let one = analysed(&people.by_number_right());
    let hundred = analysed(
        &Cohort {
            rows: many,
            ..people
        }
        .by_number_right(),
    );
    same(
        one.reliability.kr20,
        hundred.reliability.kr20,
        EXACT,
        "KR-20",
    );
    for (one, hundred) in one.items.iter().zip(&hundred.items) {
        assert_eq!(one.right * 100, hundred.right);
        let rest = (
            one.discrimination.item_rest,
            hundred.discrimination.item_rest,
        );
        same(rest.0, rest.1, EXACT, "item-rest");
    }
}
