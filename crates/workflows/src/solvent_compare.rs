//! Developing solvents of kept method versions beside each other.

use crate::dyes::find_dye;
use crate::failure::Failure;
use crate::resolve_method::resolve_method;
use crate::solvent_words::refused_by;
use dyebook_checks::evaluate;
use dyebook_documents::{Digest, DyeRegister, Method, MethodState};
use dyebook_library::{KeptMethod, Library};
use dyebook_methods::solvents::{
    CompareQuestion, Comparison, SolventError, SpotWidths, compare_solvents,
};
use serde::Serialize;
use std::collections::BTreeMap;

/// What is asked of a comparison.
#[derive(Debug, Clone, Copy)]
pub struct CompareSolvents<'a> {
    /// The method versions.
    pub references: &'a [String],
    /// Names of the dyes; all common ones where none is named.
    pub dyes: &'a [String],
    /// Two dyes within this distance in Rf count as not separated.
    pub window: f64,
}

/// Solvents compared, with the versions whose references were used.
#[derive(Debug, Clone, Serialize)]
pub struct ComparedSolvents {
    /// The versions, in the order asked.
    pub methods: Vec<ComparedVersion>,
    /// The comparison.
    #[serde(flatten)]
    pub comparison: Comparison,
}

/// A version whose references were used.
#[derive(Debug, Clone, Serialize)]
pub struct ComparedVersion {
    /// `id@version`.
    pub method: String,
    /// Its state.
    pub state: MethodState,
    /// Its content digest.
    pub digest: Digest,
    /// Whether spot widths of its sheets were used.
    pub widths_known: bool,
    /// The document as the program reads it.
    #[serde(skip)]
    pub document: Method,
}

impl From<SolventError> for Failure {
    fn from(error: SolventError) -> Self {
        refused_by(error.id(), &error, error.hints())
    }
}

/// Compares the developing solvents of kept method versions.
///
/// # Errors
/// References that lead nowhere, one version named twice, unknown dyes, and what the comparison
/// refuses.
pub fn compare_kept_solvents(
    library: &Library,
    dyes: &DyeRegister,
    asked: CompareSolvents<'_>,
) -> Result<ComparedSolvents, Failure> {
    let mut methods: Vec<ComparedVersion> = Vec::new();
    let mut question = CompareQuestion {
        window: asked.window,
        ..CompareQuestion::default()
    };
    for name in asked.dyes {
        question.dyes.push(find_dye(dyes, name)?.id.clone());
    }
    for reference in asked.references {
        let kept = resolve_method(library, reference)?;
        if methods.iter().any(|m| m.method == kept.name()) {
            return Err(Failure::refused(
                "solvent.named-twice",
                format!("`{}` is named twice", kept.name()),
            ));
        }
        let document = kept.method()?;
        let widths = spot_widths(library, dyes, &kept, &document)?;
        let widths_known = !widths.is_empty();
        question.widths.insert(kept.name(), widths);
        methods.push(ComparedVersion {
            method: kept.name(),
            state: kept.state,
            digest: kept.digest,
            widths_known,
            document,
        });
    }
    let documents: Vec<&Method> = methods.iter().map(|m| &m.document).collect();
    let comparison = compare_solvents(&documents, dyes, &question)?;
    Ok(ComparedSolvents {
        methods,
        comparison,
    })
}

/// Mean width of the main spot of each dye, as a part of the front distance, over the lanes of
/// known dye on sheets bound to exactly this version: sheets of two versions are never pooled.
fn spot_widths(
    library: &Library,
    dyes: &DyeRegister,
    kept: &KeptMethod,
    method: &Method,
) -> Result<SpotWidths, Failure> {
    let mut found: BTreeMap<String, Vec<f64>> = BTreeMap::new();
    for id in library.sheets_of_method(&kept.id, &kept.version)? {
        let Some(sheet) = library.sheet(&id, None)? else {
            continue;
        };
        for lane in evaluate(&sheet.sheet, method, dyes).lanes {
            let Some(dye) = lane.dye.as_ref().filter(|_| lane.is_known()) else {
                continue;
            };
            let Some(reference) = method.reference(dye) else {
                continue;
            };
            let off = |rf: f64| (rf - reference.centre()).abs();
            let main = lane
                .spots
                .iter()
                .filter(|spot| spot.unusable.is_none())
                .filter_map(|spot| Some((off(spot.rf?), spot.width_rf?)))
                .min_by(|a, b| a.0.total_cmp(&b.0));
            if let Some((_, width)) = main.filter(|(_, width)| *width > 0.0) {
                found.entry(dye.to_string()).or_default().push(width);
            }
        }
    }
    #[expect(clippy::cast_precision_loss, reason = "lanes are few")]
    let mean = |widths: Vec<f64>| widths.iter().sum::<f64>() / widths.len() as f64;
    Ok(found
        .into_iter()
        .map(|(dye, widths)| (dye, mean(widths)))
        .collect())
}
