//! The two files that a keeper without a book would hand in.

use crate::air::{Air, HOURS};
use crate::assumed::{stage_name, told};
use crate::brood::Brood;
use crate::census::Count;
use crate::world::{Ahead, World, shift_sd_c};
use jiff::ToSpan;
use jiff::civil::{DateTime, date};
use serde_json::{Value, json};
use std::fmt::Write;
use std::sync::OnceLock;

/// Midnight of day 0.
fn midnight() -> DateTime {
    date(2031, 5, 1).at(0, 0, 0, 0)
}

/// A moment as a file writes it.
#[must_use]
pub fn words(at_d: f64) -> String {
    let seconds = (at_d * 86_400.0).round() as i64;
    (midnight() + seconds.seconds()).to_string()
}

/// The moments of the hourly readings as the file writes them: the same for every brood.
fn hours() -> &'static [String] {
    static HOURLY: OnceLock<Vec<String>> = OnceLock::new();
    HOURLY.get_or_init(|| (0..HOURS).map(|hour| words(hour as f64 / 24.0)).collect())
}

/// The day number of a moment that a file wrote.
#[must_use]
pub fn day_of(words: &str) -> Option<f64> {
    let at: DateTime = words.parse().ok()?;
    let span = at.since((jiff::Unit::Second, midnight())).ok()?;
    Some(span.get_seconds() as f64 / 86_400.0)
}

/// `brood.json`; without its counts when `counts` is empty.
#[must_use]
pub fn brood_json(world: &World, brood: &Brood, counts: &[Count], asof_d: f64) -> String {
    let counts: Vec<Value> = counts
        .iter()
        .map(|count| {
            let seen = count.seen.iter().enumerate().filter(|(_, n)| **n > 0);
            let alive: serde_json::Map<String, Value> =
                seen.map(|(stage, n)| (stage_name(stage).to_owned(), json!(n))).collect();
            json!({"at": words(count.at_d), "alive": alive})
        })
        .collect();
    json!({
        "assume": told(world.delicate),
        "started": {"at": words(brood.laid_d), "stage": "egg", "animals": brood.animals.len()},
        "counts": counts,
        "asof": words(asof_d),
    })
    .to_string()
}

/// `readings.csv` of the thermometer, and what it is said will come. `shift` is how far off that is, in standard
/// deviations.
#[must_use]
pub fn readings_csv(world: &World, air: &Air, asof_d: f64, shift: f64) -> String {
    let mut text = String::with_capacity(27 * HOURS);
    text.push_str("at,air_c\n");
    for (hour, at) in hours().iter().enumerate() {
        let at_d = hour as f64 / 24.0;
        let lead_d = at_d - asof_d;
        let said_c = match world.ahead {
            _ if lead_d <= 0.0 => 0.0,
            Ahead::True => 0.0,
            Ahead::Off => shift * shift_sd_c(lead_d),
            Ahead::Nothing => break,
        };
        let air_c = air.hourly_c[hour] + world.reads_high_c + said_c;
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{at},{air_c:.2}");
    }
    text
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn a_moment_comes_back_as_it_was_written() {
        assert_eq!(words(31.5), "2031-06-01T12:00:00");
        for at_d in [0.0, 8.0 / 24.0, 100.25] {
            assert!((day_of(&words(at_d)).unwrap() - at_d).abs() < 1e-9);
        }
        assert!((day_of("2031-04-30T00:00:00").unwrap() + 1.0).abs() < 1e-9);
        assert_eq!(day_of("tomorrow"), None);
    }
}
