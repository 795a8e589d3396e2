//! One file per thing a keeper does in a day.
//!
//! Joins the book, the models and the evidence. Knows no page, no argument
//! and no query.

mod air_note;
mod air_words;
pub mod backup;
mod begin;
mod book;
mod boxes_work;
pub mod bring_in;
pub mod brood_file;
mod calendar;
mod check;
pub mod clock;
mod cocoon_stays;
mod cocoon_words;
mod cocoons;
pub mod demo;
mod diapause;
mod egg_rest;
mod failure;
mod followed;
#[cfg(test)]
mod followed_tests;
mod forecasts;
mod frame;
#[cfg(test)]
mod hand_over_tests;
mod kin;
mod leaf_order;
mod levers;
mod line_air;
mod lines;
mod model;
mod morning;
mod note;
mod odds;
mod outbox;
mod pairing_note;
mod pairings;
pub mod reckon;
pub mod restore;
mod rests;
mod round;
pub mod salvage;
pub mod say;
mod shelf;
mod state;
mod store_watch;
mod trouble;
pub mod view;
mod weighed;

pub use air_note::AirNote;
pub use begin::{BeginNote, invented_season};
pub use book::{Keeper, Look, Opening, make_empty_book};
pub use boxes_work::{Fresh, Part, Split};
pub use check::{Found, check};
pub use clock::AsOf;
pub use evidence::{Library, library};
pub use failure::{Failure, NotNoted};
pub use outbox::{NOT_OLDER_DAYS, Slip};
pub use pairing_note::PairingNote;
pub use rearing;
pub use shelf::ShelfMove;
