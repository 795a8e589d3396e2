//! What was lost against what good broods lose: animals as beads on a thread.

use super::{Room, px};
use maud::{Markup, html};

/// The losses of one line: height and content.
///
/// `usual` is the span in which 8 of 10 good broods lie.
#[must_use]
pub fn draw(room: Room, lost: u32, of: u32, usual: (u32, u32)) -> (f64, Markup) {
    let end =
        (usual.1.saturating_add(usual.1 / 2)).max(lost.saturating_add(2)).max(8).min(of.max(lost).max(1));
    let (left, width) = (8.0, room.width() - 16.0);
    let step = width / f64::from(end);
    let x = |n: u32| left + f64::from(n.min(end)) * step;
    let bead_y = 40.0;
    let single = step >= 9.0;
    let radius = (step * 0.36).min(9.0);
    let (band_from, band_to) = (x(usual.0), x(usual.1).max(x(usual.0) + 4.0));
    let band_words = format!("good broods lose {} to {}", usual.0, usual.1);
    #[expect(clippy::cast_precision_loss, reason = "a label has few letters")]
    let half_words = band_words.len() as f64 * 3.6;
    let words_x =
        ((band_from + band_to) / 2.0).clamp(half_words, (room.width() - half_words).max(half_words));
    let lost_words = format!("{lost} lost");
    let content = html! {
        rect.usual x=(px(band_from)) y="56" width=(px(band_to - band_from)) height="12" rx="6" {}
        path.thread d={ "M" (px(left)) "," (px(bead_y)) "H" (px(left + width)) } {}
        @if single {
            @for n in 0..end {
                circle class=(if n < lost { "bead gone" } else { "bead here" }) cx=(px(left + (f64::from(n) + 0.5) * step)) cy=(px(bead_y)) r=(px(radius)) {}
            }
        } @else {
            path.gone-line d={ "M" (px(left)) "," (px(bead_y)) "H" (px(x(lost))) } {}
        }
        path.now-line d={ "M" (px(x(lost))) ",22V72" } {}
        text.lab.now x=(px(x(lost).clamp(26.0, room.width() - 26.0))) y="15" { (lost_words) }
        text.lab x=(px(words_x)) y="88" { (band_words) }
    };
    (96.0, content)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_filled_bead_for_each_animal_lost() {
        let drawn = draw(Room::Wide, 8, 28, (3, 9)).1.into_string();
        assert_eq!(drawn.matches("bead gone").count(), 8);
    }

    #[test]
    fn edges_hold() {
        for (lost, of, usual) in
            [(0, 0, (0, 0)), (5, 3, (0, 1)), (u32::MAX, u32::MAX, (0, u32::MAX)), (400, 1_000, (50, 200))]
        {
            let drawn = draw(Room::Narrow, lost, of, usual).1.into_string();
            assert!(!drawn.contains("NaN") && drawn.len() < 20_000);
        }
    }
}
