//! A pupil's sittings on one scale, in words.

use std::fmt::Write;

use super::COLUMNS;
use crate::cohort::scale::equating::Shift;
use crate::reports::sources::CAUTION;
use crate::season::progress::{OnScale, Progress};
use crate::words::count::counted;
use crate::words::numbers::{plain, signed};
use crate::words::sign::Sign;
use crate::words::text::{Side, columns, cut, hanging};
use crate::words::time::table_day;

/// The table of the sittings on the scale, and what it rests on; nothing where nothing is marked.
pub(super) fn block(progress: &Progress) -> Vec<String> {
    let Some(scale) = &progress.scale else {
        return Vec::new();
    };
    let heads = ["Date", "Paper", "Worth", "8 in 10", "Measure", "Error", ""];
    let mut rows = vec![heads.map(String::from).to_vec()];
    rows.extend(progress.lines.iter().filter_map(|line| {
        let standing = scale.sittings.get(&line.sitting)?;
        let (low, high) = standing.range;
        Some(vec![
            table_day(line.started.date_naive()),
            cut(&line.paper, 30),
            format!("{:.0}", standing.worth),
            format!("{low:.0} to {high:.0}"),
            signed(standing.measure.value, 2),
            format!("{:.2}", standing.measure.error),
            Sign::Apart.if_so(line.apart.is_some()).trim().to_owned(),
        ])
    }));
    let mut lines = Vec::new();
    if rows.len() > 1 {
        lines.extend(hanging(
            "",
            &format!(
                "On one scale: what the worked marks are worth on {} (of {})",
                scale.reference,
                plain(scale.max)
            ),
            COLUMNS,
        ));
        let [left, right] = [Side::Left, Side::Right];
        let table = columns(&[left, left, right, right, right, right, left], &rows);
        lines.extend(table.iter().map(|line| format!("  {line}")));
    }
    lines.extend(hanging("  ", &note(scale), COLUMNS));
    for shift in &scale.shifts {
        lines.extend(hanging(
            "  ",
            &shift_words(shift, &scale.reference),
            COLUMNS,
        ));
    }
    lines
}

/// What the scale rests on, or why there is none.
pub(super) fn note(scale: &OnScale) -> String {
    if let Some(why) = &scale.shortage {
        return format!(
            "No scale across papers: {why}. Until then compare how far each mark lies over its own paper's boundary."
        );
    }
    let mut said = format!(
        "From {} and {} (conditional maximum likelihood; Warm's estimate in logits). \
         What all pupils who link the papers gained between them does not show here.",
        counted(scale.people, "other pupil"),
        counted(scale.papers.len(), "paper"),
    );
    if !scale.apart.is_empty() {
        let _ = write!(
            said,
            " Not on the scale: {}, not connected to {} by another pupil or a question.",
            scale.apart.join(", "),
            scale.reference
        );
    }
    format!("{said} {CAUTION}")
}

fn shift_words(shift: &Shift, reference: &str) -> String {
    let harder = if shift.used < 0.0 { "easier" } else { "harder" };
    let from = if shift.same_pupils {
        format!("{} pupils who sat both", shift.people.0)
    } else {
        format!(
            "{} and {} pupils, taken as alike",
            shift.people.0, shift.people.1
        )
    };
    format!(
        "{} counts as {:.2} questions {harder} than {reference}: seen {:.2}, standard error {:.2} \
         ({from}), drawn to none by its error. {CAUTION}",
        shift.paper,
        shift.used.abs(),
        shift.seen * shift.used.signum(),
        shift.error,
    )
}
