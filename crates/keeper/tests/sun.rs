//! Sun times against another engine's, through the register as scripts ask it.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

use jiff::Timestamp;
use keeper::reckon::reckon;
use serde_json::Value;

/// Rows that ask something else: the position of the sun itself, times to the minute, another model's day length.
const LEFT_OUT: [&str; 9] = [
    "azimuth_deg",
    "day_length_h_cbm",
    "declination_geocentric_deg",
    "earth_sun_distance_au",
    "equation_of_time_min",
    "right_ascension_deg",
    "sunrise_local",
    "sunset_local",
    "zenith_topocentric_deg",
];

/// Nine places on five dates, with the polar night and the midnight sun among them, each within the tolerance that
/// the table states: 60 s below 66 degrees, 180 s above, 0.03 h for the length of the day.
#[test]
fn sun_times_agree_with_another_engine() {
    let path = format!("{}/../../reference/oracles/07_sun.csv", env!("CARGO_MANIFEST_DIR"));
    let mut table = csv::Reader::from_path(path).unwrap();
    let (mut checked, mut polar) = (0, 0);
    for row in table.records() {
        let row = row.unwrap();
        let (case, quantity, inputs, expected, tolerance) = (&row[0], &row[1], &row[2], &row[3], &row[4]);
        if LEFT_OUT.contains(&quantity) || quantity == "quantity" {
            continue;
        }
        let inputs: Value = serde_json::from_str(inputs).unwrap();
        let ours = reckon(quantity, &inputs).unwrap_or_else(|refused| panic!("{case} {quantity}: {refused}"));
        checked += 1;
        match (expected.parse::<Timestamp>(), expected.parse::<f64>()) {
            (Ok(theirs), _) => {
                let ours: Timestamp =
                    ours.as_str().unwrap().parse().unwrap_or_else(|_| panic!("{case} {quantity}: {ours}"));
                let allowed_s: i64 = tolerance.trim_end_matches(" s").parse().unwrap();
                let off_s = (ours.as_second() - theirs.as_second()).abs();
                assert!(off_s <= allowed_s, "{case} {quantity}: {off_s} s off, {ours} against {theirs}");
            }
            (_, Ok(theirs)) => {
                let off = (ours.as_f64().unwrap() - theirs).abs();
                assert!(
                    off <= tolerance.parse::<f64>().unwrap(),
                    "{case} {quantity}: {ours} against {theirs}"
                );
            }
            _ => {
                assert_eq!(ours, expected, "{case} {quantity}");
                polar += 1;
            }
        }
    }
    assert!(checked >= 132 && polar >= 12, "only {checked} rows were checked, {polar} of them polar");
}

#[test]
fn a_day_or_place_that_cannot_be_is_refused_by_name() {
    let refused = |inputs: Value| reckon("sun", &inputs).unwrap_err().to_string();
    let ask = |latitude: f64, date: &str| serde_json::json!({"latitude_deg": latitude, "longitude_deg": 0.0, "date": date});
    assert!(refused(ask(95.0, "2025-06-21")).contains("latitude_deg"));
    assert!(refused(ask(50.0, "2025-02-30")).contains("date"));
    assert!(refused(ask(50.0, "21.6.2025")).contains("date"));
    assert!(refused(serde_json::json!({"latitude_deg": 50.0})).contains("is missing"));
}
