//! What a term asks for: sections, groups, papers, and what is taken for granted.

use serde::{Deserialize, Serialize};

/// One section.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Section {
    /// Its name.
    pub name: String,
    /// Students in it.
    pub students: u32,
    /// Method version that it works under, as a reference.
    #[serde(default)]
    pub method: Option<String>,
}

/// A term.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Term {
    /// The sections.
    pub sections: Vec<Section>,
    /// Students in a group.
    pub group_size: u32,
    /// Papers of each group.
    pub papers_per_group: u32,
    /// Lanes of each group over all its papers.
    pub lanes_per_group: u32,
    /// Share of papers that are repeated.
    pub repeat_share: f64,
    /// Share of papers in reserve.
    pub spare_share: f64,
    /// Papers for references.
    pub reference_papers: u32,
    /// Papers for the suitability check of each section.
    pub suitability_papers_per_section: u32,
    /// Liquid in each chamber, mL.
    pub chamber_ml: f64,
    /// Share of the liquid that is lost.
    pub liquid_loss_share: f64,
    /// The liquid is made in batches of this, mL; `None` where any volume will do.
    pub batch_ml: Option<f64>,
    /// Chambers that can stand at once; `None` where there are enough.
    pub chambers: Option<u32>,
    /// Share of spotting sticks that are lost.
    pub stick_loss_share: f64,
    /// Dyes with a vial each.
    pub dyes: u32,
    /// Groups that share a vial of each dye.
    pub groups_per_vial: u32,
    /// Touches of a spot.
    pub touches: u32,
    /// Volume of a touch, µL.
    pub touch_ul: f64,
    /// What stays in a vial and can't be used, mL.
    pub dead_ml: f64,
    /// Width and height of the sheets that pieces are cut from, cm; `None` where pieces are bought.
    pub sheet_cm: Option<[f64; 2]>,
    /// Width and height of a piece, cm; the height runs along the flow.
    pub piece_cm: Option<[f64; 2]>,
}

impl Default for Term {
    /// Groups of two with two papers of eight lanes; shares and volumes are common practice, no
    /// source.
    fn default() -> Self {
        Self {
            sections: Vec::new(),
            group_size: 2,
            papers_per_group: 2,
            lanes_per_group: 16,
            repeat_share: 0.0,
            spare_share: 0.2,
            reference_papers: 0,
            suitability_papers_per_section: 0,
            chamber_ml: 50.0,
            liquid_loss_share: 0.25,
            batch_ml: None,
            chambers: None,
            stick_loss_share: 0.15,
            dyes: 7,
            groups_per_vial: 2,
            touches: 3,
            touch_ul: 1.0,
            dead_ml: 0.5,
            sheet_cm: None,
            piece_cm: None,
        }
    }
}

/// Most of anything that is counted: no school has more, and sums stay far from their limits.
const MOST: u32 = 1000;

/// Why a term can't be planned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TermError {
    /// No sections.
    #[error("a term without sections needs nothing")]
    NoSections,
    /// A number that must be at least one.
    #[error("`{what}` is 0, and at least 1 is needed")]
    Zero {
        /// Which.
        what: &'static str,
    },
    /// More than a term holds.
    #[error("`{what}` is {value}; a term holds at most {MOST}")]
    TooMany {
        /// Which.
        what: &'static str,
        /// The number.
        value: u32,
    },
    /// A share or volume that is none.
    #[error("`{what}` is {value}; it can't be negative or without end")]
    BadNumber {
        /// Which.
        what: &'static str,
        /// The number.
        value: f64,
    },
    /// Two sections of one name.
    #[error("two sections are called `{name}`")]
    SectionTwice {
        /// The name.
        name: String,
    },
    /// A piece larger than the sheet it is cut from.
    #[error("a piece of {piece:?} cm can't be cut from a sheet of {sheet:?} cm without turning it")]
    PieceTooLarge {
        /// The piece.
        piece: [f64; 2],
        /// The sheet.
        sheet: [f64; 2],
    },
}

impl TermError {
    /// A name that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::NoSections => "term.no-sections",
            Self::Zero { .. } => "term.zero",
            Self::TooMany { .. } => "term.too-many",
            Self::BadNumber { .. } => "term.bad-number",
            Self::SectionTwice { .. } => "term.section-twice",
            Self::PieceTooLarge { .. } => "term.piece-too-large",
        }
    }

    /// What to do about it.
    pub fn hints(&self) -> Vec<String> {
        match self {
            Self::NoSections => vec!["list the sections with their students".to_owned()],
            Self::SectionTwice { .. } => vec!["give each section its own name".to_owned()],
            Self::PieceTooLarge { .. } => vec![
                "turned pieces have the fibres across and run differently: smaller pieces or larger sheets"
                    .to_owned(),
            ],
            _ => Vec::new(),
        }
    }
}

impl Term {
    /// Checks that the numbers can be counted with.
    pub(super) fn check(&self) -> Result<(), TermError> {
        if self.sections.is_empty() {
            return Err(TermError::NoSections);
        }
        for (index, section) in self.sections.iter().enumerate() {
            if self.sections[..index]
                .iter()
                .any(|s| s.name == section.name)
            {
                return Err(TermError::SectionTwice {
                    name: section.name.clone(),
                });
            }
        }
        self.check_counts()?;
        for (what, value) in [
            ("repeat_share", self.repeat_share),
            ("spare_share", self.spare_share),
            ("chamber_ml", self.chamber_ml),
            ("liquid_loss_share", self.liquid_loss_share),
            ("batch_ml", self.batch_ml.unwrap_or(0.0)),
            ("stick_loss_share", self.stick_loss_share),
            ("touch_ul", self.touch_ul),
            ("dead_ml", self.dead_ml),
        ] {
            if !value.is_finite() || value < 0.0 {
                return Err(TermError::BadNumber { what, value });
            }
        }
        Ok(())
    }

    fn check_counts(&self) -> Result<(), TermError> {
        let sections = u32::try_from(self.sections.len()).unwrap_or(u32::MAX);
        let students = self.sections.iter().map(|s| s.students).max();
        for (what, value, least) in [
            ("sections", sections, 1),
            ("students", students.unwrap_or(0), 0),
            ("group_size", self.group_size, 1),
            ("papers_per_group", self.papers_per_group, 1),
            ("lanes_per_group", self.lanes_per_group, 0),
            ("reference_papers", self.reference_papers, 0),
            (
                "suitability_papers_per_section",
                self.suitability_papers_per_section,
                0,
            ),
            ("dyes", self.dyes, 0),
            ("groups_per_vial", self.groups_per_vial, 1),
            ("touches", self.touches, 0),
        ] {
            if value < least {
                return Err(TermError::Zero { what });
            }
            if value > MOST {
                return Err(TermError::TooMany { what, value });
            }
        }
        Ok(())
    }
}
