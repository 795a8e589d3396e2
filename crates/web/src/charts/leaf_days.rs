//! Leaf day by day: a stem for what nearly always is needed, paling towards what seldom is.

use super::{Room, px};
use crate::words;
use jiff::civil::Date;
use keeper::view::LeafRange;
use maud::{Markup, html};

/// Bars with soft tops, one a day: height and content.
#[must_use]
pub fn draw(room: Room, days: &[(Date, LeafRange)]) -> (f64, Markup) {
    let (top, tall, left) = (24.0, if room == Room::Narrow { 130.0 } else { 150.0 }, 4.0);
    let ground = top + tall;
    let most_g = days.iter().map(|(_, it)| it.q90).filter(|it| it.is_finite()).fold(0.0, f64::max);
    if most_g <= 0.0 {
        return (24.0, html! { text.lab.start x="0" y="16" { "No leaf is needed on the days to come." } });
    }
    #[expect(clippy::cast_precision_loss, reason = "a season has few days")]
    let step = (room.width() - 2.0 * left) / days.len() as f64;
    let bar = (step * 0.72).min(34.0);
    let high = |g: f64| if g.is_finite() { (g / most_g * tall).clamp(0.0, tall) } else { 0.0 };
    let piece = |x: f64, from_g: f64, to_g: f64| {
        let (low, up) = (high(from_g), high(to_g).max(high(from_g)));
        format!("M{},{}h{}v-{}h-{}z", px(x), px(ground - low), px(bar), px(up - low), px(bar))
    };
    let every = (words::days_room(days.iter().map(|(date, _)| *date)) / step).ceil().max(1.0);
    let mut sure = String::new();
    let mut likely = String::new();
    let mut seldom = String::new();
    let mut half = String::new();
    let mut labels = Vec::new();
    let mut place = 0.0_f64;
    let mut next_label = 0.0_f64;
    for (date, need) in days {
        let x = left + place * step + (step - bar) / 2.0;
        sure.push_str(&piece(x, 0.0, need.q10));
        likely.push_str(&piece(x, need.q10, need.q50));
        seldom.push_str(&piece(x, need.q50, need.q90));
        half.push_str(&format!("M{},{}h{}", px(x), px(ground - high(need.q50)), px(bar)));
        let middle = x + bar / 2.0;
        if place >= next_label && middle >= 24.0 && middle <= room.width() - 24.0 {
            labels.push((middle, words::day(*date)));
            next_label = place + every;
        }
        place += 1.0;
    }
    let content = html! {
        path.ground d={ "M0," (px(ground)) "H" (px(room.width())) } {}
        path.seldom d=(seldom) {}
        path.likely d=(likely) {}
        path.sure d=(sure) {}
        path.half d=(half) {}
        text.lab.start x="0" y="14" { (words::grams(most_g)) " at most in 9 of 10 cases" }
        @for (x, words) in labels { text.lab x=(px(x)) y=(px(ground + 20.0)) { (words) } }
    };
    (ground + 26.0, content)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn broken_figures_draw_nothing_rather_than_something() {
        let nan = LeafRange { q10: f64::NAN, q50: f64::NAN, q90: f64::NAN };
        assert!(draw(Room::Narrow, &[(date(2025, 6, 1), nan)]).1.into_string().contains("No leaf is needed"));
        let mixed = LeafRange { q10: 1.0, q50: f64::NAN, q90: 3.0 };
        assert!(!draw(Room::Wide, &[(date(2025, 6, 1), mixed)]).1.into_string().contains("NaN"));
    }
}
