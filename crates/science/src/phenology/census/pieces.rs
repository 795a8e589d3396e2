//! Lognormal numbers from thirty-two bits each, by cubic pieces.

use crate::dice::inverse_normal;

/// Pieces for each halving of the distance to the nearer end.
const BITS: u32 = 5;
/// Pieces of one half, a power of two so that no index can be out of bounds.
const HALF: usize = 2048;
/// The bits of one half, the least number that is looked up, cut to the piece.
const FIRST: u32 = (126 << 23) >> (23 - BITS);

/// `exp(a z)` as a function of the uniform number that gives the normal number `z`.
#[derive(Debug, Clone)]
pub(super) struct Pieces {
    cubic: Vec<[f32; 4]>,
}

impl Pieces {
    /// For `factor exp(a z)`.
    pub(super) fn new(a: f64, factor: f64) -> Pieces {
        let begins = |piece: usize| f64::from(f32::from_bits((FIRST + piece as u32) << (23 - BITS)));
        let mut cubic = vec![[0.0; 4]; 2 * HALF];
        let used = (32 << BITS) + 1;
        for (half, sign) in [(0, 1.0), (HALF, -1.0)] {
            // In units of 2^-32 from the nearer end: value and slope of the lower half, mirrored for the upper one.
            let at = |x: f64| {
                let z = inverse_normal((x / 4_294_967_296.0).min(0.5));
                let density = libm::exp(-0.5 * z * z) / (2.0 * std::f64::consts::PI).sqrt();
                let value = factor * libm::exp(sign * a * z);
                (value, sign * a * value / density / 4_294_967_296.0)
            };
            for piece in 0..used {
                let (x0, x1) = (begins(piece), begins(piece + 1));
                let ((y0, slope0), (y1, slope1)) = (at(x0), at(x1));
                let (rise, m0, m1) = (y1 - y0, slope0 * (x1 - x0), slope1 * (x1 - x0));
                let four = [y0, m0, 3.0 * rise - 2.0 * m0 - m1, m0 + m1 - 2.0 * rise];
                cubic[half + piece] = four.map(|it| it as f32);
            }
        }
        Pieces { cubic }
    }

    /// The number that belongs to thirty-two even bits.
    #[inline]
    pub(super) fn of(&self, bits: u32) -> f32 {
        let fold = ((bits as i32) >> 31) as u32;
        let x = ((bits ^ fold) as i32) as f32 + 0.5;
        let shown = x.to_bits();
        let piece = (shown >> (23 - BITS)).wrapping_sub(FIRST) as usize & (HALF - 1);
        let t = (shown & ((1 << (23 - BITS)) - 1)) as i32 as f32 * (1.0 / (1_u32 << (23 - BITS)) as f32);
        let [a, b, c, d] = self.cubic[piece | (fold as usize & HALF)];
        a + t * (b + t * (c + t * d))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the exact quantile, on even bits and far into both tails.
    #[test]
    fn pieces_are_the_lognormal_quantile() {
        for (a, factor) in [(0.05, 1.0), (0.3, 2.0), (0.0, 1.0)] {
            let pieces = Pieces::new(a, factor);
            let check = |bits: u32| {
                let z = inverse_normal((f64::from(bits) + 0.5) / 4_294_967_296.0);
                let exact = factor * libm::exp(a * z);
                let off = (f64::from(pieces.of(bits)) / exact - 1.0).abs();
                assert!(off < 1e-6, "{a} {bits}: {off:e}");
            };
            (0..100_000_u32).for_each(|it| check(it.wrapping_mul(2_654_435_761)));
            (0..32).for_each(|it| {
                check(1 << it);
                check(!(1 << it));
                check((1 << it) - 1);
            });
            check(u32::MAX);
            check(0);
        }
    }
}
