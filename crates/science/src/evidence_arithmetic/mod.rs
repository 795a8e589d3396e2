//! Putting published values together, and saying when they should not be.

mod combine;
mod heterogeneity;

pub use combine::{CombineMethod, Combined, combine};
pub use heterogeneity::BetweenMethod;
