//! How much leaf for today, the week, and up to spinning.

use super::appetite::{Appetite, AppetiteFault, eaten_share};
use super::own_leaf::LeafBelief;
use crate::dice::{Dice, Purpose};
use crate::phenology::{Quantiles, Simulator, StageKind};

/// A number with its range over the runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Expected.
    pub mean: f64,
    /// One run in ten has less.
    pub q10: f64,
    /// The middle run.
    pub q50: f64,
    /// One run in ten has more.
    pub q90: f64,
}

impl Spread {
    fn of(mut numbers: Vec<f64>) -> Spread {
        let mean = numbers.iter().sum::<f64>() / numbers.len().max(1) as f64;
        match Quantiles::of(&mut numbers) {
            Some(it) => Spread { mean, q10: it.q10, q50: it.q50, q90: it.q90 },
            None => Spread { mean: f64::NAN, q10: f64::NAN, q50: f64::NAN, q90: f64::NAN },
        }
    }
}

/// Fresh leaf that larvae eat, g.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Eaten(pub Spread);

/// Fresh leaf that must be cut so that they can, g.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut(pub Spread);

/// The leaf for some stretch of time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeafNeed {
    /// What will be eaten.
    pub eaten: Eaten,
    /// What must be cut.
    pub cut: Cut,
}

/// The leaf for one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeafDay {
    /// When the day begins, days.
    pub begins_d: f64,
    /// Its leaf.
    pub need: LeafNeed,
}

/// The leaf for one box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoxLeaf {
    /// The box, numbered by the caller.
    pub box_index: usize,
    /// For the first day.
    pub today: LeafNeed,
    /// For the first three days.
    pub three_days: LeafNeed,
    /// For the first seven days.
    pub week: LeafNeed,
    /// Up to spinning.
    pub to_spinning: LeafNeed,
}

/// The hungriest day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// The beginning of the hungriest day of a run: one in ten earlier, the middle, one in ten later, days.
    pub day_q10_d: f64,
    /// The middle run, days.
    pub day_q50_d: f64,
    /// One in ten later, days.
    pub day_q90_d: f64,
    /// The leaf of that day.
    pub need: LeafNeed,
}

/// The leaf of a brood.
#[derive(Debug, Clone, PartialEq)]
pub struct LeafPlan {
    /// Day by day, until no run has anybody eating.
    pub days: Vec<LeafDay>,
    /// For the first day.
    pub today: LeafNeed,
    /// For the first three days.
    pub three_days: LeafNeed,
    /// For the first seven days.
    pub week: LeafNeed,
    /// Up to spinning.
    pub to_spinning: LeafNeed,
    /// The hungriest day; `None` if nobody will eat any more.
    pub peak: Option<Peak>,
    /// Each box that holds an animal.
    pub boxes: Vec<BoxLeaf>,
}

/// Seasons used for the leaf: its ranges are dominated by appetite and waste, which five hundred draws show.
const LEAF_RUNS: u32 = 500;
/// No brood is planned further than this, days.
const LONGEST_D: usize = 200;

/// What must be cut, day by day, from `first_day_d` on.
///
/// # Formula
/// For each simulated season the leaf that each living larva eats between two day boundaries (see
/// [`Appetite`]), times one draw of the appetite's scale; to cut, that times one draw of grams cut per gram eaten.
/// # Units
/// Grams of fresh leaf; days from `first_day_d` in steps of one.
/// # Holds for
/// The animals of the question, spare ones left out; dying animals eat until they die.
/// # Errors
/// An appetite that cannot be used is refused by name.
/// # Source
/// The shape within an instar is judgement; the life's sum and the shares come from the caller.
/// # Checked against
/// The sum over all days of animals that all live is the leaf of their lives (test).
pub fn leaf_plan(
    simulator: &Simulator<'_>,
    appetite: &Appetite,
    belief: LeafBelief,
    first_day_d: f64,
) -> Result<LeafPlan, AppetiteFault> {
    appetite.check(simulator.model().stages.len())?;
    if !first_day_d.is_finite() {
        return Err(AppetiteFault::Day);
    }
    let runs = simulator.ask().runs.min(LEAF_RUNS);
    let mut boxes: Vec<usize> = (0..simulator.animals())
        .filter(|it| !simulator.is_spare(*it))
        .map(|it| simulator.box_index(it))
        .collect();
    boxes.sort_unstable();
    boxes.dedup();
    let mut table = Table { boxes: boxes.len(), days: 0, eaten_g: Vec::new(), cut_per_eaten: Vec::new() };
    let mut bench = simulator.bench();
    for run in 0..runs {
        simulator.season(run, &mut bench);
        let mut dice = Dice::of(simulator.ask().seed, Purpose::Leaf, u64::from(run), 0);
        let scale = libm::exp(belief.log_scale + belief.log_scale_sd * dice.normal());
        let ratio = libm::exp(belief.log_cut_per_eaten + belief.log_cut_per_eaten_sd * dice.normal());
        table.cut_per_eaten.push(ratio.max(1.0));
        let mut season = vec![vec![0.0; LONGEST_D]; boxes.len()];
        for animal in (0..simulator.animals()).filter(|it| !simulator.is_spare(*it)) {
            let Ok(place) = boxes.binary_search(&simulator.box_index(animal)) else { continue };
            let larva = Larva { simulator, appetite, lives: &bench.lives, animal };
            larva.eats(first_day_d, scale, &mut season[place]);
        }
        let busy = |day: &usize| season.iter().any(|it| it[*day] > 0.0);
        table.days = table.days.max((0..LONGEST_D).rev().find(busy).map_or(0, |it| it + 1));
        table.eaten_g.push(season);
    }
    Ok(table.plan(&boxes, first_day_d))
}

/// Expected grams eaten by the animals that live now, between two instants of their past, by the profile alone.
///
/// For [`OwnLeaf`](super::OwnLeaf); what the dead have eaten is not in it.
pub fn eaten_so_far(
    simulator: &Simulator<'_>,
    appetite: &Appetite,
    from_d: f64,
    to_d: f64,
) -> Result<f64, AppetiteFault> {
    appetite.check(simulator.model().stages.len())?;
    let runs = simulator.ask().runs.min(LEAF_RUNS);
    let mut bench = simulator.bench();
    let mut sum = 0.0;
    for run in 0..runs {
        simulator.season(run, &mut bench);
        for animal in (0..simulator.animals()).filter(|it| !simulator.is_spare(*it)) {
            let larva = Larva { simulator, appetite, lives: &bench.lives, animal };
            sum += larva.between(from_d, to_d);
        }
    }
    Ok(sum / f64::from(runs))
}

/// One larva of one run.
struct Larva<'a> {
    simulator: &'a Simulator<'a>,
    appetite: &'a Appetite,
    lives: &'a crate::phenology::Lives,
    animal: usize,
}

impl Larva<'_> {
    /// Its feeding stages: stage, beginning and end by moult, death or horizon.
    fn meals(&self) -> impl Iterator<Item = (usize, f64, f64)> + '_ {
        let stages = &self.simulator.model().stages;
        let entry = self.lives.entry(self.animal);
        let end_d = self.lives.end_d(self.animal).min(self.simulator.clocks().end_d());
        stages.iter().enumerate().filter_map(move |(stage, it)| {
            let begins_d = entry[stage];
            // Comparison with NaN is false: a stage that is never entered, or nobody knows when, has no meals.
            let eats =
                it.kind == StageKind::Larva && self.appetite.stage_share[stage] > 0.0 && begins_d < end_d;
            let next_d = entry[stage + 1];
            let ends_d = if next_d < end_d { next_d } else { end_d };
            eats.then_some((stage, begins_d, ends_d))
        })
    }

    /// Grams that the middle appetite eats in a stage up to an instant.
    fn eaten_g(&self, stage: usize, begins_d: f64, at_d: f64) -> f64 {
        let clocks = self.simulator.clocks();
        let future = self.lives.future();
        let units = clocks.units_at(stage, future, at_d) - clocks.units_at(stage, future, begins_d);
        let done = units / self.lives.need(self.animal, stage);
        let moult_share = self.simulator.model().stages[stage].moult_share;
        self.appetite.life_eaten_g.median * self.appetite.stage_share[stage] * eaten_share(done, moult_share)
    }

    fn between(&self, from_d: f64, to_d: f64) -> f64 {
        self.meals()
            .filter(|(_, begins_d, ends_d)| *begins_d < to_d && *ends_d > from_d)
            .map(|(stage, begins_d, ends_d)| {
                let late = self.eaten_g(stage, begins_d, ends_d.min(to_d));
                late - self.eaten_g(stage, begins_d, from_d.max(begins_d))
            })
            .sum()
    }

    /// Adds what it eats on each day.
    fn eats(&self, first_day_d: f64, scale: f64, days: &mut [f64]) {
        for (stage, begins_d, ends_d) in self.meals() {
            if ends_d <= first_day_d {
                continue;
            }
            let first = ((begins_d - first_day_d).floor().max(0.0)) as usize;
            let mut so_far = self.eaten_g(stage, begins_d, begins_d.max(first_day_d));
            for (day, sum) in days.iter_mut().enumerate().skip(first) {
                let until_d = first_day_d + day as f64 + 1.0;
                let eaten = self.eaten_g(stage, begins_d, until_d.min(ends_d));
                *sum += scale * (eaten - so_far);
                so_far = eaten;
                if until_d >= ends_d {
                    break;
                }
            }
        }
    }
}

/// What was eaten, run by run, box by box, day by day.
struct Table {
    boxes: usize,
    days: usize,
    eaten_g: Vec<Vec<Vec<f64>>>,
    cut_per_eaten: Vec<f64>,
}

impl Table {
    /// The leaf of some boxes for some days.
    fn need(&self, boxes: std::ops::Range<usize>, days: std::ops::Range<usize>) -> LeafNeed {
        let sum = |season: &Vec<Vec<f64>>| -> f64 {
            let days = days.start.min(self.days)..days.end.min(self.days);
            season[boxes.clone()].iter().map(|it| it[days.clone()].iter().sum::<f64>()).sum()
        };
        let eaten: Vec<f64> = self.eaten_g.iter().map(sum).collect();
        let cut = eaten.iter().zip(&self.cut_per_eaten).map(|(g, ratio)| g * ratio).collect();
        LeafNeed { eaten: Eaten(Spread::of(eaten)), cut: Cut(Spread::of(cut)) }
    }

    fn peak(&self, first_day_d: f64) -> Option<Peak> {
        let hungriest = |season: &Vec<Vec<f64>>| {
            let day = |it: usize| season.iter().map(|days| days[it]).sum::<f64>();
            (0..self.days).map(|it| (it, day(it))).max_by(|a, b| a.1.total_cmp(&b.1)).filter(|it| it.1 > 0.0)
        };
        let (mut days, mut eaten, mut cut) = (Vec::new(), Vec::new(), Vec::new());
        for (season, ratio) in self.eaten_g.iter().zip(&self.cut_per_eaten) {
            if let Some((day, g)) = hungriest(season) {
                days.push(first_day_d + day as f64);
                eaten.push(g);
                cut.push(g * ratio);
            }
        }
        let days = Quantiles::of(&mut days)?;
        let need = LeafNeed { eaten: Eaten(Spread::of(eaten)), cut: Cut(Spread::of(cut)) };
        Some(Peak { day_q10_d: days.q10, day_q50_d: days.q50, day_q90_d: days.q90, need })
    }

    fn plan(&self, boxes: &[usize], first_day_d: f64) -> LeafPlan {
        let all = 0..self.boxes;
        let days = (0..self.days).map(|day| LeafDay {
            begins_d: first_day_d + day as f64,
            need: self.need(all.clone(), day..day + 1),
        });
        let one = |(place, box_index): (usize, &usize)| BoxLeaf {
            box_index: *box_index,
            today: self.need(place..place + 1, 0..1),
            three_days: self.need(place..place + 1, 0..3),
            week: self.need(place..place + 1, 0..7),
            to_spinning: self.need(place..place + 1, 0..LONGEST_D),
        };
        LeafPlan {
            days: days.collect(),
            today: self.need(all.clone(), 0..1),
            three_days: self.need(all.clone(), 0..3),
            week: self.need(all.clone(), 0..7),
            to_spinning: self.need(all.clone(), 0..LONGEST_D),
            peak: self.peak(first_day_d),
            boxes: boxes.iter().enumerate().map(one).collect(),
        }
    }
}
