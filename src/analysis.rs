//! One sitting: everything that its log tells, folded once, and what a key adds.
//!
//! [`Analysis::of`] needs no key: visits, gaps, passes, answers and their changes, batches, sweep.
//! [`Keyed::of`] holds the same against a key: the three marks, what each part of the time
//! earned, changes with what they did. Time on a question is the time that its page was open, with
//! rest breaks, sleep and absences taken out, and of the one open at the end only up to the answer that
//! stands; with a printed paper beside the screen that need not be
//! the time spent thinking about it, so it is had from [`Analysis::time_on`] alone, which withholds
//! what cannot be trusted ([`Trust`]).

mod basis;
pub mod checkpoint;
mod earned;
pub mod evidence;
pub mod findings;
mod fold;
mod interruptions;
mod keyed;
mod marks;
mod norms;
mod replay;
pub mod standard_time;
pub mod stay;
pub mod step;
mod sweep;
mod timeline;
mod trust;

pub use basis::Basis;
pub use earned::{Change, ChangeKind, Earned, MarkAt, Quarter, SectionPace, per_minute};
pub use fold::{Analysis, GoneBack};
pub use interruptions::{Interruptions, Stops};
pub use keyed::{Keyed, Studied};
pub use marks::{AwardMark, Marks, Totals};
pub use norms::{Norm, Norms};
pub use replay::{Replay, cut};
pub use sweep::Sweep;
pub use timeline::{
    AnswerChange, Choice, Gap, GapKind, Passes, QuestionPace, Sheet, Status, Stay, Whole,
};
pub use trust::{Block, Trust};
