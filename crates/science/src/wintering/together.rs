//! A tub weighed as a whole.

/// Several cocoons on the scale together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Together {
    /// When, days from any beginning.
    pub at_d: f64,
    /// How many cocoons.
    pub n: u32,
    /// What they weighed together, grams, without the tub.
    pub together_g: f64,
}

/// What two weighings of a tub say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TogetherWatch {
    /// As a whole they lose more than healthy cocoons usually do.
    Drying {
        /// Lost, as a share of their weight.
        lost: f64,
        /// The most that is usual over these days.
        usual: f64,
    },
    /// As a whole they do not. One among many may still be drying: `hidden` of their weight is what a single cocoon of
    /// middle weight could have lost without being seen.
    Holds {
        /// Lost, as a share of their weight.
        lost: f64,
        /// The most that is usual over these days.
        usual: f64,
        /// The share of its own weight that one cocoon could have lost unseen, at most 1.
        hidden: f64,
    },
    /// Another number of cocoons, or figures that cannot be.
    Unknown,
}

/// Holds two weighings of the same cocoons, together, against what is usual.
///
/// # Formula
/// `loss = ln(first / last)`; drying where `loss > usual_per_d days` and more than the scale's step explains.
/// Unseen: `n (usual - loss)` of one cocoon's weight.
/// # Units
/// Days, grams, shares.
/// # Holds for
/// The same cocoons both times. Who was taken out makes the weighings incomparable: [`TogetherWatch::Unknown`].
/// # Errors
/// `Unknown` for no cocoons, weights not above 0, or days that do not rise.
/// # Source
/// Arithmetic. # Checked against: by hand.
/// # Example
/// ```
/// use science::wintering::{Together, TogetherWatch, watch_together};
/// let tub = |at_d, together_g| Together { at_d, n: 20, together_g };
/// let seen = watch_together(tub(0.0, 100.0), tub(30.0, 99.0), 0.0007, 1.0);
/// // 1.005 % lost in logs where up to 2.1 % is usual: one of the 20 could have lost a fifth of its weight unseen.
/// assert!(matches!(seen, TogetherWatch::Holds { hidden, .. } if (hidden - 0.219).abs() < 0.001));
/// ```
pub fn watch_together(first: Together, last: Together, usual_per_d: f64, step_g: f64) -> TogetherWatch {
    let sound = |it: &Together| it.n > 0 && it.together_g > 0.0 && it.together_g.is_finite();
    let days = last.at_d - first.at_d;
    if !sound(&first) || !sound(&last) || first.n != last.n || days.is_nan() || days <= 0.0 {
        return TogetherWatch::Unknown;
    }
    let loss = libm::log(first.together_g / last.together_g);
    let usual = usual_per_d * days;
    let (lost, usual_share) = (-libm::expm1(-loss), -libm::expm1(-usual));
    if loss > usual + step_g / last.together_g {
        TogetherWatch::Drying { lost, usual: usual_share }
    } else {
        let hidden = (f64::from(first.n) * (usual - loss)).clamp(0.0, 1.0);
        TogetherWatch::Holds { lost, usual: usual_share, hidden }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_whole_tub_dries_or_is_not_comparable() {
        let tub = |at_d, n, together_g| Together { at_d, n, together_g };
        let seen = watch_together(tub(0.0, 20, 100.0), tub(30.0, 20, 95.0), 0.0007, 0.1);
        assert!(matches!(seen, TogetherWatch::Drying { lost, .. } if (lost - 0.05).abs() < 1e-12));
        for broken in [tub(30.0, 19, 95.0), tub(0.0, 20, 95.0), tub(30.0, 20, f64::NAN), tub(30.0, 20, 0.0)] {
            assert_eq!(watch_together(tub(0.0, 20, 100.0), broken, 0.0007, 0.1), TogetherWatch::Unknown);
        }
    }
}
