//! Why a composition can't be brought to its canonical form.

/// Why a composition can't be brought to g/L and mL/L.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CompositionError {
    /// Nothing says how the volume is reached.
    #[error("nothing says how the developing solvent comes to its volume")]
    NoWayToVolume,
    /// More than one thing does.
    #[error("the developing solvent comes to its volume in two ways: {ways}")]
    TwoWaysToVolume {
        /// Which.
        ways: String,
    },
    /// Volume fractions don't sum to 100.
    #[error("the volume fractions add up to {sum} %, not to 100 %")]
    FractionsDontAddUp {
        /// What they add up to.
        sum: f64,
    },
    /// Parts beside other bases.
    #[error("`{substance}` is given in `{basis}` beside others in `parts v`")]
    PartsMixed {
        /// The odd one.
        substance: String,
        /// Its basis.
        basis: &'static str,
    },
    /// No amount.
    #[error("the amount of `{substance}` is not known")]
    AmountMissing {
        /// Of which substance.
        substance: String,
    },
    /// An amount that may mean several things.
    #[error("{readings}")]
    BasisMissing {
        /// Of which substance.
        substance: String,
        /// The readings, in words.
        readings: String,
    },
    /// A substance of which a constant is needed and not known.
    #[error(
        "`{substance}` is not a known substance, and {needs} is needed to turn `{basis}` into g/L"
    )]
    UnknownSubstance {
        /// The name.
        substance: String,
        /// What is needed.
        needs: &'static str,
        /// For which basis.
        basis: &'static str,
        /// A known name near to it.
        near: Option<&'static str>,
    },
    /// The name of a bottle where the name of a substance belongs.
    #[error("`{stock}` is a stock of {substance}, not a substance")]
    StockForSubstance {
        /// The bottle.
        stock: String,
        /// What is in it.
        substance: String,
        /// Its usual strength.
        strength: String,
    },
    /// A volume of something that can't be poured.
    #[error("{substance} is no liquid when pure, so `{basis}` needs the stock that is poured")]
    NoLiquid {
        /// Which substance.
        substance: String,
        /// The basis.
        basis: &'static str,
    },
    /// No density for a stock.
    #[error("the density of {strength} % w/w {substance} is in no table here")]
    StockDensityUnknown {
        /// Which substance.
        substance: String,
        /// The stock's strength.
        strength: f64,
    },
    /// No density for the finished liquid.
    #[error("`% w/w` of {substance} needs the density of the finished liquid")]
    LiquidDensityUnknown {
        /// Which substance.
        substance: String,
    },
    /// More than fits into the volume.
    #[error(
        "the components already fill {filled_ml_per_l:.0} mL of each litre before {substance} makes up to volume"
    )]
    NoRoomLeft {
        /// What makes up to volume.
        substance: String,
        /// What the others fill.
        filled_ml_per_l: f64,
    },
}

impl CompositionError {
    /// A name that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::NoWayToVolume => "composition.no-way-to-volume",
            Self::TwoWaysToVolume { .. } => "composition.two-ways-to-volume",
            Self::FractionsDontAddUp { .. } => "composition.fractions-dont-add-up",
            Self::PartsMixed { .. } => "composition.parts-mixed",
            Self::AmountMissing { .. } => "composition.amount-missing",
            Self::BasisMissing { .. } => "composition.basis-missing",
            Self::UnknownSubstance { .. } => "composition.unknown-substance",
            Self::StockForSubstance { .. } => "composition.stock-for-substance",
            Self::NoLiquid { .. } => "composition.no-liquid",
            Self::StockDensityUnknown { .. } => "composition.stock-density-unknown",
            Self::LiquidDensityUnknown { .. } => "composition.liquid-density-unknown",
            Self::NoRoomLeft { .. } => "composition.no-room-left",
        }
    }

    /// What to do about it.
    pub fn hints(&self) -> Vec<String> {
        let one = |text: &str| vec![text.to_owned()];
        match self {
            Self::NoWayToVolume => one(
                "add `{\"substance\": \"water\", \"make_up_to_volume\": true}`, or give all components in `parts v`",
            ),
            Self::TwoWaysToVolume { .. } => one(
                "keep one of them: one liquid that makes up to volume, or fractions that sum to 100",
            ),
            Self::FractionsDontAddUp { .. } => one(
                "mend the fractions, or let one liquid have `\"make_up_to_volume\": true` instead of an amount",
            ),
            Self::PartsMixed { .. } => {
                one("give all components in `parts v`, or none and let one make up to volume")
            }
            Self::AmountMissing { .. } => {
                one("find out the amount; without it no two recipes can be compared")
            }
            Self::BasisMissing { .. } => {
                one("add `basis`, and `stock` with its strength where it is measured from a bottle")
            }
            Self::UnknownSubstance {
                near: Some(near), ..
            } => {
                vec![format!("did you mean `{near}`?")]
            }
            Self::UnknownSubstance { .. } => {
                one("give its amount in `% w/v` or `g/L`, which need no constant of the substance")
            }
            Self::StockForSubstance {
                substance,
                strength,
                stock,
            } => vec![format!(
                "write `substance`: `{substance}` and `stock`: `{stock}` with its strength, usually {strength}"
            )],
            Self::NoLiquid { .. } => {
                one("name the stock with its strength, or give the amount in `% w/v` or `g/L`")
            }
            Self::StockDensityUnknown { .. } => {
                one("give the stock's strength in `% w/v`, `g/L` or `mol/L` from its label")
            }
            Self::LiquidDensityUnknown { .. } => {
                one("measure it and add `density_g_per_ml`, or give the amount in `% w/v`")
            }
            Self::NoRoomLeft { .. } => one("check the amounts and their basis"),
        }
    }
}
