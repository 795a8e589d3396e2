//! Inbreeding coefficients of a pedigree.

use std::collections::{BinaryHeap, HashMap};

use crate::numerics::Unfit;

/// The two parents of an animal by their row, `None` where unknown.
pub type Parents = [Option<usize>; 2];

/// The inbreeding coefficient of every animal, in the order given.
///
/// *Formula:* `F_i = sum_j L_ij^2 D_jj - 1`, ancestors walked youngest first; `D = 1/2 - (F_s + F_d)/4` with both
/// parents known, `3/4 - F/4` with one, 1 with none. Full sibs share one figure and it is reckoned once.
/// *Units:* rows in, shares out. *Holds for:* unknown parents unrelated to everybody; autosomes, not the Z.
/// *Errors:* [`Unfit`] naming the row (counted from 1) that points nowhere, is its own ancestor, or has one animal for
/// both parents. *Source:* Meuwissen & Luo 1992. *Checked against:* `reference/oracles/05_pedigree.csv`, and the tabular
/// method in this file.
///
/// ```
/// // A son mated back to his mother.
/// let rows = [[None, None], [None, None], [Some(0), Some(1)], [Some(2), Some(1)]];
/// assert_eq!(science::lineage::inbreeding(&rows).unwrap()[3], 0.25);
/// ```
pub fn inbreeding(pedigree: &[Parents]) -> Result<Vec<f64>, Unfit> {
    let order = oldest_first(pedigree)?;
    let mut place = vec![0; pedigree.len()];
    for (position, &row) in order.iter().enumerate() {
        place[row] = position;
    }
    // From here on animals stand in the order of their age, so that parents have smaller numbers.
    let parents: Vec<Parents> =
        order.iter().map(|&row| pedigree[row].map(|parent| parent.map(|p| place[p]))).collect();
    let mut inbred = vec![0.0; order.len()];
    let mut own_share = vec![0.0; order.len()];
    let mut weight = vec![0.0; order.len()];
    let mut sibs: HashMap<(usize, usize), f64> = HashMap::new();
    for animal in 0..order.len() {
        own_share[animal] = mendelian(parents[animal], &inbred);
        if let [Some(a), Some(b)] = parents[animal] {
            let pair = (a.min(b), a.max(b));
            inbred[animal] = match sibs.get(&pair) {
                Some(&known) => known,
                None => walked(animal, &parents, &own_share, &mut weight) - 1.0,
            };
            sibs.insert(pair, inbred[animal]);
        }
    }
    Ok(place.into_iter().map(|position| inbred[position]).collect())
}

fn mendelian(parents: Parents, inbred: &[f64]) -> f64 {
    match parents {
        [Some(a), Some(b)] => 0.5 - 0.25 * (inbred[a] + inbred[b]),
        [Some(one), None] | [None, Some(one)] => 0.75 - 0.25 * inbred[one],
        [None, None] => 1.0,
    }
}

/// The diagonal of the relationship matrix for one animal.
fn walked(animal: usize, parents: &[Parents], own_share: &[f64], weight: &mut [f64]) -> f64 {
    let mut open = BinaryHeap::from([animal]);
    weight[animal] = 1.0;
    let mut sum = 0.0;
    while let Some(ancestor) = open.pop() {
        let reached = std::mem::take(&mut weight[ancestor]);
        sum += reached * reached * own_share[ancestor];
        for parent in parents[ancestor].into_iter().flatten() {
            // A weight of 0 means that the parent is not yet waiting.
            if weight[parent] <= 0.0 {
                open.push(parent);
            }
            weight[parent] += reached / 2.0;
        }
    }
    sum
}

/// Rows in an order in which parents come before their young.
pub(super) fn oldest_first(pedigree: &[Parents]) -> Result<Vec<usize>, Unfit> {
    let mut waits = vec![0_u8; pedigree.len()];
    let mut young: Vec<Vec<usize>> = vec![vec![]; pedigree.len()];
    for (row, parents) in pedigree.iter().enumerate() {
        if let [Some(a), Some(b)] = parents
            && a == b
        {
            return Err(Unfit::clash("pedigree", format!("row {} has one animal for both parents", row + 1)));
        }
        for &parent in parents.iter().flatten() {
            let Some(list) = young.get_mut(parent) else {
                return Err(Unfit::clash(
                    "pedigree",
                    format!("row {} has a parent that is not listed", row + 1),
                ));
            };
            list.push(row);
            waits[row] += 1;
        }
    }
    let mut order: Vec<usize> = (0..pedigree.len()).filter(|&row| waits[row] == 0).collect();
    let mut next = 0;
    while let Some(&row) = order.get(next) {
        next += 1;
        for &child in &young[row] {
            waits[child] -= 1;
            if waits[child] == 0 {
                order.push(child);
            }
        }
    }
    match waits.iter().position(|&left| left > 0) {
        Some(row) => {
            Err(Unfit::clash("pedigree", format!("row {} is among its own ancestors' young", row + 1)))
        }
        None => Ok(order),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;
    use crate::lineage::kinship;
    use proptest::prelude::*;

    #[test]
    fn a_chain_of_full_sibs_gives_wrights_numbers() {
        // Wright 1921, as every textbook prints them: 0, 0, 1/4, 3/8, 1/2, 19/32, 43/64, 47/64.
        let mut rows = vec![[None, None], [None, None]];
        for generation in 0..7 {
            let pair = [Some(2 * generation), Some(2 * generation + 1)];
            rows.extend([pair, pair]);
        }
        let inbred = inbreeding(&rows).unwrap();
        let printed = [0.0, 0.0, 0.25, 0.375, 0.5, 0.59375, 0.671875, 0.734375];
        for (generation, expected) in printed.into_iter().enumerate() {
            assert!((inbred[2 * generation] - expected).abs() < 1e-15);
        }
    }

    #[test]
    fn refusals_name_the_row() {
        let why = |rows: &[Parents]| inbreeding(rows).unwrap_err().to_string();
        assert!(why(&[[Some(3), None]]).contains("row 1 has a parent"));
        assert!(why(&[[None, None], [Some(0), Some(0)]]).contains("row 2 has one animal"));
        assert!(why(&[[Some(1), None], [Some(0), None]]).contains("own ancestors"));
    }

    proptest! {
        /// The slow twin: the tabular method on pedigrees of any shape, rows in any order.
        #[test]
        fn the_walk_equals_the_table(
            picks in proptest::collection::vec((any::<u16>(), any::<u16>(), 0_u8..8), 1..40),
            turn in any::<usize>(),
        ) {
            let n = picks.len();
            let shifted = |row: usize| (row + turn % n) % n;
            let mut rows = vec![[None, None]; n];
            for (row, &(a, b, known)) in picks.iter().enumerate() {
                let pick = |x: u16| (row > 0).then(|| usize::from(x) % row.max(1));
                let (mut a, b) = (pick(a), pick(b));
                if a == b || known == 0 {
                    a = None;
                }
                rows[shifted(row)] = [a.map(shifted), b.filter(|_| known != 1).map(shifted)];
            }
            let quick = inbreeding(&rows).unwrap();
            let table = kinship(&rows).unwrap();
            for row in 0..n {
                prop_assert!((quick[row] - (2.0 * table[row][row] - 1.0)).abs() < 1e-12);
            }
        }
    }
}
