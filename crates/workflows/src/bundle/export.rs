//! A bundle out.

use super::{Bundle, BundledFile, BundledMethod, BundledSheet, FORM, own_digest, to_value};
use crate::failure::{Failure, FailureClass};
use crate::files::MOST_BYTES;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use dyebook_documents::{Digest, MethodState, digest_bytes};
use dyebook_library::{KeptMethod, Library, SCHEMA_VERSION, Stamp};
use std::collections::BTreeSet;

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
    let text = format!("{:#}\n", to_value(&bundle)?);
    if text.len() as u64 > MOST_BYTES {
        return Err(Failure::refused(
            "bundle.too-large",
            format!(
                "the bundle would have {} MiB, and what is read back may have {} MiB",
                text.len() / (1024 * 1024),
                MOST_BYTES / (1024 * 1024)
            ),
        )
        .hint("pack one method at a time with --method ID")
        .hint("to keep everything, copy the library with `dyebook library backup FILE`"));
    }
    Ok(Exported {
        text,
        sheets: bundle.sheets.len(),
        dyes: dyes.into_iter().map(|dye| dye.id).collect(),
        methods,
    })
}

fn evidence(
    library: &Library,
    methods: &[KeptMethod],
) -> Result<(Vec<BundledFile>, Vec<BundledSheet>), Failure> {
    let (mut files, mut sheets) = (Vec::new(), Vec::new());
    let mut packed = BTreeSet::new();
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
                if packed.insert(kept.file_sha256.clone())
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
                    document: library.sheet_document(&kept.id, kept.revision)?,
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
