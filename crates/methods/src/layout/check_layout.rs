//! Does the paper of a method work, what binds, and what would.

use super::assumed::{Setting, setting};
use super::constraints::{Constraint, LayoutQuestion, constraints};
use super::depth::depth_cm;
use super::geometry::{TemplateGeometry, geometry};
use super::lanes_that_fit::lanes_that_fit;
use dyebook_documents::Method;
use dyebook_statistics::planar::retardation_factor_uncertainty;
use serde::Serialize;

/// Whether a method's paper works.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LayoutAnswer {
    /// The method version.
    pub method: String,
    /// The numbers used, each with where it is from.
    pub setting: Setting,
    /// Whether every constraint that can be judged holds.
    pub works: bool,
    /// The constraints.
    pub constraints: Vec<Constraint>,
    /// The one that binds: violated the most, or with the least room.
    pub binding: Option<&'static str>,
    /// Depth of the liquid, cm.
    pub depth_cm: Option<f64>,
    /// Lanes that fit at this pitch.
    pub lanes_that_fit: Option<u32>,
    /// Largest pitch at which the lanes fit, cm.
    pub largest_pitch_cm: Option<f64>,
    /// Longest run, cm.
    pub run_cm: Option<f64>,
    /// Standard uncertainty of an Rf of 0.25, 0.5 and 0.75 at the longest run.
    pub u_rf: Option<[f64; 3]>,
    /// Rf gap at which two spots just touch at the longest run.
    pub touching_gap_rf: Option<f64>,
    /// What would mend or improve it.
    pub suggestions: Vec<String>,
    /// The template.
    pub template: Option<TemplateGeometry>,
}

/// Reading a ruler, cm, where the method doesn't say (common practice, no source).
const USUAL_READING_CM: f64 = 0.05;

/// Whether a method's paper works.
///
/// # Shape and units
/// Lengths in cm, volumes in mL. What the method leaves out is taken from common practice and
/// marked so; what has no common practice (the paper's size, the chamber) stays unknown.
///
/// # Formula
/// ```text
/// lanes     (n−1)·p + 2·m ≤ W              start line   h ≥ V/(π·d²/4) + spot/2 + 0.3
/// pitch     p ≥ 1.5 · widest spot          run          H − h − top ≥ shortest front
/// rolled    (d − (W − gap)/π)/2 ≥ 0.3      touching     ΔRf = spot / run
/// ```
///
/// # Source
/// Geometry; the limits are common practice, no source.
pub fn check_layout(method: &Method, question: &LayoutQuestion) -> LayoutAnswer {
    let setting = setting(method);
    let front_min = method.acceptance.as_ref().and_then(|a| a.front_min_cm);
    let constraints = constraints(&setting, question, front_min);
    let binding = constraints
        .iter()
        .filter_map(|c| Some((c.room?, c.id)))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, id)| id);
    let run_cm = constraints
        .iter()
        .find(|c| c.id == "run-length")
        .and_then(|c| c.there_is);
    let run_cm = run_cm.filter(|run| *run > 0.0);
    let measuring = &method.measuring;
    let u_d = measuring.distance_sd_cm.unwrap_or(USUAL_READING_CM);
    let u_f = measuring.front_sd_cm.unwrap_or(USUAL_READING_CM);
    let u_rf = run_cm.and_then(|run| {
        let u = |rf: f64| retardation_factor_uncertainty(rf * run, run, u_d, u_f).ok();
        Some([u(0.25)?, u(0.5)?, u(0.75)?])
    });
    LayoutAnswer {
        method: method.name(),
        works: constraints.iter().all(|c| c.holds != Some(false)),
        binding,
        depth_cm: setting
            .inner_diameter_cm
            .map(|diameter| depth_cm(setting.volume_ml.value, diameter)),
        lanes_that_fit: setting.paper_width_cm.map(|width| {
            lanes_that_fit(
                width,
                setting.fold_margin_cm.value,
                setting.lane_pitch_cm.value,
            )
        }),
        largest_pitch_cm: largest_pitch(&setting),
        run_cm,
        u_rf,
        touching_gap_rf: run_cm.map(|run| question.widest_spot_cm / run),
        suggestions: suggestions(&setting, question, &constraints),
        template: geometry(&setting),
        setting,
        constraints,
    }
}

fn largest_pitch(setting: &Setting) -> Option<f64> {
    let room = setting.paper_width_cm? - 2.0 * setting.fold_margin_cm.value;
    (setting.lanes.value > 1.0 && room > 0.0).then(|| room / (setting.lanes.value - 1.0))
}

fn suggestions(
    setting: &Setting,
    question: &LayoutQuestion,
    constraints: &[Constraint],
) -> Vec<String> {
    let broken = constraints.iter().filter(|c| c.holds == Some(false));
    broken
        .flat_map(|c| match c.id {
            "lanes-fit" => lane_suggestions(setting, question),
            "pitch-against-spots" => vec![
                "smaller spots: less dye, a finer point, or fewer touches; or fewer lanes wider apart"
                    .to_owned(),
            ],
            "start-line-above-liquid" => liquid_suggestions(setting, c.needed),
            "run-length" => vec!["a higher paper, or a smaller margin at the top".to_owned()],
            _ => vec!["a narrower paper or a wider chamber".to_owned()],
        })
        .collect()
}

fn lane_suggestions(setting: &Setting, question: &LayoutQuestion) -> Vec<String> {
    let Some(width) = setting.paper_width_cm else {
        return Vec::new();
    };
    let (margin, pitch) = (setting.fold_margin_cm.value, setting.lane_pitch_cm.value);
    let mut all = vec![format!(
        "{} lanes at {pitch} cm",
        lanes_that_fit(width, margin, pitch)
    )];
    if let Some(largest) = largest_pitch(setting).filter(|p| *p >= question.widest_spot_cm) {
        // Rounded down to a millimetre: a template can't be drawn finer.
        all.push(format!(
            "a pitch of {:.1} cm",
            (largest * 10.0 + 1e-6).floor() / 10.0
        ));
    }
    let margin = (width - (setting.lanes.value - 1.0) * pitch) / 2.0;
    if margin > 0.0 {
        all.push(format!("margins of {margin:.2} cm"));
    }
    all
}

fn liquid_suggestions(setting: &Setting, needed: Option<f64>) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(needed) = needed {
        all.push(format!(
            "a start line at {:.1} cm",
            (needed * 10.0 - 1e-6).ceil() / 10.0
        ));
    }
    if let (Some(needed), Some(diameter)) = (needed, setting.inner_diameter_cm) {
        let deep = depth_cm(setting.volume_ml.value, diameter);
        let allowed = setting.baseline_cm.value - (needed - deep);
        if allowed > 0.0 {
            all.push(format!(
                "at most {:.0} mL in the chamber",
                (setting.volume_ml.value * allowed / deep).floor()
            ));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::{LayoutQuestion, check_layout};
    use crate::layout::COMMON_PRACTICE;
    use crate::test_method::{clean_method, set, unset};
    use serde_json::{Value, json};

    fn answer(edits: &[(&str, Value)], question: &LayoutQuestion) -> super::LayoutAnswer {
        let mut document = clean_method();
        for (place, value) in edits {
            set(&mut document, place, value.clone());
        }
        check_layout(&serde_json::from_value(document).unwrap(), question)
    }

    #[test]
    fn a_published_layout_stands_in_the_liquid() {
        // A student procedure: start line 1 cm, marks 1.5 cm apart, 50 mL in a 400 mL beaker; the
        // beaker's 7.5 cm are from memory. The liquid stands 1.13 cm deep.
        let edits = [
            ("/layout/baseline_cm", json!(1)),
            ("/layout/lane_pitch_cm", json!(1.5)),
            ("/chamber/volume_ml", json!({"low": 45, "high": 50})),
            ("/chamber/inner_diameter_cm", json!(7.5)),
        ];
        let found = answer(&edits, &LayoutQuestion::default());
        assert!(!found.works);
        assert_eq!(found.binding, Some("start-line-above-liquid"));
        assert!((found.depth_cm.unwrap() - 1.13).abs() < 0.005);
        assert_eq!(found.suggestions[0], "a start line at 1.6 cm");
        assert_eq!(found.suggestions[1], "at most 24 mL in the chamber");
    }

    #[test]
    fn another_published_layout_fits_to_the_last_centimetre() {
        // A student procedure: 21.5 by 11.5 cm, ten points 2 cm apart, start line 1.5 cm, 45 mL in
        // a 600 mL beaker (9 cm from memory), rolled. With margins of 2 cm only nine fit.
        let edits = |margin: f64| {
            [
                ("/layout/paper_width_cm", json!(21.5)),
                ("/layout/paper_height_cm", json!(11.5)),
                ("/layout/lanes", json!(10)),
                ("/layout/lane_pitch_cm", json!(2)),
                ("/layout/fold_margin_cm", json!(margin)),
                ("/layout/baseline_cm", json!(1.5)),
                ("/chamber/volume_ml", json!({"low": 40, "high": 45})),
                ("/chamber/inner_diameter_cm", json!(9)),
            ]
        };
        let rolled = LayoutQuestion {
            rolled: true,
            ..LayoutQuestion::default()
        };
        let tight = answer(&edits(2.0), &rolled);
        assert_eq!((tight.works, tight.lanes_that_fit), (false, Some(9)));
        assert_eq!(tight.binding, Some("lanes-fit"));
        assert!(tight.suggestions.contains(&"margins of 1.75 cm".to_owned()));
        let fits = answer(&edits(1.75), &rolled);
        assert!(fits.works, "{:?}", fits.constraints);
        assert_eq!(fits.binding, Some("lanes-fit"));
        let lanes = fits.template.unwrap().lanes_cm;
        assert!((lanes[0] - 1.75).abs() < 1e-9 && (lanes[9] - 19.75).abs() < 1e-9);
    }

    #[test]
    fn what_a_method_leaves_out_is_common_practice_and_says_so() {
        // Common practice, no source: start line 1 cm, five marks 1.5 cm apart from the centre,
        // fold margin 2.5 to 3 cm, 30 to 40 mL, stop 2 cm below the top.
        let mut document = clean_method();
        unset(&mut document, "/layout");
        unset(&mut document, "/chamber");
        set(
            &mut document,
            "/layout",
            json!({"paper_width_cm": 12, "paper_height_cm": 15}),
        );
        let method = serde_json::from_value(document).unwrap();
        let found = check_layout(&method, &LayoutQuestion::default());
        let setting = &found.setting;
        for (value, usual) in [
            (setting.baseline_cm, 1.0),
            (setting.lanes, 5.0),
            (setting.lane_pitch_cm, 1.5),
            (setting.fold_margin_cm, 2.5),
            (setting.volume_ml, 40.0),
            (setting.front_margin_cm, 2.0),
        ] {
            assert!((value.value - usual).abs() < 1e-12);
            assert_eq!(value.from, COMMON_PRACTICE);
        }
        assert_eq!(found.template.unwrap().lanes_cm, [3.0, 4.5, 6.0, 7.5, 9.0]);
        assert!((found.run_cm.unwrap() - 12.0).abs() < 1e-12);
        assert!(found.constraints.iter().any(|c| c.holds.is_none()));
    }

    #[test]
    fn reading_and_touching_follow_from_the_run() {
        // u(Rf) at 8 cm and u = 0.05 cm: 0.0064, 0.0070, 0.0078; 6 mm spots touch at 0.075.
        let edits = [
            ("/layout/paper_height_cm", json!(12)),
            ("/layout/baseline_cm", json!(2)),
            ("/layout/front_margin_cm", json!(2)),
        ];
        let question = LayoutQuestion {
            widest_spot_cm: 0.6,
            ..LayoutQuestion::default()
        };
        let found = answer(&edits, &question);
        for (u, expected) in found
            .u_rf
            .unwrap()
            .into_iter()
            .zip([0.0064, 0.0070, 0.0078])
        {
            assert!((u - expected).abs() < 5e-5, "{u}");
        }
        assert!((found.touching_gap_rf.unwrap() - 0.075).abs() < 1e-12);
    }
}
