//! Pupae that rest or go on, by the days that the larva has seen.

use super::model::BetaPrior;
use super::winter::Winter;
use crate::dice::Dice;
use crate::light::sun_day;
use crate::numerics::Unfit;

/// What one day was like where the larvae stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LarvalDay {
    /// Hours from sunrise to sunset, or hours under lamps.
    pub sun_h: f64,
    /// Hours of civil twilight, morning and evening together; none under lamps.
    pub twilight_h: f64,
    /// Mean temperature of the air.
    pub air_c: f64,
}

impl LarvalDay {
    /// A day under the sky; `midnight_d` as in [`sun_day`].
    ///
    /// # Errors
    /// [`Unfit`] names a latitude, longitude or date that cannot be.
    pub fn under_the_sky(
        latitude_deg: f64,
        longitude_deg: f64,
        midnight_d: f64,
        air_c: f64,
    ) -> Result<LarvalDay, Unfit> {
        let day = sun_day(latitude_deg, longitude_deg, midnight_d)?;
        let sun_h = day.day_length_h();
        Ok(LarvalDay { sun_h, twilight_h: (day.light_h() - sun_h).max(0.0), air_c })
    }

    /// A day under lamps that burn for fixed hours.
    pub fn under_lamps(light_h: f64, air_c: f64) -> LarvalDay {
        LarvalDay { sun_h: light_h, twilight_h: 0.0, air_c }
    }

    fn parts(&self) -> [f64; 3] {
        [self.sun_h, self.twilight_h, self.air_c]
    }
}

/// Day after day at one place, so that the mean of any stretch is one look-up.
#[derive(Debug, Clone, PartialEq)]
pub struct LarvalDays {
    first_d: f64,
    /// Running sums up to the beginning of each day.
    sums: Vec<[f64; 3]>,
}

impl LarvalDays {
    /// From one day after the other, the first beginning at `first_d`; `None` where there is none, or one cannot be.
    pub fn new(first_d: f64, days: &[LarvalDay]) -> Option<LarvalDays> {
        let sound = |it: &LarvalDay| {
            (0.0..=24.0).contains(&it.sun_h)
                && (0.0..=24.0).contains(&it.twilight_h)
                && (-60.0..=70.0).contains(&it.air_c)
        };
        if days.is_empty() || !first_d.is_finite() || !days.iter().all(sound) {
            return None;
        }
        let mut sums = vec![[0.0; 3]];
        let mut so_far = [0.0; 3];
        for day in days {
            so_far.iter_mut().zip(day.parts()).for_each(|(sum, part)| *sum += part);
            sums.push(so_far);
        }
        Some(LarvalDays { first_d, sums })
    }

    /// The mean day between two instants; beyond the ends the first and the last day go on.
    pub fn mean(&self, from_d: f64, to_d: f64) -> LarvalDay {
        let days = self.sums.len() - 1;
        let place = |at_d: f64| (at_d - self.first_d).clamp(0.0, days as f64);
        let (from, to) = (place(from_d), place(to_d));
        let part = |which: usize| {
            let up_to = |at: f64| {
                let whole = (at.floor() as usize).min(days - 1);
                let (low, high) = (self.sums[whole][which], self.sums[whole + 1][which]);
                low + (high - low) * (at - whole as f64)
            };
            if to - from > 1e-9 {
                (up_to(to) - up_to(from)) / (to - from)
            } else {
                let whole = (from.floor() as usize).min(days - 1);
                self.sums[whole + 1][which] - self.sums[whole][which]
            }
        };
        LarvalDay { sun_h: part(0), twilight_h: part(1), air_c: part(2) }
    }
}

/// How the warmth of the sensitive time shifts the answer to the length of the day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Warmth {
    /// The temperature at which the critical day holds.
    pub at_c: f64,
    /// Hours of day that a degree is worth.
    pub h_per_c: f64,
    /// How far that may be off; it never falls below nothing.
    pub h_per_c_sd: f64,
}

/// The share of pupae that rest, as a curve of the day that the larva has seen.
///
/// # Formula
/// ```text
/// H = sun + f twilight + k (air - at)         hours of the mean day in the sensitive stages
/// share that rests = 1 / (1 + exp((H - critical) / width))
/// critical ~ N(critical_h, critical_sd_h)   log width ~ N(log width_h, width_log_sd)
/// f ~ N(twilight_share, twilight_share_sd), at least 0   k ~ N(h_per_c, h_per_c_sd), at least 0
/// ```
/// One draw of the four for a whole brood: that is why the share has a range. With the chance `exception` the curve
/// does not hold for the brood at all; then any share is as likely as any other.
#[derive(Debug, Clone, PartialEq)]
pub struct DayCurve {
    /// The first sensitive stage of the model.
    pub from_stage: usize,
    /// The last sensitive stage of the model.
    pub to_stage: usize,
    /// The day at which half of the pupae rest, hours.
    pub critical_h: f64,
    /// How far that may be off for one stock, hours.
    pub critical_sd_h: f64,
    /// Hours of day over which the odds change by a factor of e.
    pub width_h: f64,
    /// How far that may be off, as a standard deviation of its logarithm.
    pub width_log_sd: f64,
    /// The part of civil twilight that counts as day.
    pub twilight_share: f64,
    /// How far that may be off.
    pub twilight_share_sd: f64,
    /// What warmth does, where anybody has said.
    pub warmth: Option<Warmth>,
    /// The chance that the curve does not hold for a stock: another race, or a report that is wrong.
    pub exception: f64,
}

impl DayCurve {
    fn is_sound(&self, stages: usize) -> bool {
        let not_negative =
            [self.critical_sd_h, self.width_log_sd, self.twilight_share, self.twilight_share_sd];
        let warmth = self.warmth.is_none_or(|it| {
            it.at_c.is_finite() && it.h_per_c.is_finite() && (0.0..1e3).contains(&it.h_per_c_sd)
        });
        self.from_stage <= self.to_stage
            && self.to_stage + 1 < stages
            && (0.0..=24.0).contains(&self.critical_h)
            && (0.0..=1.0).contains(&self.exception)
            && self.width_h > 0.0
            && self.width_h.is_finite()
            && not_negative.iter().all(|it| (0.0..1e3).contains(it))
            && warmth
    }

    /// The share that rests after a mean day, averaged over what is not known of the curve.
    ///
    /// # Formula
    /// The mean over 2000 draws of the brood's own curve, from dice of their own.
    /// # Units
    /// Hours and degrees; a share from 0 to 1.
    /// # Holds for
    /// Larvae whose whole sensitive time was like that day.
    /// # Errors
    /// None: a day that is not a number gives a share that is not one.
    /// # Source
    /// A sigmoid curve of the day length is the usual shape (Danilevskii 1965, from memory); the numbers come with
    /// the species.
    /// # Checked against
    /// Days that the claims name as resting and as developing (`crates/keeper/src/diapause.rs`, tests).
    /// # Example
    /// ```
    /// use science::phenology::{DayCurve, LarvalDay};
    /// let curve = DayCurve {
    ///     from_stage: 4, to_stage: 5, critical_h: 14.0, critical_sd_h: 0.5, width_h: 0.3, width_log_sd: 0.0,
    ///     twilight_share: 1.0, twilight_share_sd: 0.0, warmth: None, exception: 0.0,
    /// };
    /// assert!(curve.expected_share(&LarvalDay::under_lamps(12.0, 20.0)) > 0.99);
    /// assert!(curve.expected_share(&LarvalDay::under_lamps(16.0, 20.0)) < 0.01);
    /// ```
    pub fn expected_share(&self, day: &LarvalDay) -> f64 {
        const DRAWS: u32 = 2000;
        let mut dice = Dice::seeded(1);
        let one = |_| Leaning::of_curve(self, &mut dice).share(day);
        (0..DRAWS).map(one).sum::<f64>() / f64::from(DRAWS)
    }
}

/// What decides on how many rest.
#[derive(Debug, Clone, PartialEq)]
pub enum RestBy {
    /// The days of the sensitive stages.
    Day(DayCurve, LarvalDays),
    /// Nobody knows what: any share, as sure as so many animals.
    Share(BetaPrior),
}

/// Which pupae of a brood rest over winter, where not all of them do.
///
/// # Formula
/// Each pupa rests with the chance that [`DayCurve`] gives for its own days, or with a share that the whole brood
/// has in common; who rests comes out by [`Winter`], who does not by the pupa's clock. What is still in its cocoon:
/// ```text
/// chance to rest | not out yet = s W / (s W + (1 - s) C)
/// ```
/// with `s` the chance before, `W` and `C` the chances of not being out by now for one that rests and one that
/// goes on. Runs are kept in proportion to the product of `s W + (1 - s) C` over the pupae, and of `1 - s` over the
/// moths that went on.
/// # Units
/// Hours, degrees, days since the caller's epoch.
/// # Holds for
/// Kinds in which some pupae rest. For those in which all do, see [`BroodModel::winter`](super::BroodModel::winter).
/// # Errors
/// Numbers that cannot be are refused with the state of the book.
/// # Source
/// Bayes; see `docs/models/diapause.md` for the curve.
/// # Checked against
/// Closed forms and plain rejection in `tests/diapause.rs`.
/// # Example
/// See `docs/models/diapause.md`.
#[derive(Debug, Clone, PartialEq)]
pub struct Diapause {
    /// What decides on how many rest.
    pub by: RestBy,
    /// When those come out that rest.
    pub winter: Winter,
}

impl Diapause {
    pub(super) fn is_sound(&self, stages: usize) -> bool {
        let by = match &self.by {
            RestBy::Day(curve, _) => curve.is_sound(stages),
            RestBy::Share(prior) => (0.0..=1.0).contains(&prior.mean) && prior.weight > 0.0,
        };
        by && self.winter.is_sound()
    }

    /// Is there anything to learn of the share?
    pub(super) fn is_open(&self) -> bool {
        match &self.by {
            RestBy::Day(..) => true,
            RestBy::Share(prior) => prior.mean > 0.0 && prior.mean < 1.0,
        }
    }

    /// The share that is taken where a brood's own days and leaning are left open.
    pub(super) fn prior_share(&self) -> f64 {
        match &self.by {
            RestBy::Day(..) => 0.5,
            RestBy::Share(prior) => prior.mean,
        }
    }

    /// The first stage whose days matter; none where days do not.
    pub(super) fn sensitive(&self) -> Option<(usize, usize)> {
        match &self.by {
            RestBy::Day(curve, _) => Some((curve.from_stage, curve.to_stage)),
            RestBy::Share(_) => None,
        }
    }

    /// How one brood leans, in one run.
    pub(super) fn leaning(&self, dice: &mut Dice) -> Leaning {
        match &self.by {
            RestBy::Day(curve, _) => Leaning::of_curve(curve, dice),
            RestBy::Share(prior) if !self.is_open() => Leaning::Share(prior.mean),
            RestBy::Share(prior) => Leaning::Share(dice.beta(prior.mean, prior.weight)),
        }
    }

    /// The mean day of the sensitive stages of a life; `entry` are the instants of entry into its stages.
    pub(super) fn days_of(&self, entry: &[f64]) -> LarvalDay {
        match &self.by {
            RestBy::Day(curve, days) => days.mean(entry[curve.from_stage], entry[curve.to_stage + 1]),
            RestBy::Share(_) => LarvalDay { sun_h: f64::NAN, twilight_h: f64::NAN, air_c: f64::NAN },
        }
    }
}

/// How one brood leans between resting and going on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Leaning {
    Day { critical_h: f64, width_h: f64, twilight_share: f64, h_per_c: f64, at_c: f64 },
    Share(f64),
}

impl Leaning {
    fn of_curve(curve: &DayCurve, dice: &mut Dice) -> Leaning {
        let (odd, any) = (dice.unit(), dice.unit());
        if odd < curve.exception {
            return Leaning::Share(any);
        }
        let critical_h = curve.critical_h + curve.critical_sd_h * dice.normal();
        let width_h = curve.width_h * libm::exp(curve.width_log_sd * dice.normal());
        let twilight_share = (curve.twilight_share + curve.twilight_share_sd * dice.normal()).max(0.0);
        let (at_c, h_per_c) = match curve.warmth {
            Some(it) => (it.at_c, (it.h_per_c + it.h_per_c_sd * dice.normal()).max(0.0)),
            None => (0.0, 0.0),
        };
        Leaning::Day { critical_h, width_h, twilight_share, h_per_c, at_c }
    }

    /// The chance that a pupa rests whose larva has seen such days.
    pub(super) fn share(&self, day: &LarvalDay) -> f64 {
        match *self {
            Leaning::Share(share) => share,
            Leaning::Day { critical_h, width_h, twilight_share, h_per_c, at_c } => {
                let felt_h = day.sun_h + twilight_share * day.twilight_h + h_per_c * (day.air_c - at_c);
                1.0 / (1.0 + libm::exp((felt_h - critical_h) / width_h))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    const CURVE: DayCurve = DayCurve {
        from_stage: 0,
        to_stage: 1,
        critical_h: 14.0,
        critical_sd_h: 0.0,
        width_h: 0.5,
        width_log_sd: 0.0,
        twilight_share: 0.5,
        twilight_share_sd: 0.0,
        warmth: Some(Warmth { at_c: 20.0, h_per_c: 0.25, h_per_c_sd: 0.0 }),
        exception: 0.0,
    };

    /// By hand: 12 h of sun, half of 2 h of twilight and 4 degrees at a quarter of an hour make 14 h, the critical
    /// day; half an hour more or less is one unit of the odds' logarithm.
    #[test]
    fn the_curve_by_hand() {
        let mut dice = Dice::seeded(1);
        let leaning = Leaning::of_curve(&CURVE, &mut dice);
        let day = LarvalDay { sun_h: 12.0, twilight_h: 2.0, air_c: 24.0 };
        assert!((leaning.share(&day) - 0.5).abs() < 1e-12);
        let longer = leaning.share(&LarvalDay { sun_h: 12.5, ..day });
        assert!((longer - 1.0 / (1.0 + 1.0_f64.exp())).abs() < 1e-12, "{longer}");
        let cooler = leaning.share(&LarvalDay { air_c: 22.0, ..day });
        assert!((cooler + longer - 1.0).abs() < 1e-12, "{cooler}");
    }

    /// The running sums against adding up hour by hour.
    #[test]
    fn the_mean_day_is_the_mean_of_its_hours() {
        let day = |it: u32| LarvalDay {
            sun_h: 10.0 + f64::from(it * it % 7),
            twilight_h: 0.1 * f64::from(it % 5),
            air_c: 15.0 + f64::from(it % 9),
        };
        let days: Vec<LarvalDay> = (0..40).map(day).collect();
        let all = LarvalDays::new(100.0, &days).unwrap();
        for (from_hour, to_hour) in [(0_u32, 24_u32), (5, 700), (30, 31), (900, 960)] {
            let slow = |part: fn(&LarvalDay) -> f64| {
                let hours = (from_hour..to_hour).map(|it| part(&days[it as usize / 24]));
                hours.sum::<f64>() / f64::from(to_hour - from_hour)
            };
            let at_d = |hour: u32| 100.0 + f64::from(hour) / 24.0;
            let fast = all.mean(at_d(from_hour), at_d(to_hour));
            assert!((fast.sun_h - slow(|it| it.sun_h)).abs() < 1e-9);
            assert!((fast.twilight_h - slow(|it| it.twilight_h)).abs() < 1e-9);
            assert!((fast.air_c - slow(|it| it.air_c)).abs() < 1e-9);
        }
        // Beyond the ends the first and the last day go on.
        assert!((all.mean(0.0, 50.0).sun_h - days[0].sun_h).abs() < 1e-12);
        assert!((all.mean(500.0, 510.0).sun_h - days[39].sun_h).abs() < 1e-12);
    }

    #[test]
    fn days_that_cannot_be_are_none() {
        let good = LarvalDay::under_lamps(12.0, 20.0);
        for bad in [
            LarvalDay { sun_h: 25.0, ..good },
            LarvalDay { twilight_h: -1.0, ..good },
            LarvalDay { air_c: f64::NAN, ..good },
        ] {
            assert_eq!(LarvalDays::new(0.0, &[good, bad]), None);
        }
        assert_eq!(LarvalDays::new(0.0, &[]), None);
        assert_eq!(LarvalDays::new(f64::NAN, &[good]), None);
    }

    /// A June day at 52 degrees north: the sun of the almanac, and some 1.6 h of civil twilight.
    #[test]
    fn the_sky_is_that_of_the_almanac() {
        let day = LarvalDay::under_the_sky(52.3, -1.1, 20_260.0, 18.0).unwrap();
        let sun = sun_day(52.3, -1.1, 20_260.0).unwrap();
        assert!((day.sun_h - sun.day_length_h()).abs() < 1e-12);
        assert!((day.sun_h + day.twilight_h - sun.light_h()).abs() < 1e-12);
        assert!(LarvalDay::under_the_sky(95.0, 0.0, 20_260.0, 18.0).is_err());
    }
}
