//! SHA-256 over a canonical form.

use crate::canonical::{canonical_json, canonical_json_without};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use sha2::{Digest as _, Sha256};
use std::fmt;

/// A SHA-256 digest as 64 lower-case hexadecimal digits.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Digest(String);

impl Digest {
    /// Takes 64 hexadecimal digits as a digest.
    pub fn from_hex(hex: &str) -> Option<Self> {
        let good = hex.len() == 64 && hex.bytes().all(|b| b.is_ascii_hexdigit());
        good.then(|| Self(hex.to_ascii_lowercase()))
    }

    /// All 64 digits.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The first twelve digits, enough for a person to compare.
    pub fn short(&self) -> &str {
        self.0.get(..12).unwrap_or(&self.0)
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// SHA-256 of bytes.
pub fn digest_bytes(bytes: &[u8]) -> Digest {
    use fmt::Write as _;
    let mut hex = String::with_capacity(64);
    for byte in Sha256::digest(bytes) {
        // Writing into a string can't fail.
        let _ = write!(hex, "{byte:02x}");
    }
    Digest(hex)
}

/// SHA-256 of a value's canonical form.
pub fn digest_value(value: &Value) -> Digest {
    digest_bytes(canonical_json(value).as_bytes())
}

/// SHA-256 of a value's canonical form without the members of this name, at any depth.
pub fn digest_value_without(value: &Value, left_out: &str) -> Digest {
    digest_bytes(canonical_json_without(value, left_out).as_bytes())
}

#[cfg(test)]
mod tests {
    use super::{digest_bytes, digest_value};
    use crate::canonical::canonical_json;

    #[test]
    fn the_digest_of_abc_is_the_published_one() {
        // FIPS 180-4 example, NIST "SHA-256 Example (One-Block Message)".
        assert_eq!(
            digest_bytes(b"abc").as_str(),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }

    #[test]
    fn order_and_writing_of_numbers_do_not_change_the_digest() {
        let one = serde_json::from_str(r#"{"a": 1.0, "b": [0.80]}"#).unwrap();
        let two = serde_json::from_str(r#"{"b":[0.8],"a":1}"#).unwrap();
        assert_eq!(canonical_json(&one), r#"{"a":1,"b":[0.8]}"#);
        assert_eq!(digest_value(&one), digest_value(&two));
    }
}
