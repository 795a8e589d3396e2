//! The number in a claim, or the honest lack of one.

use std::fmt;

/// What a claim gives: one value, a range, an open end, or only words.
///
/// A claim in words has no number, and no number is not nought: there is nothing here to read as 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Figure {
    /// The source says something, but no number.
    Words,
    /// One value.
    Value(f64),
    /// From low to high, both included. Nobody said that the middle is likelier.
    Range {
        /// The lower end.
        low: f64,
        /// The upper end.
        high: f64,
    },
    /// This or more; the source gives no upper end.
    AtLeast(f64),
    /// This or less; the source gives no lower end.
    AtMost(f64),
}

impl Figure {
    /// The lower end, if there is one.
    pub fn low(self) -> Option<f64> {
        match self {
            Figure::Words | Figure::AtMost(_) => None,
            Figure::Value(value) | Figure::AtLeast(value) => Some(value),
            Figure::Range { low, .. } => Some(low),
        }
    }

    /// The upper end, if there is one.
    pub fn high(self) -> Option<f64> {
        match self {
            Figure::Words | Figure::AtLeast(_) => None,
            Figure::Value(value) | Figure::AtMost(value) => Some(value),
            Figure::Range { high, .. } => Some(high),
        }
    }

    /// Do two figures share no value at all? `None` where one of them has no number.
    ///
    /// ```
    /// use evidence::Figure;
    /// let high = Figure::Range { low: 75.0, high: 80.0 };
    /// let low = Figure::Range { low: 35.0, high: 40.0 };
    /// assert_eq!(high.is_apart_from(low), Some(true));
    /// assert_eq!(high.is_apart_from(Figure::Words), None);
    /// ```
    pub fn is_apart_from(self, other: Figure) -> Option<bool> {
        if self == Figure::Words || other == Figure::Words {
            return None;
        }
        let above = |low: Option<f64>, high: Option<f64>| matches!((low, high), (Some(l), Some(h)) if l > h);
        Some(above(self.low(), other.high()) || above(other.low(), self.high()))
    }
}

impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Figure::Words => f.write_str("no number given"),
            Figure::Value(value) => write!(f, "{value}"),
            Figure::Range { low, high } => write!(f, "{low} to {high}"),
            Figure::AtLeast(value) => write!(f, "{value} or more"),
            Figure::AtMost(value) => write!(f, "at most {value}"),
        }
    }
}
