//! A term from a table of sections, and what changes when it is planned anew.

use crate::failure::Failure;
use crate::files::read_text;
use crate::resolve_method::resolve_method;
use crate::solvent_words::refused_by;
use dyebook_library::Library;
use dyebook_methods::term_plan::{
    QuantityChange, Term, TermError, TermPlan, plan_term, term_change,
};
use serde::Serialize;
use std::path::Path;

/// A planned term, with what changed against an earlier one.
#[derive(Debug, Clone, Serialize)]
pub struct PlannedTerm {
    /// The term.
    #[serde(flatten)]
    pub plan: TermPlan,
    /// The same before, where there was one.
    pub before: Option<TermPlan>,
    /// What changed.
    pub changes: Vec<QuantityChange>,
}

impl From<TermError> for Failure {
    fn from(error: TermError) -> Self {
        refused_by(error.id(), &error, error.hints())
    }
}

/// Plans a term, and compares it with what was planned before.
///
/// # Errors
/// Numbers that can't be counted with.
pub fn plan_terms(before: Option<&Term>, now: &Term) -> Result<PlannedTerm, Failure> {
    let plan = plan_term(now)?;
    let before = before.map(plan_term).transpose()?;
    Ok(PlannedTerm {
        changes: before
            .as_ref()
            .map_or_else(Vec::new, |before| term_change(before, &plan)),
        before,
        plan,
    })
}

/// A term kept as a JSON file.
///
/// # Errors
/// A file that can't be read or holds no term.
pub fn read_term(path: &Path) -> Result<Term, Failure> {
    serde_json::from_str(&read_text(path)?).map_err(|error| {
        Failure::refused(
            "term.not-readable",
            format!("`{}` holds no term: {error}", path.display()),
        )
        .hint("`dyebook term plan … --save FILE` writes one that can be read back")
    })
}

/// Takes lanes, chamber, dyes and the size of the pieces from a method version.
///
/// # Errors
/// A reference that leads nowhere.
pub fn term_of_method(
    library: &Library,
    reference: &str,
    term: &mut Term,
) -> Result<String, Failure> {
    let kept = resolve_method(library, reference)?;
    let method = kept.method()?;
    let layout = method.layout.as_ref();
    if let Some(lanes) = layout.and_then(|layout| layout.lanes) {
        term.lanes_per_group = lanes * term.papers_per_group;
    }
    if let Some(volume) = method
        .chamber
        .as_ref()
        .and_then(|chamber| chamber.volume_ml)
    {
        term.chamber_ml = volume.high;
    }
    term.dyes = u32::try_from(method.references.len()).unwrap_or(u32::MAX);
    let size = layout.and_then(|l| Some([l.paper_width_cm?, l.paper_height_cm?]));
    term.piece_cm = size.or(term.piece_cm);
    for section in &mut term.sections {
        section.method.get_or_insert_with(|| kept.name());
    }
    Ok(kept.name())
}
