//! One range, one name, one message: the form, the command line, the table
//! reader and the store all ask here what is allowed.

use std::fmt;

/// A permitted range with the words that explain it.
#[derive(Debug, PartialEq)]
pub struct Bounds {
    /// What is measured, in the words of the bench.
    pub what: &'static str,
    /// The unit, as printed behind a number; empty for counts.
    pub unit: &'static str,
    /// The smallest permitted value.
    pub min: f64,
    /// The largest permitted value.
    pub max: f64,
}

/// A value outside its range. NaN lies outside every range.
#[derive(Debug, Clone, PartialEq)]
pub struct OutOfBounds {
    /// The range that was left.
    pub bounds: &'static Bounds,
    /// What was given.
    pub given: f64,
}

impl Bounds {
    /// The value itself, or the sentence that refuses it.
    ///
    /// # Errors
    /// [`OutOfBounds`] if the value is outside or is not a number.
    ///
    /// ```
    /// use terms::bounds::HUMIDITY_PERCENT;
    /// let refused = HUMIDITY_PERCENT.check(130.0).map_err(|it| it.to_string());
    /// assert_eq!(refused, Err("relative humidity must lie between 0 % and 100 %, but is 130 %".to_owned()));
    /// assert!(HUMIDITY_PERCENT.check(f64::NAN).is_err());
    /// ```
    pub fn check(&'static self, given: f64) -> Result<f64, OutOfBounds> {
        if (self.min..=self.max).contains(&given) {
            Ok(given)
        } else {
            Err(OutOfBounds { bounds: self, given })
        }
    }
}

impl fmt::Display for OutOfBounds {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Bounds { what, unit, min, max } = self.bounds;
        let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
        if self.given.is_nan() {
            write!(f, "{what} must be a number between {min}{unit} and {max}{unit}")
        } else {
            write!(f, "{what} must lie between {min}{unit} and {max}{unit}, but is {}{unit}", self.given)
        }
    }
}

impl std::error::Error for OutOfBounds {}

macro_rules! bounds {
    ($($(#[$doc:meta])* $name:ident = $what:literal, $unit:literal, $min:literal ..= $max:literal;)*) => {
        $($(#[$doc])* pub static $name: Bounds = Bounds { what: $what, unit: $unit, min: $min, max: $max };)*
    };
}

bounds! {
    /// Animals named in one deed.
    ANIMALS = "the number of animals", "", 1.0 ..= 100_000.0;
    /// Animals seen in one stage of a box, which may be none.
    ANIMALS_SEEN = "the number seen", "", 0.0 ..= 100_000.0;
    /// Eggs of one laying.
    EGGS = "the number of eggs", "", 0.0 ..= 10_000.0;
    /// Air in a room, a shed or a refrigerator.
    AIR_C = "the air temperature", "degC", -40.0 ..= 60.0;
    /// Relative humidity.
    HUMIDITY_PERCENT = "relative humidity", "%", 0.0 ..= 100.0;
    /// Degrees north of the equator; south is negative.
    LATITUDE_DEG = "the latitude", "degrees", -90.0 ..= 90.0;
    /// Degrees east of Greenwich; west is negative.
    LONGITUDE_DEG = "the longitude", "degrees", -180.0 ..= 180.0;
    /// Hours a day that lamps burn.
    LIGHT_H = "the hours of light", "h", 0.0 ..= 24.0;
    /// Fresh leaf given to a box or taken out of it.
    LEAF_FRESH_G = "the leaf", "g", 0.0 ..= 50_000.0;
    /// One cocoon, shell, pupa or larva.
    ANIMAL_FRESH_G = "the weight of one animal", "g", 0.0 ..= 100.0;
    /// The floor of a box.
    FLOOR_CM2 = "the floor of the box", "cm2", 1.0 ..= 1_000_000.0;
    /// A fore wing.
    FOREWING_MM = "the fore wing", "mm", 1.0 ..= 200.0;
    /// Hours that a pair stayed joined.
    JOINED_H = "the hours joined", "h", 0.0 ..= 200.0;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_edges_are_inside() {
        assert!(AIR_C.check(-40.0).is_ok() && AIR_C.check(60.0).is_ok());
        assert!(AIR_C.check(60.000_1).is_err());
    }

    #[test]
    fn what_is_no_number_is_outside() {
        let said = ANIMALS.check(f64::NAN).map_err(|it| it.to_string());
        assert_eq!(said, Err("the number of animals must be a number between 1 and 100000".to_owned()));
        assert!(ANIMALS.check(f64::INFINITY).is_err());
    }
}
