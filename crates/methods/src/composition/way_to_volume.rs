//! How a developing solvent comes to its volume: in exactly one of three ways.

use super::composition_error::CompositionError;
use dyebook_documents::{Basis, Component, Composition};
use serde::Serialize;

/// How a developing solvent comes to its volume.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum WayToVolume {
    /// One liquid makes up to the volume.
    MadeUp,
    /// Volumes measured apart and poured together: all in `parts v`, or volume fractions that
    /// sum to 100.
    PouredTogether,
}

/// Fractions are written with two decimals at most; what is further from 100 is a slip.
const SUM_SLACK: f64 = 0.005;

/// Fractions below this, %, are of what is dissolved: nothing was meant to fill the volume.
const HALF: f64 = 50.0;

/// The way in which a composition comes to its volume.
///
/// # Errors
/// [`CompositionError`] when there is none or more than one.
pub fn way_to_volume(composition: &Composition) -> Result<WayToVolume, CompositionError> {
    let components = &composition.components;
    let fillers: Vec<&Component> = components.iter().filter(|c| makes_up(c)).collect();
    let parts = of_basis(components, Basis::VolumeParts);
    let fractions = of_basis(components, Basis::VolumePercent);
    let sum: f64 = fractions.iter().filter_map(|c| c.amount).sum();
    if !parts.is_empty() {
        return parts_only(components, &parts, &fillers);
    }
    match fillers.as_slice() {
        [] if sum < HALF => Err(CompositionError::NoWayToVolume),
        [] if (sum - 100.0).abs() <= SUM_SLACK => Ok(WayToVolume::PouredTogether),
        [] => Err(CompositionError::FractionsDontAddUp { sum }),
        [_] if sum > 100.0 + SUM_SLACK => Err(CompositionError::FractionsDontAddUp { sum }),
        [filler] if (sum - 100.0).abs() <= SUM_SLACK => Err(CompositionError::TwoWaysToVolume {
            ways: format!(
                "{} makes up to volume, and the volume fractions already sum to 100",
                filler.substance
            ),
        }),
        [_] => Ok(WayToVolume::MadeUp),
        [one, other, ..] => Err(CompositionError::TwoWaysToVolume {
            ways: format!(
                "both {} and {} make up to volume",
                one.substance, other.substance
            ),
        }),
    }
}

fn parts_only(
    components: &[Component],
    parts: &[&Component],
    fillers: &[&Component],
) -> Result<WayToVolume, CompositionError> {
    if let Some(filler) = fillers.first() {
        return Err(CompositionError::TwoWaysToVolume {
            ways: format!(
                "{} makes up to volume, and {} is given in `parts v`",
                filler.substance, parts[0].substance
            ),
        });
    }
    let odd = components
        .iter()
        .filter_map(|c| Some((c, c.basis?)))
        .find(|(_, basis)| *basis != Basis::VolumeParts);
    match odd {
        Some((component, basis)) => Err(CompositionError::PartsMixed {
            substance: component.substance.clone(),
            basis: basis.symbol(),
        }),
        None => Ok(WayToVolume::PouredTogether),
    }
}

/// Whether a component fills up to the volume.
pub(crate) fn makes_up(component: &Component) -> bool {
    component.make_up_to_volume == Some(true)
}

fn of_basis(components: &[Component], basis: Basis) -> Vec<&Component> {
    components
        .iter()
        .filter(|c| c.basis == Some(basis))
        .collect()
}
