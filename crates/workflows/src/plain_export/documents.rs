//! One JSON file a document, the files as handed in, and a list of each kind.

use super::{Pile, bug};
use crate::failure::Failure;
use dyebook_library::Library;
use serde_json::Value;
use std::collections::BTreeMap;

pub(super) fn write(library: &Library, pile: &mut Pile<'_>) -> Result<(), Failure> {
    dyes(library, pile)?;
    methods(library, pile)?;
    let files = handed_in(library, pile)?;
    sheets(library, pile, &files)
}

fn row<const N: usize>(cells: [&str; N]) -> Vec<String> {
    cells.map(str::to_owned).to_vec()
}

fn json_text(document: &Value) -> String {
    format!("{document:#}\n")
}

fn dyes(library: &Library, pile: &mut Pile<'_>) -> Result<(), Failure> {
    let mut rows = vec![row(["dye", "digest", "file"])];
    for dye in library.dyes()? {
        let text = json_text(&dye.document);
        let file = pile.add("dyes", &dye.id, ".json", text.as_bytes())?;
        rows.push(row([&dye.id, &dye.digest, &file]));
    }
    pile.add_table("dyes", &rows)
}

fn methods(library: &Library, pile: &mut Pile<'_>) -> Result<(), Failure> {
    let mut rows = vec![row([
        "method", "version", "state", "origin", "digest", "file",
    ])];
    for kept in library.methods(None)? {
        let text = json_text(&kept.document);
        let file = pile.add("methods", &kept.name(), ".json", text.as_bytes())?;
        rows.push(row([
            &kept.id,
            &kept.version.to_string(),
            kept.state.word(),
            kept.origin.word(),
            kept.digest.as_str(),
            &file,
        ]));
    }
    pile.add_table("methods", &rows)
}

/// Answers the name of each file in the export, by its SHA-256.
fn handed_in(library: &Library, pile: &mut Pile<'_>) -> Result<BTreeMap<String, String>, Failure> {
    let mut rows = vec![row(["name", "sha256", "file"])];
    let mut files = BTreeMap::new();
    for (sha256, name) in library.source_files()? {
        let Some((_, bytes)) = library.source_file(&sha256)? else {
            continue;
        };
        let short = sha256.get(..12).unwrap_or(&sha256);
        let file = pile.add("handed-in", &format!("{short}-{name}"), "", &bytes)?;
        rows.push(row([&name, &sha256, &file]));
        files.insert(sha256, file);
    }
    pile.add_table("handed-in-files", &rows)?;
    Ok(files)
}

fn sheets(
    library: &Library,
    pile: &mut Pile<'_>,
    files: &BTreeMap<String, String>,
) -> Result<(), Failure> {
    let mut rows = vec![row([
        "sheet",
        "revision",
        "how it came about",
        "when",
        "section",
        "group",
        "date",
        "method",
        "state of the method then",
        "origin",
        "importer",
        "digest",
        "handed in as",
        "file",
    ])];
    let mut found = vec![row([
        "sheet", "revision", "method", "strategy", "when", "digest", "file",
    ])];
    for line in library.sheet_lines()? {
        for kept in library.sheet_revisions(&line.id)? {
            let document = library.sheet_document(&kept.id, kept.revision)?;
            let name = format!("{}-revision-{}", kept.id, kept.revision);
            let file = pile.add("sheets", &name, ".json", json_text(&document).as_bytes())?;
            rows.push(row([
                &kept.id,
                &kept.revision.to_string(),
                kept.kind.word(),
                &kept.at,
                kept.sheet.section.as_deref().unwrap_or_default(),
                &kept.sheet.group,
                &kept.sheet.date.map(|d| d.to_string()).unwrap_or_default(),
                &format!("{}@{}", kept.method_id, kept.method_version),
                kept.state_when_bound.word(),
                kept.origin.word(),
                &kept.importer,
                kept.digest.as_str(),
                files.get(&kept.file_sha256).map_or("", String::as_str),
                &file,
            ]));
        }
        identifications(library, pile, &line.id, &mut found)?;
    }
    pile.add_table("sheets", &rows)?;
    pile.add_table("identifications", &found)
}

fn identifications(
    library: &Library,
    pile: &mut Pile<'_>,
    sheet: &str,
    rows: &mut Vec<Vec<String>>,
) -> Result<(), Failure> {
    for kept in library.identifications(sheet)? {
        let read: dyebook_documents::Identification =
            serde_json::from_value(kept.document.clone()).map_err(bug)?;
        let short = kept.digest.get(..12).unwrap_or(&kept.digest);
        let text = json_text(&kept.document);
        let name = format!("{sheet}-{short}");
        let file = pile.add("identifications", &name, ".json", text.as_bytes())?;
        rows.push(row([
            sheet,
            &read.sheet_revision.to_string(),
            &format!("{}@{}", read.method.id, read.method.version),
            &format!("{} {}", read.strategy.id, read.strategy.version),
            &kept.at,
            &kept.digest,
            &file,
        ]));
    }
    Ok(())
}
