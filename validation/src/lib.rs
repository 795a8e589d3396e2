//! Slow statistical checks of the forecasts, which pass or fail by themselves.
//!
//! Broods are made by a simulator of this crate's own that steps hour by hour and shares no code with the
//! engine ([`brood`], [`air`], [`census`]). The engine is asked only as a keeper without a book asks it: two files
//! in, one answer out ([`mod@file`], [`answer`]); demo season A is asked through the book. [`checks`] holds one file for
//! each thing that is demanded. `cargo xtask validate` tries it all at full size.

pub mod air;
pub mod answer;
pub mod assumed;
pub mod binomial;
pub mod brood;
pub mod case;
pub mod census;
pub mod checks;
pub mod dice;
pub mod figure;
pub mod file;
pub mod held;
pub mod lanes;
pub mod page;
pub mod size;
pub mod spread;
pub mod verdict;
pub mod world;
