//! Inbreeding of animals named as the keeper names them.

use std::collections::HashMap;

use serde_json::{Map, Value};

use science::lineage::{Parents, inbreeding};

use super::asked::{Asked, wrong};
use super::{Quantity, Refused, figure, needed};

pub(super) const QUANTITIES: &[Quantity] = &[Quantity {
    name: "inbreeding",
    inputs: &[needed("pedigree", "list of [animal, parent or null, parent or null]")],
    result: "object: animal -> inbreeding coefficient",
    unit: "share",
    source: "Meuwissen & Luo 1992",
    compute: ask_inbreeding,
}];

fn ask_inbreeding(asked: &Asked<'_>) -> Result<Value, Refused> {
    let rows = asked.list("pedigree")?;
    let unclear = |row: usize| {
        wrong("pedigree", format!("rows of [animal, parent or null, parent or null]; row {row} is not"))
    };
    let mut names: Vec<String> = vec![];
    let mut parents: Vec<[Option<String>; 2]> = vec![];
    for (at, row) in (1..).zip(rows) {
        let [animal, one, other] = row.as_array().map(Vec::as_slice).unwrap_or_default() else {
            return Err(unclear(at));
        };
        let parent = |value: &Value| match value {
            Value::Null => Ok(None),
            named => name(named).map(Some).ok_or_else(|| unclear(at)),
        };
        names.push(name(animal).ok_or_else(|| unclear(at))?);
        parents.push([parent(one)?, parent(other)?]);
    }
    let mut places: HashMap<&str, usize> = HashMap::new();
    for (place, animal) in names.iter().enumerate() {
        if places.insert(animal, place).is_some() {
            return Err(wrong("pedigree", format!("free of twins by name: {animal} is listed twice")));
        }
    }
    let find = |parent: &Option<String>| match parent {
        None => Ok(None),
        Some(parent) => match places.get(parent.as_str()) {
            Some(&place) => Ok(Some(place)),
            None => Err(wrong("pedigree", format!("complete: {parent} is named as a parent and not listed"))),
        },
    };
    let rows: Vec<Parents> =
        parents.iter().map(|[one, other]| Ok([find(one)?, find(other)?])).collect::<Result<_, Refused>>()?;
    let mut answer = Map::new();
    for (animal, coefficient) in names.iter().zip(inbreeding(&rows)?) {
        answer.insert(animal.clone(), figure(coefficient)?);
    }
    Ok(Value::Object(answer))
}

/// A name in quotes, or a bare number, which many keepers use.
fn name(value: &Value) -> Option<String> {
    match value {
        Value::String(name) if !name.is_empty() => Some(name.clone()),
        Value::Number(number) => Some(number.to_string()),
        _ => None,
    }
}
