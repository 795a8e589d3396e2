//! Who should meet whom, so that all pairs together are the best.

use crate::numerics::Unfit;

/// Rows or columns beyond which the question is refused.
const MOST: usize = 500;

/// One male for each female, so that the sum of the costs is least.
///
/// *Formula:* the assignment problem, by shortest augmenting paths with dual prices; with fewer males than females some
/// females stay alone, those whom it costs least. A cost that is no number forbids the pair.
/// *Units:* any, rows are females and columns males; the answer is the column for each row.
/// *Holds for:* up to 500 of each sex. *Errors:* [`Unfit`] where rows have unlike lengths or there are too many.
/// *Source:* Kuhn 1955; Jonker & Volgenant 1987 for the paths. *Checked against:* every permutation, in this file.
///
/// ```
/// // Both would like the second male; the first female loses less by taking the other.
/// let mates = science::lineage::best_mates(&[vec![0.1, 0.0], vec![0.25, 0.0]]).unwrap();
/// assert_eq!(mates, [Some(0), Some(1)]);
/// ```
pub fn best_mates(costs: &[Vec<f64>]) -> Result<Vec<Option<usize>>, Unfit> {
    let (rows, males) = (costs.len(), costs.first().map_or(0, Vec::len));
    if costs.iter().any(|row| row.len() != males) {
        return Err(Unfit::clash("costs", "rows have unlike lengths"));
    }
    if rows > MOST || males > MOST {
        return Err(Unfit::clash("costs", format!("{rows} by {males} are too many, at most {MOST}")));
    }
    let most = costs.iter().flatten().filter(|it| it.is_finite()).fold(0.0_f64, |a, b| a.max(b.abs()));
    // Staying alone is dearer than any set of pairs, and a forbidden pair dearer still.
    let (alone, forbidden) =
        ((most + 1.0) * 4.0 * (rows + 1) as f64, (most + 1.0) * 16.0 * (rows + 1) as f64);
    let columns = males + rows;
    let cost = |row: usize, column: usize| match costs[row].get(column) {
        Some(it) if it.is_finite() => *it,
        Some(_) => forbidden,
        None => alone,
    };
    let mut row_price = vec![0.0; rows + 1];
    let mut column_price = vec![0.0; columns + 1];
    // Rows and columns count from 1 here; 0 stands for none.
    let mut held = vec![0_usize; columns + 1];
    for row in 1..=rows {
        held[0] = row;
        let mut least = vec![f64::INFINITY; columns + 1];
        let mut came = vec![0_usize; columns + 1];
        let mut done = vec![false; columns + 1];
        let mut at = 0;
        while held[at] != 0 {
            done[at] = true;
            let (here, mut step, mut next) = (held[at], f64::INFINITY, 0);
            for column in (1..=columns).filter(|it| !done[*it]) {
                let over = cost(here - 1, column - 1) - row_price[here] - column_price[column];
                if over < least[column] {
                    (least[column], came[column]) = (over, at);
                }
                if least[column] < step {
                    (step, next) = (least[column], column);
                }
            }
            for column in 0..=columns {
                if done[column] {
                    row_price[held[column]] += step;
                    column_price[column] -= step;
                } else {
                    least[column] -= step;
                }
            }
            at = next;
        }
        while at != 0 {
            held[at] = held[came[at]];
            at = came[at];
        }
    }
    let mut mates = vec![None; rows];
    for column in 1..=males {
        if let Some(row) = held[column].checked_sub(1)
            && costs[row][column - 1].is_finite()
        {
            mates[row] = Some(column - 1);
        }
    }
    Ok(mates)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;
    use crate::dice::Dice;

    /// The slow twin: every way of giving males to females; more pairs first, then the least cost.
    fn by_trying(costs: &[Vec<f64>], row: usize, used: u32) -> (usize, f64) {
        if row == costs.len() {
            return (0, 0.0);
        }
        let mut best = by_trying(costs, row + 1, used);
        for (column, cost) in costs[row].iter().enumerate() {
            if used & (1 << column) == 0 && cost.is_finite() {
                let (pairs, sum) = by_trying(costs, row + 1, used | (1 << column));
                let here = (pairs + 1, sum + cost);
                if here.0 > best.0 || (here.0 == best.0 && here.1 < best.1) {
                    best = here;
                }
            }
        }
        best
    }

    #[test]
    fn no_other_way_is_better() {
        let mut dice = Dice::seeded(3);
        for _ in 0..400 {
            let (rows, columns) = (dice.below(5), 1 + dice.below(5));
            let mut one = || if dice.happens(0.15) { f64::NAN } else { (dice.unit() * 8.0).floor() / 8.0 };
            let costs: Vec<Vec<f64>> = (0..rows).map(|_| (0..columns).map(|_| one()).collect()).collect();
            let mates = best_mates(&costs).unwrap();
            let mut taken: Vec<usize> = mates.iter().flatten().copied().collect();
            let pairs = taken.len();
            taken.sort_unstable();
            taken.dedup();
            assert_eq!(taken.len(), pairs, "one male for two");
            let sum: f64 = mates.iter().enumerate().filter_map(|(row, it)| it.map(|it| costs[row][it])).sum();
            let (best_pairs, best_sum) = by_trying(&costs, 0, 0);
            assert_eq!(pairs, best_pairs, "{costs:?}");
            assert!((sum - best_sum).abs() < 1e-9, "{costs:?}: {sum} {best_sum}");
        }
    }

    #[test]
    fn edges() {
        assert_eq!(best_mates(&[]).unwrap(), []);
        assert_eq!(best_mates(&[vec![], vec![]]).unwrap(), [None, None]);
        assert_eq!(best_mates(&[vec![f64::INFINITY]]).unwrap(), [None]);
        assert_eq!(best_mates(&[vec![1.0], vec![]]).unwrap_err().name(), "costs");
    }
}
