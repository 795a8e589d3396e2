//! A brood asked from files, without a book: `cocoonery calendar --brood ... --readings ...`.
//!
//! The names of the fields are a contract that scripts rely on; they are only
//! ever added to.

use crate::air_words::air_in_words;
use crate::frame::{Frame, NotATime};
use crate::model::{HouseNumbers, brood_model};
use evidence::Library;
use science::closing::{self, OddsAsk};
use science::phenology::{
    AirFault, AirSeries, Ask, BetaPrior, BoxCount, BroodModel, ClockFault, Clocks, Forecast, ForecastFault,
    Group, HORIZON_D, Known, Living, MothNights, Nights, Outlook, OutlookError, Quantiles, RateCurve,
    Reading, Room, Shock, StageKind, StageModel, Unlike, Warning, Watched, Window, forecast,
};
use serde::Deserialize;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;

/// Animals' worth of knowledge behind a survival that comes without a weight.
const SURVIVAL_WEIGHT: f64 = 10.0;
/// How many days back the future room is taken from, where no later readings are given.
const OUTLOOK_DAYS: u32 = 7;

/// How to ask.
#[derive(Debug, Clone, Copy)]
pub struct Asked {
    /// Possible seasons to run.
    pub runs: u32,
    /// The dice.
    pub seed: u64,
    /// Threads; the answer does not depend on it.
    pub threads: usize,
}

/// Why a brood file has no answer. Nothing is computed then.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BadBrood {
    /// The JSON cannot be read.
    #[error("the brood cannot be read: {0}")]
    Json(String),
    /// A line of the readings cannot be read.
    #[error("readings, line {line}: {says}")]
    Reading {
        /// The line, from 1.
        line: usize,
        /// What is wrong.
        says: String,
    },
    /// A time cannot be read.
    #[error("{place}: {fault}")]
    Time {
        /// Which field.
        place: String,
        /// What is wrong.
        fault: NotATime,
    },
    /// A stage that the brood does not have.
    #[error("{place}: `{stage}` is none of the stages {known}")]
    Stage {
        /// Which field.
        place: String,
        /// What was written.
        stage: String,
        /// The stages there are.
        known: String,
    },
    /// More animals than there were.
    #[error("{place}: {alive} alive, but only {animals} were started")]
    TooMany {
        /// Which field.
        place: String,
        /// How many were said to be alive.
        alive: u64,
        /// How many were started.
        animals: u32,
    },
    /// Neither assumptions nor a species that is known.
    #[error("say `assume`, or a `species` that has a profile; `{0}` has none")]
    Species(String),
    /// The readings cannot carry a forecast.
    #[error("the readings: {0}")]
    Air(#[from] AirFault),
    /// The clocks cannot be made.
    #[error("the readings: {0}")]
    Clock(#[from] ClockFault),
    /// A number of the model or of the counts cannot be used.
    #[error("{0}")]
    Forecast(#[from] ForecastFault),
    /// Something happened before it could.
    #[error("{place} lies {what}")]
    Order {
        /// Which field.
        place: String,
        /// Before or after what.
        what: &'static str,
    },
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Brood {
    assume: Option<Assume>,
    species: Option<String>,
    started: Started,
    #[serde(default)]
    counts: Vec<Count>,
    asof: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Assume {
    stages: Vec<Stage>,
    shared_pace_sd: f64,
    stage_pace_sd: f64,
    rank_correlation: f64,
    female_share: f64,
    female_pupa_factor: f64,
    moth_nights: Moths,
    #[serde(default)]
    overlooked: BTreeMap<String, f64>,
    survival_weight: Option<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Stage {
    stage: String,
    lower_c: f64,
    upper_c: f64,
    constant_dd: f64,
    spread_cv: f64,
    survival: f64,
    survival_weight: Option<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Moths {
    male: Life,
    female: Life,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Life {
    mean: f64,
    sd: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Started {
    at: String,
    stage: String,
    animals: u32,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Count {
    at: String,
    alive: BTreeMap<String, u32>,
}

/// Answers a brood file. The library is opened only for a brood that names a species.
///
/// # Errors
/// [`BadBrood`] names the field or the line.
pub fn answer(
    brood_json: &str,
    readings_csv: &str,
    asked: Asked,
    library: fn() -> &'static Library,
) -> Result<Value, BadBrood> {
    let brood: Brood = serde_json::from_str(brood_json).map_err(|it| BadBrood::Json(it.to_string()))?;
    let frame = Frame::of(&brood.asof);
    let time = |place: &str, words: &str| {
        frame.day_number(words).map_err(|fault| BadBrood::Time { place: place.to_owned(), fault })
    };
    let model = match (&brood.assume, &brood.species) {
        (Some(assume), _) => assumed(assume),
        (None, Some(species)) => {
            let profile = library().profile(species);
            let numbers = HouseNumbers::of(library());
            profile
                .and_then(|it| brood_model(it, &numbers, None))
                .ok_or_else(|| BadBrood::Species(species.clone()))?
        }
        (None, None) => return Err(BadBrood::Species(String::new())),
    };
    let asof_d = time("asof", &brood.asof)?;
    let started_d = time("started.at", &brood.started.at)?;
    if started_d > asof_d {
        return Err(BadBrood::Order { place: "started.at".to_owned(), what: "after asof" });
    }
    let living = living(&brood, &model, started_d, asof_d, &time)?;
    let readings = readings(readings_csv, &frame)?;
    let clocks = clocks(&model, &readings, started_d, asof_d)?;
    let ask = Ask { runs: asked.runs, seed: asked.seed, threads: asked.threads };
    let made = forecast(&model, &clocks, &living, ask)?;
    let mut hasher = Sha256::new();
    hasher.update(brood_json.as_bytes());
    hasher.update([0]);
    hasher.update(readings_csv.as_bytes());
    let mut answer = in_json(&made, &model, &frame, asked, &hasher.finalize());
    let rest = brood.species.as_ref().filter(|_| brood.assume.is_none()).and_then(|it| library().profile(it));
    let air = air_in_words(clocks.notes(), |at_d| frame.words(at_d));
    if let Some(warnings) = answer.get_mut("warnings").and_then(Value::as_array_mut) {
        warnings.extend(rest.and_then(rest_left_out).map(|it| json!(it)));
        warnings.extend(air.iter().map(|it| json!(it)));
    }
    Ok(answer)
}

fn assumed(assume: &Assume) -> BroodModel {
    let last = assume.stages.iter().filter(|it| is_larva(&it.stage)).count();
    let mut instar = 0;
    let stages = assume.stages.iter().map(|it| {
        let larva = is_larva(&it.stage);
        instar += usize::from(larva);
        StageModel {
            name: it.stage.clone(),
            kind: match it.stage.as_str() {
                "egg" => StageKind::Egg,
                "spinning" => StageKind::Spinning,
                "pupa" => StageKind::Pupa,
                _ => StageKind::Larva,
            },
            rate: RateCurve::Linear { lower_c: it.lower_c, upper_c: it.upper_c, constant_dd: it.constant_dd },
            spread_cv: it.spread_cv,
            stage_pace_sd: assume.stage_pace_sd,
            survival: BetaPrior {
                mean: it.survival,
                weight: it.survival_weight.or(assume.survival_weight).unwrap_or(SURVIVAL_WEIGHT),
            },
            overlooked: assume.overlooked.get(&it.stage).copied().unwrap_or(0.0),
            moult_share: if larva && instar < last { 0.2 } else { 0.0 },
        }
    });
    let nights = |it: &Life| Nights { mean: it.mean, sd: it.sd };
    BroodModel {
        stages: stages.collect(),
        shared_pace_sd: assume.shared_pace_sd,
        rank_correlation: assume.rank_correlation,
        female_share: assume.female_share,
        female_pupa_factor: assume.female_pupa_factor,
        moth_nights: MothNights {
            male: nights(&assume.moth_nights.male),
            female: nights(&assume.moth_nights.female),
        },
        winter: None,
        shock: Shock::NONE,
    }
}

fn is_larva(stage: &str) -> bool {
    stage.strip_prefix('L').is_some_and(|it| it.parse::<u8>().is_ok())
}

fn stage_of(model: &BroodModel, place: &str, word: &str) -> Result<usize, BadBrood> {
    if word == "moth" {
        return Ok(model.moth());
    }
    model.stages.iter().position(|it| it.name == word).ok_or_else(|| {
        let known: Vec<&str> = model.stages.iter().map(|it| it.name.as_str()).chain(["moth"]).collect();
        BadBrood::Stage { place: place.to_owned(), stage: word.to_owned(), known: known.join(", ") }
    })
}

/// Who was started, and every count up to `asof`.
fn living(
    brood: &Brood,
    model: &BroodModel,
    started_d: f64,
    asof_d: f64,
    time: &impl Fn(&str, &str) -> Result<f64, BadBrood>,
) -> Result<Living, BadBrood> {
    let started_stage = stage_of(model, "started.stage", &brood.started.stage)?;
    let animals = brood.started.animals;
    let mut counts = Vec::new();
    for (index, count) in brood.counts.iter().enumerate() {
        let place = format!("counts[{index}]");
        let at_d = time(&format!("{place}.at"), &count.at)?;
        if at_d < started_d {
            return Err(BadBrood::Order {
                place: format!("{place}.at"),
                what: "before the brood was started",
            });
        }
        let mut seen = vec![0; model.moth() + 1];
        for (word, n) in &count.alive {
            let stage = stage_of(model, &format!("{place}.alive"), word)?;
            if stage < started_stage && *n > 0 {
                return Err(BadBrood::Order {
                    place: format!("{place}.alive.{word}"),
                    what: "before the stage in which the brood was started",
                });
            }
            seen[stage] = *n;
        }
        let alive: u64 = seen.iter().map(|n| u64::from(*n)).sum();
        if alive > u64::from(animals) {
            return Err(BadBrood::TooMany { place: format!("{place}.alive"), alive, animals });
        }
        if at_d <= asof_d {
            counts.push(BoxCount { at_d, seen });
        }
    }
    if counts.is_empty() {
        let known = Known::LastSeen { window: Window::at(started_d), seen_d: started_d };
        let group = Group { stage: started_stage, n: animals, box_index: 0, known, sex: None };
        return Ok(Living { groups: vec![group], ..Living::default() });
    }
    let watched = Watched { started_d, started_stage, n: animals, box_index: 0, counts };
    Ok(Living { watched: vec![watched], ..Living::default() })
}

/// Reads `at,air_c`; every line must be right, for a forecast from half a file
/// would be a quiet lie.
fn readings(text: &str, frame: &Frame) -> Result<Vec<Reading>, BadBrood> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut lines = text.lines().enumerate();
    let bad = |line: usize, says: String| BadBrood::Reading { line: line + 1, says };
    match lines.next() {
        Some((_, header)) if header.trim() == "at,air_c" => {}
        _ => return Err(bad(0, "the first line must read at,air_c".to_owned())),
    }
    let mut readings = Vec::new();
    for (line, row) in lines.filter(|(_, row)| !row.trim().is_empty()) {
        let (at, air) = row.split_once(',').ok_or_else(|| bad(line, format!("`{row}` is not at,air_c")))?;
        let at_d = frame.day_number(at).map_err(|it| bad(line, it.to_string()))?;
        let air_c: f64 = air.trim().parse().map_err(|_| bad(line, format!("`{air}` is no temperature")))?;
        if !air_c.is_finite() {
            return Err(bad(line, format!("`{air}` is no temperature")));
        }
        readings.push(Reading { at_d, air_c });
    }
    readings.sort_by(|a, b| a.at_d.total_cmp(&b.at_d));
    Ok(readings)
}

/// Later rows than `asof` are the outlook; without them the last days go on.
fn clocks(model: &BroodModel, readings: &[Reading], started_d: f64, asof_d: f64) -> Result<Clocks, BadBrood> {
    let all = AirSeries::from_readings(readings)?;
    let outlook = match all.from(asof_d) {
        Some(later) if later.end_d() > asof_d + 0.5 => Outlook::Series(later),
        _ => Outlook::LastDays { days: OUTLOOK_DAYS as _ },
    };
    let error = OutlookError::of_record(&outlook, &all, asof_d);
    let room = Room { air: &all, outlook: &outlook, error };
    Ok(Clocks::new(&model.curves(), &room, started_d, asof_d, HORIZON_D)?)
}

/// A brood from files has no place and no year: which pupae rest is told in a book only.
fn rest_left_out(profile: &evidence::Profile) -> Option<&'static str> {
    match profile.winter.rest {
        evidence::Rest::Pupa => {
            Some("pupae of this kind rest over winter; a brood from files is forecast as if none did")
        }
        evidence::Rest::Facultative => Some(
            "some pupae of this kind may rest over winter; a brood from files is forecast as if none did",
        ),
        evidence::Rest::Egg => {
            Some("eggs of this kind rest over winter; a brood from files counts from the day it was started")
        }
        evidence::Rest::None | evidence::Rest::Unknown => None,
    }
}

/// What is odd about the counts, in a sentence.
pub(crate) fn unlike_in_words(it: Unlike) -> &'static str {
    match it {
        Unlike::Pace => {
            "the counts look like nothing the model expects: the brood is far quicker or slower than assumed; check the thermometer, the start and the species"
        }
        Unlike::Spread => {
            "the counts look like nothing the model expects: the animals differ far more than assumed; perhaps they were not laid together, or stand in two rooms"
        }
        Unlike::Losses => {
            "the counts look like nothing the model expects: far more are missing than assumed; look for disease, escape or a count that missed some"
        }
        Unlike::Counts => {
            "the counts look like nothing the model expects; dates may be further off than the ranges say"
        }
        Unlike::Backwards => {
            "more animals were counted in an early stage than can have been after the counts before; those were taken to have called some moulted too soon"
        }
    }
}

fn in_json(made: &Forecast, model: &BroodModel, frame: &Frame, asked: Asked, hash: &[u8]) -> Value {
    let dates = |it: &Quantiles| {
        json!({
            "q05": frame.words(it.q05), "q10": frame.words(it.q10), "q25": frame.words(it.q25),
            "q50": frame.words(it.q50), "q75": frame.words(it.q75), "q90": frame.words(it.q90),
            "q95": frame.words(it.q95),
        })
    };
    let stages: Vec<Value> = made
        .brood
        .stages
        .iter()
        .map(|it| {
            json!({
                "stage": model.stage_name(it.stage),
                "first": dates(&it.first),
                "middle": dates(&it.middle),
                "last": dates(&it.last),
                "entering": dates(&it.entering),
                "reach_share": it.reach_share,
            })
        })
        .collect();
    let mut moths: Vec<f64> = (0..made.seasons.runs())
        .map(|run| {
            made.seasons.season(run).iter().filter(|it| !it.taken && it.spare.is_none()).count() as f64
        })
        .collect();
    let moths = Quantiles::of(&mut moths);
    let numbers = |it: &Quantiles| json!({ "q05": it.q05, "q10": it.q10, "q25": it.q25, "q50": it.q50, "q75": it.q75, "q90": it.q90, "q95": it.q95 });
    let odds = closing::odds(&made.seasons, OddsAsk::ONE_PAIR);
    let notes = made.warnings.iter().map(|it| match it {
        Warning::Unlike(it) => unlike_in_words(*it),
        Warning::FewRunsFit { .. } => {
            "few of the simulated seasons fit all that was counted, so the ranges are rough"
        }
        Warning::BeyondHorizon { .. } => "some animals would need longer than the forecast looks ahead",
    });
    json!({
        "stages": stages,
        "moths": moths.as_ref().map(numbers),
        "odds": { "one_pair": odds.probability, "standard_error": odds.standard_error, "runs": odds.runs },
        "warnings": notes.collect::<Vec<_>>(),
        "receipt": {
            "version": env!("CARGO_PKG_VERSION"),
            "model": crate::forecasts::MODEL,
            "seed": asked.seed,
            "inputs_sha256": hash.iter().map(|byte| format!("{byte:02x}")).collect::<String>(),
        },
    })
}
