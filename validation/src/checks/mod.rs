//! The checks, one file for each thing that is demanded.

pub mod dates;
pub mod odds;
pub mod outlook;
pub mod ranks;
pub mod season_a;
pub mod warning;
pub mod worlds;

use crate::case::{Case, Effort};
use crate::census::{SITUATIONS, Seen};
use crate::lanes;
use crate::size::Size;
use crate::world::World;
use anyhow::Result;

/// Hears how far a check has come.
pub type Told<'a> = &'a (dyn Fn(&str) + Sync);

/// The situations of a side check: all three at full size, half in L4 at small size.
pub(crate) fn situations(size: Size) -> &'static [Seen] {
    match size {
        Size::Full => &SITUATIONS,
        Size::Small => &SITUATIONS[1..2],
    }
}

/// Broods of one world and situation. `salt` keeps the seeds of different checks apart.
pub(crate) fn broods(
    world: &World,
    seen: Seen,
    (n, size, blind_too): (usize, Size, bool),
    salt: u64,
    told: Told<'_>,
) -> Result<Vec<Case>> {
    let effort = Effort { runs: size.runs(), blind_too };
    let job = |index: usize| Case::made(world, seen, effort, salt * 1_000_000 + index as u64);
    lanes::each(n, job, |done| {
        if done % 100 == 0 || done == n {
            told(&format!("{}, {}: {done} of {n} broods", world.name, seen.name));
        }
    })
}
