//! A cache as it was found.

use std::collections::HashMap;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock};

use super::digest::ContentDigest;
use super::line::{NO_STAMP, SummaryLine, known_by};
use crate::domain::abridged::Abridged;
use crate::domain::paper::Outline;
use crate::storage::disk::ChangeStamp;

/// Its lines, and which of them were met.
#[derive(Debug, Default)]
pub(super) struct FoundLines {
    text: String,
    papers: HashMap<String, Arc<Outline>>,
    lines: Vec<FoundLine>,
    /// The lines' places, by what their files are known by.
    stamps: HashMap<ChangeStamp, usize>,
    digests: OnceLock<HashMap<ContentDigest, usize>>,
}

/// What a cache has of a file.
#[derive(Debug)]
pub(super) struct FoundLine {
    digest: ContentDigest,
    stamp: Option<ChangeStamp>,
    /// Where in the text its paper and its sitting are.
    rest: Range<usize>,
    /// The file that it stood for, the first of several with the same bytes.
    met: OnceLock<PathBuf>,
    /// What the system says of it, where it was known by its bytes alone.
    stamped: OnceLock<ChangeStamp>,
    /// Whether a file was known by its stamp.
    is_unchanged: AtomicBool,
}

impl FoundLines {
    /// Those of this text, whose first line tells whose it is; none where one is not as it should be.
    pub(super) fn of(text: String) -> Option<Self> {
        let mut found = Self::default();
        let mut from = 0;
        for whole in text.split_inclusive('\n') {
            let (at, line) = (from, whole.strip_suffix('\n')?);
            from += whole.len();
            if at == 0 {
                continue;
            }
            let (first, rest) = line.split_once(' ')?;
            let (second, rest) = rest.split_once(' ')?;
            if first == "paper" {
                let paper = ron::from_str(rest).ok()?;
                found.papers.insert(second.to_owned(), Arc::new(paper));
                continue;
            }
            let stamp = match second {
                NO_STAMP => None,
                stamp => Some(stamp.parse().ok()?),
            };
            let place = found.lines.len();
            found.stamps.extend(stamp.map(|stamp| (stamp, place)));
            let end = at + line.len();
            found.lines.push(FoundLine {
                digest: ContentDigest::read(first)?,
                stamp,
                rest: end - rest.len()..end,
                met: OnceLock::new(),
                stamped: OnceLock::new(),
                is_unchanged: AtomicBool::new(false),
            });
        }
        Some(Self { text, ..found })
    }

    /// That of a file of which the system says this.
    pub(super) fn stamped(&self, stamp: ChangeStamp) -> Option<&FoundLine> {
        self.lines.get(*self.stamps.get(&stamp)?)
    }

    /// That of a file of these bytes.
    pub(super) fn with(&self, digest: ContentDigest) -> Option<&FoundLine> {
        let digests = self.digests.get_or_init(|| {
            let places = self.lines.iter().zip(0..);
            places.map(|(line, place)| (line.digest, place)).collect()
        });
        self.lines.get(*digests.get(&digest)?)
    }

    /// What the line says.
    pub(super) fn sitting(&self, line: &FoundLine) -> Option<Abridged> {
        let (paper, sitting) = self.text.get(line.rest.clone())?.split_once(' ')?;
        let paper = Arc::clone(self.papers.get(paper)?);
        let sitting = serde_json::from_str::<SummaryLine>(sitting).ok()?;
        sitting.sitting(paper)
    }

    /// Whether some lines have no file any more, or could say more of it than they do.
    pub(super) fn is_out_of_date(&self) -> bool {
        let mut lines = self.lines.iter();
        lines.any(|line| line.met.get().is_none() || line.newly_stamped().is_some())
    }

    /// The lines whose files were met and are there.
    pub(super) fn met(&self) -> impl Iterator<Item = (ContentDigest, String)> {
        self.lines.iter().filter_map(|line| {
            line.met.get().filter(|path| path.is_file())?;
            let stamp = line.newly_stamped().or(line.stamp);
            let rest = self.text.get(line.rest.clone())?;
            let text = format!("{} {rest}", known_by(line.digest, stamp));
            Some((line.digest, text))
        })
    }

    /// The papers, each with its name.
    pub(super) fn papers(&self) -> impl Iterator<Item = (&str, &Arc<Outline>)> {
        self.papers
            .iter()
            .map(|(name, paper)| (name.as_str(), paper))
    }
}

impl FoundLine {
    /// It stands for this file, which was known by its stamp.
    pub(super) fn meet_unchanged(&self, path: &Path) {
        self.meet(path);
        self.is_unchanged.store(true, Ordering::Relaxed);
    }

    /// It stands for this file, which was read.
    pub(super) fn meet_read(&self, path: &Path, stamp: Option<ChangeStamp>) {
        self.meet(path);
        let _already = stamp.map(|stamp| self.stamped.set(stamp));
    }

    /// Another file of the same bytes may have been met before.
    fn meet(&self, path: &Path) {
        if self.met.get().is_none() {
            let _already = self.met.set(path.to_owned());
        }
    }

    /// The stamp that it is to have. Of several files of the same bytes one alone is known by its stamp, and stays so.
    fn newly_stamped(&self) -> Option<ChangeStamp> {
        let own = self.stamped.get().copied();
        own.filter(|_| !self.is_unchanged.load(Ordering::Relaxed))
    }
}
