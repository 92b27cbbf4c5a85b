//! A bundle for another lab: method versions, the dyes they name, and the sheets behind them, in
//! one JSON file. What arrives is external and unverified, and never takes the place of anything.

use crate::failure::{Failure, FailureClass};
use crate::method_document::check_method;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use dyebook_documents::{
    Digest, DyeRegister, MethodState, Sheet, canonical_json, digest_bytes, digest_value,
};
use dyebook_library::{
    KeptMethod, Library, NewRevision, Origin, RevisionKind, SCHEMA_VERSION, SourceFile, Stamp,
    content_digest,
};
use dyebook_methods::content_digest as method_digest;
use dyebook_schemas::{catalogue, check_text, check_value};
use semver::Version;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeSet;

/// Version of the bundle's own form.
const FORM: u32 = 1;

/// A bundle, as the program reads it.
#[derive(Debug, Clone, Serialize, Deserialize)]
struct Bundle {
    /// Version of the bundle's form.
    #[serde(rename = "bundle")]
    form: u32,
    program: String,
    library_schema: i64,
    made_by: String,
    made_at: String,
    dyes: Vec<Value>,
    methods: Vec<BundledMethod>,
    files: Vec<BundledFile>,
    sheets: Vec<BundledSheet>,
    /// SHA-256 over the canonical JSON of everything else.
    digest: Digest,
}

#[derive(Debug, Clone, Serialize, Deserialize)]
struct BundledMethod {
    document: Value,
    digest: Digest,
    state: MethodState,
}

#[derive(Debug, Clone, Serialize, Deserialize)]
struct BundledFile {
    name: String,
    sha256: Digest,
    base64: String,
}

#[derive(Debug, Clone, Serialize, Deserialize)]
struct BundledSheet {
    id: String,
    document: Value,
    digest: Digest,
    kind: String,
    file_sha256: Digest,
    importer: String,
    reading: Value,
    method_id: String,
    method_version: Version,
    state_when_bound: MethodState,
}

/// What `library export` put into the bundle.
#[derive(Debug, Clone)]
pub struct Exported {
    /// The bundle's text.
    pub text: String,
    /// The method versions in it.
    pub methods: Vec<KeptMethod>,
    /// The dyes in it.
    pub dyes: Vec<String>,
    /// How many sheets are in it.
    pub sheets: usize,
}

/// What `library import` took.
#[derive(Debug, Clone, Serialize)]
pub struct BundleReport {
    /// SHA-256 of the file.
    pub sha256: Digest,
    /// Method versions, taken or not.
    pub methods: Vec<TakenMethod>,
    /// Dyes, taken or not.
    pub dyes: Vec<Taken>,
    /// Sheets, taken or not.
    pub sheets: Vec<Taken>,
}

/// One method version of a bundle.
#[derive(Debug, Clone, Serialize)]
pub struct TakenMethod {
    /// Identifier.
    pub id: String,
    /// Version.
    pub version: Version,
    /// Content digest.
    pub digest: Digest,
    /// Whether it was taken.
    pub taken: bool,
    /// Why not.
    pub why: Option<String>,
    /// Never: what comes from elsewhere is verified here, by approval.
    pub verified: bool,
    /// Whether another content stands here under that version.
    pub conflict: bool,
}

/// One dye or sheet of a bundle.
#[derive(Debug, Clone, Serialize)]
pub struct Taken {
    /// Identifier.
    pub id: String,
    /// Whether it was taken.
    pub taken: bool,
    /// Why not.
    pub why: Option<String>,
    /// Whether another content stands here under that name.
    pub conflict: bool,
}

/// Packs method versions with their dyes and sheets; all versions but drafts when none is named.
///
/// # Errors
/// A method that is not there, and what the library says.
pub fn export_bundle(
    library: &Library,
    wanted: &[String],
    stamp: &Stamp,
) -> Result<Exported, Failure> {
    let methods = if wanted.is_empty() {
        library
            .methods(None)?
            .into_iter()
            .filter(|m| m.state != MethodState::Draft)
            .collect()
    } else {
        let mut found = Vec::new();
        for id in wanted {
            let versions = library.methods(Some(id))?;
            if versions.is_empty() {
                return Err(Failure::refused(
                    "method.unknown",
                    format!("there is no method `{id}`"),
                )
                .hint("`dyebook method list` shows what is there"));
            }
            found.extend(versions);
        }
        found
    };
    let named: BTreeSet<String> = methods
        .iter()
        .filter_map(|kept| kept.method().ok())
        .flat_map(|method| method.references.into_iter().map(|reference| reference.dye))
        .collect();
    let dyes: Vec<_> = library
        .dyes()?
        .into_iter()
        .filter(|d| named.contains(&d.id))
        .collect();
    let (files, sheets) = evidence(library, &methods)?;
    let mut bundle = Bundle {
        form: FORM,
        program: format!("dyebook {}", env!("CARGO_PKG_VERSION")),
        library_schema: SCHEMA_VERSION,
        made_by: stamp.by.clone(),
        made_at: stamp.at.to_string(),
        dyes: dyes.iter().map(|dye| dye.document.clone()).collect(),
        methods: methods
            .iter()
            .map(|m| BundledMethod {
                document: m.document.clone(),
                digest: m.digest.clone(),
                state: m.state,
            })
            .collect(),
        files,
        sheets,
        digest: digest_bytes(b""),
    };
    bundle.digest = own_digest(&bundle)?;
    let value = to_value(&bundle)?;
    Ok(Exported {
        text: format!("{value:#}\n"),
        sheets: bundle.sheets.len(),
        dyes: dyes.into_iter().map(|dye| dye.id).collect(),
        methods,
    })
}

fn evidence(
    library: &Library,
    methods: &[KeptMethod],
) -> Result<(Vec<BundledFile>, Vec<BundledSheet>), Failure> {
    let (mut files, mut sheets) = (Vec::<BundledFile>::new(), Vec::new());
    for method in methods {
        for id in library.sheets_of_method(&method.id, &method.version)? {
            for kept in library.sheet_revisions(&id)? {
                let sha256 = Digest::from_hex(&kept.file_sha256).ok_or_else(|| {
                    Failure::new(
                        FailureClass::Library,
                        "library.unreadable",
                        "a file's digest",
                    )
                })?;
                if !files.iter().any(|file| file.sha256 == sha256)
                    && let Some((name, bytes)) = library.source_file(&kept.file_sha256)?
                {
                    let base64 = BASE64.encode(bytes);
                    files.push(BundledFile {
                        name,
                        sha256: sha256.clone(),
                        base64,
                    });
                }
                sheets.push(BundledSheet {
                    id: kept.id.clone(),
                    document: to_value(&kept.sheet)?,
                    digest: kept.digest.clone(),
                    kind: kept.kind.word().to_owned(),
                    file_sha256: sha256,
                    importer: kept.importer.clone(),
                    reading: kept.reading.clone(),
                    method_id: kept.method_id.clone(),
                    method_version: kept.method_version.clone(),
                    state_when_bound: kept.state_when_bound,
                });
            }
        }
    }
    Ok((files, sheets))
}

/// Takes a bundle in. Method versions become drafts from elsewhere, to be verified and approved
/// here; what is there already stays, and what differs is named.
///
/// # Errors
/// A file that is no bundle, was changed after it was made, or holds a document that its schema
/// refuses; then nothing is taken.
pub fn import_bundle(
    library: &mut Library,
    name: &str,
    text: &str,
    stamp: &Stamp,
) -> Result<BundleReport, Failure> {
    let bundle = read_bundle(name, text)?;
    let dyes = register_with(library, &bundle)?;
    for method in &bundle.methods {
        let document = method.document.to_string();
        check_method(&format!("{name}: a method"), &document, &dyes)?;
    }
    let mut report = BundleReport {
        sha256: digest_bytes(text.as_bytes()),
        methods: Vec::new(),
        dyes: Vec::new(),
        sheets: Vec::new(),
    };
    let known_dyes = library.dyes()?;
    let known_methods = library.methods(None)?;
    let change = library.change(stamp.clone())?;
    let reason = format!(
        "taken in from the bundle `{name}` made by {}",
        bundle.made_by
    );
    for dye in &bundle.dyes {
        let id = dye
            .get("id")
            .and_then(Value::as_str)
            .unwrap_or_default()
            .to_owned();
        let here = known_dyes.iter().find(|kept| kept.id == id);
        let differs = here.map(|kept| kept.digest != digest_value(dye).as_str());
        if differs.is_none() {
            change.keep_dye(&id, dye, Some(&reason))?;
        }
        report.dyes.push(taken(id, differs));
    }
    for method in &bundle.methods {
        let member = |key| {
            method
                .document
                .get(key)
                .and_then(Value::as_str)
                .unwrap_or_default()
        };
        let (id, version) = (member("id").to_owned(), member("version"));
        let version = Version::parse(version)
            .map_err(|error| Failure::refused("bundle.not-valid", error.to_string()))?;
        let here = known_methods
            .iter()
            .find(|m| m.id == id && m.version == version);
        let differs = here.map(|kept| kept.digest != method.digest);
        if differs.is_none() {
            change.keep_draft(
                &id,
                &version,
                &method.document,
                &method.digest,
                Origin::External,
                Some(&reason),
            )?;
        }
        let Taken {
            id,
            taken,
            why,
            conflict,
        } = taken(id, differs);
        let digest = method.digest.clone();
        report.methods.push(TakenMethod {
            id,
            version,
            digest,
            taken,
            why,
            verified: false,
            conflict,
        });
    }
    take_sheets(&change, &bundle, &reason, &mut report)?;
    change.commit()?;
    Ok(report)
}

fn taken(id: String, differs: Option<bool>) -> Taken {
    let why = match differs {
        None => None,
        Some(false) => Some("is here already with the same content".to_owned()),
        Some(true) => {
            Some("is here already with another content, which was left as it is".to_owned())
        }
    };
    Taken {
        id,
        taken: differs.is_none(),
        why,
        conflict: differs == Some(true),
    }
}

fn take_sheets(
    change: &dyebook_library::Change<'_>,
    bundle: &Bundle,
    reason: &str,
    report: &mut BundleReport,
) -> Result<(), Failure> {
    let mut known = std::collections::BTreeMap::new();
    for sheet in &bundle.sheets {
        if !known.contains_key(&sheet.id) {
            known.insert(sheet.id.clone(), change.handed_in(&sheet.id)?);
        }
    }
    for (id, here) in &known {
        let revisions: Vec<&BundledSheet> = bundle.sheets.iter().filter(|s| s.id == *id).collect();
        let Some(last) = revisions.iter().rev().find(|s| s.kind != "amended") else {
            continue;
        };
        let differs = here
            .as_ref()
            .map(|before| before.digest != last.digest.as_str());
        if differs.is_none() {
            for sheet in revisions {
                take_revision(change, bundle, sheet, reason)?;
            }
        }
        report.sheets.push(taken(id.clone(), differs));
    }
    Ok(())
}

fn take_revision(
    change: &dyebook_library::Change<'_>,
    bundle: &Bundle,
    sheet: &BundledSheet,
    reason: &str,
) -> Result<(), Failure> {
    let broken = |why: &str| {
        Failure::refused(
            "bundle.not-valid",
            format!("sheet `{}` of the bundle: {why}", sheet.id),
        )
    };
    let file = bundle
        .files
        .iter()
        .find(|file| file.sha256 == sheet.file_sha256)
        .ok_or_else(|| broken("the file it was read from is missing"))?;
    let bytes = BASE64
        .decode(&file.base64)
        .map_err(|error| broken(&error.to_string()))?;
    change.keep_file(SourceFile {
        name: &file.name,
        sha256: &file.sha256,
        bytes: &bytes,
    })?;
    let read: Sheet = serde_json::from_value(sheet.document.clone())
        .map_err(|error| broken(&error.to_string()))?;
    change.keep_revision(&NewRevision {
        id: &sheet.id,
        sheet: &read,
        document: &sheet.document,
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

/// Reads a bundle and holds every digest and document against what it says it is.
fn read_bundle(name: &str, text: &str) -> Result<Bundle, Failure> {
    let value = check_text(&catalogue::BUNDLE, text)
        .map_err(|problems| Failure::not_valid(name, "bundle", &problems))?;
    let bundle: Bundle = serde_json::from_value(value).map_err(|error| {
        Failure::refused(
            "bundle.not-valid",
            format!("`{name}` is no bundle: {error}"),
        )
    })?;
    let changed = |what: &str| {
        Failure::refused(
            "bundle.changed",
            format!("`{name}` was changed after it was made: {what} does not fit its digest"),
        )
        .hint("nothing was taken; ask for the bundle again")
    };
    if own_digest(&bundle)? != bundle.digest {
        return Err(changed("the bundle"));
    }
    for dye in &bundle.dyes {
        check_value(&catalogue::DYE, dye)
            .map_err(|problems| Failure::not_valid(name, "dye", &problems))?;
    }
    for method in &bundle.methods {
        if method_digest(&method.document) != method.digest {
            return Err(changed("a method"));
        }
    }
    for file in &bundle.files {
        let bytes = BASE64.decode(&file.base64).unwrap_or_default();
        if digest_bytes(&bytes) != file.sha256 {
            return Err(changed(&format!("the file `{}`", file.name)));
        }
    }
    for sheet in &bundle.sheets {
        check_value(&catalogue::SHEET, &sheet.document)
            .map_err(|problems| Failure::not_valid(name, "sheet", &problems))?;
        if content_digest(&sheet.document) != sheet.digest {
            return Err(changed(&format!("the sheet `{}`", sheet.id)));
        }
    }
    Ok(bundle)
}

/// The dyes known here and those of the bundle: its methods may name dyes that are new here.
fn register_with(library: &Library, bundle: &Bundle) -> Result<DyeRegister, Failure> {
    let here = library.dyes()?;
    let mut all: Vec<Value> = here.iter().map(|kept| kept.document.clone()).collect();
    let ids: BTreeSet<String> = here.into_iter().map(|kept| kept.id).collect();
    let id = |dye: &Value| {
        dye.get("id")
            .and_then(Value::as_str)
            .unwrap_or_default()
            .to_owned()
    };
    all.extend(
        bundle
            .dyes
            .iter()
            .filter(|dye| !ids.contains(&id(dye)))
            .cloned(),
    );
    let dyes = all
        .into_iter()
        .filter_map(|dye| serde_json::from_value(dye).ok());
    Ok(DyeRegister::new(dyes))
}

fn own_digest(bundle: &Bundle) -> Result<Digest, Failure> {
    let mut value = to_value(bundle)?;
    if let Value::Object(members) = &mut value {
        members.remove("digest");
    }
    Ok(digest_bytes(canonical_json(&value).as_bytes()))
}

fn to_value<T: Serialize>(thing: &T) -> Result<Value, Failure> {
    serde_json::to_value(thing)
        .map_err(|error| Failure::new(FailureClass::Bug, "bundle.not-writable", error.to_string()))
}
