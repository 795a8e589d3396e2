//! What each cocoon has lost of its weight: one mark a cocoon, heaped where they agree.

use super::{Room, px};
use maud::{Markup, html};

/// Marks of one heap are so far apart.
const STEP: f64 = 11.0;
/// At most so many heaps, so that a lot of cocoons stays a small drawing.
const HEAPS: f64 = 28.0;
/// Numbers of drying cocoons beyond these are left to the table.
const NAMED: usize = 6;

/// Losses as shares, each with its number and whether it is drying: height and content.
#[must_use]
pub fn draw(room: Room, points: &[(&str, f64, bool)], middle: f64) -> (f64, Markup) {
    let sound: Vec<&(&str, f64, bool)> = points.iter().filter(|it| it.1.is_finite()).collect();
    let most = sound.iter().map(|it| it.1).fold(middle.max(0.01), f64::max);
    let end = (100.0 * most).ceil().max(2.0) / 100.0;
    let (left, width) = (12.0, room.width() - 40.0);
    let x = |loss: f64| left + width * (loss / end).clamp(0.0, 1.0);
    let heap = |loss: f64| ((loss / end).clamp(0.0, 1.0) * HEAPS).round();
    let mut placed: Vec<(f64, usize, &(&str, f64, bool))> = Vec::new();
    for it in sound {
        let here = heap(it.1);
        let below = placed.iter().filter(|(other, _, _)| (other - here).abs() < 0.5).count();
        placed.push((here, below, it));
    }
    let tallest = placed.iter().map(|(_, below, _)| below + 1).max().unwrap_or(1);
    let mut drying: Vec<(f64, &str)> = placed
        .iter()
        .filter(|(_, _, it)| it.2)
        .map(|(here, _, it)| (left + width * here / HEAPS, it.0))
        .collect();
    drying.sort_by(|a, b| a.0.total_cmp(&b.0));
    drying.truncate(NAMED);
    #[expect(clippy::cast_precision_loss, reason = "heaps and names are few")]
    let rows = |n: usize| n as f64;
    let names_tall = 18.0 * rows(drying.len());
    let ground = 22.0 + names_tall.max(8.0) + STEP * rows(tallest);
    let y = |below: usize| ground - 8.0 - STEP * rows(below);
    let ticks = ticks(end);
    let content = html! {
        path.ground d={ "M" (px(left - 8.0)) "," (px(ground)) "H" (px(left + width + 8.0)) } {}
        @for tick in &ticks {
            path.tick d={ "M" (px(x(*tick))) "," (px(ground)) "v5" } {}
            text.lab x=(px(x(*tick))) y=(px(ground + 20.0)) { (crate::words::plain(100.0 * tick, 0)) " %" }
        }
        path.now-line d={ "M" (px(x(middle))) "," (px(ground - STEP * rows(tallest) - 10.0)) "V" (px(ground)) } {}
        @for (here, below, it) in &placed {
            @let at = left + width * here / HEAPS;
            @if it.2 { circle.bead.here cx=(px(at)) cy=(px(y(*below))) r="5.2" {} }
            @else { circle.egg cx=(px(at)) cy=(px(y(*below))) r="4.4" {} }
        }
        @for (row, (at, name)) in drying.iter().enumerate() {
            @let label_y = 15.0 + 18.0 * rows(row);
            path.thread d={ "M" (px(*at)) "," (px(label_y + 4.0)) "V" (px(ground - 16.0)) } {}
            text.lab.name.end x=(px(at - 6.0)) y=(px(label_y)) { (name.chars().take(16).collect::<String>()) }
        }
    };
    (ground + 26.0, content)
}

/// Round shares along the ground, some four of them.
fn ticks(end: f64) -> Vec<f64> {
    let step = [0.01, 0.02, 0.05, 0.1, 0.2, 0.25].into_iter().find(|it| end / it <= 5.0).unwrap_or(0.5);
    (0..=5).map(|it| step * f64::from(it)).filter(|it| *it <= end + 1e-9).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_mark_for_each_cocoon_and_a_ring_for_the_drying() {
        let points = [("A", 0.02, false), ("B", 0.021, false), ("C", 0.12, true), ("D", f64::NAN, false)];
        for room in [Room::Narrow, Room::Wide] {
            let drawn = draw(room, &points, 0.02).1.into_string();
            assert_eq!(drawn.matches("class=\"egg\"").count(), 2);
            assert_eq!(drawn.matches("bead here").count(), 1);
            assert!(drawn.contains(">C<") && !drawn.contains("NaN"));
        }
    }

    #[test]
    fn edges_hold() {
        for points in [vec![], vec![("x", -0.02, false)], vec![("x", 5.0, true); 60]] {
            let drawn = draw(Room::Narrow, &points, 0.0).1.into_string();
            assert!(!drawn.contains("NaN") && drawn.len() < 30_000);
        }
    }
}
