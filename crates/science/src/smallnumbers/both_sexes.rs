//! The chance that a handful leaves at least one male and one female.

use crate::numerics::{Unfit, counted, open_share, share};

/// More animals than any house holds; beyond it the answer is a slip of the pen.
const MOST_ANIMALS: u64 = 1_000_000;

/// The chances of what has come through so far, as animals are added one by one.
///
/// Every step only adds positive numbers, so small chances keep all their digits, which the closed form
/// `1 - (1-sp)^n - (1-s(1-p))^n + (1-s)^n` loses by cancellation.
struct Brood {
    nobody: f64,
    only_males: f64,
    only_females: f64,
    both: f64,
}

impl Brood {
    fn new() -> Self {
        Brood { nobody: 1.0, only_males: 0.0, only_females: 0.0, both: 0.0 }
    }

    fn add(&mut self, male: f64, female: f64) {
        let lost = 1.0 - male - female;
        self.both += self.only_males * female + self.only_females * male;
        self.only_males = self.only_males * (1.0 - female) + self.nobody * male;
        self.only_females = self.only_females * (1.0 - male) + self.nobody * female;
        self.nobody *= lost;
    }
}

/// The chance that among `animals` at least one male and one female come through.
///
/// *Formula:* `1 - (1-sp)^n - (1-s(1-p))^n + (1-s)^n`, summed animal by animal. *Units:* counts and shares in,
/// probability out. *Holds for:* animals that live or die independently of each other; a disease does not ask for that.
/// *Errors:* [`Unfit`] naming the input. *Source:* inclusion and exclusion.
/// *Checked against:* `reference/oracles/04_small_numbers.csv`, and the closed form in this file.
///
/// ```
/// use science::smallnumbers::both_sexes;
/// assert!((both_sexes(5, 0.7, 0.5).unwrap() - 0.770371875).abs() < 1e-12);
/// assert_eq!(both_sexes(1, 1.0, 0.5).unwrap(), 0.0);
/// ```
pub fn both_sexes(animals: u64, survival: f64, male_share: f64) -> Result<f64, Unfit> {
    let animals = counted("animals", animals, 0, MOST_ANIMALS)?;
    let survival = share("survival", survival)?;
    let male_share = share("male_share", male_share)?;
    let mut brood = Brood::new();
    for _ in 0..animals {
        brood.add(survival * male_share, survival * (1.0 - male_share));
    }
    Ok(brood.both)
}

/// The fewest animals that leave at least one male and one female with the wished chance.
///
/// *Formula:* the smallest `n` at which [`both_sexes`] reaches `chance`; a tie within rounding counts as reached.
/// *Units:* shares in, animals out. *Holds for:* as [`both_sexes`].
/// *Errors:* [`Unfit`] naming the input; a chance of 1 or animals of one sex only are never reached.
/// *Source:* as [`both_sexes`]. *Checked against:* `reference/oracles/04_small_numbers.csv`.
///
/// ```
/// assert_eq!(science::smallnumbers::animals_needed(0.7, 0.5, 0.95).unwrap(), 9);
/// ```
pub fn animals_needed(survival: f64, male_share: f64, chance: f64) -> Result<u64, Unfit> {
    if share("survival", survival)? <= 0.0 {
        return Err(Unfit::outside("survival", survival, "above 0: the dead do not pair"));
    }
    let male_share = open_share("male_share", male_share)?;
    let chance = open_share("chance", chance)?;
    let mut brood = Brood::new();
    for animals in 1..=MOST_ANIMALS {
        brood.add(survival * male_share, survival * (1.0 - male_share));
        if brood.both >= chance * (1.0 - 1e-13) {
            return Ok(animals);
        }
    }
    Err(Unfit::clash("chance", format!("not reached with {MOST_ANIMALS} animals")))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn the_walk_equals_the_closed_form() {
        for n in [2_i32, 3, 12, 30] {
            for (s, p) in [(1.0, 0.5), (0.6, 0.45), (0.85, 0.55), (0.2, 0.1)] {
                let closed: f64 = 1.0 - (1.0_f64 - s * p).powi(n) - (1.0_f64 - s * (1.0 - p)).powi(n)
                    + (1.0_f64 - s).powi(n);
                let walked = both_sexes(u64::from(n.unsigned_abs()), s, p).unwrap();
                assert!((walked - closed).abs() < 1e-14);
            }
        }
    }

    #[test]
    fn the_fewest_is_reached_and_one_less_is_not() {
        for (survival, male_share, chance) in
            [(1.0, 0.5, 0.95), (0.7, 0.5, 0.99), (0.4, 0.3, 0.95), (0.05, 0.5, 0.9)]
        {
            let fewest = animals_needed(survival, male_share, chance).unwrap();
            assert!(both_sexes(fewest, survival, male_share).unwrap() >= chance);
            assert!(both_sexes(fewest - 1, survival, male_share).unwrap() < chance);
        }
        // A tie is reached: among two survivors the chance is exactly one half.
        assert_eq!(animals_needed(1.0, 0.5, 0.5).unwrap(), 2);
    }

    #[test]
    fn a_tiny_chance_keeps_its_digits() {
        // Two animals: exactly 2 s^2 p (1-p). The closed form would answer 0 here.
        let chance = both_sexes(2, 1e-9, 0.5).unwrap();
        assert!((chance / 5e-19 - 1.0).abs() < 1e-12);
    }

    #[test]
    fn refusals_name_the_input() {
        assert_eq!(both_sexes(5, 1.1, 0.5).unwrap_err().name(), "survival");
        assert_eq!(both_sexes(5, 0.5, f64::NAN).unwrap_err().name(), "male_share");
        assert_eq!(both_sexes(u64::MAX, 0.5, 0.5).unwrap_err().name(), "animals");
        assert_eq!(animals_needed(0.0, 0.5, 0.9).unwrap_err().name(), "survival");
        assert_eq!(animals_needed(0.5, 1.0, 0.9).unwrap_err().name(), "male_share");
        assert_eq!(animals_needed(0.5, 0.5, 1.0).unwrap_err().name(), "chance");
    }
}
