//! How far apart two moths come out.

use crate::numerics::{Unfit, above, finite, from_to, normal_cdf};

/// The chance that one male and one female come out within `within_d` days of each other.
///
/// *Formula:* `F((w-d)/s) - F((-w-d)/s)`, `s^2 = sm^2 + sf^2`, `d` the mean lead of one sex over the other.
/// *Units:* days in, probability out. *Holds for:* normal dates of coming out, independent of each other.
/// *Errors:* [`Unfit`] naming the input. *Source:* difference of two normal variables.
/// *Checked against:* `reference/oracles/04_small_numbers.csv`.
///
/// ```
/// let near = science::smallnumbers::chance_within(2.0, 2.0, 0.0, 1.0).unwrap();
/// assert!((near - 0.276326390168).abs() < 1e-10);
/// ```
pub fn chance_within(
    sd_male_d: f64,
    sd_female_d: f64,
    mean_lead_d: f64,
    within_d: f64,
) -> Result<f64, Unfit> {
    let spread = above("sd_male_d", sd_male_d, 0.0)?.hypot(above("sd_female_d", sd_female_d, 0.0)?);
    let lead = finite("mean_lead_d", mean_lead_d)?;
    let within = from_to("within_d", within_d, 0.0, 1e6)?;
    Ok(normal_cdf((within - lead) / spread) - normal_cdf((-within - lead) / spread))
}
