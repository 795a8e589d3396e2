//! One worked question for every quantity, with the names that the contract fixes.

use serde_json::{Value, json};

use super::{Refused, reckon, register};

/// Quantity, inputs, and the fields of the answer (none for a plain number or list).
pub(super) fn examples() -> Vec<(&'static str, Value, &'static [&'static str])> {
    let days = json!([10, 7, 32, 23, 22, 6, 16, 34, 32, 25, 11, 20, 19, 6, 17, 35, 6, 13, 9, 6, 10]);
    let died = json!([1, 1, 0, 1, 1, 1, 1, 0, 0, 0, 0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 0]);
    vec![
        (
            "degree-days",
            json!({"method": "sine", "low_c": 5, "high_c": 36, "lower_c": 10, "upper_c": 30, "cutoff": "horizontal"}),
            &[],
        ),
        ("rate", json!({"model": "briere-1", "a": 7.86e-5, "T0": 11.36, "Tm": 39.17, "at_c": 30}), &[]),
        (
            "rate-unclamped",
            json!({"model": "logan-6", "psi": 0.02, "rho": 0.15, "Tm": 35, "d": 4.5, "at_c": 38}),
            &[],
        ),
        ("rate-fastest-at", json!({"model": "briere-2", "a": 1e-4, "T0": 10, "Tm": 35, "m": 4}), &[]),
        (
            "threshold-fit",
            json!({"at_c": [50, 60, 70, 80], "days": [40, 20, 13, 9], "method": "ikemoto"}),
            &["lower_c", "constant_dd", "lower_se", "constant_se", "r2"],
        ),
        ("saturation-pressure", json!({"air_c": 25, "formula": "iapws"}), &[]),
        ("dew-point", json!({"air_c": 25, "humidity_percent": 75}), &[]),
        ("vapour-pressure-deficit", json!({"air_c": 25, "humidity_percent": 75, "formula": "buck"}), &[]),
        ("absolute-humidity", json!({"air_c": 25, "humidity_percent": 75}), &[]),
        ("wet-bulb", json!({"air_c": 25, "humidity_percent": 75}), &[]),
        ("humidity-ratio", json!({"air_c": 25, "humidity_percent": 50}), &[]),
        ("humidity-from-wet-bulb", json!({"air_c": 25, "wet_c": 20}), &[]),
        (
            "sun",
            json!({"latitude_deg": 52.3, "longitude_deg": -1.1, "date": "2025-06-21"}),
            &["sunrise_utc", "sunset_utc", "civil_dawn_utc", "civil_dusk_utc", "day_length_h"],
        ),
        ("both-sexes", json!({"animals": 5, "survival": 0.7, "male_share": 0.5}), &[]),
        ("animals-needed", json!({"survival": 0.7, "male_share": 0.5, "chance": 0.95}), &[]),
        (
            "same-night",
            json!({"emergence_pmf": [0.25, 0.5, 0.25], "males": 2, "females": 1, "male_nights": 1, "female_nights": 2}),
            &[],
        ),
        (
            "binomial-interval",
            json!({"successes": 3, "trials": 12, "confidence": 0.95, "method": "wilson"}),
            &[],
        ),
        (
            "kaplan-meier",
            json!({"days": days, "died": died, "at_d": 6, "confidence": 0.95}),
            &["survival", "greenwood_se", "low", "high"],
        ),
        (
            "log-rank",
            json!({"groups": [[{"days": 3, "died": true}, {"days": 5, "died": 1}], [{"days": 4, "died": true}, {"days": 9, "died": false}]]}),
            &["chi_square", "degrees_of_freedom", "p"],
        ),
        (
            "growth-rate",
            json!({"age_d": [6, 7, 8, 9], "lxmx": [3.2, 0.72, 0.6, 0.05]}),
            &["r", "R0", "cohort_d", "generation_d", "lambda"],
        ),
        ("life-table", json!({"alive": [100, 80, 60, 30, 10, 0]}), &["lx", "dx", "qx", "ex"]),
        ("k-value", json!({"before": 96.4, "after": 90.2}), &[]),
        (
            "leaf-use",
            json!({"eaten_dry_g": 10, "frass_dry_g": 6, "gain_dry_g": 2, "mean_dry_g": 2.5, "days": 8}),
            &["RCR", "RGR", "AD", "ECI", "ECD"],
        ),
        (
            "leaf-eaten",
            json!({"offered_g": 20, "left_g": 6, "control_fresh_g": 10, "control_after_g": 8.5}),
            &[],
        ),
        ("leaf-eaten-dry", json!({"offered_g": 20, "dry_share": 0.25, "left_dry_g": 1.6}), &[]),
        (
            "head-width-ratio",
            json!({"mean_mm": [0.68, 0.91, 1.22, 1.58]}),
            &["dyar_ratio", "r2", "missed_instar", "steps", "crosby_percent", "intercept_ln"],
        ),
        (
            "dilution",
            json!({"stock_percent": 37, "basis": "w/w", "density_g_ml": 1.09, "target_percent": 2, "target_basis": "w/v", "volume_ml": 1000}),
            &["stock_ml", "water_ml", "cautions"],
        ),
        ("detection-size", json!({"population": 100, "diseased": 10, "confidence": 0.95}), &[]),
        ("detection-size-by-table", json!({"population": 200, "diseased": 20, "confidence": 0.95}), &[]),
        ("effective-size-overlapping", json!({"newcomers": 20, "generation_seasons": 2, "variance": 3}), &[]),
        (
            "detection-chance",
            json!({"population": 100, "diseased": 10, "examined": 25, "sensitivity": 0.8}),
            &[],
        ),
        ("zero-found", json!({"examined": 20, "confidence": 0.95}), &[]),
        (
            "true-prevalence",
            json!({"apparent": 0.03, "sensitivity": 0.9, "specificity": 0.95}),
            &["share", "unclamped"],
        ),
        ("pooled-prevalence", json!({"positive_pools": 3, "pools": 20, "pool_size": 5}), &[]),
        ("alarm-run-length", json!({"family": "poisson", "k": 2, "h": 5, "mu": 1, "rule": "above"}), &[]),
        ("alarm-reference", json!({"family": "poisson", "usual": 0.5, "feared": 1.5}), &[]),
        ("alarm-path", json!({"counts": [0, 1, 0, 2, 3], "k": 1.5}), &[]),
        ("effective-size", json!({"males": 1, "females": 9}), &[]),
        ("effective-size-z", json!({"males": 1, "females": 9}), &[]),
        ("effective-size-exact", json!({"males": 1, "females": 1}), &[]),
        ("effective-size-z-exact", json!({"males": 2, "females": 8}), &[]),
        ("effective-size-w", json!({"females": 9}), &[]),
        ("effective-size-families", json!({"parents": 10, "mean_offspring": 2, "variance": 6}), &[]),
        ("effective-size-generations", json!({"sizes": [10, 100, 50]}), &[]),
        ("heterozygosity-kept", json!({"effective_size": 10, "generations": 10}), &[]),
        ("founders-for-allele", json!({"frequency": 0.05, "chance": 0.95}), &[]),
        ("copies-for-allele", json!({"frequency": 0.05, "chance": 0.95}), &[]),
        ("allele-captured", json!({"frequency": 0.1, "founders": 5}), &[]),
        ("founder-genomes", json!({"shares": [0.5, 0.25, 0.25], "retained": [0.875, 0.75, 0.5]}), &[]),
        ("donor-share", json!({"backcrosses": 3}), &[]),
        ("out-within", json!({"sd_male_d": 3, "sd_female_d": 2.5, "mean_lead_d": -2, "within_d": 3}), &[]),
        (
            "inbreeding",
            json!({"pedigree": [["s", null, null], ["d", null, null], ["x", "s", "d"], ["z", "s", "x"]]}),
            &["s", "d", "x", "z"],
        ),
        (
            "combine",
            json!({"estimates": [77.5, 37.5], "variances": [6.25, 6.25], "method": "hartung-knapp"}),
            &["estimate", "se", "low", "high", "tau2", "Q", "I2"],
        ),
    ]
}

#[test]
fn every_quantity_has_a_worked_question_and_answers_with_its_fields() {
    let examples = examples();
    for quantity in register() {
        assert!(
            examples.iter().any(|(name, _, _)| *name == quantity.name),
            "{} has no example",
            quantity.name
        );
    }
    for (name, inputs, fields) in examples {
        let answer = reckon(name, &inputs).unwrap_or_else(|no| panic!("{name}: {no}"));
        match answer.as_object() {
            Some(object) => {
                assert_eq!(object.keys().map(String::as_str).collect::<Vec<_>>(), fields, "{name}")
            }
            None => assert!(fields.is_empty() && !answer.is_null(), "{name}"),
        }
    }
}

/// Whatever stands in one field, the answer is a finite figure or a refusal that names an input: never a panic, never a
/// figure that was not asked for.
#[test]
fn a_smudge_in_any_field_is_refused_or_answered_and_never_breaks() {
    let smudges = [
        json!(-1),
        json!(0),
        json!(0.5),
        json!(1),
        json!(2),
        json!(3),
        json!(1e6),
        json!(-1e6),
        json!(1e300),
        json!(-1e300),
        json!(1e-300),
        json!(u64::MAX),
        json!(true),
        json!(""),
        json!("x"),
        json!([]),
        json!([1]),
        json!([0, 0]),
        json!([1e300, -1e300]),
        json!([[]]),
        json!([null, "x"]),
        json!([["a", "a", null]]),
        json!([["a", "b", null], ["b", "a", null]]),
        json!({}),
        json!({"days": 1}),
    ];
    for (name, inputs, _) in examples() {
        let keys: Vec<String> =
            inputs.as_object().into_iter().flatten().map(|(key, _)| key.clone()).collect();
        for key in keys {
            for smudge in &smudges {
                let mut smudged = inputs.clone();
                smudged[&key] = smudge.clone();
                match reckon(name, &smudged) {
                    Ok(answer) => assert!(!answer.is_null(), "{name} {smudged}"),
                    Err(Refused::NoFiniteAnswer) => {}
                    Err(no) => assert!(no.name().is_some(), "{name} {smudged}: {no}"),
                }
            }
            let mut without = inputs.clone();
            without[&key] = Value::Null;
            if let Err(no) = reckon(name, &without) {
                assert!(no.name().is_some(), "{name} without {key}: {no}");
            }
        }
    }
}

#[test]
fn the_figures_that_other_people_printed() {
    let ask = |name: &str, inputs: Value| reckon(name, &inputs).unwrap_or_else(|no| panic!("{name}: {no}"));
    let near = |value: &Value, printed: f64, half_unit: f64| {
        let ours = value.as_f64().unwrap_or(f64::NAN);
        assert!((ours - printed).abs() <= half_unit, "{ours} is not {printed}");
    };
    let pick = |name| {
        examples()
            .into_iter()
            .find(|(known, _, _)| *known == name)
            .map(|(_, inputs, _)| inputs)
            .unwrap_or_default()
    };
    // Kaplan-Meier of the 6-MP arm (Freireich et al. 1963) as survival textbooks print it.
    let at = ask("kaplan-meier", pick("kaplan-meier"));
    near(&at["survival"], 0.8571, 5e-5);
    near(&at["greenwood_se"], 0.0764, 5e-5);
    near(&at["low"], 0.6197, 5e-5);
    near(&at["high"], 0.9516, 5e-5);
    // The log-rank test of the same trial: 16.79 on 1 degree of freedom. Both ways of writing a group are read.
    let placebo = json!({"days": [1, 22, 3, 12, 8, 17, 2, 11, 8, 12, 2, 5, 4, 15, 8, 23, 5, 11, 4, 1, 8], "died": vec![1; 21]});
    let treated = pick("kaplan-meier");
    let treated: Vec<Value> =
        (0..21).map(|i| json!({"days": treated["days"][i], "died": treated["died"][i]})).collect();
    let test = ask("log-rank", json!({"groups": [treated, placebo]}));
    near(&test["chi_square"], 16.79294, 5e-6);
    near(&test["p"], 4.169e-5, 5e-9);
    assert_eq!(test["degrees_of_freedom"], 1);
    // Two claims 40 apart: Hartung & Knapp's interval is honest and useless.
    let two = ask("combine", pick("combine"));
    near(&two["low"], -196.624_094_723, 1e-6);
    near(&two["high"], 311.624_094_723, 1e-6);
    near(&ask("inbreeding", pick("inbreeding"))["z"], 0.25, 1e-12);
}

#[test]
fn a_dilution_never_leaves_without_its_cautions() {
    let ask = |change: Value| {
        let mut inputs = json!({"stock_percent": 37, "basis": "w/w", "density_g_ml": 1.09, "target_percent": 2,
                                "target_basis": "w/v", "volume_ml": 1000});
        for (key, value) in change.as_object().into_iter().flatten() {
            inputs[key] = value.clone();
        }
        reckon("dilution", &inputs)
    };
    let said = |answer: Value| answer["cautions"].to_string();
    let all = ask(json!({})).map(said).unwrap_or_default();
    assert!(
        all.contains("carcinogen")
            && all.contains("Never mix bleach with acids")
            && all.contains("Local law")
    );
    let formaldehyde = ask(json!({"agent": "formaldehyde"})).map(said).unwrap_or_default();
    assert!(formaldehyde.contains("carcinogen") && formaldehyde.contains("about 4 %"));
    let bleach =
        ask(json!({"agent": "hypochlorite", "stock_percent": 5, "basis": "w/v", "target_percent": 0.1}));
    assert!(bleach.map(said).unwrap_or_default().contains("chlorine gas"));
    // Two per cent cannot be made from one.
    let weak = ask(json!({"stock_percent": 1, "basis": "w/v"}));
    assert_eq!(weak.map_err(|no| no.name().map(str::to_owned)), Err(Some("target_percent".to_owned())));
}

/// Scripts of others ask by these names; a rename must break here first.
#[test]
fn the_promised_names_are_kept() {
    let promised = [
        "degree-days",
        "rate",
        "threshold-fit",
        "saturation-pressure",
        "dew-point",
        "vapour-pressure-deficit",
        "absolute-humidity",
        "wet-bulb",
        "binomial-interval",
        "kaplan-meier",
        "log-rank",
        "growth-rate",
        "both-sexes",
        "animals-needed",
        "same-night",
        "effective-size",
        "effective-size-z",
        "heterozygosity-kept",
        "founders-for-allele",
        "inbreeding",
        "detection-size",
        "zero-found",
        "true-prevalence",
        "alarm-run-length",
        "dilution",
        "leaf-use",
        "leaf-eaten",
        "head-width-ratio",
        "combine",
    ];
    for name in promised {
        assert!(register().iter().any(|quantity| quantity.name == name), "{name}");
    }
}
