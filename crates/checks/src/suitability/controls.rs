//! Controls against their expected ranges.

use super::{Outcome, SuitabilityItem};
use crate::known_spots::KnownSpot;
use crate::sheet_view::SheetView;
use crate::words;
use dyebook_documents::Where;
use std::collections::BTreeSet;

/// Beyond so many standard deviations a control stops the class.
const ACTION_SD: f64 = 3.0;

pub(super) fn controls(sheet: &SheetView<'_>) -> Vec<SuitabilityItem> {
    let context = sheet.context;
    let known: Vec<KnownSpot<'_>> = sheet
        .papers
        .iter()
        .flat_map(|paper| paper.known.iter().copied())
        .collect();
    // Without controls of its own the method takes every standard for one.
    let named = context.method.controls.clone().unwrap_or_default();
    let is_control = |dye: &str| named.is_empty() || named.iter().any(|control| control == dye);
    let run: Vec<&KnownSpot<'_>> = known
        .iter()
        .filter(|known| is_control(&known.reference.dye))
        .collect();
    if run.is_empty() {
        let message = "no control with a measured spot and an expected range is on the sheet";
        return vec![SuitabilityItem::new(
            "control",
            Where::sheet(),
            Outcome::Stops,
            message,
        )];
    }
    let seen: BTreeSet<&str> = run
        .iter()
        .map(|known| known.reference.dye.as_str())
        .collect();
    let missing = named
        .iter()
        .filter(|control| !seen.contains(control.as_str()))
        .map(|control| {
            let message = format!("the control {} was not run", context.dye_name(control));
            SuitabilityItem::new("control", Where::sheet(), Outcome::Restricts, message)
        });
    run.into_iter().map(control).chain(missing).collect()
}

fn control(known: &KnownSpot<'_>) -> SuitabilityItem {
    let difference = known.rf - known.reference.centre();
    let z = difference / known.sd;
    let (outcome, how) = if known.reference.expected_rf.contains(known.rf) {
        (Outcome::Met, "in its range")
    } else if z.abs() <= ACTION_SD {
        (
            Outcome::Restricts,
            "outside its range, inside the action limit",
        )
    } else {
        (Outcome::Stops, "beyond the action limit")
    };
    let message = format!(
        "control {} ran to Rf {}, expected {}: {how} (z = {z:+.1})",
        known.lane.label,
        words::rf(Some(known.rf)),
        words::range(known.reference.expected_rf)
    );
    let place = Where::spot(&known.lane.paper, known.lane.lane, known.spot.spot);
    SuitabilityItem::new("control", place, outcome, message)
}
