//! Dice with a seed: the same seed tries the same cuts and flips.

use rand_core::{Rng, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

/// Dice with a seed.
#[derive(Debug, Clone)]
pub struct Dice(Xoshiro256PlusPlus);

impl Dice {
    /// Dice that always fall the same way for the same seed.
    #[must_use]
    pub fn seeded(seed: u64) -> Dice {
        Dice(Xoshiro256PlusPlus::seed_from_u64(seed))
    }

    /// A number below `n`; 0 for an `n` of 0.
    pub fn below(&mut self, n: usize) -> usize {
        // The remainder's bias is below 1 in 2^40 for the sizes used here.
        let thrown = self.0.next_u64() % (n.max(1) as u64);
        usize::try_from(thrown).unwrap_or(0)
    }

    /// Heads or tails.
    pub fn coin(&mut self) -> bool {
        self.below(2) == 0
    }
}
