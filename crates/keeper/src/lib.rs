//! One file per thing a keeper does in a day.
//!
//! Joins the book, the models and the evidence. Knows no page, no argument
//! and no query.

mod book;
pub mod bring_in;
pub mod brood_file;
mod calendar;
mod check;
pub mod clock;
pub mod demo;
mod failure;
mod forecasts;
mod frame;
#[cfg(test)]
mod hand_over_tests;
mod leaf_order;
mod lines;
mod model;
mod morning;
mod note;
mod odds;
pub mod reckon;
mod rests;
mod round;
pub mod say;
mod state;
mod trouble;
pub mod view;

pub use book::{Keeper, Look, Opening, make_empty_book};
pub use check::{Found, check};
pub use clock::AsOf;
pub use evidence::{Library, library};
pub use failure::{Failure, NotNoted};
pub use rearing;
