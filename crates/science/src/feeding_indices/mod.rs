//! What a caterpillar makes of its leaf.

mod leaf_eaten;
mod leaf_use;

pub use leaf_eaten::{LeafWeighed, dry_eaten_g, leaf_eaten_g};
pub use leaf_use::{LeafUse, leaf_use};
