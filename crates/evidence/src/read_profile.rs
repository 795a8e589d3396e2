//! Reads a species profile from its file and refuses one that a model could not use.

use serde::Deserialize;

use crate::block::plain;
use crate::footing::footings;
use crate::number::{Bell, Chance, Number, Shares};
use crate::profile::{
    Air, Caution, FoodPlant, Instars, Leaf, Moths, Pace, Profile, Reproduction, Rest, StagePrior, Winter,
};
use crate::{Complaint, StageName};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    slug: String,
    latin: String,
    english: String,
    #[serde(default)]
    also: Vec<String>,
    instars: Instars,
    #[serde(default)]
    food: Vec<FoodPlant>,
    #[serde(default)]
    caution: Vec<Caution>,
    larva: RawLarva,
    stage: Vec<RawStage>,
    pace: Pace,
    moths: Moths,
    winter: Winter,
    leaf: Leaf,
    #[serde(default)]
    air: Vec<Air>,
    #[serde(default)]
    reproduction: Reproduction,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawLarva {
    days: Number,
    at_c: Number,
    shares: Shares,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawStage {
    stage: String,
    lower_c: Bell,
    upper_c: Number,
    days: Option<Number>,
    at_c: Option<Number>,
    spread_cv: Number,
    stage_sd: Number,
    survival: Chance,
    overlooked: Number,
}

/// Reads one profile. Either it is whole and `Some`, or every reason why not is in the complaints.
pub fn read_profile(file: &str, text: &str) -> (Option<Profile>, Vec<Complaint>) {
    let raw: Raw = match toml::from_str(text) {
        Ok(raw) => raw,
        Err(error) => {
            let line =
                error.span().map_or(1, |span| 1 + text.get(..span.start).unwrap_or("").matches('\n').count());
            return (None, vec![Complaint::at(file, line, plain(error.message()))]);
        }
    };
    let table = toml::from_str::<toml::Table>(text).unwrap_or_default();
    let mut says = Vec::new();
    let stages = stages(&raw, &mut says);
    weigh(&raw, &mut says);
    not_a_number("", &table, &mut says);
    let profile = Profile {
        slug: raw.slug,
        latin: raw.latin,
        english: raw.english,
        also: raw.also,
        instars: raw.instars,
        food: raw.food,
        cautions: raw.caution,
        stages,
        larva_days: raw.larva.days,
        larva_shares: raw.larva.shares,
        pace: raw.pace,
        moths: raw.moths,
        winter: raw.winter,
        leaf: raw.leaf,
        air: raw.air,
        reproduction: raw.reproduction,
        footings: footings(&table),
    };
    says.extend(profile.footings.iter().filter(|footing| !footing.stands()).map(|footing| {
        format!("{} stands on nothing: name a claim, or say why it was chosen (judgement)", footing.path)
    }));
    let complaints: Vec<Complaint> = says.into_iter().map(|says| Complaint::in_file(file, says)).collect();
    (complaints.is_empty().then_some(profile), complaints)
}

/// The stages in order; an instar without days of its own takes its share of the larval time.
fn stages(raw: &Raw, says: &mut Vec<String>) -> Vec<StagePrior> {
    let wanted = StageName::before_moth(raw.instars.count);
    let mut stages = Vec::new();
    for stage in &wanted {
        let word = stage.to_string();
        let Some(given) = raw.stage.iter().find(|given| given.stage == word) else {
            says.push(format!("the stage {word} is missing"));
            continue;
        };
        let shared = shared_days(raw, *stage);
        let (Some(days), Some(at_c)) =
            (given.days.clone().or(shared), given.at_c.clone().or_else(|| larval_air(raw, *stage)))
        else {
            says.push(format!("{word} needs days and at_c"));
            continue;
        };
        stages.push(StagePrior {
            stage: *stage,
            lower_c: given.lower_c.clone(),
            upper_c: given.upper_c.clone(),
            days,
            at_c,
            spread_cv: given.spread_cv.clone(),
            stage_sd: given.stage_sd.clone(),
            survival: given.survival.clone(),
            overlooked: given.overlooked.clone(),
        });
    }
    for given in &raw.stage {
        if !wanted.iter().any(|stage| stage.to_string() == given.stage) {
            says.push(format!(
                "`{}` is no stage of a species with {} instars",
                given.stage, raw.instars.count
            ));
        }
    }
    stages
}

fn shared_days(raw: &Raw, stage: StageName) -> Option<Number> {
    let StageName::Larva(instar) = stage else { return None };
    let share = raw.larva.shares.values.get(usize::from(instar).checked_sub(1)?)?;
    let days = &raw.larva.days;
    let mut claims = days.claims.clone();
    claims.extend(raw.larva.shares.claims.iter().cloned());
    Some(Number {
        value: days.value * share,
        low: days.low.map(|low| low * share),
        high: days.high.map(|high| high * share),
        claims,
        judgement: match (&days.judgement, &raw.larva.shares.judgement) {
            (Some(one), Some(other)) => Some(format!("{one}; {other}")),
            (one, other) => one.clone().or_else(|| other.clone()),
        },
    })
}

fn larval_air(raw: &Raw, stage: StageName) -> Option<Number> {
    stage.is_larva().then(|| raw.larva.at_c.clone())
}

/// The ranges a model relies on, each asked once.
fn weigh(raw: &Raw, says: &mut Vec<String>) {
    let mut ask = |holds: bool, what: String| {
        if !holds {
            says.push(what);
        }
    };
    adds_up("larva.shares", &raw.larva.shares, raw.instars.count, &mut ask);
    if let Some(shares) = &raw.leaf.by_instar {
        adds_up("leaf.by_instar", shares, raw.instars.count, &mut ask);
    }
    for given in &raw.stage {
        let word = &given.stage;
        let at_c = given.at_c.as_ref().unwrap_or(&raw.larva.at_c).value;
        let days = given.days.as_ref().unwrap_or(&raw.larva.days).value;
        ask(days > 0.0, format!("{word}: the days must be more than 0"));
        ask(given.lower_c.mean < at_c, format!("{word}: the lower threshold must lie below at_c"));
        ask(at_c <= given.upper_c.value, format!("{word}: at_c must not lie above the upper cut-off"));
        ask(
            given.lower_c.sd >= 0.0 && given.stage_sd.value >= 0.0,
            format!("{word}: a doubt below 0 means nothing"),
        );
        ask(given.spread_cv.value > 0.0, format!("{word}: animals differ; the spread must be more than 0"));
        chance(&format!("{word}.survival"), &given.survival, &mut ask);
        ask(
            (0.0..1.0).contains(&given.overlooked.value),
            format!("{word}: overlooked must lie from 0 to below 1"),
        );
    }
    chance("moths.female_share", &raw.moths.female_share, &mut ask);
    ask(raw.pace.shared_pace_sd.value >= 0.0, "pace.shared_pace_sd must be 0 or more".to_owned());
    ask(
        (0.0..=1.0).contains(&raw.pace.rank_correlation.value),
        "pace.rank_correlation must lie from 0 to 1".to_owned(),
    );
    for (word, nights) in
        [("male_nights", &raw.moths.male_nights), ("female_nights", &raw.moths.female_nights)]
    {
        ask(nights.mean > 0.0 && nights.sd >= 0.0, format!("moths.{word} must be more than 0"));
    }
    if let Some(months) = &raw.winter.emergence_month {
        ask(
            (1.0..=12.0).contains(&months.low) && (1.0..=12.0).contains(&months.high),
            "winter.emergence_month must lie from 1 to 12".to_owned(),
        );
    }
    ask(
        raw.winter.rest != Rest::Facultative || raw.winter.rest_share.is_some(),
        "winter.rest_share: say how many rest where the days are not known".to_owned(),
    );
    if let Some(share) = &raw.winter.rest_share {
        chance("winter.rest_share", share, &mut ask);
    }
    if let Some(day) = &raw.winter.day {
        let larval =
            |stage: StageName| stage.is_larva() && StageName::before_moth(raw.instars.count).contains(&stage);
        ask(
            day.sensitive().is_some_and(|(from, to)| from <= to && larval(from) && larval(to)),
            "winter.day: from and to must be instars in their order".to_owned(),
        );
        ask(
            (0.0..=24.0).contains(&day.critical_h.mean) && day.critical_h.sd >= 0.0,
            "winter.day.critical_h must lie from 0 to 24".to_owned(),
        );
        ask(
            (0.0..1.0).contains(&day.exception.value),
            "winter.day.exception must lie from 0 to below 1".to_owned(),
        );
        ask(
            day.width_h.median > 0.0 && day.width_h.log_sd >= 0.0,
            "winter.day.width_h must be more than 0".to_owned(),
        );
        ask(
            day.twilight_share.mean >= 0.0 && day.twilight_share.sd >= 0.0,
            "winter.day.twilight_share must be 0 or more".to_owned(),
        );
        ask(
            day.warmth.as_ref().is_none_or(|it| it.h_per_c.mean >= 0.0 && it.h_per_c.sd >= 0.0),
            "winter.day.warmth: warmth never makes more pupae rest here".to_owned(),
        );
    }
    if let Some(lying_over) = &raw.winter.lying_over {
        chance("winter.lying_over", lying_over, &mut ask);
    }
}

fn adds_up(what: &str, shares: &Shares, instars: u8, ask: &mut impl FnMut(bool, String)) {
    let sum: f64 = shares.values.iter().sum();
    ask(
        shares.values.len() == usize::from(instars),
        format!("{what}: one share for each of {instars} instars"),
    );
    // The shares are written with four digits, so that five of them may be off by five half units.
    ask((sum - 1.0).abs() < 5e-4, format!("{what}: the shares add up to {sum}, not to 1"));
}

fn chance(what: &str, chance: &Chance, ask: &mut impl FnMut(bool, String)) {
    ask((0.0..=1.0).contains(&chance.mean), format!("{what}: a chance lies from 0 to 1"));
    ask(chance.weight > 0.0, format!("{what}: the weight must be more than 0 animals"));
}

/// NaN, endless numbers and ranges that run backwards, wherever they stand in the file.
fn not_a_number(path: &str, table: &toml::Table, says: &mut Vec<String>) {
    let number = |key: &str| {
        table.get(key).and_then(|value| value.as_float().or(value.as_integer().map(|n| n as f64)))
    };
    // Months run round the year, so that November to February is no mistake.
    if let (Some(low), Some(high)) = (number("low"), number("high"))
        && low > high
        && !path.ends_with("emergence_month")
    {
        says.push(format!("{path}: {low} to {high} runs backwards"));
    }
    for (key, value) in table {
        let here = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
        inside(&here, value, says);
    }
}

fn inside(here: &str, value: &toml::Value, says: &mut Vec<String>) {
    match value {
        toml::Value::Float(number) if !number.is_finite() => {
            says.push(format!("{here} is not a number that can be used"))
        }
        toml::Value::Table(inner) => not_a_number(here, inner, says),
        toml::Value::Array(list) => list.iter().for_each(|value| inside(here, value, says)),
        _ => {}
    }
}
