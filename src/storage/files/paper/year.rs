//! The years that a paper names.

use crate::storage::files::locate::Spot;
use crate::storage::files::problem::Findings;

/// Notes a year that is hardly meant, such as 26.
pub(super) fn is_likely(spot: &Spot, year: i32, findings: &mut Findings<'_>) {
    if !(2000..2100).contains(&year) {
        findings.note(
            spot,
            format!("the year {year} isn't in this century; write all four digits"),
        );
    }
}
