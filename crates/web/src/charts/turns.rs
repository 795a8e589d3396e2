//! Two choices compared season by season: of a hundred, how many turn to the good, how many to the bad.

use super::{drawing, px};
use maud::{Markup, html};

/// A hundred small marks: filled for the better, crossed for the worse, a point where nothing changes.
#[must_use]
pub fn draw(id: &str, what: &str, better_in_100: f64, worse_in_100: f64) -> Markup {
    let whole = |share: f64| if share.is_finite() { share.round().clamp(0.0, 100.0) } else { 0.0 };
    let (better, worse) = (whole(better_in_100), whole(worse_in_100));
    let mut same = String::new();
    let mut good = String::new();
    let mut bad = String::new();
    for index in 0..100_u32 {
        let (x, y) = (f64::from(index % 25).mul_add(11.0, 6.0), f64::from(index / 25).mul_add(11.0, 6.0));
        let place = f64::from(index);
        if place < better {
            good.push_str(&format!("M{},{}a4,4 0 1 1 8,0a4,4 0 1 1 -8,0", px(x - 4.0), px(y)));
        } else if place >= 100.0 - worse {
            bad.push_str(&format!("M{},{}l7,7m0,-7l-7,7", px(x - 3.5), px(y - 3.5)));
        } else {
            same.push_str(&format!("M{},{}h.01", px(x), px(y)));
        }
    }
    let desc = format!(
        "Of a hundred possible seasons {better} turn to the good, {worse} to the bad, the others stay as they are."
    );
    drawing(
        id,
        "turns",
        &format!("What changes with: {what}"),
        &desc,
        (276.0, 45.0),
        &html! {
            path.same d=(same) {}
            path.good d=(good) {}
            path.bad d=(bad) {}
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hundred_marks_whatever_comes_in() {
        for (better, worse) in [(0.0, 0.0), (9.4, 1.2), (100.0, 0.0), (f64::NAN, 3.0)] {
            let drawn = draw("x", "it", better, worse).into_string();
            let marks = drawn.matches("h.01").count()
                + drawn.matches("a4,4 0 1 1 8,0").count()
                + drawn.matches("l7,7").count();
            assert_eq!(marks, 100, "{better} {worse}");
        }
        let drawn = draw("x", "it", 9.4, 1.6).into_string();
        assert_eq!((drawn.matches("a4,4 0 1 1 8,0").count(), drawn.matches("l7,7").count()), (9, 2));
    }
}
