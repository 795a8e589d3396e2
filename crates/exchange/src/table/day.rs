//! Dates and times of day. Only the ISO order is read, because every other
//! order means two days to two people.

use jiff::civil::{Date, Time};
use terms::night::month_name;

/// Years outside are a slip of the finger.
const YEARS: std::ops::RangeInclusive<i16> = 1900..=2199;

/// A date written `2025-06-03`.
///
/// # Errors
/// A sentence that says what to write instead.
pub fn date(written: &str) -> Result<Date, String> {
    let text = written.trim();
    let parts: Vec<&str> = text.split(['-', '/', '.']).collect();
    let digits = parts.iter().all(|it| !it.is_empty() && it.bytes().all(|it| it.is_ascii_digit()));
    let [first, second, third] = parts[..] else { return Err(no_date(text)) };
    if !digits || parts.iter().any(|it| it.len() > 4) {
        return Err(no_date(text));
    }
    let number = |part: &str| part.parse::<i16>().unwrap_or_default();
    if first.len() != 4 {
        return Err(two_readings(text, number(first), number(second), number(third)));
    }
    if !text.contains('-') || second.len() != 2 || third.len() != 2 || text.len() != 10 {
        return Err(format!(
            "`{text}` is not written as a date here: write {first}-{second:0>2}-{third:0>2}"
        ));
    }
    let (year, month, day) = (number(first), number(second), number(third));
    if !YEARS.contains(&year) {
        return Err(format!("the year {year} is not one of this book: write 1900 to 2199"));
    }
    if !(1..=12).contains(&month) {
        return Err(format!("`{text}` has no month {month}: write year, month, day, such as 2025-06-03"));
    }
    civil(year, month, day).ok_or_else(|| {
        let name = Date::new(year, 1, 1).map_or("that month", |it| {
            it.with().month(i8::try_from(month).unwrap_or(1)).build().map_or("that month", month_name)
        });
        format!("{name} {year} has no day {day}: look at the date again")
    })
}

fn civil(year: i16, month: i16, day: i16) -> Option<Date> {
    Date::new(year, i8::try_from(month).ok()?, i8::try_from(day).ok()?).ok()
}

fn no_date(text: &str) -> String {
    format!("`{text}` is no date: write year, month, day, such as 2025-06-03")
}

/// `3/4/25`: the day or the month may stand first.
fn two_readings(text: &str, first: i16, second: i16, year: i16) -> String {
    let year = if year < 100 { year + 2000 } else { year };
    let readings: Vec<Date> =
        [civil(year, second, first), civil(year, first, second)].into_iter().flatten().collect();
    let said = |it: &Date| format!("{} {} {}", it.day(), month_name(*it), it.year());
    match &readings[..] {
        [one, other] if one != other => {
            format!("`{text}` can be read as {} or as {}: write {one} or {other}", said(one), said(other))
        }
        [one, ..] => {
            format!("`{text}` is not written as a date here: if {} is meant, write {one}", said(one))
        }
        [] => no_date(text),
    }
}

/// A time of day written `07:40`, on the 24-hour clock.
///
/// # Errors
/// A sentence that says what to write instead.
pub fn time(written: &str) -> Result<Time, String> {
    let text = written.trim();
    let no = || format!("`{text}` is no time of day: write hours and minutes, 00:00 to 23:59, such as 07:40");
    let parts: Vec<&str> = text.split(':').collect();
    let (hour, minute) = match parts[..] {
        [hour, minute] | [hour, minute, "00"] => (hour, minute),
        _ => return Err(no()),
    };
    let digits = |part: &str| part.bytes().all(|it| it.is_ascii_digit());
    if !(1..=2).contains(&hour.len()) || minute.len() != 2 || !digits(hour) || !digits(minute) {
        return Err(no());
    }
    let (Ok(hour), Ok(minute)) = (hour.parse(), minute.parse()) else { return Err(no()) };
    Time::new(hour, minute, 0, 0).map_err(|_| no())
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may panic")]
mod tests {
    use super::*;

    #[test]
    fn iso_dates_only() {
        assert_eq!(date("2025-06-03").unwrap().to_string(), "2025-06-03");
        for bad in [
            "",
            "2025-13-01",
            "2025-02-30",
            "2025-6-3",
            "3 June 2025",
            "20250603",
            "0025-06-03",
            "2025/06/03",
        ] {
            assert!(date(bad).is_err(), "{bad}");
        }
        assert_eq!(date("2025-02-30").unwrap_err(), "February 2025 has no day 30: look at the date again");
        assert_eq!(
            date("2025-6-3").unwrap_err(),
            "`2025-6-3` is not written as a date here: write 2025-06-03"
        );
    }

    #[test]
    fn a_date_that_can_be_read_two_ways_names_both() {
        assert_eq!(
            date("3/4/25").unwrap_err(),
            "`3/4/25` can be read as 3 April 2025 or as 4 March 2025: write 2025-04-03 or 2025-03-04"
        );
        assert!(date("23.4.2025").unwrap_err().ends_with("if 23 April 2025 is meant, write 2025-04-23"));
        assert!(date("4/4/25").unwrap_err().ends_with("write 2025-04-04"));
    }

    #[test]
    fn times_of_day() {
        assert_eq!(time("07:40").unwrap(), jiff::civil::time(7, 40, 0, 0));
        assert_eq!(time("7:40:00").unwrap(), jiff::civil::time(7, 40, 0, 0));
        for bad in ["", "24:00", "07:60", "7.40", "7 am", "07:40:30", "0740", "+7:40"] {
            assert!(time(bad).is_err(), "{bad}");
        }
    }
}
