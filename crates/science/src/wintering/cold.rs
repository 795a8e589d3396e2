//! How much cold a cocoon had, and how long warmth takes to harden a fresh pupa.

/// The air of one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirDay {
    /// Lowest of the day, or of the days that one reading stands for.
    pub low_c: f64,
    /// Highest.
    pub high_c: f64,
}

/// Cold received.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cold {
    /// Time at or below the threshold, in days of 24 hours.
    pub cold_d: f64,
    /// Days of which the air is known.
    pub known_d: u32,
    /// Days of which it is not.
    pub unknown_d: u32,
    /// Known days with frost.
    pub frost_d: u32,
}

/// The part of a day that lies at or below a threshold.
///
/// # Formula
/// A day that swings as a sine between its lowest and highest:
/// `1/2 + asin((below - mean) / half the swing) / pi`, held between 0 and 1.
/// # Units
/// degrees Celsius in, a share of the day out.
/// # Holds for
/// Days with a minimum and a maximum. A reading that stands for many days has a wider swing than each of them; the
/// share is then drawn towards one half.
/// # Errors
/// `None` for a figure that is no number, or a lowest above the highest.
/// # Source
/// The sine day of degree-day arithmetic, Allen 1976.
/// # Checked against
/// Summing the sine minute by minute (in the tests).
/// # Example
/// ```
/// use science::wintering::{AirDay, share_below};
/// assert_eq!(share_below(AirDay { low_c: 3.0, high_c: 5.0 }, 6.0), Some(1.0));
/// assert_eq!(share_below(AirDay { low_c: 2.0, high_c: 8.0 }, 5.0), Some(0.5));
/// ```
pub fn share_below(day: AirDay, below_c: f64) -> Option<f64> {
    let finite = day.low_c.is_finite() && day.high_c.is_finite() && below_c.is_finite();
    if !finite || day.low_c > day.high_c {
        return None;
    }
    if below_c >= day.high_c {
        return Some(1.0);
    }
    if below_c < day.low_c {
        return Some(0.0);
    }
    let (mean_c, half_c) = (f64::midpoint(day.low_c, day.high_c), 0.5 * (day.high_c - day.low_c));
    let at = ((below_c - mean_c) / half_c).clamp(-1.0, 1.0);
    Some(0.5 + libm::asin(at) / std::f64::consts::PI)
}

/// Cold received over days of which some may be unknown.
///
/// # Formula
/// The sum of [`share_below`] over the days whose air is known. Days without air are counted apart, never as warm or cold.
/// # Units
/// Days of 24 hours.
/// # Holds for, source
/// As [`share_below`]. # Errors: a day whose figures cannot be counts as unknown.
/// # Checked against
/// By hand in the tests.
/// # Example
/// ```
/// use science::wintering::{AirDay, cold_received};
/// let tub = AirDay { low_c: 3.0, high_c: 5.0 };
/// let had = cold_received(&[Some(tub), Some(tub), None], 5.0);
/// assert_eq!((had.cold_d, had.known_d, had.unknown_d), (2.0, 2, 1));
/// ```
pub fn cold_received(days: &[Option<AirDay>], below_c: f64) -> Cold {
    let mut cold = Cold::default();
    for day in days {
        match day.and_then(|it| Some((it, share_below(it, below_c)?))) {
            Some((day, share)) => {
                cold.cold_d += share;
                cold.known_d += 1;
                cold.frost_d += u32::from(day.low_c < 0.0);
            }
            None => cold.unknown_d += 1,
        }
    }
    cold
}

/// After how many days warmth adds up to a need.
///
/// # Formula
/// The first `n` with `sum over the first n days of max(0, mean - lower) >= need_dd`; a day whose air is unknown counts as
/// `else_c`, and so does every day after the last.
/// # Units
/// degree-days and degrees Celsius; whole days.
/// # Holds for
/// A stage with a lower threshold and no upper one. # Errors: `None` where it does not happen in 400 days.
/// # Source
/// The definition of the thermal sum. # Checked against: by hand.
/// # Example
/// ```
/// use science::wintering::warm_days_needed;
/// // 80 degree-days above 9 are 8 days at 19 degrees, 16 at 14.
/// assert_eq!(warm_days_needed(80.0, 9.0, &[], 19.0), Some(8));
/// assert_eq!(warm_days_needed(80.0, 9.0, &[Some(14.0); 30], 19.0), Some(16));
/// ```
pub fn warm_days_needed(need_dd: f64, lower_c: f64, means_c: &[Option<f64>], else_c: f64) -> Option<usize> {
    const LONGEST_D: usize = 400;
    let mut sum = 0.0;
    for day in 0..LONGEST_D {
        if sum >= need_dd - 1e-9 {
            return Some(day);
        }
        let mean = means_c.get(day).copied().flatten().filter(|it| it.is_finite()).unwrap_or(else_c);
        sum += (mean - lower_c).max(0.0);
    }
    None
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    /// The slow twin: every minute of a sine day.
    #[test]
    fn the_sine_summed_minute_by_minute() {
        for (low_c, high_c, below_c) in [(0.8, 10.9, 6.0), (-4.0, 7.2, 6.0), (3.2, 9.6, 5.0), (2.0, 2.0, 2.0)]
        {
            let minutes = 1440_u32;
            let below = (0..minutes)
                .filter(|it| {
                    let angle = std::f64::consts::TAU * (f64::from(*it) + 0.5) / f64::from(minutes);
                    f64::midpoint(low_c, high_c) + 0.5 * (high_c - low_c) * angle.sin() <= below_c
                })
                .count();
            let share = share_below(AirDay { low_c, high_c }, below_c).unwrap();
            assert!((share - below as f64 / f64::from(minutes)).abs() < 0.002, "{low_c} {high_c} {share}");
        }
    }

    #[test]
    fn broken_air_is_unknown_and_never_cold() {
        let broken = [
            AirDay { low_c: 5.0, high_c: 3.0 },
            AirDay { low_c: f64::NAN, high_c: 3.0 },
            AirDay { low_c: 1.0, high_c: f64::INFINITY },
        ];
        let had = cold_received(&broken.map(Some), 5.0);
        assert_eq!((had.cold_d, had.known_d, had.unknown_d), (0.0, 0, 3));
        assert_eq!(cold_received(&[Some(AirDay { low_c: -2.0, high_c: 4.0 })], 5.0).frost_d, 1);
        assert_eq!(warm_days_needed(10.0, 9.0, &[], 5.0), None);
        assert_eq!(warm_days_needed(10.0, 9.0, &[Some(f64::NAN)], 19.0), Some(1));
    }
}
