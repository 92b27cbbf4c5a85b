//! The things that a layout must keep, each with what it needs and what there is.

use super::assumed::Setting;
use super::depth::depth_cm;
use super::lanes_that_fit::lanes_that_fit;
use super::rolled::rolled_diameter_cm;
use serde::Serialize;

/// One thing that a layout must keep.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Constraint {
    /// Name that never changes.
    pub id: &'static str,
    /// Whether it holds; `None` where a number for it is missing.
    pub holds: Option<bool>,
    /// What is needed.
    pub needed: Option<f64>,
    /// What there is.
    pub there_is: Option<f64>,
    /// Unit of both.
    pub unit: &'static str,
    /// Room left, as a part of what is needed; negative where it doesn't hold.
    pub room: Option<f64>,
    /// In a sentence.
    pub message: String,
}

/// What the paper is asked for beside the method's own numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LayoutQuestion {
    /// Whether the paper is rolled to a cylinder.
    pub rolled: bool,
    /// Gap between the edges of a rolled paper, cm.
    pub gap_cm: f64,
    /// Width of the widest spot at the end of the run, cm.
    pub widest_spot_cm: f64,
    /// Width of a spot at the start, cm.
    pub first_spot_cm: f64,
}

impl Default for LayoutQuestion {
    /// A flat or folded paper; spots of 3 mm at the start and 8 mm at the end.
    ///
    /// 3 mm is a published target (a student procedure); 8 mm and the gap are common practice, no
    /// source.
    fn default() -> Self {
        Self {
            rolled: false,
            gap_cm: 0.5,
            widest_spot_cm: 0.8,
            first_spot_cm: 0.3,
        }
    }
}

/// Pitch in widths of the widest spot (common practice, no source).
const PITCH_IN_SPOTS: f64 = 1.5;
/// Start line above liquid and spot, cm (common practice, no source).
const CLEAR_OF_LIQUID_CM: f64 = 0.3;
/// Rolled paper clear of the wall, cm (common practice, no source).
const WALL_CLEARANCE_CM: f64 = 0.3;
/// Least run, where the method names no shortest front, cm (common practice, no source).
const LEAST_RUN_CM: f64 = 5.0;

/// All of them.
pub(super) fn constraints(
    setting: &Setting,
    question: &LayoutQuestion,
    front_min_cm: Option<f64>,
) -> Vec<Constraint> {
    let mut all = vec![
        lanes(setting),
        pitch(setting, question),
        start_line(setting, question),
        run(setting, front_min_cm),
    ];
    if question.rolled {
        all.push(wall(setting, question));
    }
    all
}

fn constraint(
    id: &'static str,
    needed: Option<f64>,
    there_is: Option<f64>,
    unit: &'static str,
    message: String,
) -> Constraint {
    let room = needed
        .zip(there_is)
        .map(|(needed, there_is)| (there_is - needed) / needed);
    Constraint {
        id,
        holds: room.map(|room| room >= -1e-6),
        needed,
        there_is,
        unit,
        room,
        message,
    }
}

fn lanes(setting: &Setting) -> Constraint {
    let (lanes, pitch) = (setting.lanes.value, setting.lane_pitch_cm.value);
    let margin = setting.fold_margin_cm.value;
    let needed = (lanes - 1.0) * pitch + 2.0 * margin;
    let message = match setting.paper_width_cm {
        Some(width) => format!(
            "{lanes} lanes at {pitch} cm with {margin} cm at each side need {needed:.1} cm of {width} cm; {} fit",
            lanes_that_fit(width, margin, pitch)
        ),
        None => format!(
            "{lanes} lanes at {pitch} cm with {margin} cm at each side need {needed:.1} cm; how wide the paper is, is not known"
        ),
    };
    constraint(
        "lanes-fit",
        Some(needed),
        setting.paper_width_cm,
        "cm",
        message,
    )
}

fn pitch(setting: &Setting, question: &LayoutQuestion) -> Constraint {
    let needed = PITCH_IN_SPOTS * question.widest_spot_cm;
    let pitch = setting.lane_pitch_cm.value;
    let message = format!(
        "spots grow to about {} cm: lanes need {needed:.1} cm, and stand {pitch} cm apart",
        question.widest_spot_cm
    );
    constraint(
        "pitch-against-spots",
        Some(needed),
        Some(pitch),
        "cm",
        message,
    )
}

fn start_line(setting: &Setting, question: &LayoutQuestion) -> Constraint {
    let baseline = setting.baseline_cm.value;
    let volume = setting.volume_ml.value;
    let id = "start-line-above-liquid";
    let Some(diameter) = setting.inner_diameter_cm else {
        let message = format!(
            "how deep {volume} mL stand is not known: the chamber's inner diameter is missing"
        );
        return constraint(id, None, Some(baseline), "cm", message);
    };
    let depth = depth_cm(volume, diameter);
    let needed = depth + question.first_spot_cm / 2.0 + CLEAR_OF_LIQUID_CM;
    let message = if baseline <= depth {
        format!(
            "{volume} mL stand {depth:.2} cm deep: the start line at {baseline} cm lies in the liquid, and the dyes wash out"
        )
    } else {
        format!(
            "{volume} mL stand {depth:.2} cm deep; with the spot and {CLEAR_OF_LIQUID_CM} cm to spare the start line needs {needed:.2} cm and stands at {baseline} cm"
        )
    };
    constraint(id, Some(needed), Some(baseline), "cm", message)
}

fn run(setting: &Setting, front_min_cm: Option<f64>) -> Constraint {
    let needed = front_min_cm.unwrap_or(LEAST_RUN_CM);
    let run = setting
        .paper_height_cm
        .map(|height| height - setting.baseline_cm.value - setting.front_margin_cm.value);
    let message = match run {
        Some(run) => format!(
            "from the start line to the stop the front can run {run:.1} cm; at least {needed} cm are asked for"
        ),
        None => "how far the front can run is not known: the paper's height is missing".to_owned(),
    };
    constraint("run-length", Some(needed), run, "cm", message)
}

fn wall(setting: &Setting, question: &LayoutQuestion) -> Constraint {
    let id = "clear-of-the-wall";
    let (Some(width), Some(inner)) = (setting.paper_width_cm, setting.inner_diameter_cm) else {
        let message = "whether the rolled paper is clear of the wall is not known: the paper's width or the chamber's inner diameter is missing";
        return constraint(id, Some(WALL_CLEARANCE_CM), None, "cm", message.to_owned());
    };
    let diameter = rolled_diameter_cm(width, question.gap_cm);
    let clearance = (inner - diameter) / 2.0;
    let message = format!(
        "rolled, the paper is {diameter:.2} cm across in a chamber of {inner} cm: {clearance:.2} cm to the wall, at least {WALL_CLEARANCE_CM} cm are wanted, and its edges must not touch"
    );
    constraint(id, Some(WALL_CLEARANCE_CM), Some(clearance), "cm", message)
}
