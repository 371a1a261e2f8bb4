//! The simulator knows nothing of the program, and its worlds none of the model's figures.

use std::fs;
use std::path::Path;

/// What the other files of these tests may use: what a sitting is made of, its reading, and what is forecast from it.
const ALLOWED: [&str; 5] = ["analysis", "domain", "invented", "season", "storage"];
/// What would bring in what the model takes for granted.
const FORBIDDEN: [&str; 6] = [
    concat!("prior_", "means"),
    concat!("Pri", "ors"),
    concat!("mark_", "range"),
    concat!("pacebell::", "cohort"),
    concat!("pacebell::", "stats"),
    concat!("season::", "model"),
];

#[test]
fn no_figure_of_the_model_is_used() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/worlds");
    let mut files = 0;
    for file in fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        let text = fs::read_to_string(&path).unwrap();
        files += 1;
        if path.ends_with("simulator.rs") {
            assert!(
                !text.contains("pacebell"),
                "the simulator uses nothing of the program"
            );
        }
        for word in FORBIDDEN {
            assert!(!text.contains(word), "{}: {word}", path.display());
        }
        for used in text.split("pacebell::").skip(1) {
            let module = used.split([':', ' ', '\n']).next().unwrap_or_default();
            let own = path.ends_with("imports.rs") || ALLOWED.contains(&module);
            assert!(own, "{}: {module}", path.display());
        }
    }
    assert!(files >= 7, "{files}");
}
