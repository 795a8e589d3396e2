//! The lives of all animals in one run, side by side.

use super::model::Sex;

/// What became of every animal in one run. The buffer is used again for the next run.
#[derive(Debug, Clone)]
pub struct Lives {
    stages: usize,
    /// For each animal: the instants at which it enters its stages and, last, comes out as a moth. Not a
    /// number where it never does or nobody knows when it did.
    entry: Vec<f64>,
    /// For each animal and stage: the units that it needs. Not a number where it was not asked.
    need: Vec<f64>,
    pub(super) end_d: Vec<f64>,
    pub(super) spared_end_d: Vec<f64>,
    pub(super) sex: Vec<Sex>,
    pub(super) over: Vec<bool>,
    /// Whether its pupa rests; `None` where that was not asked.
    pub(super) rests: Vec<Option<bool>>,
    pub(super) future: usize,
}

impl Lives {
    pub(super) fn new(animals: usize, stages: usize) -> Lives {
        Lives {
            stages,
            entry: vec![f64::NAN; animals * (stages + 1)],
            need: vec![f64::NAN; animals * stages],
            end_d: vec![f64::INFINITY; animals],
            spared_end_d: vec![f64::INFINITY; animals],
            sex: vec![Sex::Male; animals],
            over: vec![false; animals],
            rests: vec![None; animals],
            future: 0,
        }
    }

    /// Forgets the last run.
    pub(super) fn forget(&mut self) {
        self.entry.fill(f64::NAN);
        self.need.fill(f64::NAN);
        self.end_d.fill(f64::INFINITY);
        self.spared_end_d.fill(f64::INFINITY);
        self.over.fill(false);
        self.rests.fill(None);
    }

    /// How many animals there are.
    pub fn animals(&self) -> usize {
        self.end_d.len()
    }

    /// The instants at which an animal enters its stages; the last is when it comes out.
    #[inline]
    pub fn entry(&self, animal: usize) -> &[f64] {
        &self.entry[animal * (self.stages + 1)..(animal + 1) * (self.stages + 1)]
    }

    #[inline]
    pub(super) fn entry_mut(&mut self, animal: usize) -> &mut [f64] {
        &mut self.entry[animal * (self.stages + 1)..(animal + 1) * (self.stages + 1)]
    }

    /// The units of the stage's clock that an animal needs for a stage.
    #[inline]
    pub fn need(&self, animal: usize, stage: usize) -> f64 {
        self.need[animal * self.stages + stage]
    }

    #[inline]
    pub(super) fn need_mut(&mut self, animal: usize) -> &mut [f64] {
        &mut self.need[animal * self.stages..(animal + 1) * self.stages]
    }

    /// When it dies; endless for one that outlives the horizon.
    #[inline]
    pub fn end_d(&self, animal: usize) -> f64 {
        self.end_d[animal]
    }

    /// When it would die if no box were ever hit.
    #[inline]
    pub fn spared_end_d(&self, animal: usize) -> f64 {
        self.spared_end_d[animal]
    }

    /// Its sex in this run.
    pub fn sex(&self, animal: usize) -> Sex {
        self.sex[animal]
    }

    /// Whether its pupa lies over to a further spring.
    pub fn lies_over(&self, animal: usize) -> bool {
        self.over[animal]
    }

    /// Whether its pupa rests over winter; `None` for one that never became a pupa, or a kind in which none or all do.
    pub fn rests(&self, animal: usize) -> Option<bool> {
        self.rests[animal]
    }

    pub(super) fn does_rest(&self, animal: usize) -> bool {
        self.rests[animal] == Some(true)
    }

    /// Which of the futures of the air this run lives in.
    pub fn future(&self) -> usize {
        self.future
    }

    /// When an animal enters a stage alive; `None` if it never does, or nobody knows when it did.
    #[inline]
    pub fn enters(&self, animal: usize, stage: usize) -> Option<f64> {
        let at_d = self.entry(animal)[stage];
        (at_d.is_finite() && at_d <= self.end_d[animal]).then_some(at_d)
    }

    /// The stage that an animal is in at an instant; `None` if it is dead or not yet known of.
    pub fn stage_at(&self, animal: usize, at_d: f64) -> Option<usize> {
        if at_d >= self.end_d[animal] {
            return None;
        }
        self.entry(animal).iter().rposition(|it| *it <= at_d)
    }
}
