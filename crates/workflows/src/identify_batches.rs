//! Sheets that are asked about, by the reference set that they are judged by, with all that the
//! library has to say about that: what comes after needs no library.

use crate::failure::Failure;
use crate::identify::IdentifyRequest;
use crate::methods::needs_reason;
use crate::resolve_method::resolve_method;
use crate::sheet_amend::{AmendedField, amendments};
use dyebook_documents::{Method, MethodReference, MethodState};
use dyebook_library::{KeptMethod, KeptSheet, Library, RevisionKind};
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Sheets that are judged by the same reference set.
#[derive(Debug)]
pub(crate) struct Batch {
    pub(crate) kept: Arc<KeptMethod>,
    pub(crate) method: Method,
    pub(crate) usable: bool,
    pub(crate) sheets: Vec<AskedSheet>,
}

/// A sheet of a batch.
#[derive(Debug)]
pub(crate) struct AskedSheet {
    /// Its place among the sheets that are asked about.
    pub(crate) at: usize,
    /// What a person corrected in it.
    pub(crate) corrected: Vec<AmendedField>,
}

/// Another method version than the bound one, and leave to match across major versions.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Leave<'a> {
    pub(crate) method: Option<&'a str>,
    pub(crate) across_versions: Option<&'a str>,
}

/// The batches of a request.
///
/// # Errors
/// Matching across versions without leave, and what the library says.
pub(crate) fn batches(
    library: &Library,
    request: IdentifyRequest<'_>,
) -> Result<Vec<Batch>, Failure> {
    let mut shelf = Shelf::new(library);
    let mut batches: BTreeMap<(String, bool), Batch> = BTreeMap::new();
    for (at, sheet) in request.sheets.iter().enumerate() {
        let bound = MethodReference::exact(&sheet.method_id, &sheet.method_version);
        let kept = method_for(&mut shelf, &sheet.id, &bound.to_string(), request.leave())?;
        // A version withdrawn before the sheet came in never was valid for it; one withdrawn
        // later gives the answer it gave then.
        let usable = sheet.state_when_bound != MethodState::Withdrawn;
        let batch = match batches.entry((kept.name(), usable)) {
            Entry::Occupied(there) => there.into_mut(),
            Entry::Vacant(free) => {
                let method = kept.method()?;
                free.insert(Batch {
                    kept,
                    method,
                    usable,
                    sheets: Vec::new(),
                })
            }
        };
        batch.sheets.push(AskedSheet {
            at,
            corrected: corrected(library, sheet)?,
        });
    }
    Ok(batches.into_values().collect())
}

fn corrected(library: &Library, sheet: &KeptSheet) -> Result<Vec<AmendedField>, Failure> {
    match sheet.kind {
        RevisionKind::Amended => amendments(library, &sheet.id),
        _ => Ok(vec![]),
    }
}

/// Refuses before anything is worked out what would be refused for one of the sheets, each given
/// with the version it is bound to, `id@version`.
///
/// # Errors
/// Matching across versions without leave, and what the library says.
pub(crate) fn all_may_be_matched<'a>(
    library: &Library,
    sheets: impl Iterator<Item = (&'a str, &'a str)>,
    leave: Leave<'_>,
) -> Result<(), Failure> {
    let mut shelf = Shelf::new(library);
    let mut seen = BTreeSet::new();
    for (sheet, bound) in sheets {
        if seen.insert(bound) {
            method_for(&mut shelf, sheet, bound, leave)?;
        }
    }
    Ok(())
}

fn method_for(
    shelf: &mut Shelf<'_>,
    sheet: &str,
    bound: &str,
    leave: Leave<'_>,
) -> Result<Arc<KeptMethod>, Failure> {
    let bound = shelf.resolve(bound)?;
    let Some(wanted) = leave.method else {
        return Ok(bound);
    };
    let wanted = shelf.resolve(wanted)?;
    let comparable = wanted.id == bound.id && wanted.version.major == bound.version.major;
    if comparable {
        return Ok(wanted);
    }
    if let Some(reason) = leave.across_versions {
        needs_reason("identify.no-reason", reason)?;
        return Ok(wanted);
    }
    Err(Failure::refused(
        "method.not-comparable",
        format!(
            "sheet `{sheet}` was run by `{}`; its Rf can't be compared with `{}`",
            bound.name(),
            wanted.name()
        ),
    )
    .detail(if wanted.id == bound.id {
        "a new major version says that the method changed in a way that moves Rf".to_owned()
    } else {
        "they are two methods".to_owned()
    })
    .hint(format!(
        "leave out --method to use `{}`, the version it was run by",
        bound.name()
    )))
}

/// Method versions, each looked up once.
struct Shelf<'a> {
    library: &'a Library,
    found: BTreeMap<String, Arc<KeptMethod>>,
}

impl<'a> Shelf<'a> {
    fn new(library: &'a Library) -> Self {
        Self {
            library,
            found: BTreeMap::new(),
        }
    }

    fn resolve(&mut self, reference: &str) -> Result<Arc<KeptMethod>, Failure> {
        if let Some(kept) = self.found.get(reference) {
            return Ok(Arc::clone(kept));
        }
        let kept = Arc::new(resolve_method(self.library, reference)?);
        self.found.insert(reference.to_owned(), Arc::clone(&kept));
        Ok(kept)
    }
}
