//! Indices of consumption and growth on dry mass.

use crate::numerics::{Unfit, above, finite, from_to};

/// The five indices. All masses are dry; fresh mass must not be mixed in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeafUse {
    /// Relative consumption rate, g eaten per g of animal and day.
    pub rcr: f64,
    /// Relative growth rate, g gained per g of animal and day.
    pub rgr: f64,
    /// Approximate digestibility, %.
    pub ad_percent: f64,
    /// Efficiency of conversion of ingested food, %.
    pub eci_percent: f64,
    /// Efficiency of conversion of digested food, %; `None` when nothing was digested.
    pub ecd_percent: Option<f64>,
}

/// The indices of leaf use.
///
/// *Formula:* `RCR = I/(W T)`, `RGR = G/(W T)`, `AD = 100 (I-F)/I`, `ECI = 100 G/I`, `ECD = 100 G/(I-F)`; so
/// `ECI = AD ECD/100` and `RGR = RCR ECI/100`. *Units:* g dry and days in; g/(g d) and % out.
/// *Holds for:* dry masses, the same animals from first to last weighing; `mean_dry_g` is the mean mass over the time
/// (Waldbauer 1968), and starting mass or final mass give other figures. AD counts what leaves with the urine as
/// undigested, hence approximate. *Errors:* [`Unfit`] naming the input; more frass than leaf, or more gain than was
/// digested, is a weighing error and refused. *Source:* Waldbauer 1968.
/// *Checked against:* `reference/oracles/06_nutrition.csv`.
///
/// ```
/// let figures = science::feeding_indices::leaf_use(10.0, 6.0, 2.0, 2.5, 8.0).unwrap();
/// assert_eq!((figures.ad_percent, figures.eci_percent, figures.ecd_percent), (40.0, 20.0, Some(50.0)));
/// ```
pub fn leaf_use(
    eaten_dry_g: f64,
    frass_dry_g: f64,
    gain_dry_g: f64,
    mean_dry_g: f64,
    days: f64,
) -> Result<LeafUse, Unfit> {
    let eaten = above("eaten_dry_g", eaten_dry_g, 0.0)?;
    let frass = from_to("frass_dry_g", frass_dry_g, 0.0, f64::MAX)?;
    if frass > eaten {
        return Err(Unfit::outside(
            "frass_dry_g",
            frass,
            format!("at most the {eaten} g eaten: weigh again"),
        ));
    }
    let digested = eaten - frass;
    let gain = finite("gain_dry_g", gain_dry_g)?;
    if gain > digested {
        return Err(Unfit::outside(
            "gain_dry_g",
            gain,
            format!("at most the {digested} g digested: weigh again"),
        ));
    }
    let animal_days = above("mean_dry_g", mean_dry_g, 0.0)? * above("days", days, 0.0)?;
    Ok(LeafUse {
        rcr: eaten / animal_days,
        rgr: gain / animal_days,
        ad_percent: 100.0 * digested / eaten,
        eci_percent: 100.0 * gain / eaten,
        ecd_percent: (digested > 0.0).then(|| 100.0 * gain / digested),
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn refusals_name_the_input() {
        let named = |i, f, g, w, t| leaf_use(i, f, g, w, t).unwrap_err().name();
        assert_eq!(named(0.0, 0.0, 0.0, 1.0, 1.0), "eaten_dry_g");
        assert_eq!(named(5.0, 6.0, 0.0, 1.0, 1.0), "frass_dry_g");
        assert_eq!(named(5.0, 4.0, 1.5, 1.0, 1.0), "gain_dry_g");
        assert_eq!(named(5.0, 4.0, f64::NAN, 1.0, 1.0), "gain_dry_g");
        assert_eq!(named(5.0, 4.0, 0.5, 0.0, 1.0), "mean_dry_g");
        assert_eq!(named(5.0, 4.0, 0.5, 1.0, 0.0), "days");
    }

    #[test]
    fn a_hungry_animal_may_lose_and_nothing_digested_is_not_a_figure() {
        let hungry = leaf_use(5.0, 5.0, -0.2, 1.0, 2.0).unwrap();
        assert!(hungry.rgr < 0.0);
        assert_eq!(hungry.ecd_percent, None);
    }
}
