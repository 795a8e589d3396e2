//! Tries to lose a note, and says whether it could.
//!
//! The real binary serves a book on loopback and is killed, cut off from power,
//! given a full disk and a failing one. Each trial remembers only what the
//! binary acknowledged; the book is then read by the store alone and compared.
//! `cargo xtask torture` runs the full size, the tests of this crate a small
//! one with fixed seeds.

pub mod backups;
pub mod built;
pub mod dice;
pub mod disk;
pub mod flips;
pub mod full_disk;
pub mod house;
pub mod io_errors;
pub mod judge;
pub mod kills;
pub mod load;
pub mod outcome;
pub mod power;
pub mod record;
pub mod scratch;
pub mod slip;

pub use outcome::Outcome;
