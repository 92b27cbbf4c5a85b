//! Normal, Student t, chi-square and F: distribution functions and quantiles.
//!
//! Distribution functions come from `statrs`' incomplete gamma and beta functions and `erfc`, each
//! evaluated on the side where the answer is small, so that tails keep their digits. Quantiles are
//! roots of these functions (Brent's method): the crate's own `inverse_cdf` of Student's t and F
//! work to a fixed absolute tolerance and lose digits far out.

mod chi_square;
mod distribution_error;
mod f;
mod normal;
mod student_t;

pub use chi_square::{chi_square_quantile, chi_square_survival};
pub use distribution_error::DistributionError;
pub use f::{f_quantile, f_survival};
pub use normal::{normal_cdf, normal_quantile};
pub use student_t::{student_t_cdf, student_t_log_density, student_t_quantile};

pub(crate) use chi_square::survival as chi_square_survival_unchecked;
pub(crate) use distribution_error::{degrees_of_freedom, probability};
