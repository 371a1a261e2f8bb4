//! What is said when a pupil is renamed, erased or handed over, and when folders are brought together.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use super::count::counted;
use super::numbers::{in_percent, plain};
use crate::domain::character::{ShownPath as _, on_one_line};
use crate::domain::header::Alias;
use crate::domain::sheet::SheetsApart;

/// What was renamed.
pub fn renamed(from: &Alias, to: &Alias, sittings: usize, files: usize) -> String {
    format!(
        "{from} is {to} now: {}, {} altogether.",
        counted(sittings, "sitting"),
        counted(files, "file")
    )
}

/// A page that was made under the old alias.
pub fn old_page(page: &Path) -> String {
    format!(
        "{}: this page still has the old alias; make it again, then delete it",
        page.shown()
    )
}

/// A file that mentions an alias that is gone.
pub fn still_mentions(file: &Path, alias: &Alias) -> String {
    format!(
        "{}: still mentions `{alias}`; open it and take that out",
        file.shown()
    )
}

/// A class list in which the alias of an erased pupil stands.
pub fn in_list(list: &Path, alias: &Alias) -> String {
    format!(
        "{}: this list has `{alias}` in it; delete that row yourself",
        list.shown()
    )
}

/// A class list in which the alias of a renamed pupil stands.
pub fn in_old_list(list: &Path, from: &Alias, to: &Alias) -> String {
    format!(
        "{}: this list still says `{from}`; write {to} there, or its sheets come in as another pupil's",
        list.shown()
    )
}

/// A folder into which everything kept of an erased pupil was copied.
pub fn in_export(folder: &Path, alias: &Alias) -> String {
    format!(
        "{}: everything kept of `{alias}` was exported to this folder; delete it yourself",
        folder.shown()
    )
}

/// A file that has another name elsewhere.
pub fn has_other_name(file: &Path) -> String {
    format!(
        "{}: this was a link, or has another name elsewhere; that is still there",
        file.shown()
    )
}

/// A page that is not as it was written, or what a list of pages takes for one.
pub fn changed_page(page: &Path) -> String {
    format!(
        "{}: this page was changed after it was written, or Pacebell didn't write it, so it is still there; delete it yourself if it's on the pupil",
        page.shown()
    )
}

/// A page that the folder of which this one is a copy has written.
pub fn page_of_another(page: &Path) -> String {
    format!(
        "{}: another folder of sittings wrote this page, so it is still there; erase the pupil in that folder too, or delete the page yourself",
        page.shown()
    )
}

/// What an erasure would take, for the question.
pub fn would_erase(pupil: &Alias, sittings: usize, files: usize) -> String {
    format!(
        "This erases everything kept of {pupil}: {}, {} altogether. It can't be undone.",
        counted(sittings, "sitting"),
        counted(files, "file")
    )
}

/// That an erasure was begun before.
pub const BEGUN_BEFORE: &str = "This was begun before and not finished.";
/// That the register has an entry.
pub const AND_REGISTER: &str = "The entry in the register goes too.";

/// A page that would go.
pub fn page_goes(page: &Path) -> String {
    format!("This page goes too: {}", page.shown())
}

/// A page about others as well that would be made again.
pub fn page_to_be_made_again(page: &Path, pupil: &Alias) -> String {
    format!("This page is made again without {pupil}: {}", page.shown())
}

/// How an erasure is confirmed.
pub fn confirm(pupil: &Alias) -> String {
    format!("To erase it, type {pupil} and press Enter. Anything else keeps everything: ")
}

/// That nothing was erased.
pub const KEPT: &str = "Nothing was erased.";

/// What was erased.
pub fn erased(files: usize) -> String {
    format!(
        "Erased: {}. The day and the number are in erasures.ron, without the alias.",
        counted(files, "file")
    )
}

/// A page about others as well, which is gone.
pub fn group_page_gone(page: &Path) -> String {
    format!(
        "{}: this page was about others too and is gone; make it again if you need it",
        page.shown()
    )
}

/// A page about others as well, which was made again.
pub fn page_made_again(page: &Path) -> String {
    format!("Made again, without that pupil: {}", page.shown())
}

/// A page about others as well that was made again from files that an erasure doesn't reach.
pub fn page_still_with(page: &Path, pupil: &Alias) -> String {
    format!(
        "{}: this page was made again from another folder of sittings, and `{pupil}` is still in it; erase {pupil} there too, or delete the page",
        page.shown()
    )
}

/// A page about others as well that could not be made again, and why.
pub fn page_not_made_again(page: &Path, why: &str) -> String {
    format!(
        "{}: this page was about others too and is gone, and could not be made again: {why}",
        page.shown()
    )
}

/// What no program can reach.
pub const OUT_OF_REACH: &str = "Not reached: backups, memory sticks, other computers, prints, and pages that were moved or \
     sent. Deleted files can sometimes be restored from a disk.";

/// That pages about a pupil were written before something changed; nothing where there are none.
pub fn written_before(pupil: &Alias, pages: &[PathBuf]) -> Option<String> {
    const MOST: usize = 5;
    let shown = pages.iter().take(MOST);
    let shown: Vec<_> = shown.map(|page| page.shown().to_string()).collect();
    let more = pages.len().saturating_sub(MOST);
    let more = (more > 0).then(|| format!(" and {more} more"));
    (!shown.is_empty()).then(|| {
        format!(
            "Pages about {pupil} were written before this and may say otherwise: {}{}. Make them again, and tell whoever \
             has them.",
            shown.join(", "),
            more.unwrap_or_default()
        )
    })
}

/// That a page will not be found when its pupil is erased.
pub fn page_not_noted(page: &Path, error: &str) -> String {
    format!(
        "{}: written, but `pacebell erase` won't find it later ({error})",
        page.shown()
    )
}

/// A list of sheets that was read, and could not be put down.
pub fn list_not_noted(list: &Path, error: &str) -> String {
    format!(
        "{}: read, but `pacebell erase` won't name it later ({error})",
        list.shown()
    )
}

/// What was gathered.
#[derive(Clone, Copy, Debug, Default)]
pub struct GatherCounts {
    /// Sittings that were not there before.
    pub new: usize,
    /// Sittings of which more is there.
    pub longer: usize,
    /// Sittings that came and were there already.
    pub known: usize,
    /// Practice and drills, new or longer.
    pub exercises: usize,
    /// Sittings whose notes say more.
    pub notes: usize,
    /// Pupils new in the register.
    pub registered: usize,
}

/// The counts in a sentence for each kind.
pub fn gathered(counts: &GatherCounts, into: &Path) -> String {
    let mut said = vec![format!(
        "{}: {} new, {} longer than before, {} there already.",
        into.shown(),
        counted(counts.new, "sitting"),
        counts.longer,
        counts.known
    )];
    let more = [
        (
            counts.exercises,
            "file of practice or drills",
            "files of practice or drills",
        ),
        (
            counts.notes,
            "sitting with more notes",
            "sittings with more notes",
        ),
        (
            counts.registered,
            "new pupil in the register",
            "new pupils in the register",
        ),
    ];
    for (count, one, several) in more {
        match count {
            0 => {}
            1 => said.push(format!("1 {one}.")),
            count => said.push(format!("{count} {several}.")),
        }
    }
    said.join(" ")
}

/// A folder in which there was nothing to gather.
pub fn nothing_in(folder: &Path) -> String {
    format!(
        "{}: there are no sittings in this folder, nor anything else that Pacebell keeps; check that it's the right one",
        folder.shown()
    )
}

/// Sittings that are here under another alias.
pub fn here_under(was: &Alias, is: &Alias, sittings: usize) -> String {
    let are = if sittings == 1 { "is" } else { "are" };
    format!(
        "{} of {was} {are} already here under {is}, and stayed as here",
        counted(sittings, "sitting")
    )
}

/// Files that say different things of one sitting.
pub fn differing(files: &[PathBuf]) -> String {
    let folders = files.iter().filter_map(|file| file.parent()?.file_name());
    let pupils = folders.map(|name| on_one_line(&name.to_string_lossy()));
    let pupils: BTreeSet<_> = pupils.collect();
    let files: Vec<_> = files.iter().map(|file| file.shown().to_string()).collect();
    if pupils.len() > 1 {
        return format!(
            "these files are of one sitting: {}; {}",
            files.join(", "),
            two_aliases(pupils.iter())
        );
    }
    format!(
        "these files are of one sitting and say different things: {}. None of them counts until you choose: compare them, then type: pacebell set-aside FILE --because \"wrong file\"",
        files.join(", ")
    )
}

/// Answer sheets of one pupil, paper and day that are not alike, and where the tutor finds which is right.
pub fn sheets_differ(files: &[PathBuf], apart: &SheetsApart) -> String {
    let files = files.iter().map(|file| file.shown().to_string());
    let (differ, files, look) = match apart {
        SheetsApart::Answers => (
            "say different things",
            files.collect::<Vec<_>>(),
            "look at the paper",
        ),
        SheetsApart::Paper => (
            "have the same answers, but are under different versions of the paper or its rule",
            files.collect(),
            "see which version was sat",
        ),
        SheetsApart::ExtraTime(extra) => (
            "have the same answers, but different extra time",
            files
                .zip(extra)
                .map(|(file, extra)| format!("{file} ({})", in_percent(plain(*extra))))
                .collect(),
            "see what was arranged for this pupil",
        ),
    };
    format!(
        "these answer sheets are of one pupil, paper and day, and {differ}: {}. None of them counts until you choose: {look}, then type: pacebell set-aside FILE --because \"typed wrong\"",
        files.join(", ")
    )
}

/// The way out where one sitting lies under two aliases.
pub fn two_aliases(pupils: impl Iterator<Item = impl AsRef<str>>) -> String {
    let pupils: BTreeSet<_> = pupils.map(|pupil| pupil.as_ref().to_owned()).collect();
    let pupils: Vec<_> = pupils.into_iter().collect();
    format!(
        "only the alias differs, and none of them counts yet. If they are one pupil, type: pacebell rename {} --join, with the alias to keep last",
        pupils.join(" ")
    )
}

/// A register that says something else.
pub fn register_differs(kept: &Path, aliases: &[Alias]) -> String {
    let aliases: Vec<_> = aliases.iter().map(ToString::to_string).collect();
    format!(
        "{}: this register says something else about {}; register.ron holds until you change it, then delete the other",
        kept.shown(),
        aliases.join(", ")
    )
}

/// A register of pupils about whom those that came say different things, while the one here says nothing.
pub fn registers_disagree(kept: &Path, aliases: &[Alias]) -> String {
    let aliases: Vec<_> = aliases.iter().map(ToString::to_string).collect();
    let aliases = aliases.join(", ");
    format!(
        "{}: the registers that came say different things about {aliases}, so register.ron has no row for {aliases}, and nothing is arranged; write the right row there, then delete this file",
        kept.shown()
    )
}

/// A file that could not be read.
pub fn left_unread(file: &Path, reason: &str) -> String {
    let shown = file.shown().to_string();
    if reason.starts_with(&shown) {
        format!("left where it is: {reason}")
    } else {
        format!("left where it is: {shown}: {reason}")
    }
}

/// An export that was killed.
pub fn left_unfinished_export(folder: &Path) -> String {
    format!(
        "{}: this export isn't finished. Type the words that began it once more, then gather it.",
        folder.shown()
    )
}

/// A link that was not followed.
pub fn left_link(file: &Path) -> String {
    format!(
        "left where it is: {}: links aren't followed; name the folder that it leads to",
        file.shown()
    )
}

/// A file of nobody.
pub fn left_nobodys(file: &Path) -> String {
    format!(
        "left where it is: {}: nobody can tell whose it is; put it into a folder named after the pupil's alias",
        file.shown()
    )
}

/// Notes whose sitting is nowhere.
pub fn left_notes(file: &Path) -> String {
    format!(
        "left where they are: {}: notes on a sitting that wasn't found",
        file.shown()
    )
}

/// A sitting that is going on.
pub fn left_in_use(file: &Path) -> String {
    format!(
        "left where it is: {}: this sitting is open in another window; gather again when it has finished",
        file.shown()
    )
}
