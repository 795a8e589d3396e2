//! Mass on a basis: fresh and dry do not add.

use std::iter::Sum;
use std::marker::PhantomData;
use std::ops::Add;

/// Weighed with its water in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fresh;
/// Weighed after drying to constant weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dry;

/// A mass that remembers on which basis it was weighed.
///
/// Leaf budgets go wrong when a dry figure is read as a fresh one, so the two
/// cannot be added:
///
/// ```compile_fail
/// use terms::{Dry, Fresh, Grams};
/// let _ = Grams::<Fresh>::new(75.0) + Grams::<Dry>::new(18.0);
/// ```
///
/// The only door from one to the other names the water:
///
/// ```
/// use terms::{Fresh, Grams};
/// assert!((Grams::<Fresh>::new(10.0).dried(0.7).as_f64() - 3.0).abs() < 1e-12);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grams<Basis>(f64, PhantomData<Basis>);

impl<Basis> Grams<Basis> {
    /// A mass in grams.
    #[must_use]
    pub fn new(grams: f64) -> Self {
        Grams(grams, PhantomData)
    }

    /// The bare number of grams.
    #[must_use]
    pub fn as_f64(self) -> f64 {
        self.0
    }
}

impl Grams<Fresh> {
    /// The dry mass, given the share of water (0 to 1).
    #[must_use]
    pub fn dried(self, water_share: f64) -> Grams<Dry> {
        Grams::new(self.0 * (1.0 - water_share))
    }
}

impl<Basis> Add for Grams<Basis> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Grams::new(self.0 + other.0)
    }
}

impl<Basis> Sum for Grams<Basis> {
    fn sum<I: Iterator<Item = Self>>(masses: I) -> Self {
        masses.fold(Grams::new(0.0), Add::add)
    }
}
