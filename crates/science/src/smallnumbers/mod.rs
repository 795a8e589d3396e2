//! Handfuls of animals, where averages mislead and the count itself is the risk.

mod apart;
mod both_sexes;
mod same_night;

pub use apart::chance_within;
pub use both_sexes::{animals_needed, both_sexes};
pub use same_night::{Moths, same_night};
