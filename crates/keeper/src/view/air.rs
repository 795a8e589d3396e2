//! The thermometer: what was read, and on which days nobody did.

use jiff::civil::{Date, DateTime};
use uuid::Uuid;

/// The page of one place's air.
#[derive(Debug, Clone, PartialEq)]
pub struct Air {
    /// The moment on the keeper's wall.
    pub now: DateTime,
    /// Set while the book is only a scratch book: says so.
    pub notice: Option<String>,
    /// Places where air was read or boxes stand, the one last read first.
    pub places: Vec<String>,
    /// The place that is shown; empty while there is none.
    pub place: String,
    /// What is told of the light at the place, in words; empty if nothing is.
    pub light: String,
    /// The last fortnight, newest day first.
    pub days: Vec<AirDay>,
    /// The day that is asked for first.
    pub day_to_note: Date,
    /// Which days of the fortnight nobody read, in words; empty if all were read.
    pub gaps: String,
}

/// One day.
#[derive(Debug, Clone, PartialEq)]
pub struct AirDay {
    /// The day.
    pub on: Date,
    /// What was read, if anything was.
    pub read: Option<AirSeen>,
}

/// One reading.
#[derive(Debug, Clone, PartialEq)]
pub struct AirSeen {
    /// The entry, for its undo.
    pub id: Option<Uuid>,
    /// Lowest of the day.
    pub air_c_min: f64,
    /// Highest of the day.
    pub air_c_max: f64,
    /// Lowest and highest relative humidity, as far as they were read.
    pub humidity_percent: (Option<f64>, Option<f64>),
}
