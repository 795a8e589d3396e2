//! One way to say no: which input, what was given, what would have been taken.

/// Why a figure was not computed. Every bench formula refuses with this and with nothing else.
///
/// The name is the one the caller used, so that the refusal can be shown beside the field.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Unfit {
    /// NaN or an infinity where a measured value belongs.
    #[error("{name} is not a finite number")]
    NotANumber {
        /// The input that was refused.
        name: &'static str,
    },
    /// A finite number outside what the formula holds for.
    #[error("{name} is {value}; it must be {must}")]
    OutOfRange {
        /// The input that was refused.
        name: &'static str,
        /// What was given.
        value: f64,
        /// What would have been taken, in words.
        must: String,
    },
    /// Numbers that are each in range but do not fit together.
    #[error("{name}: {why}")]
    Clash {
        /// The input that was refused.
        name: &'static str,
        /// What does not fit, in words.
        why: String,
    },
}

impl Unfit {
    /// The input that was refused.
    ///
    /// ```
    /// let no = science::numerics::share("survival", 1.2).unwrap_err();
    /// assert_eq!(no.name(), "survival");
    /// assert_eq!(no.to_string(), "survival is 1.2; it must be from 0 to 1");
    /// ```
    pub fn name(&self) -> &'static str {
        match self {
            Unfit::NotANumber { name } | Unfit::OutOfRange { name, .. } | Unfit::Clash { name, .. } => name,
        }
    }

    /// A refusal of numbers that do not fit together.
    pub fn clash(name: &'static str, why: impl Into<String>) -> Self {
        Unfit::Clash { name, why: why.into() }
    }

    /// A refusal of a number outside what the formula holds for.
    pub fn outside(name: &'static str, value: f64, must: impl Into<String>) -> Self {
        Unfit::OutOfRange { name, value, must: must.into() }
    }
}

/// Takes a finite number and refuses NaN and the infinities.
pub fn finite(name: &'static str, value: f64) -> Result<f64, Unfit> {
    if value.is_finite() { Ok(value) } else { Err(Unfit::NotANumber { name }) }
}

/// Takes a number from `low` to `high`, both ends included.
pub fn from_to(name: &'static str, value: f64, low: f64, high: f64) -> Result<f64, Unfit> {
    let value = finite(name, value)?;
    if (low..=high).contains(&value) {
        Ok(value)
    } else {
        Err(Unfit::outside(name, value, format!("from {low} to {high}")))
    }
}

/// Takes a number strictly above `floor`.
pub fn above(name: &'static str, value: f64, floor: f64) -> Result<f64, Unfit> {
    let value = finite(name, value)?;
    if value > floor { Ok(value) } else { Err(Unfit::outside(name, value, format!("above {floor}"))) }
}

/// Takes a share or probability from 0 to 1, both ends included.
pub fn share(name: &'static str, value: f64) -> Result<f64, Unfit> {
    from_to(name, value, 0.0, 1.0)
}

/// Takes a share that is neither 0 nor 1.
pub fn open_share(name: &'static str, value: f64) -> Result<f64, Unfit> {
    let value = finite(name, value)?;
    if value > 0.0 && value < 1.0 {
        Ok(value)
    } else {
        Err(Unfit::outside(name, value, "between 0 and 1, neither of them"))
    }
}

/// Takes a level of confidence such as 0.95. A percentage typed by mistake (95) is refused.
pub fn trust(name: &'static str, value: f64) -> Result<f64, Unfit> {
    let value = finite(name, value)?;
    if value > 0.0 && value < 1.0 {
        Ok(value)
    } else {
        Err(Unfit::outside(name, value, "a share between 0 and 1, such as 0.95"))
    }
}

/// Takes a count of at least `least` and at most `most`.
pub fn counted(name: &'static str, value: u64, least: u64, most: u64) -> Result<u64, Unfit> {
    if (least..=most).contains(&value) {
        Ok(value)
    } else {
        Err(Unfit::outside(name, as_float(value), format!("a count from {least} to {most}")))
    }
}

/// Takes a list of at least two finite numbers.
pub fn at_least_two(name: &'static str, values: &[f64]) -> Result<(), Unfit> {
    if values.len() < 2 {
        return Err(Unfit::clash(name, format!("{} given, at least 2 needed", values.len())));
    }
    values.iter().try_for_each(|&value| finite(name, value).map(|_| ()))
}

/// Counts here stay far below 2^53, where every whole number is still exact.
#[expect(clippy::cast_precision_loss, reason = "bench counts are far below 2^53")]
fn as_float(count: u64) -> f64 {
    count as f64
}
