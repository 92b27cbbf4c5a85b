//! A person's word kept beside the documents: exclusions from value assignment, lots verified for
//! a method version, states of a checklist.

use crate::change::{Change, Deed};
use crate::error::LibraryError;
use crate::open::Library;
use dyebook_documents::digest_value;
use serde::{Deserialize, Serialize};
use serde_json::json;

/// A spot left out of value assignment, kept for ever.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Exclusion {
    /// Sheet identifier.
    pub sheet: String,
    /// Paper.
    pub paper: String,
    /// Lane.
    pub lane: u32,
    /// Spot.
    pub spot: u32,
    /// Why.
    pub reason: String,
}

/// A lot or batch that was verified for a method version.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Applicability {
    /// Method identifier.
    pub method_id: String,
    /// Method version.
    pub method_version: String,
    /// `paper`, `dye` or `batch`.
    pub kind: String,
    /// The lot or batch.
    pub lot: String,
    /// What was done.
    pub note: String,
}

/// One item of a checklist.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ChecklistItem {
    /// The checklist.
    pub checklist: String,
    /// The item.
    pub item: String,
    /// `open`, `done` or `dropped`.
    pub state: String,
    /// A note.
    pub note: Option<String>,
}

impl Change<'_> {
    /// Keeps an exclusion.
    ///
    /// # Errors
    /// [`LibraryError::Forbidden`] when the sheet is unknown.
    pub fn keep_exclusion(&self, exclusion: &Exclusion) -> Result<(), LibraryError> {
        let Exclusion {
            sheet,
            paper,
            lane,
            spot,
            reason,
        } = exclusion;
        self.transaction
            .execute(
                "INSERT INTO exclusion VALUES (?1, ?2, ?3, ?4, ?5)
                 ON CONFLICT (sheet_id, paper, lane, spot) DO UPDATE SET reason = ?5",
                (sheet, paper, lane, spot, reason),
            )
            .map_err(|error| self.sqlite(error))?;
        self.record(&Deed {
            action: "excluded",
            kind: "sheet",
            subject: sheet,
            reason: Some(reason),
            before: None,
            after: Some(&digest_value(&json!([sheet, paper, lane, spot]))),
        })
    }

    /// Keeps that a lot was verified.
    ///
    /// # Errors
    /// [`LibraryError::Forbidden`] when the method version is unknown.
    pub fn keep_applicability(&self, record: &Applicability) -> Result<(), LibraryError> {
        let Applicability {
            method_id,
            method_version,
            kind,
            lot,
            note,
        } = record;
        self.transaction
            .execute(
                "INSERT INTO applicability (method_id, method_version, kind, lot, note)
                 VALUES (?1, ?2, ?3, ?4, ?5)",
                (method_id, method_version, kind, lot, note),
            )
            .map_err(|error| self.sqlite(error))?;
        self.record(&Deed {
            action: "lot verified",
            kind: "method",
            subject: &format!("{method_id}@{method_version}"),
            reason: Some(note),
            before: None,
            after: Some(&digest_value(&json!([kind, lot]))),
        })
    }

    /// Sets the state of a checklist item; a new item goes to the end.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn keep_checklist_item(&self, item: &ChecklistItem) -> Result<(), LibraryError> {
        self.transaction
            .execute(
                "INSERT INTO checklist_item
                 SELECT ?1, ?2, COALESCE(MAX(position), 0) + 1, ?3, ?4
                 FROM checklist_item WHERE checklist = ?1
                 ON CONFLICT (checklist, item) DO UPDATE SET state = ?3, note = ?4",
                (&item.checklist, &item.item, &item.state, &item.note),
            )
            .map_err(|error| self.sqlite(error))?;
        self.record(&Deed {
            action: &item.state,
            kind: "checklist",
            subject: &item.checklist,
            reason: item.note.as_deref(),
            before: None,
            after: Some(&digest_value(&json!(item.item))),
        })
    }
}

impl Library {
    /// All exclusions.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn exclusions(&self) -> Result<Vec<Exclusion>, LibraryError> {
        let read = || -> rusqlite::Result<Vec<Exclusion>> {
            self.connection
                .prepare("SELECT * FROM exclusion ORDER BY sheet_id, paper, lane, spot")?
                .query_map([], |row| {
                    Ok(Exclusion {
                        sheet: row.get(0)?,
                        paper: row.get(1)?,
                        lane: row.get(2)?,
                        spot: row.get(3)?,
                        reason: row.get(4)?,
                    })
                })?
                .collect()
        };
        read().map_err(|error| self.sqlite(error))
    }

    /// Lots verified for the versions of a method.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn applicability(&self, method_id: &str) -> Result<Vec<Applicability>, LibraryError> {
        self.read_applicability(Some(method_id))
    }

    /// Lots verified for any method version.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn all_applicability(&self) -> Result<Vec<Applicability>, LibraryError> {
        self.read_applicability(None)
    }

    fn read_applicability(
        &self,
        method_id: Option<&str>,
    ) -> Result<Vec<Applicability>, LibraryError> {
        let read = || -> rusqlite::Result<Vec<Applicability>> {
            self.connection
                .prepare(
                    "SELECT method_id, method_version, kind, lot, note FROM applicability
                     WHERE ?1 IS NULL OR method_id = ?1 ORDER BY seq",
                )?
                .query_map([method_id], |row| {
                    Ok(Applicability {
                        method_id: row.get(0)?,
                        method_version: row.get(1)?,
                        kind: row.get(2)?,
                        lot: row.get(3)?,
                        note: row.get(4)?,
                    })
                })?
                .collect()
        };
        read().map_err(|error| self.sqlite(error))
    }

    /// The items of a checklist, in order.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn checklist(&self, checklist: &str) -> Result<Vec<ChecklistItem>, LibraryError> {
        self.read_checklists(Some(checklist))
    }

    /// The items of all checklists, in order.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn all_checklists(&self) -> Result<Vec<ChecklistItem>, LibraryError> {
        self.read_checklists(None)
    }

    fn read_checklists(&self, checklist: Option<&str>) -> Result<Vec<ChecklistItem>, LibraryError> {
        let read = || -> rusqlite::Result<Vec<ChecklistItem>> {
            self.connection
                .prepare(
                    "SELECT checklist, item, state, note FROM checklist_item
                     WHERE ?1 IS NULL OR checklist = ?1 ORDER BY checklist, position",
                )?
                .query_map([checklist], |row| {
                    Ok(ChecklistItem {
                        checklist: row.get(0)?,
                        item: row.get(1)?,
                        state: row.get(2)?,
                        note: row.get(3)?,
                    })
                })?
                .collect()
        };
        read().map_err(|error| self.sqlite(error))
    }
}
