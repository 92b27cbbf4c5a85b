//! Checks and identities in lines for a terminal.

use crate::outcome::Page;
use dyebook_documents::{Check, Identification, Severity, show_rf_with_u};

/// Checks as sentences, worst first as they come.
pub(crate) fn checks(page: &mut Page, checks: &[Check]) {
    for check in checks {
        page.line(format!(
            "  {:4}  {}: {} [{}]",
            check.severity.word(),
            check.place.words(),
            check.message,
            check.check
        ));
        for alternative in &check.alternatives {
            page.line(format!("        or: {alternative}"));
        }
    }
}

/// `2 stop, 1 warn`, or `nothing to ask about`.
pub(crate) fn tally(checks: &[Check]) -> String {
    let parts: Vec<String> = [
        Severity::Stop,
        Severity::Warn,
        Severity::Ask,
        Severity::Info,
    ]
    .into_iter()
    .filter_map(|severity| {
        let count = checks
            .iter()
            .filter(|check| check.severity == severity)
            .count();
        (count > 0).then(|| format!("{count} {}", severity.word()))
    })
    .collect();
    if parts.is_empty() {
        "nothing to ask about".to_owned()
    } else {
        parts.join(", ")
    }
}

/// Whether a check stops the use of the sheet.
pub(crate) fn has_stop(checks: &[Check]) -> bool {
    checks.iter().any(|check| check.severity == Severity::Stop)
}

/// The identities of one sheet.
pub(crate) fn identification(page: &mut Page, found: &Identification) {
    page.line(format!(
        "{}  by {}@{} (content {})  strategy {} {}",
        found.sheet,
        found.method.id,
        found.method.version,
        found.method.digest.short(),
        found.strategy.id,
        found.strategy.version
    ));
    for note in &found.notes {
        page.line(format!("  note: {note}"));
    }
    for lane in &found.lanes {
        let dyes: Vec<String> = lane
            .dyes
            .iter()
            .map(|d| match d.probability {
                Some(p) => format!("{} ({p:.3})", d.dye),
                None => d.dye.to_string(),
            })
            .collect();
        let dyes = if dyes.is_empty() {
            "no dye named".to_owned()
        } else {
            dyes.join(", ")
        };
        page.line(format!(
            "  paper {}, lane {} ({:?}, {}): {dyes}",
            lane.paper,
            lane.lane,
            lane.label,
            role(lane.role)
        ));
        for spot in &lane.spots {
            let rf = spot
                .rf
                .map_or_else(|| "no Rf".to_owned(), |rf| show_rf_with_u(rf, spot.u));
            page.line(format!(
                "    spot {}, Rf {rf}: {}. {}",
                spot.spot,
                spot.decision.words(),
                spot.reason
            ));
        }
    }
}

/// The word for what a lane holds.
pub(crate) fn role(role: dyebook_documents::Role) -> &'static str {
    match role {
        dyebook_documents::Role::Standard => "dye standard",
        dyebook_documents::Role::Sample => "sample",
        dyebook_documents::Role::Bridging => "bridging lane",
    }
}
