//! Whether the layout allows a run of another length.

use super::diff::{Change, change};
use super::rule::rule;
use super::wording::{Words, three_digits};
use dyebook_documents::Layout;
use serde_json::{Value, json};

/// How much longer or shorter a run may be and still be the same, as a part of the longer one
/// (common practice, no source).
const SAME_RUN: f64 = 0.10;

/// The change of the longest run, where both layouts tell it and it is more than a tenth.
pub(super) fn run_length_change(from: &Value, to: &Value) -> Option<Change> {
    let (a, b) = (run_cm(from)?, run_cm(to)?);
    // A hundredth of a millimetre: 10 cm and 9 cm are a tenth apart, whatever the last bit says.
    if (a - b).abs() <= SAME_RUN * a.max(b) + 1e-3 {
        return None;
    }
    let words = Words {
        what: "the longest run".to_owned(),
        name: "the longest run".to_owned(),
        from: three_digits(a),
        to: three_digits(b),
    };
    let values = (json!({ "run_cm": a }), json!({ "run_cm": b }));
    Some(change(
        rule("run_length_changed"),
        "/layout",
        values.0,
        values.1,
        Some(words),
    ))
}

fn run_cm(method: &Value) -> Option<f64> {
    let layout: Layout = serde_json::from_value(method.get("layout")?.clone()).ok()?;
    layout.run_cm()
}
