//! One spot, corrected, against every assigned value: the decision and its words.

use dyebook_plugin::strategy::{Decision, Lane, Reference, Spot, SpotAnswer, reasons};

use crate::CoRun;
use crate::correction::{Correction, Value};
use crate::fits::Fit;

impl CoRun {
    pub(crate) fn judge(
        &self,
        lane: &Lane,
        spot: &Spot,
        rf: f64,
        correction: &Correction,
    ) -> SpotAnswer {
        let value = correction.apply(&self.config, rf);
        let shown = |reference: &Reference| self.shown(lane, spot, reference, correction);
        let fits = self.fits(spot, value, correction, shown);
        let split = fits.iter().take_while(|fit| !fit.excluded()).count();
        let (allowed, excluded) = fits.split_at(split);
        let read = reading(rf, value, correction);
        let (decision, mut sentences) = match allowed {
            [] => (
                Decision::NotInReferenceSet,
                self.nothing(spot, rf, &read, value, excluded),
            ),
            [best, rest @ ..] if rest.iter().all(|next| self.leads(best, next)) => {
                let mut sentences = vec![fits_one(spot, &read, best)];
                sentences.extend(rest.iter().map(|next| self.far_less(next)));
                (Decision::Identified, sentences)
            }
            several => (
                Decision::Indistinguishable,
                vec![fits_several(&read, several)],
            ),
        };
        sentences.extend(excluded.iter().map(|fit| {
            let colour = reasons::colour_words(spot, fit.candidate.colour, fit.reference);
            format!(
                "{} fits too and is excluded by colour only ({colour}).",
                fit.name()
            )
        }));
        sentences.extend(caveats(value, correction));
        sentences.extend(reasons::tail_note(
            spot,
            allowed.first().map(|fit| fit.reference),
        ));
        let candidates = fits.into_iter().map(|fit| fit.candidate.told()).collect();
        SpotAnswer::new(spot, decision, candidates, sentences.join(" "))
    }

    /// Whether another spot of the lane may be the main spot of a dye, so that a minor spot of it
    /// may be here.
    fn shown(
        &self,
        lane: &Lane,
        spot: &Spot,
        reference: &Reference,
        correction: &Correction,
    ) -> bool {
        let others = lane.spots.iter().filter(|other| other.spot != spot.spot);
        others
            .filter_map(|other| Some((other, reasons::evaluable(other).ok()?)))
            .any(|(other, rf)| {
                let value = correction.apply(&self.config, rf);
                self.main_fit(other, reference, value, correction)
                    .is_some_and(|fit| !fit.excluded())
            })
    }

    /// Whether a spot fits one place so much better than another that the other doesn't count: the
    /// ratio of their normal densities.
    fn leads(&self, best: &Fit<'_>, next: &Fit<'_>) -> bool {
        let squared = |fit: &Fit<'_>| (self.config.k * fit.off()).powi(2);
        squared(next) - squared(best) >= 2.0 * self.config.lead.ln()
    }

    fn far_less(&self, next: &Fit<'_>) -> String {
        format!(
            "{}, {} away, is within its {} too and fits more than {} times worse.",
            next.name(),
            reasons::rounded(next.candidate.rf_difference.abs(), 3),
            reasons::rounded(next.tolerance, 3),
            self.config.lead
        )
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
        fit.name(),
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
                fit.name(),
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
