//! The volumes of a recipe whose components are measured apart and poured together.

use super::glassware::{Measured, measured_g, measured_ml};
use super::make_up::{RecipeLine, as_written};
use super::measuring::MeasuringOption;
use super::stock_at_hand::StockAtHand;
use crate::composition::{CanonicalComposition, shown_name, substance_key};
use dyebook_documents::{Basis, Component, Composition};

/// The volumes of a recipe whose components are poured together.
pub(super) fn poured_lines(
    developer: &Composition,
    liquid: &CanonicalComposition,
    volume_ml: f64,
) -> Vec<RecipeLine> {
    let volumes =
        |c: &&Component| matches!(c.basis, Some(Basis::VolumeParts | Basis::VolumePercent));
    let total: f64 = developer
        .components
        .iter()
        .filter(volumes)
        .filter_map(|c| c.amount)
        .sum();
    developer
        .components
        .iter()
        .map(|component| {
            let substance = substance_key(&component.substance);
            let amount = component.amount.unwrap_or_default();
            let exact = if volumes(&component) {
                volume_ml * amount / total
            } else {
                volume_ml / 1000.0 * liquid.g_per_l(&substance)
            };
            let poured = volumes(&component);
            let measured = if poured {
                measured_ml(exact)
            } else {
                measured_g(exact)
            };
            RecipeLine {
                name: shown_name(&component.substance),
                as_written: as_written(component),
                g_per_l: liquid.g_per_l(&substance),
                options: vec![poured_option(component, exact, measured, poured)],
                substance,
            }
        })
        .collect()
}

fn poured_option(
    component: &Component,
    exact: f64,
    measured: Measured,
    poured: bool,
) -> MeasuringOption {
    MeasuringOption {
        stock: component
            .stock
            .as_ref()
            .map(|stock| StockAtHand::of_method(&component.substance, stock).name),
        action: if poured { "measure" } else { "weigh" },
        exact,
        unit: if poured { "mL" } else { "g" },
        measured: Some(measured),
        resulting_g_per_l: None,
        within_tolerance: None,
        as_in_method: true,
        note: None,
        densities: Vec::new(),
    }
}
