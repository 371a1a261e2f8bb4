//! Missed questions tried again: which there are, when each comes back, in which order, and what came of them.
//!
//! Nothing here is kept in a file: it is worked out from the sittings and the practice logs each time.

mod missed;
mod order;
mod schedule;
mod table;

pub use missed::{FirstTry, MissKind, PractisedSeason, Retried, RetriedHow, SeasonQuestion};
pub use schedule::{NO_VERDICT_DAYS, PracticeState, USUAL_GAP, gap_days};
pub use table::{ByGuessing, SecondTries};
