//! Change records as answers.

use dyebook_library::ChangeRecord;
use serde_json::{Value, json};

/// A change record as it stands in answers.
pub fn change_json(record: &ChangeRecord) -> Value {
    json!({
        "number": record.seq, "at": record.at, "by": record.by, "what": record.action,
        "kind": record.kind, "subject": record.subject, "reason": record.reason,
        "before": record.before_digest, "after": record.after_digest, "digest": record.hash,
    })
}
