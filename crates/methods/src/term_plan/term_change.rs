//! What changes when a term is planned anew.

use super::quantities::TermPlan;
use super::term::Term;
use serde::Serialize;

/// A number that changed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct QuantityChange {
    /// Name of the quantity.
    pub id: &'static str,
    /// What is counted.
    pub what: &'static str,
    /// Before.
    pub from: f64,
    /// Now.
    pub to: f64,
    /// In a sentence, with the reason.
    pub sentence: String,
}

/// The numbers that changed between two plans, each with the reason.
pub fn term_change(before: &TermPlan, now: &TermPlan) -> Vec<QuantityChange> {
    let reasons = reasons(&before.term, &now.term);
    let because = if reasons.is_empty() {
        String::new()
    } else {
        format!(" because {}", reasons.join(", "))
    };
    let value = |plan: &TermPlan, id: &str| {
        plan.quantities
            .iter()
            .find(|q| q.id == id)
            .map_or(0.0, |q| q.value)
    };
    now.quantities
        .iter()
        .filter(|quantity| (value(before, quantity.id) - quantity.value).abs() > 1e-9)
        .map(|quantity| {
            let from = value(before, quantity.id);
            let difference = quantity.value - from;
            let unit = if quantity.unit.is_empty() {
                String::new()
            } else {
                format!(" {}", quantity.unit)
            };
            // Volumes in mL may carry a tail in binary; three decimals are more than is measured.
            let shown = (difference * 1000.0).round() / 1000.0;
            QuantityChange {
                id: quantity.id,
                what: quantity.what,
                from,
                to: quantity.value,
                sentence: format!("{shown:+}{unit} {}{because}", quantity.what),
            }
        })
        .collect()
}

fn reasons(before: &Term, now: &Term) -> Vec<String> {
    let mut all = Vec::new();
    for section in &now.sections {
        match before.sections.iter().find(|s| s.name == section.name) {
            None => all.push(format!("section {} was added", section.name)),
            Some(old) if old.students != section.students => all.push(format!(
                "section {} goes from {} to {} students",
                section.name, old.students, section.students
            )),
            Some(_) => {}
        }
    }
    let gone = before
        .sections
        .iter()
        .filter(|old| now.sections.iter().all(|s| s.name != old.name));
    all.extend(gone.map(|old| format!("section {} was taken out", old.name)));
    let without_sections = |term: &Term| Term {
        sections: Vec::new(),
        ..term.clone()
    };
    if without_sections(before) != without_sections(now) {
        all.push("an assumption changed".to_owned());
    }
    all
}
