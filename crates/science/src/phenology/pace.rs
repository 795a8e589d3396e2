//! The pace of a brood: what is believed of it before and after the stages it has completed.

use super::brood::StagePassage;
use super::clocks::Clocks;
use super::gaussian::Cholesky;
use super::model::BroodModel;
use crate::dice::Dice;

/// Variance of `log x` for a coefficient of variation.
pub(super) fn log_variance(cv: f64) -> f64 {
    libm::log1p(cv * cv)
}

/// The joint normal belief about `(g, h_0, h_1, ...)`.
///
/// # Formula
/// ```text
/// y_k = log(mean units seen / K_k) = g + h_k + error
/// cov(error_j, error_k) = rho s_j s_k / max(n_j, n_k);   var adds (se_k / mean_k)^2 and uses s_k^2 / n_k
/// posterior = prior + P A' (A P A' + R)^-1 (y - A prior)
/// ```
/// Draws are made by conditioning: a draw from the prior with its own imagined observations is moved by the
/// difference to the real ones (Matheron's rule), which gives exactly the posterior.
#[derive(Debug, Clone)]
pub(super) struct PaceBelief {
    shared_sd: f64,
    stage_sd: Vec<f64>,
    seen: Vec<Seen>,
    /// Of `A P A' + R`, and of `R`; absent when nothing was seen.
    learned: Option<(Cholesky, Cholesky)>,
    /// The same belief about `m_k = g + h_k` by its precision matrix, and that times the mean.
    precision: Vec<Vec<f64>>,
    pull: Vec<f64>,
}

/// Added to the variance of a pace that is given as certain, so that the matrix has an inverse.
const CERTAIN: f64 = 1e-10;

#[derive(Debug, Clone, Copy)]
struct Seen {
    stage: usize,
    log_ratio: f64,
}

impl PaceBelief {
    pub(super) fn new(model: &BroodModel, clocks: &Clocks, passed: &[StagePassage]) -> PaceBelief {
        let stage_sd: Vec<f64> = model.stages.iter().map(|it| it.stage_pace_sd).collect();
        let seen: Vec<Seen> = passed
            .iter()
            .map(|it| Seen { stage: it.stage, log_ratio: libm::log(it.mean_units / clocks.need(it.stage)) })
            .collect();
        let error = |a: &StagePassage, b: &StagePassage, same: bool| {
            let variance = |it: &StagePassage| log_variance(model.stages[it.stage].spread_cv);
            if same {
                let by_windows = a.se_units / a.mean_units;
                // A hair of doubt, so that a brood without spread does not make the matrix singular.
                variance(a) / a.n + by_windows * by_windows + 1e-9
            } else {
                model.rank_correlation * (variance(a) * variance(b)).sqrt() / a.n.max(b.n)
            }
        };
        let table = |with_prior: bool| -> Vec<Vec<f64>> {
            let row = |(i, a): (usize, &StagePassage)| {
                let cell = |(j, b): (usize, &StagePassage)| {
                    let prior = model.shared_pace_sd * model.shared_pace_sd
                        + if a.stage == b.stage { stage_sd[a.stage] * stage_sd[a.stage] } else { 0.0 };
                    error(a, b, i == j) + if with_prior { prior } else { 0.0 }
                };
                passed.iter().enumerate().map(cell).collect()
            };
            passed.iter().enumerate().map(row).collect()
        };
        let learned = if seen.is_empty() {
            None
        } else {
            Cholesky::of(&table(true)).and_then(|joint| Some((joint, Cholesky::of(&table(false))?)))
        };
        let (precision, pull) = information(model.shared_pace_sd, &stage_sd, &seen, &learned);
        PaceBelief { shared_sd: model.shared_pace_sd, stage_sd, seen, learned, precision, pull }
    }

    /// Precision matrix of `g + h_k`, and that times the mean.
    pub(super) fn information(&self) -> (Vec<Vec<f64>>, Vec<f64>) {
        (self.precision.clone(), self.pull.clone())
    }

    /// The expected `g + h_k`.
    pub(super) fn mean(&self) -> Vec<f64> {
        Cholesky::of(&self.precision).map_or_else(|| vec![0.0; self.pull.len()], |it| it.solve(&self.pull))
    }

    /// Log density of a pace `g + h_k`, up to a constant.
    pub(super) fn log_density(&self, m: &[f64]) -> f64 {
        let row = |(row, m_j): (&Vec<f64>, &f64)| m_j * row.iter().zip(m).map(|(a, b)| a * b).sum::<f64>();
        let square: f64 = self.precision.iter().zip(m).map(row).sum();
        self.pull.iter().zip(m).map(|(a, b)| a * b).sum::<f64>() - 0.5 * square
    }

    /// A draw of the shared part `g`, given `g + h_k` of all stages.
    pub(super) fn shared_given(&self, m: &[f64], dice: &mut Dice) -> f64 {
        let variance = |sd: f64| sd * sd + CERTAIN;
        let precision =
            1.0 / variance(self.shared_sd) + self.stage_sd.iter().map(|it| 1.0 / variance(*it)).sum::<f64>();
        let mean = m.iter().zip(&self.stage_sd).map(|(m, sd)| m / variance(*sd)).sum::<f64>() / precision;
        mean + dice.normal() / precision.sqrt()
    }

    /// One draw of `exp(g + h_k)` for all stages, appended to `factors`.
    pub(super) fn draw(&self, dice: &mut Dice, factors: &mut Vec<f64>) {
        let mut shared = self.shared_sd * dice.normal();
        let mut stage: Vec<f64> = self.stage_sd.iter().map(|sd| sd * dice.normal()).collect();
        if let Some((joint, noise)) = &self.learned {
            let z: Vec<f64> = self.seen.iter().map(|_| dice.normal()).collect();
            let imagined = noise.spread(&z);
            let off: Vec<f64> = self
                .seen
                .iter()
                .zip(&imagined)
                .map(|(it, error)| it.log_ratio - shared - stage[it.stage] - error)
                .collect();
            let moved = joint.solve(&off);
            for (it, by) in self.seen.iter().zip(&moved) {
                shared += self.shared_sd * self.shared_sd * by;
                stage[it.stage] += self.stage_sd[it.stage] * self.stage_sd[it.stage] * by;
            }
        }
        factors.extend(stage.iter().map(|it| libm::exp(shared + it)));
    }
}

/// The belief about `m_k = g + h_k`: prior precision and, added to it, what completed stages show.
fn information(
    shared_sd: f64,
    stage_sd: &[f64],
    seen: &[Seen],
    learned: &Option<(Cholesky, Cholesky)>,
) -> (Vec<Vec<f64>>, Vec<f64>) {
    let n = stage_sd.len();
    let cell = |j: usize, k: usize| {
        shared_sd * shared_sd + if j == k { stage_sd[j] * stage_sd[j] + CERTAIN } else { 0.0 }
    };
    let prior: Vec<Vec<f64>> = (0..n).map(|j| (0..n).map(|k| cell(j, k)).collect()).collect();
    let mut precision = Cholesky::of(&prior).map_or_else(|| vec![vec![0.0; n]; n], |it| it.inverse());
    let mut pull = vec![0.0; n];
    if let Some((_, noise)) = learned {
        let inverse = noise.inverse();
        for (row, a) in inverse.iter().zip(seen) {
            for (weight, b) in row.iter().zip(seen) {
                precision[a.stage][b.stage] += weight;
                pull[a.stage] += weight * b.log_ratio;
            }
        }
    }
    (precision, pull)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::super::testing::{constant_room, plain_model};
    use super::*;
    use crate::dice::Purpose;

    /// One stage, one unknown: prior N(0, 0.1^2) + N(0, 0.05^2), observed with error e. By hand the posterior
    /// of g + h has precision 1/0.0125 + 1/e^2. Bounds of four standard errors.
    #[test]
    fn one_passage_gives_the_textbook_posterior() {
        let mut model = plain_model(3);
        (model.shared_pace_sd, model.rank_correlation) = (0.1, 0.5);
        for it in &mut model.stages {
            (it.stage_pace_sd, it.spread_cv) = (0.05, 0.2);
        }
        let clocks = constant_room(&model, 0.0, 10.0, 20.0);
        let need = clocks.need(1);
        let passed = StagePassage { stage: 1, n: 16.0, mean_units: 1.3 * need, se_units: 0.04 * need };
        let belief = PaceBelief::new(&model, &clocks, &[passed]);
        let error = log_variance(0.2) / 16.0 + (0.04_f64 / 1.3).powi(2) + 1e-9;
        let variance = 1.0 / (1.0 / 0.0125 + 1.0 / error);
        let mean = variance * 1.3_f64.ln() / error;
        // Of the untouched stage only the shared part is known: its share of the posterior is 0.01 / 0.0125.
        let other_mean = mean * 0.8;
        let other_variance = 0.0025 + 0.01 - 0.01 * 0.01 / (0.0125 + error);
        let n = 20_000;
        let mut factors = Vec::new();
        for run in 0..n {
            belief.draw(&mut Dice::of(4, Purpose::Pace, run, 0), &mut factors);
        }
        for (stage, mean, variance) in [(1, mean, variance), (2, other_mean, other_variance)] {
            let logs: Vec<f64> = factors.iter().skip(stage).step_by(3).map(|it| it.ln()).collect();
            let seen = logs.iter().sum::<f64>() / n as f64;
            let spread = logs.iter().map(|it| (it - seen).powi(2)).sum::<f64>() / n as f64;
            assert!((seen - mean).abs() < 4.0 * (variance / n as f64).sqrt(), "{stage}: {seen} {mean}");
            assert!((spread / variance - 1.0).abs() < 4.0 * (2.0 / n as f64).sqrt(), "{spread} {variance}");
        }
    }
}
