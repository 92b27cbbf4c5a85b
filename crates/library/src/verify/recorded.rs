//! What the history says that there is.

use crate::history::ChangeRecord;
use std::collections::{BTreeMap, BTreeSet};

/// A thing of which the last word counts: a dye, or a method version.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct LastWord {
    pub(super) digest: String,
    pub(super) state: String,
}

/// What the history says that there is.
#[derive(Debug, Default)]
pub(super) struct Recorded {
    /// By id.
    pub(super) dyes: BTreeMap<String, LastWord>,
    /// By `id@version`.
    pub(super) methods: BTreeMap<String, LastWord>,
    /// Sheet, digest, how it came about, when.
    pub(super) revisions: BTreeSet<[String; 4]>,
    /// Sheet, digest, when.
    pub(super) identifications: BTreeSet<[String; 3]>,
    /// Sheet and digest, with how often it became true less how often it ceased to be.
    pub(super) truths: BTreeMap<(String, String), i64>,
    /// Kind, subject and digest of a person's word kept beside the documents, with the last action
    /// and reason.
    pub(super) words: BTreeMap<[String; 3], (String, Option<String>)>,
}

impl Recorded {
    pub(super) fn take(&mut self, record: ChangeRecord) {
        let ChangeRecord {
            at,
            action,
            kind,
            subject,
            reason,
            before_digest,
            after_digest,
            ..
        } = record;
        let Some(digest) = after_digest else {
            return;
        };
        match (kind.as_str(), action.as_str()) {
            ("dye", _) => {
                let state = String::new();
                self.dyes.insert(subject, LastWord { digest, state });
            }
            ("method", "added" | "changed") => {
                let state = "draft".to_owned();
                self.methods.insert(subject, LastWord { digest, state });
            }
            ("method", "approved" | "superseded" | "withdrawn") => {
                let state = action;
                self.methods.insert(subject, LastWord { digest, state });
            }
            ("sheet", "imported" | "replaced" | "amended") => {
                self.revisions.insert([subject, digest, action, at]);
            }
            ("sheet", "identified") => {
                self.identifications.insert([subject, digest, at]);
            }
            ("sheet", "truth recorded") => {
                if let Some(before) = before_digest {
                    *self.truths.entry((subject.clone(), before)).or_default() -= 1;
                }
                *self.truths.entry((subject, digest)).or_default() += 1;
            }
            ("sheet" | "method" | "checklist", _) => {
                self.words.insert([kind, subject, digest], (action, reason));
            }
            _ => {}
        }
    }
}
