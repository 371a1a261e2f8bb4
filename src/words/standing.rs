//! How many sittings count, and why others do not.

use std::collections::BTreeMap;
use std::fmt::Display;
use std::path::Path;

use super::count::counted;
use crate::cohort::entry::Entry;
use crate::domain::header::Alias;
use crate::domain::standing::Exclusion;

impl Exclusion {
    /// What the sittings are that are left out for it, after their number.
    pub const fn words(self) -> &'static str {
        match self {
            Self::OtherPaper => "of another paper",
            Self::OtherVersion => "on another version of this paper's questions",
            Self::OtherRule => "under another marking rule",
            Self::NoKey => "without a key that fits",
            Self::Open => "not ended yet",
            Self::GivenUp => "given up",
            Self::Part => "on a part of the paper only",
            Self::ShortTime => "with less than the paper's own time, while others had all of it",
            Self::Later => "of pupils whose first whole sitting counts",
            Self::Invented => "invented, while others are real",
            Self::Replaced => "replaced by a later answer sheet",
        }
    }
}

/// What is said of a sitting that was withdrawn, wherever it is shown by itself.
pub fn counts_nowhere(reason: Exclusion) -> String {
    format!(
        "This sitting doesn't count anywhere: it was {}.",
        reason.words()
    )
}

/// What counts a pupil's later sittings as well, where a command is typed.
pub const EVERY: &str = "; --every counts them as well";

/// `2 sittings given up`, for each reason; `for_later` follows on sittings that come after a pupil's first.
pub fn left_out(reasons: impl IntoIterator<Item = Exclusion>, for_later: &str) -> Vec<String> {
    let mut counts = BTreeMap::<Exclusion, usize>::new();
    for reason in reasons {
        *counts.entry(reason).or_default() += 1;
    }
    let line = |(reason, count): (&Exclusion, &usize)| {
        let way_out = match reason {
            Exclusion::Later => for_later,
            _ => "",
        };
        format!("{} {}{way_out}", counted(*count, "sitting"), reason.words())
    };
    counts.iter().map(line).collect()
}

/// How many sittings count, and of how many pupils.
pub fn how_many_count(sittings: usize, pupils: usize, entry: Entry) -> String {
    let sheets = counted(sittings, "sitting");
    match entry {
        Entry::First => format!("counted {sheets}, the first whole one of each pupil"),
        Entry::Every => format!(
            "counted {sheets}, every whole one of {}",
            counted(pupils, "pupil")
        ),
    }
}

/// What is said of a file that holds a sitting once more.
pub fn copied(copy: &Path, kept: &Path, differs: bool) -> String {
    let (copy, kept) = (copy.display(), kept.display());
    if differs {
        format!(
            "{copy}: the same sitting as {kept}, but with different lines; the one with more lines counts, so check both"
        )
    } else {
        format!("{copy}: the same sitting as {kept}; it counts once")
    }
}

/// Before what is said beside a group's figures.
pub fn note(said: impl Display) -> String {
    format!("note: {said}")
}

/// What was left out, in a note.
pub fn note_left_out(said: impl Display) -> String {
    note(format_args!("left out {said}"))
}

/// A file that was left out, in a note.
pub fn note_unread(reason: impl Display) -> String {
    note(format_args!("left out, because it can't be read: {reason}"))
}

/// Sittings that were not marked, by paper: of papers that were not `chosen`, or without a key.
pub fn note_not_marked(chosen: bool, papers: &BTreeMap<String, usize>) -> Option<String> {
    let count: usize = papers.values().sum();
    let papers = papers.iter().map(|(id, count)| format!("{id} {count}"));
    let papers: Vec<_> = papers.collect();
    (count > 0).then(|| {
        note_left_out(format_args!(
            "{} {} ({})",
            counted(count, "sitting"),
            if chosen {
                "of other papers"
            } else {
                "without a key"
            },
            papers.join(", ")
        ))
    })
}

/// What was left out of a pupil's season, as a sentence.
pub fn left_out_of_season(said: impl Display) -> String {
    format!("Left out: {said}")
}

/// Sittings of a paper that has no key.
pub fn without_key(paper: &str, sittings: usize) -> String {
    left_out_of_season(format_args!(
        "{} of `{paper}`, but no key for it was found. Use --keys DIR to say where it is.",
        counted(sittings, "sitting")
    ))
}

/// That a pupil has no marked sitting.
pub fn none_marked(pupil: &Alias, sessions: &Path) -> String {
    format!(
        "No marked sitting of {pupil} was found in {}.",
        sessions.display()
    )
}
