//! One invented sheet with its method, checks and identities; no measurement in it is real.

use dyebook_documents::{Digest, Dye, DyeName, DyeRegister, Identification, Method, MethodState};
use dyebook_documents::{NameKind, Sheet};
use dyebook_report::{HistoryLine, SheetReport};
use serde::de::DeserializeOwned;

/// The documents that the report of the example borrows.
pub(crate) struct Example {
    pub(crate) method: Method,
    pub(crate) digest: Digest,
    pub(crate) sheet: Sheet,
    pub(crate) identification: Identification,
    pub(crate) dyes: DyeRegister,
}

impl Example {
    pub(crate) fn new() -> Self {
        let identification: Identification = read(include_str!("identification.json"));
        Self {
            method: read(include_str!("method.json")),
            digest: identification.method.digest.clone(),
            sheet: read(include_str!("sheet.json")),
            identification,
            dyes: dyes(),
        }
    }

    pub(crate) fn report(&self) -> SheetReport<'_> {
        SheetReport {
            sheet_id: "sh-tue-a-g07".into(),
            sheet: &self.sheet,
            sheet_revision: 2,
            amended: true,
            imported_at: "2026-10-06 15:20 UTC".into(),
            importer: "sheet 1.0.0".into(),
            method: &self.method,
            method_state: MethodState::Approved,
            method_digest: &self.digest,
            dyes: &self.dyes,
            identification: Some(&self.identification),
            spots: vec![],
            checks: &self.identification.checks,
            history: vec![
                line("2026-10-06 15:20 UTC", "imported", "handed in after class"),
                line(
                    "2026-10-06 16:02 UTC",
                    "paper S1, lane 2, spot 1: distance 2.80 becomes 3.80 cm",
                    "the group read its own paper again",
                ),
            ],
            demo: true,
            program: "dyebook 0.1.0".into(),
        }
    }
}

fn line(when: &str, what: &str, why: &str) -> HistoryLine {
    HistoryLine {
        when: when.into(),
        who: "coordinator".into(),
        what: what.into(),
        why: why.into(),
    }
}

#[expect(
    clippy::unwrap_used,
    reason = "the example beside this file is a valid document"
)]
fn read<T: DeserializeOwned>(json: &str) -> T {
    serde_json::from_str(json).unwrap()
}

fn dyes() -> DyeRegister {
    let dye = |id: &str, name: &str, short: &str| Dye {
        id: id.into(),
        name: name.into(),
        names: vec![DyeName {
            name: short.into(),
            kind: NameKind::Fdc,
            note: None,
        }],
        colours: vec![],
    };
    DyeRegister::new([
        dye("tartrazine", "Tartrazine", "Yellow 5"),
        dye("sunset-yellow-fcf", "Sunset Yellow FCF", "Yellow 6"),
        dye("allura-red-ac", "Allura Red AC", "Red 40"),
        dye("erythrosine", "Erythrosine", "Red 3"),
        dye("brilliant-blue-fcf", "Brilliant Blue FCF", "Blue 1"),
        dye("indigo-carmine", "Indigo Carmine", "Blue 2"),
    ])
}
