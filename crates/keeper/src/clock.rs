//! The only place that asks what time it is.

use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use std::str::FromStr;
use std::time::Instant;

/// At this hour of a day named without a time the morning round has not begun.
pub const MORNING_HOUR: i8 = 7;

/// A moment as a person names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AsOf {
    /// A day: its morning, before the round.
    Morning(Date),
    /// A time on the keeper's wall.
    OnTheWall(DateTime),
    /// An instant.
    Instant(Timestamp),
}

/// Words that name no moment.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no day or moment: write 2025-06-01, 2025-06-01T07:40 or 2025-06-01T06:40:00Z")]
pub struct NotAMoment(pub String);

impl FromStr for AsOf {
    type Err = NotAMoment;

    fn from_str(words: &str) -> Result<Self, NotAMoment> {
        let words = words.trim();
        if words.len() <= 10 {
            words.parse().map(AsOf::Morning).map_err(|_| NotAMoment(words.to_owned()))
        } else if let Ok(instant) = words.parse() {
            Ok(AsOf::Instant(instant))
        } else {
            words.parse().map(AsOf::OnTheWall).map_err(|_| NotAMoment(words.to_owned()))
        }
    }
}

impl AsOf {
    /// The instant. A wall time that the clocks skipped is read as the time
    /// after the jump, a doubled one as the first of the two.
    #[must_use]
    pub fn in_zone(self, zone: &TimeZone) -> Timestamp {
        let wall = match self {
            AsOf::Instant(at) => return at,
            AsOf::Morning(day) => day.at(MORNING_HOUR, 0, 0, 0),
            AsOf::OnTheWall(wall) => wall,
        };
        zone.to_ambiguous_zoned_datetime(wall).compatible().map_or(Timestamp::UNIX_EPOCH, |it| it.timestamp())
    }
}

/// A clock that a book is kept by.
#[derive(Debug, Clone, Copy)]
pub enum Clock {
    /// The clock of this machine.
    Wall,
    /// Stands still, for looking back and for tests.
    Still(Timestamp),
    /// Goes on from a moment of a demo season, as if it were now.
    GoingOnFrom {
        /// The moment.
        start: Timestamp,
        /// When that moment was.
        set: Instant,
    },
}

impl Clock {
    /// A clock that goes on from a moment.
    #[must_use]
    #[expect(clippy::disallowed_methods, reason = "this is the one clock of the house")]
    pub fn going_on_from(start: Timestamp) -> Clock {
        Clock::GoingOnFrom { start, set: Instant::now() }
    }

    /// The moment, to the microsecond, as the book keeps it.
    #[must_use]
    #[expect(clippy::disallowed_methods, reason = "this is the one clock of the house")]
    pub fn now(self) -> Timestamp {
        let now = match self {
            Clock::Wall => Timestamp::now(),
            Clock::Still(at) => at,
            Clock::GoingOnFrom { start, set } => {
                let gone = SignedDuration::try_from(set.elapsed()).unwrap_or(SignedDuration::ZERO);
                start.saturating_add(gone).unwrap_or(start)
            }
        };
        Timestamp::from_microsecond(now.as_microsecond()).unwrap_or(now)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn a_day_is_its_morning_and_a_moment_is_itself() {
        let zone = TimeZone::get("Europe/London").unwrap();
        let at = |words: &str| words.parse::<AsOf>().unwrap().in_zone(&zone).to_string();
        assert_eq!(at("2025-06-01"), "2025-06-01T06:00:00Z");
        assert_eq!(at("2025-06-01T07:40"), "2025-06-01T06:40:00Z");
        assert_eq!(at("2025-06-01T07:40:00+02:00"), "2025-06-01T05:40:00Z");
        // 01:30 is skipped on the day on which the clocks go forward.
        assert_eq!(at("2025-03-30T01:30"), "2025-03-30T01:30:00Z");
        for words in ["", "June", "2025-13-01", "2025-06-01T25:00", "1.6.2025"] {
            assert!(words.parse::<AsOf>().is_err(), "{words}");
        }
    }
}
