//! The sheets of a bundle, each with all its revisions or not at all.

use super::import::{Taken, TakenMethod, taken};
use super::{Bundle, BundledFile, BundledSheet};
use crate::failure::Failure;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use dyebook_documents::Sheet;
use dyebook_library::{Change, NewRevision, Origin, Packed, RevisionKind, SourceFile};
use std::collections::BTreeMap;

pub(super) fn take_sheets(
    change: &Change<'_>,
    bundle: &Bundle,
    methods: &[TakenMethod],
    reason: &str,
) -> Result<Vec<Taken>, Failure> {
    let mut by_id: BTreeMap<&str, Vec<&BundledSheet>> = BTreeMap::new();
    for sheet in &bundle.sheets {
        by_id.entry(&sheet.id).or_default().push(sheet);
    }
    let files: BTreeMap<&str, &BundledFile> = bundle
        .files
        .iter()
        .map(|file| (file.sha256.as_str(), file))
        .collect();
    let mut report = Vec::with_capacity(by_id.len());
    for (id, revisions) in by_id {
        if let Some(method) = conflicting_method(&revisions, methods) {
            report.push(Taken {
                id: id.to_owned(),
                taken: false,
                why: Some(format!(
                    "was run by `{method}` of the bundle, which is here with another content"
                )),
                conflict: true,
            });
            continue;
        }
        let here = change.revision_digests(id)?;
        let same = here
            .iter()
            .map(String::as_str)
            .eq(revisions.iter().map(|r| r.digest.as_str()));
        let differs = (!here.is_empty()).then_some(!same);
        if differs.is_none() {
            keep_files(change, &revisions, &files)?;
            for sheet in revisions {
                take_revision(change, sheet, reason)?;
            }
        }
        report.push(taken(id.to_owned(), differs));
    }
    Ok(report)
}

/// A sheet must not be bound to a method version that only has the same name as its own.
fn conflicting_method(revisions: &[&BundledSheet], methods: &[TakenMethod]) -> Option<String> {
    methods
        .iter()
        .filter(|method| method.conflict)
        .find(|method| {
            revisions
                .iter()
                .any(|r| r.method_id == method.id && r.method_version == method.version)
        })
        .map(|method| format!("{}@{}", method.id, method.version))
}

fn keep_files(
    change: &Change<'_>,
    revisions: &[&BundledSheet],
    files: &BTreeMap<&str, &BundledFile>,
) -> Result<(), Failure> {
    for sheet in revisions {
        if change.has_file(sheet.file_sha256.as_str())? {
            continue;
        }
        let file = files
            .get(sheet.file_sha256.as_str())
            .ok_or_else(|| broken(sheet, "the file it was read from is missing"))?;
        let bytes = BASE64
            .decode(&file.base64)
            .map_err(|error| broken(sheet, &error.to_string()))?;
        change.keep_file(SourceFile {
            name: &file.name,
            sha256: &file.sha256,
            bytes: &Packed::new(&bytes),
        })?;
    }
    Ok(())
}

fn take_revision(change: &Change<'_>, sheet: &BundledSheet, reason: &str) -> Result<(), Failure> {
    if change
        .method(&sheet.method_id, &sheet.method_version)?
        .is_none()
    {
        return Err(broken(
            sheet,
            &format!(
                "its method `{}@{}` is neither in the bundle nor here",
                sheet.method_id, sheet.method_version
            ),
        ));
    }
    let read: Sheet = serde_json::from_value(sheet.document.clone())
        .map_err(|error| broken(sheet, &error.to_string()))?;
    change.keep_revision(&NewRevision {
        id: &sheet.id,
        sheet: &read,
        document: &Packed::new(sheet.document.to_string()),
        digest: &sheet.digest,
        kind: match sheet.kind.as_str() {
            "amended" => RevisionKind::Amended,
            "replaced" => RevisionKind::Replaced,
            _ => RevisionKind::Imported,
        },
        file_sha256: sheet.file_sha256.as_str(),
        importer: &sheet.importer,
        reading: &sheet.reading,
        method_id: &sheet.method_id,
        method_version: &sheet.method_version,
        state_when_bound: sheet.state_when_bound,
        origin: Origin::External,
        reason: Some(reason),
    })?;
    Ok(())
}

fn broken(sheet: &BundledSheet, why: &str) -> Failure {
    Failure::refused(
        "bundle.not-valid",
        format!("sheet `{}` of the bundle: {why}", sheet.id),
    )
}
