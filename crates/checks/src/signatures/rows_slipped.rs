//! Values that stand one lane too high or too low.

use super::diagnosis::CLEARLY;
use super::model::{Fit, Model, Remedy};
use super::standards::Standards;

/// A row left out or entered twice: from there on every value stands in the neighbour's lane.
pub(crate) const MODEL: Model = Model {
    id: "rows-slipped",
    why: "A row left out or entered twice: from there on values stand in the neighbour's lane.",
    habit: false,
    fit,
};

/// Fewer are two exchanged lanes or one stray value.
const LEAST_SLIPPED: usize = 3;

#[expect(clippy::cast_precision_loss, reason = "a paper has few lanes")]
fn fit(standards: &Standards<'_>) -> Option<Fit> {
    let slips = slips(standards);
    let cost = (slips.len().max(1) as f64).ln();
    if standards.room() - cost < CLEARLY {
        return None;
    }
    let (evidence, order) = slips
        .into_iter()
        .map(|order| (standards.reordered(|i| order[i]), order))
        .max_by(|one, other| one.0.total_cmp(&other.0))?;
    let lane = |i: usize| standards.all[i].lane.lane;
    let moved = order
        .iter()
        .enumerate()
        .filter(|(i, from)| **from != Some(*i));
    let lanes = moved.map(|(i, from)| (lane(i), from.map(lane))).collect();
    Some(Fit {
        evidence: evidence - cost,
        size: None,
        remedy: Remedy::Relabelled { lanes },
    })
}

/// All ways to slip: for each value the lane it belongs to. Values that belong to a lane without a
/// standard, and the odd one at the end, may be anything.
fn slips(standards: &Standards<'_>) -> Vec<Vec<Option<usize>>> {
    let count = standards.len();
    let next_to = |one: usize, other: usize| {
        let (one, other) = (standards.all[one].lane.lane, standards.all[other].lane.lane);
        one.checked_add(1) == Some(other)
    };
    let above = |i: usize| (i + 1 < count && next_to(i, i + 1)).then_some(i + 1);
    let below = |i: usize| (i > 0 && next_to(i - 1, i)).then(|| i - 1);
    let mut slips: Vec<Vec<Option<usize>>> = vec![];
    for start in 0..count {
        // A row left out at `start`: what stands there is of the next lane. A row too many: what
        // stands there is anything, what follows is of the lane before.
        let left_out = (0..count).map(|i| if i < start { Some(i) } else { above(i) });
        let too_many = (0..count).map(|i| match i {
            i if i < start => Some(i),
            i if i == start => None,
            i => below(i),
        });
        slips.extend([left_out.collect(), too_many.collect::<Vec<_>>()]);
    }
    if (1..count).all(|i| next_to(i - 1, i)) {
        slips.push((0..count).map(|i| Some((i + 1) % count)).collect());
        slips.push((0..count).map(|i| Some((i + count - 1) % count)).collect());
    }
    let slipped = |order: &Vec<Option<usize>>| {
        order
            .iter()
            .enumerate()
            .filter(|(i, from)| from.is_some_and(|from| from != *i))
            .count()
    };
    slips.retain(|order| slipped(order) >= LEAST_SLIPPED);
    slips
}

#[cfg(test)]
mod tests {
    use crate::example::Example;

    /// Distances of paper 1 taken from the lanes named, lane by lane.
    fn taken_from(lanes: [usize; 6]) -> Example {
        Example::clean().with(|e| {
            let rows: Vec<_> = e.sheet.lanes.iter().map(|lane| lane.rows.clone()).collect();
            for (at, from) in lanes.into_iter().enumerate() {
                e.sheet.lanes[at].rows = rows[from].clone();
            }
        })
    }

    #[test]
    fn a_row_left_out_is_told() {
        let example = taken_from([0, 2, 3, 4, 5, 5]);
        assert_eq!(
            example.signature_names(),
            [("rows-slipped", vec!["1".to_owned()])]
        );
        let checks = example.all();
        let check = checks
            .iter()
            .find(|check| check.check == "rows-slipped")
            .unwrap();
        assert!(
            check
                .message
                .contains("lane 2 holds what belongs to lane 3"),
            "{check:?}"
        );
    }

    #[test]
    fn a_row_entered_twice_is_told() {
        let example = taken_from([0, 0, 1, 2, 3, 4]);
        assert_eq!(
            example.signature_names(),
            [("rows-slipped", vec!["1".to_owned()])]
        );
    }

    #[test]
    fn rows_in_their_place_do_not_fire() {
        assert!(taken_from([0, 1, 2, 3, 4, 5]).signatures().is_empty());
    }
}
