//! What a forecast says beside the mark: the plain average, jumps, and questions met before.

use pacebell::analysis::evidence::Evidence;
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::Paper;
use pacebell::season::forecast::Forecast;
use pacebell::words::forecast::mark;

use crate::worked::{estimates, paper, sitting, three};

/// A sitting with so many right, and so many marks.
fn with_right(right: usize, marks: i64, title: &str, week: i64) -> Evidence {
    let codes = ["R".repeat(right), "W".repeat(25 - right)].concat();
    let mut one = sitting(&codes, title, week);
    one.totals.in_time = Mark::whole(marks);
    one
}

fn said(season: &[Evidence], asked: &Paper) -> String {
    let found = estimates(season, asked);
    mark(&Forecast::new(asked, &found).unwrap(), &found).join(" ")
}

const JUMPS: &str = "Their results jump more than most, so the range is wide.";

#[test]
fn the_plain_average_stands_beside_the_mark() {
    let season = [with_right(15, 65, "a", 0), with_right(16, 70, "b", 1)];
    let said = said(&season, &paper("t"));
    assert!(said.starts_with("Mark in time: about "), "{said}");
    assert!(
        said.contains(
            "Their average over all papers so far is 68; practice usually adds a little."
        ),
        "{said}"
    );
    assert!(
        !said.contains(JUMPS) && !said.contains("met before"),
        "{said}"
    );
}

/// Nearly all right and nearly nothing, turn and turn about; and the same few marks every time.
#[test]
fn whoever_jumps_more_than_most_is_told_so() {
    let of = |rights: [usize; 6]| {
        let weeks = rights.iter().zip(0_i64..);
        let season: Vec<_> = weeks
            .map(|(right, week)| with_right(*right, 60, &format!("heath {week}"), week))
            .collect();
        said(&season, &paper("t"))
    };
    assert!(of([23, 3, 22, 4, 23, 3]).contains(JUMPS));
    assert!(!of([14, 13, 14, 15, 14, 13]).contains(JUMPS));
}

#[test]
fn a_paper_that_was_met_is_told_with_both_marks() {
    let season = three(["a", "b", "c"]);
    let said = said(&season, &paper("a"));
    assert!(said.contains("Mark in time: about 81 of 125."), "{said}");
    assert!(
        said.contains("otter has met 25 of its 25 questions before.")
            && said.contains("on these it may be about 84, but that is untested."),
        "{said}"
    );
}

#[test]
fn a_few_questions_met_are_counted_as_easier() {
    let mut season = three(["a", "b", "c"]);
    season[1].answers.truncate(8);
    let said = said(&season, &paper("b"));
    assert!(
        said.contains(
            "8 questions were met before. Questions met before count as a little easier."
        ),
        "{said}"
    );
}
