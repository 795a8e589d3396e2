//! Stories: a whole life so far for every animal, such that together they are exactly what was counted.
//!
//! A count says how many stood where, not who. Each run therefore holds a *story*: for every animal the instants
//! at which it entered its stages and the counts at which it was seen, and beside it a pace, a spread and
//! survivals of the brood. From run to run the story is changed by moves that keep the counts (Metropolis et al.
//! 1953, Hastings 1970; data augmentation after Tanner & Wong 1987), so that the runs are draws from what may have
//! happened, given all counts together. See `docs/models/calendar.md` and `docs/decisions/0005-learning-from-counts.md`.
//!
//! **Invariant:** after every move the stories give back the counts, animal for animal.

mod begin;
mod beliefs;
mod chain;
mod cohort;
mod moves;
mod retime;
mod shift;
#[cfg(test)]
mod tests;
mod told;

pub(super) use chain::{Given, SPREAD_SD};
pub(super) use cohort::Cohort;
pub(super) use told::{Life, Told, tell};
