//! The loops behind the pages: they wait, draw, and do what a page asks.

mod drill;
mod pages;
mod practise;
mod review;
mod sitting;

pub use drill::{keys, sweep};
pub use pages::{ask, result, start};
pub use practise::practise;
pub use review::{AfterReview, Arrived, Shelf, fulfil, review, take};
pub use sitting::{Surroundings, sit};

/// How a page was left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Leaving {
    /// The page is done with.
    Done,
    /// The pupil left; the sitting is still open.
    Left,
    /// A signal asks the program to end.
    Stopped(u8),
    /// The terminal is gone.
    Lost,
}
