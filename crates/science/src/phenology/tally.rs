//! Counting over the runs: first, middle and last, who reaches a stage, who sleeps now.

use super::lives::Lives;
use super::quantiles::{Quantiles, dots, quantile};
use super::simulator::Simulator;

/// How many animals are in a stage now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StageCount {
    /// Index of the stage; one past the last is the moth.
    pub stage: usize,
    /// Expected number.
    pub mean: f64,
    /// One run in ten has fewer.
    pub q10: f64,
    /// One run in ten has more.
    pub q90: f64,
}

/// The animals of one stage that are in moult sleep now: hands off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoultNow {
    /// Index of the stage.
    pub stage: usize,
    /// Share of the animals of that stage that sleep, expected.
    pub share: f64,
    /// How many sleep, one run in ten fewer.
    pub sleepers_q10: f64,
    /// How many sleep, the middle run.
    pub sleepers_q50: f64,
    /// How many sleep, one run in ten more.
    pub sleepers_q90: f64,
    /// When the last of those that sleep now comes out: the middle run, days.
    pub until_q50_d: f64,
    /// The same, nine runs in ten, days.
    pub until_q90_d: f64,
}

/// When a stage will be entered.
#[derive(Debug, Clone, PartialEq)]
pub struct StageEntry {
    /// Index of the stage; one past the last is the moth.
    pub stage: usize,
    /// The first animal of those that reach the stage, days.
    pub first: Quantiles,
    /// The middle animal of those that reach the stage, days.
    pub middle: Quantiles,
    /// The last animal of those that reach the stage, days.
    pub last: Quantiles,
    /// Any animal of those that reach the stage, days.
    pub entering: Quantiles,
    /// Twenty dots of `entering`, each one chance in twenty, days.
    pub dots_20_d: Vec<f64>,
    /// Fifty dots of `entering`, days.
    pub dots_50_d: Vec<f64>,
    /// Share of the animals that reach the stage, expected.
    pub reach_share: f64,
    /// How many animals reach the stage.
    pub reach: Quantiles,
    /// Share of the runs in which any animal reaches the stage; the dates are over those runs.
    pub any_reach_share: f64,
}

/// The answer for a whole brood or for one of its boxes.
#[derive(Debug, Clone, PartialEq)]
pub struct Scope {
    /// The box; `None` for the whole brood.
    pub box_index: Option<usize>,
    /// Animals the question started from.
    pub animals: u32,
    /// Who is where now.
    pub now: Vec<StageCount>,
    /// Who sleeps now, stage by stage; only stages in which any run has an animal.
    pub moult: Vec<MoultNow>,
    /// Stages that not all animals have entered yet and that at least one run reaches.
    pub stages: Vec<StageEntry>,
    /// Pupae that lie over to a further spring, expected number.
    pub lying_over: f64,
    /// How many pupae rest, for kinds in which some do.
    pub resting: Option<RestingShare>,
}

/// How many of the pupae rest over winter, and when either kind of moth comes out.
#[derive(Debug, Clone, PartialEq)]
pub struct RestingShare {
    /// Share of the pupae, now and to come, that rest: over runs, so with the brood's leaning and the luck of few.
    pub share: Quantiles,
    /// The same, expected.
    pub mean: f64,
    /// How many pupae rest.
    pub n: Quantiles,
    /// The moths of those that go on; `None` where no run has any.
    pub going_on: Option<StageEntry>,
    /// The moths of those that rest; `None` where no run has any.
    pub after_rest: Option<StageEntry>,
}

impl Scope {
    /// The entry of a stage, where it is open.
    pub fn stage(&self, stage: usize) -> Option<&StageEntry> {
        self.stages.iter().find(|it| it.stage == stage)
    }
}

/// Entries kept for the pooled distribution of one stage: its quantiles are then good to a fiftieth of a spread.
const POOLED: usize = 16_384;

/// Up to so many entries are put in order; of more only the middle is sought.
const SORTED: usize = 20;

/// What one thread has counted for one scope.
#[derive(Debug, Clone, Default)]
struct Counted {
    first: Vec<f64>,
    middle: Vec<f64>,
    last: Vec<f64>,
    pooled: Vec<f64>,
    reach: Vec<f64>,
    here: Vec<f64>,
    asleep: Vec<f64>,
    until: Vec<f64>,
}

/// Counting for one scope, all its stages.
#[derive(Debug, Clone)]
pub(super) struct Tally {
    box_index: Option<usize>,
    members: Vec<usize>,
    open: usize,
    stride: usize,
    stages: Vec<Counted>,
    over: f64,
    resting: Option<RestingTally>,
    runs: usize,
    scratch: Vec<f64>,
    order: Vec<usize>,
    absent: Vec<usize>,
}

impl Tally {
    /// One for the brood, then one for each box that holds an animal, where there are two or more of them.
    pub(super) fn all(simulator: &Simulator<'_>) -> Vec<Tally> {
        let own: Vec<usize> = (0..simulator.animals()).filter(|it| !simulator.is_spare(*it)).collect();
        let mut boxes: Vec<usize> = own.iter().map(|it| simulator.box_index(*it)).collect();
        boxes.sort_unstable();
        boxes.dedup();
        let within =
            |wanted: usize| own.iter().copied().filter(|it| simulator.box_index(*it) == wanted).collect();
        let mut all = vec![Tally::new(simulator, None, own.clone())];
        if boxes.len() == 1 {
            // The one box is the brood: its answer is copied, not counted again.
            return all;
        }
        all.extend(boxes.iter().map(|it| Tally::new(simulator, Some(*it), within(*it))));
        all
    }

    fn new(simulator: &Simulator<'_>, box_index: Option<usize>, members: Vec<usize>) -> Tally {
        // One thread's share: what is counted then never has to move house.
        let runs = simulator.ask().runs as usize;
        let lives = members.len() * runs;
        let runs = runs / simulator.ask().threads.max(1) + 1;
        Tally {
            box_index,
            open: simulator.first_open_stage(&members),
            stride: lives.div_ceil(POOLED).max(1),
            stages: (0..=simulator.model().moth()).map(|_| Counted::with_room(runs)).collect(),
            over: 0.0,
            resting: simulator.diapause().map(|_| RestingTally::default()),
            runs: 0,
            scratch: Vec::with_capacity(members.len()),
            order: Vec::new(),
            absent: Vec::new(),
            members,
        }
    }

    /// Counts one run.
    pub(super) fn note(&mut self, simulator: &Simulator<'_>, run: usize, lives: &Lives) {
        self.runs += 1;
        self.note_now(simulator, lives);
        if let Some(resting) = &mut self.resting {
            resting.note(&self.members, simulator.model().moth(), run.is_multiple_of(self.stride), lives);
        }
        let pooled = run.is_multiple_of(self.stride);
        if self.members.len() > SORTED {
            for stage in self.open..self.stages.len() {
                self.scratch.clear();
                self.scratch.extend(self.members.iter().filter_map(|it| lives.enters(*it, stage)));
                self.stages[stage].enter(&mut self.scratch, pooled);
            }
            return;
        }
        // Who was early in one stage is early in the next: from that order few have to change places.
        self.order.clear();
        self.order.extend_from_slice(&self.members);
        for stage in self.open..self.stages.len() {
            self.scratch.clear();
            self.absent.clear();
            for place in 0..self.order.len() {
                let animal = self.order[place];
                let Some(at_d) = lives.enters(animal, stage) else {
                    self.absent.push(animal);
                    continue;
                };
                let mut to = self.scratch.len();
                self.scratch.push(at_d);
                while to > 0 && self.scratch[to - 1] > at_d {
                    self.scratch[to] = self.scratch[to - 1];
                    self.order[to] = self.order[to - 1];
                    to -= 1;
                }
                self.scratch[to] = at_d;
                self.order[to] = animal;
            }
            self.order[self.scratch.len()..].copy_from_slice(&self.absent);
            self.stages[stage].enter_sorted(&self.scratch, pooled);
        }
    }

    /// Where everybody is now, and who sleeps.
    fn note_now(&mut self, simulator: &Simulator<'_>, lives: &Lives) {
        let (model, clocks) = (simulator.model(), simulator.clocks());
        let asof_d = clocks.asof_d();
        let mut here = [0_u32; 64];
        let mut asleep = [0_u32; 64];
        let mut until = [f64::NEG_INFINITY; 64];
        for animal in &self.members {
            self.over += f64::from(u8::from(lives.lies_over(*animal)));
            let Some(stage) = lives.stage_at(*animal, asof_d) else { continue };
            here[stage] += 1;
            let Some(it) = model.stages.get(stage).filter(|it| it.moult_share > 0.0) else { continue };
            let began = clocks.units_at(stage, lives.future(), lives.entry(*animal)[stage]);
            let done = (clocks.units_at(stage, lives.future(), asof_d) - began) / lives.need(*animal, stage);
            if done >= 1.0 - it.moult_share {
                asleep[stage] += 1;
                if let Some(out_d) = lives.enters(*animal, stage + 1) {
                    until[stage] = until[stage].max(out_d);
                }
            }
        }
        for (stage, counted) in self.stages.iter_mut().enumerate() {
            counted.here.push(f64::from(here[stage]));
            counted.asleep.push(f64::from(asleep[stage]));
            if until[stage].is_finite() {
                counted.until.push(until[stage]);
            }
        }
    }

    /// Takes over what the next thread counted.
    pub(super) fn join(&mut self, next: Tally) {
        self.runs += next.runs;
        self.over += next.over;
        for (to, from) in self.stages.iter_mut().zip(next.stages) {
            to.join(from);
        }
        if let (Some(to), Some(from)) = (&mut self.resting, next.resting) {
            to.join(from);
        }
    }

    /// Turns the counts into the answer.
    pub(super) fn answer(self) -> Scope {
        let animals = self.members.len();
        let mut scope = Scope {
            box_index: self.box_index,
            animals: animals as u32,
            now: Vec::new(),
            moult: Vec::new(),
            stages: Vec::new(),
            lying_over: self.over / self.runs.max(1) as f64,
            resting: None,
        };
        let moth = self.stages.len() - 1;
        scope.resting = self.resting.and_then(|it| it.answer(moth, animals));
        for (stage, mut counted) in self.stages.into_iter().enumerate() {
            let mean = |numbers: &[f64]| numbers.iter().sum::<f64>() / numbers.len().max(1) as f64;
            let here = mean(&counted.here);
            if here > 0.0 {
                let asleep = mean(&counted.asleep);
                if let (true, Some(sleepers)) = (asleep > 0.0, Quantiles::pick(&mut counted.asleep)) {
                    let until = Quantiles::pick(&mut counted.until);
                    scope.moult.push(MoultNow {
                        stage,
                        share: asleep / here,
                        sleepers_q10: sleepers.q10,
                        sleepers_q50: sleepers.q50,
                        sleepers_q90: sleepers.q90,
                        until_q50_d: until.map_or(f64::NAN, |it| it.q50),
                        until_q90_d: until.map_or(f64::NAN, |it| it.q90),
                    });
                }
                if let Some(it) = Quantiles::pick(&mut counted.here) {
                    scope.now.push(StageCount { stage, mean: here, q10: it.q10, q90: it.q90 });
                }
            }
            scope.stages.extend(counted.entry(stage, animals));
        }
        scope
    }
}

impl Counted {
    fn with_room(runs: usize) -> Counted {
        let room = || Vec::with_capacity(runs);
        Counted {
            first: room(),
            middle: room(),
            last: room(),
            reach: room(),
            here: room(),
            asleep: room(),
            ..Counted::default()
        }
    }

    /// Counts those that enter in one run.
    fn enter(&mut self, at_d: &mut [f64], pooled: bool) {
        if at_d.len() > SORTED {
            self.reach.push(at_d.len() as f64);
            if pooled {
                self.pooled.extend_from_slice(at_d);
            }
            // Only the ends and the middle are read.
            at_d.select_nth_unstable_by(at_d.len() / 2, f64::total_cmp);
            let half = at_d.len() / 2;
            let (below, above) = at_d.split_at(half);
            let low = below.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let middle = if at_d.len() % 2 == 1 { above[0] } else { quantile(&[low, above[0]], 0.5) };
            self.first.push(below.iter().copied().fold(f64::INFINITY, f64::min));
            self.last.push(above.iter().copied().fold(f64::NEG_INFINITY, f64::max));
            self.middle.push(middle);
            return;
        }
        at_d.sort_unstable_by(f64::total_cmp);
        self.enter_sorted(at_d, pooled);
    }

    /// The same, where they are in order.
    fn enter_sorted(&mut self, at_d: &[f64], pooled: bool) {
        self.reach.push(at_d.len() as f64);
        if pooled {
            self.pooled.extend_from_slice(at_d);
        }
        if let (Some(first), Some(last)) = (at_d.first(), at_d.last()) {
            self.first.push(*first);
            self.last.push(*last);
            self.middle.push(quantile(at_d, 0.5));
        }
    }

    fn join(&mut self, from: Counted) {
        self.first.extend(from.first);
        self.middle.extend(from.middle);
        self.last.extend(from.last);
        self.pooled.extend(from.pooled);
        self.reach.extend(from.reach);
        self.here.extend(from.here);
        self.asleep.extend(from.asleep);
        self.until.extend(from.until);
    }

    fn entry(mut self, stage: usize, animals: usize) -> Option<StageEntry> {
        let runs = self.reach.len();
        let reach_share = self.reach.iter().sum::<f64>() / (runs * animals).max(1) as f64;
        let any_reach_share = self.first.len() as f64 / runs.max(1) as f64;
        // A stage that only unpooled runs reach still gets an answer: from the first and last animals.
        if self.pooled.is_empty() {
            self.pooled.extend(&self.middle);
        }
        let entering = Quantiles::of(&mut self.pooled)?;
        Some(StageEntry {
            stage,
            first: Quantiles::pick(&mut self.first)?,
            middle: Quantiles::pick(&mut self.middle)?,
            last: Quantiles::pick(&mut self.last)?,
            entering,
            dots_20_d: dots(&self.pooled, 20),
            dots_50_d: dots(&self.pooled, 50),
            reach_share,
            reach: Quantiles::pick(&mut self.reach)?,
            any_reach_share,
        })
    }
}

/// Counting which pupae rest.
#[derive(Debug, Clone, Default)]
struct RestingTally {
    share: Vec<f64>,
    n: Vec<f64>,
    /// Moths of those that go on, and of those that rest.
    moths: [Counted; 2],
    scratch: [Vec<f64>; 2],
}

impl RestingTally {
    fn note(&mut self, members: &[usize], moth: usize, pooled: bool, lives: &Lives) {
        let (mut pupae, mut rest) = (0_u32, 0_u32);
        self.scratch.iter_mut().for_each(Vec::clear);
        for animal in members {
            // Whoever is out already, or dies before, is no pupa of whom one asks.
            let Some(rests) = lives.enters(*animal, moth - 1).and(lives.rests(*animal)) else { continue };
            pupae += 1;
            rest += u32::from(rests);
            self.scratch[usize::from(rests)].extend(lives.enters(*animal, moth));
        }
        if pupae > 0 {
            self.share.push(f64::from(rest) / f64::from(pupae));
        }
        self.n.push(f64::from(rest));
        for (to, at_d) in self.moths.iter_mut().zip(&mut self.scratch) {
            to.enter(at_d, pooled);
        }
    }

    fn join(&mut self, next: RestingTally) {
        self.share.extend(next.share);
        self.n.extend(next.n);
        for (to, from) in self.moths.iter_mut().zip(next.moths) {
            to.join(from);
        }
    }

    fn answer(mut self, moth: usize, animals: usize) -> Option<RestingShare> {
        let mean = self.share.iter().sum::<f64>() / self.share.len().max(1) as f64;
        let [going_on, after_rest] = self.moths;
        Some(RestingShare {
            share: Quantiles::pick(&mut self.share)?,
            mean,
            n: Quantiles::pick(&mut self.n)?,
            going_on: going_on.entry(moth, animals),
            after_rest: after_rest.entry(moth, animals),
        })
    }
}
