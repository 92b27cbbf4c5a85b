//! A food dye and the names it goes by.

use serde::{Deserialize, Serialize};

/// A dye document, as far as the program reads it. The document itself is kept as JSON and may
/// say more (see `schemas/dye.schema.json`).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Dye {
    /// Identifier, e.g. `allura-red-ac`.
    pub id: String,
    /// The name shown.
    pub name: String,
    /// Every name that finds it.
    pub names: Vec<DyeName>,
    /// Colour words of its spot on paper.
    pub colours: Vec<String>,
}

/// One name of a dye.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DyeName {
    /// The name as written.
    pub name: String,
    /// Whose name it is.
    pub kind: NameKind,
    /// Anything to know about it, e.g. that another dye is called so too.
    #[serde(default)]
    pub note: Option<String>,
}

/// Whose name a name is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum NameKind {
    /// Common name.
    Common,
    /// Name of the United States' certified list (FD&C), or its short form.
    Fdc,
    /// European additive number.
    E,
    /// Colour Index constitution number.
    Ci,
    /// Colour Index generic name among the food dyes.
    CiFood,
    /// Chemical Abstracts Service number.
    Cas,
    /// A name once official.
    Former,
    /// Any other name in use.
    Other,
}
