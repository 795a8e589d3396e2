//! Random numbers of this crate's own making, so that nothing is shared with the engine that is judged.

use rand_core::{Rng, SeedableRng};
use rand_xoshiro::Xoshiro256StarStar;

/// Dice that always fall the same way for the same seed.
#[derive(Debug, Clone)]
pub struct Dice(Xoshiro256StarStar);

impl Dice {
    /// The dice of one brood of one check.
    #[must_use]
    pub fn new(seed: u64) -> Dice {
        Dice(Xoshiro256StarStar::seed_from_u64(seed))
    }

    /// Even on the open interval from 0 to 1.
    pub fn even(&mut self) -> f64 {
        ((self.0.next_u64() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    /// Even between two ends.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.even()
    }

    /// A whole number, both ends included.
    pub fn whole(&mut self, low: u32, high: u32) -> u32 {
        let faces = f64::from(high - low + 1);
        low + (self.even() * faces) as u32
    }

    /// True with a chance.
    pub fn falls(&mut self, chance: f64) -> bool {
        self.even() < chance
    }

    /// A standard normal number, by the polar method of Marsaglia & Bray (1964).
    pub fn normal(&mut self) -> f64 {
        loop {
            let (x, y) = (self.between(-1.0, 1.0), self.between(-1.0, 1.0));
            let square = x * x + y * y;
            if square > 0.0 && square < 1.0 {
                return x * (-2.0 * square.ln() / square).sqrt();
            }
        }
    }

    /// A gamma number of scale 1, by Marsaglia & Tsang (2000).
    pub fn gamma(&mut self, shape: f64) -> f64 {
        if shape < 1.0 {
            return self.gamma(shape + 1.0) * self.even().powf(1.0 / shape);
        }
        let d = shape - 1.0 / 3.0;
        let c = 1.0 / (9.0 * d).sqrt();
        loop {
            let x = self.normal();
            let v = (1.0 + c * x).powi(3);
            if v > 0.0 && self.even().ln() < 0.5 * x * x + d - d * v + d * v.ln() {
                return d * v;
            }
        }
    }

    /// A beta number with a mean and the weight of so many animals.
    pub fn beta(&mut self, mean: f64, weight: f64) -> f64 {
        let (a, b) = (self.gamma(mean * weight), self.gamma((1.0 - mean) * weight));
        a / (a + b)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DRAWS: u32 = 40_000;

    /// Mean and variance of many draws.
    fn moments(mut draw: impl FnMut() -> f64) -> (f64, f64) {
        let drawn: Vec<f64> = (0..DRAWS).map(|_| draw()).collect();
        let mean = drawn.iter().sum::<f64>() / f64::from(DRAWS);
        let variance = drawn.iter().map(|it| (it - mean).powi(2)).sum::<f64>() / f64::from(DRAWS);
        (mean, variance)
    }

    /// Five standard errors of the mean: one false alarm in two million.
    fn near(mean: f64, truth: f64, variance: f64) -> bool {
        (mean - truth).abs() < 5.0 * (variance / f64::from(DRAWS)).sqrt()
    }

    #[test]
    fn normal_numbers_have_mean_0_variance_1_and_the_right_tail() {
        let mut dice = Dice::new(1);
        let (mean, variance) = moments(|| dice.normal());
        assert!(near(mean, 0.0, 1.0) && (variance - 1.0).abs() < 0.04, "{mean} {variance}");
        // One in twenty lies above 1.6449 (any table of the normal distribution).
        let (tail, _) = moments(|| f64::from(u8::from(dice.normal() > 1.644_853_6)));
        assert!(near(tail, 0.05, 0.05 * 0.95), "{tail}");
    }

    #[test]
    fn beta_numbers_have_the_mean_and_variance_of_their_closed_form() {
        let mut dice = Dice::new(2);
        for (mean, weight) in [(0.9, 10.0), (0.5, 2.0), (0.97, 10.0)] {
            let truth = mean * (1.0 - mean) / (weight + 1.0);
            let (found, variance) = moments(|| dice.beta(mean, weight));
            assert!(near(found, mean, truth), "{found} for {mean}");
            assert!((variance / truth - 1.0).abs() < 0.08, "{variance} for {truth}");
        }
    }

    #[test]
    fn every_face_of_a_whole_number_falls() {
        let mut dice = Dice::new(3);
        let mut seen = [0_u32; 4];
        for _ in 0..4000 {
            seen[dice.whole(2, 5) as usize - 2] += 1;
        }
        assert!(seen.iter().all(|it| (850..1150).contains(it)), "{seen:?}");
    }
}
