//! Connections to the file, for writing and for reading only.

use crate::error::LibraryError;
use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags};
use std::os::unix::ffi::OsStrExt;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Pages are kept in memory up to here, where a change has so many. A commit waits until all of them
/// are in the log.
const CACHE_KIBIBYTES: i64 = 16 * 1024;

/// Connects to `file`; errors name `shown`, which is the path that a person knows.
pub(crate) fn connect(
    file: &Path,
    shown: &Path,
    flags: OpenFlags,
    patience: Duration,
) -> Result<Connection, LibraryError> {
    let sqlite = |error| LibraryError::from_sqlite(shown, error);
    let flags = flags | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(file, flags).map_err(sqlite)?;
    connection.busy_timeout(patience).map_err(sqlite)?;
    connection
        .pragma_update(None, "foreign_keys", true)
        .map_err(sqlite)?;
    connection
        .pragma_update(None, "trusted_schema", false)
        .map_err(sqlite)?;
    // Without this a statement is planned again each time that its parameters change, which takes
    // longer than the statement.
    connection
        .set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true)
        .map_err(sqlite)?;
    // A large import would write the same pages of its indexes again and again.
    connection
        .pragma_update(None, "cache_size", -CACHE_KIBIBYTES)
        .map_err(sqlite)?;
    // A committed change survives a power cut, not only a crash of the program.
    connection
        .pragma_update(None, "synchronous", "FULL")
        .map_err(sqlite)?;
    Ok(connection)
}

/// Connects for reading only.
pub(crate) fn connect_read_only(
    path: &Path,
    patience: Duration,
) -> Result<Connection, LibraryError> {
    if is_writable(folder_of(path)) {
        return connect(path, path, OpenFlags::SQLITE_OPEN_READ_ONLY, patience);
    }
    // Where the folder can't be written, there can't be a log beside the file either.
    connect_as_it_stands(path, patience)
}

/// Connects to a file that nobody writes, and leaves nothing beside it; where a log is there, what
/// it holds is read too.
pub(crate) fn connect_as_it_stands(
    path: &Path,
    patience: Duration,
) -> Result<Connection, LibraryError> {
    let needs = |ending| std::fs::metadata(beside(path, ending)).is_ok_and(|log| log.len() > 0);
    if needs("-wal") || needs("-journal") {
        return connect(path, path, OpenFlags::SQLITE_OPEN_READ_ONLY, patience);
    }
    let uri = PathBuf::from(format!("file:{}?immutable=1", escape_for_uri(path)));
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
    connect(&uri, path, flags, patience)
}

/// Whether the file can't be changed: writing it needs a log beside it, so the folder counts too.
pub(crate) fn is_read_only(path: &Path) -> bool {
    !is_writable(path) || !is_writable(folder_of(path))
}

fn is_writable(path: &Path) -> bool {
    rustix::fs::access(path, rustix::fs::Access::WRITE_OK).is_ok()
}

/// The folder that a file lies in.
pub(crate) fn folder_of(path: &Path) -> &Path {
    path.parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

/// The file beside `path` whose name only has an ending more.
pub(crate) fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_os_string();
    name.push(ending);
    name.into()
}

/// A path in a URI: every byte that is not plainly a path's is written in hexadecimal.
fn escape_for_uri(path: &Path) -> String {
    use std::fmt::Write;
    let mut out = String::new();
    for byte in path.as_os_str().as_bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'/' | b'.' | b'-' | b'_' => {
                out.push(char::from(*byte));
            }
            other => {
                let _never_fails = write!(out, "%{other:02x}");
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::escape_for_uri;
    use std::path::Path;

    #[test]
    fn a_path_keeps_its_meaning_in_a_uri() {
        assert_eq!(
            escape_for_uri(Path::new("/a b/100%?#é")),
            "/a%20b/100%25%3f%23%c3%a9"
        );
    }
}
