//! Broods whose pupae rest over the winter: when the moths come out.

use super::model::Sex;
use crate::dice::{Dice, normal_cdf, normal_upper};

/// Emergence after a winter's rest, told as dates because chilling and warming are not modelled yet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Winter {
    /// The middle of the emergence of both sexes together, days since the caller's epoch.
    pub middle_d: f64,
    /// How far a whole brood's middle may be off, days.
    pub shared_sd_d: f64,
    /// Spread among the animals of a brood, days.
    pub spread_sd_d: f64,
    /// How much earlier than females males come out, days.
    pub males_earlier_d: f64,
    /// How far that may be off, days.
    pub males_earlier_sd_d: f64,
    /// Share of the moths that come out in a second peak.
    pub second_share: f64,
    /// How much later the second peak lies, days.
    pub second_delay_d: f64,
    /// Share of the pupae that lie over to a further spring.
    pub lying_over_share: f64,
}

/// So many standard deviations before the middle of the spring, nobody that rested is out: 3 in 100,000.
const BEFORE_SPRING_SDS: f64 = 4.0;

/// What one brood's winter turned out to be, in one run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spring {
    male_d: f64,
    female_d: f64,
}

/// What becomes of one pupa.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Rest {
    /// Comes out at this instant.
    Out(f64),
    /// Lies over.
    Over,
}

impl Winter {
    pub(super) fn is_sound(&self) -> bool {
        let not_negative = [self.shared_sd_d, self.spread_sd_d, self.males_earlier_sd_d];
        let shares = [self.second_share, self.lying_over_share];
        self.middle_d.is_finite()
            && self.males_earlier_d.is_finite()
            && self.second_delay_d.is_finite()
            && not_negative.iter().all(|it| it.is_finite() && *it >= 0.0)
            && shares.iter().all(|it| (0.0..=1.0).contains(it))
    }

    /// The brood's own spring: its middle for each sex.
    pub(super) fn spring(&self, dice: &mut Dice) -> Spring {
        let middle_d = self.middle_d + self.shared_sd_d * dice.normal();
        let half = 0.5 * (self.males_earlier_d + self.males_earlier_sd_d * dice.normal());
        Spring { male_d: middle_d - half, female_d: middle_d + half }
    }

    /// The chances of the three fates of a pupa that has not come out by an instant: first peak, second peak,
    /// lying over. They do not add to one; their sum is the chance of not having come out.
    fn still_in(&self, middle_d: f64, by_d: f64) -> [f64; 3] {
        let go = 1.0 - self.lying_over_share;
        let first = go * (1.0 - self.second_share) * self.later_than(by_d, middle_d);
        let second = go * self.second_share * self.later_than(by_d, middle_d + self.second_delay_d);
        [first, second, self.lying_over_share]
    }

    fn later_than(&self, by_d: f64, middle_d: f64) -> f64 {
        if self.spread_sd_d > 0.0 {
            normal_upper((by_d - middle_d) / self.spread_sd_d)
        } else if middle_d >= by_d {
            1.0
        } else {
            0.0
        }
    }

    /// What becomes of a pupa of a sex that is still in its cocoon at `by_d`.
    pub(super) fn rest(&self, spring: &Spring, sex: Sex, by_d: f64, dice: &mut Dice) -> Rest {
        let middle_d = spring.of(sex);
        let chances = self.still_in(middle_d, by_d);
        let (pick, depth) = (dice.unit() * chances.iter().sum::<f64>(), dice);
        let peak_d = if pick < chances[0] {
            middle_d
        } else if pick < chances[0] + chances[1] {
            middle_d + self.second_delay_d
        } else if self.lying_over_share > 0.0 {
            return Rest::Over;
        } else {
            // Overdue beyond everything the model holds possible: it comes out at once.
            return Rest::Out(by_d);
        };
        if self.spread_sd_d <= 0.0 {
            return Rest::Out(peak_d.max(by_d));
        }
        let lower = (by_d - peak_d) / self.spread_sd_d;
        Rest::Out((peak_d + self.spread_sd_d * depth.normal_above(lower)).max(by_d))
    }

    /// Log of the chance that a pupa of unknown or known sex has not come out by an instant.
    pub(super) fn log_still_in(
        &self,
        spring: &Spring,
        sex: Option<Sex>,
        female_share: f64,
        by_d: f64,
    ) -> f64 {
        libm::log(self.chance_still_in(spring, sex, female_share, by_d).max(1e-12))
    }

    /// The chance that a pupa of unknown or known sex has not come out by an instant.
    pub(super) fn chance_still_in(
        &self,
        spring: &Spring,
        sex: Option<Sex>,
        female_share: f64,
        by_d: f64,
    ) -> f64 {
        let chance = |it: Sex| self.still_in(spring.of(it), by_d).iter().sum::<f64>();
        match sex {
            Some(it) => chance(it),
            None => female_share * chance(Sex::Female) + (1.0 - female_share) * chance(Sex::Male),
        }
    }

    /// Log of the density of an observed emergence within the day around it.
    pub(super) fn log_came_out(
        &self,
        spring: &Spring,
        sex: Option<Sex>,
        female_share: f64,
        at_d: f64,
    ) -> f64 {
        libm::log(self.chance_came_out(spring, sex, female_share, at_d).max(1e-12))
    }

    /// The chance of coming out within the day around an instant, for one that does not lie over.
    pub(super) fn chance_came_out(
        &self,
        spring: &Spring,
        sex: Option<Sex>,
        female_share: f64,
        at_d: f64,
    ) -> f64 {
        let spread = self.spread_sd_d.max(0.5);
        let slice = |middle_d: f64| {
            normal_cdf((at_d + 0.5 - middle_d) / spread) - normal_cdf((at_d - 0.5 - middle_d) / spread)
        };
        let chance = |it: Sex| {
            let middle_d = spring.of(it);
            (1.0 - self.second_share) * slice(middle_d)
                + self.second_share * slice(middle_d + self.second_delay_d)
        };
        match sex {
            Some(it) => chance(it),
            None => female_share * chance(Sex::Female) + (1.0 - female_share) * chance(Sex::Male),
        }
    }

    /// A moth that comes out before this instant has not rested, days.
    pub(super) fn begins_d(&self) -> f64 {
        let sd = (self.shared_sd_d * self.shared_sd_d + self.spread_sd_d * self.spread_sd_d).sqrt();
        self.middle_d - 0.5 * self.males_earlier_d.abs() - BEFORE_SPRING_SDS * sd
    }
}

impl Spring {
    fn of(&self, sex: Sex) -> f64 {
        match sex {
            Sex::Male => self.male_d,
            Sex::Female => self.female_d,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WINTER: Winter = Winter {
        middle_d: 300.0,
        shared_sd_d: 4.0,
        spread_sd_d: 5.0,
        males_earlier_d: 6.0,
        males_earlier_sd_d: 0.0,
        second_share: 0.0,
        second_delay_d: 30.0,
        lying_over_share: 0.1,
    };

    /// By Bayes: after the first peak is over, who is left lies over. Four standard errors.
    #[test]
    fn who_has_not_come_out_by_the_end_lies_over() {
        let mut dice = Dice::seeded(1);
        let spring = Spring { male_d: 297.0, female_d: 303.0 };
        for by_d in [100.0, 303.0, 310.0] {
            let later = normal_upper((by_d - 303.0) / 5.0);
            let exact = 0.1 / (0.1 + 0.9 * later);
            let n = 20_000;
            let over =
                (0..n).filter(|_| WINTER.rest(&spring, Sex::Female, by_d, &mut dice) == Rest::Over).count();
            let seen = over as f64 / f64::from(n);
            assert!(
                (seen - exact).abs() < 4.0 * (exact * (1.0 - exact) / f64::from(n)).sqrt(),
                "{seen} {exact}"
            );
        }
    }

    #[test]
    fn nobody_comes_out_in_the_past() {
        let mut dice = Dice::seeded(2);
        for _ in 0..2000 {
            let spring = WINTER.spring(&mut dice);
            if let Rest::Out(at_d) = WINTER.rest(&spring, Sex::Male, 305.0, &mut dice) {
                assert!(at_d >= 305.0);
            }
        }
        let certain = Winter { lying_over_share: 0.0, spread_sd_d: 0.0, ..WINTER };
        let spring = Spring { male_d: 297.0, female_d: 303.0 };
        assert_eq!(certain.rest(&spring, Sex::Male, 299.0, &mut dice), Rest::Out(299.0));
        assert_eq!(certain.rest(&spring, Sex::Female, 299.0, &mut dice), Rest::Out(303.0));
    }
}
