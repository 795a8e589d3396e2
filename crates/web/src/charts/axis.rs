//! A line of days under a picture.

use crate::words;
use jiff::civil::{Date, DateTime};
use jiff::{SignedDuration, ToSpan};
use maud::{Markup, html};
use terms::night::month_name;

use super::px;

/// Whole days laid out from left to right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis {
    /// Midnight before the first day.
    pub from: DateTime,
    /// How many days.
    pub days_d: f64,
    /// Where the first midnight is drawn.
    pub left: f64,
    /// How wide all days are together.
    pub width: f64,
}

impl Axis {
    /// The axis that holds all moments and at least `days_min_d` days, with a
    /// day of air on both sides; `None` without any moment.
    #[must_use]
    pub fn over(moments: &[DateTime], left: f64, width: f64, days_min_d: i64) -> Option<Axis> {
        let (first, last) = (moments.iter().min()?.date(), moments.iter().max()?.date());
        let held_d = words::days_between(first, last) + 3;
        let spare_d = (days_min_d - held_d).max(0) / 2;
        let from = first.saturating_sub((spare_d + 1).days()).at(0, 0, 0, 0);
        let days_d = held_d.max(days_min_d);
        #[expect(clippy::cast_precision_loss, reason = "a season has few days")]
        let days_d = days_d as f64;
        Some(Axis { from, days_d, left, width })
    }

    /// Where a moment is drawn.
    #[must_use]
    pub fn x(&self, at: DateTime) -> f64 {
        self.left + self.width * days_of(at.duration_since(self.from)) / self.days_d
    }

    /// The width of one day.
    #[must_use]
    pub fn day_width(&self) -> f64 {
        self.width / self.days_d
    }

    /// Is this moment on the axis?
    #[must_use]
    pub fn holds(&self, at: DateTime) -> bool {
        let x = self.x(at);
        x >= self.left && x <= self.left + self.width
    }

    /// Every so many days a date that has room for its words: the place of its noon and the words.
    #[must_use]
    pub fn labels(&self, today: Date) -> Vec<(f64, String)> {
        let from = self.from.date();
        #[expect(clippy::cast_possible_truncation, reason = "a season has few days")]
        let weeks = (self.days_d / 7.0) as i32;
        let room =
            words::days_room((0..=weeks.min(60) + 1).map(|week| from.saturating_add((week * 7).days())));
        let step = [1_i32, 2, 3, 4, 7, 14, 28, 56, 91, 182]
            .into_iter()
            .find(|step| f64::from(*step) * self.day_width() >= room)
            .unwrap_or(365);
        let mut labels = Vec::new();
        let mut date = from;
        loop {
            let x = self.x(date.at(12, 0, 0, 0));
            if x > self.left + self.width - 22.0 || labels.len() > 60 {
                return labels;
            }
            if x >= self.left + 22.0 {
                let words = if date.year() == today.year() {
                    words::day(date)
                } else {
                    format!("{} {} {}", date.day(), month_name(date).get(..3).unwrap_or(""), date.year())
                };
                // A year makes the words longer: they need a second place.
                let wide = if words.len() > 9 { words.len() as f64 * 8.0 + 10.0 } else { room };
                let clear = labels.last().is_none_or(|(before, _): &(f64, String)| x - before >= wide - 1e-6);
                if clear {
                    labels.push((x, words));
                }
                date = date.saturating_add(step.days());
            } else {
                date = date.saturating_add(1.days());
            }
        }
    }

    /// The ground line, a tick for each midnight, the words below.
    #[must_use]
    pub fn draw(&self, y: f64, today: Date) -> Markup {
        let every_d = if self.day_width() >= 5.0 {
            1
        } else if self.day_width() >= 0.8 {
            7
        } else {
            28
        };
        let mut ticks = String::new();
        let mut day_d = 0.0;
        while day_d <= self.days_d {
            ticks.push_str(&format!("M{},{}v4", px(self.left + day_d * self.day_width()), px(y)));
            day_d += f64::from(every_d);
        }
        html! {
            path.ground d={ "M" (px(self.left)) "," (px(y)) "h" (px(self.width)) } {}
            path.tick d=(ticks) {}
            @for (x, words) in self.labels(today) { text.lab x=(px(x)) y=(px(y + 20.0)) { (words) } }
        }
    }

    /// The mark of the present moment, if it is on the axis.
    #[must_use]
    pub fn draw_now(&self, now: DateTime, top: f64, bottom: f64) -> Markup {
        let x = self.x(now);
        let anchor = if x < self.left + 30.0 {
            "start"
        } else if x > self.left + self.width - 30.0 {
            "end"
        } else {
            "middle"
        };
        html! {
            @if self.holds(now) {
                path.now-line d={ "M" (px(x)) "," (px(top)) "V" (px(bottom)) } {}
                text.lab.now x=(px(x)) y=(px(top - 6.0)) text-anchor=(anchor) { "now" }
            }
        }
    }
}

fn days_of(span: SignedDuration) -> f64 {
    span.as_secs_f64() / 86_400.0
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;
    use jiff::civil::date;

    #[test]
    fn moments_lie_inside_with_air_on_both_sides() {
        let moments = [date(2025, 6, 9).at(6, 0, 0, 0), date(2025, 6, 12).at(20, 0, 0, 0)];
        let axis = Axis::over(&moments, 10.0, 300.0, 7).unwrap();
        for at in moments {
            assert!(axis.x(at) >= 10.0 + axis.day_width() && axis.x(at) <= 310.0 - axis.day_width());
        }
        assert!(axis.days_d >= 7.0);
        assert!(Axis::over(&[], 0.0, 100.0, 7).is_none());
    }

    #[test]
    fn words_below_never_touch() {
        for last in [date(2025, 6, 10), date(2025, 7, 30), date(2026, 5, 1), date(2027, 5, 1)] {
            let axis =
                Axis::over(&[date(2025, 6, 9).at(6, 0, 0, 0), last.at(0, 0, 0, 0)], 10.0, 308.0, 7).unwrap();
            let labels = axis.labels(date(2025, 6, 1));
            assert!(labels.len() >= 2, "{last}: {labels:?}");
            for pair in labels.windows(2) {
                let [(a, _), (b, words)] = pair else { unreachable!() };
                assert!(b - a >= words.len() as f64 * 7.6, "{last}: {labels:?}");
            }
        }
    }
}
