//! Reading and writing the files a person names.

use crate::failure::Failure;
use std::io::{Read, Write};
use std::path::Path;

/// Largest file that is read: a class set of sheets is some hundred kilobytes.
pub(crate) const MOST_BYTES: u64 = 64 * 1024 * 1024;

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
    let mut bytes = Vec::new();
    // Read rather than asked for its size: a pipe or a device says that it has none.
    let size = std::fs::File::open(path)
        .and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes))
        .map_err(|error| refused(error.to_string()))?;
    if size as u64 > MOST_BYTES {
        return Err(refused(format!(
            "it has more than {} MiB, which is the most that a document or data sheet may have",
            MOST_BYTES / (1024 * 1024)
        ))
        .hint("split the file by section"));
    }
    Ok(bytes)
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

/// Writes a new file, or over an older one: whole, or not at all.
///
/// # Errors
/// What the file system says.
pub fn write_file(path: &Path, contents: impl AsRef<[u8]>) -> Result<(), Failure> {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty());
    let write = || -> std::io::Result<()> {
        // A device or pipe is written as it is; a link's target is replaced, not the link.
        if path.exists() && !path.is_file() {
            return std::fs::write(path, &contents);
        }
        let target = std::fs::canonicalize(path).unwrap_or_else(|_not_there| path.into());
        let mut made = tempfile::Builder::new()
            .prefix(".dyebook-text-")
            .permissions(permissions(&target))
            .tempfile_in(folder.unwrap_or(Path::new(".")))?;
        made.write_all(contents.as_ref())?;
        made.as_file().sync_all()?;
        made.persist(target).map_err(|failed| failed.error)?;
        Ok(())
    };
    write().map_err(|error| {
        Failure::refused(
            "file.not-writable",
            format!("`{}` can't be written: {error}", path.display()),
        )
    })
}

/// Those of the file that is there, else what others get from the user's mask.
fn permissions(target: &Path) -> std::fs::Permissions {
    std::fs::metadata(target).map_or_else(
        |_not_there| std::os::unix::fs::PermissionsExt::from_mode(0o666),
        |data| data.permissions(),
    )
}
