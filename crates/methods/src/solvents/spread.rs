//! How far a spot of a dye strays from its expected value in one method.

use dyebook_documents::Reference;
use serde::Serialize;

/// How far a spot strays, with and without bridging.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SpotSpread {
    /// Standard deviation against the method's reference.
    pub library: f64,
    /// Standard deviation after the paper's offset is taken out with two bridging lanes.
    pub bridged: Option<f64>,
    /// Where the numbers are from.
    pub from: &'static str,
}

/// An expected range holds about 95 % of the spots: two standard deviations to each side.
const SDS_IN_HALF_RANGE: f64 = 2.0;

/// How far a spot of a dye strays.
///
/// # Formula
/// ```text
/// library  s = √(s_w² + s_P² + s_S²)            bridged  s = s_w · √(1 + 1/2)
/// ```
/// Bridging with two known spots of the same paper leaves the spot's own spread and that of the
/// mean of two; it assumes that a paper shifts all spots alike. Where the method states no
/// standard deviations, half the half-width of the expected range stands for the first.
///
/// # Source
/// Sum of independent variances; worked example 0.01/0.02/0.02: 0.030 and 0.0122.
pub(super) fn spot_spread(reference: &Reference) -> SpotSpread {
    let sd = reference.sd;
    let bridged = sd
        .and_then(|sd| sd.within_paper)
        .filter(|within| *within > 0.0)
        .map(|within| within * 1.5_f64.sqrt());
    let stated = sd.and_then(|sd| sd.intermediate()).filter(|s| *s > 0.0);
    match stated {
        Some(library) => SpotSpread {
            library,
            bridged,
            from: "standard deviations of the method",
        },
        None => SpotSpread {
            library: (reference.expected_rf.width() / 2.0 / SDS_IN_HALF_RANGE).max(1e-6),
            bridged,
            from: "expected range (half of its half-width)",
        },
    }
}

#[cfg(test)]
mod tests {
    use super::spot_spread;
    use serde_json::json;

    #[test]
    fn bridging_leaves_the_spread_within_the_paper() {
        // Worked example (calculated): library 0.030, two bridging spots 0.0122.
        let reference = serde_json::from_value(json!({"dye": "a",
            "expected_rf": {"low": 0.4, "high": 0.5},
            "sd": {"within_paper": 0.01, "between_papers": 0.02, "between_sessions": 0.02}}))
        .unwrap();
        let spread = spot_spread(&reference);
        assert!((spread.library - 0.030).abs() < 1e-9);
        assert!((spread.bridged.unwrap() - 0.0122).abs() < 5e-5);
        let bare =
            serde_json::from_value(json!({"dye": "a", "expected_rf": {"low": 0.4, "high": 0.5}}))
                .unwrap();
        assert!((spot_spread(&bare).library - 0.025).abs() < 1e-12);
    }
}
