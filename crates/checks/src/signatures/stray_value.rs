//! One value that may be anything.

use super::diagnosis::FAINTLY;
use super::model::{Fit, Model, Remedy};
use super::standards::Standards;

/// One standard that is off by itself is no habit of measuring. It stands among the models so that
/// a single mistyped distance is not called a paper measured from its edge; it is reported where
/// standards are held against their ranges.
pub(crate) const MODEL: Model = Model {
    id: "stray-value",
    why: "One value off by itself, which no habit of measuring explains.",
    habit: false,
    fit,
};

#[expect(clippy::cast_precision_loss, reason = "a paper has few lanes")]
fn fit(standards: &Standards<'_>) -> Option<Fit> {
    let cost = (standards.len().max(1) as f64).ln();
    if standards.room() - cost < FAINTLY {
        return None;
    }
    let (evidence, at) = (0..standards.len())
        .map(|at| (standards.reordered(|i| (i != at).then_some(i)), at))
        .max_by(|one, other| one.0.total_cmp(&other.0))?;
    let remedy = Remedy::Stray {
        lane: standards.all[at].lane.lane,
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
    fn one_mistyped_distance_is_no_habit() {
        let example =
            Example::clean().row("1", 2, |row| row.distance = Some("2.60".parse().unwrap()));
        assert!(example.signatures().is_empty());
        let checks = example.all();
        assert!(
            checks
                .iter()
                .any(|check| check.check == "standard-outside-range"),
            "{checks:#?}"
        );
    }
}
