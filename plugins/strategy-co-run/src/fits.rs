//! What a corrected spot fits: the assigned places of main spots, and of expected minor spots of dyes
//! that another spot of the lane shows.

use dyebook_plugin::strategy::{Candidate, ColourVerdict, Reference, RfRange, Spot};

use crate::CoRun;
use crate::correction::{Correction, Value};
use crate::spread::Spread;

/// A place that a spot lies within tolerance of.
pub(crate) struct Fit<'a> {
    pub(crate) reference: &'a Reference,
    /// Whether the place is that of an expected minor spot.
    pub(crate) minor: bool,
    pub(crate) candidate: Candidate,
    pub(crate) tolerance: f64,
}

impl Fit<'_> {
    pub(crate) fn excluded(&self) -> bool {
        self.candidate.colour == ColourVerdict::Disagrees
    }

    /// How far away it is, in tolerances; one is the limit.
    pub(crate) fn off(&self) -> f64 {
        self.candidate.rf_difference.abs() / self.tolerance
    }

    /// The dye, with a word where it is its minor spot.
    pub(crate) fn name(&self) -> String {
        let dye = &self.reference.dye;
        if self.minor {
            format!("the expected minor spot of {dye}")
        } else {
            dye.clone()
        }
    }
}

impl CoRun {
    /// Places within tolerance of a spot, those that the colour allows first, the nearest first; each
    /// dye once. `shown` says which dyes other spots of the lane may be the main spot of.
    pub(crate) fn fits(
        &self,
        spot: &Spot,
        value: Value,
        correction: &Correction,
        shown: impl Fn(&Reference) -> bool,
    ) -> Vec<Fit<'_>> {
        let mut fits = Vec::new();
        for reference in &self.set.references {
            fits.extend(self.main_fit(spot, reference, value, correction));
            let minors = reference.minor_spots.iter();
            for minor in minors.filter(|_| shown(reference)) {
                let colour = self
                    .colours
                    .judge(spot.colour.as_deref(), minor.colour.as_slice());
                let tolerance = self.tolerance(spot, reference, correction, value);
                fits.extend(fit(reference, Some(minor.rf), colour, tolerance, value));
            }
        }
        fits.sort_by(|a, b| {
            let (one, other) = (&a.candidate, &b.candidate);
            let nearer = a.off().total_cmp(&b.off());
            let order = one.colour.cmp(&other.colour).then(nearer);
            order.then_with(|| one.dyes.cmp(&other.dyes))
        });
        let mut seen: Vec<&str> = Vec::new();
        fits.retain(|fit| {
            let new = !seen.contains(&fit.reference.dye.as_str());
            seen.push(&fit.reference.dye);
            new
        });
        fits
    }

    /// The place of a dye's main spot, where the spot lies within tolerance of it.
    pub(crate) fn main_fit<'a>(
        &self,
        spot: &Spot,
        reference: &'a Reference,
        value: Value,
        correction: &Correction,
    ) -> Option<Fit<'a>> {
        let colour = self
            .colours
            .judge(spot.colour.as_deref(), &reference.colours);
        let tolerance = self.tolerance(spot, reference, correction, value);
        fit(reference, None, colour, tolerance, value)
    }

    /// How far a corrected spot may lie from a dye's assigned value. Without a correction the
    /// expected range decides, widened by the reading.
    fn tolerance(
        &self,
        spot: &Spot,
        reference: &Reference,
        correction: &Correction,
        value: Value,
    ) -> f64 {
        let u = spot.u.unwrap_or(0.0);
        if correction.is_none() {
            let RfRange { low, high } = reference.expected_rf;
            let centre = reference.centre();
            let side = if value.rf < centre {
                centre - low
            } else {
                high - centre
            };
            return side + self.config.k * u;
        }
        let spread = Spread::of(&self.config, reference);
        let on_paper = spread.within.max(u) * value.slope;
        // standards of another paper leave both papers' shifts between them
        let papers = if correction.here {
            0.0
        } else {
            2.0_f64.sqrt() * spread.papers
        };
        self.config.k * on_paper.hypot(spread.own).hypot(value.sd).hypot(papers)
    }
}

fn fit(
    reference: &Reference,
    minor: Option<f64>,
    colour: ColourVerdict,
    tolerance: f64,
    value: Value,
) -> Option<Fit<'_>> {
    let centre = minor.unwrap_or_else(|| reference.centre());
    let mut candidate = Candidate::new(reference, value.rf, colour);
    candidate.rf_difference = value.rf - centre;
    candidate.expected = RfRange {
        low: centre - tolerance,
        high: centre + tolerance,
    };
    (candidate.rf_difference.abs() <= tolerance).then_some(Fit {
        reference,
        minor: minor.is_some(),
        candidate,
        tolerance,
    })
}
