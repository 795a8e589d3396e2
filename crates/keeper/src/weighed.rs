//! The sex of a cocoon: told, or a chance from its weight.

use rearing::House;

/// Sexes must be told of so many of each before weights tell any.
const SEXED: usize = 3;
/// Even a very heavy cocoon may be a male's.
const SUREST: f64 = 0.98;

/// The chance of being a female where the sex is told.
pub(crate) fn sure(sex: terms::Sex) -> Option<f64> {
    match sex {
        terms::Sex::Female => Some(1.0),
        terms::Sex::Male => Some(0.0),
        terms::Sex::Unknown => None,
    }
}

/// Cocoons of the line whose sex is told, by weight: females are the heavier ones (common practice, no source).
pub(crate) struct Weighed {
    female_g: f64,
    male_g: f64,
    sd_g: f64,
}

impl Weighed {
    pub(crate) fn of(house: &House, line: &str) -> Option<Weighed> {
        let of_line = |lot: &str| house.lots.get(lot).is_some_and(|it| it.told.line == line);
        let weights = |sex: terms::Sex| -> Vec<f64> {
            let told = house.cocoons.values().filter(|it| it.told.sex == sex && of_line(&it.told.lot));
            told.filter_map(|it| it.told.cocoon_fresh_g).collect()
        };
        let (female, male) = (weights(terms::Sex::Female), weights(terms::Sex::Male));
        if female.len() < SEXED || male.len() < SEXED {
            return None;
        }
        let mean = |it: &[f64]| it.iter().sum::<f64>() / it.len() as f64;
        let squares = |it: &[f64], mean: f64| it.iter().map(|g| (g - mean) * (g - mean)).sum::<f64>();
        let (female_g, male_g) = (mean(&female), mean(&male));
        let spare = (female.len() + male.len() - 2) as f64;
        let sd_g = ((squares(&female, female_g) + squares(&male, male_g)) / spare).sqrt();
        // A few cocoons that happen to weigh alike do not make the scales exact.
        let sd_g = sd_g.max(0.05 * 0.5 * (female_g + male_g));
        (female_g > male_g).then_some(Weighed { female_g, male_g, sd_g })
    }

    /// Two normal distributions of one width, as many of each sex.
    pub(crate) fn female_chance(&self, cocoon_g: f64) -> Option<f64> {
        let away = |mean: f64| (cocoon_g - mean) * (cocoon_g - mean) / (2.0 * self.sd_g * self.sd_g);
        let odds = (away(self.male_g) - away(self.female_g)).exp();
        Some(if odds.is_finite() { odds / (1.0 + odds) } else { 1.0 }.clamp(1.0 - SUREST, SUREST))
    }
}
