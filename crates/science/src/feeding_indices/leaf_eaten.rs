//! Leaf eaten, when leaf also dries by itself.

use crate::numerics::{Unfit, above, from_to};

/// The weighings of one feeding. The control is like leaf in a like box without animals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeafWeighed {
    /// Leaf laid in, g fresh.
    pub offered_g: f64,
    /// Leaf left over, g as found.
    pub left_g: f64,
    /// Control leaf at the start, g fresh.
    pub control_fresh_g: f64,
    /// The same control leaf at the end, g.
    pub control_after_g: f64,
}

/// Fresh leaf eaten, with the water that the leaf lost by itself put back.
///
/// *Formula:* `(1 - a/2)[W - (L + b L)]` with `a` the control's loss over its first and `b` over its last mass: the
/// leftovers are brought back to fresh mass, and what was eaten is taken to have dried for half the time.
/// *Units:* g fresh in and out. *Holds for:* like leaf, like box, same time. *Errors:* [`Unfit`] naming the input; a
/// control that gained mass, or leftovers that would have weighed more than the offer, are refused.
/// *Source:* Waldbauer 1968 (form from memory; not seen in a readable copy).
/// *Checked against:* `reference/oracles/06_nutrition.csv`.
///
/// ```
/// use science::feeding_indices::{LeafWeighed, leaf_eaten_g};
/// let weighed = LeafWeighed { offered_g: 20.0, left_g: 6.0, control_fresh_g: 10.0, control_after_g: 8.5 };
/// assert!((leaf_eaten_g(weighed).unwrap() - 11.970588).abs() < 1e-6);
/// ```
pub fn leaf_eaten_g(weighed: LeafWeighed) -> Result<f64, Unfit> {
    let offered = above("offered_g", weighed.offered_g, 0.0)?;
    let left = from_to("left_g", weighed.left_g, 0.0, f64::MAX)?;
    let fresh = above("control_fresh_g", weighed.control_fresh_g, 0.0)?;
    let after = above("control_after_g", weighed.control_after_g, 0.0)?;
    if after > fresh {
        let must = format!("at most the {fresh} g it weighed fresh: wet leaf cannot serve as control");
        return Err(Unfit::outside("control_after_g", after, must));
    }
    let loss = fresh - after;
    let missing = offered - left * (1.0 + loss / after);
    if missing < 0.0 {
        let must = format!(
            "at most {:.3} g: with its water put back it would outweigh the offer",
            offered * after / fresh
        );
        return Err(Unfit::outside("left_g", left, must));
    }
    Ok((1.0 - loss / fresh / 2.0) * missing)
}

/// Dry leaf eaten, from the dry share of sister leaves and the dried leftovers: the surer way where an oven is at hand.
///
/// *Formula:* `W d - L_dry`. *Units:* g fresh, share and g dry in; g dry out. *Holds for:* sister leaves of the same age
/// picked at the same hour. *Errors:* [`Unfit`] naming the input. *Source:* gravimetric method, common practice.
/// *Checked against:* `reference/oracles/06_nutrition.csv`.
///
/// ```
/// assert!((science::feeding_indices::dry_eaten_g(20.0, 0.25, 1.6).unwrap() - 3.4).abs() < 1e-12);
/// ```
pub fn dry_eaten_g(offered_g: f64, dry_share: f64, left_dry_g: f64) -> Result<f64, Unfit> {
    let dry = above("offered_g", offered_g, 0.0)? * from_to("dry_share", dry_share, 0.01, 1.0)?;
    let left = from_to("left_dry_g", left_dry_g, 0.0, f64::MAX)?;
    if left > dry {
        return Err(Unfit::outside("left_dry_g", left, format!("at most the {dry} g dry that was offered")));
    }
    Ok(dry - left)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn untouched_leaf_is_none_eaten() {
        let weighed =
            LeafWeighed { offered_g: 20.0, left_g: 17.0, control_fresh_g: 10.0, control_after_g: 8.5 };
        assert!(leaf_eaten_g(weighed).unwrap().abs() < 1e-12);
    }

    #[test]
    fn refusals_name_the_input() {
        let weighed =
            LeafWeighed { offered_g: 20.0, left_g: 6.0, control_fresh_g: 10.0, control_after_g: 8.5 };
        let named = |weighed| leaf_eaten_g(weighed).unwrap_err().name();
        assert_eq!(named(LeafWeighed { left_g: 18.0, ..weighed }), "left_g");
        assert_eq!(named(LeafWeighed { control_after_g: 11.0, ..weighed }), "control_after_g");
        assert_eq!(named(LeafWeighed { offered_g: f64::NAN, ..weighed }), "offered_g");
        assert_eq!(dry_eaten_g(20.0, 0.25, 6.0).unwrap_err().name(), "left_dry_g");
    }
}
