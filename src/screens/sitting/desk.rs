//! Everything that a page is drawn from, as it stands at one moment.

use std::collections::BTreeSet;

use ratatui::layout::Size;

use crate::dialogue::Scene;
use crate::domain::paper::Paper;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Sitting;
use crate::domain::time::Elapsed;
use crate::screens::theme::Theme;

/// Whether the answers are on the disk.
#[derive(Clone, Copy, Debug)]
pub enum SaveState<'a> {
    /// Everything is.
    Saved,
    /// The answers to these questions are on their way.
    Saving {
        /// Whose answers are not on the disk yet; empty while only moves are.
        unsaved: &'a BTreeSet<QuestionNo>,
    },
    /// The file can no longer be written.
    Trouble {
        /// What is wrong, as a sentence.
        sentence: &'a str,
        /// Where else the sitting could be saved.
        elsewhere: Option<&'a str>,
        /// Whose answers are not on the disk.
        unsaved: &'a BTreeSet<QuestionNo>,
    },
}

/// Everything that a page is drawn from, as it stands at one moment.
#[derive(Clone, Copy, Debug)]
pub struct Desk<'a> {
    /// The sitting.
    pub sitting: &'a Sitting,
    /// The questions, where they are at hand.
    pub paper: Option<&'a Paper>,
    /// The moment.
    pub at: Elapsed,
    /// Whether the answers are on the disk.
    pub saved: SaveState<'a>,
    /// What a guess is worth under this paper's rule, a short line each; the first is the shortest.
    pub advice: &'a [String],
    /// The styles.
    pub theme: Theme,
    /// The frame's size as last drawn: how far a page scrolls depends on it.
    pub size: Size,
}

impl<'a> Desk<'a> {
    /// What the dialogue needs to know of it.
    pub(super) const fn scene(&self) -> Scene<'a> {
        Scene {
            sitting: self.sitting,
            paper: self.paper,
            at: self.at,
        }
    }

    /// Whether the answer to `question` is not on the disk yet.
    pub(super) fn is_unsaved(&self, question: QuestionNo) -> bool {
        match self.saved {
            SaveState::Saved => false,
            SaveState::Saving { unsaved } | SaveState::Trouble { unsaved, .. } => {
                unsaved.contains(&question)
            }
        }
    }

    /// The question that keys act on.
    pub(super) fn current(&self) -> Option<QuestionNo> {
        self.scene().current()
    }
}
