//! How much a larva eats, and when.

/// A positive number known by its middle and the standard deviation of its logarithm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogNormal {
    /// The middle value.
    pub median: f64,
    /// Standard deviation of the natural logarithm.
    pub log_sd: f64,
}

impl LogNormal {
    fn is_sound(self) -> bool {
        self.median.is_finite()
            && self.median > 0.0
            && self.log_sd.is_finite()
            && (0.0..5.0).contains(&self.log_sd)
    }
}

/// What is believed of the appetite of a kind of larva.
///
/// # Formula
/// ```text
/// eaten by one larva in instar k up to the share s of the instar = A w_k F(s / (1 - m_k))
/// F(v) = 4 v^3 - 3 v^4 for v in 0..1, then 1
/// ```
/// with `A` the leaf eaten in a life, `w_k` the instar's share and `m_k` the share of moult sleep: appetite
/// rises after the moult, is highest two thirds of the way, and is nothing in moult sleep.
/// # Units
/// Grams of fresh leaf *eaten* (not offered) by one larva.
/// # Holds for
/// Larvae with leaf always before them. The shape within an instar is judgement, not measurement.
#[derive(Debug, Clone, PartialEq)]
pub struct Appetite {
    /// Fresh leaf that one larva eats from hatching to spinning, g.
    pub life_eaten_g: LogNormal,
    /// Share of it for each stage of the model, 0 for stages that do not eat; they add to 1.
    pub stage_share: Vec<f64>,
    /// Grams cut for each gram eaten: left-overs, stalks, what dries. At least 1.
    pub cut_per_eaten: LogNormal,
}

/// Why an appetite cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum AppetiteFault {
    /// The leaf of a life, or its doubt.
    #[error("the leaf that a larva eats must be a positive number of grams")]
    LifeEaten,
    /// The shares of the instars.
    #[error("the instars' shares of the leaf must be one for each stage, not negative, and add to 1")]
    Shares,
    /// The day to plan from.
    #[error("the first day of a leaf plan must be a date")]
    Day,
    /// The waste.
    #[error("the leaf cut for each gram eaten must be at least 1")]
    Waste,
}

impl Appetite {
    /// Checks the numbers against a model with so many stages.
    pub fn check(&self, stages: usize) -> Result<(), AppetiteFault> {
        let sum: f64 = self.stage_share.iter().sum();
        let shares = self.stage_share.iter().all(|it| (0.0..=1.0).contains(it)) && (sum - 1.0).abs() < 1e-6;
        if !self.life_eaten_g.is_sound() {
            Err(AppetiteFault::LifeEaten)
        } else if self.stage_share.len() != stages || !shares {
            Err(AppetiteFault::Shares)
        } else if !self.cut_per_eaten.is_sound() || self.cut_per_eaten.median < 1.0 {
            Err(AppetiteFault::Waste)
        } else {
            Ok(())
        }
    }

    /// Middle grams eaten a day by one larva, averaged over a stage that lasts `stage_d` days.
    ///
    /// For adding up what the model expects of a past in which animals died or moved.
    pub fn per_day_g(&self, stage: usize, stage_d: f64) -> Option<f64> {
        let share = self.stage_share.get(stage)?;
        (stage_d > 0.0).then(|| self.life_eaten_g.median * share / stage_d)
    }
}

/// The share of an instar's leaf that is eaten by the time the share `done` of it has passed.
pub(super) fn eaten_share(done: f64, moult_share: f64) -> f64 {
    let v = (done / (1.0 - moult_share)).clamp(0.0, 1.0);
    v * v * v * (4.0 - 3.0 * v)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn appetite_is_nothing_in_moult_and_highest_at_two_thirds() {
        assert!((eaten_share(0.8, 0.2) - 1.0).abs() < 1e-12 && (eaten_share(1.0, 0.2) - 1.0).abs() < 1e-12);
        assert!(eaten_share(0.0, 0.2).abs() < 1e-12);
        let rate = |at: f64| eaten_share(at + 1e-4, 0.0) - eaten_share(at - 1e-4, 0.0);
        assert!(rate(2.0 / 3.0) > rate(0.6) && rate(2.0 / 3.0) > rate(0.73));
    }

    #[test]
    fn unusable_appetites_are_refused_by_name() {
        let sound = Appetite {
            life_eaten_g: LogNormal { median: 30.0, log_sd: 0.3 },
            stage_share: vec![0.0, 0.2, 0.8],
            cut_per_eaten: LogNormal { median: 1.5, log_sd: 0.2 },
        };
        assert_eq!(sound.check(3), Ok(()));
        assert_eq!(sound.check(4), Err(AppetiteFault::Shares));
        let broken = Appetite { life_eaten_g: LogNormal { median: f64::NAN, log_sd: 0.3 }, ..sound.clone() };
        assert_eq!(broken.check(3), Err(AppetiteFault::LifeEaten));
        let broken = Appetite { cut_per_eaten: LogNormal { median: 0.8, log_sd: 0.3 }, ..sound.clone() };
        assert_eq!(broken.check(3), Err(AppetiteFault::Waste));
        let broken = Appetite { stage_share: vec![0.0, 0.2, 0.7], ..sound };
        assert_eq!(broken.check(3), Err(AppetiteFault::Shares));
    }
}
