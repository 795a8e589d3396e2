//! The odds as they were, morning by morning.

use super::axis::Axis;
use super::{Room, px};
use jiff::civil::{Date, DateTime};
use maud::{Markup, html};

/// Odds in twentieths over the days: height and content.
#[must_use]
pub fn draw(room: Room, points: &[(Date, f64)], now: DateTime) -> (f64, Markup) {
    let moments: Vec<DateTime> =
        points.iter().filter(|(_, it)| it.is_finite()).map(|(on, _)| on.at(8, 0, 0, 0)).collect();
    let Some(axis) = Axis::over(&moments, 60.0, room.width() - 64.0, 7) else {
        return (24.0, html! { text.lab.start x="0" y="16" { "Nothing to draw yet." } });
    };
    let (top, tall) = (12.0, 120.0);
    let ground = top + tall;
    let y = |chance: f64| ground - chance.clamp(0.0, 1.0) * tall;
    let placed: Vec<(f64, f64)> = points
        .iter()
        .filter(|(_, it)| it.is_finite())
        .map(|(on, chance)| (axis.x(on.at(8, 0, 0, 0)), y(*chance)))
        .collect();
    let line: String = placed
        .iter()
        .enumerate()
        .map(|(index, (x, y))| format!("{}{},{}", if index == 0 { 'M' } else { 'L' }, px(*x), px(*y)))
        .collect();
    let content = html! {
        @for (twentieths, words) in [(20.0, "20 of 20"), (10.0, "10 of 20"), (0.0, "none")] {
            path.rule d={ "M60," (px(y(twentieths / 20.0))) "H" (px(room.width() - 4.0)) } {}
            text.lab.start x="0" y=(px(y(twentieths / 20.0) + 5.0)) { (words) }
        }
        (axis.draw(ground, now.date()))
        path.thread.strong d=(line) {}
        @for (x, y) in placed { circle.egg cx=(px(x)) cy=(px(y)) r="5" {} }
    };
    (ground + 26.0, content)
}
