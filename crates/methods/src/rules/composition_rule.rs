//! What a change of the recipe does to the liquid.

use super::diff::{Change, change};
use super::path_pattern::member;
use super::rule::rule;
use super::wording::{Words, three_digits};
use crate::composition::{
    CanonicalComposition, ContentDifference, canonical, content_differences, g_per_l_per_unit,
    substance_key,
};
use dyebook_documents::Composition;
use serde_json::{Value, json};
use std::collections::BTreeMap;

const COMPONENTS: &str = "/developer/components";

/// The changes of the liquid between two methods whose recipes read differently.
pub(super) fn composition_changes(from: &Value, to: &Value) -> Vec<Change> {
    let (one, other) = (liquid(from), liquid(to));
    let ((one, was), (other, is)) = match (one, other) {
        (Ok(one), Ok(other)) => (one, other),
        (Err(why), _) | (_, Err(why)) => return vec![not_comparable(from, to, &why)],
    };
    let real = content_differences(&was, &is, &BTreeMap::new());
    if real.is_empty() {
        return vec![rewritten(from, to)];
    }
    let allowed = tolerances(&one, &other);
    let beyond = content_differences(&was, &is, &allowed);
    real.iter()
        .map(|difference| {
            let id = if beyond.iter().any(|b| b.substance == difference.substance) {
                "composition_changed"
            } else {
                "composition_adjusted"
            };
            content_change(id, difference)
        })
        .collect()
}

fn liquid(method: &Value) -> Result<(Composition, CanonicalComposition), String> {
    let developer = method.get("developer").cloned().unwrap_or_default();
    let composition: Composition =
        serde_json::from_value(developer).map_err(|error| error.to_string())?;
    let canonical = canonical(&composition).map_err(|error| error.to_string())?;
    Ok((composition, canonical))
}

/// Tolerances that both versions state, the smaller one of each substance, g/L. One that only
/// one version states counts for nothing: it could be stated to fit the change.
fn tolerances(one: &Composition, other: &Composition) -> BTreeMap<String, f64> {
    let (one, other) = (stated(one), stated(other));
    one.into_iter()
        .filter_map(|(substance, a)| {
            let b = other.get(&substance)?;
            Some((substance, a.min(*b)))
        })
        .collect()
}

fn stated(composition: &Composition) -> BTreeMap<String, f64> {
    let mut stated: BTreeMap<String, f64> = BTreeMap::new();
    for component in &composition.components {
        let in_g_per_l = component
            .tolerance
            .zip(g_per_l_per_unit(component, composition))
            .map(|(tolerance, unit)| tolerance * unit);
        if let Some(tolerance) = in_g_per_l {
            *stated
                .entry(substance_key(&component.substance))
                .or_default() += tolerance;
        }
    }
    stated
}

fn content_change(id: &str, difference: &ContentDifference) -> Change {
    let (from, to) = (difference.from_g_per_l, difference.to_g_per_l);
    let words = Words {
        what: difference.name.clone(),
        name: difference.name.clone(),
        from: three_digits(from),
        to: format!("{} g/L", three_digits(to)),
    };
    change(
        rule(id),
        &member(COMPONENTS, &difference.substance),
        json!({ "g_per_l": from }),
        json!({ "g_per_l": to }),
        Some(words),
    )
}

fn rewritten(from: &Value, to: &Value) -> Change {
    let components = |method: &Value| method.pointer(COMPONENTS).cloned().unwrap_or_default();
    let (from, to) = (components(from), components(to));
    change(rule("composition_rewritten"), COMPONENTS, from, to, None)
}

fn not_comparable(from: &Value, to: &Value, why: &str) -> Change {
    let components = |method: &Value| method.pointer(COMPONENTS).cloned().unwrap_or_default();
    let words = Words {
        what: "the developing solvent".to_owned(),
        name: "the developing solvent".to_owned(),
        from: "one liquid".to_owned(),
        to: format!("one that can't be compared with it ({why})"),
    };
    let (from, to) = (components(from), components(to));
    change(
        rule("composition_changed"),
        COMPONENTS,
        from,
        to,
        Some(words),
    )
}
