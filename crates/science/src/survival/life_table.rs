//! Life tables: who is left at each age, and how strongly each stage bites.

use crate::numerics::{Unfit, above, finite};

/// One line per age class.
#[derive(Debug, Clone, PartialEq)]
pub struct LifeTable {
    /// Share alive at the start of each class.
    pub lx: Vec<f64>,
    /// Share of all that dies in the class.
    pub dx: Vec<f64>,
    /// Chance of dying in the class.
    pub qx: Vec<f64>,
    /// Classes still to live, on average.
    pub ex: Vec<f64>,
}

/// A life table from the numbers alive at the start of each class, down to the class in which none are left.
///
/// *Formula:* `l = a/a_0`, `d = l - l'`, `q = d/l`, `e = T/l` with `T` the sum of `(l + l')/2`. *Units:* counts in;
/// shares and classes out. *Holds for:* one cohort followed to its end. *Errors:* [`Unfit`] naming `alive`: numbers that
/// rise, or a table that stops with animals alive. *Source:* Deevey 1947.
/// *Checked against:* `reference/oracles/03_survival.csv`.
///
/// ```
/// let table = science::survival::life_table(&[100.0, 80.0, 60.0, 30.0, 10.0, 0.0]).unwrap();
/// assert!((table.ex[0] - 2.3).abs() < 1e-12);
/// ```
pub fn life_table(alive: &[f64]) -> Result<LifeTable, Unfit> {
    let first = above("alive", alive.first().copied().unwrap_or(0.0), 0.0)?;
    for pair in alive.windows(2) {
        let (before, now) = (finite("alive", pair[0])?, finite("alive", pair[1])?);
        if now > before || now < 0.0 {
            return Err(Unfit::outside(
                "alive",
                now,
                format!("from 0 to the {before} before: numbers in a cohort only fall"),
            ));
        }
    }
    let last = alive.last().copied().unwrap_or(first);
    if last > 0.0 {
        return Err(Unfit::outside("alive", last, "0 in the last class: follow the cohort to its end"));
    }
    let shares: Vec<f64> = alive.iter().map(|a| a / first).take_while(|l| *l > 0.0).collect();
    let after = |class: usize| shares.get(class + 1).copied().unwrap_or(0.0);
    let dx: Vec<f64> = shares.iter().enumerate().map(|(x, l)| l - after(x)).collect();
    let qx = dx.iter().zip(&shares).map(|(d, l)| d / l).collect();
    let mut ex = vec![0.0; shares.len()];
    let mut left = 0.0;
    for (x, l) in shares.iter().enumerate().rev() {
        left += f64::midpoint(*l, after(x));
        ex[x] = left / l;
    }
    Ok(LifeTable { lx: shares, dx, qx, ex })
}

/// The k-value of a stage: how strongly it bites, on a scale that adds up over stages.
///
/// *Formula:* `log10(before/after)`. Some tables print natural logarithms: multiply by 2.302585. *Units:* counts in.
/// *Holds for:* some left after. *Errors:* [`Unfit`] naming the input. *Source:* Varley & Gradwell 1960.
/// *Checked against:* `reference/oracles/03_survival.csv` (winter moth and gypsy moth tables).
///
/// ```
/// assert!((science::survival::k_value(658.0, 15.0).unwrap() - 1.64213463456).abs() < 1e-9);
/// ```
pub fn k_value(before: f64, after: f64) -> Result<f64, Unfit> {
    let before = above("before", before, 0.0)?;
    let after = above("after", after, 0.0)?;
    if after > before {
        return Err(Unfit::outside("after", after, format!("at most the {before} before")));
    }
    Ok((before / after).log10())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn refusals_name_the_input() {
        assert_eq!(life_table(&[]).unwrap_err().name(), "alive");
        assert_eq!(life_table(&[10.0, 12.0, 0.0]).unwrap_err().name(), "alive");
        assert!(life_table(&[10.0, 5.0]).unwrap_err().to_string().contains("to its end"));
        assert_eq!(k_value(10.0, 12.0).unwrap_err().name(), "after");
        assert_eq!(k_value(10.0, 0.0).unwrap_err().name(), "after");
    }
}
