//! SHA-256 in hexadecimal.

use sha2::{Digest, Sha256};

/// SHA-256 of these bytes, 64 hexadecimal digits.
pub(crate) fn sha256_hex(bytes: &[u8]) -> String {
    use std::fmt::Write;
    let mut hex = String::with_capacity(64);
    for byte in Sha256::digest(bytes) {
        // Writing to a string does not fail.
        let _ = write!(hex, "{byte:02x}");
    }
    hex
}
