//! Lanes counted from the other side.

use super::diagnosis::CLEARLY;
use super::model::{Fit, Model, Remedy};
use super::standards::Standards;
use std::collections::BTreeSet;

/// The paper was looked at from behind or upside down, so lane 1 is the last one.
pub(crate) const MODEL: Model = Model {
    id: "lanes-reversed",
    why: "Lanes counted from the other side: the first lane holds what belongs to the last.",
    habit: false,
    fit,
};

/// Fewer are two exchanged lanes.
const LEAST_MOVED: usize = 4;

#[expect(clippy::cast_precision_loss, reason = "a paper has few lanes")]
fn fit(standards: &Standards<'_>) -> Option<Fit> {
    // Whatever it costs: it isn't less than nothing.
    if standards.room() < CLEARLY {
        return None;
    }
    let lanes: Vec<u32> = standards
        .all
        .iter()
        .map(|standard| standard.lane.lane)
        .collect();
    // The paper may have more lanes than the sheet lists.
    let lasts: BTreeSet<u32> = std::iter::once(standards.highest_lane)
        .chain(standards.layout_lanes)
        .filter(|last| lanes.iter().all(|lane| lane <= last))
        .collect();
    let cost = (lasts.len().max(1) as f64).ln();
    if standards.room() - cost < CLEARLY {
        return None;
    }
    let mirrored = |last: u32| -> Vec<Option<usize>> {
        lanes
            .iter()
            .map(|lane| {
                let mirror = (last - lane).checked_add(1);
                lanes.iter().position(|other| Some(*other) == mirror)
            })
            .collect()
    };
    let moved = |order: &Vec<Option<usize>>| {
        order
            .iter()
            .enumerate()
            .filter(|(i, from)| from.is_some_and(|from| from != *i))
            .count()
    };
    let (evidence, order) = lasts
        .into_iter()
        .map(mirrored)
        .filter(|order| moved(order) >= LEAST_MOVED)
        .map(|order| (standards.reordered(|i| order[i]), order))
        .max_by(|one, other| one.0.total_cmp(&other.0))?;
    let pairs = order
        .iter()
        .enumerate()
        .map(|(i, from)| (lanes[i], from.map(|from| lanes[from])));
    let remedy = Remedy::Relabelled {
        lanes: pairs.collect(),
    };
    Some(Fit {
        evidence: evidence - cost,
        size: None,
        remedy,
    })
}

#[cfg(test)]
mod tests {
    use crate::example::Example;

    #[test]
    fn a_paper_looked_at_from_behind_is_told() {
        let example = Example::clean().with(|e| {
            e.method.layout.as_mut().unwrap().lanes = Some(6);
            let rows: Vec<_> = e.sheet.lanes[..6]
                .iter()
                .map(|lane| lane.rows.clone())
                .collect();
            for (lane, rows) in e.sheet.lanes[..6].iter_mut().zip(rows.into_iter().rev()) {
                lane.rows = rows;
            }
        });
        assert_eq!(
            example.signature_names(),
            [("lanes-reversed", vec!["1".to_owned()])]
        );
        let checks = example.all();
        let check = checks
            .iter()
            .find(|check| check.check == "lanes-reversed")
            .unwrap();
        assert!(
            check.message.contains("counted from the other side"),
            "{check:?}"
        );
    }

    #[test]
    fn lanes_in_their_order_do_not_fire() {
        assert!(Example::clean().signatures().is_empty());
    }
}
