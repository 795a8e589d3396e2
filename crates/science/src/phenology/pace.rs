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
}

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
        PaceBelief { shared_sd: model.shared_pace_sd, stage_sd, seen, learned }
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
