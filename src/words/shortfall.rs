//! How far a mark is from a boundary, in words.

use crate::domain::marking::Outcome;
use crate::odds::shortfall::{Short, Ways};
use crate::words::numbers::small;

/// What would have been enough: `one more right in 21-25, or two in 1-10`.
pub fn ways(short: &Short) -> String {
    let (ways, joint, last) = match &short.ways {
        Ways::Either(ways) => (ways, ", or ", ", or "),
        Ways::Together(ways) => (ways, ", ", " and "),
        Ways::OutOfReach => return "more than these questions could give".into(),
    };
    let mut parts = Vec::new();
    for (index, more) in ways.iter().enumerate() {
        let right = if index == 0 { " more right" } else { "" };
        let first = match more.first {
            Some(Outcome::Wrong) => " (wrong ones first)",
            Some(Outcome::Blank) => " (blank ones first)",
            Some(Outcome::Right | Outcome::Void) | None => "",
        };
        let count = small(more.questions);
        parts.push(format!("{count}{right} in {}{first}", more.section));
    }
    let end = parts.pop().unwrap_or_default();
    if parts.is_empty() {
        return end;
    }
    parts.join(joint) + last + &end
}

#[cfg(test)]
mod tests;
