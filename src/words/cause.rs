//! Causes of lost marks in words.

use crate::domain::notes::Cause;

/// What a cause of a lost mark means, in a few words.
pub const fn means(cause: Cause) -> &'static str {
    match cause {
        Cause::Misread => "answered another question than the one asked",
        Cause::Slip => "the method was there, a step slipped",
        Cause::Miskeyed => "meant another option than the one keyed",
        Cause::Method => "the method was wrong or stopped half way",
        Cause::Gap => "the topic was not met yet",
        Cause::NoTime => "there was no time for it",
        Cause::Rushed => "answered too fast",
        Cause::Sink => "much time went and nothing came",
        Cause::BadLuck => "a good guess went the other way",
        Cause::Changed => "was right, and was changed",
    }
}
