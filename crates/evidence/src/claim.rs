//! A claim: one figure, exactly what was measured, and who says so.

use serde::Deserialize;

use crate::block::{blocks, parse};
use crate::{Complaint, Figure, Grade, Quantity, StageName};

/// The conditions under which a figure was obtained, as far as the source gives them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Conditions {
    /// Air temperature, low and high end; equal ends for one value.
    pub air_c: Option<(f64, f64)>,
    /// Relative humidity, low and high end.
    pub humidity_percent: Option<(f64, f64)>,
    /// Everything else: place, season, food, light.
    pub words: Option<String>,
}

/// One published or reported figure with everything a reader needs in order to doubt it.
#[derive(Debug, Clone, PartialEq)]
pub struct Claim {
    /// The name by which profiles and other claims point at it, such as `leaf/per-larva-high`.
    pub id: String,
    /// What is measured; one of [`crate::QUANTITIES`].
    pub quantity: String,
    /// Latin name, or `None` for a claim that is not about one species.
    pub species: Option<String>,
    /// The stage it speaks of, where it speaks of one: a [`StageName`] as written, or `larva` for all instars.
    pub stage: Option<String>,
    /// The number, the range, or only words.
    pub figure: Figure,
    /// Standard deviation between animals, where the source gives one.
    pub sd: Option<f64>,
    /// Standard error of the mean, where the source gives one.
    pub se: Option<f64>,
    /// How many animals (or sets, or layings) it rests on, where the source says.
    pub animals: Option<u32>,
    /// The unit, always the one of [`Quantity::unit`].
    pub unit: String,
    /// Exactly what was measured, or `not stated`: leaf eaten or offered, from spinning or from pupation.
    pub basis: String,
    /// Temperature, humidity and the rest.
    pub conditions: Conditions,
    /// The statement in words, for claims that are not a number.
    pub says: Option<String>,
    /// Keys in `reference/sources.bib`.
    pub sources: Vec<String>,
    /// How it came to be known.
    pub grade: Grade,
    /// The claims a derived figure was worked out from.
    pub derived_from: Vec<String>,
    /// What is odd about it.
    pub note: Option<String>,
    /// Why it stands apart from every other report, where it does (such as `no data shown`).
    pub outlier: Option<String>,
    /// Claims that cannot be true together with this one; always said from both sides.
    pub disagrees_with: Vec<String>,
}

impl Claim {
    /// Is it known what was measured? Until it is, no model may use the number as if it were.
    pub fn basis_is_stated(&self) -> bool {
        self.basis != "not stated"
    }

    /// The figure with its unit, or the statement.
    pub fn shown(&self) -> String {
        match (self.figure, &self.says) {
            (Figure::Words, Some(says)) => says.clone(),
            (figure, _) => format!("{figure} {}", self.unit),
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    id: String,
    quantity: String,
    species: Option<String>,
    stage: Option<String>,
    value: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    at_least: Option<f64>,
    at_most: Option<f64>,
    sd: Option<f64>,
    se: Option<f64>,
    animals: Option<u32>,
    unit: Option<String>,
    basis: Option<String>,
    air_c: Option<[f64; 2]>,
    humidity_percent: Option<[f64; 2]>,
    conditions: Option<String>,
    says: Option<String>,
    #[serde(default)]
    sources: Vec<String>,
    grade: Option<String>,
    #[serde(default)]
    derived_from: Vec<String>,
    note: Option<String>,
    outlier: Option<String>,
    #[serde(default)]
    disagrees_with: Vec<String>,
}

/// Reads the claims of one file. A claim that cannot be used is complained of; the others are kept.
pub fn read_claims(file: &str, text: &str) -> (Vec<Claim>, Vec<Complaint>) {
    let mut claims: Vec<Claim> = Vec::new();
    let mut complaints = Vec::new();
    for block in blocks(text, "[[claim]]") {
        let raw: Raw = match parse(file, &block) {
            Ok(raw) => raw,
            Err(complaint) => {
                complaints.push(complaint);
                continue;
            }
        };
        let id = raw.id.clone();
        if claims.iter().any(|known| known.id == id) {
            complaints.push(Complaint::at(
                file,
                block.line,
                format!("the id `{id}` is used twice; the first is kept"),
            ));
            continue;
        }
        match settle(raw) {
            Ok(claim) => claims.push(claim),
            Err(says) => complaints.push(Complaint::at(file, block.line, format!("claim `{id}`: {says}"))),
        }
    }
    (claims, complaints)
}

fn settle(raw: Raw) -> Result<Claim, String> {
    let quantity = Quantity::named(&raw.quantity)
        .ok_or_else(|| format!("`{}` is no quantity we know; see docs/evidence.md", raw.quantity))?;
    let figure = figure(&raw)?;
    let unit = match (raw.unit, figure) {
        (Some(unit), _) if unit == quantity.unit => unit,
        (Some(unit), _) => {
            return Err(format!("{} is kept in {}, not in {unit}", quantity.name, quantity.unit));
        }
        (None, Figure::Words) => quantity.unit.to_owned(),
        (None, _) => {
            return Err(format!("the number has no unit; {} is kept in {}", quantity.name, quantity.unit));
        }
    };
    if figure == Figure::Words && raw.says.is_none() {
        return Err("there is neither a number nor a statement (`says`)".to_owned());
    }
    let word = raw.grade.ok_or_else(|| format!("there is no grade; {GRADES}"))?;
    let grade = Grade::read(&word).ok_or_else(|| format!("`{word}` is no grade; {GRADES}"))?;
    if raw.sources.is_empty() {
        return Err("there is no source; from memory is said with sources = [\"memory\"]".to_owned());
    }
    for (what, number) in [("sd", raw.sd), ("se", raw.se)] {
        if number.is_some_and(|n| !(n.is_finite() && n >= 0.0)) {
            return Err(format!("{what} must be a number, 0 or more"));
        }
    }
    Ok(Claim {
        id: raw.id,
        quantity: raw.quantity,
        species: raw.species,
        stage: raw.stage.map(stage).transpose()?,
        figure,
        sd: raw.sd,
        se: raw.se,
        animals: raw.animals,
        unit,
        basis: raw.basis.unwrap_or_else(|| "not stated".to_owned()),
        conditions: Conditions {
            air_c: raw.air_c.map(|ends| pair("air_c", ends)).transpose()?,
            humidity_percent: raw.humidity_percent.map(|ends| pair("humidity_percent", ends)).transpose()?,
            words: raw.conditions,
        },
        says: raw.says,
        sources: raw.sources,
        grade,
        derived_from: raw.derived_from,
        note: raw.note,
        outlier: raw.outlier,
        disagrees_with: raw.disagrees_with,
    })
}

fn stage(word: String) -> Result<String, String> {
    if word != "larva" {
        word.parse::<StageName>()?;
    }
    Ok(word)
}

const GRADES: &str = "the grades are A, B, C, D, derived and judgement";

fn figure(raw: &Raw) -> Result<Figure, String> {
    match (raw.value, raw.low, raw.high, raw.at_least, raw.at_most) {
        (None, None, None, None, None) => Ok(Figure::Words),
        (Some(value), None, None, None, None) => Ok(Figure::Value(finite("value", value)?)),
        (None, Some(low), Some(high), None, None) => {
            let (low, high) = pair("low and high", [low, high])?;
            Ok(Figure::Range { low, high })
        }
        (None, None, None, Some(value), None) => Ok(Figure::AtLeast(finite("at_least", value)?)),
        (None, None, None, None, Some(value)) => Ok(Figure::AtMost(finite("at_most", value)?)),
        _ => Err("give one of value, low with high, at_least, at_most".to_owned()),
    }
}

fn pair(what: &str, [low, high]: [f64; 2]) -> Result<(f64, f64), String> {
    let (low, high) = (finite(what, low)?, finite(what, high)?);
    if low > high {
        return Err(format!("{what}: {low} to {high} runs backwards"));
    }
    Ok((low, high))
}

fn finite(what: &str, number: f64) -> Result<f64, String> {
    if number.is_finite() { Ok(number) } else { Err(format!("{what} is not a number that can be used")) }
}
