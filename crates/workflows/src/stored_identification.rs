//! An identification as it is stored.

use dyebook_documents::{
    Digest, Identification, LaneIdentity, MethodStamp, StrategyStamp, canonical_json, digest_bytes,
    of_canonical_json_in_order,
};
use dyebook_library::{NewIdentification, Packed};
use serde::Serialize;
use serde_json::value::RawValue;

/// The stamps as they stand in what is stored, written once for all sheets that share them.
pub(crate) struct StoredStamps {
    method: Box<RawValue>,
    strategy: Box<RawValue>,
}

impl StoredStamps {
    pub(crate) fn new(method: &MethodStamp, strategy: &StrategyStamp) -> Self {
        Self {
            method: written(method),
            strategy: written(strategy),
        }
    }
}

#[expect(clippy::expect_used, reason = "stamps hold texts and JSON values")]
fn written<T: Serialize>(stamp: &T) -> Box<RawValue> {
    let members = serde_json::to_value(stamp).expect("it has a JSON form");
    RawValue::from_string(canonical_json(&members)).expect("the canonical form is JSON")
}

/// An identification as it is stored. What the entry checks say is worked out again whenever it is
/// shown: it may change when another sheet of the session comes in, and the identity does not.
pub(crate) fn stored_form(
    identification: &Identification,
    stamps: &StoredStamps,
) -> NewIdentification {
    let method = &identification.method;
    let stored = Stored {
        amended: identification.amended,
        checks: [],
        lanes: &identification.lanes,
        method: &stamps.method,
        notes: &identification.notes,
        sheet: &identification.sheet,
        sheet_digest: &identification.sheet_digest,
        sheet_revision: identification.sheet_revision,
        strategy: &stamps.strategy,
    };
    let (digest, document) = of_canonical_json_in_order(&stored, |document| {
        (digest_bytes(document), Packed::new(document))
    });
    NewIdentification {
        sheet: identification.sheet.clone(),
        sheet_revision: identification.sheet_revision,
        method_id: method.id.clone(),
        method_version: method.version.to_string(),
        strategy: identification.strategy.id.clone(),
        digest,
        document,
    }
}

/// An [`Identification`] in the order of the names.
#[derive(Serialize)]
struct Stored<'a> {
    amended: bool,
    checks: [(); 0],
    lanes: &'a [LaneIdentity],
    method: &'a RawValue,
    notes: &'a [String],
    sheet: &'a str,
    sheet_digest: &'a Digest,
    sheet_revision: u32,
    strategy: &'a RawValue,
}
