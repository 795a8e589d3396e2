//! How warmth becomes development: degree-days of a day, rate at a temperature, the line behind a threshold, instars by
//! width of head.

mod degree_days;
mod head_width;
mod rate;
mod threshold_fit;

pub use degree_days::{Cutoff, Day, DayCurve, degree_days};
pub use head_width::{DyarLine, head_width_ratio};
pub use rate::{RateModel, fastest_at_c, rate_per_day, rate_unclamped};
pub use threshold_fit::{FitMethod, ThresholdFit, threshold_fit};
