//! The file's own structure.

use super::findings::Findings;
use crate::migrations::{STEPS, migrate};
use crate::open::Library;
use rusqlite::Connection;
use std::collections::BTreeMap;

type Schema = BTreeMap<(String, String), String>;

impl Library {
    pub(super) fn verify_pages(&self, found: &mut Findings) -> rusqlite::Result<()> {
        let mut statement = self.connection.prepare("PRAGMA integrity_check")?;
        for line in statement.query_map([], |row| row.get::<_, String>(0))? {
            let line = line?;
            if line != "ok" {
                found.add("pages", line);
            }
        }
        found.count("page checks");
        let mut statement = self.connection.prepare("PRAGMA foreign_key_check")?;
        for table in statement.query_map([], |row| row.get::<_, String>(0))? {
            found.add("pages", format!("a row of `{}` points at nothing", table?));
        }
        self.verify_schema(found)
    }

    /// Tables, indexes and triggers are those that the migrations make: a rule that somebody took
    /// out of the file is missed.
    fn verify_schema(&self, found: &mut Findings) -> rusqlite::Result<()> {
        let here = schema(&self.connection)?;
        let mut fresh = Connection::open_in_memory()?;
        if migrate(&mut fresh, self.path(), STEPS).is_err() {
            return Ok(());
        }
        let wanted = schema(&fresh)?;
        for ((kind, name), sql) in &wanted {
            found.count("tables, indexes and rules");
            match here.get(&(kind.clone(), name.clone())) {
                None => found.add("schema", format!("the {kind} `{name}` is missing")),
                Some(there) if there != sql => {
                    found.add("schema", format!("the {kind} `{name}` was changed"));
                }
                Some(_) => {}
            }
        }
        for (kind, name) in here.keys().filter(|key| !wanted.contains_key(*key)) {
            found.add(
                "schema",
                format!("the {kind} `{name}` is not of this program"),
            );
        }
        Ok(())
    }
}

fn schema(connection: &Connection) -> rusqlite::Result<Schema> {
    connection
        .prepare("SELECT type, name, COALESCE(sql, '') FROM sqlite_schema")?
        .query_map([], |row| Ok(((row.get(0)?, row.get(1)?), row.get(2)?)))?
        .collect()
}
