//! Who lived: shares with honest limits, curves over time, groups against each other, growth of a line.

mod binomial;
mod growth_rate;
mod kaplan_meier;
mod life_table;
mod log_rank;
mod two_sex;

pub use binomial::{IntervalMethod, binomial_interval};
pub use growth_rate::{Growth, growth_rate, lotka_sum};
pub use kaplan_meier::{KaplanMeier, kaplan_meier, median_day};
pub use life_table::{LifeTable, k_value, life_table};
pub use log_rank::{Followed, LogRank, log_rank};
pub use two_sex::{Follow, TwoSex, two_sex};
