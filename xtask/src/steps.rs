//! One function per step of `check`.

mod builds;
mod deny;
mod release;
mod tidying;
mod tools;

pub use builds::{clippy, doc, fmt, tests, torture, validate};
pub use deny::deny;
pub use release::release;
pub use tidying::tidy;
pub use tools::tools;
