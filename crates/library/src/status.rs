//! What is in the library.

use crate::error::LibraryError;
use crate::open::Library;
use serde::Serialize;

/// Counts of what is kept.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Status {
    /// Dyes.
    pub dyes: u32,
    /// Methods.
    pub methods: u32,
    /// Method versions.
    pub method_versions: u32,
    /// Approved method versions, `id@version`.
    pub approved: Vec<String>,
    /// Sheets.
    pub sheets: u32,
    /// Files as handed in.
    pub files: u32,
    /// Stored identifications.
    pub identifications: u32,
    /// Change records.
    pub change_records: u32,
    /// Time of the last change.
    pub last_change: Option<String>,
}

impl Library {
    /// Counts what is kept.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn status(&self) -> Result<Status, LibraryError> {
        let count = |sql: &str| {
            self.connection
                .query_row(sql, [], |row| row.get::<_, u32>(0))
        };
        let read = || -> rusqlite::Result<Status> {
            Ok(Status {
                dyes: count("SELECT COUNT(*) FROM dye")?,
                methods: count("SELECT COUNT(DISTINCT id) FROM method_version")?,
                method_versions: count("SELECT COUNT(*) FROM method_version")?,
                approved: self
                    .connection
                    .prepare(
                        "SELECT id || '@' || version FROM method_version
                         WHERE state = 'approved' ORDER BY id, version",
                    )?
                    .query_map([], |row| row.get(0))?
                    .collect::<rusqlite::Result<_>>()?,
                sheets: count("SELECT COUNT(*) FROM sheet")?,
                files: count("SELECT COUNT(*) FROM source_file")?,
                identifications: count("SELECT COUNT(*) FROM identification")?,
                change_records: count("SELECT COUNT(*) FROM change_record")?,
                last_change: self.connection.query_row(
                    "SELECT MAX(at) FROM change_record",
                    [],
                    |row| row.get(0),
                )?,
            })
        };
        read().map_err(|error| self.sqlite(error))
    }
}
