//! The history: who changed what, when and why, in a chain of hashes.

use crate::change::Deed;
use crate::error::LibraryError;
use crate::open::Library;
use dyebook_documents::{Digest, digest_in_order};
use rusqlite::{Connection, OptionalExtension, Row};
use serde::{Deserialize, Serialize};

/// One change, as recorded.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ChangeRecord {
    /// Number in the chain, from 1.
    pub seq: i64,
    /// When, in UTC (RFC 3339).
    pub at: String,
    /// Who.
    pub by: String,
    /// What was done, e.g. `approved`.
    pub action: String,
    /// To what kind of thing.
    pub kind: String,
    /// To which one.
    pub subject: String,
    /// Why.
    pub reason: Option<String>,
    /// Digest before.
    pub before_digest: Option<String>,
    /// Digest after.
    pub after_digest: Option<String>,
    /// Hash of the record before.
    pub previous_hash: String,
    /// Hash over this record and the one before.
    pub hash: String,
}

impl ChangeRecord {
    /// The hash that the record should have: SHA-256 over the canonical JSON of all other fields,
    /// the previous hash among them.
    pub fn expected_hash(&self) -> Digest {
        digest_in_order(&Hashed {
            action: &self.action,
            after: self.after_digest.as_deref(),
            at: &self.at,
            before: self.before_digest.as_deref(),
            by: &self.by,
            kind: &self.kind,
            previous: &self.previous_hash,
            reason: self.reason.as_deref(),
            seq: self.seq,
            subject: &self.subject,
        })
    }
}

/// What a record's hash is over, in the order of the names.
#[derive(Serialize)]
struct Hashed<'a> {
    action: &'a str,
    after: Option<&'a str>,
    at: &'a str,
    before: Option<&'a str>,
    by: &'a str,
    kind: &'a str,
    previous: &'a str,
    reason: Option<&'a str>,
    seq: i64,
    subject: &'a str,
}

/// The hash before the first record.
pub(crate) const FIRST_PREVIOUS: &str = "";

pub(crate) const COLUMNS: &str = "seq, at, by, action, kind, subject, reason, before_digest, after_digest, \
                       previous_hash, hash";

fn record(row: &Row<'_>) -> rusqlite::Result<ChangeRecord> {
    Ok(ChangeRecord {
        seq: row.get(0)?,
        at: row.get(1)?,
        by: row.get(2)?,
        action: row.get(3)?,
        kind: row.get(4)?,
        subject: row.get(5)?,
        reason: row.get(6)?,
        before_digest: row.get(7)?,
        after_digest: row.get(8)?,
        previous_hash: row.get(9)?,
        hash: row.get(10)?,
    })
}

/// What the next record is linked to: number and hash of the one before.
#[derive(Debug)]
pub(crate) struct Link {
    seq: i64,
    hash: String,
}

impl Link {
    /// The newest record.
    pub(crate) fn last(connection: &Connection) -> rusqlite::Result<Self> {
        let newest = connection
            .prepare_cached("SELECT seq, hash FROM change_record ORDER BY seq DESC LIMIT 1")?
            .query_row([], |row| {
                Ok(Self {
                    seq: row.get(0)?,
                    hash: row.get(1)?,
                })
            })
            .optional()?;
        Ok(newest.unwrap_or_else(|| Self {
            seq: 0,
            hash: FIRST_PREVIOUS.to_owned(),
        }))
    }
}

/// Appends a record behind the last one. Answers what the next is linked to.
pub(crate) fn append(
    connection: &Connection,
    by: &str,
    at: &str,
    deed: &Deed<'_>,
    last: &Link,
) -> rusqlite::Result<Link> {
    let seq = last.seq + 1;
    let new = Hashed {
        action: deed.action,
        after: deed.after.map(Digest::as_str),
        at,
        before: deed.before.map(Digest::as_str),
        by,
        kind: deed.kind,
        previous: &last.hash,
        reason: deed.reason,
        seq,
        subject: deed.subject,
    };
    let hash = digest_in_order(&new).to_string();
    connection
        .prepare_cached(
            "INSERT OR ROLLBACK INTO change_record
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
        )?
        .execute((
            seq,
            at,
            by,
            new.action,
            new.kind,
            new.subject,
            new.reason,
            new.before,
            new.after,
            new.previous,
            &hash,
        ))?;
    Ok(Link { seq, hash })
}

impl Library {
    /// All change records, oldest first; with a subject, those of it, and of its versions where
    /// the subject is a method.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn history(&self, subject: Option<&str>) -> Result<Vec<ChangeRecord>, LibraryError> {
        let read = || -> rusqlite::Result<Vec<ChangeRecord>> {
            let sql = format!(
                "SELECT {COLUMNS} FROM change_record
                 WHERE ?1 IS NULL OR subject = ?1 OR substr(subject, 1, length(?1) + 1) = ?1 || '@'
                 ORDER BY seq"
            );
            self.connection
                .prepare(&sql)?
                .query_map([subject], record)?
                .collect()
        };
        read().map_err(|error| self.sqlite(error))
    }
}
