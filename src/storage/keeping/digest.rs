//! SHA-256 as text.

use std::fmt::Write;

use sha2::{Digest, Sha256};

/// The SHA-256 of some bytes as 64 hex digits.
pub(super) fn digest(bytes: &[u8]) -> String {
    let mut hex = String::new();
    for byte in Sha256::digest(bytes) {
        // Writing to a text cannot go wrong.
        let _ = write!(hex, "{byte:02x}");
    }
    hex
}
