//! The small set of invented sittings that lies in `sessions/`.

use std::path::Path;

use pacebell::invented::{SittingWanted, season};
use pacebell::storage::journal;

#[test]
fn the_sittings_kept_here_are_closed_invented_and_what_the_program_makes() {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions");
    let listing = journal::list(&dir).unwrap();
    assert!(listing.unreadable.is_empty(), "{:?}", listing.unreadable);
    // Sittings of a tutor's own may lie beside them.
    let mut kept = listing.records;
    kept.retain(|record| record.header.invented);
    let wanted = SittingWanted {
        seed: 1,
        pupils: 3,
        sittings: 3,
    };
    let made = season(wanted).unwrap();
    assert_eq!(kept.len(), made.len());
    for mut one in made {
        let id = &one.header.sitting;
        let record = kept.iter().find(|record| record.header.sitting == *id);
        let record = record.unwrap_or_else(|| panic!("{id} is missing: see DEVELOPERS.md"));
        // They stay as they are when only the version has moved on.
        one.header.program.clone_from(&record.header.program);
        assert_eq!(one.header, record.header, "see DEVELOPERS.md");
        assert_eq!(one.events, record.events, "see DEVELOPERS.md");
        assert!(record.is_closed(), "{id}");
        let path = journal::path_for(Path::new("nowhere"), &record.header);
        let place = path.strip_prefix("nowhere").unwrap();
        assert!(record.path.ends_with(place), "{}", record.path.display());
    }
}
