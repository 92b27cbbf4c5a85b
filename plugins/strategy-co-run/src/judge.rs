//! One spot, corrected, against every assigned value.

use dyebook_plugin::strategy::{
    Candidate, ColourVerdict, Decision, Reference, RfRange, Spot, SpotAnswer, reasons,
};

use crate::CoRun;
use crate::anchors::within;
use crate::correction::{Correction, Value};

struct Fit<'a> {
    reference: &'a Reference,
    candidate: Candidate,
    tolerance: f64,
}

impl Fit<'_> {
    fn excluded(&self) -> bool {
        self.candidate.colour == ColourVerdict::Disagrees
    }
}

impl CoRun {
    pub(crate) fn judge(&self, spot: &Spot, rf: f64, correction: &Correction) -> SpotAnswer {
        let value = correction.apply(&self.config, rf);
        let mut fits: Vec<Fit<'_>> = self
            .set
            .references
            .iter()
            .map(|reference| self.fit(spot, reference, correction, value))
            .filter(|fit| fit.candidate.rf_difference.abs() <= fit.tolerance)
            .collect();
        fits.sort_by(|a, b| {
            let (a, b) = (&a.candidate, &b.candidate);
            let nearer = a.rf_difference.abs().total_cmp(&b.rf_difference.abs());
            a.colour
                .cmp(&b.colour)
                .then(nearer)
                .then_with(|| a.dyes.cmp(&b.dyes))
        });
        let split = fits.iter().take_while(|fit| !fit.excluded()).count();
        let (allowed, excluded) = fits.split_at(split);
        let read = reading(rf, value, correction);
        let (decision, mut sentences) = match allowed {
            [] => (
                Decision::NotInReferenceSet,
                self.nothing(spot, rf, &read, value, excluded),
            ),
            [one] => (Decision::Identified, vec![fits_one(spot, &read, one)]),
            several => (
                Decision::Indistinguishable,
                vec![fits_several(&read, several)],
            ),
        };
        sentences.extend(excluded.iter().map(|fit| {
            let colour = reasons::colour_words(spot, fit.candidate.colour, fit.reference);
            format!(
                "{} fits too and is excluded by colour only ({colour}).",
                fit.reference.dye
            )
        }));
        sentences.extend(caveats(value, correction));
        sentences.extend(reasons::tail_note(
            spot,
            allowed.first().map(|fit| fit.reference),
        ));
        let candidates = fits.into_iter().map(|fit| fit.candidate).collect();
        SpotAnswer::new(spot, decision, candidates, sentences.join(" "))
    }

    fn fit<'a>(
        &self,
        spot: &Spot,
        reference: &'a Reference,
        correction: &Correction,
        value: Value,
    ) -> Fit<'a> {
        let colour = self
            .colours
            .judge(spot.colour.as_deref(), &reference.colours);
        let mut candidate = Candidate::new(reference, value.rf, colour);
        let centre = reference.centre();
        let tolerance = self.tolerance(spot, reference, correction, value);
        candidate.expected = RfRange {
            low: centre - tolerance,
            high: centre + tolerance,
        };
        Fit {
            reference,
            candidate,
            tolerance,
        }
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
        let own = within(&self.config, reference).max(u) * value.slope;
        // standards of another paper leave both papers' shifts between them
        let papers = if correction.here {
            0.0
        } else {
            let stated = reference.sd.and_then(|sd| sd.between_papers);
            2.0_f64.sqrt() * stated.unwrap_or(self.config.between_papers)
        };
        self.config.k * own.hypot(value.sd).hypot(papers)
    }

    fn nothing(
        &self,
        spot: &Spot,
        rf: f64,
        read: &str,
        value: Value,
        excluded: &[Fit<'_>],
    ) -> Vec<String> {
        let mut sentences = if excluded.is_empty() {
            let away = |reference: &&Reference| (reference.centre() - value.rf).abs();
            let nearest = self
                .set
                .references
                .iter()
                .min_by(|a, b| away(a).total_cmp(&away(b)));
            let near = nearest.map_or_else(String::new, |nearest| {
                let (dye, away) = (&nearest.dye, reasons::rounded(away(&nearest), 3));
                format!("; the nearest is {dye}, {away} away")
            });
            vec![format!(
                "{read}, where no dye of the reference set is expected{near}."
            )]
        } else {
            vec![format!("{read}; no dye fits by both Rf and colour.")]
        };
        let references = &self.set.references;
        sentences.extend(reasons::minor_spot_note(
            spot,
            rf,
            references,
            &self.colours,
        ));
        sentences
    }
}

/// `Rf 0.45 reads 0.42 corrected on a line by … on this paper`
fn reading(rf: f64, value: Value, correction: &Correction) -> String {
    let rf = reasons::rounded(rf, 2);
    if correction.is_none() {
        return format!("Rf {rf} counts as read");
    }
    format!(
        "Rf {rf} reads {} {}",
        reasons::rounded(value.rf, 3),
        correction.by
    )
}

fn fits_one(spot: &Spot, read: &str, fit: &Fit<'_>) -> String {
    format!(
        "{read}, which is {} from {} (within {}); {}.",
        reasons::rounded(fit.candidate.rf_difference.abs(), 3),
        fit.reference.dye,
        reasons::rounded(fit.tolerance, 3),
        reasons::colour_words(spot, fit.candidate.colour, fit.reference)
    )
}

fn fits_several(read: &str, fits: &[Fit<'_>]) -> String {
    let named: Vec<String> = fits
        .iter()
        .map(|fit| {
            let away = reasons::rounded(fit.candidate.rf_difference.abs(), 3);
            format!(
                "{} ({away} away, within {})",
                fit.reference.dye,
                reasons::rounded(fit.tolerance, 3)
            )
        })
        .collect();
    format!(
        "{read}, which fits {}; neither Rf nor colour tells them apart.",
        reasons::all_of(&named)
    )
}

/// What a reader must know of the correction.
fn caveats(value: Value, correction: &Correction) -> Vec<String> {
    let mut sentences = Vec::new();
    if value.extrapolated {
        sentences
            .push("The spot lies outside the standards, so its correction is extrapolated.".into());
    }
    sentences.extend(correction.refused.iter().map(|why| reasons::sentence(why)));
    if correction.is_none() && correction.refused.is_empty() {
        sentences.push("No standard ran beside the lane.".into());
    }
    sentences
}
