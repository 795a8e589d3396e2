//! How many nights a moth has left that is alive today.

use crate::numerics::{Unfit, above, finite, normal_cdf, normal_quantile};

/// Nights left to a moth, this one included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NightsLeft {
    /// In 1 of 10 cases fewer than this.
    pub q10: f64,
    /// Half have fewer.
    pub q50: f64,
    /// In 9 of 10 cases fewer.
    pub q90: f64,
    /// The chance that it is still alive in a night from now.
    pub tomorrow: f64,
}

/// Nights left to a moth of some age that is alive now.
///
/// # Formula
/// Nights `T` are a normal number, given that they are more than the age `a`; the quantile `p` of `T - a` is
/// `mean + sd z(F(a) + p (1 - F(a))) - a` with `F` the normal distribution function and `z` its inverse, and the chance of
/// one more night is `(1 - F(a + 1)) / (1 - F(a))`.
/// # Units
/// Nights.
/// # Holds for
/// Moths whose life does not hang on that of others; the same law as in the odds. # Errors: [`Unfit`] names what is no
/// number, a `sd_nights` that is not above 0, or an age so far beyond the mean (more than 7 `sd`) that nothing is known.
/// # Source
/// The truncated normal distribution. # Checked against: a printed value, and simulation (in the tests).
/// # Example
/// ```
/// use science::closing::nights_left;
/// // Just out, of a kind that lives 7 nights: half live 7 or more.
/// assert!((nights_left(0.0, 7.0, 1.0)?.q50 - 7.0).abs() < 1e-9);
/// // At the mean age, half of those alive have 0.6745 sd or more left.
/// assert!((nights_left(7.0, 7.0, 2.0)?.q50 - 2.0 * 0.67449).abs() < 1e-4);
/// # Ok::<(), science::numerics::Unfit>(())
/// ```
pub fn nights_left(age_nights: f64, mean_nights: f64, sd_nights: f64) -> Result<NightsLeft, Unfit> {
    let age = finite("age_nights", age_nights)?;
    let mean = finite("mean_nights", mean_nights)?;
    let sd = above("sd_nights", sd_nights, 0.0)?;
    let now = (age - mean) / sd;
    if now > 7.0 {
        return Err(Unfit::outside("age_nights", age, "an age that the kind can reach"));
    }
    // The upper tail keeps its digits.
    let alive = normal_cdf(-now);
    let left = |share: f64| {
        let z = normal_quantile(alive * (1.0 - share)).map_or(now, |it| -it);
        (mean + sd * z - age).max(0.0)
    };
    let tomorrow = normal_cdf(-(age + 1.0 - mean) / sd) / alive;
    Ok(NightsLeft { q10: left(0.1), q50: left(0.5), q90: left(0.9), tomorrow: tomorrow.clamp(0.0, 1.0) })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;
    use crate::dice::Dice;

    /// The slow twin: live many moths, keep those that reach the age, and look.
    #[test]
    fn those_that_reached_the_age_and_what_they_had_left() {
        let mut dice = Dice::seeded(11);
        for (age, mean, sd) in [(0.0, 7.0, 2.5), (5.0, 7.0, 2.5), (9.0, 7.0, 2.5)] {
            let mut left: Vec<f64> =
                (0..200_000).map(|_| mean + sd * dice.normal() - age).filter(|it| *it > 0.0).collect();
            left.sort_by(f64::total_cmp);
            let at = |share: f64| left[(share * left.len() as f64) as usize];
            let seen = nights_left(age, mean, sd).unwrap();
            for (share, own) in [(0.1, seen.q10), (0.5, seen.q50), (0.9, seen.q90)] {
                assert!((at(share) - own).abs() < 0.05, "{age} {share}: {} {own}", at(share));
            }
            let more = left.iter().filter(|it| **it > 1.0).count() as f64 / left.len() as f64;
            assert!((more - seen.tomorrow).abs() < 0.01);
        }
    }

    #[test]
    fn what_cannot_be_is_refused_by_name() {
        for (age, mean, sd, name) in [
            (f64::NAN, 7.0, 1.0, "age_nights"),
            (1.0, f64::INFINITY, 1.0, "mean_nights"),
            (1.0, 7.0, 0.0, "sd_nights"),
            (40.0, 7.0, 1.0, "age_nights"),
        ] {
            assert_eq!(nights_left(age, mean, sd).unwrap_err().name(), name);
        }
    }
}
