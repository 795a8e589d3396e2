//! The innermost loop: animals side by side, stage after stage, those that die first at the end of the row.

use super::count::Counts;
use super::hours::{HourClock, whole};
use super::pieces::Pieces;
use super::{CensusAsk, CohortModel};
use crate::dice::{Dice, NormalTable};

/// What does not change from block to block.
pub(super) struct Walk<'a> {
    n: usize,
    days: usize,
    end_h: f32,
    stages: Vec<Stage<'a>>,
    shared: Vec<Pieces>,
    own: Vec<Pieces>,
    /// For each stage the share of 2^32 below which an animal has died in it or before.
    dies_below: Vec<u64>,
    guide: [u8; 256],
    male_below: u64,
    earlier_h: f32,
    moth: Gamma,
    morning: Daily,
    evening: Daily,
    table: &'static NormalTable,
}

struct Stage<'a> {
    clock: &'a HourClock,
    /// Which of the tables of shared hurry, and of own hurry.
    spread: usize,
    own: usize,
}

/// The days of an instant, counted at one hour.
#[derive(Clone, Copy)]
struct Daily {
    hour: f32,
    days: f32,
}

impl Daily {
    /// The first day on which the instant has come by that hour; the number of days if there is none.
    #[inline]
    fn day(self, at_h: f32) -> usize {
        let day = ((at_h - self.hour) * (1.0 / 24.0) + 1.0).clamp(0.0, self.days);
        whole(day)
    }
}

/// Marsaglia & Tsang's gamma numbers (2000), shape 1 or more.
#[derive(Clone, Copy)]
struct Gamma {
    d: f64,
    c: f64,
    scale: f64,
}

impl Gamma {
    fn new(mean: f64, shape: f64) -> Gamma {
        let d = shape - 1.0 / 3.0;
        Gamma { d, c: 1.0 / (9.0 * d).sqrt(), scale: mean / shape }
    }

    #[inline]
    fn draw(self, table: &NormalTable, dice: &mut Dice) -> f64 {
        loop {
            let z = dice.quick_normal(table);
            let v = 1.0 + self.c * z;
            if v <= 0.0 {
                continue;
            }
            let cube = v * v * v;
            let (u, square) = (dice.unit(), z * z);
            let squeezed = u < 1.0 - 0.0331 * square * square;
            if squeezed || libm::log(u) < 0.5 * square + self.d - self.d * cube + self.d * libm::log(cube) {
                return self.scale * self.d * cube;
            }
        }
    }
}

/// Where a run's counts begin: in `change`, in `touched` and in `evenings`.
#[derive(Debug, Clone, Copy, Default)]
struct Place {
    row: u32,
    word: u32,
    evening: u32,
}

/// The buffers of one thread.
pub(super) struct Yard {
    dies: Vec<u8>,
    /// From here on those that live longest come first.
    run: Vec<Place>,
    part: Vec<f32>,
    male: Vec<bool>,
    who: Vec<u32>,
    shared: Vec<f32>,
    at_h: Vec<f32>,
    next_h: Vec<f32>,
    need: Vec<f32>,
    day: Vec<u32>,
    bits: Vec<u32>,
    /// For each run, stage and day how many more stand there than the day before.
    pub(super) change: Vec<i16>,
    /// For each run and stage the days on which anything changes.
    pub(super) touched: Vec<u64>,
    /// For each run and sex the evenings on which one is out.
    pub(super) evenings: Vec<u64>,
}

impl Yard {
    pub(super) fn new(walk: &Walk<'_>, runs: usize) -> Yard {
        let all = runs * walk.n;
        let rows = runs * (walk.stages.len() + 1);
        Yard {
            dies: vec![0; all],
            run: vec![Place::default(); all],
            part: vec![0.0; all],
            male: vec![false; all],
            who: vec![0; all],
            shared: vec![0.0; all],
            at_h: vec![0.0; all],
            next_h: vec![0.0; all],
            need: vec![0.0; all],
            day: vec![0; all],
            bits: vec![0; all + 1],
            change: vec![0; rows * (walk.days + 1)],
            touched: vec![0; rows * words(walk.days)],
            evenings: vec![0; runs * 2 * words(walk.days)],
        }
    }
}

/// Words of sixty-four days each; the day after the last has its place too.
pub(super) fn words(days: usize) -> usize {
    days / 64 + 1
}

fn share_of_32_bits(share: f64) -> u64 {
    (share * 4_294_967_296.0).round() as u64
}

impl<'a> Walk<'a> {
    pub(super) fn new(model: &CohortModel, clocks: &'a [HourClock], ask: CensusAsk, days: usize) -> Walk<'a> {
        let rho = model.rank_correlation;
        let mut known: Vec<f64> = Vec::new();
        let mut known_own: Vec<(f64, f64)> = Vec::new();
        let (mut shared, mut own, mut stages) = (Vec::new(), Vec::new(), Vec::new());
        for ((it, s), clock) in model.stages.iter().zip(model.spread()).zip(clocks) {
            let same = |a: f64, b: f64| a.total_cmp(&b).is_eq();
            let spread = known.iter().position(|k| same(*k, s)).unwrap_or_else(|| {
                known.push(s);
                shared.push(Pieces::new(s * rho.sqrt(), 1.0));
                known.len() - 1
            });
            let mine = known_own.iter().position(|k| same(k.0, s) && same(k.1, it.need));
            let mine = mine.unwrap_or_else(|| {
                known_own.push((s, it.need));
                own.push(Pieces::new(s * (1.0 - rho).sqrt(), it.need * libm::exp(-0.5 * s * s)));
                known_own.len() - 1
            });
            stages.push(Stage { clock, spread, own: mine });
        }
        let mut living = 1.0;
        let dies_below: Vec<u64> = model
            .stages
            .iter()
            .map(|it| {
                living *= it.survival;
                share_of_32_bits(1.0 - living)
            })
            .collect();
        let mut guide = [0_u8; 256];
        for (slice, stage) in guide.iter_mut().enumerate() {
            let begins = (slice as u64) << 24;
            *stage = dies_below.iter().take_while(|it| **it <= begins).count() as u8;
        }
        let daily = |hour: f64| Daily { hour: hour as f32, days: days as f32 };
        Walk {
            n: ask.n as usize,
            days,
            end_h: clocks.first().map_or(0.0, |it| (it.units.len() - 1) as f32),
            stages,
            shared,
            own,
            dies_below,
            guide,
            male_below: share_of_32_bits(model.male_share),
            earlier_h: model.males_earlier_h as f32,
            moth: Gamma::new(model.moth_mean_h, model.moth_shape),
            morning: daily(ask.morning_h),
            evening: daily(ask.evening_h),
            table: NormalTable::get(),
        }
    }

    /// Lives some cohorts side by side and counts them.
    pub(super) fn block(&self, runs: usize, dice: &mut Dice, yard: &mut Yard, counts: &mut Counts) {
        let all = runs * self.n;
        let lives = self.line_up(runs, dice, yard);
        yard.at_h[..all].fill(0.0);
        let mut spread = usize::MAX;
        for (number, stage) in self.stages.iter().enumerate() {
            if stage.spread != spread {
                spread = stage.spread;
                let table = &self.shared[spread];
                for (to, who) in yard.shared[..lives[number]].iter_mut().zip(&yard.who) {
                    *to = table.of(*who);
                }
            }
            fill(&mut yard.bits[..lives[number]], dice);
            let here = (lives[number + 1], lives[number]);
            self.leave(number, here, yard);
            self.write_down(number, here, yard, counts);
        }
        self.moths(lives[self.stages.len()], dice, yard);
        counts.take(runs, yard);
    }

    /// Draws the stage in which each animal dies, and puts those that die later first. Returns how many begin each stage,
    /// and how many come out.
    #[inline(never)]
    fn line_up(&self, runs: usize, dice: &mut Dice, yard: &mut Yard) -> [usize; 41] {
        let (all, stages) = (runs * self.n, self.stages.len());
        let mut dying = [0_usize; 41];
        fill(&mut yard.bits[..all], dice);
        for (to, bits) in yard.dies[..all].iter_mut().zip(&yard.bits) {
            let mut stage = usize::from(self.guide[(bits >> 24) as usize]);
            while stage < stages && u64::from(*bits) >= self.dies_below[stage] {
                stage += 1;
            }
            *to = stage as u8;
            dying[stage.min(40)] += 1;
        }
        let mut lives = [0_usize; 41];
        let mut place = [0_usize; 41];
        let mut sum = 0;
        for stage in (0..=stages).rev() {
            place[stage] = sum;
            sum += dying[stage];
            lives[stage] = sum;
        }
        let mut animal = 0;
        let (rows, columns, words) = (stages + 1, self.days + 1, words(self.days));
        for run in 0..runs {
            let run = Place {
                row: (run * rows * columns) as u32,
                word: (run * rows * words) as u32,
                evening: (run * 2 * words) as u32,
            };
            for _ in 0..self.n {
                let slot = &mut place[usize::from(yard.dies[animal]).min(40)];
                yard.run[*slot] = run;
                *slot += 1;
                animal += 1;
            }
        }
        let on = lives[stages];
        for (male, who) in yard.male[..on].iter_mut().zip(&mut yard.who) {
            let bits = dice.bits();
            *male = bits & 0xffff_ffff < self.male_below;
            *who = (bits >> 32) as u32;
        }
        for (part, who) in yard.part[on..all].iter_mut().zip(&mut yard.who[on..]) {
            let bits = dice.bits();
            *part = ((bits as u32) >> 8) as i32 as f32 * (1.0 / 16_777_216.0);
            *who = (bits >> 32) as u32;
        }
        lives
    }

    /// When each leaves a stage, those that die in it last.
    #[inline(never)]
    fn leave(&self, number: usize, (on, all): (usize, usize), yard: &mut Yard) {
        let stage = &self.stages[number];
        let (clock, own) = (stage.clock, &self.own[stage.own]);
        let (shared, bits, part) = (&yard.shared[..all], &yard.bits[..all], &yard.part[..all]);
        let need = &mut yard.need[..all];
        for slot in 0..on {
            need[slot] = shared[slot] * own.of(bits[slot]);
        }
        for slot in on..all {
            need[slot] = shared[slot] * own.of(bits[slot]) * part[slot];
        }
        let (next, at_h) = (&mut yard.next_h[..all], &yard.at_h[..all]);
        clock.after(at_h, need, next);
        if number + 1 == self.stages.len() && self.earlier_h > 0.0 {
            for slot in 0..on {
                let early = (next[slot] - self.earlier_h).max(at_h[slot]);
                next[slot] = if yard.male[slot] && next[slot] < self.end_h { early } else { next[slot] };
            }
        }
        std::mem::swap(&mut yard.next_h, &mut yard.at_h);
    }

    /// Writes down on which morning each stands in the next stage, or is gone.
    #[inline(never)]
    fn write_down(&self, number: usize, (on, all): (usize, usize), yard: &mut Yard, counts: &mut Counts) {
        let (columns, words) = (self.days + 1, words(self.days));
        let from = number * columns;
        for slot in 0..all {
            yard.day[slot] = self.morning.day(yard.at_h[slot]) as u32;
        }
        let by_hour = counts.by_hour_mut(number + 1);
        let (next, word) = (from + columns, (number + 1) * words);
        for slot in 0..on {
            let (day, run) = (yard.day[slot] as usize, yard.run[slot]);
            let row = run.row as usize + day;
            let left = &mut yard.change[row + from];
            *left = left.wrapping_sub(1);
            let here = &mut yard.change[row + next];
            *here = here.wrapping_add(1);
            yard.touched[run.word as usize + word + (day >> 6)] |= 1 << (day & 63);
            // Who does not come so far is counted in a last hour of its own.
            let hour = &mut by_hour[whole(yard.at_h[slot])];
            *hour = hour.wrapping_add(1);
        }
        let mut sums_h = [0.0_f64; 4];
        let mut never = 0_u64;
        for four in yard.at_h[..on].chunks(4) {
            for (sum_h, at_h) in sums_h.iter_mut().zip(four) {
                let ends = *at_h < self.end_h;
                *sum_h += if ends { f64::from(*at_h) } else { 0.0 };
                never += u64::from(!ends);
            }
        }
        counts.enter(number + 1, on as u64 - never, sums_h.iter().sum());
        let word = number * words;
        for slot in on..all {
            let (day, run) = (yard.day[slot] as usize, yard.run[slot]);
            let left = &mut yard.change[run.row as usize + from + day];
            *left = left.wrapping_sub(1);
            yard.touched[run.word as usize + word + (day >> 6)] |= 1 << (day & 63);
        }
    }

    #[inline(never)]
    fn moths(&self, on: usize, dice: &mut Dice, yard: &mut Yard) {
        let (columns, words, last) = (self.days + 1, words(self.days), self.stages.len());
        for slot in 0..on {
            let out_h = yard.at_h[slot];
            if out_h >= self.end_h {
                continue;
            }
            let end_h = out_h + self.moth.draw(self.table, dice) as f32;
            let day = self.morning.day(end_h);
            let run = yard.run[slot];
            yard.change[run.row as usize + last * columns + day] -= 1;
            yard.touched[run.word as usize + last * words + (day >> 6)] |= 1 << (day & 63);
            let (first, end) = (self.evening.day(out_h), self.evening.day(end_h));
            let out =
                &mut yard.evenings[run.evening as usize + usize::from(yard.male[slot]) * words..][..words];
            for (word, days) in out.iter_mut().enumerate().take((end >> 6) + 1).skip(first >> 6) {
                let begins = word * 64;
                *days |= below(end.saturating_sub(begins)) & !below(first.saturating_sub(begins));
            }
        }
    }
}

/// The lowest bits, so many of them.
#[inline]
fn below(bits: usize) -> u64 {
    if bits >= 64 { u64::MAX } else { (1 << bits) - 1 }
}

/// Fills with even bits, two words from each draw.
#[inline]
fn fill(bits: &mut [u32], dice: &mut Dice) {
    let mut pairs = bits.chunks_exact_mut(2);
    for two in &mut pairs {
        let drawn = dice.bits();
        two[0] = drawn as u32;
        two[1] = (drawn >> 32) as u32;
    }
    for one in pairs.into_remainder() {
        *one = (dice.bits() >> 32) as u32;
    }
}
