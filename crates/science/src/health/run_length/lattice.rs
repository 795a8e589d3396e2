//! Sums of counts, which can only stand on a lattice.

use super::Rule;
use crate::numerics::{Unfit, solve};

/// More sums than this make the chain slow without making the alarm better.
const MOST_SUMS: u32 = 1000;

/// The run length for Poisson counts.
pub(super) fn poisson(k: f64, h: f64, mean: f64, rule: Rule) -> Result<Option<f64>, Unfit> {
    let unit = denominator("k", &[k])?;
    let step = nearest(k * f64::from(unit));
    let sums = silent_sums(h * f64::from(unit), rule)?;
    // Chance of each count up to the highest that matters.
    let most = (sums + step) / i64::from(unit) + 1;
    let mut chances = vec![];
    let mut chance = (-mean).exp();
    let mut count = 0.0;
    for _ in 0..=most {
        chances.push(chance);
        count += 1.0;
        chance *= mean / count;
    }
    Ok(silence(sums, |sum, to| {
        for (count, &chance) in (0_i64..).zip(&chances) {
            to(sum + count * i64::from(unit) - step, chance);
        }
    }))
}

/// The run length for animals examined one by one.
pub(super) fn bernoulli(
    chance: f64,
    death: f64,
    alive: f64,
    h: f64,
    rule: Rule,
) -> Result<Option<f64>, Unfit> {
    let unit = denominator("score_death", &[death, alive])?;
    let (up, down) = (nearest(death * f64::from(unit)), nearest(alive * f64::from(unit)));
    let sums = silent_sums(h * f64::from(unit), rule)?;
    Ok(silence(sums, |sum, to| {
        to(sum + up, chance);
        to(sum + down, 1.0 - chance);
    }))
}

/// The smallest number that makes every value whole.
fn denominator(name: &'static str, values: &[f64]) -> Result<u32, Unfit> {
    let whole = |value: f64| (value - value.round()).abs() < 1e-9 * value.abs().max(1.0);
    (1..=1000_u32).find(|&unit| values.iter().all(|&value| whole(value * f64::from(unit)))).ok_or_else(|| {
        let given = values.first().copied().unwrap_or(f64::NAN);
        Unfit::outside(name, given, "a fraction with a denominator up to 1000: round it, such as 0.91")
    })
}

/// How many sums stay silent: from 0 up to the line, the line itself only under [`Rule::Above`].
fn silent_sums(line: f64, rule: Rule) -> Result<i64, Unfit> {
    if line > f64::from(MOST_SUMS) {
        let why =
            format!("{line:.0} reachable sums are too many; coarser k, h or scores, at most {MOST_SUMS}");
        return Err(Unfit::clash("h", why));
    }
    let on_the_line = (line - line.round()).abs() < 1e-9;
    let below = nearest(if on_the_line { line.round() } else { line.floor() });
    Ok(if on_the_line && rule == Rule::AtOrAbove { below } else { below + 1 })
}

#[expect(clippy::cast_possible_truncation, reason = "bounded by the lattice size")]
fn nearest(value: f64) -> i64 {
    value.round() as i64
}

/// Solves `L = 1 + P L` over the silent sums 0..sums and gives `L(0)`.
fn silence(sums: i64, steps: impl Fn(i64, &mut dyn FnMut(i64, f64))) -> Option<f64> {
    let size = usize::try_from(sums).ok()?;
    let mut matrix = vec![vec![0.0; size]; size];
    for (from, row) in (0_i64..).zip(&mut matrix) {
        let mut stays = 0.0;
        steps(from, &mut |to, chance| {
            if to > 0
                && let Ok(to) = usize::try_from(to)
                && to < size
            {
                row[to] -= chance;
            } else if to <= 0 {
                stays += chance;
            }
        });
        row[0] -= stays;
        row[usize::try_from(from).ok()?] += 1.0;
    }
    solve(matrix, vec![1.0; size])?.first().copied()
}
