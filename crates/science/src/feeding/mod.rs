//! Leaf: what larvae will eat, and what must be cut so that they can.
//!
//! Eaten and cut are unlike quantities. The published traditions count one or the other, the keeper's own
//! record has both, and no figure here is ever an average of the two.

mod appetite;
mod own_leaf;
mod plan;
#[cfg(test)]
mod tests;

pub use appetite::{Appetite, AppetiteFault, LogNormal};
pub use own_leaf::{LeafBelief, OwnLeaf};
pub use plan::{BoxLeaf, Cut, Eaten, LeafDay, LeafNeed, LeafPlan, Peak, Spread, eaten_so_far, leaf_plan};
