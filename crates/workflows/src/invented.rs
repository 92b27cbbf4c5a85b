//! Whether documents are invented.

use dyebook_documents::Method;

/// Whether a method says of itself that it is invented for the demo.
pub(crate) fn is_invented(method: &Method) -> bool {
    let mut sources = method.sources.iter().flatten();
    sources.any(|source| source.contains("invented for the demo"))
}
