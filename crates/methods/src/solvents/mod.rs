//! Comparing, predicting and changing developing solvents.

mod chemistry_flag;
mod compare;
mod consequences;
mod like_coloured;
mod measured_liquids;
mod mixtures;
mod notice;
mod one_solvent;
mod pair;
mod plan;
mod predict;
mod predict_error;
mod rm_fit;
mod runs_needed;
mod solvent_error;
mod spread;

pub use compare::{CompareQuestion, Comparison, LeftOut, TwoSolvents, compare_solvents};
pub use consequences::Invalid;
pub use mixtures::MixtureVerdict;
pub use notice::{HandoutRow, Notice};
pub use one_solvent::{OneSolvent, PlacedDye, SpotWidths};
pub use pair::DyePair;
pub use plan::{Approval, ChecklistItem, SwitchPlan, SwitchQuestion, plan_switch};
pub use predict::{
    MeasuredPoint, PredictedDye, Prediction, RefusedDye, predict_solvent, with_amount,
};
pub use predict_error::PredictError;
pub use rm_fit::{ReadFromFit, RmFit, RmFits, RmModel, USABLE_RF, fit_rm};
pub use runs_needed::{DyeToRun, RunsNeeded};
pub use solvent_error::SolventError;
pub use spread::SpotSpread;

pub(crate) use like_coloured::{colours, like_coloured};

#[cfg(test)]
mod compare_tests;
#[cfg(test)]
mod plan_tests;
#[cfg(test)]
mod predict_tests;
