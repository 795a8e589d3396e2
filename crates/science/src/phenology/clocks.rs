//! All clocks of a brood: one past for each shape of curve, and several futures.

use super::air::{AirSeries, hour_of, is_instant};
use super::air_notes::AirNote;
use super::clock::Clock;
use super::outlook::{Ahead, Outlook, OutlookError};
use super::rate::RateCurve;

/// Why no clock could be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum ClockFault {
    /// The instants asked for are not numbers or in the wrong order.
    #[error("the beginning must lie before the day that is asked about")]
    WrongOrder,
    /// Too long a stretch.
    #[error("the brood spans more than 40 years; look for a wrong date")]
    TooLong,
    /// No temperature is known before the day that is asked about.
    #[error(
        "no temperature is known before the day that is asked about; note one, or say how warm the room is"
    )]
    NothingKnown,
    /// The outlook holds numbers that cannot be.
    #[error(
        "the outlook must be a temperature between -40 and 60 degrees with an error that is not negative"
    )]
    Outlook,
}

/// What the air was and is expected to be, for the brood asked about.
#[derive(Debug, Clone, Copy)]
pub struct Room<'a> {
    /// What was measured. Hours after `asof_d` are not looked at.
    pub air: &'a AirSeries,
    /// What is expected.
    pub outlook: &'a Outlook,
    /// How wrong that may be.
    pub error: OutlookError,
}

/// Past and future clocks for the curves of one brood.
#[derive(Debug, Clone)]
pub struct Clocks {
    asof_d: f64,
    pairs: Vec<Pair>,
    /// For each curve that was handed in: which pair, and how many of its units one stage needs.
    stages: Vec<(usize, f64)>,
    notes: Vec<AirNote>,
    nodes: usize,
}

#[derive(Debug, Clone)]
struct Pair {
    curve: RateCurve,
    past: Clock,
    past_units: f64,
    ahead: Vec<Clock>,
}

/// How far ahead clocks reach unless asked otherwise, days: over a winter and a spring.
pub const HORIZON_D: f64 = 400.0;

impl Clocks {
    /// Lays out the clocks from `from_d` (the earliest instant that matters) over `asof_d` to `horizon_d` later.
    ///
    /// Curves of the same shape share one clock. Hours before the first reading repeat its first day, hours
    /// between the last reading and `asof_d` follow the outlook; both are reported as bridged.
    pub fn new(
        curves: &[RateCurve],
        room: &Room<'_>,
        from_d: f64,
        asof_d: f64,
        horizon_d: f64,
    ) -> Result<Clocks, ClockFault> {
        if !(is_instant(from_d) && is_instant(asof_d) && from_d <= asof_d && horizon_d > 0.0) {
            return Err(ClockFault::WrongOrder);
        }
        if asof_d - from_d + horizon_d > 40.0 * 365.25 {
            return Err(ClockFault::TooLong);
        }
        let warm_enough = |air_c: &f64| (-40.0..=60.0).contains(air_c);
        let sound = match room.outlook {
            Outlook::Thermostat { air_c } => warm_enough(air_c),
            Outlook::Series(series) => series.hourly_c().iter().all(warm_enough),
            Outlook::LastDays { .. } => true,
        };
        if !sound || !room.error.is_sound() {
            return Err(ClockFault::Outlook);
        }
        let mut notes: Vec<AirNote> =
            room.air.notes().iter().filter(|it| it.from_d() < asof_d).cloned().collect();
        let first = hour_of(from_d);
        // The hour that holds `asof_d` belongs to the past; the error of the outlook begins with the next.
        let join = hour_of(asof_d) + 1;
        let known_end = join.min(room.air.first_hour + room.air.hourly_c.len() as i64);
        let known = usize::try_from(known_end - room.air.first_hour)
            .ok()
            .and_then(|it| room.air.hourly_c.get(..it))
            .filter(|it| !it.is_empty());
        let Some(known) = known else { return Err(ClockFault::NothingKnown) };
        let assumed = Ahead::new(known, known_end, room.outlook);
        let air_c = |hour: i64| {
            if hour >= known_end {
                assumed.hour(hour)
            } else if let Ok(place) = usize::try_from(hour - room.air.first_hour) {
                known[place]
            } else {
                let day = known.len().min(24) as i64;
                known[(hour - room.air.first_hour).rem_euclid(day) as usize]
            }
        };
        let bridge =
            |from: i64, to: i64| AirNote::Bridged { from_d: from as f64 / 24.0, to_d: to as f64 / 24.0 };
        if first < room.air.first_hour {
            notes.push(bridge(first, room.air.first_hour.min(join)));
        }
        if known_end < join - 6 {
            notes.push(bridge(known_end, join));
        }
        let past_c: Vec<f64> = (first..join).map(air_c).collect();
        let far = join + (horizon_d * 24.0).ceil() as i64;
        let ahead_c: Vec<f64> = (join..far).map(air_c).collect();
        let shift_c: Vec<f64> =
            (join..far).map(|hour| room.error.at((hour - known_end) as f64 / 24.0 + 0.02)).collect();
        let nodes = room.error.nodes();
        let (first_d, join_d) = (first as f64 / 24.0, join as f64 / 24.0);
        let mut pairs: Vec<Pair> = Vec::new();
        let mut stages = Vec::with_capacity(curves.len());
        for curve in curves {
            let (shape, need) = curve.clock_and_need();
            let place = pairs.iter().position(|it| it.curve == shape).unwrap_or_else(|| {
                let past = Clock::new(&shape, first_d, &past_c);
                let ahead = nodes
                    .iter()
                    .map(|z| {
                        let hours = ahead_c.iter().zip(&shift_c);
                        Clock::from_rates(join_d, hours.map(|(air_c, sd)| shape.per_day(air_c + z * sd)))
                    })
                    .collect();
                pairs.push(Pair { curve: shape, past_units: past.total(), past, ahead });
                pairs.len() - 1
            });
            stages.push((place, need));
        }
        Ok(Clocks { asof_d, pairs, stages, notes, nodes: nodes.len() })
    }

    /// The instant that divides past from future, days.
    pub fn asof_d(&self) -> f64 {
        self.asof_d
    }

    /// How many stages the clocks were made for.
    pub fn stages(&self) -> usize {
        self.stages.len()
    }

    /// The earliest instant on the clocks, days.
    pub fn start_d(&self) -> f64 {
        self.pairs.first().map_or(self.asof_d, |it| it.past.start_d())
    }

    /// The last instant on the clocks, days.
    pub fn end_d(&self) -> f64 {
        self.pairs.first().and_then(|it| it.ahead.first()).map_or(self.asof_d, Clock::end_d)
    }

    /// Futures that are laid out; all are equally likely.
    pub fn futures(&self) -> usize {
        self.nodes
    }

    /// What the temperatures had to say.
    pub fn notes(&self) -> &[AirNote] {
        &self.notes
    }

    /// Units of its clock that the middle animal needs for a stage.
    #[inline]
    pub fn need(&self, stage: usize) -> f64 {
        self.stages[stage].1
    }

    /// Units of a stage's clock up to an instant, in one of the futures.
    #[inline]
    pub fn units_at(&self, stage: usize, future: usize, at_d: f64) -> f64 {
        let pair = &self.pairs[self.stages[stage].0];
        let ahead = &pair.ahead[future];
        if at_d <= ahead.start_d() {
            pair.past.units_at(at_d)
        } else {
            pair.past_units + ahead.units_at(at_d)
        }
    }

    /// The earliest instant by which a stage's clock shows the units; endless if that lies beyond the horizon.
    #[inline]
    pub fn when(&self, stage: usize, future: usize, units: f64) -> f64 {
        let pair = &self.pairs[self.stages[stage].0];
        let found = if units <= pair.past_units {
            pair.past.when(units)
        } else {
            pair.ahead[future].when(units - pair.past_units)
        };
        found.unwrap_or(f64::INFINITY)
    }

    /// The earliest instant by which a stage's clock shows so many units more than at an instant; endless if that
    /// lies beyond the horizon.
    #[inline]
    pub(super) fn done_by(&self, stage: usize, future: usize, from_d: f64, units: f64) -> f64 {
        let pair = &self.pairs[self.stages[stage].0];
        let ahead = &pair.ahead[future];
        if from_d <= ahead.start_d() {
            return self.when(stage, future, pair.past.units_at(from_d) + units);
        }
        // Both readings on one clock: nothing to join.
        ahead.when(ahead.units_at(from_d) + units).unwrap_or(f64::INFINITY)
    }

    /// Units of a stage's clock up to an instant that is past, and how fast they go by there, per day.
    #[inline]
    pub(super) fn past_reading(&self, stage: usize, at_d: f64) -> (f64, f64) {
        self.pairs[self.stages[stage].0].past.reading(at_d)
    }

    /// The earliest instant by which a stage's clock showed the units, for instants up to now.
    ///
    /// Before the beginning of the clock its first day is thought to have gone on for ever.
    pub(super) fn when_before(&self, stage: usize, units: f64) -> f64 {
        let past = &self.pairs[self.stages[stage].0].past;
        if units >= 0.0 {
            return past.when(units).unwrap_or(self.asof_d);
        }
        let span_d = (past.end_d() - past.start_d()).min(1.0);
        let per_day = past.units_at(past.start_d() + span_d) / span_d;
        past.start_d() + if per_day > 0.0 { (units / per_day).max(-400.0) } else { 0.0 }
    }

    /// Days that the middle animal takes for a whole stage when it enters it now and the outlook holds.
    ///
    /// `None` if it would not finish before the horizon.
    pub fn expected_stage_d(&self, stage: usize) -> Option<f64> {
        if stage >= self.stages.len() {
            return None;
        }
        let middle = self.nodes / 2;
        let done = self.when(stage, middle, self.units_at(stage, middle, self.asof_d) + self.need(stage));
        done.is_finite().then_some(done - self.asof_d)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    fn line(lower_c: f64, constant_dd: f64) -> RateCurve {
        RateCurve::Linear { lower_c, upper_c: 32.0, constant_dd }
    }

    #[test]
    fn curves_of_one_shape_share_a_clock() {
        let air = AirSeries::constant(0.0, 10.0, 20.0).unwrap();
        let room = Room { air: &air, outlook: &Outlook::LastDays { days: 3 }, error: OutlookError::NONE };
        let curves = [line(8.0, 100.0), line(8.0, 60.0), line(9.0, 60.0)];
        let clocks = Clocks::new(&curves, &room, 0.0, 10.0, 50.0).unwrap();
        assert_eq!(clocks.pairs.len(), 2);
        assert!((clocks.need(1) - 60.0).abs() < 1e-12);
        assert!((clocks.when(0, 0, 12.0 * 30.0) - 30.0).abs() < 1e-9);
        assert!((clocks.expected_stage_d(1).unwrap() - 5.0).abs() < 1e-9);
        assert!(clocks.when(0, 0, 1e9).is_infinite());
    }

    #[test]
    fn past_and_future_join_without_a_step() {
        let air = AirSeries::constant(0.0, 10.0, 20.0).unwrap();
        let outlook = Outlook::Thermostat { air_c: 26.0 };
        let room = Room { air: &air, outlook: &outlook, error: OutlookError::usual(&outlook) };
        let clocks = Clocks::new(&[line(10.0, 1.0)], &room, 0.0, 9.7, 50.0).unwrap();
        for future in 0..clocks.futures() {
            let mut last = 0.0;
            for step in 0..5900 {
                let at_d = f64::from(step) * 0.01;
                let units = clocks.units_at(0, future, at_d);
                assert!(units >= last && units - last < 0.3, "{at_d}");
                if step > 0 {
                    assert!((clocks.when(0, future, units) - at_d).abs() < 1e-6);
                }
                last = units;
            }
        }
        // Up to now all futures are one.
        assert!((clocks.units_at(0, 0, 9.7) - clocks.units_at(0, 8, 9.7)).abs() < 1e-12);
        assert!(clocks.units_at(0, 0, 30.0) < clocks.units_at(0, 8, 30.0));
    }

    #[test]
    fn what_nobody_measured_is_said() {
        let air = AirSeries::constant(5.0, 3.0, 20.0).unwrap();
        let room = Room { air: &air, outlook: &Outlook::LastDays { days: 3 }, error: OutlookError::NONE };
        let clocks = Clocks::new(&[line(10.0, 1.0)], &room, 2.0, 12.0, 50.0).unwrap();
        let expect = [
            AirNote::Bridged { from_d: 2.0, to_d: 5.0 },
            AirNote::Bridged { from_d: 8.0, to_d: 289.0 / 24.0 },
        ];
        assert_eq!(clocks.notes(), expect);
        let early = Clocks::new(&[line(10.0, 1.0)], &room, 2.0, 4.0, 50.0);
        assert_eq!(early.err(), Some(ClockFault::NothingKnown));
        let backwards = Clocks::new(&[line(10.0, 1.0)], &room, 12.0, 4.0, 50.0);
        assert_eq!(backwards.err(), Some(ClockFault::WrongOrder));
    }
}
