//! Words for days, times and numbers, the same on every face.

use jiff::civil::{Date, DateTime, Weekday};
use terms::night::month_name;

/// `9 June`.
#[must_use]
pub fn day(date: Date) -> String {
    format!("{} {}", date.day(), month_name(date))
}

/// Days of one sentence: `9 June`, with the year where it is not that of the day before it, or of today.
#[derive(Debug, Clone, Copy)]
pub struct Days {
    year: i16,
}

impl Days {
    /// A sentence that is said today.
    #[must_use]
    pub fn seen_from(today: Date) -> Days {
        Days { year: today.year() }
    }

    /// The next day of the sentence.
    pub fn say(&mut self, date: Date) -> String {
        let known = std::mem::replace(&mut self.year, date.year());
        if date.year() == known { day(date) } else { format!("{} {}", day(date), date.year()) }
    }
}

/// `Sunday 1 June 2025`.
#[must_use]
pub fn long_day(date: Date) -> String {
    format!("{} {} {}", weekday(date.weekday()), day(date), date.year())
}

/// `1 June 2025, 07:40`.
#[must_use]
pub fn day_and_time(moment: DateTime) -> String {
    format!("{} {}, {:02}:{:02}", day(moment.date()), moment.year(), moment.hour(), moment.minute())
}

/// `Tuesday morning`, `Tuesday afternoon`, `Tuesday night`: as exact as a forecast of hours is.
#[must_use]
pub fn part_of_day(moment: DateTime) -> String {
    let part = match moment.hour() {
        0..=4 => "before dawn",
        5..=11 => "morning",
        12..=17 => "afternoon",
        _ => "evening",
    };
    format!("{} {part}", weekday(moment.date().weekday()))
}

/// The English name of a weekday.
#[must_use]
pub fn weekday(day: Weekday) -> &'static str {
    match day {
        Weekday::Monday => "Monday",
        Weekday::Tuesday => "Tuesday",
        Weekday::Wednesday => "Wednesday",
        Weekday::Thursday => "Thursday",
        Weekday::Friday => "Friday",
        Weekday::Saturday => "Saturday",
        Weekday::Sunday => "Sunday",
    }
}

/// Grams as they are weighed: two figures that count, a tenth at the finest.
#[must_use]
pub fn grams(grams: f64) -> String {
    if !grams.is_finite() {
        "unknown".to_owned()
    } else if grams < 9.95 {
        format!("{grams:.1}")
    } else if grams < 99.5 {
        format!("{grams:.0}")
    } else {
        format!("{:.0}", (grams / 10.0).round() * 10.0)
    }
}

/// Grams with their unit, kilograms from a thousand on: `340 g`, `5.1 kg`.
#[must_use]
pub fn mass(grams: f64) -> String {
    if grams < 995.0 { format!("{} g", self::grams(grams)) } else { format!("{:.1} kg", grams / 1000.0) }
}

/// `a`, `a and b`, `a, b and c`.
#[must_use]
pub fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// `1 box`, `3 boxes`.
#[must_use]
pub fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn days_and_grams() {
        assert_eq!(long_day(date(2025, 6, 1)), "Sunday 1 June 2025");
        let mut days = Days::seen_from(date(2025, 6, 1));
        assert_eq!(
            [date(2025, 12, 31), date(2026, 4, 24), date(2026, 5, 1)].map(|it| days.say(it)),
            ["31 December", "24 April 2026", "1 May"]
        );
        assert_eq!(part_of_day(date(2025, 6, 3).at(8, 0, 0, 0)), "Tuesday morning");
        assert_eq!(
            [grams(0.34), grams(9.96), grams(34.4), grams(304.0), grams(f64::NAN)],
            ["0.3", "10", "34", "300", "unknown"]
        );
        assert_eq!([mass(304.0), mass(5_130.0), mass(0.34)], ["300 g", "5.1 kg", "0.3 g"]);
        assert_eq!(list(&["a".into(), "b".into(), "c".into()]), "a, b and c");
    }
}
