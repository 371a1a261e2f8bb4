//! The thresholds in force, put into words for the tutor: name, value, what it decides, its source.

pub use crate::domain::thresholds::{About, Limit, NO_SOURCE, Thresholds};

/// A threshold as the tutor reads it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Described {
    /// Its name in the tutor's file.
    pub name: &'static str,
    /// The value in force.
    pub value: String,
    /// Whether the tutor set it.
    pub own: bool,
    /// What it decides.
    pub decides: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// What holds where a group's times are at hand, which no file changes.
pub const RAPID_WITH_A_GROUP: Described = Described {
    name: "rushed",
    value: String::new(),
    own: false,
    decides: "an answer is rushed if it took under a tenth of the group's mean time, at most 10 seconds",
    source: "NT10: Wise & Ma (2012); the cap from memory",
};

/// Every threshold in force, and the one that follows a group.
pub fn described(thresholds: &Thresholds) -> Vec<Described> {
    let describe = |limit: Limit| {
        let about = limit.about();
        Described {
            name: about.name,
            value: thresholds.get(limit).to_string(),
            own: thresholds.is_own(limit),
            decides: about.decides,
            source: about.source,
        }
    };
    let own = Limit::ALL.into_iter().map(describe);
    own.chain([RAPID_WITH_A_GROUP]).collect()
}
