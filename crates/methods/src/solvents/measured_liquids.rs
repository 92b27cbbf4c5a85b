//! Measured versions that differ in their developing solvent alone.

use crate::composition::{CanonicalComposition, canonical, content_differences};
use dyebook_documents::Method;
use std::collections::{BTreeMap, BTreeSet};

/// A measured version with its liquid.
pub(super) struct Measured<'a> {
    /// The version.
    pub(super) method: &'a Method,
    /// What is in its developing solvent.
    pub(super) liquid: CanonicalComposition,
}

/// The versions whose liquids can be told and whose conditions agree; of two versions with one
/// liquid the later counts.
pub(super) fn measured_liquids<'a>(methods: &[&'a Method]) -> (Vec<Measured<'a>>, Vec<String>) {
    let mut sorted: Vec<&Method> = methods.to_vec();
    sorted.sort_by(|a, b| b.version.cmp(&a.version).then_with(|| a.id.cmp(&b.id)));
    let (mut kept, mut left_out): (Vec<Measured<'_>>, Vec<String>) = (Vec::new(), Vec::new());
    for method in sorted {
        let liquid = match canonical(&method.developer) {
            Ok(liquid) => liquid,
            Err(why) => {
                left_out.push(format!("{}: {why}", method.name()));
                continue;
            }
        };
        if let Some(first) = kept.first()
            && let Some(what) = other_conditions(first.method, method)
        {
            left_out.push(format!(
                "{}: another {what} than {}",
                method.name(),
                first.method.name()
            ));
            continue;
        }
        if kept.iter().all(|k| !apart(&k.liquid, &liquid).is_empty()) {
            kept.push(Measured { method, liquid });
        }
    }
    (kept, left_out)
}

/// What else than the liquid would move the dyes.
fn other_conditions(one: &Method, other: &Method) -> Option<&'static str> {
    let phase = |m: &Method| {
        (
            m.stationary_phase.material.clone(),
            m.stationary_phase.grade.clone(),
        )
    };
    let chamber = |m: &Method| m.chamber.as_ref().map(|c| (c.kind.clone(), c.saturated));
    match () {
        () if phase(one) != phase(other) => Some("paper"),
        () if chamber(one) != chamber(other) => Some("chamber"),
        () if one.measuring.convention != other.measuring.convention => {
            Some("measuring convention")
        }
        () => None,
    }
}

/// Identifiers of the substances in which two liquids differ.
pub(super) fn apart(one: &CanonicalComposition, other: &CanonicalComposition) -> BTreeSet<String> {
    content_differences(one, other, &BTreeMap::new())
        .into_iter()
        .map(|difference| difference.substance)
        .collect()
}

/// The substance in which most measured liquids differ from the one asked for, and nothing else.
pub(super) fn axis(measured: &[Measured<'_>], wanted: &CanonicalComposition) -> String {
    let mut votes: BTreeMap<String, usize> = BTreeMap::new();
    for point in measured {
        let mut differing = apart(&point.liquid, wanted).into_iter();
        if let (Some(only), None) = (differing.next(), differing.next()) {
            *votes.entry(only).or_default() += 1;
        }
    }
    votes
        .into_iter()
        .max_by(|a, b| a.1.cmp(&b.1).then_with(|| b.0.cmp(&a.0)))
        .map_or_else(|| "one substance".to_owned(), |(substance, _)| substance)
}
