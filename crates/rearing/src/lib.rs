//! The book as rules: what can be noted, what it makes of the house, and every
//! rule that can say no.
//!
//! Entries go in one way only; [`House`] is what they add up to. Nothing here
//! reads a clock, a file or a table.

pub mod account;
pub mod apply;
pub mod boxes;
pub mod deed;
pub mod entry;
pub mod explain;
pub mod history;
pub mod house;
pub mod refusal;
pub mod trail;
pub mod words;

pub use account::{Fate, Share};
pub use boxes::{Cohort, RearingBox};
pub use deed::{Deed, Way};
pub use entry::{Entry, When};
pub use explain::{Explanation, explain};
pub use history::{NotReplayed, replay, replay_until, would_refuse};
pub use house::House;
pub use refusal::Refusal;
pub use trail::{Happened, Look, Mark, Trail};
