//! What is where, for somebody who has only the folder.

use super::Pile;
use crate::failure::Failure;
use dyebook_library::{Library, SCHEMA_VERSION, Stamp};

pub(super) fn write(library: &Library, stamp: &Stamp, pile: &mut Pile<'_>) -> Result<(), Failure> {
    let status = library.status()?;
    let (by, at) = (&stamp.by, stamp.at);
    let text = format!(
        "# A reference library of paper chromatography, in plain files

Written by {by} at {at} with dyebook {program} from a library of schema version {SCHEMA_VERSION}.
Tables are CSV in UTF-8 with a comma between the columns and a point in decimals; documents are
JSON. Times are in UTC. Rf is the distance of a spot's centre divided by that of the front, both
from the start line.

| here | what | how many |
|---|---|---|
| `dyes.csv`, `dyes/` | food dyes with the names they go by | {dyes} |
| `methods.csv`, `methods/` | method versions with their expected Rf | {methods} |
| `handed-in-files.csv`, `handed-in/` | data sheets byte by byte as groups handed them in | {files} |
| `sheets.csv`, `sheets/` | what was read from them; each correction is a revision of its own | {sheets} |
| `identifications.csv`, `identifications/` | which dyes were found, by which strategy and method | {found} |
| `truth.csv` | what samples really hold, as a person recorded it | |
| `exclusions.csv` | spots left out of expected values, with the reason | |
| `lots.csv` | lots that were verified for a method version | |
| `checklists.csv` | items of checklists and where they stand | |
| `history.csv` | who changed what, when and why | {changes} |

A digest is the SHA-256 of a document's canonical JSON (RFC 8785), of a sheet without the line
numbers (`row`). A hash in the history is that of the record's other fields, the hash of the record
before it among them.
",
        program = env!("CARGO_PKG_VERSION"),
        dyes = status.dyes,
        methods = status.method_versions,
        files = status.files,
        sheets = status.sheets,
        found = status.identifications,
        changes = status.change_records,
    );
    pile.add("", "README", ".md", text.as_bytes())?;
    Ok(())
}
