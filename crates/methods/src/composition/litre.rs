//! The grams of each substance in a litre, while a recipe is added up.

use super::canonical::{CanonicalComposition, Content, per_ml};
use super::composition_error::CompositionError;
use super::densities::{DensityUsed, aqueous_density, pure_density};
use super::stock_content::liquid_density;
use super::substances::{WATER, substance, substance_key};
use super::way_to_volume::WayToVolume;
use dyebook_documents::{Basis, Component};
use std::collections::BTreeMap;

/// The grams of each substance in a litre, while they are added up.
#[derive(Default)]
pub(super) struct Litre {
    g_per_l: BTreeMap<String, f64>,
    names: BTreeMap<String, String>,
    pub(super) densities: Vec<DensityUsed>,
    assumptions: Vec<String>,
}

impl Litre {
    /// Adds grams of a substance.
    pub(super) fn add(&mut self, name: &str, g_per_l: f64) {
        let key = substance_key(name);
        *self.g_per_l.entry(key.clone()).or_default() += g_per_l;
        self.names
            .entry(key)
            .or_insert_with(|| super::shown_name(name));
    }

    /// Adds what is measured by volume and poured together, 1000 mL in all.
    pub(super) fn pour(&mut self, poured: &[(&Component, f64)]) -> Result<(), CompositionError> {
        let mut mass = Some(0.0);
        let mut solutes: BTreeMap<String, f64> = BTreeMap::new();
        for (component, ml) in poured {
            let content = per_ml(component)?;
            mass = mass
                .zip(content.density_g_per_ml)
                .map(|(mass, density)| mass + ml * density);
            let g = ml * content.solute_g_per_ml;
            let key = substance_key(&component.substance);
            if key != WATER {
                *solutes.entry(key).or_default() += g;
            }
            self.densities.extend(content.densities);
            self.add(&component.substance, g);
        }
        let volume_ml = self.finished_volume(&solutes, mass);
        for g_per_l in self.g_per_l.values_mut() {
            *g_per_l *= 1000.0 / volume_ml;
        }
        Ok(())
    }

    /// The volume of what was poured together: 1000 mL shrink on mixing.
    fn finished_volume(&mut self, solutes: &BTreeMap<String, f64>, mass: Option<f64>) -> f64 {
        let mixed = solutes.iter().next().filter(|_| solutes.len() == 1);
        let density = mixed.zip(mass).and_then(|((substance, g), mass)| {
            aqueous_density(substance, (100.0 * g / mass).min(100.0))
        });
        if let Some((density, mass)) = density.zip(mass) {
            let volume_ml = mass / density.g_per_ml;
            self.densities.push(density);
            volume_ml
        } else {
            if solutes.len() > 1 || mixed.is_some_and(|(_, g)| *g > 0.0) {
                self.assumptions
                    .push("volumes are taken as additive on mixing".to_owned());
            }
            1000.0
        }
    }

    /// Lets a liquid make up to volume. Water is the remainder and needs nothing.
    pub(super) fn fill(&mut self, filler: &Component) -> Result<(), CompositionError> {
        let name = &filler.substance;
        if substance_key(name) == WATER {
            return Ok(());
        }
        let density = liquid_density(name, substance(name), Basis::VolumePercent)?;
        let filled: f64 = self
            .g_per_l
            .iter()
            .filter_map(|(key, g)| Some(g / pure_density(key)?.g_per_ml))
            .sum();
        if filled >= 1000.0 {
            return Err(CompositionError::NoRoomLeft {
                substance: name.clone(),
                filled_ml_per_l: filled,
            });
        }
        if filled > 0.0 {
            self.assumptions
                .push("volumes are taken as additive on mixing".to_owned());
        }
        if self.g_per_l.keys().any(|key| pure_density(key).is_none()) {
            self.assumptions
                .push("what is no liquid when pure is taken to fill no volume".to_owned());
        }
        self.add(name, (1000.0 - filled) * density.g_per_ml);
        self.densities.push(density);
        Ok(())
    }

    /// The canonical form of what was added.
    pub(super) fn into_canonical(self, way: WayToVolume) -> CanonicalComposition {
        let names = self.names;
        let substances = self
            .g_per_l
            .into_iter()
            .filter(|(key, _)| key != WATER)
            .map(|(key, g_per_l)| Content {
                name: names.get(&key).cloned().unwrap_or_else(|| key.clone()),
                ml_per_l: pure_density(&key).map(|d| g_per_l / d.g_per_ml),
                substance: key,
                g_per_l,
            })
            .collect();
        let mut densities = self.densities;
        densities.sort_by(|a, b| a.of.cmp(&b.of).then(a.g_per_ml.total_cmp(&b.g_per_ml)));
        densities.dedup();
        CanonicalComposition {
            way,
            substances,
            densities,
            assumptions: self.assumptions,
        }
    }
}
