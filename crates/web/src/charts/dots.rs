//! Twenty or fifty equally likely moments as eggs stacked over the days
//! (quantile dot plot: Kay et al. 2016; Fernandes et al. 2018).

use super::axis::Axis;
use super::{Room, px};
use jiff::civil::DateTime;
use maud::{Markup, html};

/// One egg: the middle of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dot {
    /// From the left.
    pub x: f64,
    /// From the top.
    pub y: f64,
}

/// Stacks the moments over their days so that no two eggs overlap.
///
/// A bin is as wide as an egg, and an egg as large as the tallest stack
/// allows, but never larger than `egg_max`; the place within a bin is given
/// up, which is at most half an egg. Returns the eggs and their diameter.
#[must_use]
pub fn stack(
    moments: &[DateTime],
    axis: &Axis,
    ground_y: f64,
    room_height: f64,
    egg_max: f64,
) -> (Vec<Dot>, f64) {
    let xs: Vec<f64> = moments.iter().map(|at| axis.x(*at) - axis.left).collect();
    let mut egg = egg_max;
    loop {
        let (dots, tallest) = stacked(&xs, egg, axis.left, ground_y);
        if tallest * egg <= room_height || egg <= 3.0 {
            return (dots, egg);
        }
        egg -= 0.5;
    }
}

fn stacked(xs: &[f64], egg: f64, left: f64, ground_y: f64) -> (Vec<Dot>, f64) {
    let mut bins: Vec<(f64, f64)> = Vec::new();
    let mut dots = Vec::with_capacity(xs.len());
    for x in xs {
        let bin = (x / egg).floor();
        let index = bins.iter().position(|(at, _)| (*at - bin).abs() < 0.5);
        let height = match index.and_then(|index| bins.get_mut(index)) {
            Some((_, height)) => {
                *height += 1.0;
                *height
            }
            None => {
                bins.push((bin, 1.0));
                1.0
            }
        };
        dots.push(Dot { x: left + (bin + 0.5) * egg, y: ground_y - (height - 0.5) * egg });
    }
    let tallest = bins.iter().map(|(_, height)| *height).fold(0.0, f64::max);
    (dots, tallest)
}

/// The plot: its height and its content.
#[must_use]
pub fn draw(room: Room, moments: &[DateTime], now: DateTime, days_min_d: i64) -> (f64, Markup) {
    let (left, room_height, egg_max) = match room {
        Room::Narrow => (4.0, 112.0, 16.0),
        Room::Wide => (4.0, 140.0, 16.0),
    };
    let Some(axis) = Axis::over(moments, left, room.width() - 2.0 * left, days_min_d) else {
        return (24.0, html! { text.lab.start x="0" y="16" { "Nothing to draw yet." } });
    };
    let (_, egg) = stack(moments, &axis, 0.0, room_height, egg_max);
    let tallest =
        stack(moments, &axis, 0.0, room_height, egg_max).0.iter().map(|dot| -dot.y).fold(0.0, f64::max);
    let top = 26.0;
    let ground_y = top + tallest + egg;
    let (dots, egg) = stack(moments, &axis, ground_y - 2.0, room_height, egg_max);
    let content = html! {
        (axis.draw(ground_y, now.date()))
        (axis.draw_now(now, 20.0, ground_y))
        @for dot in dots {
            ellipse.egg cx=(px(dot.x)) cy=(px(dot.y)) rx=(px(egg * 0.43)) ry=(px(egg * 0.49)) {}
        }
    };
    (ground_y + 26.0, content)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;
    use jiff::ToSpan;
    use jiff::civil::date;
    use proptest::prelude::*;

    fn moments(hours: &[i64]) -> Vec<DateTime> {
        hours.iter().map(|h| date(2025, 6, 9).at(0, 0, 0, 0).checked_add(h.hours()).unwrap()).collect()
    }

    proptest! {
        #[test]
        fn no_two_eggs_overlap_and_none_is_lost(mut hours in prop::collection::vec(0_i64..2_000, 1..=50), wide in any::<bool>()) {
            hours.sort_unstable();
            let room = if wide { Room::Wide } else { Room::Narrow };
            let axis = Axis::over(&moments(&hours), 4.0, room.width() - 8.0, 7).unwrap();
            let (dots, egg) = stack(&moments(&hours), &axis, 120.0, 112.0, 15.0);
            prop_assert_eq!(dots.len(), hours.len());
            for (index, a) in dots.iter().enumerate() {
                // The place given up is at most half an egg.
                prop_assert!((a.x - axis.x(moments(&hours)[index])).abs() <= egg / 2.0 + 1e-6);
                for b in &dots[index + 1..] {
                    prop_assert!((a.x - b.x).abs() >= egg - 1e-6 || (a.y - b.y).abs() >= egg - 1e-6);
                }
            }
        }
    }

    #[test]
    fn a_whole_brood_in_one_hour_still_stands_as_single_eggs() {
        let (height, content) = draw(Room::Narrow, &moments(&[5; 20]), date(2025, 6, 1).at(7, 0, 0, 0), 7);
        assert_eq!(content.into_string().matches("<ellipse").count(), 20);
        assert!(height < 200.0);
    }

    #[test]
    fn without_moments_it_says_so() {
        let (_, content) = draw(Room::Wide, &[], date(2025, 6, 1).at(7, 0, 0, 0), 7);
        assert!(content.into_string().contains("Nothing to draw yet"));
    }
}
