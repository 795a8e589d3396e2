//! Broods and rooms for the tests; every number is invented.
#![allow(dead_code, clippy::unwrap_used, reason = "each test file uses its own part and may panic")]

use science::phenology::{
    AirSeries, BetaPrior, BroodModel, Clocks, Group, HORIZON_D, Known, Living, MothNights, Nights, Outlook,
    OutlookError, RateCurve, Reading, Room, Shock, StageKind, StageModel, Window,
};

/// One stage above 10 degrees.
pub fn stage(name: &str, kind: StageKind, constant_dd: f64, spread_cv: f64, survival: f64) -> StageModel {
    StageModel {
        name: name.to_owned(),
        kind,
        rate: RateCurve::Linear { lower_c: 10.0, upper_c: 30.0, constant_dd },
        spread_cv,
        stage_pace_sd: 0.0,
        survival: BetaPrior { mean: survival, weight: f64::INFINITY },
        overlooked: 0.0,
        moult_share: 0.0,
    }
}

fn model_of(stages: Vec<StageModel>) -> BroodModel {
    let life = Nights { mean: 7.0, sd: 0.0 };
    BroodModel {
        stages,
        shared_pace_sd: 0.0,
        rank_correlation: 0.5,
        female_share: 0.5,
        female_pupa_factor: 1.0,
        moth_nights: MothNights { male: life, female: life },
        winter: None,
        shock: Shock::NONE,
    }
}

/// Nobody differs and nobody dies; the last stage is the pupa, the others are instars.
pub fn plain_model(needs_dd: &[f64]) -> BroodModel {
    let last = needs_dd.len() - 1;
    let kind = |it: usize| if it == last { StageKind::Pupa } else { StageKind::Larva };
    let stages =
        needs_dd.iter().enumerate().map(|(it, dd)| stage(&format!("S{it}"), kind(it), *dd, 0.0, 1.0));
    model_of(stages.collect())
}

/// A whole life with everything uncertain.
pub fn brood_model(spread_cv: f64) -> BroodModel {
    let mut model = model_of(vec![
        stage("egg", StageKind::Egg, 100.0, spread_cv, 0.9),
        stage("L1", StageKind::Larva, 50.0, spread_cv, 0.85),
        stage("L2", StageKind::Larva, 45.0, spread_cv, 0.95),
        stage("L3", StageKind::Larva, 55.0, spread_cv, 0.95),
        stage("L4", StageKind::Larva, 90.0, spread_cv, 0.9),
        stage("spinning", StageKind::Spinning, 40.0, spread_cv, 0.95),
        stage("pupa", StageKind::Pupa, 200.0, spread_cv, 0.9),
    ]);
    model.shared_pace_sd = 0.08;
    for it in &mut model.stages {
        it.stage_pace_sd = 0.05;
        it.survival.weight = 10.0;
        it.moult_share = if it.kind == StageKind::Larva { 0.2 } else { 0.0 };
    }
    model.stages[4].moult_share = 0.0;
    model.moth_nights.male.sd = 1.5;
    model.moth_nights.female.sd = 2.0;
    model
}

/// Hourly readings of a sine wave, coldest at four in the morning.
pub fn wavy_air(start_d: f64, days: f64, mean_c: f64, swing_c: f64) -> AirSeries {
    let readings: Vec<Reading> = (0..=(days * 24.0) as u32)
        .map(|hour| {
            let at_d = start_d + f64::from(hour) / 24.0;
            Reading { at_d, air_c: mean_c + swing_c * ((at_d - 10.0 / 24.0) * std::f64::consts::TAU).sin() }
        })
        .collect();
    AirSeries::from_readings(&readings).unwrap()
}

/// A room that was and stays at 20 degrees, that is 10 degree-days a day for the stages made here.
pub fn constant_clocks(model: &BroodModel, from_d: f64, asof_d: f64) -> Clocks {
    let air = AirSeries::constant(from_d.floor(), asof_d - from_d.floor() + 1.0, 20.0).unwrap();
    let room = Room { air: &air, outlook: &Outlook::Thermostat { air_c: 20.0 }, error: OutlookError::NONE };
    Clocks::new(&model.curves(), &room, from_d, asof_d, HORIZON_D).unwrap()
}

/// Animals of the first stage that began it at an instant.
pub fn eggs(n: u32, at_d: f64, box_index: usize) -> Living {
    let group = Group { stage: 0, n, box_index, known: Known::Entered(Window::at(at_d)), sex: None };
    Living { groups: vec![group], ..Living::default() }
}
