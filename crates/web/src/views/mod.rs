//! The pages as pure functions of what there is to show.

pub mod air;
pub mod begin;
pub mod boxes;
pub mod brood;
pub mod choose;
pub mod cocoons;
pub mod layout;
pub mod leaf;
pub mod lines;
pub mod morning;
pub mod odds;
pub mod oops;
pub mod outbox;
pub mod pairings;
pub mod parts;
pub mod round;
pub mod round_chips;
pub mod round_form;
pub mod round_whole;
pub mod trouble;
