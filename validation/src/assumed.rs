//! What is assumed of the invented kind: the truth of every brood is drawn from it, and the engine is told it.

use serde_json::{Value, json};

/// One stage before the moth.
#[derive(Debug, Clone, Copy)]
pub struct StageAssumed {
    /// As the brood file calls it.
    pub name: &'static str,
    /// No development below it, degrees.
    pub lower_c: f64,
    /// No faster above it, degrees.
    pub upper_c: f64,
    /// Degree-days that the middle animal takes.
    pub constant_dd: f64,
    /// Spread between animals, as a share of the mean.
    pub spread_cv: f64,
    /// Share that comes through.
    pub survival: f64,
    /// Chance to overlook a living animal at a count.
    pub overlooked: f64,
}

const fn stage(
    name: &'static str,
    constant_dd: f64,
    spread_cv: f64,
    survival: f64,
    overlooked: f64,
) -> StageAssumed {
    StageAssumed { name, lower_c: 8.5, upper_c: 32.0, constant_dd, spread_cv, survival, overlooked }
}

/// Number of stages before the moth.
pub const STAGES: usize = 8;
/// Index of the moth.
pub const MOTH: usize = STAGES;
/// The stages of the invented kind. Round numbers, no claim about any species.
pub const KIND: [StageAssumed; STAGES] = [
    stage("egg", 135.0, 0.05, 0.90, 0.0),
    stage("L1", 70.0, 0.10, 0.85, 0.04),
    stage("L2", 60.0, 0.10, 0.92, 0.02),
    stage("L3", 65.0, 0.10, 0.94, 0.01),
    stage("L4", 80.0, 0.10, 0.94, 0.0),
    stage("L5", 130.0, 0.10, 0.90, 0.0),
    stage("spinning", 60.0, 0.12, 0.95, 0.0),
    stage("pupa", 240.0, 0.06, 0.92, 0.0),
];
/// Share of a delicate kind that comes through each stage.
const DELICATE: [f64; STAGES] = [0.75, 0.60, 0.80, 0.85, 0.85, 0.70, 0.90, 0.80];

/// The stages as a world has them. A delicate kind makes the odds of a pair a question.
#[must_use]
pub fn stages(delicate: bool) -> [StageAssumed; STAGES] {
    let mut stages = KIND;
    if delicate {
        for (stage, survival) in stages.iter_mut().zip(DELICATE) {
            stage.survival = survival;
        }
    }
    stages
}

/// Index of the stage after the egg.
pub const FIRST_LARVA: usize = 1;
/// Index of the last stage that eats.
pub const LAST_LARVA: usize = 5;

/// Spread of the pace of whole broods, on the log scale.
pub const SHARED_PACE_SD: f64 = 0.08;
/// Spread of the pace of single stages, on the log scale.
pub const STAGE_PACE_SD: f64 = 0.05;
/// How far a slow animal stays slow.
pub const RANK_CORRELATION: f64 = 0.6;
/// Share of females.
pub const FEMALE_SHARE: f64 = 0.5;
/// Females take so much longer in the pupa.
pub const FEMALE_PUPA_FACTOR: f64 = 1.05;
/// Mean and spread of the nights a male moth lives.
pub const MALE_NIGHTS: (f64, f64) = (7.0, 1.6);
/// Mean and spread of the nights a female moth lives.
pub const FEMALE_NIGHTS: (f64, f64) = (9.0, 2.0);
/// Animals' worth of knowledge behind each survival.
pub const SURVIVAL_WEIGHT: f64 = 10.0;

/// The name of a stage, the moth included.
#[must_use]
pub fn stage_name(stage: usize) -> &'static str {
    KIND.get(stage).map_or("moth", |it| it.name)
}

/// The assumptions as the brood file says them.
#[must_use]
pub fn told(delicate: bool) -> Value {
    let stages: Vec<Value> = stages(delicate)
        .iter()
        .map(|it| {
            json!({
                "stage": it.name, "lower_c": it.lower_c, "upper_c": it.upper_c,
                "constant_dd": it.constant_dd, "spread_cv": it.spread_cv, "survival": it.survival,
            })
        })
        .collect();
    let overlooked = KIND.iter().filter(|it| it.overlooked > 0.0);
    let overlooked: serde_json::Map<String, Value> =
        overlooked.map(|it| (it.name.to_owned(), json!(it.overlooked))).collect();
    json!({
        "stages": stages,
        "shared_pace_sd": SHARED_PACE_SD,
        "stage_pace_sd": STAGE_PACE_SD,
        "rank_correlation": RANK_CORRELATION,
        "female_share": FEMALE_SHARE,
        "female_pupa_factor": FEMALE_PUPA_FACTOR,
        "moth_nights": {
            "male": {"mean": MALE_NIGHTS.0, "sd": MALE_NIGHTS.1},
            "female": {"mean": FEMALE_NIGHTS.0, "sd": FEMALE_NIGHTS.1},
        },
        "overlooked": overlooked,
        "survival_weight": SURVIVAL_WEIGHT,
    })
}
