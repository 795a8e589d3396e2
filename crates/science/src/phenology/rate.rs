//! How fast a stage develops at a temperature.

/// A development-rate curve: the share of the stage done per day at a constant temperature.
#[derive(Debug, Clone, PartialEq)]
pub enum RateCurve {
    /// Straight above a threshold, level above a cut-off.
    Linear {
        /// Below this nothing happens, degrees Celsius.
        lower_c: f64,
        /// Above this warmth no longer helps, degrees Celsius.
        upper_c: f64,
        /// What the whole stage needs, degree-days above `lower_c`.
        constant_dd: f64,
    },
    /// Briere-1 (Briere et al. 1999): `a T (T - T0) sqrt(Tm - T)`, zero outside `(T0, Tm)`.
    Briere1 {
        /// The scale `a`.
        scale: f64,
        /// `T0`, degrees Celsius.
        lower_c: f64,
        /// `Tm`, degrees Celsius.
        upper_c: f64,
    },
    /// Any other curve, as a table in equal steps; straight between its points, level beyond its ends.
    Table {
        /// The temperature of the first point, degrees Celsius.
        first_c: f64,
        /// The step between points, degrees Celsius.
        step_c: f64,
        /// Rates in 1/day, one for each point.
        per_day: Vec<f64>,
    },
}

impl RateCurve {
    /// Samples any rate function from -10 to 50 degrees in steps of a twentieth of a degree.
    ///
    /// A value that is negative or not a number is taken as 0: nothing develops backwards.
    ///
    /// ```
    /// use science::phenology::RateCurve;
    /// let curve = RateCurve::sampled(|air_c| (air_c - 8.0).max(0.0) / 100.0);
    /// assert!((curve.per_day(18.0) - 0.1).abs() < 1e-12);
    /// ```
    pub fn sampled(rate: impl Fn(f64) -> f64) -> Self {
        let per_day = (0..=1200).map(|it| rate(-10.0 + f64::from(it) * 0.05)).map(not_backwards).collect();
        RateCurve::Table { first_c: -10.0, step_c: 0.05, per_day }
    }

    /// The share of the stage done in a day at a constant temperature.
    ///
    /// # Formula
    /// ```text
    /// linear    (min(T, Tu) - T0)+ / K
    /// briere-1  a T (T - T0) sqrt(Tm - T)   inside (T0, Tm), else 0
    /// ```
    /// # Units
    /// `air_c` in degrees Celsius, result in 1/day, never below 0.
    /// # Holds for
    /// Constant temperature, or an hour of a changing one.
    /// # Errors
    /// NaN in gives 0 out: a missing temperature never ripens anything.
    /// # Source
    /// Campbell et al. 1974 (linear); Briere et al. 1999 (Briere-1).
    /// # Checked against
    /// The published Briere-1 set of *Aedes aegypti* larvae (Mordecai et al. 2017): highest at 32.71 degrees.
    /// # Example
    /// ```
    /// use science::phenology::RateCurve;
    /// let egg = RateCurve::Linear { lower_c: 8.5, upper_c: 32.0, constant_dd: 135.0 };
    /// assert!((egg.per_day(22.0) - 0.1).abs() < 1e-12);
    /// ```
    #[inline]
    pub fn per_day(&self, air_c: f64) -> f64 {
        match self {
            RateCurve::Linear { lower_c, upper_c, constant_dd } => {
                above(air_c, *lower_c, *upper_c) / constant_dd
            }
            RateCurve::Briere1 { scale, lower_c, upper_c } => {
                if air_c > *lower_c && air_c < *upper_c {
                    not_backwards(scale * air_c * (air_c - lower_c) * (upper_c - air_c).sqrt())
                } else {
                    0.0
                }
            }
            RateCurve::Table { first_c, step_c, per_day } => {
                let place = (air_c - first_c) / step_c;
                let last = per_day.len().saturating_sub(1);
                if place.is_nan() || per_day.is_empty() {
                    return 0.0;
                }
                let low = (place.max(0.0) as usize).min(last);
                let high = (low + 1).min(last);
                let part = (place - low as f64).clamp(0.0, 1.0);
                per_day[low] + (per_day[high] - per_day[low]) * part
            }
        }
    }

    /// The curve without its scale, and the number of its clock's units that one stage needs.
    ///
    /// Two stages with the same thresholds run on the same clock of degree-days, however long they last.
    pub(crate) fn clock_and_need(&self) -> (RateCurve, f64) {
        match self {
            RateCurve::Linear { lower_c, upper_c, constant_dd } => {
                (RateCurve::Linear { lower_c: *lower_c, upper_c: *upper_c, constant_dd: 1.0 }, *constant_dd)
            }
            other => (other.clone(), 1.0),
        }
    }

    /// Is every number of the curve usable?
    pub(crate) fn is_sound(&self) -> bool {
        match self {
            RateCurve::Linear { lower_c, upper_c, constant_dd } => {
                lower_c.is_finite() && upper_c > lower_c && constant_dd.is_finite() && *constant_dd > 0.0
            }
            RateCurve::Briere1 { scale, lower_c, upper_c } => {
                scale.is_finite()
                    && *scale > 0.0
                    && lower_c.is_finite()
                    && upper_c.is_finite()
                    && upper_c > lower_c
            }
            RateCurve::Table { first_c, step_c, per_day } => {
                first_c.is_finite()
                    && step_c.is_finite()
                    && *step_c > 0.0
                    && per_day.iter().all(|it| it.is_finite() && *it >= 0.0)
                    && per_day.iter().any(|it| *it > 0.0)
            }
        }
    }
}

/// Degrees above the threshold, up to the cut-off; 0 for a missing temperature.
#[inline]
fn above(air_c: f64, lower_c: f64, upper_c: f64) -> f64 {
    let capped = if air_c < upper_c { air_c } else { upper_c };
    if air_c > lower_c { capped - lower_c } else { 0.0 }
}

fn not_backwards(rate: f64) -> f64 {
    if rate.is_finite() && rate > 0.0 { rate } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn linear_is_level_above_and_nothing_below() {
        let curve = RateCurve::Linear { lower_c: 10.0, upper_c: 30.0, constant_dd: 100.0 };
        for (air_c, per_day) in [(5.0, 0.0), (10.0, 0.0), (20.0, 0.1), (30.0, 0.2), (45.0, 0.2)] {
            assert!((curve.per_day(air_c) - per_day).abs() < 1e-15, "{air_c}");
        }
        assert!(curve.per_day(f64::NAN) == 0.0);
    }

    /// Published parameters of *Aedes aegypti* larvae (a public copy of Mordecai et al. 2017): the optimum by
    /// the closed form of Briere et al. 1999 with m = 2 is 32.7107 degrees.
    #[test]
    fn briere_is_highest_at_its_optimum() {
        let curve = RateCurve::Briere1 { scale: 7.86e-5, lower_c: 11.36, upper_c: 39.17 };
        let best = curve.per_day(32.7107);
        assert!(best > curve.per_day(32.69) && best > curve.per_day(32.73));
        let by_hand = 7.86e-5 * 20.0 * (20.0 - 11.36) * (39.17_f64 - 20.0).sqrt();
        assert!((curve.per_day(20.0) - by_hand).abs() < 1e-15);
        assert!(curve.per_day(11.0) == 0.0 && curve.per_day(39.5) == 0.0);
    }

    #[test]
    fn a_sampled_curve_keeps_close_to_its_function() {
        let curve = RateCurve::Briere1 { scale: 7.86e-5, lower_c: 11.36, upper_c: 39.17 };
        let table = RateCurve::sampled(|air_c| curve.per_day(air_c));
        for tenth in 100..380 {
            let air_c = f64::from(tenth) * 0.1 + 0.013;
            assert!((table.per_day(air_c) - curve.per_day(air_c)).abs() < 1e-4, "{air_c}");
        }
        assert!(RateCurve::sampled(|_| f64::NAN).per_day(20.0) == 0.0);
        assert!(!RateCurve::sampled(|_| f64::NAN).is_sound());
    }
}
