//! What a model of a mistake is, and what it says of the standards.

use super::standards::{FittedSize, Standards};

/// One way to measure or write wrongly.
#[derive(Debug, Clone, Copy)]
pub struct Model {
    /// Its name, e.g. `both-from-edge`; also the name of the finding.
    pub id: &'static str,
    /// What it looks like, in a sentence.
    pub why: &'static str,
    /// Whether it is a habit, the same on all papers of a group.
    pub habit: bool,
    pub(crate) fit: fn(&Standards<'_>) -> Option<Fit>,
}

/// A model fitted to standards.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Fit {
    /// Logarithm of how well it explains the values, less the cost of what was fitted.
    pub(crate) evidence: f64,
    pub(crate) size: Option<FittedSize>,
    pub(crate) remedy: Remedy,
}

/// What would have to be read otherwise. Nothing is changed by it.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[serde(rename_all = "kebab-case", tag = "kind")]
pub enum Remedy {
    /// Lengths that would have to be taken off distance and front, in cm.
    Lengths {
        /// Off every spot distance.
        off_distance_cm: f64,
        /// Off every front.
        off_front_cm: f64,
    },
    /// Distance and front in each other's column.
    ColumnsExchanged,
    /// Lanes that hold another lane's dye: lane, and the lane whose label it should have.
    Relabelled {
        /// Pairs of lane and the lane whose label belongs to it; `None` where that is not known.
        lanes: Vec<(u32, Option<u32>)>,
    },
    /// One distance times a factor.
    Scaled {
        /// Lane.
        lane: u32,
        /// Spot.
        spot: u32,
        /// Factor on the distance.
        factor: f64,
    },
    /// A value that nothing explains.
    Stray {
        /// Lane.
        lane: u32,
    },
}

impl Remedy {
    /// What the Rf of a spot would be, from its distance and front in cm.
    pub fn rf(&self, lane: u32, spot: u32, distance_cm: f64, front_cm: f64) -> Option<f64> {
        let (distance, front) = match self {
            Self::Lengths {
                off_distance_cm,
                off_front_cm,
            } => (distance_cm - off_distance_cm, front_cm - off_front_cm),
            Self::ColumnsExchanged => (front_cm, distance_cm),
            Self::Scaled {
                lane: at,
                spot: of,
                factor,
            } if (*at, *of) == (lane, spot) => (distance_cm * factor, front_cm),
            Self::Scaled { .. } | Self::Relabelled { .. } | Self::Stray { .. } => {
                (distance_cm, front_cm)
            }
        };
        dyebook_statistics::planar::retardation_factor(distance, front).ok()
    }
}
