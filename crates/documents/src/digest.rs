//! SHA-256 over a canonical form.

use crate::canonical::{canonical_json, canonical_json_without, of_canonical_json_in_order};
use memchr::{memchr2, memmem};
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
    hexadecimal(&Sha256::digest(bytes))
}

fn hexadecimal(hash: &[u8]) -> Digest {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    let mut digits = String::with_capacity(2 * hash.len());
    for byte in hash {
        for nibble in [byte >> 4, byte & 0xf] {
            digits.push(char::from(DIGITS[usize::from(nibble)]));
        }
    }
    Digest(digits)
}

/// SHA-256 of a value's canonical form.
pub fn digest_value(value: &Value) -> Digest {
    digest_bytes(canonical_json(value).as_bytes())
}

/// SHA-256 of a value's canonical form without the members of this name, at any depth.
pub fn digest_value_without(value: &Value, left_out: &str) -> Digest {
    digest_bytes(canonical_json_without(value, left_out).as_bytes())
}

/// SHA-256 of the canonical form of something whose members come in the order of their names.
pub fn digest_in_order<T: Serialize + ?Sized>(value: &T) -> Digest {
    of_canonical_json_in_order(value, digest_bytes)
}

/// What [`digest_value_without`] gives, of a text in the canonical form in which the members of this
/// name are numbers or null.
pub fn digest_canonical_without(text: &[u8], left_out: &str) -> Digest {
    let mut hash = Sha256::new();
    let mut left = text;
    // Quotation marks within texts are escaped, so this is a member's name wherever it stands.
    let name = format!("\"{left_out}\":");
    let finder = memmem::Finder::new(&name);
    while let Some(begin) = finder.find(left) {
        let (before, member) = left.split_at(begin);
        let end = memchr2(b',', b'}', member).unwrap_or(member.len());
        let (before, behind) = match member[end..].strip_prefix(b",") {
            Some(behind) => (before, behind),
            None => (before.strip_suffix(b",").unwrap_or(before), &member[end..]),
        };
        hash.update(before);
        left = behind;
    }
    hash.update(left);
    hexadecimal(&hash.finalize())
}

#[cfg(test)]
mod tests {
    use super::{digest_bytes, digest_canonical_without, digest_value, digest_value_without};
    use crate::canonical::canonical_json;
    use serde_json::Value;

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
        let one: Value = serde_json::from_str(r#"{"a": 1.0, "b": [0.80]}"#).unwrap();
        let two: Value = serde_json::from_str(r#"{"b":[0.8],"a":1}"#).unwrap();
        assert_eq!(canonical_json(&one), r#"{"a":1,"b":[0.8]}"#);
        assert_eq!(digest_value(&one), digest_value(&two));
    }

    #[test]
    fn a_text_without_members_has_the_digest_of_its_value_without_them() {
        for text in [
            r#"{"row":1}"#,
            r#"[{"a":1,"row":2},{"row":null,"z":"\"row\":1,"},{"b":{"row":3},"row":4,"s":1}]"#,
            r#"{"r":"row","rows":[1]}"#,
            "null",
        ] {
            let value: Value = serde_json::from_str(text).unwrap();
            assert_eq!(canonical_json(&value), text);
            assert_eq!(
                digest_canonical_without(text.as_bytes(), "row"),
                digest_value_without(&value, "row")
            );
        }
    }
}
