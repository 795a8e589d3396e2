//! Tools that know nothing of moths: refusals, quantiles, roots, straight lines.

mod guard;
mod line;
mod linear_system;
mod quantile;
mod root;

pub use guard::{Unfit, above, at_least_two, counted, finite, from_to, open_share, share, trust};
pub use line::{Line, straight_line};
pub use linear_system::solve;
pub use quantile::{beta_quantile, chi_square_beyond, normal_cdf, normal_quantile, student_t_quantile};
pub use root::bisect;
