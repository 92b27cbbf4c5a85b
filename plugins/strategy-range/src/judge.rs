//! One spot against every expected range.

use dyebook_plugin::strategy::{
    Candidate, ColourVerdict, Decision, Reference, RfRange, Spot, SpotAnswer, reasons,
};

use crate::Range;

/// A thousandth of what any ruler shows: an Rf on the very end of a range is inside although the
/// end was worked out in binary.
const ON_THE_END: f64 = 1e-9;

struct Fit<'a> {
    reference: &'a Reference,
    candidate: Candidate,
}

impl Range {
    pub(crate) fn judge(&self, spot: &Spot, rf: f64) -> SpotAnswer {
        let widening = self.config.k * spot.u.unwrap_or(0.0);
        let mut fits: Vec<Fit<'_>> = self
            .set
            .references
            .iter()
            .filter(|reference| {
                let RfRange { low, high } = reference.expected_rf;
                low - widening - ON_THE_END <= rf && rf <= high + widening + ON_THE_END
            })
            .map(|reference| {
                let colour = self
                    .colours
                    .judge(spot.colour.as_deref(), &reference.colours);
                Fit {
                    reference,
                    candidate: Candidate::new(reference, rf, colour),
                }
            })
            .collect();
        fits.sort_by(|a, b| {
            let (a, b) = (&a.candidate, &b.candidate);
            a.colour
                .cmp(&b.colour)
                .then(a.rf_difference.abs().total_cmp(&b.rf_difference.abs()))
                .then_with(|| a.dyes.cmp(&b.dyes))
        });
        let allowed = fits.iter().take_while(|fit| !fit.excluded()).count();
        let (allowed, excluded) = fits.split_at(allowed);
        let mut dyes: Vec<&str> = allowed
            .iter()
            .map(|fit| fit.reference.dye.as_str())
            .collect();
        dyes.sort_unstable();
        dyes.dedup();
        let (decision, mut sentences) = match (allowed, dyes.as_slice()) {
            ([], _) => (
                Decision::NotInReferenceSet,
                self.nothing(spot, rf, excluded),
            ),
            ([best, ..], [_]) => (Decision::Identified, vec![self.lies_in(spot, rf, best)]),
            (several, _) => (Decision::Indistinguishable, vec![Self::all_in(rf, several)]),
        };
        sentences.extend(also_in_range(spot, excluded));
        sentences.extend(reasons::tail_note(
            spot,
            allowed.first().map(|fit| fit.reference),
        ));
        let candidates = fits.into_iter().map(|fit| fit.candidate).collect();
        SpotAnswer::new(spot, decision, candidates, sentences.join(" "))
    }

    fn lies_in(&self, spot: &Spot, rf: f64, fit: &Fit<'_>) -> String {
        let range = fit.reference.expected_rf;
        let (rf_words, range_words) = reasons::rf_beside(rf, range);
        let colour = reasons::colour_words(spot, fit.candidate.colour, fit.reference);
        let dye = &fit.reference.dye;
        if range.low - ON_THE_END <= rf && rf <= range.high + ON_THE_END {
            return format!(
                "Rf {rf_words} lies in the expected range {range_words} of {dye}; {colour}."
            );
        }
        let (k, u) = (self.config.k, spot.u.unwrap_or(0.0));
        format!(
            "Rf {rf_words} lies outside the expected range {range_words} of {dye}, but within {} \
             of it, which is {k} times the reading uncertainty {}; {colour}.",
            reasons::rounded(k * u, 3),
            reasons::rounded(u, 3),
        )
    }

    fn all_in(rf: f64, fits: &[Fit<'_>]) -> String {
        let named = |fit: &Fit<'_>| {
            let (_, range) = reasons::rf_beside(rf, fit.reference.expected_rf);
            format!("{} ({range})", fit.reference.dye)
        };
        let names: Vec<String> = fits.iter().map(named).collect();
        format!(
            "Rf {} fits the expected ranges of {}; neither Rf nor colour tells them apart.",
            reasons::rounded(rf, 2),
            reasons::all_of(&names)
        )
    }

    fn nothing(&self, spot: &Spot, rf: f64, excluded: &[Fit<'_>]) -> Vec<String> {
        let mut sentences = Vec::new();
        if excluded.is_empty() {
            sentences.push(self.nearest_range(rf));
        } else {
            let rf = reasons::rounded(rf, 2);
            sentences.push(format!("At Rf {rf} no dye fits by both Rf and colour."));
        }
        sentences.extend(reasons::minor_spot_note(
            spot,
            rf,
            &self.set.references,
            &self.colours,
        ));
        sentences
    }

    fn nearest_range(&self, rf: f64) -> String {
        let outside = |range: RfRange| (range.low - rf).max(rf - range.high);
        let nearest = self.set.references.iter().min_by(|a, b| {
            outside(a.expected_rf)
                .total_cmp(&outside(b.expected_rf))
                .then(a.dye.cmp(&b.dye))
        });
        nearest.map_or_else(String::new, |nearest| {
            let (rf_words, range) = reasons::rf_beside(rf, nearest.expected_rf);
            format!(
                "Rf {rf_words} lies in no expected range; the nearest is {range} of {}, {} away.",
                nearest.dye,
                reasons::rounded(outside(nearest.expected_rf), 3)
            )
        })
    }
}

impl Fit<'_> {
    fn excluded(&self) -> bool {
        self.candidate.colour == ColourVerdict::Disagrees
    }
}

/// `X also lies in range; excluded by colour only …`
fn also_in_range(spot: &Spot, excluded: &[Fit<'_>]) -> Option<String> {
    let also = |fit: &Fit<'_>| {
        let colour = reasons::colour_words(spot, fit.candidate.colour, fit.reference);
        format!(
            "{} also lies in range; excluded by colour only ({colour}).",
            fit.reference.dye
        )
    };
    let sentences: Vec<String> = excluded.iter().map(also).collect();
    (!sentences.is_empty()).then(|| sentences.join(" "))
}
