//! A chance as twenty moths (icon array: Galesic et al. 2009).

use super::{Room, px};
use maud::{Markup, html};

/// Half of our moth, mirrored for the other half: fore wing, hind wing.
const FORE_WING: &str = "M0,-2C-3,-9 -12,-15 -19,-13.5C-20.5,-8 -16,0.5 -9,2.5C-6,3.3 -2,3 0,2Z";
const HIND_WING: &str = "M0,2C-5,3.2 -11,3.4 -13.5,6.5C-14.5,10.5 -10,14.5 -6,13.5C-2.5,12.5 -0.5,8 0,5Z";
const BODY: &str = "M0,-6C1.7,-5 1.9,4 0,9C-1.9,4 -1.7,-5 0,-6Z";
const FEELERS: &str = "M-0.6,-6C-1.5,-10 -3.5,-12.5 -6.5,-13.5M0.6,-6C1.5,-10 3.5,-12.5 6.5,-13.5";

/// One moth around the origin, about 40 wide and 30 high.
#[must_use]
pub fn moth() -> Markup {
    html! {
        path.wing d=(FORE_WING) {}
        path.wing d=(HIND_WING) {}
        g transform="scale(-1,1)" { path.wing d=(FORE_WING) {} path.wing d=(HIND_WING) {} }
        g.eyes { circle cx="-11" cy="-6.5" r="2.3" {} circle cx="11" cy="-6.5" r="2.3" {} circle cx="-8" cy="8.3" r="1.7" {} circle cx="8" cy="8.3" r="1.7" {} }
        path.body d=(BODY) {}
        path.feeler d=(FEELERS) {}
    }
}

/// Twenty moths, the first `filled` of them filled: height and content.
#[must_use]
pub fn draw(room: Room, id: &str, filled: u32) -> (f64, Markup) {
    let columns = match room {
        Room::Narrow => 5,
        Room::Wide => 10,
    };
    let cell = room.width() / f64::from(columns);
    let scale = match room {
        Room::Narrow => 1.3,
        Room::Wide => 1.38,
    };
    let row_height = match room {
        Room::Narrow => 50.0,
        Room::Wide => 56.0,
    };
    let content = html! {
        defs { g id={ (id) "-moth" } { (moth()) } }
        @for index in 0..20_u32 {
            @let (column, row) = (index % columns, index / columns);
            g class=(if index < filled { "moth full" } else { "moth bare" })
                transform={ "translate(" (px((f64::from(column) + 0.5) * cell)) "," (px((f64::from(row) + 0.5) * row_height)) ") scale(" (scale) ")" } {
                use href={ "#" (id) "-moth" } {}
            }
        }
    };
    (f64::from(20 / columns) * row_height, content)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn always_twenty() {
        for filled in [0, 1, 17, 20, 99] {
            let drawn = draw(Room::Narrow, "x", filled).1.into_string();
            assert_eq!(drawn.matches("class=\"moth full\"").count(), filled.min(20) as usize);
            assert_eq!(drawn.matches("<use ").count(), 20);
        }
    }
}
