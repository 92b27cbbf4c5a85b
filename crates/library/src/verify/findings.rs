//! What a verification found, while it goes on.

use super::{Finding, VerifyReport};
use crate::packed::Unpacked;
use dyebook_documents::Digest;
use serde_json::Value;
use std::collections::BTreeMap;

#[derive(Default)]
pub(super) struct Findings {
    pub(super) looked_at: BTreeMap<&'static str, usize>,
    pub(super) list: Vec<Finding>,
    notes: Vec<Finding>,
}

impl Findings {
    pub(super) fn add(&mut self, place: &str, message: impl Into<String>) {
        self.list.push(Finding {
            place: place.to_owned(),
            message: message.into(),
        });
    }

    /// Adds the message unless this holds.
    pub(super) fn expect(&mut self, holds: bool, place: &str, message: &str) {
        if !holds {
            self.add(place, message);
        }
    }

    pub(super) fn note(&mut self, place: &str, message: impl Into<String>) {
        self.notes.push(Finding {
            place: place.to_owned(),
            message: message.into(),
        });
    }

    pub(super) fn count(&mut self, what: &'static str) {
        *self.looked_at.entry(what).or_default() += 1;
    }

    /// Holds a document against its digest. Answers the document where it can be read.
    pub(super) fn document(
        &mut self,
        place: &str,
        text: &str,
        digest: &str,
        digest_of: impl Fn(&Value) -> Digest,
    ) -> Option<Value> {
        self.read(place, Ok(text.as_bytes()), digest, digest_of)
    }

    /// The same of a packed document.
    pub(super) fn packed(
        &mut self,
        place: &str,
        packed: Unpacked,
        digest: &str,
        digest_of: impl Fn(&Value) -> Digest,
    ) -> Option<Value> {
        let bytes = packed.into_result();
        let text = bytes.as_deref().map_err(String::clone);
        self.read(place, text, digest, digest_of)
    }

    fn read(
        &mut self,
        place: &str,
        text: Result<&[u8], String>,
        digest: &str,
        digest_of: impl Fn(&Value) -> Digest,
    ) -> Option<Value> {
        self.count("documents");
        let parse = |text| serde_json::from_slice::<Value>(text).map_err(|error| error.to_string());
        match text.and_then(parse) {
            Ok(value) => {
                let fits = digest_of(&value).as_str() == digest;
                self.expect(fits, place, "does not fit its digest");
                Some(value)
            }
            Err(error) => {
                self.add(place, format!("can't be read: {error}"));
                None
            }
        }
    }

    pub(super) fn into_report(self) -> VerifyReport {
        VerifyReport {
            ok: self.list.is_empty(),
            looked_at: self.looked_at,
            findings: self.list,
            notes: self.notes,
        }
    }
}
