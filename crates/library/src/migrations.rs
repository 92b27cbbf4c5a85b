//! From any older schema version to this one, with a copy made before.

use crate::error::LibraryError;
use crate::packed::Packed;
use rusqlite::Connection;
use rusqlite::functions::FunctionFlags;
use std::path::Path;

/// The schema, one step a version; `PRAGMA user_version` counts the steps taken.
pub(crate) const STEPS: &[&str] = &[
    include_str!("../migrations/0001_first.sql"),
    include_str!("../migrations/0002_packed.sql"),
    include_str!("../migrations/0003_fewer_indexes.sql"),
];

/// The schema version this program writes.
#[expect(
    clippy::cast_possible_wrap,
    reason = "there will never be that many steps"
)]
pub const SCHEMA_VERSION: i64 = STEPS.len() as i64;

/// Marks a file as a reference library: the letters `DyeB`.
pub(crate) const APPLICATION_ID: i64 = 0x4479_6542;

/// Takes the steps a file lacks, all in one transaction.
pub(crate) fn migrate(
    connection: &mut Connection,
    path: &Path,
    steps: &[&str],
) -> Result<(), LibraryError> {
    let sqlite = |error| LibraryError::from_sqlite(path, error);
    provide_pack(connection).map_err(sqlite)?;
    // A step may make a table anew that others point at (sqlite.org/lang_altertable.html, section
    // 7); inside a transaction this can't be switched.
    foreign_keys(connection, false).map_err(sqlite)?;
    let taken = take_steps(connection, path, steps);
    foreign_keys(connection, true).map_err(sqlite)?;
    taken
}

fn foreign_keys(connection: &Connection, on: bool) -> rusqlite::Result<()> {
    connection.pragma_update(None, "foreign_keys", on)
}

fn take_steps(
    connection: &mut Connection,
    path: &Path,
    steps: &[&str],
) -> Result<(), LibraryError> {
    let sqlite = |error| LibraryError::from_sqlite(path, error);
    let transaction = connection
        .transaction_with_behavior(rusqlite::TransactionBehavior::Immediate)
        .map_err(sqlite)?;
    // Asked again inside the transaction: another process may have migrated meanwhile.
    let version = user_version(&transaction).map_err(sqlite)?;
    let taken = usize::try_from(version).unwrap_or_default();
    let mut reached = version;
    for step in steps.iter().skip(taken) {
        transaction.execute_batch(step).map_err(sqlite)?;
        reached += 1;
    }
    transaction
        .pragma_update(None, "application_id", APPLICATION_ID)
        .map_err(sqlite)?;
    transaction
        .pragma_update(None, "user_version", reached)
        .map_err(sqlite)?;
    transaction.commit().map_err(sqlite)
}

/// The function `pack`, which steps use: a text or a blob as it is packed.
fn provide_pack(connection: &Connection) -> rusqlite::Result<()> {
    connection.create_scalar_function("pack", 1, FunctionFlags::SQLITE_UTF8, |call| {
        Ok(Packed::new(call.get_raw(0).as_bytes()?))
    })
}

pub(crate) fn user_version(connection: &Connection) -> rusqlite::Result<i64> {
    connection.pragma_query_value(None, "user_version", |row| row.get(0))
}

pub(crate) fn application_id(connection: &Connection) -> rusqlite::Result<i64> {
    connection.pragma_query_value(None, "application_id", |row| row.get(0))
}

#[cfg(test)]
mod tests {
    use super::{SCHEMA_VERSION, STEPS, migrate, user_version};
    use rusqlite::Connection;
    use std::path::Path;

    #[test]
    fn steps_are_taken_once_and_in_order() {
        let mut file = Connection::open_in_memory().unwrap();
        let path = Path::new("a test");
        migrate(&mut file, path, STEPS).unwrap();
        let later = "CREATE TABLE later (x TEXT) STRICT; INSERT INTO later VALUES ('kept');";
        let steps: Vec<&str> = STEPS.iter().copied().chain([later]).collect();
        for _ in 0..2 {
            migrate(&mut file, path, &steps).unwrap();
            let rows: u32 = file
                .query_row("SELECT COUNT(*) FROM later", [], |row| row.get(0))
                .unwrap();
            assert_eq!(rows, 1);
        }
        assert_eq!(user_version(&file).unwrap(), SCHEMA_VERSION + 1);
    }

    #[test]
    fn a_step_that_fails_leaves_the_file_at_the_old_version() {
        let mut file = Connection::open_in_memory().unwrap();
        let path = Path::new("a test");
        migrate(&mut file, path, STEPS).unwrap();
        // The first half of the last step would work alone.
        let broken = "CREATE TABLE later (x TEXT) STRICT; CREATE TABLE dye (x TEXT) STRICT;";
        let steps: Vec<&str> = STEPS.iter().copied().chain([broken]).collect();
        assert!(migrate(&mut file, path, &steps).is_err());
        assert_eq!(user_version(&file).unwrap(), SCHEMA_VERSION);
        let there: u32 = file
            .query_row(
                "SELECT COUNT(*) FROM sqlite_schema WHERE name = 'later'",
                [],
                |row| row.get(0),
            )
            .unwrap();
        assert_eq!(there, 0);
    }
}
