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
    // Whatever it costs: it isn't less than nothing.
    if standards.room() < CLEARLY {
        return None;
    }
    let slips = || slips(standards).filter(|slip| slip.moves(standards) >= LEAST_SLIPPED);
    let cost = (slips().count().max(1) as f64).ln();
    if standards.room() - cost < CLEARLY {
        return None;
    }
    let (evidence, slip) = slips()
        .map(|slip| (standards.reordered(|i| slip.of(standards, i)), slip))
        .max_by(|one, other| one.0.total_cmp(&other.0))?;
    let lane = |i: usize| standards.all[i].lane.lane;
    let moved = (0..standards.len())
        .map(|i| (i, slip.of(standards, i)))
        .filter(|(i, from)| *from != Some(*i));
    let lanes = moved.map(|(i, from)| (lane(i), from.map(lane))).collect();
    Some(Fit {
        evidence: evidence - cost,
        size: None,
        remedy: Remedy::Relabelled { lanes },
    })
}

/// One way to slip.
#[derive(Debug, Clone, Copy)]
enum Slip {
    /// A row left out at this place: what stands there is of the next lane.
    LeftOut(usize),
    /// A row too many: what stands there is anything, what follows is of the lane before.
    TooMany(usize),
    /// All values so many lanes further, the last ones first.
    Around(usize),
}

impl Slip {
    /// The lane that the value of a lane belongs to. Values that belong to a lane without a
    /// standard, and the odd one at the end, may be anything.
    fn of(self, standards: &Standards<'_>, i: usize) -> Option<usize> {
        let count = standards.len();
        match self {
            Self::LeftOut(start) | Self::TooMany(start) if i < start => Some(i),
            Self::LeftOut(_) => (i + 1 < count && follows(standards, i)).then_some(i + 1),
            Self::TooMany(start) if i == start => None,
            Self::TooMany(_) => (i > 0 && follows(standards, i - 1)).then(|| i - 1),
            Self::Around(by) => Some((i + by) % count),
        }
    }

    /// How many values would belong to another lane that is known.
    fn moves(self, standards: &Standards<'_>) -> usize {
        let of = |i: &usize| self.of(standards, *i).is_some_and(|from| from != *i);
        (0..standards.len()).filter(of).count()
    }
}

/// All ways to slip.
fn slips(standards: &Standards<'_>) -> impl Iterator<Item = Slip> {
    let count = standards.len();
    let around = count > 0 && (1..count).all(|i| follows(standards, i - 1));
    let around = around.then(|| [Slip::Around(1), Slip::Around(count - 1)]);
    let each = (0..count).flat_map(|start| [Slip::LeftOut(start), Slip::TooMany(start)]);
    each.chain(around.into_iter().flatten())
}

/// Whether a standard stands in the lane before the next one's.
fn follows(standards: &Standards<'_>, i: usize) -> bool {
    let (one, other) = (&standards.all[i], &standards.all[i + 1]);
    one.lane.lane.checked_add(1) == Some(other.lane.lane)
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
