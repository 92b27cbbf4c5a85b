//! Spot distances alone too long or too short by one length.

use super::model::{Fit, Model, Remedy};
use super::standards::Standards;

/// Spot distances from the edge while fronts are from the start line, or to the spot's leading edge
/// instead of its centre: all Rf are off by the same amount.
pub(crate) const MODEL: Model = Model {
    id: "spot-off-centre",
    why: "Spot distances alone from the edge, or to the spot's rim: one amount on all Rf.",
    habit: true,
    fit,
};

/// How far spot distances are off when they are, cm.
const USUAL_CM: f64 = 0.7;
/// Less is a matter of reading.
const LEAST_CM: f64 = 0.1;
/// More is another mistake.
const MOST_CM: f64 = 4.0;

fn fit(standards: &Standards<'_>) -> Option<Fit> {
    let (evidence, size) = standards.shifted(|standard| 1.0 / standard.front_cm, USUAL_CM)?;
    (LEAST_CM..=MOST_CM)
        .contains(&size.cm.abs())
        .then_some(Fit {
            evidence,
            size: Some(size),
            remedy: Remedy::Lengths {
                off_distance_cm: size.cm,
                off_front_cm: 0.0,
            },
        })
}

#[cfg(test)]
mod tests {
    use crate::example::Example;

    #[test]
    fn spots_from_the_edge_fire_and_the_rf_if_so_is_given() {
        let example = Example::clean().measured("1", |d, f| (d + 1.5, f));
        let found = example.signatures();
        assert_eq!(found[0].model, "spot-off-centre", "{found:#?}");
        let red = found[0].spots.iter().find(|spot| spot.lane == 4).unwrap();
        assert!(
            (red.rf - 0.594).abs() < 1e-3 && (red.rf_if_so - 0.405).abs() < 0.01,
            "{red:?}"
        );
    }

    #[test]
    fn a_shift_of_the_whole_paper_within_its_spread_does_not_fire() {
        // 0.012 of Rf, where papers differ by 0.010 and sessions by 0.015.
        assert!(
            Example::clean()
                .measured("1", |d, f| (d + 0.012 * f, f))
                .signatures()
                .is_empty()
        );
    }
}
