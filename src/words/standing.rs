//! How many sittings count, and why others do not.

use std::collections::BTreeMap;
use std::fmt::Display;
use std::path::{Path, PathBuf};

use super::count::{agree, counted};
use super::keeping::two_aliases;
use super::text::capital;
use super::time::{day, time_in_words};
use crate::cohort::entry::Entry;
use crate::domain::character::ShownPath as _;
use crate::domain::header::{Alias, Header};
use crate::domain::notes::Ruling;
use crate::domain::standing::Exclusion;
use crate::domain::time::Elapsed;

impl Exclusion {
    /// What the sittings are that are left out for it, after their number.
    pub const fn words(self) -> &'static str {
        match self {
            Self::SetAside => "set aside",
            Self::Disputed => "kept in two files that say different things",
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
    format!("This sitting doesn't count anywhere: {}.", it_was(reason))
}

fn it_was(reason: Exclusion) -> String {
    let was = match reason {
        Exclusion::Open => "it has",
        _ => "it was",
    };
    format!("{was} {}", reason.words())
}

/// That a sitting is no longer set aside, and does not count all the same: why, and what would make it count.
pub fn back_but_barred(header: &Header, reason: Exclusion, by: &[PathBuf]) -> String {
    let by: Vec<_> = by.iter().map(|file| file.shown().to_string()).collect();
    let way_out = match (reason, by.as_slice()) {
        (Exclusion::Disputed, [_, ..]) => format!(
            " The other: {}. Set aside whichever is wrong: pacebell set-aside FILE --because \"typed wrong\"",
            by.join(", ")
        ),
        (Exclusion::Replaced, [_, ..]) => format!(
            " To count this one instead, set aside the later sheet: pacebell set-aside {} --because \"typed wrong\"",
            by.join(" ")
        ),
        _ => String::new(),
    };
    format!(
        "No longer set aside, but it still doesn't count: {}. {}.{way_out}",
        which(header),
        capital(&it_was(reason))
    )
}

/// The same in a line, where a key was pressed.
pub fn still_not_counted(reason: Exclusion) -> String {
    format!("Still doesn't count: {}.", it_was(reason))
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

/// A file that holds a sitting once more.
#[derive(Clone, Copy, Debug)]
pub struct CopiedFile<'a> {
    /// The file.
    pub copy: &'a Path,
    /// The one that is read for the sitting.
    pub kept: &'a Path,
    /// Whether it says something that the other does not.
    pub differs: bool,
    /// The pupils of both, where nothing but the alias differs.
    pub aliases: Option<&'a (Alias, Alias)>,
    /// Whether it is set aside.
    pub set_aside: bool,
}

/// What is said of a file that holds a sitting once more.
pub fn copied(file: &CopiedFile<'_>) -> String {
    let (copy, kept) = (file.copy.shown(), file.kept.shown());
    if let Some((one, other)) = file.aliases.filter(|_| !file.set_aside) {
        let way_out = two_aliases([one, other].into_iter().map(Alias::as_str));
        return format!("{copy}: the same sitting as {kept}; {way_out}");
    }
    match (file.set_aside, file.differs) {
        (true, _) => format!("{copy}: set aside; the same sitting in {kept} is used"),
        (false, false) => format!("{copy}: the same sitting as {kept}; it counts once"),
        (false, true) => format!(
            "{copy}: the same sitting as {kept}, but with different lines; neither counts until you choose: compare them, then `pacebell set-aside` the wrong file"
        ),
    }
}

/// That a sitting was set aside, by whom and why, so that it doesn't count.
pub fn set_aside(decision: &Ruling) -> String {
    let day = day(decision.at.date_naive());
    let because = decision.because.trim_end_matches('.');
    format!(
        "This sitting doesn't count anywhere. It was set aside on {day} by {}: {because}.",
        decision.by
    )
}

/// That a sitting is set aside now, and how to undo it.
pub fn is_set_aside(header: &Header, file: &Path) -> String {
    format!(
        "Set aside: {}. It doesn't count anywhere now; its log is unchanged. To count it again, type: pacebell set-aside {} --back",
        which(header),
        file.shown()
    )
}

/// That a sitting counts, and where it may not even so.
pub fn counts_again(header: &Header) -> String {
    format!(
        "This sitting counts: {}. As always, a group's figures and forecasts leave out what was stopped, of a part of a paper, or given less than its time.",
        which(header)
    )
}

fn which(header: &Header) -> String {
    let day = day(header.started.date_naive());
    format!("{}, {day}, {}", header.pupil, header.paper.title)
}

/// That the other file of a sitting says something else.
pub const DISPUTED: &str =
    "Another file of this sitting says something else: neither counts until you choose.";

/// Asks the tutor whether a very short sitting counts, and says how to answer.
pub fn does_it_count(used: Elapsed, allowed: Elapsed, file: &Path) -> String {
    let file = file.shown();
    format!(
        "Only {} of {} was used. Does this sitting count? If not, type: pacebell set-aside {file} --because \"false start\". If it does, type: pacebell set-aside {file} --back",
        time_in_words(used),
        time_in_words(allowed)
    )
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

/// Notes beside a sitting that cannot be read, and what that leaves open.
pub fn notes_unread(trouble: impl Display) -> String {
    format!(
        "{trouble}. Until that is put right, nobody knows whether this sitting was set aside, and it counts"
    )
}

/// How many files that cannot be read are told one by one; of more there is only a count.
pub const MOST_UNREAD: usize = 100;

/// That there are more files that cannot be read than are told.
pub fn more_unread(count: usize) -> String {
    let more = counted(count, "more file");
    format!("{more} can't be read either; `pacebell doctor` lists them all")
}

/// That more went wrong than is told.
pub fn more_failures(count: usize) -> String {
    let problems = counted(count, "more problem");
    let are = agree(count, "is", "are");
    format!("there {are} {problems} of this kind; correct these first")
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

/// What was left out of the other pupils' seasons, on a page about one pupil.
pub fn left_out_of_others(said: impl Display) -> String {
    format!("Of other pupils, left out: {said}")
}

/// Sittings of a paper that has no key.
pub fn without_key(paper: &str, sittings: usize) -> String {
    format!(
        "{} of `{paper}`, but no key for it was found. Use --keys DIR to say where it is.",
        counted(sittings, "sitting")
    )
}

/// That a pupil has no marked sitting.
pub fn none_marked(pupil: &Alias, sessions: &Path) -> String {
    format!(
        "No marked sitting of {pupil} was found in {}.",
        sessions.shown()
    )
}
