//! Distributions made from uniform numbers: truncated normal, gamma, beta.

use super::{Dice, NormalTable, inverse_normal, normal_upper};

impl Dice {
    /// A standard normal number, given that it lies above `lower`.
    ///
    /// # Formula
    /// `z = -Phi^-1(u Q(lower))` with `Q` the upper tail: exact, one uniform, and it keeps its digits far out
    /// in the tail, where `Phi(lower)` would round to 1.
    ///
    /// # Holds for
    /// Every finite `lower` up to about 37; beyond, where the tail underflows, `lower` itself is returned.
    ///
    /// ```
    /// let mut dice = science::dice::Dice::seeded(1);
    /// assert!((0..1000).all(|_| dice.normal_above(6.0) >= 6.0));
    /// ```
    #[inline]
    pub fn normal_above(&mut self, lower: f64) -> f64 {
        let u = self.unit();
        if lower < -8.0 {
            // The cut takes less than 1e-15 of the mass: the plain draw, in the same orientation.
            return -inverse_normal(u);
        }
        let z = -inverse_normal(u * normal_upper(lower));
        // Rounding may step back over the bound by one unit in the last place.
        if z.is_finite() { z.max(lower) } else { lower }
    }

    /// A gamma number with the given shape and scale 1 (Marsaglia & Tsang 2000); 0 for a shape that is not positive.
    pub fn gamma(&mut self, shape: f64) -> f64 {
        if shape.is_nan() || shape <= 0.0 {
            return 0.0;
        }
        if shape < 1.0 {
            // Raised to the shape above one and brought back down by a power of a uniform.
            let u = self.unit();
            return self.gamma(shape + 1.0) * libm::exp(libm::log(u) / shape);
        }
        let d = shape - 1.0 / 3.0;
        let c = 1.0 / (9.0 * d).sqrt();
        let table = NormalTable::get();
        loop {
            let z = self.quick_normal(table);
            let v = 1.0 + c * z;
            if v <= 0.0 {
                continue;
            }
            let cube = v * v * v;
            let u = self.unit();
            // The squeeze of the same paper takes nearly all without a logarithm, and never one that it would refuse.
            let square = z * z;
            if u < 1.0 - 0.0331 * square * square
                || libm::log(u) < 0.5 * z * z + d - d * cube + d * libm::log(cube)
            {
                return d * cube;
            }
        }
    }

    /// A beta number with the given mean, as sure as `weight` animals seen.
    ///
    /// A mean of 0 or 1, or an endless weight, is returned as it is: it leaves nothing to draw.
    pub fn beta(&mut self, mean: f64, weight: f64) -> f64 {
        if mean.is_nan() || mean <= 0.0 || mean >= 1.0 || weight.is_infinite() {
            return mean;
        }
        let yes = self.gamma(mean * weight);
        let no = self.gamma((1.0 - mean) * weight);
        let sum = yes + no;
        if sum > 0.0 { yes / sum } else { mean }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Mean and variance against the closed forms, four standard errors each way for the mean and six per
    /// cent for the variance (over four standard errors at this size): fails by chance about once in 10,000.
    #[track_caller]
    fn check(drawn: &[f64], mean: f64, variance: f64) {
        let n = drawn.len() as f64;
        let seen = drawn.iter().sum::<f64>() / n;
        let spread = drawn.iter().map(|it| (it - seen) * (it - seen)).sum::<f64>() / n;
        assert!((seen - mean).abs() < 4.0 * (variance / n).sqrt(), "mean {seen}, not {mean}");
        assert!((spread / variance - 1.0).abs() < 0.06, "variance {spread}, not {variance}");
    }

    #[test]
    fn gamma_has_its_mean_and_variance() {
        let mut dice = Dice::seeded(11);
        for shape in [0.4, 1.0, 3.5, 40.0] {
            let drawn: Vec<f64> = (0..60_000).map(|_| dice.gamma(shape)).collect();
            check(&drawn, shape, shape);
        }
    }

    #[test]
    fn beta_has_its_mean_and_variance() {
        let mut dice = Dice::seeded(12);
        for (mean, weight) in [(0.8, 10.0), (0.3, 2.0), (0.95, 10.0)] {
            let drawn: Vec<f64> = (0..60_000).map(|_| dice.beta(mean, weight)).collect();
            check(&drawn, mean, mean * (1.0 - mean) / (weight + 1.0));
        }
    }

    /// The mean above a bound is the density there over the tail (the inverse Mills ratio).
    #[test]
    fn the_tail_has_the_mills_mean() {
        let mut dice = Dice::seeded(13);
        for lower in [-9.0, -1.0, 0.5, 3.0, 7.0] {
            let density = libm::exp(-0.5 * lower * lower) / (2.0 * std::f64::consts::PI).sqrt();
            let mean = density / normal_upper(lower);
            let variance = 1.0 + lower * mean - mean * mean;
            let drawn: Vec<f64> = (0..60_000).map(|_| dice.normal_above(lower)).collect();
            check(&drawn, mean, variance);
        }
    }

    #[test]
    #[allow(clippy::float_cmp, reason = "certainty is passed through unchanged")]
    fn certainty_is_not_drawn() {
        let mut dice = Dice::seeded(14);
        assert_eq!(dice.beta(1.0, 10.0), 1.0);
        assert_eq!(dice.beta(0.0, 10.0), 0.0);
        assert_eq!(dice.beta(0.7, f64::INFINITY), 0.7);
    }
}
