//! From any older schema version to this one, with a copy made before.

use crate::error::LibraryError;
use rusqlite::Connection;
use std::path::{Path, PathBuf};

/// The schema, one step a version; `PRAGMA user_version` counts the steps taken.
pub(crate) const STEPS: &[&str] = &[include_str!("../migrations/0001_first.sql")];

/// The schema version this program writes.
#[expect(
    clippy::cast_possible_wrap,
    reason = "there will never be that many steps"
)]
pub const SCHEMA_VERSION: i64 = STEPS.len() as i64;

/// Marks a file as a reference library: the letters `DyeB`.
pub(crate) const APPLICATION_ID: i64 = 0x4479_6542;

/// Takes the steps a file lacks, all in one transaction.
pub(crate) fn migrate(connection: &mut Connection, path: &Path) -> Result<(), LibraryError> {
    let sqlite = |error| LibraryError::from_sqlite(path, error);
    let transaction = connection
        .transaction_with_behavior(rusqlite::TransactionBehavior::Immediate)
        .map_err(sqlite)?;
    // Asked again inside the transaction: another process may have migrated meanwhile.
    let version = user_version(&transaction).map_err(sqlite)?;
    let taken = usize::try_from(version).unwrap_or_default();
    for step in STEPS.iter().skip(taken) {
        transaction.execute_batch(step).map_err(sqlite)?;
    }
    transaction
        .pragma_update(None, "application_id", APPLICATION_ID)
        .map_err(sqlite)?;
    transaction
        .pragma_update(None, "user_version", SCHEMA_VERSION)
        .map_err(sqlite)?;
    transaction.commit().map_err(sqlite)
}

/// Where the copy of an older file goes before it is migrated.
pub(crate) fn copy_name(path: &Path, version: i64) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_os_string();
    name.push(format!(".schema-{version}.copy"));
    path.with_file_name(name)
}

pub(crate) fn user_version(connection: &Connection) -> rusqlite::Result<i64> {
    connection.pragma_query_value(None, "user_version", |row| row.get(0))
}

pub(crate) fn application_id(connection: &Connection) -> rusqlite::Result<i64> {
    connection.pragma_query_value(None, "application_id", |row| row.get(0))
}
