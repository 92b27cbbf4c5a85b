//! What the samples really hold, as a person recorded it.

use crate::change::{Change, Deed};
use crate::error::LibraryError;
use crate::open::Library;
use dyebook_documents::{Digest, digest_value};
use rusqlite::OptionalExtension;
use serde::{Deserialize, Serialize};

/// What one lane really holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LaneTruth {
    /// Sheet identifier.
    pub sheet: String,
    /// Paper.
    pub paper: String,
    /// Lane.
    pub lane: u32,
    /// Dye identifiers, sorted.
    pub dyes: Vec<String>,
}

impl Change<'_> {
    /// Records what a lane really holds; a changed word is recorded with the one before. Answers
    /// whether anything changed.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn keep_truth(
        &self,
        truth: &LaneTruth,
        reason: Option<&str>,
    ) -> Result<bool, LibraryError> {
        let dyes = truth.dyes.join(" ");
        let before: Option<String> = self
            .transaction
            .query_row(
                "SELECT dyes FROM lane_truth WHERE sheet_id = ?1 AND paper = ?2 AND lane = ?3",
                (&truth.sheet, &truth.paper, truth.lane),
                |row| row.get(0),
            )
            .optional()
            .map_err(|error| self.sqlite(error))?;
        if before.as_ref() == Some(&dyes) {
            return Ok(false);
        }
        self.transaction
            .execute(
                "INSERT INTO lane_truth VALUES (?1, ?2, ?3, ?4)
                 ON CONFLICT (sheet_id, paper, lane) DO UPDATE SET dyes = ?4",
                (&truth.sheet, &truth.paper, truth.lane, &dyes),
            )
            .map_err(|error| self.sqlite(error))?;
        let before = before.map(|dyes| truth_digest(truth, &dyes));
        self.record(&Deed {
            action: "truth recorded",
            kind: "sheet",
            subject: &truth.sheet,
            reason,
            before: before.as_ref(),
            after: Some(&truth_digest(truth, &dyes)),
        })?;
        Ok(true)
    }
}

fn truth_digest(truth: &LaneTruth, dyes: &str) -> Digest {
    digest_value(&serde_json::json!([
        truth.sheet,
        truth.paper,
        truth.lane,
        dyes
    ]))
}

impl Library {
    /// What is recorded of the lanes of a sheet, or of all sheets.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn truth(&self, sheet: Option<&str>) -> Result<Vec<LaneTruth>, LibraryError> {
        let read = || -> rusqlite::Result<Vec<LaneTruth>> {
            self.connection
                .prepare_cached(
                    "SELECT sheet_id, paper, lane, dyes FROM lane_truth
                     WHERE ?1 IS NULL OR sheet_id = ?1 ORDER BY sheet_id, paper, lane",
                )?
                .query_map([sheet], |row| {
                    Ok(LaneTruth {
                        sheet: row.get(0)?,
                        paper: row.get(1)?,
                        lane: row.get(2)?,
                        dyes: row
                            .get::<_, String>(3)?
                            .split_whitespace()
                            .map(str::to_owned)
                            .collect(),
                    })
                })?
                .collect()
        };
        read().map_err(|error| self.sqlite(error))
    }
}
