//! The bench mathematics asked by name: one quantity, its inputs, one answer.
//!
//! Names and units are a contract that scripts rely on. This room reads and words; every formula lives in `science`.
//! An input that is unknown, missing or out of range is refused by name and never bent into range.

mod air;
mod alias;
mod asked;
mod cases;
mod evidence;
mod handfuls;
mod health;
mod leaf;
mod light;
mod lineage;
mod pedigree;
mod refused;
mod solutions;
mod survival;
mod table;
mod warmth;

use std::sync::LazyLock;

use serde_json::{Map, Value};

pub use cases::cases;
pub use refused::Refused;

use asked::Asked;

/// One input of a quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Input {
    /// The name it is asked by.
    pub name: &'static str,
    /// Its unit, or the words it may be.
    pub unit: &'static str,
    /// Whether there is no answer without it.
    pub needed: bool,
}

/// A figure that can be asked for.
#[derive(Debug, Clone, Copy, serde::Serialize)]
pub struct Quantity {
    /// The name it is asked by.
    pub name: &'static str,
    /// What it is computed from.
    pub inputs: &'static [Input],
    /// What comes back; the fields, where it is an object.
    pub result: &'static str,
    /// The unit of what comes back.
    pub unit: &'static str,
    /// Where the formula was published.
    pub source: &'static str,
    #[serde(skip)]
    compute: fn(&Asked<'_>) -> Result<Value, Refused>,
}

/// An input without which there is no answer.
const fn needed(name: &'static str, unit: &'static str) -> Input {
    Input { name, unit, needed: true }
}

/// An input that may be left out.
const fn optional(name: &'static str, unit: &'static str) -> Input {
    Input { name, unit, needed: false }
}

static REGISTER: LazyLock<Vec<Quantity>> = LazyLock::new(|| {
    [
        warmth::QUANTITIES,
        air::QUANTITIES,
        light::QUANTITIES,
        handfuls::QUANTITIES,
        survival::QUANTITIES,
        leaf::QUANTITIES,
        solutions::QUANTITIES,
        health::QUANTITIES,
        lineage::QUANTITIES,
        pedigree::QUANTITIES,
        evidence::QUANTITIES,
    ]
    .concat()
});

/// Every quantity that can be asked for, in the order of the bench.
pub fn register() -> &'static [Quantity] {
    &REGISTER
}

/// Computes one quantity from a JSON object of inputs.
///
/// Names that the outside check tables use for the same quantities are understood as well.
///
/// ```
/// use keeper::reckon::reckon;
/// let inputs = serde_json::json!({"survival": 0.7, "male_share": 0.5, "chance": 0.95});
/// assert_eq!(reckon("animals-needed", &inputs).unwrap(), 9);
/// ```
pub fn reckon(quantity: &str, inputs: &Value) -> Result<Value, Refused> {
    let Some(inputs) = inputs.as_object() else { return Err(Refused::InputsNotAnObject) };
    if let Some(translated) = alias::translate(quantity, inputs) {
        let found = find(translated.quantity)?;
        return translated.pick(answer(found, &translated.inputs)?);
    }
    answer(find(quantity)?, inputs)
}

fn find(quantity: &str) -> Result<&'static Quantity, Refused> {
    let found = register().iter().find(|known| known.name == quantity);
    found.ok_or_else(|| Refused::UnknownQuantity { quantity: quantity.to_owned() })
}

fn answer(quantity: &'static Quantity, inputs: &Map<String, Value>) -> Result<Value, Refused> {
    let names = || quantity.inputs.iter().map(|input| input.name);
    if let Some(stranger) = inputs.keys().find(|key| !names().any(|name| name == key.as_str())) {
        let known = names().collect::<Vec<_>>().join(", ");
        return Err(Refused::UnknownInput { name: stranger.clone(), known });
    }
    (quantity.compute)(&Asked::new(inputs))
}

/// A finite number as JSON. A figure that is not finite is a failure of ours and never goes out as a number.
fn figure(value: f64) -> Result<Value, Refused> {
    serde_json::Number::from_f64(value).map(Value::Number).ok_or(Refused::NoFiniteAnswer)
}

/// A finite number, or `null` where the honest answer is that it is not known.
fn figure_or_unknown(value: Option<f64>) -> Result<Value, Refused> {
    value.map_or(Ok(Value::Null), figure)
}

#[cfg(test)]
#[allow(clippy::panic, reason = "a test may panic")]
mod examples;
#[cfg(test)]
mod tests;
