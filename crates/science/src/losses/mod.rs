//! Losses: is this brood on the good side, and must somebody look at a box today?

mod bell;
mod footing;

pub use bell::{Bell, BellAsk, Ring, bell, hazard_per_day};
pub use footing::{Footing, StageLoss, Standing, footing};
