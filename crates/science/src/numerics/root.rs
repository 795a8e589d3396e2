//! Root finding for monotone curves: slow, and it cannot run away.

/// The place where a continuous function changes sign, by halving.
///
/// *Formula:* the bracket is halved until it is as narrow as two neighbouring floats allow.
/// *Holds for:* `f(low)` and `f(high)` of opposite sign (or one of them zero).
/// *Errors:* `None` when there is no change of sign or a value is NaN: a caller must not read that as a root.
/// *Source:* intermediate value theorem. *Checked against:* every quantile and dew point that uses it.
///
/// ```
/// let root = science::numerics::bisect(0.0, 2.0, |x| x * x - 2.0);
/// assert!((root.unwrap() - 2.0_f64.sqrt()).abs() < 1e-15);
/// ```
pub fn bisect(low: f64, high: f64, f: impl Fn(f64) -> f64) -> Option<f64> {
    let (mut low, mut high) = (low, high);
    let at_low = f(low);
    let at_high = f(high);
    if at_low == 0.0 {
        return Some(low);
    }
    if at_high == 0.0 {
        return Some(high);
    }
    if at_low.is_nan() || at_high.is_nan() || (at_low > 0.0) == (at_high > 0.0) {
        return None;
    }
    // 200 halvings narrow any bracket of doubles to neighbours.
    for _ in 0..200 {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            break;
        }
        let at_middle = f(middle);
        if at_middle.is_nan() {
            return None;
        }
        if at_middle == 0.0 {
            return Some(middle);
        }
        if (at_middle > 0.0) == (at_low > 0.0) {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(low + (high - low) / 2.0)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::float_cmp, reason = "a root at the end of the bracket is returned as given")]
    use super::bisect;

    #[test]
    fn no_change_of_sign_is_no_root() {
        assert_eq!(bisect(1.0, 2.0, |x| x), None);
        assert_eq!(bisect(-1.0, 1.0, |_| f64::NAN), None);
        assert_eq!(bisect(0.0, 1.0, |x| x), Some(0.0));
    }
}
