//! Reading and writing the files a person names.

use crate::failure::Failure;
use std::path::Path;

/// Largest file that is read: a class set of sheets is some hundred kilobytes.
const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// The bytes of a file.
///
/// # Errors
/// No such file, no right to read it, or one too large to be a document.
pub fn read_bytes(path: &Path) -> Result<Vec<u8>, Failure> {
    let refused = |why: String| {
        Failure::refused(
            "file.not-readable",
            format!("`{}` can't be read: {why}", path.display()),
        )
    };
    let size = std::fs::metadata(path)
        .map_err(|error| refused(error.to_string()))?
        .len();
    if size > MOST_BYTES {
        return Err(refused(format!(
            "it has {} MiB, and a document or data sheet may have {} MiB",
            size / (1024 * 1024),
            MOST_BYTES / (1024 * 1024)
        ))
        .hint("split the file by section"));
    }
    std::fs::read(path).map_err(|error| refused(error.to_string()))
}

/// The text of a UTF-8 file.
///
/// # Errors
/// As [`read_bytes`], and bytes that are no UTF-8.
pub fn read_text(path: &Path) -> Result<String, Failure> {
    String::from_utf8(read_bytes(path)?).map_err(|error| {
        Failure::refused(
            "file.not-utf8",
            format!(
                "`{}` is not written in UTF-8: {}",
                path.display(),
                error.utf8_error()
            ),
        )
        .hint("save it again as UTF-8")
    })
}

/// Writes a text to a new file or over an older one.
///
/// # Errors
/// What the file system says.
pub fn write_text(path: &Path, text: &str) -> Result<(), Failure> {
    std::fs::write(path, text).map_err(|error| {
        Failure::refused(
            "file.not-writable",
            format!("`{}` can't be written: {error}", path.display()),
        )
    })
}
