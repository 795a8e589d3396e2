//! Dice that are handed in: seeded, portable, and independent of the order in which they are thrown.
//!
//! Every stream of numbers is named by `(seed, purpose, run, index)`, so an animal draws the same numbers
//! whatever thread simulates it and however many animals were simulated before it.
//!
//! Nothing here calls the platform's mathematics library: exponentials and logarithms come from `libm`
//! (plain Rust), the rest is addition, multiplication and the square root, which IEEE 754 fixes to the last
//! bit. The same seed therefore gives the same bits on every machine.

mod normal;
mod quick;
mod shapes;

pub use normal::{inverse_normal, normal_cdf, normal_upper};
pub use quick::{NormalTable, quick_exp};

use rand_core::{Rng, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

/// What a stream of numbers is for. Two purposes never share numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// The pace of the whole brood in one run.
    Pace,
    /// The survival of one stage in one run.
    Survival,
    /// The diseases that hit one box in one run.
    Shock,
    /// The life of one animal in one run.
    Animal,
    /// The shared pool of candidates for a hidden age.
    Candidate,
    /// The choice of the runs that fit what was counted.
    Choice,
    /// Appetite and waste in one run.
    Leaf,
    /// What may have happened to animals that were only counted.
    Story,
    /// Which pupae rest and which go on.
    Rest,
    /// Cohorts that are lived side by side.
    Census,
    /// Anything else; tests and single-purpose callers.
    Other,
}

impl Purpose {
    /// Fixed numbers, so that adding a purpose never changes the numbers of another.
    fn tag(self) -> u64 {
        match self {
            Purpose::Pace => 1,
            Purpose::Survival => 2,
            Purpose::Shock => 3,
            Purpose::Animal => 4,
            Purpose::Candidate => 5,
            Purpose::Choice => 6,
            Purpose::Leaf => 7,
            Purpose::Other => 8,
            Purpose::Story => 9,
            Purpose::Rest => 10,
            Purpose::Census => 11,
        }
    }
}

/// A seeded source of random numbers.
///
/// ```
/// use science::dice::{Dice, Purpose};
/// let mut first = Dice::of(7, Purpose::Animal, 3, 11);
/// let mut again = Dice::of(7, Purpose::Animal, 3, 11);
/// assert_eq!(first.unit().to_bits(), again.unit().to_bits());
/// ```
#[derive(Debug, Clone)]
pub struct Dice {
    source: Xoshiro256PlusPlus,
}

/// The dice of one purpose and run: half of the work of naming them is done.
#[derive(Debug, Clone, Copy)]
pub struct DiceBox {
    key: u64,
}

impl DiceBox {
    /// For one purpose and run under a seed.
    #[inline]
    pub fn of(seed: u64, purpose: Purpose, run: u64) -> Self {
        DiceBox { key: scatter(scatter(scatter(seed) ^ purpose.tag()) ^ run) }
    }

    /// The dice of one index: the same as [`Dice::of`] gives.
    #[inline]
    pub fn dice(self, index: u64) -> Dice {
        Dice::from_key(scatter(self.key ^ index))
    }
}

/// One step of SplitMix64 (Steele, Lea & Flood 2014): a bijection that scatters neighbouring numbers.
fn scatter(state: u64) -> u64 {
    let mut it = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
    it = (it ^ (it >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    it = (it ^ (it >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    it ^ (it >> 31)
}

impl Dice {
    /// The dice of one purpose, run and index (animal, box or stage) under a seed.
    pub fn of(seed: u64, purpose: Purpose, run: u64, index: u64) -> Self {
        DiceBox::of(seed, purpose, run).dice(index)
    }

    fn from_key(key: u64) -> Self {
        let mut bytes = [0_u8; 32];
        let mut word = key;
        for eight in bytes.chunks_exact_mut(8) {
            word = scatter(word);
            eight.copy_from_slice(&word.to_le_bytes());
        }
        Dice { source: Xoshiro256PlusPlus::from_seed(bytes) }
    }

    /// Dice for a caller that needs only one stream.
    pub fn seeded(seed: u64) -> Self {
        Dice::of(seed, Purpose::Other, 0, 0)
    }

    /// A number strictly between 0 and 1, an odd multiple of 2^-53.
    #[inline]
    pub fn unit(&mut self) -> f64 {
        // The half step keeps 0 and 1 out, so that logarithms and quantiles stay finite.
        let steps = (self.source.next_u64() >> 12) as f64 + 0.5;
        steps * (1.0 / 4_503_599_627_370_496.0)
    }

    /// Sixty-four even bits.
    #[inline]
    pub(crate) fn bits(&mut self) -> u64 {
        self.source.next_u64()
    }

    /// A standard normal number, one uniform each, by the inverse distribution.
    ///
    /// One uniform per normal keeps common random numbers in step between two forecasts.
    #[inline]
    pub fn normal(&mut self) -> f64 {
        inverse_normal(self.unit())
    }

    /// True with the given chance; never for NaN.
    #[inline]
    pub fn happens(&mut self, chance: f64) -> bool {
        self.unit() < chance
    }

    /// A waiting time with mean 1.
    #[inline]
    pub fn waiting(&mut self) -> f64 {
        -libm::log(self.unit())
    }

    /// A whole number below `bound` (0 if `bound` is 0).
    #[inline]
    pub fn below(&mut self, bound: usize) -> usize {
        let drawn = (self.unit() * bound as f64) as usize;
        drawn.min(bound.saturating_sub(1))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp, reason = "a test may panic and compares bits")]
    use super::*;

    /// The published reference of SplitMix64 from state 1234567 (printed in many language libraries' tests).
    #[test]
    fn scatter_is_splitmix64() {
        let step = 0x9E37_79B9_7F4A_7C15_u64;
        let state = 1_234_567_u64;
        let seen: Vec<u64> = (0..3).map(|it| scatter(state.wrapping_add(step.wrapping_mul(it)))).collect();
        // Values from memory of the reference implementation's published test.
        assert_eq!(seen, [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]);
    }

    /// Freezes the streams: a change here changes every stored forecast, and must be told to the keeper.
    ///
    /// The bits come from a separate Python program written from the published algorithms (SplitMix64,
    /// xoshiro256++) and the normal quantile of Python's statistics module.
    #[test]
    fn first_numbers_are_frozen() {
        let mut dice = Dice::of(20_250_601, Purpose::Animal, 5, 17);
        let seen = [dice.unit().to_bits(), dice.unit().to_bits(), dice.normal().to_bits()];
        assert_eq!(seen, FROZEN, "{seen:?}");
    }
    const FROZEN: [u64; 3] =
        [4_604_345_041_330_415_679, 4_594_333_298_069_898_676, 4_609_184_020_404_081_840];

    #[test]
    fn purposes_runs_and_indices_do_not_share_numbers() {
        let first = |purpose, run, index| Dice::of(1, purpose, run, index).unit();
        let all = [
            first(Purpose::Animal, 0, 0),
            first(Purpose::Animal, 0, 1),
            first(Purpose::Animal, 1, 0),
            first(Purpose::Pace, 0, 0),
            first(Purpose::Survival, 0, 0),
        ];
        for (i, a) in all.iter().enumerate() {
            assert!(all.iter().skip(i + 1).all(|b| a != b));
        }
    }

    /// Mean 1/2 and variance 1/12 within four standard errors: a right generator fails once in 8,000 seeds.
    #[test]
    fn units_are_uniform() {
        let n = 200_000;
        let mut dice = Dice::seeded(3);
        let drawn: Vec<f64> = (0..n).map(|_| dice.unit()).collect();
        let mean = drawn.iter().sum::<f64>() / f64::from(n);
        let variance = drawn.iter().map(|it| (it - mean) * (it - mean)).sum::<f64>() / f64::from(n);
        assert!((mean - 0.5).abs() < 4.0 * (1.0 / 12.0 / f64::from(n)).sqrt(), "{mean}");
        assert!((variance * 12.0 - 1.0).abs() < 4.0 * (0.8 / f64::from(n)).sqrt(), "{variance}");
        assert!(drawn.iter().all(|it| *it > 0.0 && *it < 1.0));
    }
}
