//! Quantiles of what the runs gave.

/// The seven quantiles that answers carry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantiles {
    /// 5 %.
    pub q05: f64,
    /// 10 %.
    pub q10: f64,
    /// 25 %.
    pub q25: f64,
    /// The middle.
    pub q50: f64,
    /// 75 %.
    pub q75: f64,
    /// 90 %.
    pub q90: f64,
    /// 95 %.
    pub q95: f64,
}

/// The quantile of sorted numbers, straight between neighbours.
///
/// # Formula
/// The value at place `p (n - 1)`, counted from 0 (type 7 of Hyndman & Fan 1996).
/// # Errors
/// NaN for no numbers: an unknown date is never an early one.
/// # Example
/// ```
/// use science::phenology::quantile;
/// assert!((quantile(&[1.0, 2.0, 4.0], 0.75) - 3.0).abs() < 1e-12);
/// assert!(quantile(&[], 0.5).is_nan());
/// ```
pub fn quantile(sorted: &[f64], p: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else { return f64::NAN };
    let place = p.clamp(0.0, 1.0) * last as f64;
    let low = (place as usize).min(last);
    let high = (low + 1).min(last);
    let part = place - low as f64;
    // Equal neighbours (two endless ones, for instance) need no arithmetic that could make them NaN.
    if part <= 0.0 || sorted[low].total_cmp(&sorted[high]).is_eq() {
        return sorted[low];
    }
    sorted[low] + (sorted[high] - sorted[low]) * part
}

impl Quantiles {
    /// Sorts the numbers and reads the quantiles; `None` for no numbers or if one of them is NaN.
    pub fn of(numbers: &mut [f64]) -> Option<Quantiles> {
        if numbers.is_empty() || numbers.iter().any(|it| it.is_nan()) {
            return None;
        }
        numbers.sort_unstable_by(f64::total_cmp);
        Some(Quantiles::of_sorted(numbers))
    }

    /// The same quantiles without sorting: only the places that are read are put right. Cheaper by half and more.
    pub(crate) fn pick(numbers: &mut [f64]) -> Option<Quantiles> {
        const SHARES: [f64; 7] = [0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95];
        let last = numbers.len().checked_sub(1)?;
        if numbers.iter().any(|it| it.is_nan()) {
            return None;
        }
        let mut places = [0; 14];
        for (two, share) in places.chunks_exact_mut(2).zip(SHARES) {
            let low = ((share * last as f64) as usize).min(last);
            two.copy_from_slice(&[low, (low + 1).min(last)]);
        }
        put_right(numbers, 0, &places);
        Some(Quantiles::of_sorted(numbers))
    }

    pub(super) fn of_sorted(sorted: &[f64]) -> Quantiles {
        let at = |p| quantile(sorted, p);
        Quantiles {
            q05: at(0.05),
            q10: at(0.1),
            q25: at(0.25),
            q50: at(0.5),
            q75: at(0.75),
            q90: at(0.9),
            q95: at(0.95),
        }
    }
}

/// Puts the numbers that belong in the places, in rising order and counted from `from`, where they belong.
fn put_right(numbers: &mut [f64], from: usize, places: &[usize]) {
    let Some(place) = places.get(places.len() / 2) else { return };
    if numbers.len() <= 32 {
        numbers.sort_unstable_by(f64::total_cmp);
        return;
    }
    let at = place - from;
    let (below, _, above) = numbers.select_nth_unstable_by(at, f64::total_cmp);
    let before = places.partition_point(|it| it < place);
    let after = places.partition_point(|it| it <= place);
    put_right(below, from, &places[..before]);
    put_right(above, place + 1, &places[after..]);
}

/// Equal quantiles for a dot plot: each dot is one chance in `dots`.
pub(super) fn dots(sorted: &[f64], dots: u32) -> Vec<f64> {
    if sorted.is_empty() {
        return Vec::new();
    }
    (1..=dots).map(|it| quantile(sorted, (f64::from(it) - 0.5) / f64::from(dots))).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    /// The worked example of many textbooks: type 7 of 1..=10.
    #[test]
    fn type_seven() {
        let mut numbers: Vec<f64> = (1..=10).rev().map(f64::from).collect();
        let it = Quantiles::of(&mut numbers).unwrap();
        assert!(
            (it.q25 - 3.25).abs() < 1e-12 && (it.q50 - 5.5).abs() < 1e-12 && (it.q90 - 9.1).abs() < 1e-12
        );
        assert!(Quantiles::of(&mut []).is_none() && Quantiles::of(&mut [1.0, f64::NAN]).is_none());
        assert_eq!(dots(&numbers, 2), [3.25, 7.75]);
    }

    #[test]
    fn picking_is_sorting() {
        let mut dice = crate::dice::Dice::seeded(5);
        for n in [1, 2, 13, 32, 33, 40, 500, 3001] {
            for steps in [3.0, 40.0, 1e9] {
                let numbers: Vec<f64> = (0..n).map(|_| (dice.unit() * steps).floor()).collect();
                assert_eq!(Quantiles::pick(&mut numbers.clone()), Quantiles::of(&mut numbers.clone()), "{n}");
            }
        }
        assert!(Quantiles::pick(&mut []).is_none() && Quantiles::pick(&mut [1.0, f64::NAN]).is_none());
    }
}
