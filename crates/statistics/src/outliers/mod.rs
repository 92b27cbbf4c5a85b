//! Tests that point at values, groups or laboratories that stand apart. None of them removes
//! anything: that is for a person, with a reason.

mod cochran;
mod grubbs;
mod mandel;
mod outlier_error;

pub use cochran::{Cochran, cochran_critical, cochran_statistic, cochran_test};
pub use grubbs::{Grubbs, Side, grubbs_critical, grubbs_test};
pub use mandel::{mandel_h, mandel_h_critical, mandel_k, mandel_k_critical};
pub use outlier_error::OutlierError;
