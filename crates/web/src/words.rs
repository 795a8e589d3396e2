//! Dates, numbers and counts as a keeper says them.
//!
//! Every page words a day or a weight through this file, so that the same
//! figure never stands twice in two shapes.

use jiff::civil::{Date, DateTime, Weekday};
use terms::Stage;
use terms::night::month_name;

/// `9 June`.
///
/// ```
/// assert_eq!(web::words::day(jiff::civil::date(2025, 6, 9)), "9 June");
/// ```
#[must_use]
pub fn day(date: Date) -> String {
    format!("{} {}", date.day(), month_name(date))
}

/// `9 June`, or `24 April 2026` where the year is not the year of today.
#[must_use]
pub fn day_seen_from(today: Date, date: Date) -> String {
    if date.year() == today.year() { day(date) } else { format!("{} {}", day(date), date.year()) }
}

/// The room that the longest of these days needs in a drawing, with air between two of them.
#[must_use]
pub fn days_room(days: impl Iterator<Item = Date>) -> f64 {
    let letters = days.map(|date| month_name(date).len() + 3).max().unwrap_or(9);
    #[expect(clippy::cast_precision_loss, reason = "a month has few letters")]
    let letters = letters as f64;
    letters * 7.6 + 8.0
}

/// `Tuesday 3 June`.
#[must_use]
pub fn weekday_day(date: Date) -> String {
    format!("{} {}", weekday(date), day(date))
}

/// `Tuesday`.
#[must_use]
pub fn weekday(date: Date) -> &'static str {
    match date.weekday() {
        Weekday::Monday => "Monday",
        Weekday::Tuesday => "Tuesday",
        Weekday::Wednesday => "Wednesday",
        Weekday::Thursday => "Thursday",
        Weekday::Friday => "Friday",
        Weekday::Saturday => "Saturday",
        Weekday::Sunday => "Sunday",
    }
}

/// The part of the day a moment falls into.
#[must_use]
pub fn part_of_day(at: DateTime) -> &'static str {
    match at.hour() {
        5..=10 => "morning",
        11..=13 => "midday",
        14..=17 => "afternoon",
        18..=21 => "evening",
        _ => "night",
    }
}

/// A moment soon to come: `this evening`, `tomorrow morning`, `Tuesday morning`,
/// and with its date once the weekday alone could mean two days.
///
/// ```
/// use jiff::civil::date;
/// let now = date(2025, 6, 1).at(7, 0, 0, 0);
/// assert_eq!(web::words::soon(now, date(2025, 6, 3).at(8, 0, 0, 0)), "Tuesday morning");
/// assert_eq!(web::words::soon(now, date(2025, 6, 12).at(8, 0, 0, 0)), "12 June");
/// ```
#[must_use]
pub fn soon(now: DateTime, at: DateTime) -> String {
    let days = days_between(now.date(), at.date());
    match days {
        0 if part_of_day(at) == "night" => "tonight".to_owned(),
        0 => format!("this {}", part_of_day(at)),
        1 => format!("tomorrow {}", part_of_day(at)),
        2..=6 => format!("{} {}", weekday(at.date()), part_of_day(at)),
        _ => day_seen_from(now.date(), at.date()),
    }
}

/// Whole days from one date to another.
#[must_use]
pub fn days_between(from: Date, to: Date) -> i64 {
    from.duration_until(to).as_secs() / 86_400
}

/// `7:05`.
#[must_use]
pub fn clock(at: DateTime) -> String {
    format!("{}:{:02}", at.hour(), at.minute())
}

/// Grams of fresh leaf to the step that a kitchen scale shows, kilograms from 1,000 g on.
///
/// A figure that is no number reads `not known`, never as nothing.
///
/// ```
/// assert_eq!(web::words::grams(0.44), "0.4 g");
/// assert_eq!(web::words::grams(0.04), "under 0.1 g");
/// assert_eq!(web::words::grams(9.0), "9 g");
/// assert_eq!(web::words::grams(9.46), "9.5 g");
/// assert_eq!(web::words::grams(303.6), "304 g");
/// assert_eq!(web::words::grams(1_874.0), "1.9 kg");
/// assert_eq!(web::words::grams(f64::NAN), "not known");
/// ```
#[must_use]
pub fn grams(fresh_g: f64) -> String {
    if !fresh_g.is_finite() {
        "not known".to_owned()
    } else if fresh_g > 0.0 && fresh_g < 0.05 {
        "under 0.1 g".to_owned()
    } else if fresh_g >= 999.5 {
        format!("{} kg", plain(fresh_g / 1_000.0, 1))
    } else {
        format!("{} g", grams_bare(fresh_g))
    }
}

/// The number of [`grams`] without its unit, as it may stand in a form.
#[must_use]
pub fn grams_bare(fresh_g: f64) -> String {
    plain(fresh_g, if fresh_g.abs() < 9.95 { 1 } else { 0 })
}

/// A number with at most so many decimals and no zeros at its end.
#[must_use]
pub fn plain(number: f64, decimals: usize) -> String {
    let written = format!("{number:.decimals$}");
    if written.contains('.') {
        written.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        written
    }
}

/// A whole number with its thousands set apart: `20,000`.
#[must_use]
pub fn thousands(number: u64) -> String {
    let digits = number.to_string();
    let mut out = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// `1 box`, `6 boxes`.
#[must_use]
pub fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// The stage as it stands after a number: `3 eggs`, `1 L4`, `2 cocoons`.
#[must_use]
pub fn stage_after(stage: Stage, n: u32) -> String {
    match (stage, n) {
        (Stage::Larva(instar), _) => format!("L{instar}"),
        (one, 1) => one.to_string(),
        (many, _) => format!("{many}s"),
    }
}

/// `3 eggs`.
#[must_use]
pub fn stage_count(stage: Stage, n: u32) -> String {
    format!("{n} {}", stage_after(stage, n))
}

/// `2 L3 and 4 L4`; `nobody` if there is none.
#[must_use]
pub fn holds(expected: &[keeper::view::round::Expected]) -> String {
    let all: Vec<String> =
        expected.iter().filter(|it| it.n > 0).map(|it| stage_count(it.stage, it.n)).collect();
    if all.is_empty() { "nobody".to_owned() } else { listed(&all, "and") }
}

/// `a`, `a and b`, `a, b and c`.
#[must_use]
pub fn listed(items: &[String], and: &str) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} {and} {last}", first.join(", ")),
    }
}

/// The same words with a large first letter.
#[must_use]
pub fn upper_first(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_forecast_over_new_year_names_its_year() {
        assert_eq!(day_seen_from(date(2025, 6, 1), date(2026, 4, 24)), "24 April 2026");
    }

    #[test]
    fn counts_and_lists() {
        assert_eq!(thousands(20_000), "20,000");
        assert_eq!(thousands(999), "999");
        assert_eq!(stage_count(Stage::Egg, 1), "1 egg");
        assert_eq!(stage_count(Stage::Larva(4), 4), "4 L4");
        assert_eq!(listed(&["a".to_owned(), "b".to_owned(), "c".to_owned()], "and"), "a, b and c");
    }
}
