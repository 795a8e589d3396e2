//! Counting by the days on which something changes.

use super::CensusAsk;
use super::walk::{Yard, words};

/// How many cohorts had how many animals in each stage on each morning, and what came of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Counts {
    n: usize,
    runs: u64,
    stages: usize,
    days: usize,
    hours: usize,
    /// For each stage, number of animals and day: how many more cohorts than the day before; added up at the end.
    cohorts: Vec<i32>,
    /// For each stage from the second: how many enter, when in all (2^-20 hours), and in which hour.
    entered: Vec<u64>,
    sum_h: Vec<u64>,
    by_hour: Vec<u32>,
    evenings: Vec<u32>,
    any_evening: u64,
}

/// The five shares at which counts are told: 5, 25, 50, 75 and 95 %.
pub const SHARES: [f64; 5] = [0.05, 0.25, 0.5, 0.75, 0.95];

impl Counts {
    pub(super) fn new(stages: usize, ask: CensusAsk, days: usize, hours: usize) -> Counts {
        let (n, rows) = (ask.n as usize, stages + 1);
        Counts {
            n,
            runs: 0,
            stages,
            days,
            hours,
            cohorts: vec![0; rows * (n + 1) * (days + 1)],
            entered: vec![0; rows],
            sum_h: vec![0; rows],
            by_hour: vec![0; rows * (hours + 1)],
            evenings: vec![0; days],
            any_evening: 0,
        }
    }

    pub(super) fn by_hour_mut(&mut self, stage: usize) -> &mut [u32] {
        &mut self.by_hour[stage * (self.hours + 1)..(stage + 1) * (self.hours + 1)]
    }

    pub(super) fn enter(&mut self, stage: usize, entered: u64, sum_h: f64) {
        self.entered[stage] += entered;
        // Whole steps, so that blocks add up to the same whatever their order.
        self.sum_h[stage] += (sum_h * 1_048_576.0).round() as u64;
    }

    /// Counts the cohorts of a block, and clears what they left in the yard.
    #[inline(never)]
    pub(super) fn take(&mut self, runs: usize, yard: &mut Yard) {
        let (rows, columns, words) = (self.stages + 1, self.days + 1, words(self.days));
        let layer = (self.n + 1) * columns;
        self.runs += runs as u64;
        for run in 0..runs {
            let touched = &mut yard.touched[run * rows * words..(run + 1) * rows * words];
            let change = &mut yard.change[run * rows * columns..(run + 1) * rows * columns];
            // All begin the first stage before the first morning.
            change[0] += self.n as i16;
            touched[0] |= 1;
            for stage in 0..rows {
                let cohorts = &mut self.cohorts[stage * layer..(stage + 1) * layer];
                let change = &mut change[stage * columns..(stage + 1) * columns];
                let mut here = 0_usize;
                for word in 0..words {
                    let leave = if stage + 1 < rows { touched[(stage + 1) * words + word] } else { 0 };
                    let mut days = touched[stage * words + word] | leave;
                    while days != 0 {
                        let day = word * 64 + days.trailing_zeros() as usize;
                        days &= days - 1;
                        let step = isize::from(std::mem::take(&mut change[day]));
                        if step != 0 {
                            cohorts[here * columns + day] -= 1;
                            here = here.wrapping_add_signed(step);
                            cohorts[here * columns + day] += 1;
                        }
                    }
                }
            }
            touched.fill(0);
            let (female, male) = yard.evenings[run * 2 * words..(run + 1) * 2 * words].split_at_mut(words);
            let mut any = false;
            for (word, (female, male)) in female.iter_mut().zip(male).enumerate() {
                let mut both = std::mem::take(female) & std::mem::take(male);
                any |= both != 0;
                while both != 0 {
                    self.evenings[word * 64 + both.trailing_zeros() as usize] += 1;
                    both &= both - 1;
                }
            }
            self.any_evening += u64::from(any);
        }
    }

    pub(super) fn join(&mut self, next: &Counts) {
        fn add<T: Copy + std::ops::AddAssign>(to: &mut [T], from: &[T]) {
            to.iter_mut().zip(from).for_each(|(to, from)| *to += *from);
        }
        self.runs += next.runs;
        self.any_evening += next.any_evening;
        add(&mut self.cohorts, &next.cohorts);
        add(&mut self.entered, &next.entered);
        add(&mut self.sum_h, &next.sum_h);
        add(&mut self.by_hour, &next.by_hour);
        add(&mut self.evenings, &next.evenings);
    }

    /// Turns changes from day to day into cohorts.
    pub(super) fn add_up(&mut self) {
        let columns = self.days + 1;
        for stage in 0..=self.stages {
            // Before the first change nobody is there.
            self.cohorts[stage * (self.n + 1) * columns] += self.runs as i32;
        }
        for days in self.cohorts.chunks_exact_mut(columns) {
            let mut sum = 0;
            for it in days {
                sum += *it;
                *it = sum;
            }
        }
    }

    /// How many cohorts have `animals` in a stage on the morning of a day.
    pub fn cohorts(&self, stage: usize, animals: usize, day: usize) -> u32 {
        self.cohorts[(stage * (self.n + 1) + animals) * (self.days + 1) + day] as u32
    }

    /// How many cohorts were lived.
    pub fn runs(&self) -> u64 {
        self.runs
    }

    /// Mean count of a stage on the morning of a day.
    pub fn mean(&self, stage: usize, day: usize) -> f64 {
        let animals = |it: usize| it as f64 * f64::from(self.cohorts(stage, it, day));
        (0..=self.n).map(animals).sum::<f64>() / self.runs as f64
    }

    /// The counts of a stage on the morning of a day at the five [`SHARES`]: the least number that so many do not exceed.
    pub fn quantiles(&self, stage: usize, day: usize) -> [u32; 5] {
        let mut found = [self.n as u32; 5];
        let (mut below, mut next) = (0_u64, 0);
        for animals in 0..=self.n {
            below += u64::from(self.cohorts(stage, animals, day));
            while next < SHARES.len() && below as f64 >= SHARES[next] * self.runs as f64 {
                found[next] = animals as u32;
                next += 1;
            }
            if next == SHARES.len() {
                break;
            }
        }
        found
    }

    /// Share of the animals that enter a stage alive; the stage past the last is the moth.
    pub fn entered_share(&self, stage: usize) -> f64 {
        self.entered[stage] as f64 / (self.runs as f64 * self.n as f64)
    }

    /// Mean instant of entry of those that enter, days.
    pub fn entry_mean_d(&self, stage: usize) -> f64 {
        self.sum_h[stage] as f64 / 1_048_576.0 / 24.0 / self.entered[stage] as f64
    }

    /// The hour by which a share of those that enter a stage have entered it, days; NaN if nobody does.
    pub fn entry_quantile_d(&self, stage: usize, share: f64) -> f64 {
        let wanted = share * self.entered[stage] as f64;
        let hours = &self.by_hour[stage * (self.hours + 1)..(stage + 1) * (self.hours + 1)];
        let mut sum = 0.0;
        let found = hours.iter().position(|it| {
            sum += f64::from(*it);
            *it > 0 && sum >= wanted
        });
        found.map_or(f64::NAN, |it| it as f64 / 24.0)
    }

    /// Share of the cohorts in which a male and a female are out on the evening of a day.
    pub fn pair_share(&self, day: usize) -> f64 {
        f64::from(self.evenings[day]) / self.runs as f64
    }

    /// Share of the cohorts in which they are on any evening.
    pub fn any_pair_share(&self) -> f64 {
        self.any_evening as f64 / self.runs as f64
    }
}
