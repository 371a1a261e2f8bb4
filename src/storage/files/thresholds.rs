//! The tutor's own thresholds, `thresholds.ron`: `(format: 1, thresholds: {"long_times": 2.5})`.
//!
//! What is not named there keeps its usual value; [`crate::domain::thresholds`] lists them.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde::Deserialize;

use super::locate::Spot;
use super::problem::{FileTrouble, Findings};
use super::raw::Number;
use super::read::{self, Sound};
use crate::domain::thresholds::{Limit, Thresholds};

/// The version of the thresholds file that this program reads.
pub const THRESHOLDS_FORMAT: u32 = 1;

/// What the file is called.
pub const THRESHOLDS_NAME: &str = "thresholds.ron";

/// Where the tutor's file is looked for: in the folder of the sittings.
pub fn path_in(sessions: &Path) -> PathBuf {
    sessions.join(THRESHOLDS_NAME)
}

/// The thresholds in force: the usual ones, with those set in the file in the folder of the
/// sittings, if there is one.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn load(sessions: &Path) -> Result<Thresholds, FileTrouble> {
    let path = path_in(sessions);
    if std::fs::symlink_metadata(&path).is_err() {
        return Ok(Thresholds::default());
    }
    from_bytes(&path, &read::bytes(&path)?).map(|sound| sound.value)
}

/// Reads thresholds from the bytes of a file; `path` only names it.
///
/// # Errors
/// Everything that is wrong with them.
pub fn from_bytes(path: &Path, bytes: &[u8]) -> Result<Sound<Thresholds>, FileTrouble> {
    read::sound(path, bytes, THRESHOLDS_FORMAT, ThresholdsForm::mean)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Thresholds")]
struct ThresholdsForm {
    #[serde(rename = "format")]
    _format: u32,
    thresholds: BTreeMap<String, Number>,
}

impl ThresholdsForm {
    #[expect(
        clippy::unnecessary_wraps,
        reason = "the reader's signature; what is wrong is noted in the findings"
    )]
    fn mean(self, findings: &mut Findings<'_>) -> Option<Thresholds> {
        let mut thresholds = Thresholds::default();
        for (name, number) in &self.thresholds {
            let spot = Spot::top().at("thresholds").at(name);
            let Some(limit) = Limit::named(name) else {
                let names = Limit::ALL.map(|limit| limit.about().name).join(", ");
                findings.wrong(
                    &spot,
                    format!("there's no threshold of this name; the names are {names}"),
                );
                continue;
            };
            let Some(value) = number.read(&spot, findings) else {
                continue;
            };
            let about = limit.about();
            if !thresholds.set(limit, value) {
                findings.wrong(
                    &spot,
                    format!(
                        "{value} is out of range ({}); write a number from {} to {} (usually {})",
                        about.decides, about.least, about.most, about.usual
                    ),
                );
            }
        }
        Some(thresholds)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Thresholds, String> {
        from_bytes(Path::new("thresholds.ron"), text.as_bytes())
            .map(|sound| sound.value)
            .map_err(|trouble| trouble.to_string())
    }

    #[test]
    fn a_file_sets_what_it_names_and_no_file_sets_nothing() {
        let own = read("(format: 1, thresholds: {\"long_times\": 2.5, \"batch_share\": \"1/3\"})");
        let own = own.unwrap();
        assert_eq!(own.get(Limit::LongTimes).to_string(), "2.5");
        assert_eq!(own.get(Limit::BatchShare).to_string(), "1/3");
        assert!(!own.is_own(Limit::SweepSeconds));
        let dir = tempfile::tempdir().unwrap();
        assert_eq!(load(dir.path()), Ok(Thresholds::default()));
    }

    #[test]
    fn a_wrong_name_or_value_is_told_with_its_place_and_the_way_out() {
        let wrong =
            read("(format: 1, thresholds: {\n  \"long_time\": 2,\n  \"batch_share\": 3,\n})");
        let wrong = wrong.unwrap_err();
        assert!(wrong.contains("thresholds.ron:2:"), "{wrong}");
        assert!(wrong.contains("the names are batch_gap_seconds"), "{wrong}");
        assert!(wrong.contains("thresholds.ron:3:"), "{wrong}");
        assert!(
            wrong.contains("write a number from 0 to 1 (usually 0.25)"),
            "{wrong}"
        );
    }
}
