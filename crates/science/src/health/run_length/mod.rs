//! How long a loss alarm stays silent: the average run length of a cumulative sum.
//!
//! A keeper counts `S = max(0, S + x - k)` day by day and is alarmed when `S` passes `h`. Libraries disagree by a factor of
//! three on the same `k` and `h`, because some mean *above h* and some *at or above h*; here the rule is always named.

mod lattice;
mod legendre;
mod normal;

use crate::numerics::{Unfit, above, from_to, open_share};

/// When the alarm rings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// When the sum exceeds `h`.
    Above,
    /// When the sum reaches `h`.
    AtOrAbove,
}

/// Whether one sum watches for a rise or two sums watch for a rise and a fall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    /// A rise only.
    One,
    /// A rise and a fall.
    Two,
}

/// What is counted, and how.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Chart {
    /// A measured value in units of its standard deviation, shifted by `shift` from its usual mean.
    Normal {
        /// Reference value.
        k: f64,
        /// Alarm line.
        h: f64,
        /// True mean, in standard deviations from the usual one.
        shift: f64,
        /// One sum or two.
        sides: Sides,
    },
    /// A count of deaths per day.
    Poisson {
        /// Reference value.
        k: f64,
        /// Alarm line.
        h: f64,
        /// True mean count per day.
        mean: f64,
    },
    /// One animal after the other, dead or alive.
    Bernoulli {
        /// True chance of death.
        chance: f64,
        /// Score of a death, above 0.
        score_death: f64,
        /// Score of a survivor, below 0.
        score_alive: f64,
        /// Alarm line.
        h: f64,
    },
}

/// The average number of observations up to and including the one that rings the alarm, from a sum of 0.
///
/// *Formula:* normal: `L(z) = 1 + L(0) F(k-z-m) + int_0^h L(x) f(x+k-z-m) dx`, by Gauss-Legendre; two sums:
/// `1/(1/L_up + 1/L_down)`. Poisson and Bernoulli: exact Markov chain on the lattice of reachable sums.
/// *Units:* observations. *Holds for:* independent observations; `k`, `h` and scores with a common denominator up to 1,000
/// and at most 1,000 reachable sums. *Errors:* [`Unfit`] naming the input, also when the run is longer than a thousand
/// million observations, where rounding would speak instead of the formula.
/// *Source:* Page 1954; Brook & Evans 1972; Lucas 1985; Reynolds & Stoumbos 1999.
/// *Checked against:* `reference/oracles/08_health.csv` (two statistics libraries that use different rules).
///
/// ```
/// use science::health::{Chart, Rule, run_length};
/// let deaths = Chart::Poisson { k: 2.0, h: 5.0, mean: 1.0 };
/// assert!((run_length(deaths, Rule::Above).unwrap() - 6713.23466189).abs() < 1e-4);
/// assert!((run_length(deaths, Rule::AtOrAbove).unwrap() - 1903.5435).abs() < 1e-3);
/// ```
pub fn run_length(chart: Chart, rule: Rule) -> Result<f64, Unfit> {
    let length = match chart {
        Chart::Normal { k, h, shift, sides } => {
            let k = from_to("k", k, 0.0, 10.0)?;
            let h = from_to("h", above("h", h, 0.0)?, 0.0, 30.0)?;
            let shift = from_to("shift", shift, -20.0, 20.0)?;
            // A measured value reaches a line exactly with chance 0, so the two rules are one.
            let up = normal::one_sided(k, h, shift);
            match sides {
                Sides::One => up,
                Sides::Two => up.map(|up| {
                    // A sum that practically never rings adds nothing.
                    let down = normal::one_sided(k, h, -shift).map_or(0.0, |down| 1.0 / down);
                    1.0 / (1.0 / up + down)
                }),
            }
        }
        Chart::Poisson { k, h, mean } => {
            let k = from_to("k", above("k", k, 0.0)?, 0.0, 1e4)?;
            let h = above("h", h, 0.0)?;
            // Beyond 500 a day the chance of a day without deaths leaves the range of floats.
            let mean = from_to("mu", above("mu", mean, 0.0)?, 0.0, 500.0)?;
            lattice::poisson(k, h, mean, rule)?
        }
        Chart::Bernoulli { chance, score_death, score_alive, h } => {
            let chance = open_share("p", chance)?;
            let death = from_to("score_death", above("score_death", score_death, 0.0)?, 0.0, 1e4)?;
            let alive = from_to("score_alive", score_alive, -1e4, 1e4)?;
            if alive >= 0.0 {
                return Err(Unfit::outside("score_alive", alive, "below 0: a survivor calms the alarm"));
            }
            lattice::bernoulli(chance, death, alive, above("h", h, 0.0)?, rule)?
        }
    };
    length.filter(|length| (1.0 - 1e-9..1e9).contains(length)).ok_or_else(|| {
        Unfit::clash(
            "h",
            "the alarm would stay silent for more than a thousand million observations; lower it",
        )
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn a_line_below_one_step_waits_for_the_first_death() {
        // Any death rings at once, so the wait is geometric.
        let chart = Chart::Bernoulli { chance: 0.04, score_death: 3.0, score_alive: -1.0, h: 2.0 };
        assert!((run_length(chart, Rule::Above).unwrap() - 25.0).abs() < 1e-9);
        let chart = Chart::Poisson { k: 0.5, h: 0.25, mean: 0.2 };
        assert!((run_length(chart, Rule::Above).unwrap() - 1.0 / (1.0 - (-0.2_f64).exp())).abs() < 1e-9);
    }

    #[test]
    fn refusals_name_the_input() {
        let named = |chart| run_length(chart, Rule::Above).unwrap_err().name();
        assert_eq!(named(Chart::Poisson { k: 0.910239226627, h: 5.0, mean: 1.0 }), "k");
        assert_eq!(named(Chart::Poisson { k: 0.0, h: 5.0, mean: 1.0 }), "k");
        assert_eq!(named(Chart::Poisson { k: 2.0, h: 5.0, mean: f64::NAN }), "mu");
        assert_eq!(named(Chart::Poisson { k: 1e300, h: 5.0, mean: 1.0 }), "k");
        assert_eq!(named(Chart::Poisson { k: 50.0, h: 900.0, mean: 1.0 }), "h");
        assert_eq!(named(Chart::Normal { k: 0.5, h: 29.0, shift: 0.0, sides: Sides::One }), "h");
        let bernoulli = Chart::Bernoulli { chance: 0.1, score_death: 5.0, score_alive: 1.0, h: 5.0 };
        assert_eq!(named(bernoulli), "score_alive");
    }
}
