//! The kinds of findings, by the words that programs read.

use serde::Serialize;

use super::found::Seen;

/// What kind of thing was seen; the words are a promise of `--json`, and `DEVELOPERS.md` lists them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FindingKind {
    /// [`Seen::Sink`].
    Sink,
    /// [`Seen::Earned`].
    LongAndRight,
    /// [`Seen::LongStay`].
    LongStay,
    /// [`Seen::Rushed`].
    Rushed,
    /// [`Seen::LeftEasy`].
    LeftEasy,
    /// [`Seen::ToWrong`].
    ChangedToWrong,
    /// [`Seen::ToRight`].
    ChangedToRight,
    /// [`Seen::Blanks`].
    Blanks,
    /// [`Seen::Swept`].
    Sweep,
    /// [`Seen::ToAndFro`].
    ToAndFro,
    /// [`Seen::SlowStart`].
    SlowStart,
    /// [`Seen::EndedEarly`].
    EndedEarly,
    /// [`Seen::Unused`].
    UnusedTime,
    /// [`Seen::Luck`].
    Luck,
    /// [`Seen::Late`].
    CheckpointLate,
    /// [`Seen::Kept`].
    CheckpointsKept,
    /// [`Seen::SecondPass`].
    SecondPass,
    /// [`Seen::AllRight`].
    SectionAllRight,
    /// [`Seen::NoBlank`].
    NoBlank,
}

impl From<&Seen> for FindingKind {
    fn from(seen: &Seen) -> Self {
        match seen {
            Seen::Sink(_) => Self::Sink,
            Seen::Earned(_) => Self::LongAndRight,
            Seen::LongStay(_) => Self::LongStay,
            Seen::Rushed { .. } => Self::Rushed,
            Seen::LeftEasy { .. } => Self::LeftEasy,
            Seen::ToWrong { .. } => Self::ChangedToWrong,
            Seen::ToRight { .. } => Self::ChangedToRight,
            Seen::Blanks { .. } => Self::Blanks,
            Seen::Swept { .. } => Self::Sweep,
            Seen::ToAndFro(_) => Self::ToAndFro,
            Seen::SlowStart { .. } => Self::SlowStart,
            Seen::EndedEarly { .. } => Self::EndedEarly,
            Seen::Unused { .. } => Self::UnusedTime,
            Seen::Luck { .. } => Self::Luck,
            Seen::Late { .. } => Self::CheckpointLate,
            Seen::Kept { .. } => Self::CheckpointsKept,
            Seen::SecondPass { .. } => Self::SecondPass,
            Seen::AllRight { .. } => Self::SectionAllRight,
            Seen::NoBlank { .. } => Self::NoBlank,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::FindingKind::{self, *};

    const ALL: [FindingKind; 19] = [
        Sink,
        LongAndRight,
        LongStay,
        Rushed,
        LeftEasy,
        ChangedToWrong,
        ChangedToRight,
        Blanks,
        Sweep,
        ToAndFro,
        SlowStart,
        EndedEarly,
        UnusedTime,
        Luck,
        CheckpointLate,
        CheckpointsKept,
        SecondPass,
        SectionAllRight,
        NoBlank,
    ];

    #[test]
    fn the_docs_list_every_kind_and_no_other() {
        assert_eq!(ALL.len(), NoBlank as usize + 1, "a kind is not in the list");
        let docs = include_str!("../../../DEVELOPERS.md");
        let table = docs.split("| kind | ").nth(1).unwrap();
        let rows = table.lines().skip(2).take_while(|row| row.starts_with('|'));
        let listed: Vec<_> = rows.filter_map(|row| row.split('`').nth(1)).collect();
        let word = |kind| serde_json::to_value(kind).unwrap();
        let words: Vec<_> = ALL.into_iter().map(word).collect();
        assert_eq!(listed, words);
    }
}
