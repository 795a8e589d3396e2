//! Small drawings of the stages: an instar is so many arcs on the thread.
//!
//! They repeat what the words beside them say and are silent for screen readers.

use crate::charts::px;
use maud::{Markup, html};
use terms::Stage;

/// The strokes of a stage, drawn on a ground line at y = 14, and their width.
#[must_use]
pub fn strokes(stage: Stage) -> (f64, Markup) {
    match stage {
        Stage::Egg => (
            30.0,
            html! {
                path.silk d="M0,14.5H30" {}
                ellipse cx="7" cy="10" rx="3.2" ry="4" {} ellipse cx="15" cy="10" rx="3.2" ry="4" {} ellipse cx="23" cy="10" rx="3.2" ry="4" {}
            },
        ),
        Stage::Larva(instar) => larva(instar),
        Stage::Cocoon => (
            30.0,
            html! {
                path.silk d="M0,4C4,6 6,6 9,5M21,13C24,14 27,13 30,15" {}
                path d="M5,9C7,2 22,1 26,8C25,15 9,17 5,9Z" {}
                path.fine d="M9,5.5C14,8 18,11 21,12.8M8,12C12,8 17,5 22,4M13,4C16,8 21,10 24.5,10.5" {}
            },
        ),
        Stage::Moth => (
            30.0,
            html! {
                path d="M15,8C12,2 5,0 1,1.5C1,6 5,10 14,10C9,10 6,12 7,15C10,17 14,14 15,11C16,14 20,17 23,15C24,12 21,10 16,10C25,10 29,6 29,1.5C25,0 18,2 15,8Z" {}
                path.fine d="M15,8C14,4 12.5,3 11,2.5M15,8C16,4 17.5,3 19,2.5" {}
            },
        ),
    }
}

/// A larva from the side: one arc for each instar, a head in front.
fn larva(instar: u8) -> (f64, Markup) {
    let arcs = f64::from(instar.min(9));
    let arc = 7.0;
    let mut body = String::from("M2,14");
    for _ in 0..instar.min(9) {
        body.push_str("a3.5,5.5 0 0 1 7,0");
    }
    let end = 2.0 + arcs * arc;
    (
        end + 9.0,
        html! {
            path.silk d={ "M0,14.5H" (px(end + 9.0)) } {}
            path d=(body) {}
            circle.head cx=(px(end + 2.8)) cy="11.4" r="2.4" {}
        },
    )
}

/// The drawing of a stage beside its word.
#[must_use]
pub fn glyph(stage: Stage) -> Markup {
    let (width, strokes) = strokes(stage);
    html! {
        svg.glyph viewBox={ "-1 -1 " (px(width + 2.0)) " 19" } width=(px((width + 2.0) * 1.35)) height="25.7" aria-hidden="true" focusable="false" { (strokes) }
    }
}

/// The stage behind a name on the season's thread.
#[must_use]
pub fn stage_of(name: &str) -> Stage {
    match name {
        "spinning" => Stage::Cocoon,
        other => other.parse().unwrap_or(Stage::Cocoon),
    }
}

/// The mark of the house: a cocoon hung on its thread.
#[must_use]
pub fn mark() -> Markup {
    html! {
        svg.mark viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" focusable="false" {
            path.silk d="M2,5C8,2 16,8 22,4" {}
            path d="M12,5.4C16.5,6.5 18,11 17,15.5C16,20 13,22 12,22C11,22 8,20 7,15.5C6,11 7.5,6.5 12,5.4Z" {}
            path.fine d="M8.2,10C11,11.5 14,14 16.6,16.6M7.4,15.4C10,13 13.5,10.5 16,9.4M9,19.3C11.5,18.6 14,17.4 16.3,17.6" {}
        }
    }
}

/// The drawings of the bar at the foot of the phone.
#[must_use]
pub fn sign(name: &str) -> Markup {
    let strokes = match name {
        "morning" => "M2,18H22M6,18a6,6 0 0 1 12,0M12,4v4M4.5,8.5l2.6,2.6M19.5,8.5l-2.6,2.6",
        "brood" => "M2,18H22M3,18a3,6 0 0 1 6,0a3,6 0 0 1 6,0M15,18a3,6 0 0 1 5,-4M20.3,12.2h.01",
        "leaf" => "M4,20C8,15 12,11 17,8M4.5,19.5C3,10 9,3.5 20.5,3.5C21,14 14,21 4.5,19.5Z",
        "odds" => {
            "M12,9C10,4 5,2.5 2.5,4C2.5,9 6,12 11.5,12.5C7,13 6,16 7,19C10,20 11.5,17 12,14C12.5,17 14,20 17,19C18,16 17,13 12.5,12.5C18,12 21.5,9 21.5,4C19,2.5 14,4 12,9Z"
        }
        "lines" => "M12,21V13M12,13C12,9 5,10 5,5M12,13C12,9 19,10 19,5M5,5h.01M19,5h.01M12,21h.01",
        _ => "M5,17C7,15 6,10 8,7.5C9.5,5.6 14.5,5.6 16,7.5C18,10 17,15 19,17ZM10.5,20h3M12,6V3.5",
    };
    html! { svg.sign viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" focusable="false" { path d=(strokes) {} } }
}
