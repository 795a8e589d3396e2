//! The register asked by name: every answer, every refusal, odd values in every field.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may panic")]

use serde_json::{Value, json};

use super::table::rows;
use super::*;

/// Every table of outside values, asked exactly as it is written, with the fewest rows that must be answered.
/// The rest is refused by name: the register does not claim to compute everything that was ever tabulated.
const TABLES: &[(&str, usize)] = &[
    ("01_degree_days.csv", 67),
    ("01_linear_threshold.csv", 11),
    ("01_rate_models.csv", 44),
    ("03_survival.csv", 29),
    ("04_ne_exact_eigen.csv", 8),
    ("04_small_numbers.csv", 41),
    ("05_pedigree.csv", 11),
    ("06_nutrition.csv", 11),
    ("08_health.csv", 69),
    ("09_solutions.csv", 3),
    ("10_morphometrics.csv", 10),
    ("07_humidity.csv", 76),
];

#[test]
fn outside_tables_are_answered_within_their_own_tolerance() {
    for &(name, fewest) in TABLES {
        let path = format!("{}/../../reference/oracles/{name}", env!("CARGO_MANIFEST_DIR"));
        let answered = cases(&std::fs::read_to_string(path).unwrap()).unwrap();
        let mut lines = rows(&answered).into_iter();
        let head = lines.next().unwrap();
        let column = |name: &str| head.iter().position(|field| field == name).unwrap();
        let mut computed = 0;
        for row in lines {
            let (ours, refused) = (&row[column("computed")], &row[column("refused")]);
            assert_ne!(ours.is_empty(), refused.is_empty(), "{row:?}: exactly one of the two");
            if ours.is_empty() {
                continue;
            }
            computed += 1;
            let tolerance: f64 = row[column("tolerance")].parse().unwrap();
            let (ours, theirs) = (numbers(ours), numbers(&row[column("expected")]));
            let close = |(a, b): (&f64, &f64)| (a - b).abs() <= tolerance + 1e-11 * b.abs();
            let same = ours.len() == theirs.len() && ours.iter().zip(&theirs).all(close);
            assert!(same, "{name} {row:?}: {ours:?}");
        }
        println!("{name}: {computed} rows answered");
        assert!(computed >= fewest, "{name}: {computed} answered, {fewest} expected");
    }
}

fn numbers(text: &str) -> Vec<f64> {
    fn flat(value: &Value) -> Vec<f64> {
        match value {
            Value::Array(list) => list.iter().flat_map(flat).collect(),
            other => other.as_f64().into_iter().collect(),
        }
    }
    serde_json::from_str(text).map(|value| flat(&value)).unwrap_or_default()
}

#[test]
fn every_quantity_refuses_strangers_and_nothing_at_all() {
    for quantity in register() {
        let stranger = reckon(quantity.name, &json!({"humour": 1})).unwrap_err();
        assert_eq!(stranger.name(), Some("humour"), "{}", quantity.name);
        let nothing = reckon(quantity.name, &json!({})).unwrap_err();
        let name = nothing.name().unwrap_or_else(|| panic!("{}: {nothing}", quantity.name)).to_owned();
        assert!(quantity.inputs.iter().any(|input| input.name == name), "{}: {name}", quantity.name);
    }
}

#[test]
fn names_are_asked_once_and_every_quantity_says_its_source() {
    let mut names: Vec<&str> = register().iter().map(|quantity| quantity.name).collect();
    names.sort_unstable();
    let before = names.len();
    names.dedup();
    assert_eq!(names.len(), before);
    for quantity in register() {
        assert!(!quantity.source.is_empty() && !quantity.unit.is_empty() && !quantity.result.is_empty());
    }
}

#[test]
fn a_refusal_names_the_input() {
    let named =
        |quantity: &str, inputs: Value| reckon(quantity, &inputs).unwrap_err().name().map(str::to_owned);
    let day = json!({"method": "sine", "low_c": 5, "high_c": 36, "lower_c": 10, "upper_c": 30});
    assert_eq!(named("degree-days", day).as_deref(), Some("cutoff"));
    let day = json!({"method": "sinus", "low_c": 5, "high_c": 36, "lower_c": 10});
    assert_eq!(named("degree-days", day).as_deref(), Some("method"));
    let pace = json!({"model": "linear", "at_c": 20, "lower_c": 8, "constant_dd": 300, "a": 1});
    assert_eq!(named("rate", pace).as_deref(), Some("a"));
    let air = json!({"air_c": 21, "humidity_percent": 140});
    assert_eq!(named("dew-point", air).as_deref(), Some("humidity_percent"));
    let brood = json!({"animals": 3.5, "survival": 0.5, "male_share": 0.5});
    assert_eq!(named("both-sexes", brood).as_deref(), Some("animals"));
    assert_eq!(reckon("luck", &json!({})), Err(Refused::UnknownQuantity { quantity: "luck".to_owned() }));
    assert_eq!(reckon("rate", &json!([])), Err(Refused::InputsNotAnObject));
}

#[test]
fn one_smudged_row_does_not_cost_the_others() {
    let table = "note,case,quantity,inputs\n\
                 \"a, b\",one,wet-bulb,\"{\"\"air_c\"\":25,\"\"humidity_percent\"\":75}\"\n\
                 ,two,wet-bulb,{oops\n\
                 ,three\n\
                 ,four,dew-point,\"{\"\"air_c\"\":25,\"\"humidity_percent\"\":75,\"\"formula\"\":\"\"magnus-wmo\"\"}\"\n";
    let answered = rows(&cases(table).unwrap());
    assert_eq!(answered[0], ["note", "case", "quantity", "inputs", "computed", "refused"]);
    assert_eq!(answered[1][0], "a, b");
    assert!(answered[1][4].starts_with("21.68"), "{:?}", answered[1]);
    assert!(answered[2][5].contains("JSON") && answered[3][5].contains("JSON"));
    assert!(answered[4][4].starts_with("20.257"));
    assert_eq!(cases("case,inputs\n"), Err(Refused::NoColumn { name: "quantity" }));
}
