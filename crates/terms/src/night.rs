//! Nights span two dates and are named by their evening.

use jiff::ToSpan;
use jiff::civil::{Date, DateTime};
use std::fmt;

/// A night, keyed by the date of its evening: a moth at two in the morning of
/// 4 June belongs to the night of 3/4 June.
///
/// ```
/// use jiff::civil::date;
/// use terms::Night;
/// let small_hours = date(2025, 6, 4).at(2, 0, 0, 0);
/// assert_eq!(Night::holding(small_hours), Night(date(2025, 6, 3)));
/// assert_eq!(Night(date(2025, 6, 3)).to_string(), "night of 3/4 June");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Night(pub Date);

impl Night {
    /// The night that a moment belongs to; a day ends at noon.
    #[must_use]
    pub fn holding(moment: DateTime) -> Night {
        let date = moment.date();
        if moment.hour() >= 12 { Night(date) } else { Night(date.yesterday().unwrap_or(date)) }
    }
}

impl fmt::Display for Night {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (evening, morning) = (self.0, self.0.saturating_add(1.day()));
        if evening.month() == morning.month() {
            write!(f, "night of {}/{} {}", evening.day(), morning.day(), month_name(evening))
        } else {
            write!(
                f,
                "night of {} {} / {} {}",
                evening.day(),
                month_name(evening),
                morning.day(),
                month_name(morning)
            )
        }
    }
}

/// The English name of the month of a date.
#[must_use]
pub fn month_name(date: Date) -> &'static str {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    usize::try_from(date.month() - 1).ok().and_then(|index| MONTHS.get(index)).copied().unwrap_or("")
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_night_over_the_end_of_a_month_names_both() {
        assert_eq!(Night(date(2025, 5, 31)).to_string(), "night of 31 May / 1 June");
    }

    #[test]
    fn noon_begins_a_new_night() {
        let day = date(2025, 6, 3);
        assert_eq!(Night::holding(day.at(11, 59, 0, 0)), Night(date(2025, 6, 2)));
        assert_eq!(Night::holding(day.at(12, 0, 0, 0)), Night(day));
    }
}
