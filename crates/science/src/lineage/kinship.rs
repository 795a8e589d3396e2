//! Kinship of every pair: the table that the textbook fills in by hand.

use super::inbreeding::{Parents, oldest_first};
use crate::numerics::Unfit;

/// Rows beyond which the full table is refused: it grows with the square.
const MOST: usize = 5000;

/// The kinship of every pair on the autosomes.
///
/// *Formula:* `phi_ij` is the mean of `phi_sj` and `phi_dj`, `phi_ii = (1 + phi_sd)/2`; the relationship is `2 phi`.
/// *Units:* rows in, probabilities out. *Holds for:* unknown parents unrelated to everybody; up to 5,000 animals.
/// *Errors:* [`Unfit`] naming the row as in [`inbreeding`](fn@super::inbreeding). *Source:* Emik & Terrill 1949; Henderson 1976.
/// *Checked against:* `reference/oracles/05_pedigree.csv`.
///
/// ```
/// let table = science::lineage::kinship(&[[None, None], [None, None], [Some(0), Some(1)]]).unwrap();
/// assert_eq!(table[0][2], 0.25);
/// ```
pub fn kinship(pedigree: &[Parents]) -> Result<Vec<Vec<f64>>, Unfit> {
    fill(pedigree, |_| true)
}

/// The kinship of every pair on the Z chromosome, of which a male has two and a female one, from her sire.
///
/// *Formula:* a male as in [`kinship`]; a female `phi_ij = phi_sj`, `phi_ii = 1`. The first parent is the sire.
/// *Units, holds for, errors:* as [`kinship`]. *Source:* Wright 1933, sexes exchanged.
/// *Checked against:* `reference/oracles/05_pedigree.csv`.
///
/// ```
/// let table = science::lineage::kinship_z(&[[None, None], [None, None], [Some(0), Some(1)]], &[true, false, false]).unwrap();
/// assert_eq!((table[0][2], table[1][2]), (0.5, 0.0));
/// ```
pub fn kinship_z(pedigree: &[Parents], is_male: &[bool]) -> Result<Vec<Vec<f64>>, Unfit> {
    if is_male.len() != pedigree.len() {
        let why = format!("{} values, but the pedigree has {} rows", is_male.len(), pedigree.len());
        return Err(Unfit::clash("sex", why));
    }
    for (row, [sire, dam]) in pedigree.iter().enumerate() {
        let is = |parent: &Option<usize>, male: bool| {
            parent.is_none_or(|p| is_male.get(p).is_none_or(|&m| m == male))
        };
        if !is(sire, true) || !is(dam, false) {
            return Err(Unfit::clash(
                "sex",
                format!("row {} must name its sire first, then its dam", row + 1),
            ));
        }
    }
    fill(pedigree, |row| is_male[row])
}

fn fill(pedigree: &[Parents], takes_from_both: impl Fn(usize) -> bool) -> Result<Vec<Vec<f64>>, Unfit> {
    if pedigree.len() > MOST {
        let why = format!("{} animals are too many for the full table, at most {MOST}", pedigree.len());
        return Err(Unfit::clash("pedigree", why));
    }
    let order = oldest_first(pedigree)?;
    let mut table = vec![vec![0.0; pedigree.len()]; pedigree.len()];
    for (done, &row) in order.iter().enumerate() {
        let [sire, dam] = pedigree[row];
        let both = takes_from_both(row);
        for &other in &order[..done] {
            let through = |parent: Option<usize>| parent.map_or(0.0, |p| table[p][other]);
            let value = if both { f64::midpoint(through(sire), through(dam)) } else { through(sire) };
            table[row][other] = value;
            table[other][row] = value;
        }
        let between = sire.zip(dam).map_or(0.0, |(s, d)| table[s][d]);
        table[row][row] = if both { f64::midpoint(1.0, between) } else { 1.0 };
    }
    Ok(table)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn a_dam_named_as_sire_is_refused() {
        let rows = [[None, None], [None, None], [Some(1), Some(0)]];
        assert_eq!(kinship_z(&rows, &[true, false, true]).unwrap_err().name(), "sex");
        assert_eq!(kinship_z(&rows, &[true]).unwrap_err().name(), "sex");
    }
}
