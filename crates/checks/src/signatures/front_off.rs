//! The front marked late, low, or measured from the paper's edge.

use super::model::{Fit, Model, Remedy};
use super::standards::Standards;

/// Fronts off by one length with right spot distances: all Rf are off by one factor, most near the
/// front. Marked late (the liquid ran on) or measured from the edge: too long; marked low: too short.
pub(crate) const MODEL: Model = Model {
    id: "front-off",
    why: "The front marked late or low, or from the edge: all Rf are off by one factor.",
    habit: true,
    fit,
};

/// How far fronts are off when they are, cm.
const USUAL_CM: f64 = 1.0;
/// Less is a matter of reading.
const LEAST_CM: f64 = 0.2;
/// More is another mistake.
const MOST_CM: f64 = 4.0;

fn fit(standards: &Standards<'_>) -> Option<Fit> {
    // With the recorded front F' = F + δ:  Rf' = Rf - Rf δ / F'
    let effect = |s: &super::standards::Standard<'_>| -s.expected_rf() / s.front_cm;
    let (evidence, size) = standards.shifted(effect, USUAL_CM)?;
    (LEAST_CM..=MOST_CM)
        .contains(&size.cm.abs())
        .then_some(Fit {
            evidence,
            size: Some(size),
            remedy: Remedy::Lengths {
                off_distance_cm: 0.0,
                off_front_cm: size.cm,
            },
        })
}

#[cfg(test)]
mod tests {
    use crate::example::Example;

    #[test]
    fn a_front_marked_late_names_both_explanations() {
        let example = Example::clean().measured("1", |d, f| (d, f + 1.0));
        assert_eq!(
            example.signature_names(),
            [("front-off", vec!["1".to_owned()])]
        );
        let checks = example.all();
        let check = checks
            .iter()
            .find(|check| check.check == "front-off")
            .unwrap();
        assert!(check.message.contains("marked late"), "{check:?}");
        assert!(
            check.alternatives[0].contains("from the paper's edge"),
            "{check:?}"
        );
    }

    #[test]
    fn a_front_off_by_a_reading_does_not_fire() {
        assert!(
            Example::clean()
                .measured("1", |d, f| (d, f + 0.08))
                .signatures()
                .is_empty()
        );
    }
}
