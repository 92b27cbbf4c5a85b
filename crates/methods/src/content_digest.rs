//! The digest that names exactly what a method document says.

use dyebook_documents::{Digest, digest_value};
use serde_json::Value;

/// Digest of a method document over its canonical JSON (RFC 8785): the order of keys, white
/// space and the writing of numbers don't count, everything else does.
///
/// # Examples
/// ```
/// # use dyebook_methods::content_digest;
/// let one = serde_json::from_str(r#"{"id": "a", "version": "1.0.0"}"#)?;
/// let two = serde_json::from_str(r#"{"version":"1.0.0","id":"a"}"#)?;
/// assert_eq!(content_digest(&one), content_digest(&two));
/// # Ok::<(), serde_json::Error>(())
/// ```
pub fn content_digest(method: &Value) -> Digest {
    digest_value(method)
}
