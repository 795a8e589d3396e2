//! Simulation-based calibration (Talts et al. 2018): broods from the prior, counted, learned from, ranked.
//!
//! The brood maker below is written from the definition on the model page and shares no code with the engine: it
//! adds up degree-days hour by hour and lets each animal live by itself. If the engine's posterior is right, the
//! rank of the true value among posterior draws is uniform, whatever the counts were.
#![allow(dead_code, clippy::unwrap_used, reason = "a test may panic")]

use science::dice::Dice;
use science::phenology::{
    AirSeries, Ask, BoxCount, BroodModel, Clocks, Glance, HORIZON_D, Living, Outlook, OutlookError,
    RateCurve, Reading, Room, Simulator, StageKind, Track, Tracked, Watched, Window,
};

/// Posterior draws that a true value is ranked among.
pub const DRAWS: usize = 99;
/// Standard deviation of the logarithm of the factor of the spread, as the model page states it.
const SPREAD_SD: f64 = 0.2;

/// Ranks of one parameter.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranks {
    pub parameter: String,
    /// From 0 to [`DRAWS`].
    pub ranks: Vec<usize>,
}

impl Ranks {
    /// How many ranks fall into each of a number of equal bins that divides `DRAWS + 1`.
    pub fn histogram(&self, bins: usize) -> Vec<u32> {
        let mut seen = vec![0; bins];
        for rank in &self.ranks {
            seen[rank * bins / (DRAWS + 1)] += 1;
        }
        seen
    }

    /// Chi-square of the rank histogram.
    pub fn chi_square(&self, bins: usize) -> f64 {
        let expect = self.ranks.len() as f64 / bins as f64;
        let off = |n: u32| (f64::from(n) - expect) * (f64::from(n) - expect) / expect;
        self.histogram(bins).into_iter().map(off).sum()
    }

    /// How far the mean rank lies off, and how wide the ranks lie, both in standard errors of a uniform rank.
    pub fn lean_and_width(&self) -> (f64, f64) {
        let n = self.ranks.len() as f64;
        let place = |it: &usize| (*it as f64 + 0.5) / (DRAWS + 1) as f64 - 0.5;
        let mean = self.ranks.iter().map(place).sum::<f64>() / n;
        let square = self.ranks.iter().map(|it| place(it) * place(it)).sum::<f64>() / n;
        ((mean * (12.0 * n).sqrt()), (square - 1.0 / 12.0) * (180.0 * n).sqrt())
    }
}

/// The model that is calibrated: everything uncertain, small larvae overlooked, females slower as pupae.
pub fn model() -> BroodModel {
    let mut model = super::common::brood_model(0.1);
    (model.stages[1].overlooked, model.stages[2].overlooked) = (0.04, 0.02);
    model.female_pupa_factor = 1.05;
    model
}

/// A season's air: a wave by day and a slow one over weeks. Its hourly means are the truth for both sides.
pub fn season(days: u32, dice: &mut Dice) -> AirSeries {
    let (mean_c, swing_c, phase) = (16.0 + 5.0 * dice.unit(), 4.0 * dice.unit(), 6.0 * dice.unit());
    let day = |at_d: f64| ((at_d - 10.0 / 24.0) * std::f64::consts::TAU).sin();
    let weeks = |at_d: f64| (at_d / 9.0 + phase).sin();
    let reading = |hour: u32| {
        let at_d = f64::from(hour) / 24.0;
        Reading { at_d, air_c: mean_c + swing_c * day(at_d) + 2.0 * weeks(at_d) }
    };
    let readings: Vec<Reading> = (0..=days * 24).map(reading).collect();
    AirSeries::from_readings(&readings).unwrap()
}

/// What a brood truly was.
pub struct Truth {
    pub shared: f64,
    pub own: Vec<f64>,
    pub spread: f64,
    pub survival: Vec<f64>,
}

/// One animal: when it enters its stages, and when it dies.
pub struct Life {
    pub entry: Vec<f64>,
    pub dies_d: f64,
}

pub fn truth(model: &BroodModel, dice: &mut Dice) -> Truth {
    Truth {
        shared: model.shared_pace_sd * dice.normal(),
        own: model.stages.iter().map(|it| it.stage_pace_sd * dice.normal()).collect(),
        spread: (SPREAD_SD * dice.normal()).exp(),
        survival: model.stages.iter().map(|it| dice.beta(it.survival.mean, it.survival.weight)).collect(),
    }
}

pub fn life(model: &BroodModel, truth: &Truth, hourly_c: &[f64], dice: &mut Dice) -> Life {
    life_from(model, truth, hourly_c, (0, 0.0), dice)
}

/// A life that is told from a stage and an instant on.
pub fn life_from(
    model: &BroodModel,
    truth: &Truth,
    hourly_c: &[f64],
    (from, from_d): (usize, f64),
    dice: &mut Dice,
) -> Life {
    let u = dice.normal();
    let female = dice.unit() < model.female_share;
    let (mut hour, mut dies_d) = (from_d * 24.0, f64::INFINITY);
    let mut entry = vec![f64::NEG_INFINITY; from];
    entry.push(from_d);
    for (stage, it) in model.stages.iter().enumerate().skip(from) {
        let RateCurve::Linear { lower_c, upper_c, constant_dd } = it.rate else {
            return Life { entry, dies_d };
        };
        let cv = it.spread_cv * truth.spread;
        let s = (1.0 + cv * cv).ln().sqrt();
        let rho = model.rank_correlation;
        let z = rho.sqrt() * u + (1.0 - rho).sqrt() * dice.normal();
        let slow = if female && it.kind == StageKind::Pupa { model.female_pupa_factor } else { 1.0 };
        let need_dd =
            constant_dd * (truth.shared + truth.own[stage]).exp() * slow * (s * z - 0.5 * s * s).exp();
        // It dies once a share of the stage is done that is waited for with the hazard -log p.
        let dies_at = need_dd * dice.unit().ln() / truth.survival[stage].ln();
        let mut done_dd = 0.0;
        while done_dd < need_dd && (hour as usize) < hourly_c.len() {
            let per_h = (hourly_c[hour as usize].min(upper_c) - lower_c).max(0.0) / 24.0;
            let rest_h = hour.floor() + 1.0 - hour;
            let add = per_h * rest_h;
            if dies_d.is_infinite() && dies_at < need_dd && done_dd + add >= dies_at {
                dies_d = (hour + (dies_at - done_dd) / per_h) / 24.0;
            }
            if done_dd + add >= need_dd {
                hour += (need_dd - done_dd) / per_h;
                done_dd = need_dd;
            } else {
                done_dd += add;
                hour = hour.floor() + 1.0;
            }
        }
        if done_dd < need_dd {
            break;
        }
        entry.push(hour / 24.0);
    }
    Life { entry, dies_d }
}

pub fn count(model: &BroodModel, lives: &[Life], at_d: f64, dice: &mut Dice) -> BoxCount {
    let mut seen = vec![0; model.moth() + 1];
    for it in lives.iter().filter(|it| it.dies_d > at_d) {
        let stage = it.entry.iter().rposition(|entry| *entry <= at_d).unwrap();
        let overlooked = model.stages.get(stage).map_or(0.0, |it| it.overlooked);
        if dice.unit() >= overlooked {
            seen[stage] += 1;
        }
    }
    BoxCount { at_d, seen }
}

/// Ranks of every parameter over many broods: 9, 20 or 60 eggs, counted every two to three days up to a day that
/// is decided beforehand. `runs` posterior draws are made and [`DRAWS`] of them, evenly apart, are ranked.
///
/// Stages that nobody can have entered by the last count are left out: their posterior is the prior.
pub fn ranks(model: &BroodModel, broods: u64, runs: u32, seed: u64) -> Vec<Ranks> {
    let mut all = Vec::new();
    for brood in 0..broods {
        let mut dice = Dice::seeded(seed.wrapping_mul(1_000_003).wrapping_add(brood));
        let n = [9, 20, 60][(brood % 3) as usize];
        let air = season(100, &mut dice);
        let hourly_c = air.hourly_c();
        let truth = truth(model, &mut dice);
        let lives: Vec<Life> = (0..n).map(|_| life(model, &truth, hourly_c, &mut dice)).collect();
        let last_d = 8.0 + 60.0 * dice.unit();
        let (mut at_d, mut counts) = (2.0 + dice.unit(), Vec::new());
        while at_d < last_d {
            counts.push(count(model, &lives, at_d, &mut dice));
            at_d += 2.0 + dice.unit();
        }
        let asof_d = counts.last().unwrap().at_d;
        let furthest = counts.iter().filter_map(|it| it.seen.iter().rposition(|n| *n > 0)).max().unwrap_or(0);
        let watched = Watched { started_d: 0.0, started_stage: 0, n, box_index: 0, counts };
        let living = Living { watched: vec![watched], ..Living::default() };
        let asked = Asked { air: &air, asof_d, runs, seed: brood, furthest };
        note_ranks(model, &truth, &living, &asked, &mut all);
    }
    all
}

/// The same for animals that a made book followed from box to box (see [`book`]): every third brood came as larvae
/// of unknown age.
pub fn ranks_of_books(model: &BroodModel, broods: u64, runs: u32, seed: u64) -> Vec<Ranks> {
    let mut all = Vec::new();
    for brood in 0..broods {
        let mut dice = Dice::seeded(seed.wrapping_mul(1_000_003).wrapping_add(brood));
        let n = [9, 20, 40][(brood % 3) as usize];
        let air = season(100, &mut dice);
        let truth = truth(model, &mut dice);
        let last_d = 20.0 + 75.0 * dice.unit();
        let start = if brood % 3 == 1 { Came::LarvaeBetween(5.0, 7.0) } else { Came::EggsWithin(1.0) };
        let (tracked, furthest) = book(model, &truth, (&air, last_d), (n, start), &mut dice);
        let asof_d = tracked.looks_d.last().copied().unwrap();
        let living = Living { tracked: vec![tracked], ..Living::default() };
        let asked = Asked { air: &air, asof_d, runs, seed: brood, furthest };
        note_ranks(model, &truth, &living, &asked, &mut all);
    }
    all
}

struct Asked<'a> {
    air: &'a AirSeries,
    asof_d: f64,
    runs: u32,
    seed: u64,
    furthest: usize,
}

fn note_ranks(model: &BroodModel, truth: &Truth, living: &Living, asked: &Asked<'_>, all: &mut Vec<Ranks>) {
    let outlook = Outlook::Thermostat { air_c: 20.0 };
    let room = Room { air: asked.air, outlook: &outlook, error: OutlookError::NONE };
    let clocks = Clocks::new(&model.curves(), &room, 0.0, asked.asof_d, HORIZON_D).unwrap();
    let ask = Ask { runs: asked.runs, seed: asked.seed, threads: 1 };
    let simulator = Simulator::new(model, &clocks, living, ask).unwrap();
    let beliefs: Vec<_> =
        (0..DRAWS).map(|it| simulator.belief(it * asked.runs as usize / DRAWS).unwrap()).collect();
    let mut rank = |parameter: String, true_value: f64, value: &dyn Fn(usize) -> f64| {
        let rank = (0..DRAWS).filter(|it| value(*it) < true_value).count();
        match all.iter_mut().find(|it| it.parameter == parameter) {
            Some(it) => it.ranks.push(rank),
            None => all.push(Ranks { parameter, ranks: vec![rank] }),
        }
    };
    rank("shared pace".to_owned(), truth.shared, &|it| beliefs[it].shared);
    rank("spread".to_owned(), truth.spread, &|it| beliefs[it].spread);
    for (stage, it) in model.stages.iter().enumerate().take(asked.furthest + 1) {
        rank(format!("pace of {}", it.name), truth.own[stage], &|it| beliefs[it].own[stage]);
        let whole = truth.own[stage] + truth.shared;
        rank(format!("whole pace of {}", it.name), whole, &|it| beliefs[it].own[stage] + beliefs[it].shared);
        rank(format!("survival of {}", it.name), truth.survival[stage], &|it| beliefs[it].survival[stage]);
    }
}

/// How a brood came into the house.
#[derive(Debug, Clone, Copy)]
pub enum Came {
    /// As eggs, laid within so many days.
    EggsWithin(f64),
    /// As larvae of the second instar that had entered it at any time between two days, received on the second.
    LarvaeBetween(f64, f64),
    /// As eggs, half of them laid so many days after the rest, of which the book knows nothing.
    EggsOfTwoLayings(f64),
}

/// One animal in its box, and what the book last said of it.
struct Housed {
    life: Life,
    box_index: usize,
    stage: usize,
    out: bool,
}

/// A book of a keeper who opens most boxes on most mornings.
///
/// Who has moulted goes into a fresh box three times in four. Half of the looks count everybody, and then overlook
/// some of the young; the others only note who moulted. Bodies of the first two instars are never found, those of
/// later ones at the next look. Nobody sees into eggs and cocoons. Now and then somebody is given away. The book does
/// not know who is who: of one box and stage the first track goes first.
pub fn book(
    model: &BroodModel,
    truth: &Truth,
    (air, last_d): (&AirSeries, f64),
    (n, came): (u32, Came),
    dice: &mut Dice,
) -> (Tracked, usize) {
    let (started_stage, started, first_d) = match came {
        Came::EggsWithin(days) => (0, Window { earliest_d: 0.0, latest_d: days }, days + 0.5),
        Came::LarvaeBetween(from, to) => (2, Window { earliest_d: from, latest_d: to }, to),
        Came::EggsOfTwoLayings(later_d) => (0, Window { earliest_d: 0.0, latest_d: 1.0 }, later_d + 1.5),
    };
    let mut housed = Vec::new();
    while housed.len() < n as usize {
        let mut from_d = started.earliest_d + (started.latest_d - started.earliest_d) * dice.unit();
        if let Came::EggsOfTwoLayings(later_d) = came {
            from_d += if housed.len() % 2 == 1 { later_d } else { 0.0 };
        }
        // Only larvae that were still alive and in their instar could come, whatever their age.
        let life = loop {
            let it = life_from(model, truth, air.hourly_c(), (started_stage, from_d), dice);
            let fits = it.dies_d > first_d && it.entry.get(started_stage + 1).is_none_or(|it| *it > first_d);
            if started_stage == 0 || fits {
                break it;
            }
        };
        housed.push(Housed { life, box_index: 0, stage: started_stage, out: false });
    }
    let track = Track {
        started_stage,
        started,
        female_chance: None,
        here: true,
        boxes: Vec::new(),
        glances: Vec::new(),
    };
    let mut tracked = Tracked { looks_d: Vec::new(), tracks: vec![track; n as usize] };
    // Where the book believes each track to be.
    let mut pool: Vec<(usize, usize)> = vec![(0, started_stage); n as usize];
    let (mut at_d, mut furthest, mut boxes) = (first_d, started_stage, 1);
    let (pupa, moth) = (model.moth() - 1, model.moth());
    while at_d < last_d {
        let first = tracked.looks_d.is_empty();
        tracked.looks_d.push(at_d);
        let mut glance = vec![Glance::Unlooked; n as usize];
        for (it, (_, stage)) in glance.iter_mut().zip(&pool) {
            if *stage == usize::MAX {
                *it = Glance::Gone;
            } else if *stage == usize::MAX - 1 {
                *it = Glance::Dead;
            }
        }
        let fresh = boxes;
        for box_index in 0..fresh {
            if !first && dice.unit() < 0.2 {
                continue;
            }
            let counted = dice.unit() < 0.5;
            for it in pool.iter().zip(glance.iter_mut()).filter(|(it, _)| it.0 == box_index) {
                let ((_, stage), glance) = it;
                // Until somebody is seen, nobody of the box has gone on.
                let hidden = *stage == 0 || *stage >= pupa - 1;
                *glance = match *stage {
                    stage if stage == moth => Glance::Alive(stage),
                    stage if first && stage > 0 => Glance::Alive(stage),
                    _ if counted && !hidden => Glance::NotFound,
                    stage if stage >= pupa - 1 => Glance::NotBeyond(pupa),
                    stage => Glance::NotBeyond(stage),
                };
            }
            for animal in &mut housed {
                if animal.out || animal.box_index != box_index || first || animal.stage == moth {
                    continue;
                }
                let now = animal.life.entry.iter().rposition(|it| *it <= at_d).unwrap();
                let place = |glance: &[Glance], pool: &[(usize, usize)], free: bool| {
                    let own = (box_index, animal.stage);
                    let open = |it: &usize| !free || !(glance[*it].is_alive() || glance[*it] == Glance::Dead);
                    (0..pool.len()).filter(|it| pool[*it] == own).find(open).unwrap()
                };
                if animal.life.dies_d <= at_d {
                    let died_in = animal.life.entry.iter().rposition(|it| *it <= animal.life.dies_d).unwrap();
                    if (3..pupa - 1).contains(&died_in) && now >= animal.stage && animal.stage < pupa - 1 {
                        let track = place(&glance, &pool, true);
                        glance[track] = Glance::Dead;
                        pool[track] = (usize::MAX, usize::MAX - 1);
                        animal.out = true;
                    }
                    continue;
                }
                let overlooked = counted
                    && now < pupa - 1
                    && model.stages.get(now).is_some_and(|it| dice.unit() < it.overlooked);
                if overlooked && animal.stage > 0 {
                    continue;
                }
                let track = place(&glance, &pool, true);
                // In the cocoon nothing shows before the moth; who is first found in one may have pupated.
                let shows = if now == pupa { animal.stage.max(pupa - 1) } else { now };
                if shows > animal.stage {
                    let spun = shows == pupa - 1;
                    glance[track] = if spun { Glance::Between(shows, pupa) } else { Glance::Alive(shows) };
                    furthest = furthest.max(shows);
                    let into = if dice.unit() < 0.75 { fresh } else { box_index };
                    (animal.box_index, animal.stage) = (into, shows);
                    boxes = boxes.max(into + 1);
                    pool[track] = (into, shows);
                } else if counted && animal.stage > 0 && animal.stage < pupa - 1 {
                    glance[track] = Glance::Alive(animal.stage);
                }
                // Only those that are seen to live are given away.
                if (1..pupa - 1).contains(&animal.stage) && dice.unit() < 0.004 {
                    animal.out = true;
                    pool[track] = (usize::MAX, usize::MAX);
                    glance[track] = Glance::Alive(animal.stage);
                }
            }
        }
        for ((track, glance), (box_index, _)) in tracked.tracks.iter_mut().zip(glance).zip(&pool) {
            track.glances.push(glance);
            track.boxes.push((*box_index != usize::MAX).then_some(*box_index));
        }
        at_d += 0.9 + 0.2 * dice.unit();
    }
    for (track, (box_index, _)) in tracked.tracks.iter_mut().zip(&pool) {
        track.here = *box_index != usize::MAX;
    }
    (tracked, furthest)
}
