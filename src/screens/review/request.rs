//! What the pages ask of whoever can read and write files.

use std::path::PathBuf;

use crate::domain::notes::Cause;
use crate::domain::rule::QuestionNo;
use crate::domain::step::Step;

/// Something that a page cannot do by itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Request {
    /// Open this sitting.
    Open(PathBuf),
    /// Open this sitting beside the one that is open.
    Beside(PathBuf),
    /// Put this report together; it arrives later.
    Report(Report),
    /// Keep a cause or words beside the sitting that is open.
    Say(Saying),
    /// Keep whether this sitting counts: it does not where there is a reason.
    Decide {
        /// Its file.
        path: PathBuf,
        /// Why it does not count; nothing where it does.
        because: String,
    },
    /// Keep what is vouched for of the sitting that is open.
    Vouch(Vouching),
    /// Keep the step that is agreed, or that there is none.
    Agree(Option<Step>),
    /// Let a pupil, by the alias, practise what waits for them.
    Practise(String),
    /// Leave the review.
    Leave,
}

/// What is told of more than one sitting.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Report {
    /// A pupil, by the alias, over their sittings.
    Progress(String),
    /// Everybody on the paper of the sitting in this file.
    Group(PathBuf),
    /// The group's term.
    Overview,
}

/// What the tutor says of a question, or of the sitting as a whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Saying {
    /// The question; nothing means the whole sitting.
    pub question: Option<QuestionNo>,
    /// The cause of the lost mark.
    pub cause: Option<Cause>,
    /// Words; may be empty.
    pub text: String,
}

/// What the tutor vouches for on an evidence sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Vouching {
    /// The time was seen to be kept.
    pub timed: bool,
    /// Somebody was there throughout.
    pub supervised: bool,
    /// A sentence; may be empty.
    pub sentence: String,
}
