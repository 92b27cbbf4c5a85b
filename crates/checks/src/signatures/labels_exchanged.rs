//! Two lanes with each other's label.

use super::diagnosis::CLEARLY;
use super::model::{Fit, Model, Remedy};
use super::standards::Standards;

/// Two dyes spotted in each other's lane, or two labels exchanged in the table.
pub(crate) const MODEL: Model = Model {
    id: "labels-exchanged",
    why: "Two dyes in each other's lane: each value fits the other's label.",
    habit: false,
    fit,
};

#[expect(clippy::cast_precision_loss, reason = "a paper has few lanes")]
fn fit(standards: &Standards<'_>) -> Option<Fit> {
    let count = standards.len();
    let pairs = (0..count).flat_map(|a| (a + 1..count).map(move |b| (a, b)));
    // Any of the pairs might have been: the choice among them is part of the cost.
    let cost = ((count * count.saturating_sub(1) / 2).max(1) as f64).ln();
    if standards.room() - cost < CLEARLY {
        return None;
    }
    let exchanged = |a: usize, b: usize| {
        standards.reordered(|i| {
            Some(match i {
                i if i == a => b,
                i if i == b => a,
                i => i,
            })
        })
    };
    let (evidence, (a, b)) = pairs
        .map(|(a, b)| (exchanged(a, b), (a, b)))
        .max_by(|one, other| one.0.total_cmp(&other.0))?;
    let lanes = [(a, b), (b, a)].map(|(at, of)| {
        (
            standards.all[at].lane.lane,
            Some(standards.all[of].lane.lane),
        )
    });
    Some(Fit {
        evidence: evidence - cost,
        size: None,
        remedy: Remedy::Relabelled {
            lanes: lanes.to_vec(),
        },
    })
}

#[cfg(test)]
mod tests {
    use crate::example::Example;

    #[test]
    fn the_two_exchanged_lanes_are_named() {
        let example = Example::clean().with(|e| {
            let (one, other) = (
                e.sheet.lanes[0].label.clone(),
                e.sheet.lanes[3].label.clone(),
            );
            e.sheet.lanes[0].label = other;
            e.sheet.lanes[3].label = one;
        });
        let found = example.signatures();
        assert_eq!(
            found[0].exchanged_lanes(),
            Some(("1", [1, 4])),
            "{found:#?}"
        );
    }

    #[test]
    fn labels_in_their_place_do_not_fire() {
        assert!(Example::clean().signatures().is_empty());
    }
}
