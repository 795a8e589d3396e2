//! Times of files: local wall times, or instants with an offset. Either way
//! days are counted on the wall of the place where the brood stands.

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::Offset;

/// How the times of one file are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Frame {
    /// The offset of the first time seen; `None` for local times.
    offset: Option<Offset>,
}

/// Words that name no time of this frame.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no time: write 2031-05-31T08:00:00, or with an offset 2031-05-31T08:00:00+02:00")]
pub struct NotATime(pub String);

impl Frame {
    /// The frame of a file, from its first time.
    #[must_use]
    pub fn of(words: &str) -> Frame {
        let words = words.trim();
        let zulu = words.ends_with('Z') || words.ends_with('z');
        let tail = words.get(19..).unwrap_or_default();
        let sign = tail.rfind(['+', '-']).and_then(|at| tail.get(at..));
        let parsed = sign.and_then(offset_of);
        Frame { offset: if zulu { Some(Offset::UTC) } else { parsed } }
    }

    /// Days since 1970 on the wall of the frame. A time with another offset is
    /// carried over; a local time in a file of instants is taken as of the frame.
    ///
    /// # Errors
    /// If the words name no time.
    pub fn day_number(&self, words: &str) -> Result<f64, NotATime> {
        let words = words.trim();
        let bad = || NotATime(words.to_owned());
        let wall: DateTime = match words.parse::<Timestamp>() {
            Ok(at) => self.offset.unwrap_or(Offset::UTC).to_datetime(at),
            Err(_) => words.parse().map_err(|_| bad())?,
        };
        let at = Offset::UTC.to_timestamp(wall).map_err(|_| bad())?;
        Ok(at.as_microsecond() as f64 / 86_400e6)
    }

    /// The time of a day number, as the file writes it, to the second.
    #[must_use]
    pub fn words(&self, at_d: f64) -> String {
        let seconds = (at_d * 86_400.0).round() as i64;
        let Ok(at) = Timestamp::from_second(seconds) else { return String::new() };
        let wall = Offset::UTC.to_datetime(at);
        match self.offset {
            None => wall.to_string(),
            Some(offset) if offset == Offset::UTC => format!("{wall}Z"),
            Some(offset) => {
                let minutes = offset.seconds() / 60;
                let sign = if minutes < 0 { '-' } else { '+' };
                format!("{wall}{sign}{:02}:{:02}", minutes.abs() / 60, minutes.abs() % 60)
            }
        }
    }
}

/// `+02:00`, `-0530` or `+02`.
fn offset_of(words: &str) -> Option<Offset> {
    let digits: String = words.get(1..)?.chars().filter(char::is_ascii_digit).collect();
    let hours: i32 = digits.get(0..2)?.parse().ok()?;
    let minutes: i32 = digits.get(2..4).map_or(Some(0), |it| it.parse().ok())?;
    let seconds = (hours * 60 + minutes) * 60;
    Offset::from_seconds(if words.starts_with('-') { -seconds } else { seconds }).ok()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp, reason = "a test may panic, and these days are exact")]
    use super::*;

    #[test]
    fn local_times_come_back_as_they_were_written() {
        let frame = Frame::of("2031-06-02T08:00:00");
        let at_d = frame.day_number("2031-06-02T08:00:00").unwrap();
        assert_eq!(frame.words(at_d), "2031-06-02T08:00:00");
        assert_eq!(frame.day_number("1970-01-02T12:00:00").unwrap(), 1.5);
        assert!(frame.day_number("tomorrow").is_err());
    }

    #[test]
    fn instants_are_carried_to_the_frame_of_the_file() {
        let frame = Frame::of("2031-06-02T08:00:00+02:00");
        let same = ["2031-06-02T08:00:00+02:00", "2031-06-02T06:00:00Z", "2031-06-02T01:00:00-05:00"];
        for words in same {
            let at_d = frame.day_number(words).unwrap();
            assert_eq!(frame.words(at_d), "2031-06-02T08:00:00+02:00", "{words}");
        }
        assert_eq!(Frame::of("2031-06-02T08:00:00Z").words(0.5), "1970-01-01T12:00:00Z");
    }
}
