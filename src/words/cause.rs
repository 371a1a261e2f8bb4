//! Causes of lost marks in words.

use crate::domain::notes::Cause;

/// What a cause of a lost mark means, in a few words.
pub const fn means(cause: Cause) -> &'static str {
    match cause {
        Cause::Misread => "answered a different question from the one asked",
        Cause::Slip => "the right method, but a slip in one step",
        Cause::Miskeyed => "meant a different option from the one typed",
        Cause::Method => "the method was wrong, or stopped halfway",
        Cause::Gap => "this topic has not been covered yet",
        Cause::NoTime => "ran out of time for it",
        Cause::Rushed => "answered too fast",
        Cause::Sink => "took a lot of time and earned nothing",
        Cause::BadLuck => "a sensible guess that happened to be wrong",
        Cause::Changed => "was right, then changed",
    }
}
