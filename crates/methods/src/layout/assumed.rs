//! What a layout takes for granted where the method says nothing.

use dyebook_documents::Method;
use serde::Serialize;

/// A length or number with where it is from.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Assumed {
    /// The value.
    pub value: f64,
    /// `method`, or `common practice, no source`.
    pub from: &'static str,
}

/// The mark of what no source backs.
pub const COMMON_PRACTICE: &str = "common practice, no source";

/// Start line above the lower edge, cm (common practice, no source).
pub const USUAL_BASELINE_CM: f64 = 1.0;
/// Marks on a paper (common practice, no source).
pub const USUAL_LANES: f64 = 5.0;
/// Distance between marks, counted from the centre, cm (common practice, no source).
pub const USUAL_PITCH_CM: f64 = 1.5;
/// Fold margin, cm: 2.5 to 3, the smaller one (common practice, no source).
pub const USUAL_FOLD_MARGIN_CM: f64 = 2.5;
/// Liquid in the chamber, mL: 30 to 40, the larger one (common practice, no source).
pub const USUAL_VOLUME_ML: f64 = 40.0;
/// Front is stopped so far below the upper edge, cm (common practice, no source).
pub const USUAL_FRONT_MARGIN_CM: f64 = 2.0;

/// A paper and chamber with everything that the method leaves out filled in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Setting {
    /// Width of the paper, cm; `None` where the method doesn't say.
    pub paper_width_cm: Option<f64>,
    /// Height of the paper, cm; `None` where the method doesn't say.
    pub paper_height_cm: Option<f64>,
    /// Start line above the lower edge, cm.
    pub baseline_cm: Assumed,
    /// Lanes.
    pub lanes: Assumed,
    /// Distance between lanes, cm.
    pub lane_pitch_cm: Assumed,
    /// Margin at folds and sides, cm.
    pub fold_margin_cm: Assumed,
    /// How far below the upper edge the front is stopped, cm.
    pub front_margin_cm: Assumed,
    /// Most liquid in the chamber, mL.
    pub volume_ml: Assumed,
    /// Inner diameter of the chamber, cm; `None` where the method doesn't say.
    pub inner_diameter_cm: Option<f64>,
}

/// The method's own numbers, and the usual ones for what it leaves out.
pub(super) fn setting(method: &Method) -> Setting {
    let layout = method.layout.as_ref();
    let chamber = method.chamber.as_ref();
    let or_usual = |own: Option<f64>, usual: f64| match own {
        Some(value) => Assumed {
            value,
            from: "method",
        },
        None => Assumed {
            value: usual,
            from: COMMON_PRACTICE,
        },
    };
    Setting {
        paper_width_cm: layout.and_then(|l| l.paper_width_cm),
        paper_height_cm: layout.and_then(|l| l.paper_height_cm),
        baseline_cm: or_usual(layout.and_then(|l| l.baseline_cm), USUAL_BASELINE_CM),
        lanes: or_usual(layout.and_then(|l| l.lanes).map(f64::from), USUAL_LANES),
        lane_pitch_cm: or_usual(layout.and_then(|l| l.lane_pitch_cm), USUAL_PITCH_CM),
        fold_margin_cm: or_usual(layout.and_then(|l| l.fold_margin_cm), USUAL_FOLD_MARGIN_CM),
        front_margin_cm: or_usual(
            layout.and_then(|l| l.front_margin_cm),
            USUAL_FRONT_MARGIN_CM,
        ),
        volume_ml: or_usual(
            chamber.and_then(|c| c.volume_ml).map(|v| v.high),
            USUAL_VOLUME_ML,
        ),
        inner_diameter_cm: chamber.and_then(|c| c.inner_diameter_cm),
    }
}
