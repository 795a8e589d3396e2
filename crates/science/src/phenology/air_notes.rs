//! What a series of temperatures has to say about itself.

use super::air::Reading;

/// Why a reading was left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Suspicion {
    /// Not a number.
    NotANumber,
    /// Exactly 85 degrees: what a digital sensor says after losing its supply (common practice, no source).
    LostSupply,
    /// Outside -40 to 60 degrees.
    Implausible,
    /// One reading far from both of its neighbours.
    Jump,
    /// The day's lowest above its highest.
    LowAboveHigh,
    /// The day's mean not between its lowest and its highest; the two were kept.
    MeanOutside,
}

/// Something about the temperatures that the keeper should know.
#[derive(Debug, Clone, PartialEq)]
pub enum AirNote {
    /// Nobody measured between the two instants: a straight line, or a repeated day, stands in.
    Bridged {
        /// Last instant known before, days.
        from_d: f64,
        /// First instant known after, days.
        to_d: f64,
    },
    /// A reading was not used.
    LeftOut {
        /// When, days.
        at_d: f64,
        /// What it said, degrees Celsius.
        air_c: f64,
        /// Why it was not used.
        why: Suspicion,
    },
    /// The same figure over and over: used, but look at the logger.
    Stuck {
        /// First of the equal readings, days.
        from_d: f64,
        /// Last of the equal readings, days.
        to_d: f64,
        /// The figure, degrees Celsius.
        air_c: f64,
    },
}

impl AirNote {
    /// Where the note begins, days.
    pub fn from_d(&self) -> f64 {
        match self {
            AirNote::Bridged { from_d, .. } | AirNote::Stuck { from_d, .. } => *from_d,
            AirNote::LeftOut { at_d, .. } => *at_d,
        }
    }

    /// Where the note ends, days.
    pub fn to_d(&self) -> f64 {
        match self {
            AirNote::Bridged { to_d, .. } | AirNote::Stuck { to_d, .. } => *to_d,
            AirNote::LeftOut { at_d, .. } => *at_d,
        }
    }

    /// Does the note tell of a stretch without readings?
    pub fn is_bridge(&self) -> bool {
        matches!(self, AirNote::Bridged { .. })
    }
}

/// Equal readings for this long are suspicious, days.
const STUCK_D: f64 = 2.0;
/// ... if there are at least this many of them,
const STUCK_READINGS: usize = 24;
/// ... and the series varies by more than this elsewhere, degrees.
const VARIES_C: f64 = 2.0;

/// Stretches in which the logger repeats itself. A room that never changes is a thermostat, not a fault.
pub(super) fn stuck(sorted: &[Reading]) -> Vec<AirNote> {
    let low = sorted.iter().map(|it| it.air_c).fold(f64::INFINITY, f64::min);
    let high = sorted.iter().map(|it| it.air_c).fold(f64::NEG_INFINITY, f64::max);
    if sorted.is_empty() || high - low <= VARIES_C {
        return Vec::new();
    }
    sorted
        .chunk_by(|a, b| (a.air_c - b.air_c).abs() < 1e-9)
        .filter_map(|same| match (same.first(), same.last()) {
            (Some(first), Some(last))
                if same.len() >= STUCK_READINGS && last.at_d - first.at_d >= STUCK_D =>
            {
                Some(AirNote::Stuck { from_d: first.at_d, to_d: last.at_d, air_c: first.air_c })
            }
            _ => None,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn readings(air_c: impl Fn(u32) -> f64) -> Vec<Reading> {
        (0..200).map(|it| Reading { at_d: f64::from(it) / 24.0, air_c: air_c(it) }).collect()
    }

    #[test]
    fn a_repeating_logger_is_noticed() {
        let seen = stuck(&readings(|it| if it < 100 { 15.0 + f64::from(it % 12) } else { 18.5 }));
        assert_eq!(seen.len(), 1);
        assert!((seen[0].from_d() - 100.0 / 24.0).abs() < 1e-9);
    }

    #[test]
    fn a_thermostat_is_not_a_fault() {
        assert!(stuck(&readings(|_| 25.0)).is_empty());
        assert!(stuck(&readings(|it| 25.0 + 0.5 * f64::from(it % 3))).is_empty());
    }
}
