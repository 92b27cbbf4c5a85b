//! An identification as it is stored.

use dyebook_documents::{
    Digest, Identification, LaneIdentity, StrategyStamp, digest_bytes, of_canonical_json_in_order,
};
use dyebook_library::{NewIdentification, Packed};
use semver::Version;
use serde::Serialize;
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// An identification as it is stored. What the entry checks say is worked out again whenever it is
/// shown: it may change when another sheet of the session comes in, and the identity does not.
pub(crate) fn stored_form(identification: &Identification) -> NewIdentification {
    let (method, strategy) = (&identification.method, &identification.strategy);
    let stored = Stored {
        amended: identification.amended,
        checks: [],
        lanes: &identification.lanes,
        method: MethodInOrder {
            digest: &method.digest,
            id: &method.id,
            version: &method.version,
        },
        notes: &identification.notes,
        sheet: &identification.sheet,
        sheet_digest: &identification.sheet_digest,
        sheet_revision: identification.sheet_revision,
        strategy: members_in_order(strategy),
    };
    let (digest, document) = of_canonical_json_in_order(&stored, |document| {
        (digest_bytes(document), Packed::new(document))
    });
    NewIdentification {
        sheet: identification.sheet.clone(),
        sheet_revision: identification.sheet_revision,
        method_id: method.id.clone(),
        method_version: method.version.to_string(),
        strategy: strategy.id.clone(),
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
    method: MethodInOrder<'a>,
    notes: &'a [String],
    sheet: &'a str,
    sheet_digest: &'a Digest,
    sheet_revision: u32,
    strategy: BTreeMap<&'a str, Member<'a>>,
}

/// A method's stamp in the order of the names.
#[derive(Serialize)]
struct MethodInOrder<'a> {
    digest: &'a Digest,
    id: &'a str,
    version: &'a Version,
}

/// A member of a strategy's stamp.
#[derive(Serialize)]
#[serde(untagged)]
enum Member<'a> {
    Text(&'a str),
    Members(&'a Map<String, Value>),
    Any(&'a Value),
}

/// The members of a strategy's stamp in the order of their names.
fn members_in_order(stamp: &StrategyStamp) -> BTreeMap<&str, Member<'_>> {
    let mut members = BTreeMap::from([
        ("digest", Member::Text(&stamp.digest)),
        ("id", Member::Text(&stamp.id)),
        ("parameters", Member::Members(&stamp.parameters)),
        ("version", Member::Text(&stamp.version)),
    ]);
    let provenance = stamp.provenance.iter();
    members.extend(provenance.map(|(name, member)| (name.as_str(), Member::Any(member))));
    members
}
