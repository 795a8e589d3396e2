//! How far values differ beyond their own errors.

use crate::numerics::bisect;

/// How the variance between values is estimated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BetweenMethod {
    /// Moments (DerSimonian & Laird 1986).
    DerSimonianLaird,
    /// Restricted likelihood.
    Reml,
    /// Plain likelihood: too small with few values, kept to follow a paper that used it.
    MaximumLikelihood,
    /// The variance that makes Q equal its degrees of freedom (Paule & Mandel 1982).
    PauleMandel,
}

/// Weighted mean, sum of weights and weighted squares at a variance between values.
pub(super) struct Weighed {
    pub(super) mean: f64,
    pub(super) weight: f64,
    pub(super) q: f64,
}

pub(super) fn weigh(estimates: &[f64], variances: &[f64], tau2: f64) -> Weighed {
    let weights: Vec<f64> = variances.iter().map(|v| 1.0 / (v + tau2)).collect();
    let weight: f64 = weights.iter().sum();
    let mean = weights.iter().zip(estimates).map(|(w, y)| w * y).sum::<f64>() / weight;
    let q = weights.iter().zip(estimates).map(|(w, y)| w * (y - mean).powi(2)).sum();
    Weighed { mean, weight, q }
}

/// The variance between values, never below 0; `None` when no value can be found.
pub(super) fn between(method: BetweenMethod, estimates: &[f64], variances: &[f64]) -> Option<f64> {
    let freedom: f64 = estimates.iter().skip(1).map(|_| 1.0).sum();
    let fixed = weigh(estimates, variances, 0.0);
    // No wider than the squares of the values themselves.
    let widest = 10.0 * estimates.iter().map(|y| (y - fixed.mean).powi(2)).sum::<f64>();
    match method {
        BetweenMethod::DerSimonianLaird => {
            let squares: f64 = variances.iter().map(|v| 1.0 / (v * v)).sum();
            Some(((fixed.q - freedom) / (fixed.weight - squares / fixed.weight)).max(0.0))
        }
        BetweenMethod::PauleMandel => {
            if fixed.q <= freedom {
                return Some(0.0);
            }
            bisect(0.0, widest.max(1e-300), |tau2| weigh(estimates, variances, tau2).q - freedom)
        }
        BetweenMethod::Reml => Some(likeliest(estimates, variances, widest, 1.0)),
        BetweenMethod::MaximumLikelihood => Some(likeliest(estimates, variances, widest, 0.0)),
    }
}

/// The top of the likelihood, restricted (1) or plain (0): a coarse look over the whole range first, because it may have
/// two humps.
fn likeliest(estimates: &[f64], variances: &[f64], widest: f64, restricted: f64) -> f64 {
    let likelihood = |tau2: f64| {
        let at = weigh(estimates, variances, tau2);
        let spread: f64 = variances.iter().map(|v| (v + tau2).ln()).sum();
        -(spread + restricted * at.weight.ln() + at.q) / 2.0
    };
    let score = |tau2: f64| {
        let at = weigh(estimates, variances, tau2);
        let (mut first, mut second, mut third) = (0.0, 0.0, 0.0);
        for (v, y) in variances.iter().zip(estimates) {
            let w = 1.0 / (v + tau2);
            first += w;
            second += w * w;
            third += w * w * (y - at.mean).powi(2);
        }
        third - first + restricted * second / at.weight
    };
    let smallest = variances.iter().copied().fold(f64::INFINITY, f64::min) * 1e-6;
    let steps = 400_u32;
    let grid: Vec<f64> = std::iter::once(0.0)
        .chain(
            (0..=steps)
                .map(|i| smallest * (widest.max(smallest) / smallest).powf(f64::from(i) / f64::from(steps))),
        )
        .collect();
    let best =
        (0..grid.len()).max_by(|&a, &b| likelihood(grid[a]).total_cmp(&likelihood(grid[b]))).unwrap_or(0);
    let low = grid[best.saturating_sub(1)];
    let high = grid.get(best + 1).copied().unwrap_or(grid[best]);
    // At the lower edge the likelihood falls from 0 on and there is no turning point.
    bisect(low, high, score).unwrap_or(grid[best])
}
