//! What a mark takes, in words.

use crate::domain::mark::Mark;
use crate::odds::aim::{MOST_COMBINATIONS, OneMore};
use crate::odds::mark_distribution::MarkDistribution;
use crate::season::aim::Likely;
use crate::season::estimate::Estimates;
use crate::words::count::counted;
use crate::words::numbers::{in_ten, plain};
use crate::words::sources::CAUTION;
use crate::words::text::cut;

/// The row of the fewest right answers.
pub const FEWEST_RIGHT: &str = "Fewest right, over any questions";

/// The row of the first questions that are enough.
pub const FROM_THE_FRONT: &str = "From question 1 on, no gaps";

/// The columns of what one more right answer changes.
pub const ONE_MORE: &str = "One more right";
/// See [`ONE_MORE`].
pub const AND_THE_CHANCE: &str = "and the chance";

/// Where one more right changes nothing, since all are certain.
pub const ALL_CERTAIN: &str = "all certain";

/// How much likelier the mark becomes: `+8 in 100`, `under +1 in 100`.
pub fn more_in_a_hundred(change: f64) -> String {
    let hundredths = (change.max(0.0) * 100.0).round();
    if hundredths < 1.0 {
        "under +1 in 100".to_owned()
    } else {
        format!("+{hundredths:.0} in 100")
    }
}

/// The mark aimed at, of how many, and the award that begins there.
pub fn heading(mark: Mark, max: Mark, award: Option<&str>) -> String {
    let award = award.map_or_else(String::new, |award| format!(" ({})", cut(award, 30)));
    format!("{} of {} marks{award}", plain(mark), plain(max))
}

/// That a blank paper reaches the mark.
pub fn blank_has_it(blank: Mark) -> String {
    format!("A blank paper already gets there: {} marks.", plain(blank))
}

/// What becomes of all other questions, and what a blank paper has.
pub fn others_blank(blank: Mark) -> String {
    let rest = if blank == Mark::ZERO {
        String::new()
    } else {
        format!(" A blank paper has {} marks.", plain(blank))
    };
    format!("All other questions are left blank.{rest}")
}

/// That no sheet reaches the mark.
pub fn out_of_reach(max: Mark) -> String {
    format!(
        "Out of reach: with every question right the mark is {}.",
        plain(max)
    )
}

/// What one more right answer adds.
pub fn added(more: &OneMore) -> String {
    let blank = format!("+{}", plain(more.instead_of_blank));
    if more.instead_of_blank == more.instead_of_wrong {
        blank
    } else {
        format!(
            "{blank} (for a wrong one +{})",
            plain(more.instead_of_wrong)
        )
    }
}

/// How likely the mark is under the chances that were given.
pub fn chance(totals: &MarkDistribution, mark: Mark) -> String {
    format!(
        "With the chances given: {:.1} marks on average, give or take {:.1} (SD); chance of {} or more: {}. \
         \"One more right\" there makes one question certain, a blank one first, then the least likely. \
         It is only as good as the chances given, and not an official result.",
        totals.mean(),
        totals.sd(),
        plain(mark),
        in_ten(totals.at_least(mark)),
    )
}

/// How likely the mark is by a pupil's sittings.
pub fn chance_of_pupil(estimates: &Estimates, likely: &Likely, mark: Mark) -> String {
    let (mean, sd) = likely.expected;
    format!(
        "From {} of {} ({} of a whole paper) and {} of others: {mean:.1} marks in time on average, \
         give or take {sd:.1} (SD); chance of {} or more: {}. \"One more right\" there makes the \
         question least likely to be right a certain one. {CAUTION}",
        counted(estimates.counted.marked, "marked sitting"),
        estimates.pupil,
        estimates.counted.whole,
        counted(estimates.group_sittings, "sitting"),
        plain(mark),
        in_ten(likely.chance),
    )
}

/// That there are too many combinations to list.
pub fn too_many() -> String {
    format!(
        "There are more than {MOST_COMBINATIONS} combinations of sections, so they are not listed."
    )
}

/// What stands above the combinations.
pub fn combinations(count: usize) -> String {
    match count {
        1 => "The one combination (with one fewer right, it falls short):".to_owned(),
        count => format!("All {count} combinations (with one fewer right, it falls short):"),
    }
}

/// How many combinations a page leaves out.
pub fn more_combinations(count: usize) -> String {
    format!("... and {count} more; --json lists all.")
}

/// What the picture of one section shows.
pub fn picture_of_one(first: &str) -> String {
    format!("Right in {first}, and what it reaches:")
}

/// What the picture of two sections shows, with so many right in the others.
pub fn picture_of_two(first: &str, second: &str, others: &[(usize, String)]) -> String {
    let others: Vec<_> = others
        .iter()
        .map(|(right, section)| format!("{right} right in {section}"))
        .collect();
    let with = if others.is_empty() {
        String::new()
    } else {
        format!(", with {} (--others changes that)", others.join(", "))
    };
    format!("Right in {first} across, in {second} up{with}:")
}

/// What stands beside the sign of the aim.
pub fn the_aim(mark: Mark) -> String {
    format!("{} marks, the aim", plain(mark))
}

/// What capitals and small letters in the picture mean.
pub const CAPITALS: &str =
    "Capital letters are the boundaries themselves, small letters the marks above them.";
