//! The help of the start page: its steps, and each arrangement in a line.

use super::form::ROWS;
use super::model::Start;
use super::pages::Writer;

/// The steps and what else the page can do, each with what is to be known of it.
const STEPS: [(&str, &str); 5] = [
    (
        "1 pupil",
        "An alias, never a real name. A sitting left open can be gone on with: S, then Enter.",
    ),
    (
        "2 paper",
        "Files that end in .paper.ron. With a key beside it, the marks can be shown at the end.",
    ),
    (
        "3 arrangements",
        "What this sitting is to be like; see below.",
    ),
    (
        "4 read out",
        "Everything the pupil must know. S, then Enter: the clock starts at once.",
    ),
    (
        "Past sittings",
        "What came of a pupil's own sittings. Enter shows a result again.",
    ),
];

impl Start {
    /// The steps, then the arrangements.
    pub(super) fn help_page(page: &mut Writer<'_>) {
        page.heading("Steps");
        for (step, text) in STEPS {
            page.text(&format!("{step}: {text}"));
        }
        page.blank();
        page.heading("Arrangements: Left and Right change a row, or type a value");
        for row in ROWS {
            page.text(&format!("{}: {}", row.name(), row.explained()));
        }
    }
}
