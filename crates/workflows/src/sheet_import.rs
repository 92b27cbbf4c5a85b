//! Data sheets in: read, bind to a method version, check, keep. All or nothing.

use crate::failure::Failure;
use crate::group_rows::group_rows;
use crate::resolve_method::resolve_method;
use crate::sheet_evidence::{BoundSheet, SessionPapers, check_sheet, utc_day};
use crate::sheet_id::sheet_id;
use dyebook_documents::{Check, Digest, DyeRegister, Method, MethodState, Sheet, digest_bytes};
use dyebook_library::{
    Change, HandedInBefore, KeptMethod, Library, NewRevision, Origin, RevisionKind, SourceFile,
    Stamp, content_digest,
};
use dyebook_plugin::importer::{Imported, Problem, Reading, Warning};
use dyebook_schemas::{catalogue, check_value};
use jiff::civil::Date;
use rayon::prelude::*;
use serde::Serialize;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// A file as handed in.
#[derive(Debug, Clone)]
pub struct HandedIn {
    /// Its name.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// A file as an importer read it.
#[derive(Debug, Clone)]
pub struct ReadFile {
    /// Importer identifier.
    pub importer: String,
    /// Importer version.
    pub importer_version: String,
    /// What it read.
    pub imported: Imported,
}

/// Leave to take a sheet that was handed in again with other contents.
#[derive(Debug, Clone, Copy, Default)]
pub struct Replacement<'a> {
    /// Whether a person asked for it.
    pub allowed: bool,
    /// Why.
    pub reason: Option<&'a str>,
}

/// The answer of `sheet import`.
#[derive(Debug, Clone, Serialize)]
pub struct ImportReport {
    /// The sheets, in the order of the files.
    pub sheets: Vec<SheetReport>,
    /// The files.
    pub files: Vec<FileReport>,
}

/// One sheet as taken.
#[derive(Debug, Clone, Serialize)]
pub struct SheetReport {
    /// Identifier.
    pub id: String,
    /// Section.
    pub section: Option<String>,
    /// Group.
    pub group: String,
    /// Day.
    pub date: Option<Date>,
    /// Method version it is bound to, `id@version`.
    pub method: String,
    /// Number of papers.
    pub papers: usize,
    /// Number of spots.
    pub spots: usize,
    /// Whether anything of it is new.
    pub new: bool,
    /// Whether it took the place of what was handed in before.
    pub replaced: bool,
    /// What the entry checks found.
    pub checks: Vec<Check>,
}

/// One file as read.
#[derive(Debug, Clone, Serialize)]
pub struct FileReport {
    /// Name.
    pub name: String,
    /// SHA-256 of its bytes.
    pub sha256: Digest,
    /// Who read it.
    pub importer: ImporterStamp,
    /// How it was read.
    pub reading: Reading,
    /// What the importer wants to be known.
    pub warnings: Vec<Warning>,
}

/// Which importer.
#[derive(Debug, Clone, Serialize)]
pub struct ImporterStamp {
    /// Identifier.
    pub id: String,
    /// Version.
    pub version: String,
}

/// A sheet ready to be kept.
struct Ready<'a> {
    id: String,
    sheet: Sheet,
    document: Value,
    digest: Digest,
    bound: usize,
    before: Option<HandedInBefore>,
    file: &'a FileReport,
    checks: Vec<Check>,
}

impl Ready<'_> {
    /// Handed in before with just this content.
    fn is_known(&self) -> bool {
        self.before
            .as_ref()
            .is_some_and(|before| before.digest == self.digest.as_str())
    }
}

/// Takes in files that importers have read. Either all sheets of all files are kept, or none.
///
/// `progress` is told how many of how many sheets are done.
///
/// # Errors
/// Values that can't be understood, method references that lead nowhere, a sheet handed in again
/// with other contents without leave, and what the library says.
pub fn import_sheets(
    library: &mut Library,
    stamp: &Stamp,
    files: &[(HandedIn, ReadFile)],
    replacement: Replacement<'_>,
    progress: &(dyn Fn(usize, usize) + Sync),
) -> Result<ImportReport, Failure> {
    let reports: Vec<FileReport> = files
        .iter()
        .map(|(handed, read)| report(handed, read))
        .collect();
    let mut methods = Bindings::find(library, files)?;
    let dyes = library.dye_register()?;
    let mut ready = Vec::new();
    for ((handed, read), report) in files.iter().zip(&reports) {
        let sheets =
            group_rows(&read.imported).map_err(|problems| refused(&handed.name, &problems))?;
        for sheet in sheets {
            ready.push(make_ready(library, sheet, &mut methods, report)?);
        }
    }
    one_sheet_once(&ready)?;
    run_all_checks(library, &mut ready, &methods, &dyes, stamp, progress)?;
    let change = library.change(stamp.clone())?;
    for ((handed, _), report) in files.iter().zip(&reports) {
        change.keep_file(SourceFile {
            name: &handed.name,
            sha256: &report.sha256,
            bytes: &handed.bytes,
        })?;
    }
    let mut sheets = Vec::with_capacity(ready.len());
    for one in &ready {
        sheets.push(keep(&change, one, &methods, replacement)?);
    }
    change.commit()?;
    Ok(ImportReport {
        sheets,
        files: reports,
    })
}

fn report(handed: &HandedIn, read: &ReadFile) -> FileReport {
    FileReport {
        name: handed.name.clone(),
        sha256: digest_bytes(&handed.bytes),
        importer: ImporterStamp {
            id: read.importer.clone(),
            version: read.importer_version.clone(),
        },
        reading: read.imported.reading.clone(),
        warnings: read.imported.warnings.clone(),
    }
}

/// A file that can't be taken: every problem with its line and the cure.
pub fn refused(name: &str, problems: &[Problem]) -> Failure {
    let mut failure = Failure::refused("sheet.not-readable", format!("`{name}` was not taken"))
        .hint("nothing was written; mend the file and import it again");
    for problem in problems {
        let line = problem
            .row
            .map(|row| format!("line {row}, "))
            .unwrap_or_default();
        let column = problem
            .column
            .as_ref()
            .map(|c| format!("column {c}: "))
            .unwrap_or_default();
        let hint = problem
            .hint
            .as_ref()
            .map(|h| format!("; {h}"))
            .unwrap_or_default();
        failure
            .details
            .push(format!("{line}{column}{}{hint}", problem.message));
    }
    failure
}

fn make_ready<'a>(
    library: &Library,
    sheet: Sheet,
    methods: &mut Bindings,
    file: &'a FileReport,
) -> Result<Ready<'a>, Failure> {
    let document = serde_json::to_value(&sheet).map_err(|error| {
        Failure::new(
            crate::FailureClass::Bug,
            "sheet.not-writable",
            error.to_string(),
        )
    })?;
    check_value(&catalogue::SHEET, &document)
        .map_err(|problems| Failure::not_valid(&file.name, "sheet", &problems))?;
    let id = sheet_id(&sheet);
    let before = library.handed_in(&id)?;
    let mut ready = Ready {
        digest: content_digest(&document),
        bound: methods.index_of(&sheet.method),
        id,
        sheet,
        document,
        before,
        file,
        checks: Vec::new(),
    };
    if let Some(before) = ready.before.as_ref().filter(|_| ready.is_known()) {
        // A sheet stays bound to the version it was first bound to.
        ready.bound = methods.bound_before(library, before)?;
    }
    Ok(ready)
}

/// Two files of one import must not hold the same sheet: neither would be the right one.
fn one_sheet_once(ready: &[Ready<'_>]) -> Result<(), Failure> {
    let mut seen: BTreeMap<&str, &Ready<'_>> = BTreeMap::new();
    for one in ready {
        if let Some(first) = seen.insert(&one.id, one) {
            return Err(Failure::refused(
                "sheet.twice",
                format!("the sheet `{}` stands in two of the files", one.id),
            )
            .detail(format!("first   {}", first.file.name))
            .detail(format!("second  {}", one.file.name))
            .hint(
                "import one of them; if the second is a correction, add it later with --replace",
            ));
        }
    }
    Ok(())
}

fn run_all_checks(
    library: &Library,
    ready: &mut [Ready<'_>],
    methods: &Bindings,
    dyes: &DyeRegister,
    stamp: &Stamp,
    progress: &(dyn Fn(usize, usize) + Sync),
) -> Result<(), Failure> {
    let today = utc_day(stamp.at);
    let coming: BTreeSet<&str> = ready.iter().map(|one| one.id.as_str()).collect();
    let sessions = ready.iter().map(|one| one.sheet.session());
    let mut papers = SessionPapers::kept(library, sessions, &|id| coming.contains(id))?;
    for one in ready.iter() {
        papers.add(&one.id, &one.sheet);
    }
    let total = ready.len();
    let done = std::sync::atomic::AtomicUsize::new(0);
    ready.par_iter_mut().for_each(|one| {
        let (method, state) = methods.get(one.bound);
        let bound = BoundSheet {
            sheet: &one.sheet,
            method,
            method_state: state,
        };
        one.checks = check_sheet(&one.id, bound, dyes, &papers, today);
        progress(
            done.fetch_add(1, std::sync::atomic::Ordering::Relaxed) + 1,
            total,
        );
    });
    Ok(())
}

fn keep(
    change: &Change<'_>,
    one: &Ready<'_>,
    methods: &Bindings,
    replacement: Replacement<'_>,
) -> Result<SheetReport, Failure> {
    if change.handed_in(&one.id)? != one.before {
        return Err(Failure::new(
            crate::FailureClass::Library,
            "library.changed-meanwhile",
            format!(
                "the sheet `{}` was imported by another program just now",
                one.id
            ),
        )
        .hint("nothing was written; import the file again"));
    }
    let same = one.is_known();
    let again = one.before.is_some() && !same;
    if again && !replacement.allowed {
        return Err(resubmission(one));
    }
    let kept = methods.kept(one.bound);
    if !same {
        let importer = format!("{} {}", one.file.importer.id, one.file.importer.version);
        let reading = serde_json::to_value(&one.file.reading).unwrap_or_default();
        change.keep_revision(&NewRevision {
            id: &one.id,
            sheet: &one.sheet,
            document: &one.document,
            digest: &one.digest,
            kind: if again {
                RevisionKind::Replaced
            } else {
                RevisionKind::Imported
            },
            file_sha256: one.file.sha256.as_str(),
            importer: &importer,
            reading: &reading,
            method_id: &kept.id,
            method_version: &kept.version,
            state_when_bound: kept.state,
            origin: Origin::Here,
            reason: replacement.reason.filter(|_| again),
        })?;
    }
    Ok(SheetReport {
        id: one.id.clone(),
        section: one.sheet.section.clone(),
        group: one.sheet.group.clone(),
        date: one.sheet.date,
        method: kept.name(),
        papers: one.sheet.papers().len(),
        spots: one.sheet.spot_count(),
        new: !same,
        replaced: again,
        checks: one.checks.clone(),
    })
}

fn resubmission(one: &Ready<'_>) -> Failure {
    Failure::refused(
        "sheet.handed-in-again",
        format!(
            "the sheet `{}` was handed in before with other contents",
            one.id
        ),
    )
    .detail(format!("file   {}", one.file.name))
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

/// The method versions that the files' references mean, each found once.
struct Bindings {
    by_reference: BTreeMap<String, usize>,
    found: Vec<(KeptMethod, Method)>,
}

impl Bindings {
    fn find(library: &Library, files: &[(HandedIn, ReadFile)]) -> Result<Self, Failure> {
        let wanted: BTreeSet<&str> = files
            .iter()
            .flat_map(|(_, read)| &read.imported.rows)
            .filter_map(|row| row.method.as_deref())
            .collect();
        let mut bindings = Self {
            by_reference: BTreeMap::new(),
            found: Vec::new(),
        };
        for text in wanted {
            // A text that is no reference at all is named with its lines when rows are read.
            if text.parse::<dyebook_documents::MethodReference>().is_err() {
                continue;
            }
            let kept = resolve_method(library, text)?;
            if kept.state == MethodState::Draft {
                return Err(Failure::refused(
                    "method.is-a-draft",
                    format!(
                        "`{}` is a draft, so sheets can't be bound to it yet",
                        kept.name()
                    ),
                )
                .hint(format!(
                    "dyebook method approve {} --reason \"…\"",
                    kept.name()
                )));
            }
            let method = kept.method()?;
            bindings
                .by_reference
                .insert(text.to_owned(), bindings.found.len());
            bindings.found.push((kept, method));
        }
        Ok(bindings)
    }

    fn bound_before(
        &mut self,
        library: &Library,
        before: &HandedInBefore,
    ) -> Result<usize, Failure> {
        let name = format!("{}@{}", before.method_id, before.method_version);
        if let Some(index) = self.by_reference.get(&name) {
            return Ok(*index);
        }
        let kept = resolve_method(library, &name)?;
        let method = kept.method()?;
        self.by_reference.insert(name, self.found.len());
        self.found.push((kept, method));
        Ok(self.found.len() - 1)
    }

    fn index_of(&self, reference: &str) -> usize {
        self.by_reference
            .get(reference)
            .copied()
            .unwrap_or_default()
    }

    #[expect(
        clippy::indexing_slicing,
        reason = "indices come from `index_of` of found references"
    )]
    fn kept(&self, index: usize) -> &KeptMethod {
        &self.found[index].0
    }

    #[expect(
        clippy::indexing_slicing,
        reason = "indices come from `index_of` of found references"
    )]
    fn get(&self, index: usize) -> (&Method, MethodState) {
        let (kept, method) = &self.found[index];
        (method, kept.state)
    }
}
