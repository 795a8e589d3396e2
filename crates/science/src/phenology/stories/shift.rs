//! Moves of all stories together: the whole brood a little earlier or later at one moult.

use super::chain::{Chain, Fit};
use super::moves::taken;

/// New entries at one boundary, for all animals that passed it.
#[derive(Default)]
pub(super) struct Shifted {
    animals: Vec<usize>,
    entry: Vec<f64>,
    left: Vec<f64>,
    right: Vec<f64>,
    fit: Vec<Fit>,
    sight: Vec<f64>,
    old: Vec<(f64, f64, f64)>,
}

impl Chain<'_> {
    /// Moves every animal's entry into a stage the same way between its bounds, and the pace of the stage before
    /// and after with it.
    ///
    /// Single moves hold each other in place: the mean of sixty entries hardly moves while each of them follows
    /// a pace that follows their mean. Here `w -> w e^d / (1 - w + w e^d)` on the place between the bounds, and the
    /// two paces move by the mean change of the log needs, which the way back undoes.
    pub(super) fn shift(&mut self, stage: usize, size: f64, to: &mut Shifted) -> bool {
        let by = libm::exp(size * self.dice.normal());
        to.animals.clear();
        to.entry.clear();
        to.left.clear();
        to.right.clear();
        let (mut jacobian, mut left_sum, mut right_sum) = (0.0, 0.0, 0.0);
        for animal in 0..self.animals.len() {
            let cur = usize::from(self.animals[animal].cur);
            let cohort = self.cohort(animal);
            if cur < stage || stage <= self.started(animal) {
                continue;
            }
            let (low_d, high_d) = self.bounds(animal, stage);
            let row = self.row(animal);
            let now_d = self.entry[row + stage];
            let w = (now_d - low_d) / (high_d - low_d);
            let below = 1.0 - w + w * by;
            let new_d = low_d + (high_d - low_d) * w * by / below;
            if !(new_d > low_d && new_d < high_d) {
                return false;
            }
            let after_d = if stage < cur { self.entry[row + stage + 1] } else { cohort.last_d() };
            let left = self.log_between(stage - 1, self.entry[row + stage - 1], new_d);
            let right = if stage < self.stages { self.log_between(stage, new_d, after_d) } else { f64::NAN };
            if stage <= self.timed {
                let (_, rate) = self.reading(stage - 1, new_d);
                let (_, old_rate) = self.reading(stage - 1, now_d);
                jacobian += libm::log(rate / old_rate) - (left - self.log_units[row + stage - 1]);
                left_sum += left - self.log_units[row + stage - 1];
            }
            if stage < self.timed {
                right_sum += right - self.log_units[row + stage];
                if stage < cur {
                    jacobian -= right - self.log_units[row + stage];
                }
            }
            jacobian += libm::log(by / (below * below));
            to.animals.push(animal);
            to.entry.push(new_d);
            to.left.push(left);
            to.right.push(right);
        }
        let n = to.animals.len() as f64;
        if n < 1.0 {
            return false;
        }
        let mut brood = self.brood.clone();
        brood.m[stage - 1] += left_sum / n;
        if stage < self.stages {
            brood.m[stage] += right_sum / n;
        }
        self.derive(&mut brood);
        let mut ratio =
            jacobian + self.given.belief.log_density(&brood.m) - self.given.belief.log_density(&self.brood.m);
        ratio += self.others(&brood) - self.others(&self.brood);
        std::mem::swap(&mut self.brood, &mut brood);
        to.fit.clear();
        to.sight.clear();
        // Everybody's sums change with the pace, also of those who have not come so far.
        let mut place = 0;
        to.old.clear();
        for animal in 0..self.animals.len() {
            if to.animals.get(place) == Some(&animal) {
                let row = self.row(animal);
                let right = if stage < self.stages { self.log_units[row + stage] } else { f64::NAN };
                to.old.push((self.entry[row + stage], self.log_units[row + stage - 1], right));
                self.set_entry(animal, stage, to.entry[place], to.left[place], to.right[place]);
                place += 1;
            }
            let it = self.animals[animal];
            let fit = self.fit(&self.brood, animal);
            let moved = self.doubtful(animal) || usize::from(it.cur) == stage;
            let sight = if moved { self.sight(animal) } else { it.sight };
            ratio += self.times(animal, &fit) - self.times(animal, &it.fit) + sight - it.sight;
            to.fit.push(fit);
            to.sight.push(sight);
        }
        if taken(&mut self.dice, ratio) {
            for (it, (fit, sight)) in self.animals.iter_mut().zip(to.fit.iter().zip(&to.sight)) {
                (it.fit, it.sight) = (*fit, *sight);
            }
            return true;
        }
        std::mem::swap(&mut self.brood, &mut brood);
        for (animal, (entry, left, right)) in to.animals.iter().zip(&to.old) {
            self.set_entry(*animal, stage, *entry, *left, *right);
        }
        false
    }
}
