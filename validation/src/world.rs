//! How a made world is, and in what it differs from the one that the engine is told of.

/// How fast the animals of a world truly develop at a temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Curve {
    /// As assumed: a straight line above the threshold.
    Straight,
    /// Briere et al. (1999), first form; agrees with the straight line at [`MEETS_C`] only.
    Briere,
}

/// What the readings say about the days after the question.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ahead {
    /// What will truly be.
    True,
    /// A series from elsewhere that is off by a shift which grows as [`shift_sd_c`] says.
    Off,
    /// Nothing: the engine takes it that the last days go on.
    Nothing,
}

/// One world.
#[derive(Debug, Clone, Copy)]
pub struct World {
    /// How it is called in tables.
    pub name: &'static str,
    /// The true curve.
    pub curve: Curve,
    /// The thermometer reads so much too high, degrees.
    pub reads_high_c: f64,
    /// Half the animals stand in a room that is so much cooler than the one with the thermometer, degrees.
    pub second_room_cooler_c: f64,
    /// One of two boxes falls sick on some day and loses nearly all its larvae.
    pub disease: bool,
    /// The room warms by so much each day, degrees.
    pub warms_c_per_d: f64,
    /// What the readings say about the days to come.
    pub ahead: Ahead,
    /// Half the eggs were laid so many days later, and nobody said so.
    pub second_lot_later_d: u32,
    /// Few eggs of a kind of which few come through, as the engine is told.
    pub delicate: bool,
}

/// The temperature at which the two curves agree, degrees.
pub const MEETS_C: f64 = 19.0;
/// No development above it on the Briere curve, degrees.
const BRIERE_TOP_C: f64 = 36.0;

impl World {
    /// The world as the engine is told it is.
    pub const RIGHT: World = World {
        name: "as assumed",
        curve: Curve::Straight,
        reads_high_c: 0.0,
        second_room_cooler_c: 0.0,
        disease: false,
        warms_c_per_d: 0.0,
        ahead: Ahead::True,
        second_lot_later_d: 0,
        delicate: false,
    };

    /// How many eggs a brood has, the least and the most.
    #[must_use]
    pub fn eggs(&self) -> (u32, u32) {
        if self.delicate { (4, 24) } else { (9, 60) }
    }
}

/// Share of a stage that the middle animal does in a day at a temperature, under the true curve.
#[must_use]
pub fn rate_per_d(curve: Curve, lower_c: f64, upper_c: f64, constant_dd: f64, air_c: f64) -> f64 {
    match curve {
        Curve::Straight => (air_c.min(upper_c) - lower_c).max(0.0) / constant_dd,
        Curve::Briere => {
            let shape = |at_c: f64| {
                if at_c <= lower_c || at_c >= BRIERE_TOP_C {
                    0.0
                } else {
                    at_c * (at_c - lower_c) * (BRIERE_TOP_C - at_c).sqrt()
                }
            };
            shape(air_c) / shape(MEETS_C) * (MEETS_C - lower_c) / constant_dd
        }
    }
}

/// How far off a supplied series is at a lead time: standard deviation of a shift that stays on one side, degrees.
/// It grows evenly to one degree after ten days. A judgement of what a good series is worth; nothing is judged by it.
#[must_use]
pub fn shift_sd_c(lead_d: f64) -> f64 {
    (0.1 * lead_d).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_curves_agree_where_they_should_and_stop_where_they_should() {
        let at = |curve, air_c| rate_per_d(curve, 8.5, 32.0, 105.0, air_c);
        assert!((at(Curve::Straight, 19.0) - 0.1).abs() < 1e-12);
        assert!((at(Curve::Briere, 19.0) - 0.1).abs() < 1e-12);
        // By hand: 25 * 16.5 * sqrt(11) against 19 * 10.5 * sqrt(17), times a tenth.
        let hand = 0.1 * (25.0 * 16.5 * 11.0_f64.sqrt()) / (19.0 * 10.5 * 17.0_f64.sqrt());
        assert!((at(Curve::Briere, 25.0) - hand).abs() < 1e-12);
        for (curve, air_c) in [(Curve::Straight, 8.0), (Curve::Briere, 8.0), (Curve::Briere, 37.0)] {
            assert!(at(curve, air_c).abs() < 1e-15, "{curve:?} at {air_c}");
        }
        assert!((at(Curve::Straight, 40.0) - 23.5 / 105.0).abs() < 1e-12);
    }

    #[test]
    fn the_shift_grows_and_then_stays() {
        for (lead_d, sd_c) in [(-3.0, 0.0), (0.0, 0.0), (5.0, 0.5), (10.0, 1.0), (60.0, 1.0)] {
            assert!((shift_sd_c(lead_d) - sd_c).abs() < 1e-12, "{lead_d}");
        }
    }
}
