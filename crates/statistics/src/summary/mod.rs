//! Centre and spread of one series of numbers.

mod compensated_sum;
mod mean;
mod median;
mod pooled_sd;
mod robust_sd;
mod standard_deviation;
mod summary_error;

pub use compensated_sum::compensated_sum;
pub use mean::mean;
pub use median::median;
pub use pooled_sd::pooled_sd;
pub use robust_sd::robust_sd;
pub use standard_deviation::standard_deviation;
pub use summary_error::SummaryError;

pub(crate) use summary_error::require;
