//! A line has the air of the places where it lay, one after the other.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

mod common;

use common::demo;
use keeper::demo::Season;

/// Season B reared in the rooms and wintered in a cold store with a thermometer of its own. Were the store's air taken
/// for that of the summer, larvae would have grown at 4 degrees: nothing like anything that the model expects.
#[test]
fn what_lies_in_the_winter_store_had_its_summer_elsewhere() {
    for day in ["2025-10-25", "2026-01-15", "2026-04-30"] {
        let book = demo(Season::B, day);
        for line in ["MILLRUN", "PINELOT"] {
            let brood = book.keeper.brood(line).unwrap().unwrap();
            let says = brood.warnings.join(" ");
            assert!(!says.contains("nothing the model expects"), "{line}, {day}: {says}");
            assert!(!says.contains("from 1 June"), "{line}, {day}: {says}");
            assert!(!says.contains("fit all that was counted"), "{line}, {day}: {says}");
            // All have pupated months ago; what is to come are the moths of spring.
            let names: Vec<&str> = brood.stages.iter().map(|it| it.name.as_str()).collect();
            assert_eq!(names, ["moth"], "{line}, {day}");
        }
    }
}
