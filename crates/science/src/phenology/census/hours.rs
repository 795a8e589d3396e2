//! A clock by whole hours in single precision, for millions of look-ups: good to a second or two within a season.

/// What an hour adds.
#[derive(Debug, Clone, Copy)]
struct Hour {
    /// Units at its beginning.
    units: f32,
    /// Units that it adds.
    slope: f32,
    /// One over that; endless where nothing is added, so that whoever needs anything walks on.
    inverse: f32,
    /// Rounds the row up to sixteen bytes.
    _even: f32,
}

/// Units added up hour by hour, and the way back.
#[derive(Debug, Clone)]
pub(super) struct HourClock {
    hours: Vec<Hour>,
    guide: Vec<u32>,
    slices_per_unit: f32,
    total: f32,
    /// The same sums in full precision, for the chances.
    pub(super) units: Vec<f64>,
}

/// Slices of the guide for each hour.
const SLICES_PER_HOUR: usize = 4;

/// The whole part of a number from 0 to 2 million; a whole number may give itself less one.
#[inline]
pub(super) fn whole(x: f32) -> usize {
    /// Adding this leaves the rounded whole part in the lowest bits.
    const SHIFT: f32 = 12_582_912.0;
    (((x - 0.5) + SHIFT).to_bits() & 0x3f_ffff) as usize
}

impl HourClock {
    pub(super) fn new(per_hour: impl Iterator<Item = f64>) -> HourClock {
        let mut units = vec![0.0];
        let mut sum = 0.0;
        units.extend(per_hour.map(|it| {
            sum += it.max(0.0);
            sum
        }));
        let last = units.len() - 1;
        let mut hours: Vec<Hour> = units
            .windows(2)
            .map(|it| {
                let slope = (it[1] as f32) - (it[0] as f32);
                Hour {
                    units: it[0] as f32,
                    slope,
                    inverse: if slope > 0.0 { 1.0 / slope } else { f32::MAX },
                    _even: 0.0,
                }
            })
            .collect();
        let total = sum as f32;
        hours.push(Hour { units: total, slope: 0.0, inverse: 0.0, _even: 0.0 });
        // Nobody steps beyond the end.
        hours.push(Hour { units: f32::INFINITY, slope: 0.0, inverse: 0.0, _even: 0.0 });
        let slices = last * SLICES_PER_HOUR;
        let slices_per_unit = if total > 0.0 { slices as f32 / total } else { 0.0 };
        let mut hour = 0;
        let guide = (0..=slices + 1).map(|slice| {
            // A little early, so that rounding never lands beyond the hour.
            let begins = (slice as f32 - 0.02) / slices_per_unit.max(f32::MIN_POSITIVE);
            while hour < last && hours[hour + 1].units <= begins {
                hour += 1;
            }
            hour as u32
        });
        let guide = guide.collect();
        HourClock { hours, guide, slices_per_unit, total, units }
    }

    /// The hours at which so many more units have been added than at `from_h`; the end of the clock if they never are.
    pub(super) fn after(&self, from_h: &[f32], need: &[f32], to_h: &mut [f32]) {
        let (hours, guide) = (&self.hours[..], &self.guide[..]);
        let (total, slices_per_unit) = (self.total, self.slices_per_unit);
        let end_h = (hours.len() - 2) as f32;
        for ((from_h, need), to_h) in from_h.iter().zip(need).zip(to_h) {
            let hour = whole(*from_h);
            let from = hours[hour];
            let wanted = from.units + (*from_h - hour as i32 as f32) * from.slope + need;
            let ends = wanted < total;
            let wanted = if ends { wanted } else { total };
            let mut hour = guide[whole(wanted * slices_per_unit)] as usize;
            hour += usize::from(hours[hour + 1].units <= wanted);
            let at = hours[hour];
            let part = (wanted - at.units) * at.inverse;
            let within =
                if part <= 1.000_01 { hour as i32 as f32 + part } else { self.walk_on(hour, wanted) };
            *to_h = if ends { within } else { end_h };
        }
    }

    /// Cold hours lie close together in the guide: the rest of the way is walked.
    #[cold]
    fn walk_on(&self, mut hour: usize, wanted: f32) -> f32 {
        while self.hours[hour + 1].units <= wanted {
            hour += 1;
        }
        let at = self.hours[hour];
        hour as f32 + (wanted - at.units) * at.inverse
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dice::Dice;

    #[test]
    fn whole_numbers() {
        assert_eq!([0.0, 0.3, 0.9, 1.2, 3599.9].map(whole), [0, 0, 0, 1, 3599]);
        assert!((2..5000).all(|it| [it, it - 1].contains(&whole(it as f32))));
    }

    /// The slow twin: add up hour by hour until the need is met, cold stretches and all.
    #[test]
    fn agrees_with_stepping() {
        let mut dice = Dice::seeded(3);
        let per_hour: Vec<f64> =
            (0..2000).map(|it| if it % 90 < 25 { 0.0 } else { dice.unit() * 0.01 }).collect();
        let clock = HourClock::new(per_hour.iter().copied());
        for _ in 0..20_000 {
            let (from, need) = (dice.unit() * 2000.0, dice.unit() * 8.0);
            let (mut at, mut left) = (from, need);
            let mut ends = false;
            while at < 2000.0 {
                let rate = per_hour[at as usize];
                let to_next = at.floor() + 1.0 - at;
                if rate * to_next >= left {
                    at += left / rate;
                    ends = true;
                    break;
                }
                left -= rate * to_next;
                at = at.floor() + 1.0;
            }
            let mut fast = [0.0];
            clock.after(&[from as f32], &[need as f32], &mut fast);
            let fast = fast[0];
            // What is left over may round to either side of a cold stretch: the units must agree.
            let shown = |h: f64| {
                let place = (h as usize).min(1999);
                clock.units[place] + (h - place as f64) * per_hour[place]
            };
            assert_eq!(fast < 2000.0, ends, "{from} {need}");
            assert!((shown(f64::from(fast)) - shown(at)).abs() < 2e-5, "{from} {need}: {fast} {at}");
        }
    }
}
