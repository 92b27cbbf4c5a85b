//! The chain of change records.

use super::findings::Findings;
use super::lossy_text::{optional_text, text};
use super::recorded::Recorded;
use crate::history::{COLUMNS, ChangeRecord, FIRST_PREVIOUS};
use crate::open::Library;
use jiff::Timestamp;

impl Library {
    /// Walks the chain. Answers what it says that there is.
    pub(super) fn verify_history(&self, found: &mut Findings) -> rusqlite::Result<Recorded> {
        let mut recorded = Recorded::default();
        let mut previous = FIRST_PREVIOUS.to_owned();
        let mut before: Option<Timestamp> = None;
        let sql = format!("SELECT {COLUMNS} FROM change_record ORDER BY seq");
        let mut statement = self.connection.prepare(&sql)?;
        let mut rows = statement.query([])?;
        let mut number = 0;
        while let Some(row) = rows.next()? {
            number += 1;
            let record = lossy_record(row)?;
            found.count("change records");
            let place = format!("history, record {}", record.seq);
            if record.seq != number {
                found.add(&place, format!("stands where record {number} should stand"));
            }
            found.expect(
                record.previous_hash == previous,
                &place,
                "does not follow from the record before it",
            );
            found.expect(
                record.hash == record.expected_hash().as_str(),
                &place,
                "was changed after it was written",
            );
            let at = record.at.parse().ok();
            note_clock(found, &place, before, at);
            before = at.or(before);
            previous.clone_from(&record.hash);
            recorded.take(record);
        }
        Ok(recorded)
    }
}

/// A clock that went back is recorded as it was; the order of the records is what counts.
fn note_clock(found: &mut Findings, place: &str, before: Option<Timestamp>, at: Option<Timestamp>) {
    if let (Some(before), Some(at)) = (before, at)
        && at < before
    {
        found.note(
            place,
            format!(
                "is dated {at}, earlier than {before} of the record before it: the clock of one of \
                 the computers was wrong; the order of the records is right"
            ),
        );
    }
}

fn lossy_record(row: &rusqlite::Row<'_>) -> rusqlite::Result<ChangeRecord> {
    Ok(ChangeRecord {
        seq: row.get(0)?,
        at: text(row, 1)?,
        by: text(row, 2)?,
        action: text(row, 3)?,
        kind: text(row, 4)?,
        subject: text(row, 5)?,
        reason: optional_text(row, 6)?,
        before_digest: optional_text(row, 7)?,
        after_digest: optional_text(row, 8)?,
        previous_hash: text(row, 9)?,
        hash: text(row, 10)?,
    })
}
