//! The words and units that every other crate speaks.
//!
//! Split from `rearing` because `science` must not see the book.
//! *What this crate does not do:* no storage, no reading of files, no biology.

pub mod bounds;
pub mod label;
pub mod mass;
pub mod night;
pub mod probability;
pub mod sex;
pub mod stage;

pub use bounds::{Bounds, OutOfBounds};
pub use mass::{Dry, Fresh, Grams};
pub use night::Night;
pub use probability::Probability;
pub use sex::Sex;
pub use stage::Stage;
