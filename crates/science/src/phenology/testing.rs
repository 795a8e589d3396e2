//! Small models for the tests of this folder.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use super::air::AirSeries;
use super::clocks::{Clocks, Room};
use super::model::{BetaPrior, BroodModel, MothNights, Nights, Shock, StageKind, StageModel};
use super::outlook::{Outlook, OutlookError};
use super::rate::RateCurve;

/// Stages of 50 degree-days above 10 degrees, nobody differs, nobody dies.
pub(crate) fn plain_model(stages: usize) -> BroodModel {
    let stage = |it: usize| StageModel {
        name: format!("S{it}"),
        kind: if it + 1 == stages { StageKind::Pupa } else { StageKind::Larva },
        rate: RateCurve::Linear { lower_c: 10.0, upper_c: 30.0, constant_dd: 50.0 },
        spread_cv: 0.0,
        stage_pace_sd: 0.0,
        survival: BetaPrior { mean: 1.0, weight: 10.0 },
        overlooked: 0.0,
        moult_share: 0.0,
    };
    let life = Nights { mean: 6.0, sd: 0.0 };
    BroodModel {
        stages: (0..stages).map(stage).collect(),
        shared_pace_sd: 0.0,
        rank_correlation: 0.5,
        female_share: 0.5,
        female_pupa_factor: 1.0,
        moth_nights: MothNights { male: life, female: life },
        winter: None,
        shock: Shock::NONE,
    }
}

/// A room that was and stays at one temperature.
pub(crate) fn constant_room(model: &BroodModel, from_d: f64, asof_d: f64, air_c: f64) -> Clocks {
    let air = AirSeries::constant(from_d, asof_d - from_d + 1.0, air_c).unwrap();
    let room = Room { air: &air, outlook: &Outlook::Thermostat { air_c }, error: OutlookError::NONE };
    Clocks::new(&model.curves(), &room, from_d, asof_d, 400.0).unwrap()
}
