//! Is everything as it was recorded?

use crate::error::LibraryError;
use crate::history::FIRST_PREVIOUS;
use crate::open::Library;
use dyebook_documents::{digest_bytes, digest_value};
use serde::Serialize;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// The outcome of a verification.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct VerifyReport {
    /// Nothing was found.
    pub ok: bool,
    /// What was looked at, with how many.
    pub looked_at: BTreeMap<&'static str, usize>,
    /// What was found.
    pub findings: Vec<Finding>,
}

/// One thing that is not as it was recorded.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// Where: `pages`, `history`, `method saline-paper@1.0.0`, …
    pub place: String,
    /// What is wrong.
    pub message: String,
}

impl Library {
    /// Walks the whole file: pages, references between tables, the history's chain of hashes, and
    /// the digest of everything kept, against what the history recorded last.
    ///
    /// # Errors
    /// A file so damaged that it can't be walked.
    pub fn verify(&self) -> Result<VerifyReport, LibraryError> {
        let mut found = Findings::default();
        self.verify_pages(&mut found)
            .map_err(|error| self.sqlite(error))?;
        self.verify_history(&mut found)?;
        self.verify_contents(&mut found)
            .map_err(|error| self.sqlite(error))?;
        Ok(VerifyReport {
            ok: found.list.is_empty(),
            looked_at: found.looked_at,
            findings: found.list,
        })
    }

    fn verify_pages(&self, found: &mut Findings) -> rusqlite::Result<()> {
        let mut statement = self.connection.prepare("PRAGMA integrity_check")?;
        for line in statement.query_map([], |row| row.get::<_, String>(0))? {
            let line = line?;
            if line != "ok" {
                found.add("pages", line);
            }
        }
        found.looked_at.insert("page checks", 1);
        let mut statement = self.connection.prepare("PRAGMA foreign_key_check")?;
        for table in statement.query_map([], |row| row.get::<_, String>(0))? {
            found.add("pages", format!("a row of `{}` points at nothing", table?));
        }
        Ok(())
    }

    fn verify_history(&self, found: &mut Findings) -> Result<(), LibraryError> {
        let records = self.history(None)?;
        found.looked_at.insert("change records", records.len());
        let mut previous = FIRST_PREVIOUS.to_owned();
        for (number, record) in (1..).zip(&records) {
            let place = format!("history, record {}", record.seq);
            if record.seq != number {
                found.add(&place, format!("stands where record {number} should stand"));
            }
            if record.previous_hash != previous {
                found.add(
                    &place,
                    "does not follow from the record before it".to_owned(),
                );
            }
            if record.hash != record.expected_hash().as_str() {
                found.add(&place, "was changed after it was written".to_owned());
            }
            previous.clone_from(&record.hash);
        }
        Ok(())
    }

    fn verify_contents(&self, found: &mut Findings) -> rusqlite::Result<()> {
        let recorded = self.recorded_digests()?;
        let known = |kind: &'static str, subject: &str, digest: &str, found: &mut Findings| {
            if !recorded.contains(&(kind.to_owned(), subject.to_owned(), digest.to_owned())) {
                found.add(
                    &format!("{kind} {subject}"),
                    "is in no change record".to_owned(),
                );
            }
        };
        for (subject, text, digest) in self.documents("SELECT id, document, digest FROM dye")? {
            found.document("dye", &subject, &text, &digest);
            known("dye", &subject, &digest, found);
        }
        let methods = "SELECT id || '@' || version, document, digest FROM method_version";
        for (subject, text, digest) in self.documents(methods)? {
            found.document("method", &subject, &text, &digest);
            known("method", &subject, &digest, found);
        }
        let sheets = "SELECT sheet_id, document, digest FROM sheet_revision";
        for (subject, text, digest) in self.documents(sheets)? {
            found.sheet(&subject, &text, &digest);
            known("sheet", &subject, &digest, found);
        }
        let identities = "SELECT sheet_id, document, digest FROM identification";
        for (subject, text, digest) in self.documents(identities)? {
            found.document("identification of", &subject, &text, &digest);
            known("sheet", &subject, &digest, found);
        }
        let mut statement = self
            .connection
            .prepare("SELECT sha256, bytes FROM source_file")?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let (sha256, bytes): (String, Vec<u8>) = (row.get(0)?, row.get(1)?);
            found.count("files as handed in");
            if digest_bytes(&bytes).as_str() != sha256 {
                found.add(
                    &format!("file {sha256}"),
                    "is not as it was handed in".to_owned(),
                );
            }
        }
        Ok(())
    }

    fn recorded_digests(&self) -> rusqlite::Result<BTreeSet<(String, String, String)>> {
        self.connection
            .prepare(
                "SELECT kind, subject, after_digest FROM change_record
                 WHERE after_digest IS NOT NULL",
            )?
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?
            .collect()
    }

    fn documents(&self, sql: &str) -> rusqlite::Result<Vec<(String, String, String)>> {
        self.connection
            .prepare(sql)?
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?
            .collect()
    }
}

#[derive(Default)]
struct Findings {
    looked_at: BTreeMap<&'static str, usize>,
    list: Vec<Finding>,
}

impl Findings {
    fn add(&mut self, place: &str, message: String) {
        self.list.push(Finding {
            place: place.to_owned(),
            message,
        });
    }

    fn count(&mut self, what: &'static str) {
        *self.looked_at.entry(what).or_default() += 1;
    }

    fn document(&mut self, kind: &'static str, subject: &str, text: &str, digest: &str) {
        self.count("documents");
        match serde_json::from_str::<Value>(text) {
            Ok(value) if digest_value(&value).as_str() == digest => {}
            Ok(_) => self.add(
                &format!("{kind} {subject}"),
                "does not fit its digest".to_owned(),
            ),
            Err(error) => self.add(
                &format!("{kind} {subject}"),
                format!("can't be read: {error}"),
            ),
        }
    }

    fn sheet(&mut self, subject: &str, text: &str, digest: &str) {
        self.count("documents");
        match serde_json::from_str::<Value>(text) {
            Ok(value) if crate::sheets::content_digest(&value).as_str() == digest => {}
            Ok(_) => self.add(
                &format!("sheet {subject}"),
                "does not fit its digest".to_owned(),
            ),
            Err(error) => self.add(
                &format!("sheet {subject}"),
                format!("can't be read: {error}"),
            ),
        }
    }
}
