//! Normal numbers and exponentials for the innermost loop: nine digits instead of sixteen, a third of the time.

use super::{Dice, inverse_normal};
use std::sync::LazyLock;

/// Cells in which each halving of the distance to 0 or 1 is cut.
const CELL_BITS: u32 = 5;
/// A uniform number is never nearer to 0 than this power of two.
const LEAST_EXPONENT: u64 = 1023 - 53;
const CELLS: usize = 52 << CELL_BITS;

/// The inverse of the normal distribution as cubic pieces, finer towards the tails.
#[derive(Debug)]
pub struct NormalTable {
    pieces: Vec<[f64; 4]>,
}

static TABLE: LazyLock<NormalTable> = LazyLock::new(NormalTable::new);

impl NormalTable {
    /// The table, made when it is first asked for.
    pub fn get() -> &'static NormalTable {
        &TABLE
    }

    fn new() -> NormalTable {
        let begins =
            |cell: usize| f64::from_bits((LEAST_EXPONENT << 52) + ((cell as u64) << (52 - CELL_BITS)));
        let at = |p: f64| {
            let z = inverse_normal(p);
            let density = libm::exp(-0.5 * z * z) / (2.0 * std::f64::consts::PI).sqrt();
            (z, 1.0 / density)
        };
        let mut left = (begins(0), at(begins(0)));
        let pieces = (0..CELLS).map(|cell| {
            let (p0, (z0, slope0)) = left;
            let p1 = begins(cell + 1);
            let (z1, slope1) = at(p1);
            left = (p1, (z1, slope1));
            // Hermite's cubic: values and slopes agree at both ends.
            let (rise, m0, m1) = (z1 - z0, slope0 * (p1 - p0), slope1 * (p1 - p0));
            [z0, m0, 3.0 * rise - 2.0 * m0 - m1, m0 + m1 - 2.0 * rise]
        });
        // One half itself has a piece of its own.
        NormalTable { pieces: pieces.chain([[0.0; 4]]).collect() }
    }

    /// The number below which a standard normal number lies with chance `u`.
    ///
    /// # Formula
    /// Cubic pieces through values and slopes of [`inverse_normal`], 32 for each halving of the smaller tail.
    /// # Holds for
    /// What [`Dice::unit`] gives: 2^-53 to 1 - 2^-53; what is less counts as that. Off by less than 3e-8.
    #[inline]
    pub fn z(&self, u: f64) -> f64 {
        let upper = u >= 0.5;
        let p = if upper { 1.0 - u } else { u };
        let bits = p.max(f64::from_bits(LEAST_EXPONENT << 52)).to_bits();
        let cell = ((bits >> (52 - CELL_BITS)) - (LEAST_EXPONENT << CELL_BITS)) as usize;
        let [a, b, c, d] = self.pieces[cell];
        let rest = (bits & ((1 << (52 - CELL_BITS)) - 1)) as i64;
        let t = rest as f64 * (1.0 / (1_u64 << (52 - CELL_BITS)) as f64);
        let z = a + t * (b + t * (c + t * d));
        if upper { -z } else { z }
    }
}

impl Dice {
    /// A standard normal number from one uniform, as [`Dice::normal`] gives it to seven digits after the point.
    #[inline]
    pub fn quick_normal(&mut self, table: &NormalTable) -> f64 {
        table.z(self.unit())
    }
}

/// The exponential to eleven digits, the same bits on every machine.
///
/// # Formula
/// `2^k` times a polynomial of degree 9 in what is left of `x - k log 2`.
/// # Holds for
/// Everything: beyond plus or minus 700, and for what is not a number, the exact one is asked.
#[inline]
pub fn quick_exp(x: f64) -> f64 {
    /// Adding this leaves the whole part in the lowest bits.
    const SHIFT: f64 = 6_755_399_441_055_744.0;
    const LN2_HIGH: f64 = 6.931_471_803_691_238e-1;
    const LN2_LOW: f64 = 1.908_214_929_270_587_7e-10;
    if !(-700.0..=700.0).contains(&x) {
        return libm::exp(x);
    }
    let shifted = x * std::f64::consts::LOG2_E + SHIFT;
    let k = shifted - SHIFT;
    let r = (x - k * LN2_HIGH) - k * LN2_LOW;
    let r2 = r * r;
    let r4 = r2 * r2;
    let low = (1.0 + r) + r2 * (0.5 + r * (1.0 / 6.0));
    let middle = (1.0 / 24.0 + r * (1.0 / 120.0)) + r2 * (1.0 / 720.0 + r * (1.0 / 5040.0));
    let high = 1.0 / 40_320.0 + r * (1.0 / 362_880.0);
    let power = f64::from_bits(((shifted.to_bits() << 52) as i64).wrapping_add(1023 << 52) as u64);
    (low + r4 * (middle + r4 * high)) * power
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the exact quantile on a fine grid of both tails and the middle.
    #[test]
    fn the_table_is_the_quantile() {
        let table = NormalTable::get();
        let mut worst = 0.0_f64;
        let mut check = |u: f64| worst = worst.max((table.z(u) - inverse_normal(u)).abs());
        for step in 0..200_000 {
            check((f64::from(step) + 0.5) / 200_000.0);
        }
        for power in 1..=52 {
            for part in 0..400 {
                let p = 0.5_f64.powi(power + 1) * (1.0 + f64::from(part) / 400.0);
                check(p);
                check(1.0 - p);
            }
        }
        check(0.5);
        assert!(worst < 3e-8, "{worst:e}");
    }

    #[test]
    fn the_table_takes_every_uniform() {
        let table = NormalTable::get();
        let least = 0.5_f64.powi(53);
        assert!((table.z(least) - inverse_normal(least)).abs() < 3e-8);
        assert!((table.z(1.0 - least) + inverse_normal(least)).abs() < 3e-8);
        assert!(table.z(0.5).abs() < 1e-12);
    }

    /// Against the exact exponential, and the exact answers outside of its range.
    #[test]
    fn the_exponential_is_one() {
        for step in -70_000..=70_000 {
            let x = f64::from(step) * 0.01;
            assert!((quick_exp(x) / libm::exp(x) - 1.0).abs() < 2e-11, "{x}");
        }
        assert!((quick_exp(0.0) - 1.0).abs() < 1e-15);
        assert!(quick_exp(f64::NAN).is_nan() && quick_exp(-1e9) <= 0.0 && quick_exp(1e9).is_infinite());
        assert!(quick_exp(f64::NEG_INFINITY) <= 0.0);
    }
}
