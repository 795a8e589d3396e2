//! The names that outside check tables use, turned into ours.
//!
//! A foreign name is only understood with exactly the inputs it stands for: where two tables use one name for two
//! things (`rate`, `Ne`, `T`), the inputs decide, and a stranger among them leaves the question untranslated.

mod dictionary;

use serde_json::{Map, Value, json};

use super::Refused;
use dictionary::DICTIONARY;

/// One foreign name with one set of inputs.
pub(super) struct Alias {
    foreign: &'static str,
    ours: &'static str,
    /// Foreign input, our input, and the factor between their units.
    inputs: &'static [(&'static str, &'static str, f64)],
    /// Words that the foreign name itself says.
    said: &'static [(&'static str, &'static str)],
    /// Which field of our answer is meant; empty for the whole answer.
    field: &'static [&'static str],
}

/// A question in our words, and what to pick from the answer.
pub(super) struct Translated {
    pub(super) quantity: &'static str,
    pub(super) inputs: Map<String, Value>,
    field: Field,
}

/// The part of an answer that is meant.
enum Field {
    Of(&'static [&'static str]),
    Animal(String),
}

impl Translated {
    pub(super) fn pick(&self, answer: Value) -> Result<Value, Refused> {
        let names = match &self.field {
            Field::Animal(name) => return Ok(answer[name].clone()),
            Field::Of(names) => *names,
        };
        match names {
            [] => Ok(answer),
            [LAST] => Ok(members(answer).pop().unwrap_or(Value::Null)),
            [EACH] => Ok(Value::Array(members(answer))),
            [one] => Ok(answer[*one].clone()),
            several => Ok(several.iter().map(|name| answer[*name].clone()).collect()),
        }
    }
}

/// Asks for the last member of an object instead of a named one.
const LAST: &str = "#last";
/// Asks for all members of an object as a list.
const EACH: &str = "#each";

fn members(answer: Value) -> Vec<Value> {
    match answer {
        Value::Object(members) => members.into_iter().map(|(_, value)| value).collect(),
        other => vec![other],
    }
}

/// Our question behind a foreign one, where there is exactly one reading.
pub(super) fn translate(quantity: &str, inputs: &Map<String, Value>) -> Option<Translated> {
    if let Some(animal) = one_animal(quantity, inputs) {
        return Some(Translated {
            quantity: "inbreeding",
            inputs: inputs.clone(),
            field: Field::Animal(animal),
        });
    }
    let given = || inputs.iter().filter(|(_, value)| !value.is_null());
    let alias = DICTIONARY.iter().find(|alias| {
        let knows = |key: &str| alias.inputs.iter().any(|(foreign, _, _)| *foreign == key);
        alias.foreign == quantity && given().all(|(key, _)| knows(key))
    })?;
    let mut ours = Map::new();
    for (key, value) in given() {
        for (foreign, name, factor) in alias.inputs {
            // An input named "" is a remark that carries nothing.
            if foreign == key && !name.is_empty() {
                ours.insert((*name).to_owned(), scaled(value, *factor));
            }
        }
    }
    for (name, word) in alias.said {
        ours.insert((*name).to_owned(), serde_json::from_str(word).unwrap_or_else(|_| json!(word)));
    }
    Some(Translated { quantity: alias.ours, inputs: ours, field: Field::Of(alias.field) })
}

/// `F_5` asks for the inbreeding of the animal named `5`, if there is one.
fn one_animal(quantity: &str, inputs: &Map<String, Value>) -> Option<String> {
    let animal = quantity.strip_prefix("F_")?;
    let rows = inputs.get("pedigree").filter(|_| inputs.len() == 1)?.as_array()?;
    rows.iter().any(|row| row[0] == animal).then(|| animal.to_owned())
}

#[expect(clippy::float_cmp, reason = "a factor of exactly 1 leaves the value as it was written")]
fn scaled(value: &Value, factor: f64) -> Value {
    match value.as_f64() {
        Some(number) if factor != 1.0 => json!(number * factor),
        _ => value.clone(),
    }
}
