//! The time zone that the shell names, before anything reads it.
//!
//! On Unix chrono opens whatever the variable `TZ` names and reads it to its end (0.4.45): a device has none, and a pipe
//! that nobody writes to is waited for. So a name is looked at first.

/// Whether `TZ` names something that cannot be a time zone's file, so that times are in UTC.
#[cfg(unix)]
pub fn is_refused() -> bool {
    std::env::var("TZ").is_ok_and(|named| system::leads_astray(&named))
}

/// Elsewhere the system is asked for the zone.
#[cfg(not(unix))]
pub const fn is_refused() -> bool {
    false
}

#[cfg(unix)]
mod system {
    use std::fs;
    use std::path::{Path, PathBuf};

    /// Where chrono looks for a name, in this order.
    const FOLDERS: [&str; 4] = [
        "/usr/share/zoneinfo",
        "/share/zoneinfo",
        "/etc/zoneinfo",
        "/usr/share/lib/zoneinfo",
    ];

    /// A zone's file begins with 44 bytes (RFC 9636, section 3.1); what the system shows as a file of no length may
    /// have no end. The largest of the time zone database are below 4 KiB, with every second a leap second below 1 MiB.
    const LENGTHS: std::ops::RangeInclusive<u64> = 44..=1 << 20;

    /// Whether something else than a zone's file is under a name. A rule, such as `GMT0BST`, is under no name.
    pub(super) fn leads_astray(named: &str) -> bool {
        let name = Path::new(named.strip_prefix(':').unwrap_or(named));
        if named.is_empty() {
            return false;
        }
        let places: Vec<PathBuf> = if name.is_absolute() {
            vec![name.to_owned()]
        } else {
            FOLDERS.map(|folder| Path::new(folder).join(name)).into()
        };
        let mut about = places.iter().filter_map(|place| fs::metadata(place).ok());
        about.any(|about| !about.is_file() || !LENGTHS.contains(&about.len()))
    }

    #[cfg(test)]
    mod tests {
        use super::leads_astray;

        #[test]
        fn a_device_and_an_endless_file_are_no_zone_and_a_rule_is() {
            let dir = tempfile::tempdir().unwrap();
            let file = |name: &str, bytes: usize| {
                let path = dir.path().join(name);
                std::fs::write(&path, vec![0; bytes]).unwrap();
                path.to_str().unwrap().to_owned()
            };
            let [empty, zone, large] = [
                file("empty", 0),
                file("zone", 3000),
                file("large", (1 << 20) + 1),
            ];
            let folder = dir.path().to_str().unwrap();
            for named in [
                "/dev/zero",
                ":/dev/null",
                "../../../dev/zero",
                folder,
                &empty,
                &large,
            ] {
                assert!(leads_astray(named), "{named}");
            }
            for named in [
                "",
                "GMT0BST,M3.5.0/1,M10.5.0",
                "UTC",
                "/no/such/file",
                &zone,
            ] {
                assert!(!leads_astray(named), "{named}");
            }
            assert!(!leads_astray(&format!(":{zone}")));
        }
    }
}
