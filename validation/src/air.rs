//! The air of a made room, hour by hour: days and nights, weather that lingers, walls that lag behind.

use crate::dice::Dice;
use std::f64::consts::TAU;

/// Hours that every made season has.
pub const HOURS: usize = 240 * 24;

/// Air by the hour, from midnight of day 0.
#[derive(Debug, Clone)]
pub struct Air {
    /// Degrees at the beginning of each hour.
    pub hourly_c: Vec<f64>,
}

impl Air {
    /// A season in an unheated room. `warms_c_per_d` adds a steady trend for sixty days.
    pub fn made(warms_c_per_d: f64, dice: &mut Dice) -> Air {
        let mean_c = dice.between(17.5, 20.0);
        let swing_c = dice.between(2.0, 5.0);
        let lag_h = dice.between(3.0, 12.0);
        let (lingers, weather_sd_c) = (0.75_f64, 2.0);
        let mut yesterday_c = weather_sd_c * dice.normal();
        let mut today_c = yesterday_c;
        let mut room_c = mean_c;
        let mut hourly_c = Vec::with_capacity(HOURS);
        for hour in 0..HOURS {
            let of_day_h = (hour % 24) as f64;
            if hour % 24 == 0 {
                yesterday_c = today_c;
                let fresh = (1.0 - lingers * lingers).sqrt() * weather_sd_c;
                today_c = lingers * today_c + fresh * dice.normal();
            }
            let day = hour as f64 / 24.0;
            // Warmest in the fifteenth hour outside, and in the middle of the season.
            let sun_c = swing_c * (TAU * (of_day_h - 9.0) / 24.0).sin();
            let season_c = 1.5 * (TAU * (day - 20.0) / 240.0).sin();
            let trend_c = warms_c_per_d * (day - 20.0).clamp(-20.0, 60.0);
            let weather_c = yesterday_c + (today_c - yesterday_c) * of_day_h / 24.0;
            let outside_c = mean_c + season_c + trend_c + weather_c + sun_c;
            room_c += (outside_c - room_c) / lag_h;
            hourly_c.push(room_c);
        }
        Air { hourly_c }
    }

    /// The mean of one hour.
    #[must_use]
    pub fn of_hour_c(&self, hour: usize) -> f64 {
        let here_c = self.hourly_c[hour.min(HOURS - 1)];
        let next_c = self.hourly_c[(hour + 1).min(HOURS - 1)];
        0.5 * (here_c + next_c)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_warmer_than_nights_and_weather_lingers() {
        let air = Air::made(0.0, &mut Dice::new(4));
        let mean_at = |hour: usize| {
            air.hourly_c.chunks_exact(24).map(|day| day[hour]).sum::<f64>() / (HOURS / 24) as f64
        };
        assert!(mean_at(17) > mean_at(6) + 1.0);
        let days: Vec<f64> =
            air.hourly_c.chunks_exact(24).map(|day| day.iter().sum::<f64>() / 24.0).collect();
        let change = days.windows(2).map(|pair| (pair[1] - pair[0]).powi(2)).sum::<f64>() / days.len() as f64;
        assert!(change.sqrt() > 0.3 && change.sqrt() < 2.0, "{change}");
    }

    #[test]
    fn a_trend_warms() {
        let (flat, warm) = (Air::made(0.0, &mut Dice::new(5)), Air::made(0.1, &mut Dice::new(5)));
        let gap_c = warm.of_hour_c(60 * 24) - flat.of_hour_c(60 * 24);
        assert!((gap_c - 4.0).abs() < 0.2, "{gap_c}");
    }
}
