//! A forecast date with its range, and how good it was once the truth is known.

use statrs::function::erf::erfc;
use std::f64::consts::{PI, SQRT_2};

/// The levels of the seven numbers by which the file interface tells a range.
pub const LEVELS: [(&str, f64); 7] =
    [("q05", 0.05), ("q10", 0.10), ("q25", 0.25), ("q50", 0.50), ("q75", 0.75), ("q90", 0.90), ("q95", 0.95)];

/// The same levels as standard normal numbers (any table of the normal distribution).
const NORMAL: [f64; 7] = [
    -1.644_853_626_951_472_2,
    -1.281_551_565_544_600_4,
    -0.674_489_750_196_081_7,
    0.0,
    0.674_489_750_196_081_7,
    1.281_551_565_544_600_4,
    1.644_853_626_951_472_2,
];

/// A date with its range, days.
///
/// Between the seven levels the date is taken to be a straight line in standard normal numbers, and beyond them
/// the line from the quarter to the twentieth goes on. For a normal distribution that is exact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread(pub [f64; 7]);

impl Spread {
    /// The date of which it is even odds that it comes later.
    #[must_use]
    pub fn middle_d(&self) -> f64 {
        self.0[3]
    }

    /// Whether the range from one level to another holds the truth.
    fn holds(&self, low: usize, high: usize, truth_d: f64) -> bool {
        self.0[low] <= truth_d && truth_d <= self.0[high]
    }

    /// Whether the 50 % range holds the truth.
    #[must_use]
    pub fn holds_50(&self, truth_d: f64) -> bool {
        self.holds(2, 4, truth_d)
    }

    /// Whether the 80 % range holds the truth.
    #[must_use]
    pub fn holds_80(&self, truth_d: f64) -> bool {
        self.holds(1, 5, truth_d)
    }

    /// Whether the 90 % range holds the truth.
    #[must_use]
    pub fn holds_90(&self, truth_d: f64) -> bool {
        self.holds(0, 6, truth_d)
    }

    /// Pieces in which the date is a straight line of a standard normal number: from, to, date at `from`, slope.
    fn pieces(&self) -> [(f64, f64, f64, f64); 8] {
        let slope = |a: usize, b: usize| (self.0[b] - self.0[a]) / (NORMAL[b] - NORMAL[a]);
        let mut pieces = [(0.0, 0.0, 0.0, 0.0); 8];
        pieces[0] = (f64::NEG_INFINITY, NORMAL[0], self.0[0], slope(0, 2));
        for at in 0..6 {
            pieces[at + 1] = (NORMAL[at], NORMAL[at + 1], self.0[at], slope(at, at + 1));
        }
        pieces[7] = (NORMAL[6], f64::INFINITY, self.0[6], slope(4, 6));
        pieces
    }

    /// The forecast's own chance that it comes before the truth did: even from 0 to 1 if the forecast is right.
    #[must_use]
    pub fn rank_of(&self, truth_d: f64) -> f64 {
        for (index, (from, to, from_d, slope)) in self.pieces().into_iter().enumerate() {
            let (anchor, beyond) = if index == 0 { (to, false) } else { (from, index == 7) };
            let reached_d = from_d + slope * (to - anchor);
            if truth_d <= reached_d || beyond {
                let step = if slope > 0.0 { (truth_d - from_d) / slope } else { 0.0 };
                return normal_below((anchor + step).clamp(-9.0, 9.0));
            }
        }
        1.0
    }

    /// The continuous ranked probability score, days; 0 is perfect.
    ///
    /// `CRPS = integral of (F(x) - [x >= truth])^2 dx`, in closed form on each straight piece because
    /// `integral of Phi^2 = z Phi^2 + 2 phi Phi - Phi(z sqrt 2) / sqrt pi`.
    /// Holds for: ranges whose levels do not fall. Source: Gneiting & Raftery (2007).
    /// Checked against: their closed form for the normal distribution, as two libraries compute it.
    #[must_use]
    pub fn crps_d(&self, truth_d: f64) -> f64 {
        let mut sum_d = 0.0;
        for (index, (from, to, from_d, slope)) in self.pieces().into_iter().enumerate() {
            if slope <= 0.0 {
                continue;
            }
            let anchor = if index == 0 { to } else { from };
            let cut = (anchor + (truth_d - from_d) / slope).clamp(from, to);
            sum_d += slope * (below(cut) - below(from) + below(-cut) - below(-to));
        }
        // A truth beyond both ends of a range without width is only distance.
        let flat = self.0[0] >= self.0[6];
        if flat { (truth_d - self.0[3]).abs() } else { sum_d }
    }

    /// The same range, all of it later. Only for planted errors.
    #[must_use]
    pub fn later(self, days: f64) -> Spread {
        Spread(self.0.map(|it| it + days))
    }

    /// The same middle with a range of another width. Only for planted errors.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Spread {
        Spread(self.0.map(|it| self.0[3] + factor * (it - self.0[3])))
    }
}

/// The standard normal distribution function.
fn normal_below(z: f64) -> f64 {
    0.5 * erfc(-z / SQRT_2)
}

/// The integral of its square from minus infinity.
fn below(z: f64) -> f64 {
    if z < -30.0 {
        return 0.0;
    }
    let (big, small) = (normal_below(z), (-0.5 * z * z).exp() / (2.0 * PI).sqrt());
    z * big * big + 2.0 * small * big - normal_below(z * SQRT_2) / PI.sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn normal(mean_d: f64, sd_d: f64) -> Spread {
        Spread(NORMAL.map(|it| mean_d + sd_d * it))
    }

    /// Gneiting & Raftery (2007), closed form for the normal distribution; the numbers are those of scoringrules
    /// 0.10.0 `crps_normal` and properscoring 0.1 `crps_gaussian`.
    #[test]
    fn the_score_of_a_normal_forecast_is_the_published_one() {
        for (truth, mean, sd, published) in
            [(1.0, 0.0, 1.0, 0.602_441_357_628), (20.0, 30.0, 2.5, 8.589_561_767_42)]
        {
            let found = normal(mean, sd).crps_d(truth);
            assert!((found - published).abs() < 1e-9, "{found} for {published}");
            // A planted error: half the width is another score.
            assert!((normal(mean, sd).scaled(0.5).crps_d(truth) - published).abs() > 1e-3);
        }
        // At its own middle: sd (sqrt 2 - 1) / sqrt pi.
        let at_middle = normal(5.0, 2.0).crps_d(5.0);
        assert!((at_middle - 2.0 * (SQRT_2 - 1.0) / PI.sqrt()).abs() < 1e-12, "{at_middle}");
    }

    /// The score of a lopsided range against the plain sum of its definition.
    #[test]
    fn the_score_is_the_integral_of_its_definition() {
        let range = Spread([2.0, 2.5, 4.0, 5.0, 5.0, 9.0, 14.0]);
        for truth_d in [-3.0, 2.2, 5.0, 7.0, 30.0] {
            let step_d = 1e-3;
            let sum: f64 = (-60_000..120_000)
                .map(|it| (f64::from(it) + 0.5) * step_d)
                .map(|x| (range.rank_of(x) - f64::from(u8::from(x >= truth_d))).powi(2) * step_d)
                .sum();
            let found = range.crps_d(truth_d);
            assert!((found - sum).abs() < 5e-3, "{truth_d}: {found} for {sum}");
        }
    }

    #[test]
    fn ranks_are_the_levels_at_the_levels() {
        let range = Spread([1.0, 2.0, 4.0, 5.0, 6.5, 9.0, 14.0]);
        for (value, (_, level)) in range.0.iter().zip(LEVELS) {
            assert!((range.rank_of(*value) - level).abs() < 1e-9, "{level}");
        }
        assert!(range.rank_of(-100.0) < 1e-6 && range.rank_of(100.0) > 1.0 - 1e-6);
    }

    #[test]
    fn a_date_without_width_scores_its_distance() {
        assert!((Spread([3.0; 7]).crps_d(5.0) - 2.0).abs() < 1e-12);
    }
}
