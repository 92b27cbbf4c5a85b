//! From named sheets to estimates: the one way in which references are worked out, whether for the
//! first time or again.

use super::design::by_dye;
use super::estimate::{Estimates, estimates};
use super::pooled::Pooling;
use super::standards::{Standards, standards};
use crate::failure::{Failure, FailureClass};
use dyebook_documents::{DyeRegister, Method};
use dyebook_library::{Exclusion, KeptSheet, Library};

/// What is worked out from.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Runs<'a> {
    pub(crate) sheets: &'a [KeptSheet],
    /// The method version by which spots are told apart.
    pub(crate) method: &'a Method,
    pub(crate) exclusions: &'a [Exclusion],
    pub(crate) pooling: Pooling,
}

/// Works out every dye of these sheets.
pub(crate) fn work_out(
    library: &Library,
    dyes: &DyeRegister,
    runs: Runs<'_>,
) -> Result<(Standards, Estimates), Failure> {
    let found = standards(library, dyes, runs.sheets, runs.method, runs.exclusions)?;
    let estimates = estimates(by_dye(&found.spots), runs.pooling).map_err(|error| {
        Failure::new(
            FailureClass::Bug,
            error.id(),
            format!("the runs can't be summarised: {error}"),
        )
    })?;
    Ok((found, estimates))
}
