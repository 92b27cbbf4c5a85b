//! Prepared sheets into the library, and what can be said of them while they are at hand.

use crate::failure::Failure;
use crate::import_bindings::Bindings;
use crate::import_prepare::{PreparedFile, PreparedSheet};
use crate::import_report::{FileReport, ImportReport, SheetReport};
use crate::kept_lot::{KeptLot, KeptNow, KeptSession, Seen};
use crate::sheet_evidence::utc_day;
use crate::sheet_import::Replacement;
use dyebook_library::{Change, NewRevision, Origin, RevisionKind, SourceFile};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// An import under way.
pub(crate) struct Import<'a> {
    change: Change<'a>,
    replacement: Replacement<'a>,
    bindings: Bindings,
    /// The file in which each sheet stands.
    file_of: BTreeMap<String, usize>,
    report: ImportReport,
    /// Sessions that have other sheets, too: they are checked once all is kept.
    parted: BTreeSet<String>,
}

/// How a file was read, as every sheet of it says.
struct Read<'a> {
    file: &'a FileReport,
    importer: String,
    reading: Value,
}

impl<'a> Import<'a> {
    pub(crate) fn new(change: Change<'a>, replacement: Replacement<'a>) -> Self {
        Self {
            change,
            replacement,
            bindings: Bindings::default(),
            file_of: BTreeMap::new(),
            report: ImportReport {
                sheets: Vec::new(),
                files: Vec::new(),
            },
            parted: BTreeSet::new(),
        }
    }

    /// Keeps some files.
    ///
    /// # Errors
    /// A sheet that stands in two files, one that was handed in before with other contents, and
    /// what the library says.
    pub(crate) fn keep(&mut self, files: Vec<PreparedFile>) -> Result<KeptLot, Failure> {
        let mut sessions: BTreeMap<String, Vec<KeptNow>> = BTreeMap::new();
        for file in files {
            for kept in self.keep_file(file)? {
                let session = kept.sheet.session();
                sessions.entry(session).or_default().push(kept);
            }
        }
        let mut lot = KeptLot {
            on: utc_day(self.change.stamp().at),
            sessions: Vec::with_capacity(sessions.len()),
        };
        for (name, sheets) in sessions {
            let all = self.change.sheets_in_session(&name)?;
            let fresh = |kept: &KeptNow| matches!(kept.revision, Some((_, RevisionKind::Imported)));
            let whole = all == sheets.len() && sheets.iter().all(fresh);
            if !whole {
                self.parted.insert(name.clone());
            }
            lot.sessions.push(KeptSession {
                name,
                sheets,
                whole,
            });
        }
        Ok(lot)
    }

    /// Keeps what was seen of sheets.
    ///
    /// # Errors
    /// What the library says.
    pub(crate) fn keep_seen(&mut self, seen: Vec<Seen>) -> Result<(), Failure> {
        for one in seen {
            if let Some(checks) = one.checks {
                self.report.found(one.place, checks);
            }
            if let Some(found) = one.identity {
                self.change.keep_identification(&found)?;
            }
        }
        Ok(())
    }

    /// Keeps the change. Answers what was kept, and the sessions that have to be checked yet.
    ///
    /// # Errors
    /// What the library says.
    pub(crate) fn finish(self) -> Result<(ImportReport, BTreeSet<String>), Failure> {
        self.change.commit()?;
        Ok((self.report, self.parted))
    }

    fn keep_file(&mut self, file: PreparedFile) -> Result<Vec<KeptNow>, Failure> {
        self.change.keep_file(SourceFile {
            name: &file.report.name,
            sha256: &file.report.sha256,
            bytes: &file.bytes,
        })?;
        let number = self.report.files.len();
        let importer = &file.report.importer;
        let read = Read {
            file: &file.report,
            importer: format!("{} {}", importer.id, importer.version),
            reading: serde_json::to_value(&file.report.reading).unwrap_or_default(),
        };
        let mut kept = Vec::with_capacity(file.sheets.len());
        for sheet in file.sheets {
            if let Some(first) = self.file_of.insert(sheet.id.clone(), number) {
                let first = self.report.files.get(first).unwrap_or(&file.report);
                return Err(twice(&sheet.id, &first.name, &file.report.name));
            }
            kept.push(self.keep_sheet(sheet, &read)?);
        }
        self.report.files.push(file.report);
        Ok(kept)
    }

    fn keep_sheet(&mut self, one: PreparedSheet, read: &Read<'_>) -> Result<KeptNow, Failure> {
        let before = self.change.handed_in(&one.id)?;
        let same = (before.as_ref()).is_some_and(|before| before.digest == one.digest.as_str());
        let again = before.is_some() && !same;
        let bound = match before.filter(|_| same) {
            // A sheet stays bound to the version it was first bound to.
            Some(before) => self.bindings.before(&self.change, &before)?,
            None => self.bindings.now(&self.change, &one.sheet.method)?,
        };
        let kept = &bound.kept;
        if again && !self.replacement.allowed {
            return Err(resubmission(&one, &read.file.name));
        }
        let mut revision = None;
        if !same {
            let kind = if again {
                RevisionKind::Replaced
            } else {
                RevisionKind::Imported
            };
            let number = self.change.keep_revision(&NewRevision {
                id: &one.id,
                sheet: &one.sheet,
                document: &one.document,
                digest: &one.digest,
                kind,
                file_sha256: read.file.sha256.as_str(),
                importer: &read.importer,
                reading: &read.reading,
                method_id: &kept.id,
                method_version: &kept.version,
                state_when_bound: kept.state,
                origin: Origin::Here,
                reason: self.replacement.reason.filter(|_| again),
            })?;
            revision = Some((number, kind));
        }
        self.report.sheets.push(SheetReport {
            id: one.id.clone(),
            section: one.sheet.section.clone(),
            group: one.sheet.group.clone(),
            date: one.sheet.date,
            method: bound.name.clone(),
            papers: one.sheet.papers().len(),
            spots: one.sheet.spot_count(),
            new: !same,
            replaced: again,
            checks: Vec::new(),
        });
        Ok(KeptNow {
            place: self.report.sheets.len() - 1,
            id: one.id,
            sheet: one.sheet,
            digest: one.digest,
            bound,
            revision,
        })
    }
}

/// Two files of one import must not hold the same sheet: neither would be the right one.
fn twice(id: &str, first: &str, second: &str) -> Failure {
    Failure::refused(
        "sheet.twice",
        format!("the sheet `{id}` stands in two of the files"),
    )
    .detail(format!("first   {first}"))
    .detail(format!("second  {second}"))
    .hint("import one of them; if the second is a correction, add it later with --replace")
}

fn resubmission(one: &PreparedSheet, file: &str) -> Failure {
    Failure::refused(
        "sheet.handed-in-again",
        format!(
            "the sheet `{}` was handed in before with other contents",
            one.id
        ),
    )
    .detail(format!("file   {file}"))
    .detail(format!(
        "sheet  section {}, group {}, {}",
        one.sheet.section.as_deref().unwrap_or("-"),
        one.sheet.group,
        one.sheet
            .date
            .map_or_else(|| "no date".to_owned(), |date| date.to_string()),
    ))
    .hint("look at what is kept with `dyebook sheet show`; nothing was written")
    .hint("to take the new one and keep the old beside it: --replace --reason \"…\"")
}
