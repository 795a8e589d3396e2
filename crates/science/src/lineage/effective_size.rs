//! How many ideal parents a handful of real ones is worth. Say "about": exact recursions come out some 0.5 higher.

use crate::numerics::{Unfit, above, counted, from_to};

/// Effective size from unequal numbers of the sexes.
///
/// *Formula:* `4 Nm Nf/(Nm + Nf)`. *Units:* animals. *Holds for:* random mating, Poisson family sizes, one season after
/// the other. *Errors:* [`Unfit`] naming the sex that is missing. *Source:* Wright 1931; Crow & Kimura 1970.
/// *Checked against:* `reference/oracles/04_small_numbers.csv`.
///
/// ```
/// assert_eq!(science::lineage::effective_size(1, 9).unwrap(), 3.6);
/// ```
pub fn effective_size(males: u64, females: u64) -> Result<f64, Unfit> {
    let (m, f) = sexes(males, females)?;
    Ok(4.0 * m * f / (m + f))
}

/// Effective size for the Z chromosome, of which a male carries two and a female one.
///
/// *Formula:* `9 Nm Nf/(4 Nf + 2 Nm)`. *Units, holds for, errors:* as [`effective_size`].
/// *Source:* the X formula with the sexes exchanged. *Checked against:* `reference/oracles/04_small_numbers.csv`.
///
/// ```
/// assert!((science::lineage::effective_size_z(1, 9).unwrap() - 2.13157894737).abs() < 1e-10);
/// ```
pub fn effective_size_z(males: u64, females: u64) -> Result<f64, Unfit> {
    let (m, f) = sexes(males, females)?;
    Ok(9.0 * m * f / (4.0 * f + 2.0 * m))
}

/// Effective size by the exact pace at which unlike gene pairs are lost.
///
/// *Formula:* `1/(2(1-l))` with `l` the larger root of `l^2 - (1-c) l - c/2`, `c = (1/Nm + 1/Nf)/4`.
/// *Units, holds for, errors:* as [`effective_size`]. *Source:* recursion of coancestry with two sexes; full sibs give
/// Wright's `(1 + sqrt 5)/4`. *Checked against:* `reference/oracles/04_ne_exact_eigen.csv`.
///
/// ```
/// assert!((science::lineage::effective_size_exact(1, 1).unwrap() - 2.61803398875).abs() < 1e-10);
/// ```
pub fn effective_size_exact(males: u64, females: u64) -> Result<f64, Unfit> {
    let (m, f) = sexes(males, females)?;
    let c = (1.0 / m + 1.0 / f) / 4.0;
    let pace = f64::midpoint(1.0 - c, ((1.0 - c).powi(2) + 2.0 * c).sqrt());
    Ok(1.0 / (2.0 * (1.0 - pace)))
}

/// Effective size of the Z chromosome by the exact pace of loss.
///
/// *Formula:* dominant eigenvalue of the recursion for unlike Z pairs within a male, between males, between the sexes
/// and between females, by power iteration. *Units, holds for, errors:* as [`effective_size`].
/// *Source:* recursion of coancestry, males ZZ and females ZW. *Checked against:* `reference/oracles/04_ne_exact_eigen.csv`.
///
/// ```
/// assert!((science::lineage::effective_size_z_exact(2, 8).unwrap() - 4.52946122621).abs() < 1e-8);
/// ```
pub fn effective_size_z_exact(males: u64, females: u64) -> Result<f64, Unfit> {
    let (m, f) = sexes(males, females)?;
    // Two draws from one male are different copies half of the time; a female has only one.
    let from_sires = |within: f64, between: f64| within / (2.0 * m) + (1.0 - 1.0 / m) * between;
    let mut unlike = [1.0; 4];
    let mut pace = 1.0;
    // Only one eigenvalue lies near 1, the next near 1/2: a few hundred rounds settle every digit.
    for _ in 0..500 {
        let [within, males, mixed, females] = unlike;
        let sires = from_sires(within, males);
        let next = [
            mixed,
            sires / 4.0 + (1.0 - 1.0 / f) * females / 4.0 + mixed / 2.0,
            f64::midpoint(sires, mixed),
            sires,
        ];
        let largest = next.iter().copied().fold(0.0, f64::max);
        unlike = next.map(|value| value / largest);
        pace = largest;
    }
    Ok(1.0 / (2.0 * (1.0 - pace)))
}

/// Effective size from how unequal families are.
///
/// *Formula:* `(N k - 1)/(k - 1 + Vk/k)`, which for `k = 2` is `(4N - 2)/(Vk + 2)`. *Units:* animals.
/// *Holds for:* `N` parents with a mean of `k` and a variance of `Vk` offspring that themselves breed.
/// *Errors:* [`Unfit`] naming the input. *Source:* Wright 1938; Crow & Kimura 1970.
/// *Checked against:* `reference/oracles/04_small_numbers.csv`.
///
/// ```
/// assert_eq!(science::lineage::effective_size_from_families(10, 2.0, 0.0).unwrap(), 19.0);
/// ```
pub fn effective_size_from_families(parents: u64, mean_offspring: f64, variance: f64) -> Result<f64, Unfit> {
    let n = float(counted("parents", parents, 1, MOST)?);
    let k = above("mean_offspring", mean_offspring, 0.0)?;
    let variance = from_to("variance", variance, 0.0, 1e9)?;
    let spread = k - 1.0 + variance / k;
    if n * k <= 1.0 || spread <= 0.0 {
        return Err(Unfit::outside("mean_offspring", k, "large enough for a next generation"));
    }
    Ok((n * k - 1.0) / spread)
}

/// Effective size of what passes from mother to daughter only: the W chromosome and the mitochondria.
///
/// *Formula:* `Nf/2` on the scale of [`effective_size`]. *Units, holds for, errors:* as [`effective_size`].
/// *Source:* one copy through one sex. *Checked against:* `reference/oracles/04_small_numbers.csv`.
///
/// ```
/// assert_eq!(science::lineage::effective_size_w(9).unwrap(), 4.5);
/// ```
pub fn effective_size_w(females: u64) -> Result<f64, Unfit> {
    Ok(float(counted("females", females, 1, MOST)?) / 2.0)
}

/// Effective size when generations overlap.
///
/// *Formula:* `4 N L/(Vk + 2)`. *Units:* newcomers per season, seasons; animals out. *Holds for:* steady numbers.
/// *Errors:* [`Unfit`] naming the input. *Source:* Hill 1979 (form from memory).
/// *Checked against:* `reference/oracles/04_small_numbers.csv` (arithmetic only).
///
/// ```
/// assert_eq!(science::lineage::effective_size_overlapping(20.0, 2.0, 3.0).unwrap(), 32.0);
/// ```
pub fn effective_size_overlapping(
    newcomers: f64,
    generation_seasons: f64,
    variance: f64,
) -> Result<f64, Unfit> {
    let newcomers = above("newcomers", newcomers, 0.0)?;
    let seasons = above("generation_seasons", generation_seasons, 0.0)?;
    Ok(4.0 * newcomers * seasons / (from_to("variance", variance, 0.0, 1e9)? + 2.0))
}

/// Effective size over several generations: the harmonic mean, which the worst year rules.
///
/// *Formula:* `t/sum(1/N_i)`. *Units:* animals. *Holds for:* generations that do not overlap.
/// *Errors:* [`Unfit`] naming the list. *Source:* Wright 1938. *Checked against:* `reference/oracles/04_small_numbers.csv`.
///
/// ```
/// let sizes = [10.0, 100.0, 50.0, 80.0, 20.0, 500.0];
/// assert!((science::lineage::effective_size_over_generations(&sizes).unwrap() - 30.8483290488).abs() < 1e-9);
/// ```
pub fn effective_size_over_generations(sizes: &[f64]) -> Result<f64, Unfit> {
    if sizes.is_empty() {
        return Err(Unfit::clash("sizes", "no generation given"));
    }
    let mut inverse = 0.0;
    let mut generations = 0.0;
    for &size in sizes {
        inverse += 1.0 / above("sizes", size, 0.0)?;
        generations += 1.0;
    }
    Ok(generations / inverse)
}

/// The share of unlike gene pairs still there after some generations.
///
/// *Formula:* `(1 - 1/(2 Ne))^t`. *Units:* animals and generations in, share out. *Holds for:* a closed line.
/// *Errors:* [`Unfit`] naming the input. *Source:* Wright 1931. *Checked against:* `reference/oracles/04_small_numbers.csv`.
///
/// ```
/// assert!((science::lineage::heterozygosity_kept(10.0, 10.0).unwrap() - 0.598736939238).abs() < 1e-10);
/// ```
pub fn heterozygosity_kept(effective_size: f64, generations: f64) -> Result<f64, Unfit> {
    let ne = from_to("effective_size", effective_size, 0.5, 1e12)?;
    let t = from_to("generations", generations, 0.0, 1e6)?;
    Ok((1.0 - 1.0 / (2.0 * ne)).powf(t))
}

const MOST: u64 = 1_000_000_000;

fn sexes(males: u64, females: u64) -> Result<(f64, f64), Unfit> {
    Ok((float(counted("males", males, 1, MOST)?), float(counted("females", females, 1, MOST)?)))
}

#[expect(clippy::cast_precision_loss, reason = "counts are at most 1e9")]
fn float(count: u64) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn refusals_name_the_input() {
        assert_eq!(effective_size(0, 5).unwrap_err().name(), "males");
        assert_eq!(effective_size_z(5, 0).unwrap_err().name(), "females");
        assert_eq!(heterozygosity_kept(0.2, 3.0).unwrap_err().name(), "effective_size");
        assert_eq!(heterozygosity_kept(5.0, f64::NAN).unwrap_err().name(), "generations");
        assert_eq!(effective_size_over_generations(&[10.0, 0.0]).unwrap_err().name(), "sizes");
        assert_eq!(effective_size_from_families(1, 0.5, 0.0).unwrap_err().name(), "mean_offspring");
    }
}
