//! Every published value kept in `tests/published/` against the function it belongs to, and every
//! public function of `dyebook-statistics` against the list of functions so checked.
//!
//! A file names the functions it checks, its source and cases of inputs and expected outputs. The
//! rule of passing is `|got - expected| ≤ abs + rel·|expected|`; what has no tolerance is compared
//! exactly.

#![expect(
    clippy::unnecessary_wraps,
    reason = "every entry of the list of functions has one and the same shape"
)]

#[path = "published_values/accuracy.rs"]
mod accuracy;
#[path = "published_values/case.rs"]
mod case;
#[path = "published_values/compare.rs"]
mod compare;
#[path = "published_values/coverage.rs"]
mod coverage;
#[path = "published_values/functions.rs"]
mod functions;
#[path = "published_values/judgement.rs"]
mod judgement;
#[path = "published_values/lines.rs"]
mod lines;
#[path = "published_values/pairs.rs"]
mod pairs;
#[path = "published_values/papers.rs"]
mod papers;
#[path = "published_values/spread.rs"]
mod spread;

datatest_stable::harness! {
    {
        test = case::values_are_reproduced,
        root = "../../tests/published",
        pattern = r"(calibration|control_charts|distribution|equivalence|intervals|least_squares|matching|outliers|planar|summary|uncertainty|variance_components)/[^/]+\.json$",
    },
    {
        test = coverage::public_functions_have_a_source_and_a_published_value,
        root = "src",
        pattern = r"\.rs$",
    },
}
