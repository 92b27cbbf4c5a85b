//! One spot against every assigned value.

use dyebook_plugin::strategy::{
    Candidate, ColourVerdict, Decision, Reference, Spot, SpotAnswer, reasons,
};

use crate::Nearest;
use crate::distance::{Basis, spread, standardised};

struct Fit<'a> {
    reference: &'a Reference,
    candidate: Candidate,
    z: f64,
}

impl Nearest {
    pub(crate) fn judge(&self, spot: &Spot, rf: f64) -> SpotAnswer {
        let all = self.distances(spot, rf);
        let (mut fits, far): (Vec<_>, Vec<_>) = all
            .into_iter()
            .partition(|fit| fit.z.abs() <= self.config.cut_off);
        // Stable: within both halves the nearest stays first.
        fits.sort_by_key(Fit::excluded);
        let allowed = fits.iter().take_while(|fit| !fit.excluded()).count();
        let (allowed, excluded) = fits.split_at(allowed);
        let (decision, mut sentences) = match allowed {
            [] => (
                Decision::NotInReferenceSet,
                self.nothing(spot, rf, excluded, &far),
            ),
            [best, others @ ..] => self.decide(spot, rf, best, others),
        };
        sentences.extend(excluded.iter().map(|fit| {
            let colour = reasons::colour_words(spot, fit.candidate.colour, fit.reference);
            format!(
                "{} also lies within the cut-off; excluded by colour only ({colour}).",
                fit.reference.dye
            )
        }));
        sentences.extend(reasons::tail_note(
            spot,
            allowed.first().map(|fit| fit.reference),
        ));
        let candidates = fits.into_iter().map(|fit| fit.candidate).collect();
        SpotAnswer::new(spot, decision, candidates, sentences.join(" "))
    }

    /// The nearest reference of every dye, nearest first.
    fn distances(&self, spot: &Spot, rf: f64) -> Vec<Fit<'_>> {
        let u = spot.u.unwrap_or(0.0);
        let mut fits: Vec<Fit<'_>> = self
            .set
            .references
            .iter()
            .map(|reference| {
                let colour = self
                    .colours
                    .judge(spot.colour.as_deref(), &reference.colours);
                let candidate = Candidate::new(reference, rf, colour);
                Fit {
                    reference,
                    candidate,
                    z: standardised(rf, u, reference),
                }
            })
            .collect();
        fits.sort_by(|a, b| {
            a.z.abs()
                .total_cmp(&b.z.abs())
                .then_with(|| a.reference.dye.cmp(&b.reference.dye))
        });
        let mut seen: Vec<&str> = Vec::new();
        fits.retain(|fit| {
            let new = !seen.contains(&fit.reference.dye.as_str());
            seen.push(&fit.reference.dye);
            new
        });
        fits
    }

    fn decide(
        &self,
        spot: &Spot,
        rf: f64,
        best: &Fit<'_>,
        others: &[Fit<'_>],
    ) -> (Decision, Vec<String>) {
        let gap = self.config.gap;
        let close = |fit: &&Fit<'_>| fit.z.abs() - best.z.abs() < gap;
        let near: Vec<String> = others.iter().take_while(close).map(Fit::named).collect();
        let mut sentences = vec![best.describe(spot, rf)];
        if near.is_empty() {
            sentences.extend(
                others.first().map(|next| {
                    format!("The next is {}, at least {gap} farther away.", next.named())
                }),
            );
            return (Decision::Identified, sentences);
        }
        sentences.push(format!(
            "{} less than {gap} standard deviations farther away, which is too close to tell apart.",
            match near.as_slice() {
                [only] => format!("{only} is"),
                several => format!("{} are", reasons::all_of(several)),
            }
        ));
        (Decision::Indistinguishable, sentences)
    }

    fn nothing(&self, spot: &Spot, rf: f64, excluded: &[Fit<'_>], far: &[Fit<'_>]) -> Vec<String> {
        let cut_off = self.config.cut_off;
        let rf_words = reasons::rounded(rf, 2);
        let mut sentences = vec![match (excluded, far) {
            ([], [nearest, ..]) => format!(
                "Rf {rf_words} is more than {cut_off} standard deviations away from every assigned \
                 value; the nearest is {}.",
                nearest.named()
            ),
            _ => format!("At Rf {rf_words} no dye fits by both Rf and colour."),
        }];
        sentences.extend(reasons::minor_spot_note(
            spot,
            rf,
            &self.set.references,
            &self.colours,
        ));
        sentences
    }
}

impl Fit<'_> {
    fn excluded(&self) -> bool {
        self.candidate.colour == ColourVerdict::Disagrees
    }

    /// `allura-red-ac (0.41, 1.2 standard deviations)`
    fn named(&self) -> String {
        let centre = reasons::rounded(self.reference.centre(), 2);
        format!(
            "{} ({centre}, {} standard deviations)",
            self.reference.dye,
            reasons::rounded(self.z.abs(), 1)
        )
    }

    fn describe(&self, spot: &Spot, rf: f64) -> String {
        let reference = self.reference;
        let what = match reference.assigned_rf {
            Some(_) => "the assigned value",
            None => "the middle of the expected range",
        };
        let assumed = match spread(reference) {
            (_, Basis::Established) => String::new(),
            (s, Basis::ExpectedRange) => format!(
                ", with a standard deviation of {} taken from the width of the expected range \
                 because none is established",
                reasons::rounded(s, 3)
            ),
        };
        format!(
            "Rf {} is {} standard deviations from {what} {} of {}{assumed}; {}.",
            reasons::rounded(rf, 2),
            reasons::rounded(self.z.abs(), 1),
            reasons::rounded(reference.centre(), 2),
            reference.dye,
            reasons::colour_words(spot, self.candidate.colour, reference)
        )
    }
}
