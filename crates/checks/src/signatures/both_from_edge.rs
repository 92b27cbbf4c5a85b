//! Distances and fronts both measured from the paper's edge.

use super::model::{Fit, Model, Remedy};
use super::standards::Standards;

/// Both distances too long by the same length e: Rf = (d + e) / (F + e), so 1 - Rf shrinks by one
/// factor and a spot near the start line is off by most.
pub(crate) const MODEL: Model = Model {
    id: "both-from-edge",
    why: "Both distances from the paper's edge: 1 - Rf is too small by one factor.",
    habit: true,
    fit,
};

/// Heights of start lines that occur, cm.
const USUAL_CM: f64 = 1.5;
/// Below this a start line is no start line, and above no paper of a class has one.
const POSSIBLE_CM: std::ops::RangeInclusive<f64> = 0.3..=4.0;

fn fit(standards: &Standards<'_>) -> Option<Fit> {
    // With the recorded front F' = F + e:  Rf' = Rf + (1 - Rf) e / F'
    let effect = |s: &super::standards::Standard<'_>| (1.0 - s.expected_rf()) / s.front_cm;
    let (evidence, size) = standards.shifted(effect, USUAL_CM)?;
    POSSIBLE_CM.contains(&size.cm).then_some(Fit {
        evidence,
        size: Some(size),
        remedy: Remedy::Lengths {
            off_distance_cm: size.cm,
            off_front_cm: size.cm,
        },
    })
}

#[cfg(test)]
mod tests {
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn both_papers_measured_from_the_edge_are_one_habit() {
        let edge = |d: f64, f: f64| (d + 1.5, f + 1.5);
        let example = Example::clean().measured("1", edge).measured("2", edge);
        let found = example.signatures();
        assert_eq!(found.len(), 1, "{found:#?}");
        assert_eq!(found[0].papers, ["1", "2"]);
        assert!(
            (found[0].size_cm.unwrap() - 1.5).abs() < 3.0 * found[0].u_cm.unwrap(),
            "{found:#?}"
        );
        let checks = example.all();
        let warned: Vec<&str> = checks
            .iter()
            .filter(|check| check.severity >= Severity::Warn)
            .map(|check| check.check.as_str())
            .collect();
        assert_eq!(
            warned,
            ["both-from-edge"],
            "one cause, one warning: {checks:#?}"
        );
        assert!(
            checks[0]
                .message
                .contains("about the start line's height of 1.5 cm"),
            "{checks:#?}"
        );
    }

    #[test]
    fn a_habit_of_earlier_sheets_adds_up() {
        // 0.4 cm is too little to be told from two bridging lanes; the group's earlier sheets tell.
        let edge = |d: f64, f: f64| (d + 0.4, f + 0.4);
        let habit = Example::clean().measured("1", edge).measured("2", edge);
        let log_odds = |example: &Example| example.signatures().first().map_or(0.0, |s| s.log_odds);
        let alone = log_odds(&habit);
        let earlier = vec![habit.evaluated(), habit.evaluated()];
        let pooled = habit.with(|e| e.group_sheets = earlier);
        assert!(
            log_odds(&pooled) > alone + 1.0,
            "{alone} {}",
            log_odds(&pooled)
        );
    }

    #[test]
    fn a_clean_sheet_does_not_fire() {
        assert!(Example::clean().signatures().is_empty());
    }
}
