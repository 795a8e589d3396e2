//! Which licences come in, where from, and whether they reach a keeper.

mod expression;
mod graph;
mod policy;
mod rule;

pub use graph::Graph;
pub use policy::Policy;
pub use rule::{doubles, faults};
