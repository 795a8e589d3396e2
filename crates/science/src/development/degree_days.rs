//! Degree-days of one day from its lowest and highest temperature.
//!
//! With a logger in the box, integrate the rate over the readings instead: these methods guess the curve of the day
//! from two numbers, and a heated room does not follow the sun.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::numerics::{Unfit, from_to};

/// The lowest and the highest temperature of one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Day {
    /// Lowest temperature, degC.
    pub low_c: f64,
    /// Highest temperature, degC.
    pub high_c: f64,
}

/// The curve that a day is supposed to follow between its low and its high.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DayCurve {
    /// The mean of low and high stands for the whole day (Arnold 1959).
    Average,
    /// One sine wave (Baskerville & Emin 1969).
    Sine,
    /// One triangle (Sevacherian et al. 1977).
    Triangle,
    /// Two half waves: up from this day's low, down to the next day's low (Allen 1976).
    DoubleSine {
        /// Lowest temperature of the following day, degC.
        next_low_c: f64,
    },
    /// The four-case rule of a national weather service: quarters of the day stand for the crossing.
    FourCases,
}

/// What happens above the upper threshold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cutoff {
    /// Development quickens without limit.
    None,
    /// Development stays at its pace of the upper threshold.
    Horizontal {
        /// Upper threshold, degC.
        upper_c: f64,
    },
    /// Development slows above the upper threshold as steeply as it rose.
    Intermediate {
        /// Upper threshold, degC.
        upper_c: f64,
    },
    /// Development stands still above the upper threshold.
    Vertical {
        /// Upper threshold, degC.
        upper_c: f64,
    },
}

impl Cutoff {
    fn upper_c(self) -> Option<f64> {
        match self {
            Cutoff::None => None,
            Cutoff::Horizontal { upper_c }
            | Cutoff::Intermediate { upper_c }
            | Cutoff::Vertical { upper_c } => Some(upper_c),
        }
    }
}

/// Degree-days gained in one day above `lower_c`.
///
/// *Formula:* with `A(t)` the mean excess of the curve over `t`: none `A(L)`; horizontal `A(L) - A(U)`;
/// intermediate `A(L) - 2 A(U)`; vertical `A(L) - A(U) - (U - L) s`, `s` the share of the day above `U`.
/// Sine: `A(t) = [(M-t)(pi/2-q) + W cos q]/pi` with `q = asin((t-M)/W)`; triangle: `(high-t)^2/(2 (high-low))`;
/// average without cut-off `max(M - L, 0)`, with the horizontal one low and high are first brought between L and U.
/// *Units:* degC in, degree-days out (the arithmetic is the same in degF with degF-days).
/// *Holds for:* low <= high, lower < upper. *Errors:* [`Unfit`] naming the input.
/// *Source:* Arnold 1959; Baskerville & Emin 1969; Allen 1976; Sevacherian et al. 1977 (forms from memory).
/// *Checked against:* `reference/oracles/01_degree_days.csv`, and integration of the clipped curve in this file.
///
/// ```
/// use science::development::{Cutoff, Day, DayCurve, degree_days};
/// let day = Day { low_c: 5.0, high_c: 36.0 };
/// let dd = degree_days(DayCurve::Sine, day, 10.0, Cutoff::Horizontal { upper_c: 30.0 }).unwrap();
/// assert!((dd - 10.223290).abs() < 1e-6);
/// ```
pub fn degree_days(curve: DayCurve, day: Day, lower_c: f64, cutoff: Cutoff) -> Result<f64, Unfit> {
    let lower = air("lower_c", lower_c)?;
    let low = air("low_c", day.low_c)?;
    let high = air("high_c", day.high_c)?;
    if low > high {
        return Err(Unfit::clash("low_c", format!("{low} is above high_c, which is {high}")));
    }
    if let Some(upper) = cutoff.upper_c() {
        air("upper_c", upper)?;
        if upper <= lower {
            return Err(Unfit::outside("upper_c", upper, format!("above lower_c, which is {lower}")));
        }
    }
    if let Cutoff::Intermediate { upper_c } = cutoff
        && high > 2.0 * upper_c - lower
    {
        let why = format!("at {high} the intermediate cut-off would unmake development; name another");
        return Err(Unfit::clash("cutoff", why));
    }
    match curve {
        DayCurve::Average => average(low, high, lower, cutoff),
        DayCurve::FourCases => four_cases(low, high, lower, cutoff),
        DayCurve::Sine => Ok(under(&Wave::Sine, low, high, lower, cutoff)),
        DayCurve::Triangle => Ok(under(&Wave::Triangle, low, high, lower, cutoff)),
        DayCurve::DoubleSine { next_low_c } => {
            let next_low = air("next_low_c", next_low_c)?;
            if next_low > high {
                let why = format!("{next_low} is above high_c, which is {high}");
                return Err(Unfit::clash("next_low_c", why));
            }
            let up = under(&Wave::Sine, low, high, lower, cutoff);
            let down = under(&Wave::Sine, next_low, high, lower, cutoff);
            Ok(f64::midpoint(up, down))
        }
    }
}

/// Wide enough for degF, in which the arithmetic is the same; narrow enough to stop a slipped decimal point.
fn air(name: &'static str, value: f64) -> Result<f64, Unfit> {
    from_to(name, value, -60.0, 130.0)
}

fn average(low: f64, high: f64, lower: f64, cutoff: Cutoff) -> Result<f64, Unfit> {
    match cutoff {
        Cutoff::None => Ok((f64::midpoint(low, high) - lower).max(0.0)),
        // Low and high are brought between the thresholds one by one, so a whole day above both gives U - L.
        Cutoff::Horizontal { upper_c } => {
            Ok(f64::midpoint(low.clamp(lower, upper_c), high.clamp(lower, upper_c)) - lower)
        }
        Cutoff::Intermediate { .. } | Cutoff::Vertical { .. } => {
            Err(Unfit::clash("cutoff", "the average knows only none and horizontal; use sine or triangle"))
        }
    }
}

fn four_cases(low: f64, high: f64, lower: f64, cutoff: Cutoff) -> Result<f64, Unfit> {
    if cutoff != Cutoff::None {
        return Err(Unfit::clash("cutoff", "the four-case rule is printed without an upper threshold"));
    }
    let mean = f64::midpoint(low, high);
    Ok(if high <= lower {
        0.0
    } else if low >= lower {
        mean - lower
    } else if mean >= lower {
        (high - lower) / 2.0 - (lower - low) / 4.0
    } else {
        (high - lower) / 4.0
    })
}

enum Wave {
    Sine,
    Triangle,
}

fn under(wave: &Wave, low: f64, high: f64, lower: f64, cutoff: Cutoff) -> f64 {
    let above = |t| wave.excess(low, high, t);
    match cutoff {
        Cutoff::None => above(lower),
        Cutoff::Horizontal { upper_c } => above(lower) - above(upper_c),
        Cutoff::Intermediate { upper_c } => above(lower) - 2.0 * above(upper_c),
        Cutoff::Vertical { upper_c } => {
            above(lower) - above(upper_c) - (upper_c - lower) * wave.share_above(low, high, upper_c)
        }
    }
}

impl Wave {
    /// Mean excess over `t` through the day. The two outer cases also catch a day without any swing.
    fn excess(&self, low: f64, high: f64, t: f64) -> f64 {
        let middle = f64::midpoint(low, high);
        if low >= t {
            return middle - t;
        }
        if high <= t {
            return 0.0;
        }
        match self {
            Wave::Sine => {
                let swing = (high - low) / 2.0;
                let angle = ((t - middle) / swing).asin();
                ((middle - t) * (FRAC_PI_2 - angle) + swing * angle.cos()) / PI
            }
            Wave::Triangle => (high - t).powi(2) / (2.0 * (high - low)),
        }
    }

    /// Share of the day spent above `t`; a day that only touches `t` is not above it.
    fn share_above(&self, low: f64, high: f64, t: f64) -> f64 {
        if high <= t {
            return 0.0;
        }
        if low >= t {
            return 1.0;
        }
        match self {
            Wave::Sine => {
                let swing = (high - low) / 2.0;
                (FRAC_PI_2 - ((t - f64::midpoint(low, high)) / swing).asin()) / PI
            }
            Wave::Triangle => (high - t) / (high - low),
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    /// The slow twin: the curve is walked in small steps and the pace read off at each.
    fn walked(curve: DayCurve, day: Day, lower: f64, cutoff: Cutoff) -> f64 {
        let steps = 200_000_u32;
        let pace = |t: f64| match cutoff {
            Cutoff::None => (t - lower).max(0.0),
            Cutoff::Horizontal { upper_c } => (t.min(upper_c) - lower).max(0.0),
            Cutoff::Intermediate { upper_c } if t > upper_c => 2.0 * upper_c - t - lower,
            Cutoff::Vertical { upper_c } if t > upper_c => 0.0,
            Cutoff::Intermediate { .. } | Cutoff::Vertical { .. } => (t - lower).max(0.0),
        };
        let sum: f64 = (0..steps)
            .map(|i| {
                let x = (f64::from(i) + 0.5) / f64::from(steps);
                let low = match curve {
                    DayCurve::DoubleSine { next_low_c } if x > 0.5 => next_low_c,
                    _ => day.low_c,
                };
                let rise = match curve {
                    DayCurve::Triangle => 1.0 - (2.0 * x - 1.0).abs(),
                    _ => (1.0 - (2.0 * PI * x).cos()) / 2.0,
                };
                pace(low + (day.high_c - low) * rise)
            })
            .sum();
        sum / f64::from(steps)
    }

    #[test]
    fn every_curve_and_cutoff_equals_the_walked_day() {
        let days =
            [(5.0, 36.0), (2.0, 8.0), (12.0, 26.0), (20.0, 36.0), (31.0, 38.0), (10.0, 30.0), (18.0, 18.0)];
        for (low_c, high_c) in days {
            let day = Day { low_c, high_c };
            for curve in
                [DayCurve::Sine, DayCurve::Triangle, DayCurve::DoubleSine { next_low_c: low_c - 3.0 }]
            {
                let upper_c = 30.0;
                for cutoff in [
                    Cutoff::None,
                    Cutoff::Horizontal { upper_c },
                    Cutoff::Intermediate { upper_c },
                    Cutoff::Vertical { upper_c },
                ] {
                    let quick = degree_days(curve, day, 10.0, cutoff).unwrap();
                    let slow = walked(curve, day, 10.0, cutoff);
                    // The step at a vertical cut-off costs the walk up to one step of 20 degrees.
                    assert!((quick - slow).abs() < 3e-4, "{curve:?} {day:?} {cutoff:?}: {quick} or {slow}");
                }
            }
        }
    }

    #[test]
    fn a_whole_day_above_both_thresholds_gives_their_distance() {
        // 35/40 over 12/33 is 21 degree-days; 5 has been seen in print.
        let day = Day { low_c: 35.0, high_c: 40.0 };
        for curve in [DayCurve::Average, DayCurve::Sine, DayCurve::Triangle] {
            let dd = degree_days(curve, day, 12.0, Cutoff::Horizontal { upper_c: 33.0 }).unwrap();
            assert!((dd - 21.0).abs() < 1e-12);
        }
    }

    #[test]
    fn the_clamped_average_gives_the_worked_values() {
        // Worked values of an extension-service course page, degF over 50/88: 11, 16, 21.5.
        for (low_c, high_c, expected) in [(48.0, 72.0, 11.0), (52.0, 80.0, 16.0), (55.0, 91.0, 21.5)] {
            let day = Day { low_c, high_c };
            let dd = degree_days(DayCurve::Average, day, 50.0, Cutoff::Horizontal { upper_c: 88.0 }).unwrap();
            assert!((dd - expected).abs() < 1e-12);
        }
    }

    #[test]
    fn refusals_name_the_input() {
        let refused = |curve, low_c, high_c, lower, cutoff| {
            degree_days(curve, Day { low_c, high_c }, lower, cutoff).unwrap_err().name()
        };
        assert_eq!(refused(DayCurve::Sine, 20.0, 10.0, 10.0, Cutoff::None), "low_c");
        assert_eq!(refused(DayCurve::Sine, f64::NAN, 10.0, 10.0, Cutoff::None), "low_c");
        assert_eq!(refused(DayCurve::Sine, 5.0, 10.0, 10.0, Cutoff::Vertical { upper_c: 10.0 }), "upper_c");
        assert_eq!(refused(DayCurve::Average, 5.0, 10.0, 8.0, Cutoff::Vertical { upper_c: 30.0 }), "cutoff");
        assert_eq!(
            refused(DayCurve::Sine, 40.0, 52.0, 20.0, Cutoff::Intermediate { upper_c: 30.0 }),
            "cutoff"
        );
        assert_eq!(
            refused(DayCurve::DoubleSine { next_low_c: 11.0 }, 5.0, 10.0, 8.0, Cutoff::None),
            "next_low_c"
        );
    }
}
