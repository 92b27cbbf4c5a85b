//! Seals: digests over what stands beside a document in its row, so that a flipped byte there is
//! found like one in the document.

use dyebook_documents::{Digest, digest_in_order};

/// The seal of a row: the digest of its texts, in the order of the columns.
pub(crate) fn seal(texts: &[&str]) -> Digest {
    digest_in_order(texts)
}
