//! Where everything stands on the template, for a drawing 1:1.

use super::assumed::Setting;
use serde::Serialize;

/// A template in cm from the lower left corner of the paper.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TemplateGeometry {
    /// Width of the paper.
    pub width_cm: f64,
    /// Height of the paper.
    pub height_cm: f64,
    /// Height of the start line.
    pub start_line_cm: f64,
    /// Height at which the front is stopped.
    pub stop_line_cm: f64,
    /// Where the lanes stand, symmetric about the centre.
    pub lanes_cm: Vec<f64>,
    /// Where the side margins end: from the left, from the right.
    pub margins_cm: [f64; 2],
    /// Length of the bar that shows whether the printer scaled.
    pub scale_bar_cm: f64,
    /// What stands on the template.
    pub note: &'static str,
}

/// A printed template must not be the chromatography paper: ink runs.
pub const TEMPLATE_NOTE: &str = "lay this sheet under the chromatography paper, never print on the paper itself; measure the bar: it must be 5 cm long";

/// The template, where the paper's size is known.
pub(super) fn geometry(setting: &Setting) -> Option<TemplateGeometry> {
    let (width, height) = (setting.paper_width_cm?, setting.paper_height_cm?);
    let (lanes, pitch) = (setting.lanes.value, setting.lane_pitch_cm.value);
    let first = width / 2.0 - (lanes - 1.0) / 2.0 * pitch;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a paper holds a few dozen lanes"
    )]
    let count = lanes as u32;
    Some(TemplateGeometry {
        width_cm: width,
        height_cm: height,
        start_line_cm: setting.baseline_cm.value,
        stop_line_cm: height - setting.front_margin_cm.value,
        lanes_cm: (0..count).map(|i| first + f64::from(i) * pitch).collect(),
        margins_cm: [
            setting.fold_margin_cm.value,
            width - setting.fold_margin_cm.value,
        ],
        scale_bar_cm: 5.0,
        note: TEMPLATE_NOTE,
    })
}
