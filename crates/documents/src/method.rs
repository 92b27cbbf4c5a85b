//! A method: everything that must be the same for two Rf values to be comparable.

use crate::reference::{Range, Reference};
use jiff::civil::Date;
use semver::Version;
use serde::{Deserialize, Serialize};

/// A method version, as far as the program reads it. The document itself is kept as JSON
/// (see `schemas/method.schema.json`).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Method {
    /// Identifier, the same in all versions.
    pub id: String,
    /// Version; a pre-release marks a draft that can't be approved as it stands.
    pub version: Version,
    /// Title.
    pub title: String,
    /// What the dyes run on.
    pub stationary_phase: StationaryPhase,
    /// What the dyes run in.
    pub developer: Composition,
    /// Where they run.
    #[serde(default)]
    pub chamber: Option<Chamber>,
    /// Where things stand on the paper.
    #[serde(default)]
    pub layout: Option<Layout>,
    /// How distances are read.
    pub measuring: Measuring,
    /// Temperature window.
    #[serde(default)]
    pub temperature_c: Option<Range>,
    /// Limits a chromatogram must keep.
    #[serde(default)]
    pub acceptance: Option<Acceptance>,
    /// Expected values, one a dye.
    pub references: Vec<Reference>,
    /// Cautions.
    #[serde(default)]
    pub cautions: Option<Vec<Caution>>,
    /// Where it all comes from.
    #[serde(default)]
    pub sources: Option<Vec<String>>,
    /// What changed, in words.
    #[serde(default)]
    pub change_note: Option<String>,
    /// First day of use.
    #[serde(default)]
    pub effective_from: Option<Date>,
    /// Last day of use.
    #[serde(default)]
    pub effective_to: Option<Date>,
    /// Dyes that are run as controls.
    #[serde(default)]
    pub controls: Option<Vec<String>>,
    /// Pairs of dyes that are known to lie close.
    #[serde(default)]
    pub critical_pairs: Option<Vec<[String; 2]>>,
    /// The lab's own minimum behind a reference that is not provisional.
    #[serde(default)]
    pub minimum: Option<Minimum>,
}

impl Method {
    /// What the method expects of a dye.
    pub fn reference(&self, dye: &str) -> Option<&Reference> {
        self.references
            .iter()
            .find(|reference| reference.dye == dye)
    }

    /// `id@version`.
    pub fn name(&self) -> String {
        format!("{}@{}", self.id, self.version)
    }

    /// Whether two dyes are listed as a critical pair.
    pub fn is_critical_pair(&self, one: &str, other: &str) -> bool {
        self.critical_pairs
            .iter()
            .flatten()
            .any(|[a, b]| (a == one && b == other) || (a == other && b == one))
    }
}

/// The stationary phase.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct StationaryPhase {
    /// Material, e.g. cellulose paper.
    pub material: String,
    /// Grade.
    #[serde(default)]
    pub grade: Option<String>,
    /// Lot.
    #[serde(default)]
    pub lot: Option<String>,
}

/// The developing solvent's composition.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Composition {
    /// Components.
    pub components: Vec<Component>,
    /// Density of the finished liquid, g/mL, where it was measured.
    #[serde(default)]
    pub density_g_per_ml: Option<f64>,
    /// How long a batch may be used.
    #[serde(default)]
    pub shelf_life_days: Option<f64>,
}

/// One component.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Component {
    /// Substance.
    pub substance: String,
    /// Amount, in the unit of `basis`.
    #[serde(default)]
    pub amount: Option<f64>,
    /// What the amount means.
    #[serde(default)]
    pub basis: Option<Basis>,
    /// Fills up to the volume.
    #[serde(default)]
    pub make_up_to_volume: Option<bool>,
    /// What it is measured from.
    #[serde(default)]
    pub stock: Option<Stock>,
    /// Tolerance of the amount, in the same unit.
    #[serde(default)]
    pub tolerance: Option<f64>,
}

/// What an amount means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Basis {
    /// mL per 100 mL of the liquid.
    #[serde(rename = "% v/v")]
    VolumePercent,
    /// g per 100 mL of the liquid.
    #[serde(rename = "% w/v")]
    MassVolumePercent,
    /// g per 100 g of the liquid.
    #[serde(rename = "% w/w")]
    MassPercent,
    /// g per litre of the liquid.
    #[serde(rename = "g/L")]
    GramPerLitre,
    /// mol per litre of the liquid.
    #[serde(rename = "mol/L")]
    MolePerLitre,
    /// Parts by volume before mixing.
    #[serde(rename = "parts v")]
    VolumeParts,
}

impl Basis {
    /// All bases.
    pub const ALL: [Self; 6] = [
        Self::VolumePercent,
        Self::MassVolumePercent,
        Self::MassPercent,
        Self::GramPerLitre,
        Self::MolePerLitre,
        Self::VolumeParts,
    ];

    /// As written in a document.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::VolumePercent => "% v/v",
            Self::MassVolumePercent => "% w/v",
            Self::MassPercent => "% w/w",
            Self::GramPerLitre => "g/L",
            Self::MolePerLitre => "mol/L",
            Self::VolumeParts => "parts v",
        }
    }
}

/// The stock that a component is measured from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Stock {
    /// Name on the bottle.
    #[serde(default)]
    pub name: Option<String>,
    /// Strength, in the unit of `basis`.
    pub strength: f64,
    /// What the strength means.
    pub basis: Basis,
}

/// The developing chamber.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Chamber {
    /// Kind.
    #[serde(default)]
    pub kind: Option<String>,
    /// Saturated with vapour before the run.
    #[serde(default)]
    pub saturated: Option<bool>,
    /// Volume of developing solvent, mL.
    #[serde(default)]
    pub volume_ml: Option<Range>,
    /// Inner diameter, cm.
    #[serde(default)]
    pub inner_diameter_cm: Option<f64>,
}

/// Where things stand on the paper, in cm.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Layout {
    /// Start line above the lower edge.
    #[serde(default)]
    pub baseline_cm: Option<f64>,
    /// Distance between lanes.
    #[serde(default)]
    pub lane_pitch_cm: Option<f64>,
    /// Lanes on a paper.
    #[serde(default)]
    pub lanes: Option<u32>,
    /// Margin at folds and sides.
    #[serde(default)]
    pub fold_margin_cm: Option<f64>,
    /// Height of the paper.
    #[serde(default)]
    pub paper_height_cm: Option<f64>,
    /// Width of the paper.
    #[serde(default)]
    pub paper_width_cm: Option<f64>,
    /// How far below the upper edge the front is stopped.
    #[serde(default)]
    pub front_margin_cm: Option<f64>,
}

impl Layout {
    /// The longest run that the layout allows, cm.
    pub fn run_cm(&self) -> Option<f64> {
        Some(self.paper_height_cm? - self.baseline_cm? - self.front_margin_cm.unwrap_or(0.0))
    }
}

/// How distances are read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Measuring {
    /// To which point of the spot.
    pub convention: Convention,
    /// Standard uncertainty of a spot distance, cm.
    #[serde(default)]
    pub distance_sd_cm: Option<f64>,
    /// Standard uncertainty of a front distance, cm.
    #[serde(default)]
    pub front_sd_cm: Option<f64>,
}

/// The point of a spot that is measured to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Convention {
    /// The spot's centre (IUPAC 1993).
    Centre,
    /// The point of greatest intensity.
    MaximumIntensity,
    /// The edge nearest the front.
    LeadingEdge,
}

/// Limits that a chromatogram must keep.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Acceptance {
    /// Largest (max − min) / mean of the fronts of one paper.
    #[serde(default)]
    pub front_tilt: Option<f64>,
    /// Shortest front, cm.
    #[serde(default)]
    pub front_min_cm: Option<f64>,
    /// Longest front, cm.
    #[serde(default)]
    pub front_max_cm: Option<f64>,
    /// Development time, min.
    #[serde(default)]
    pub run_minutes: Option<Range>,
    /// Least resolution of a critical pair.
    #[serde(default)]
    pub resolution_min: Option<f64>,
    /// Longest tail, in spot widths.
    #[serde(default)]
    pub tail_length_max: Option<f64>,
}

/// A caution, with where it is from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Caution {
    /// What it says.
    pub text: String,
    /// The document it is from.
    pub source: String,
    /// Where it applies.
    #[serde(default)]
    pub jurisdiction: Option<String>,
    /// Date of the source.
    #[serde(default)]
    pub date: Option<String>,
}

/// The lab's own minimum behind a reference that is not provisional.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Minimum {
    /// Papers.
    pub papers: u32,
    /// Sessions.
    pub sessions: u32,
}
