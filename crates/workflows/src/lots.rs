//! Lots of paper and dye, batches of developing solvent: verified by whom for which version, and
//! everything that used one.

use crate::failure::Failure;
use crate::methods::needs_reason;
use crate::resolve_method::resolve_method;
use dyebook_documents::{MethodState, digest_value};
use dyebook_library::{Applicability, KeptMethod, Library, Stamp};
use serde::Serialize;
use serde_json::{Value, json};

/// What a lot is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum LotKind {
    /// Chromatography paper.
    Paper,
    /// A dye standard.
    Dye,
    /// A batch of developing solvent.
    Batch,
}

impl LotKind {
    /// The word kept.
    pub fn word(self) -> &'static str {
        match self {
            Self::Paper => "paper",
            Self::Dye => "dye",
            Self::Batch => "batch",
        }
    }

    /// The same in a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::Paper => "paper lot",
            Self::Dye => "dye lot",
            Self::Batch => "batch",
        }
    }

    fn from_word(word: &str) -> Self {
        match word {
            "paper" => Self::Paper,
            "dye" => Self::Dye,
            _ => Self::Batch,
        }
    }
}

/// That a lot was verified for a method version.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct VerifiedLot {
    /// `id@version`.
    pub method: String,
    /// What the lot is of.
    pub kind: LotKind,
    /// The lot.
    pub lot: String,
    /// What was done.
    pub note: String,
    /// Who; empty where the history does not say.
    pub by: String,
    /// When; empty where the history does not say.
    pub at: String,
}

/// Keeps that a lot was verified for a method version.
///
/// # Errors
/// A draft, no lot, no reason, and what the library says.
pub fn verify_lot(
    library: &mut Library,
    reference: &str,
    (kind, lot): (LotKind, &str),
    reason: &str,
    stamp: &Stamp,
) -> Result<VerifiedLot, Failure> {
    needs_reason("lot.no-reason", reason)?;
    let lot = lot.trim();
    if lot.is_empty() {
        return Err(Failure::refused("lot.no-name", "the lot has no name")
            .hint("write what stands on the packet or bottle: --lot L26-04"));
    }
    let method = resolve_method(library, reference)?;
    if matches!(method.state, MethodState::Draft | MethodState::Withdrawn) {
        return Err(Failure::refused(
            "lot.method-not-in-use",
            format!(
                "`{}` is {}; a lot is verified for a version in use",
                method.name(),
                method.state
            ),
        ));
    }
    let change = library.change(stamp.clone())?;
    change.keep_applicability(&Applicability {
        method_id: method.id.clone(),
        method_version: method.version.to_string(),
        kind: kind.word().to_owned(),
        lot: lot.to_owned(),
        note: reason.to_owned(),
    })?;
    change.commit()?;
    Ok(VerifiedLot {
        method: method.name(),
        kind,
        lot: lot.to_owned(),
        note: reason.to_owned(),
        by: stamp.by.clone(),
        at: stamp.at.to_string(),
    })
}

/// Verified lots of one method or of all, in the order in which they were kept.
///
/// # Errors
/// What the library says.
pub fn verified_lots(library: &Library, method: Option<&str>) -> Result<Vec<VerifiedLot>, Failure> {
    let mut ids: Vec<String> = library.methods(method)?.into_iter().map(|m| m.id).collect();
    ids.dedup();
    let mut lots = Vec::new();
    for id in ids {
        for kept in library.applicability(&id)? {
            let subject = format!("{}@{}", kept.method_id, kept.method_version);
            let digest = digest_value(&json!([kept.kind, kept.lot]));
            let record = library.history(Some(&subject))?.into_iter().find(|record| {
                record.after_digest.as_deref() == Some(digest.as_str())
                    && record.reason.as_deref() == Some(kept.note.as_str())
            });
            let (by, at) = record.map_or_else(Default::default, |record| (record.by, record.at));
            lots.push(VerifiedLot {
                method: subject,
                kind: LotKind::from_word(&kept.kind),
                lot: kept.lot,
                note: kept.note,
                by,
                at,
            });
        }
    }
    Ok(lots)
}

/// Everything that used a lot or batch.
#[derive(Debug, Clone, Serialize)]
pub struct LotImpact {
    /// The lot, as asked.
    pub lot: String,
    /// What it stands in.
    pub uses: Vec<LotUse>,
    /// Method versions whose references rest on sheets that used it.
    pub references: Vec<RestingReference>,
    /// Versions it was verified for.
    pub verified: Vec<VerifiedLot>,
}

/// One use.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LotUse {
    /// `sheet` or `method`.
    pub kind: &'static str,
    /// Which one.
    pub subject: String,
    /// How it is used there, in words.
    pub how: String,
    /// For a sheet: the method version it is bound to.
    pub method: Option<String>,
    /// For a sheet: the method version and strategy of the stored identification asked for last.
    pub identified_by: Option<String>,
}

/// References of a method version that rest on sheets.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RestingReference {
    /// `id@version`.
    pub method: String,
    /// State of that version.
    pub state: MethodState,
    /// The dyes.
    pub dyes: Vec<String>,
}

/// Everything that used a lot or batch of this name; capitals don't count.
///
/// # Errors
/// What the library says.
pub fn lot_impact(library: &Library, lot: &str) -> Result<LotImpact, Failure> {
    let lot = lot.trim();
    let methods = library.methods(None)?;
    let mut uses: Vec<LotUse> = methods.iter().flat_map(|m| of_method(m, lot)).collect();
    let by_method: Vec<String> = uses.iter().map(|found| found.subject.clone()).collect();
    let mut sheets = Vec::new();
    for line in library.sheet_lines()? {
        let Some(kept) = library.sheet(&line.id, None)? else {
            continue;
        };
        let batch = kept
            .sheet
            .batch
            .as_deref()
            .is_some_and(|b| b.trim().eq_ignore_ascii_case(lot));
        if batch || by_method.contains(&line.method) {
            uses.push(LotUse {
                kind: "sheet",
                subject: line.id.clone(),
                how: if batch {
                    "batch of developing solvent".to_owned()
                } else {
                    "its method version names the lot".to_owned()
                },
                method: Some(line.method),
                identified_by: identified_by(library, &line.id)?,
            });
            sheets.push(line.id);
        }
    }
    let verified = verified_lots(library, None)?;
    Ok(LotImpact {
        lot: lot.to_owned(),
        references: methods.iter().filter_map(|m| resting(m, &sheets)).collect(),
        verified: verified
            .into_iter()
            .filter(|v| v.lot.eq_ignore_ascii_case(lot))
            .collect(),
        uses,
    })
}

/// Lots that a method version names: of its paper and of its dye standards.
fn of_method(method: &KeptMethod, lot: &str) -> Vec<LotUse> {
    let is_it = |value: &Value| {
        value
            .as_str()
            .is_some_and(|found| found.trim().eq_ignore_ascii_case(lot))
    };
    let found = |how: String| LotUse {
        kind: "method",
        subject: method.name(),
        how,
        method: None,
        identified_by: None,
    };
    let mut uses = Vec::new();
    if is_it(&method.document["stationary_phase"]["lot"]) {
        uses.push(found("paper lot".to_owned()));
    }
    for reference in method.document["references"]
        .as_array()
        .into_iter()
        .flatten()
    {
        if is_it(&reference["standard"]["lot"]) {
            let dye = reference["dye"].as_str().unwrap_or_default();
            uses.push(found(format!("lot of the dye standard of {dye}")));
        }
    }
    uses
}

fn identified_by(library: &Library, sheet: &str) -> Result<Option<String>, Failure> {
    let found = library.latest_identification(sheet)?.map(|kept| {
        let text = |at: &str| {
            kept.document
                .pointer(at)
                .and_then(Value::as_str)
                .unwrap_or("-")
                .to_owned()
        };
        format!(
            "{}@{}, strategy {} {}",
            text("/method/id"),
            text("/method/version"),
            text("/strategy/id"),
            text("/strategy/version")
        )
    });
    Ok(found)
}

fn resting(method: &KeptMethod, sheets: &[String]) -> Option<RestingReference> {
    let rests = |reference: &&Value| {
        let there = reference["evidence"]["sheets"].as_array();
        there
            .into_iter()
            .flatten()
            .any(|sheet| sheets.iter().any(|id| sheet["sheet"] == id.as_str()))
    };
    let references = method.document["references"].as_array()?;
    let dyes: Vec<String> = references
        .iter()
        .filter(rests)
        .filter_map(|reference| reference["dye"].as_str().map(str::to_owned))
        .collect();
    (!dyes.is_empty()).then(|| RestingReference {
        method: method.name(),
        state: method.state,
        dyes,
    })
}
