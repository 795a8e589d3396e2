//! The chance that a male and a female are alive on the same night.

use crate::numerics::{Unfit, counted, from_to};

/// The moths of one sex: how many, how long each flies, and on which night each comes out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moths<'a> {
    /// How many will come out.
    pub count: u64,
    /// Nights each is alive and willing, the night of coming out included.
    pub nights: u64,
    /// Chance of coming out on night 0, 1, 2, ...; sums to 1.
    pub emergence_pmf: &'a [f64],
}

/// The chance that on some night at least one male and one female are both present.
///
/// *Formula:* 1 minus the summed weight of every arrangement of nights in which no male meets a female; arrangements are
/// built night by night, and only the sex and night of the last comer decide whether the next may join.
/// *Units:* counts, nights and a distribution in, probability out.
/// *Holds for:* moths that come out independently of each other, up to 100 of each sex and 400 nights; meeting is not
/// pairing. *Errors:* [`Unfit`] naming the input; a distribution that does not sum to 1 is refused, not stretched.
/// *Source:* enumeration. *Checked against:* `reference/oracles/04_small_numbers.csv` and brute force in this file.
///
/// ```
/// use science::smallnumbers::{Moths, same_night};
/// let pmf = [0.1; 10];
/// let males = Moths { count: 1, nights: 3, emergence_pmf: &pmf };
/// let females = Moths { count: 1, nights: 5, emergence_pmf: &pmf };
/// assert!((same_night(males, females).unwrap() - 0.57).abs() < 1e-12);
/// ```
pub fn same_night(males: Moths<'_>, females: Moths<'_>) -> Result<f64, Unfit> {
    let m = sized("males", males.count)?;
    let f = sized("females", females.count)?;
    let male_nights = sized_nights("male_nights", males.nights)?;
    let female_nights = sized_nights("female_nights", females.nights)?;
    distribution(males.emergence_pmf)?;
    distribution(females.emergence_pmf)?;
    if m == 0 || f == 0 {
        return Ok(0.0);
    }
    let nights = males.emergence_pmf.len().max(females.emergence_pmf.len());
    let chance = |pmf: &[f64], night: usize| pmf.get(night).copied().unwrap_or(0.0);
    let mut apart = Apart::new(m, f, nights);
    for night in 0..nights {
        // A female of an earlier night stays `female_nights`; a male may come out once she is gone, and the reverse.
        let joins_male = apart.joined(night, Sex::Male, female_nights);
        let joins_female = apart.joined(night, Sex::Female, male_nights);
        let male_layer = place(&joins_male, m, f, chance(males.emergence_pmf, night), Sex::Male);
        let female_layer = place(&joins_female, m, f, chance(females.emergence_pmf, night), Sex::Female);
        apart.close(night, male_layer, female_layer);
    }
    // Rounding may leave the sum a last digit outside 0 to 1; a probability never is.
    Ok((1.0 - apart.complete()).clamp(0.0, 1.0))
}

#[derive(Clone, Copy, PartialEq)]
enum Sex {
    Male,
    Female,
}

/// Weights of the arrangements without a meeting, by males and females placed so far.
/// `after_male[n]` sums those whose last comer is a male of a night before `n`.
struct Apart {
    after_male: Vec<Vec<f64>>,
    after_female: Vec<Vec<f64>>,
}

impl Apart {
    fn new(males: usize, females: usize, nights: usize) -> Self {
        let empty = vec![0.0; (males + 1) * (females + 1)];
        let mut after_male = Vec::with_capacity(nights + 1);
        after_male.push(empty.clone());
        Apart { after_male, after_female: vec![empty] }
    }

    /// What a comer of this sex may follow tonight: nobody yet, its own sex of any earlier night, or the other sex once
    /// the other's nights are over.
    fn joined(&self, night: usize, sex: Sex, others_stay: usize) -> Vec<f64> {
        let (own, other) = match sex {
            Sex::Male => (&self.after_male, &self.after_female),
            Sex::Female => (&self.after_female, &self.after_male),
        };
        let mut weight = own[night].clone();
        if let Some(gone) = (night + 1).checked_sub(others_stay) {
            weight.iter_mut().zip(&other[gone]).for_each(|(w, o)| *w += o);
        }
        weight[0] += 1.0;
        weight
    }

    fn close(&mut self, night: usize, male_layer: Vec<f64>, female_layer: Vec<f64>) {
        let add =
            |before: &[f64], tonight: Vec<f64>| before.iter().zip(tonight).map(|(b, t)| b + t).collect();
        let male = add(&self.after_male[night], male_layer);
        let female = add(&self.after_female[night], female_layer);
        self.after_male.push(male);
        self.after_female.push(female);
    }

    fn complete(&self) -> f64 {
        let last = |layers: &[Vec<f64>]| layers.last().and_then(|l| l.last()).copied().unwrap_or(0.0);
        last(&self.after_male) + last(&self.after_female)
    }
}

/// Lets one or more of a sex come out tonight on top of every earlier arrangement.
fn place(joins: &[f64], males: usize, females: usize, chance: f64, sex: Sex) -> Vec<f64> {
    let width = females + 1;
    let mut layer = vec![0.0; joins.len()];
    if chance <= 0.0 {
        return layer;
    }
    for i in 0..=males {
        for j in 0..=females {
            let before = joins[i * width + j];
            if before <= 0.0 {
                continue;
            }
            let (waiting, step) = match sex {
                Sex::Male => (males - i, width),
                Sex::Female => (females - j, 1),
            };
            // weight = C(waiting, k) chance^k, by the ratio to its neighbour.
            let mut weight = before;
            for k in 1..=waiting {
                weight *= chance * ratio(waiting + 1 - k, k);
                layer[i * width + j + k * step] += weight;
            }
        }
    }
    layer
}

#[expect(clippy::cast_precision_loss, reason = "both counts are at most 100")]
fn ratio(over: usize, under: usize) -> f64 {
    over as f64 / under as f64
}

fn sized(name: &'static str, count: u64) -> Result<usize, Unfit> {
    counted(name, count, 0, 100).map(|count| usize::try_from(count).unwrap_or(100))
}

fn sized_nights(name: &'static str, nights: u64) -> Result<usize, Unfit> {
    counted(name, nights, 1, 400).map(|nights| usize::try_from(nights).unwrap_or(400))
}

fn distribution(pmf: &[f64]) -> Result<(), Unfit> {
    if pmf.is_empty() || pmf.len() > 400 {
        return Err(Unfit::clash("emergence_pmf", format!("{} nights given; from 1 to 400 fit", pmf.len())));
    }
    for &chance in pmf {
        from_to("emergence_pmf", chance, 0.0, 1.0)?;
    }
    let sum: f64 = pmf.iter().sum();
    if (sum - 1.0).abs() > 1e-9 {
        return Err(Unfit::outside("emergence_pmf", sum, "a distribution that sums to 1"));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    /// The slow twin: every moth on every night, one by one.
    fn brute(males: Moths<'_>, females: Moths<'_>) -> f64 {
        let (m, f) = (males.count, females.count);
        let n = males.emergence_pmf.len() as u64;
        let mut met = 0.0;
        for code in 0..n.pow(u32::try_from(m + f).unwrap()) {
            let night = |which: u64| code / n.pow(u32::try_from(which).unwrap()) % n;
            let mut weight = 1.0;
            for which in 0..m + f {
                let pmf = if which < m { males.emergence_pmf } else { females.emergence_pmf };
                weight *= pmf[usize::try_from(night(which)).unwrap()];
            }
            let meet = (0..m).any(|a| {
                (m..m + f).any(|b| night(a) < night(b) + females.nights && night(b) < night(a) + males.nights)
            });
            met += if meet { weight } else { 0.0 };
        }
        met
    }

    #[test]
    fn the_quick_way_equals_every_moth_on_every_night() {
        let early = [0.3, 0.4, 0.1, 0.0, 0.15, 0.05];
        let late = [0.0, 0.1, 0.1, 0.3, 0.3, 0.2];
        for (m, f, male_nights, female_nights) in
            [(1, 1, 1, 1), (2, 3, 1, 2), (3, 2, 2, 1), (1, 4, 3, 1), (3, 3, 1, 1), (2, 2, 4, 6)]
        {
            let males = Moths { count: m, nights: male_nights, emergence_pmf: &early };
            let females = Moths { count: f, nights: female_nights, emergence_pmf: &late };
            let (quick, slow) = (same_night(males, females).unwrap(), brute(males, females));
            assert!((quick - slow).abs() < 1e-12, "{m} {f} {male_nights} {female_nights}: {quick} {slow}");
        }
    }

    #[test]
    fn nobody_of_one_sex_meets_nobody() {
        let pmf = [1.0];
        let some = Moths { count: 4, nights: 2, emergence_pmf: &pmf };
        let none = Moths { count: 0, ..some };
        assert!(same_night(none, some).unwrap() < f64::MIN_POSITIVE);
        assert!((same_night(some, some).unwrap() - 1.0).abs() < 1e-15);
    }

    #[test]
    fn refusals_name_the_input() {
        let pmf = [0.5, 0.499];
        let moths = Moths { count: 1, nights: 1, emergence_pmf: &pmf };
        assert_eq!(same_night(moths, moths).unwrap_err().name(), "emergence_pmf");
        let pmf = [0.5, 0.5];
        let moths = Moths { count: 1, nights: 1, emergence_pmf: &pmf };
        assert_eq!(same_night(moths, Moths { nights: 0, ..moths }).unwrap_err().name(), "female_nights");
        assert_eq!(same_night(Moths { count: 101, ..moths }, moths).unwrap_err().name(), "males");
        assert_eq!(
            same_night(Moths { emergence_pmf: &[f64::NAN, 1.0], ..moths }, moths).unwrap_err().name(),
            "emergence_pmf"
        );
    }
}
