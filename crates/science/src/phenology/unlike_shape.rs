//! Do animals that a book followed differ among themselves in the way the model has it?
//!
//! The stories know when each animal entered its stages. Under the beliefs of its own run the standardised logarithms
//! of what a stage took are then normal numbers; two layings taken for one, or a box in a warmer corner, make them two
//! humps. The distance of Anderson & Darling (1952) of each story is held against that of a brood made anew, a
//! posterior predictive check of a realised discrepancy (Gelman, Meng & Stern 1996).

use super::model::StageKind;
use super::simulator::Simulator;
use super::stories::{Cohort, Told};
use crate::dice::{Dice, Purpose, normal_upper};

/// Stories that are looked at.
const LOOKED_AT: usize = 200;
/// Fewer animals that finished a stage have no shape.
const FEWEST: usize = 5;

impl Simulator<'_> {
    /// The share of stories that lie as far from the model as a brood made anew does, or farther; nothing where too few
    /// animals have finished a stage.
    pub(super) fn shape_is_usual(&self) -> Option<f64> {
        let told = self.told()?;
        let runs = self.ask().runs as usize;
        let step = (runs / LOOKED_AT).max(1);
        let (mut farther, mut asked) = (0_usize, 0_usize);
        for run in (0..runs).step_by(step) {
            let mut dice = Dice::of(self.ask().seed, Purpose::Story, run as u64, 3);
            let (mut real, mut made) = (0.0, 0.0);
            let mut first = 0;
            for cohort in self.cohorts() {
                if cohort.followed {
                    self.farthest(told, run, (first, cohort), &mut dice, (&mut real, &mut made));
                }
                first += cohort.n;
            }
            if real > 0.0 {
                asked += 1;
                farther += usize::from(made >= real);
            }
        }
        (asked >= LOOKED_AT / 4).then(|| farther as f64 / asked as f64)
    }

    fn farthest(
        &self,
        told: &Told,
        run: usize,
        (first, cohort): (usize, &Cohort),
        dice: &mut Dice,
        (real, made): (&mut f64, &mut f64),
    ) {
        let (model, clocks) = (self.model(), self.clocks());
        let rests = model.winter.is_some() || self.diapause().is_some();
        let by_clock = model.moth() - usize::from(rests);
        // A stage in which somebody still sits has only shown its quick ones.
        let here = (0..cohort.n).filter(|it| cohort.tails[*it].here).map(|it| told.life(run, first + it));
        let open = here.filter(|it| it.died.is_nan()).map(|it| usize::from(it.stage)).min();
        let open = open.unwrap_or(by_clock);
        let in_common: Vec<f64> = (0..cohort.n).map(|_| dice.normal()).collect();
        let rho = model.rank_correlation.min(1.0);
        for stage in 0..by_clock.min(open) {
            let it = &model.stages[stage];
            let sd = super::pace::log_variance(it.spread_cv.max(0.003) * told.spread[run]).sqrt();
            let log_need = libm::log(clocks.need(stage) * told.factor(run)[stage]);
            let (mut seen, mut anew) = (Vec::new(), Vec::new());
            for (animal, (head, in_common)) in cohort.heads.iter().zip(&in_common).enumerate() {
                // Whose first stage was under way when it came was chosen by its length.
                if head.stage == stage && head.conditioned.is_some() {
                    continue;
                }
                let entry = told.entry(run, first + animal);
                let (from_d, to_d) = (f64::from(entry[stage]), f64::from(entry[stage + 1]));
                if !(from_d.is_finite() && to_d.is_finite()) {
                    continue;
                }
                let units = clocks.units_at(stage, 0, cohort.base_d + to_d)
                    - clocks.units_at(stage, 0, cohort.base_d + from_d);
                let slow = it.kind == StageKind::Pupa && told.life(run, first + animal).female;
                let slow_log = if slow { libm::log(model.female_pupa_factor) } else { 0.0 };
                seen.push((libm::log(units.max(1e-9)) - log_need - slow_log) / sd + 0.5 * sd);
                anew.push(rho.sqrt() * in_common + (1.0 - rho).sqrt() * dice.normal());
            }
            if seen.len() >= FEWEST {
                *real = real.max(distance(&mut own_measure(seen)));
                *made = made.max(distance(&mut own_measure(anew)));
            }
        }
    }
}

/// Numbers in standard deviations of their own from their own mean: pace and spread were learned from the same animals
/// and would hide two humps half way.
fn own_measure(all: Vec<f64>) -> Vec<f64> {
    let n = all.len() as f64;
    let mean = all.iter().sum::<f64>() / n;
    let sd = (all.iter().map(|it| (it - mean) * (it - mean)).sum::<f64>() / (n - 1.0)).sqrt().max(1e-9);
    all.into_iter().map(|it| (it - mean) / sd).collect()
}

/// The distance of Anderson & Darling between numbers and the standard normal distribution.
fn distance(all: &mut [f64]) -> f64 {
    all.sort_unstable_by(f64::total_cmp);
    let n = all.len();
    let log = |it: f64| libm::log(normal_upper(it).max(1e-300));
    let terms = (0..n).map(|it| (2 * it + 1) as f64 * (log(-all[it]) + log(all[n - 1 - it])));
    -(n as f64) - terms.sum::<f64>() / n as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Nine numbers at the deciles: worked by hand from the definition, with the normal distribution at its deciles
    /// being exactly 0.1 to 0.9.
    #[test]
    fn numbers_at_the_deciles_lie_near() {
        let mut deciles = [
            -1.281_551_566,
            -0.841_621_234,
            -0.524_400_513,
            -0.253_347_103,
            0.0,
            0.253_347_103,
            0.524_400_513,
            0.841_621_234,
            1.281_551_566,
        ];
        let by_hand: f64 = (1..=9)
            .map(|it| {
                let p = f64::from(it) / 10.0;
                f64::from(2 * it - 1) * (p.ln() + p.ln())
            })
            .sum::<f64>();
        assert!((distance(&mut deciles) - (-9.0 - by_hand / 9.0)).abs() < 1e-6);
        let mut two_humps = [-1.2, -1.1, -1.0, -0.9, 0.9, 1.0, 1.1, 1.2];
        let mut shifted = [-0.5, 0.2, 0.6, 1.0, 1.4, 1.9, 2.4, 3.0];
        assert!(distance(&mut two_humps) > 0.5 && distance(&mut shifted) > 2.5);
    }
}
