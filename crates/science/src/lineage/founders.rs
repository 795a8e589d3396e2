//! How many founders bring a rare allele along.

use crate::numerics::{Unfit, above, counted, open_share, share};

/// The fewest founders that carry at least one copy of an allele with the wished chance.
///
/// *Formula:* smallest `n` with `1 - (1-p)^(2n) >= chance`. *Units:* share and probability in, founders out.
/// *Holds for:* founders unrelated to each other, each with two copies; on the Z chromosome females bring one.
/// *Errors:* [`Unfit`] naming the input. *Source:* Marshall & Brown 1975 (59 copies for p = 0.05, from memory).
/// *Checked against:* `reference/oracles/04_small_numbers.csv`.
///
/// ```
/// assert_eq!(science::lineage::founders_for_allele(0.05, 0.95).unwrap(), 30);
/// ```
pub fn founders_for_allele(frequency: f64, chance: f64) -> Result<u64, Unfit> {
    Ok(copies_for_allele(frequency, chance)?.div_ceil(2))
}

/// The fewest gene copies that hold the allele with the wished chance.
///
/// *Formula:* smallest `n` with `1 - (1-p)^n >= chance`. *Units, holds for, errors, source, checked against:* as
/// [`founders_for_allele`].
///
/// ```
/// assert_eq!(science::lineage::copies_for_allele(0.05, 0.95).unwrap(), 59);
/// ```
pub fn copies_for_allele(frequency: f64, chance: f64) -> Result<u64, Unfit> {
    let p = open_share("frequency", frequency)?;
    let chance = open_share("chance", chance)?;
    // A quotient that is whole on paper may come out a hair above it.
    let copies = ((-chance).ln_1p() / (-p).ln_1p() * (1.0 - 1e-12)).ceil().max(1.0);
    if copies > 1e12 {
        return Err(Unfit::outside("frequency", p, "less rare: more than 1e12 copies would be needed"));
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 1 to 1e12, whole")]
    Ok(copies as u64)
}

/// The chance that a number of founders carries at least one copy.
///
/// *Formula:* `1 - (1-p)^(2n)`. *Units, holds for, errors, source, checked against:* as [`founders_for_allele`].
///
/// ```
/// assert!((science::lineage::chance_captured(0.1, 5).unwrap() - 0.6513215599).abs() < 1e-12);
/// ```
pub fn chance_captured(frequency: f64, founders: u64) -> Result<f64, Unfit> {
    let p = open_share("frequency", frequency)?;
    let founders = counted("founders", founders, 0, 1_000_000_000)?;
    #[expect(clippy::cast_precision_loss, reason = "at most 1e9")]
    let copies = 2.0 * founders as f64;
    Ok(-(copies * (-p).ln_1p()).exp_m1())
}

/// The share of a founder's genes still there when it is dead and left a number of young.
///
/// *Formula:* `1 - 2^-k`. *Units:* young in, share out. *Holds for:* young that all live and breed.
/// *Errors:* none. *Source:* Lacy 1989. *Checked against:* `reference/oracles/05_pedigree.csv`.
///
/// ```
/// assert_eq!(science::lineage::retention(3), 0.875);
/// ```
pub fn retention(young: u32) -> f64 {
    1.0 - 0.5_f64.powi(i32::try_from(young).unwrap_or(i32::MAX))
}

/// How many equal founders would hold as much variety as these.
///
/// *Formula:* `1/sum(p_i^2/r_i)` with `p` the founders' shares of today's genes and `r` what is retained of each; with
/// every `r` 1 these are the founder equivalents. *Units:* shares in, founders out. *Holds for:* shares that sum to 1.
/// *Errors:* [`Unfit`] naming the list. *Source:* Lacy 1989. *Checked against:* `reference/oracles/05_pedigree.csv`.
///
/// ```
/// let equal = science::lineage::founder_genomes(&[0.5, 0.25, 0.25], &[1.0; 3]).unwrap();
/// assert!((equal - 2.66666666667).abs() < 1e-10);
/// ```
pub fn founder_genomes(shares: &[f64], retained: &[f64]) -> Result<f64, Unfit> {
    if shares.len() != retained.len() || shares.is_empty() {
        let why = format!("{} values, but shares has {}", retained.len(), shares.len());
        return Err(Unfit::clash("retained", why));
    }
    let mut sum = 0.0;
    let mut all = 0.0;
    for (&p, &r) in shares.iter().zip(retained) {
        all += share("shares", p)?;
        sum += p * p / above("retained", share("retained", r)?, 0.0)?;
    }
    if (all - 1.0).abs() > 1e-6 {
        return Err(Unfit::outside("shares", all, "shares that sum to 1"));
    }
    Ok(1.0 / sum)
}

/// The expected share of the donor line's genes after backcrossing the first cross a number of times.
///
/// *Formula:* `2^-(n+1)`. *Units:* backcrosses in, share out. *Holds for:* the average; single animals scatter widely.
/// *Errors:* none. *Source:* halving at each cross. *Checked against:* `reference/oracles/05_pedigree.csv`.
///
/// ```
/// assert_eq!(science::lineage::donor_share(3), 0.0625);
/// ```
pub fn donor_share(backcrosses: u32) -> f64 {
    0.5_f64.powi(i32::try_from(backcrosses).unwrap_or(i32::MAX).saturating_add(1))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn the_fewest_reaches_the_chance_and_one_less_does_not() {
        for (p, chance) in [(0.05, 0.95), (0.3, 0.5), (0.01, 0.99), (0.5, 0.75)] {
            let fewest = founders_for_allele(p, chance).unwrap();
            assert!(chance_captured(p, fewest).unwrap() >= chance - 1e-12);
            assert!(chance_captured(p, fewest - 1).unwrap() < chance);
        }
    }

    #[test]
    fn refusals_name_the_input() {
        assert_eq!(founders_for_allele(0.0, 0.95).unwrap_err().name(), "frequency");
        assert_eq!(founders_for_allele(0.05, 1.0).unwrap_err().name(), "chance");
        assert_eq!(founders_for_allele(1e-15, 0.95).unwrap_err().name(), "frequency");
    }
}
