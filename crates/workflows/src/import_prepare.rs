//! A file as far as it can be made ready without the library: read, grouped, checked, digested.

use crate::failure::Failure;
use crate::group_rows::group_rows;
use crate::import_report::{FileReport, ImporterStamp};
use crate::sheet_files::{HandedIn, ReadFile};
use crate::sheet_id::sheet_id;
use dyebook_documents::{Digest, Sheet, digest_bytes, of_canonical_json_in_order};
use dyebook_library::{Packed, content_digest_of_text};
use dyebook_plugin::importer::Problem;
use dyebook_schemas::{catalogue, check_value};
use std::mem::take;

/// A file whose sheets are ready to be kept.
#[derive(Debug)]
pub(crate) struct PreparedFile {
    pub(crate) bytes: Packed,
    pub(crate) report: FileReport,
    pub(crate) sheets: Vec<PreparedSheet>,
}

/// A sheet ready to be kept.
#[derive(Debug)]
pub(crate) struct PreparedSheet {
    pub(crate) id: String,
    pub(crate) sheet: Sheet,
    /// The sheet as JSON.
    pub(crate) document: Packed,
    pub(crate) digest: Digest,
}

/// Makes a file ready.
///
/// # Errors
/// Values that can't be understood, each with its line.
pub(crate) fn prepare(handed: HandedIn, mut read: ReadFile) -> Result<PreparedFile, Failure> {
    let reading = take(&mut read.imported.reading);
    let warnings = take(&mut read.imported.warnings);
    let sheets = group_rows(read.imported).map_err(|problems| refused(&handed.name, &problems))?;
    let sheets = sheets
        .into_iter()
        .map(|sheet| prepare_sheet(sheet, &handed.name))
        .collect::<Result<_, _>>()?;
    Ok(PreparedFile {
        report: FileReport {
            sha256: digest_bytes(&handed.bytes),
            name: handed.name,
            importer: ImporterStamp {
                id: read.importer,
                version: read.importer_version,
            },
            reading,
            warnings,
        },
        bytes: Packed::new(&handed.bytes),
        sheets,
    })
}

fn prepare_sheet(sheet: Sheet, file: &str) -> Result<PreparedSheet, Failure> {
    // What the rows allow fits the schema (a test holds the two together), so a released program
    // does not look again.
    if cfg!(debug_assertions) {
        fits_schema(&sheet, file)?;
    }
    let (digest, document) = of_canonical_json_in_order(&sheet, |document| {
        (content_digest_of_text(document), Packed::new(document))
    });
    Ok(PreparedSheet {
        id: sheet_id(&sheet),
        digest,
        document,
        sheet,
    })
}

fn fits_schema(sheet: &Sheet, file: &str) -> Result<(), Failure> {
    let document = serde_json::to_value(sheet).map_err(|error| {
        Failure::new(
            crate::FailureClass::Bug,
            "sheet.not-writable",
            error.to_string(),
        )
    })?;
    check_value(&catalogue::SHEET, &document)
        .map_err(|problems| Failure::not_valid(file, "sheet", &problems))
}

/// A file that can't be taken: every problem with its line and the cure.
pub(crate) fn refused(name: &str, problems: &[Problem]) -> Failure {
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

#[cfg(test)]
mod tests {
    use super::fits_schema;
    use crate::group_rows::group_rows;
    use compact_str::CompactString;
    use dyebook_plugin::importer::{Imported, Row};
    use proptest::prelude::*;

    /// Rows as an importer may hand them over, sensible and senseless ones.
    fn row() -> impl Strategy<Value = Row> {
        let some = |words: &[&'static str]| {
            let word = prop::sample::select(words.to_vec()).prop_map(CompactString::from);
            let any = any::<String>().prop_map(CompactString::from);
            prop::option::weighted(0.95, prop_oneof![9 => word, 1 => any])
        };
        let number = || some(&["3.4", "0.00", "12", ".5", "5.", "+1.0", "-2", "."]);
        let head = (
            some(&["A", ""]),
            some(&["heron"]),
            some(&["2026-10-05", "9999-12-31", "-000001-01-01", "20261005"]),
            some(&[
                "saline@1.0.0",
                "saline-x@^1",
                "Saline@1.0.0",
                "saline",
                "a--b@1.0.0",
                "saline@ ^1",
            ]),
        );
        let lane = (
            some(&["1", "upper"]),
            some(&["standard", "Samples", "bridging", "other"]),
            some(&["1", "2.0", "0", "4294967295"]),
            some(&["Blue 1", ""]),
            some(&["1", "2.0", "-1"]),
        );
        (
            0..9_u64,
            head,
            lane,
            [number(), number(), number(), number()],
        )
            .prop_map(|(number, head, lane, lengths)| {
                let mut row = Row::new(number);
                (row.section, row.group, row.date, row.method) = head;
                (row.paper, row.role, row.lane, row.label, row.spot) = lane;
                [row.distance, row.front, row.width, row.reported_rf] = lengths;
                row.colour = row.label.clone();
                row
            })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1_000))]
        #[test]
        fn whatever_rows_are_taken_make_sheets_that_fit_the_schema(
            rows in prop::collection::vec(row(), 1..4)
        ) {
            let mut file = Imported::default();
            file.rows = rows;
            for sheet in group_rows(file).unwrap_or_default() {
                prop_assert!(fits_schema(&sheet, "x.csv").is_ok(), "{sheet:?}");
            }
        }
    }

    #[test]
    fn usual_rows_are_taken() {
        let taken = |method: &str| {
            let mut file = Imported::default();
            let mut row = Row::new(2);
            for (field, value) in [
                ("group", "heron"),
                ("method", method),
                ("paper", "1"),
                ("lane", "1"),
                ("label", "Blue 1"),
            ] {
                *row.field_mut(field).unwrap() = Some(value.into());
            }
            file.rows = vec![row];
            group_rows(file).is_ok()
        };
        assert!(taken("saline-2@^1.2") && taken("saline@1.0.0"));
        assert!(!taken("saline") && !taken("Saline@1.0.0") && !taken("saline-@1.0.0"));
    }
}
