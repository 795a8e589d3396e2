//! What the forecast costs, in nanoseconds per unit of work: CPU time of this process, the least of several runs.
//!
//! Compare figures of one run on one machine only. `cargo bench -p cocoonery-science` runs all,
//! `cargo bench -p cocoonery-science -- counts` those whose name holds the word.

#![expect(clippy::disallowed_methods, reason = "a bench is there to read the clock")]
#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a bench may panic and prints its figures")]

#[path = "../tests/common/cohort.rs"]
mod cohort;
#[path = "../tests/common/mod.rs"]
mod common;

use common::{brood_model, wavy_air};
use science::dice::Dice;
use science::phenology::census::{census, expected};
use science::phenology::{
    Ask, BoxCount, BroodModel, Clock, Clocks, Group, HORIZON_D, Known, Living, Outlook, OutlookError,
    RateCurve, Room, Simulator, Watched, Window, forecast,
};
use std::hint::black_box;
use std::time::Instant;

const REPEATS: usize = 7;
/// One measurement takes about this long, nanoseconds.
const LEAST_NS: u128 = 60_000_000;

fn main() {
    let wanted: Vec<String> = std::env::args().skip(1).filter(|it| !it.starts_with("--")).collect();
    let is_wanted = |name: &str| wanted.is_empty() || wanted.iter().any(|it| name.contains(it.as_str()));
    let report = |name: &str, unit: &str, units: usize, work: &mut dyn FnMut()| {
        if !is_wanted(name) {
            return;
        }
        // The system counts in ticks of some milliseconds: short work is done often enough to be counted.
        let once = Instant::now();
        work();
        let times = (LEAST_NS / once.elapsed().as_nanos().max(1)).clamp(1, 10_000) as u64;
        let measure = |_| {
            let start = cpu_ns();
            (0..times).for_each(|_| work());
            (cpu_ns() - start) / times
        };
        let least = (0..REPEATS).map(measure).min().unwrap();
        println!(
            "{name:44} {:>10.1} ns per {unit:24} {:>9.2} ms in all",
            least as f64 / units as f64,
            least as f64 / 1e6
        );
    };

    let hours = 24 * 365;
    let hourly_c: Vec<f64> = wavy_air(0.0, 365.0, 18.0, 5.0).hourly_c().to_vec();
    let curve = RateCurve::Linear { lower_c: 10.0, upper_c: 30.0, constant_dd: 1.0 };
    report("clock: a year of hours", "hour", hours, &mut || {
        black_box(Clock::new(&curve, 0.0, black_box(&hourly_c)));
    });
    let clock = Clock::new(&curve, 0.0, &hourly_c);
    let mut dice = Dice::seeded(1);
    let asked: Vec<f64> = (0..100_000).map(|_| dice.unit() * clock.total()).collect();
    report("clock: look up the inverse", "look-up", asked.len(), &mut || {
        black_box(asked.iter().filter_map(|it| clock.when(*it)).sum::<f64>());
    });

    let model = counted_model();
    let air = wavy_air(0.0, 100.0, 18.0, 5.0);
    let outlook = Outlook::Thermostat { air_c: 19.0 };
    let room = Room { air: &air, outlook: &outlook, error: OutlookError::usual(&outlook) };
    let curves = model.curves();
    report("clocks: 30 days past, 400 ahead, 9 futures", "set of clocks", 1, &mut || {
        black_box(Clocks::new(&curves, &room, 0.0, 30.0, HORIZON_D).unwrap());
    });
    for (n, runs) in [(9, 10_000), (100, 2000), (1000, 200)] {
        let clocks = Clocks::new(&curves, &room, 0.0, 0.0, HORIZON_D).unwrap();
        let living = entered(n, 0.0, 0.0);
        let simulator = Simulator::new(&model, &clocks, &living, ask(runs)).unwrap();
        let mut bench = simulator.bench();
        report(&format!("seasons from the egg, n = {n}"), "animal", (n * runs) as usize, &mut || {
            for run in 0..runs {
                simulator.season(run, &mut bench);
            }
        });
        report(&format!("forecast from the egg, n = {n}"), "animal", (n * runs) as usize, &mut || {
            black_box(forecast(&model, &clocks, &living, ask(runs)).unwrap());
        });
    }
    for n in [9, 60] {
        let clocks = Clocks::new(&curves, &room, 0.0, 20.0, HORIZON_D).unwrap();
        let living = entered(n, 17.0, 19.0);
        report(&format!("forecast with entry windows, n = {n}"), "animal", (n * 2000) as usize, &mut || {
            black_box(forecast(&model, &clocks, &living, ask(2000)).unwrap());
        });
    }
    for (n, counts) in [(9, 12), (20, 12), (60, 12), (60, 4), (300, 12)] {
        let (clocks, living) = watched(&model, n, counts, &room);
        let runs = (80_000 / n).clamp(600, 2000);
        report(
            &format!("forecast with {counts} counts, n = {n}"),
            "animal",
            (n * runs) as usize,
            &mut || {
                black_box(forecast(&model, &clocks, &living, ask(runs)).unwrap());
            },
        );
    }
    let (cohort_model, hourly_c) = (cohort::cohort(), cohort::air_c());
    for (n, runs) in [(9, 100_000), (100, 10_000), (1000, 1000)] {
        let asked = cohort::ask(n, runs);
        let name = format!("census of {n}, {runs} cohorts");
        if is_wanted(&name) {
            let made = census(&cohort_model, &hourly_c, asked).unwrap();
            // A wrong fast answer is no answer.
            assert_eq!(cohort::faults(&made, n), Vec::<String>::new());
        }
        report(&name, "animal", (n * runs) as usize, &mut || {
            black_box(census(&cohort_model, &hourly_c, asked).unwrap());
        });
    }
    report("chances of a cohort, without dice", "answer", 1, &mut || {
        black_box(expected(&cohort_model, &hourly_c, 8.0, 22.0).unwrap());
    });
    for n in [9, 1000, 30_000] {
        report(&format!("the same with all quantiles, n = {n}"), "answer", 1, &mut || {
            let sure = expected(&cohort_model, &hourly_c, 8.0, 22.0).unwrap();
            black_box(cohort::quantile_sum(|stage, day| sure.quantiles(n, stage, day)));
        });
    }
    if is_wanted("worth") {
        for (n, counts) in [(9, 12), (20, 12), (60, 12), (60, 5), (300, 12)] {
            run_to_run(&model, n, counts, &room);
        }
    }
}

/// How many independent draws the learning is worth: twenty seeds, the variance of a mean between them.
///
/// The nominal count of draws says nothing here; only what differs from seed to seed does.
fn run_to_run(model: &BroodModel, n: u32, counts: u32, room: &Room<'_>) {
    const SEEDS: u64 = 20;
    let (clocks, living) = watched(model, n, counts, room);
    let runs = (80_000 / n).clamp(600, 2000);
    let start = cpu_ns();
    let mut means = [const { Vec::new() }; 4];
    let mut within = [0.0; 4];
    let mut said = 0.0;
    let mut dates: Vec<(usize, f64, f64)> = Vec::new();
    for seed in 0..SEEDS {
        let simulator = Simulator::new(model, &clocks, &living, Ask { runs, seed, threads: 1 }).unwrap();
        let answer = simulator.forecast();
        said += answer.learned.effective_runs / SEEDS as f64;
        let beliefs: Vec<_> = (0..runs as usize).map(|it| simulator.belief(it).unwrap()).collect();
        let numbers: [Vec<f64>; 4] = [
            beliefs.iter().map(|it| it.shared + it.own[2]).collect(),
            beliefs.iter().map(|it| it.shared + it.own[4]).collect(),
            beliefs.iter().map(|it| it.spread.ln()).collect(),
            beliefs.iter().map(|it| it.survival[1]).collect(),
        ];
        for stage in [5, model.moth()] {
            if let Some(it) = answer.brood.stage(stage) {
                dates.push((stage, it.middle.q50, (it.middle.q75 - it.middle.q25) / 1.349));
            }
        }
        for (place, all) in numbers.iter().enumerate() {
            let mean = all.iter().sum::<f64>() / all.len() as f64;
            within[place] +=
                all.iter().map(|it| (it - mean).powi(2)).sum::<f64>() / all.len() as f64 / SEEDS as f64;
            means[place].push(mean);
        }
    }
    let seconds = (cpu_ns() - start) as f64 / 1e9 / SEEDS as f64;
    let worth = |place: usize| {
        let mean = means[place].iter().sum::<f64>() / SEEDS as f64;
        let between = means[place].iter().map(|it| (it - mean).powi(2)).sum::<f64>() / (SEEDS - 1) as f64;
        within[place] / between
    };
    // The median of a normal sample of n scatters with pi / 2 of its variance over n.
    let of_date = |stage: usize| {
        let own: Vec<&(usize, f64, f64)> = dates.iter().filter(|it| it.0 == stage).collect();
        let n = own.len() as f64;
        let mean = own.iter().map(|it| it.1).sum::<f64>() / n;
        let between = own.iter().map(|it| (it.1 - mean).powi(2)).sum::<f64>() / (n - 1.0);
        let within = own.iter().map(|it| it.2 * it.2).sum::<f64>() / n;
        (1.571 * within / between, between.sqrt() * 24.0)
    };
    let ((spins, spins_h), (moth, moth_h)) = (of_date(5), of_date(model.moth()));
    println!(
        "dates: spinning {spins:.0} draws (to {spins_h:.2} h), moths {moth:.0} draws (to {moth_h:.2} h)"
    );
    println!(
        "worth of {runs} runs, {counts:2} counts, n = {n:3}: pace L2 {:6.0}, pace L4 {:6.0}, spread {:6.0}, survival {:6.0} draws; said {said:5.0}; {:.0} ms",
        worth(0),
        worth(1),
        worth(2),
        worth(3),
        seconds * 1e3
    );
}

fn ask(runs: u32) -> Ask {
    Ask { runs, seed: 1, threads: 1 }
}

/// Central processing time of this process, nanoseconds; the wall where the system does not say.
fn cpu_ns() -> u64 {
    static START: std::sync::OnceLock<Instant> = std::sync::OnceLock::new();
    let wall = || START.get_or_init(Instant::now).elapsed().as_nanos() as u64;
    let told = std::fs::read_to_string("/proc/self/schedstat").ok();
    told.and_then(|it| it.split(' ').next()?.parse().ok()).unwrap_or_else(wall)
}

fn counted_model() -> BroodModel {
    let mut model = brood_model(0.1);
    (model.stages[1].overlooked, model.stages[2].overlooked) = (0.04, 0.02);
    model.female_pupa_factor = 1.05;
    model
}

fn entered(n: u32, earliest_d: f64, latest_d: f64) -> Living {
    let known = Known::Entered(Window { earliest_d, latest_d });
    let stage = usize::from(latest_d > 0.0) * 2;
    Living { groups: vec![Group { stage, n, box_index: 0, known, sex: None }], ..Living::default() }
}

/// A brood simulated from the model itself and counted every two and a half days, the last time in the fourth instar.
fn watched(model: &BroodModel, n: u32, counts: u32, room: &Room<'_>) -> (Clocks, Living) {
    let clocks = Clocks::new(&model.curves(), room, 0.0, 0.0, HORIZON_D).unwrap();
    let living = entered(n, 0.0, 0.0);
    let simulator = Simulator::new(model, &clocks, &living, ask(20)).unwrap();
    let mut bench = simulator.bench();
    simulator.season(7, &mut bench);
    let step_d = 30.0 / f64::from(counts);
    let count = |number: u32| {
        let at_d = step_d * f64::from(number);
        let mut seen = vec![0; model.moth() + 1];
        for animal in 0..bench.lives.animals() {
            if let Some(stage) = bench.lives.stage_at(animal, at_d) {
                seen[stage] += 1;
            }
        }
        BoxCount { at_d, seen }
    };
    let counts: Vec<BoxCount> = (1..=counts).map(count).collect();
    let asof_d = counts.last().unwrap().at_d;
    let watched = Watched { started_d: 0.0, started_stage: 0, n, box_index: 0, counts };
    let clocks = Clocks::new(&model.curves(), room, 0.0, asof_d, HORIZON_D).unwrap();
    (clocks, Living { watched: vec![watched], ..Living::default() })
}
